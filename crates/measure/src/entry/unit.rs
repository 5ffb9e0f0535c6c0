//! The units that may be typed for each unit that is kept. Factors are exact by definition.

use crate::exact::{GRAVITY as KGF, INCH_M, INCH_MM, POUND_FORCE_N as LBF};

/// A unit as it may be typed, and what one of it is in the unit kept.
pub(super) struct Unit {
    /// How it is printed.
    pub(super) name: &'static str,
    /// How it may be spelled: lower case, without space, point, hyphen or raised dot.
    spelled: &'static [&'static str],
    factor: f64,
    offset: f64,
    /// Whether lengths of it are typed in halves and quarters.
    pub(super) fractions: bool,
}

impl Unit {
    const fn new(name: &'static str, spelled: &'static [&'static str], factor: f64) -> Self {
        Self { name, spelled, factor, offset: 0.0, fractions: false }
    }

    const fn with_fractions(self) -> Self {
        Self { fractions: true, ..self }
    }

    const fn shifted(self, offset: f64) -> Self {
        Self { offset, ..self }
    }

    /// The number in the unit kept.
    pub(super) fn kept(&self, typed: f64) -> f64 {
        // A factor of one leaves the number digit for digit as it was typed.
        if self.is_kept() { typed } else { (typed + self.offset) * self.factor }
    }

    /// Whether it is the unit kept itself.
    #[expect(clippy::float_cmp, reason = "the table writes exactly 1.0 for the unit kept")]
    pub(super) fn is_kept(&self) -> bool {
        self.factor == 1.0 && self.offset == 0.0
    }
}

/// All units that may be typed for one unit kept; the kept one first.
pub(super) struct Family {
    kept: &'static [&'static str],
    pub(super) units: &'static [Unit],
    /// Decimals that an echo of a converted number shows.
    pub(super) decimals: usize,
}

const FOOT_M: f64 = 0.3048;
const LBF_FT: f64 = FOOT_M * LBF;
const MILE_M: f64 = 1609.344;
const POUND_KG: f64 = 0.453_592_37;

const INCH: &[&str] = &["in", "inch", "inches", "\"", "″", "”"];
const NEWTON_METRE: &[&str] = &["nm", "newtonmetre", "newtonmetres", "newtonmeter", "newtonmeters"];
const FOOT_POUND: &[&str] = &["lbfft", "ftlbf", "lbft", "ftlb", "lbsft", "ftlbs", "footpounds", "poundfeet"];
const INCH_POUND: &[&str] = &["lbfin", "inlbf", "lbin", "inlb", "lbsin", "inlbs", "inchpounds", "poundinches"];
const KILOPOND_METRE: &[&str] = &["kgfm", "kgm", "mkgf", "mkg", "kpm"];
const HOUR: &[&str] = &["h", "hr", "hrs", "hour", "hours", "std"];
const MINUTE: &[&str] = &["min", "mins", "minute", "minutes"];

static FAMILIES: [Family; 22] = [
    Family {
        kept: &["mm"],
        units: &[
            Unit::new("mm", &["mm", "millimetre", "millimetres", "millimeter", "millimeters"], 1.0),
            Unit::new("cm", &["cm"], 10.0),
            Unit::new("m", &["m"], 1000.0),
            Unit::new("in", INCH, INCH_MM).with_fractions(),
        ],
        decimals: 3,
    },
    Family {
        kept: &["m"],
        units: &[
            Unit::new("m", &["m", "metre", "metres", "meter", "meters"], 1.0),
            Unit::new("cm", &["cm"], 0.01),
            Unit::new("mm", &["mm"], 0.001),
            Unit::new("in", INCH, INCH_M).with_fractions(),
            Unit::new("ft", &["ft", "foot", "feet"], FOOT_M).with_fractions(),
        ],
        decimals: 4,
    },
    Family {
        kept: &["km"],
        units: &[
            Unit::new("km", &["km"], 1.0),
            Unit::new("m", &["m"], 0.001),
            Unit::new("mi", &["mi", "mile", "miles"], MILE_M / 1000.0),
        ],
        decimals: 2,
    },
    Family {
        kept: &["N·m"],
        units: &[
            Unit::new("N·m", NEWTON_METRE, 1.0),
            Unit::new("lbf ft", FOOT_POUND, LBF_FT),
            Unit::new("lbf in", INCH_POUND, LBF_FT / 12.0),
            Unit::new("kgf m", KILOPOND_METRE, KGF),
        ],
        decimals: 1,
    },
    Family {
        kept: &["km/h"],
        units: &[
            Unit::new("km/h", &["km/h", "kmh", "kph"], 1.0),
            Unit::new("mph", &["mph", "mi/h", "mi"], MILE_M / 1000.0),
            Unit::new("m/s", &["m/s", "ms"], 3.6),
        ],
        decimals: 1,
    },
    Family {
        kept: &["m/s"],
        units: &[
            Unit::new("m/s", &["m/s", "ms"], 1.0),
            Unit::new("km/h", &["km/h", "kmh", "kph"], 1.0 / 3.6),
            Unit::new("mph", &["mph", "mi/h"], MILE_M / 3600.0),
        ],
        decimals: 2,
    },
    Family {
        kept: &["h"],
        units: &[Unit::new("h", HOUR, 1.0).with_fractions(), Unit::new("min", MINUTE, 1.0 / 60.0)],
        decimals: 3,
    },
    Family {
        kept: &["min"],
        units: &[Unit::new("min", MINUTE, 1.0), Unit::new("h", HOUR, 60.0).with_fractions()],
        decimals: 1,
    },
    Family {
        kept: &["s"],
        units: &[
            Unit::new("s", &["s", "sec", "second", "seconds"], 1.0),
            Unit::new("min", MINUTE, 60.0),
            Unit::new("h", HOUR, 3600.0),
        ],
        decimals: 1,
    },
    Family {
        kept: &["d"],
        units: &[Unit::new("d", &["d", "day", "days"], 1.0), Unit::new("weeks", &["week", "weeks", "wk"], 7.0)],
        decimals: 1,
    },
    Family { kept: &["%"], units: &[Unit::new("%", &["%", "percent", "pct"], 1.0)], decimals: 3 },
    Family {
        kept: &["kg"],
        units: &[
            Unit::new("kg", &["kg", "kgs", "kilo", "kilos"], 1.0),
            Unit::new("lb", &["lb", "lbs", "pound", "pounds"], POUND_KG),
            Unit::new("g", &["g"], 0.001),
        ],
        decimals: 1,
    },
    Family {
        kept: &["kg/m"],
        units: &[
            Unit::new("kg/m", &["kg/m"], 1.0),
            Unit::new("g/m", &["g/m"], 0.001),
            Unit::new("lb/ft", &["lb/ft", "lbs/ft"], POUND_KG / FOOT_M),
        ],
        decimals: 3,
    },
    Family { kept: &["deg", "°"], units: &[Unit::new("deg", &["deg", "°", "degree", "degrees"], 1.0)], decimals: 2 },
    Family {
        kept: &["rpm"],
        units: &[Unit::new("rpm", &["rpm", "1/min", "/min", "r/min", "rev/min"], 1.0)],
        decimals: 0,
    },
    Family {
        kept: &["N"],
        units: &[
            Unit::new("N", &["n", "newton", "newtons"], 1.0),
            Unit::new("kN", &["kn"], 1000.0),
            Unit::new("lbf", &["lbf"], LBF),
            Unit::new("kgf", &["kgf", "kp"], KGF),
        ],
        decimals: 1,
    },
    Family {
        kept: &["kN"],
        units: &[
            Unit::new("kN", &["kn"], 1.0),
            Unit::new("N", &["n", "newton", "newtons"], 0.001),
            Unit::new("lbf", &["lbf"], LBF / 1000.0),
            Unit::new("kgf", &["kgf", "kp"], KGF / 1000.0),
        ],
        decimals: 2,
    },
    Family {
        kept: &["kW"],
        units: &[Unit::new("kW", &["kw"], 1.0), Unit::new("PS", &["ps"], 0.735_498_75)],
        decimals: 2,
    },
    Family {
        kept: &["°C"],
        units: &[
            Unit::new("°C", &["°c", "c", "degc"], 1.0),
            Unit::new("°F", &["°f", "f", "degf"], 5.0 / 9.0).shifted(-32.0),
        ],
        decimals: 1,
    },
    Family {
        kept: &["kPa"],
        units: &[
            Unit::new("kPa", &["kpa"], 1.0),
            Unit::new("hPa", &["hpa", "mbar"], 0.1),
            Unit::new("bar", &["bar"], 100.0),
            Unit::new("psi", &["psi"], LBF / (INCH_M * INCH_M) / 1000.0),
        ],
        decimals: 2,
    },
    Family { kept: &["m²"], units: &[Unit::new("m²", &["m2", "sqm"], 1.0)], decimals: 4 },
    Family { kept: &["kg·m²"], units: &[Unit::new("kg·m²", &["kgm2"], 1.0)], decimals: 5 },
];

/// The family of a unit kept; `None` for a unit that is only typed as it is printed.
pub(super) fn family(kept: &str) -> Option<&'static Family> {
    FAMILIES.iter().find(|family| family.kept.contains(&kept))
}

impl Family {
    /// The unit of a spelling, any case.
    pub(super) fn spelled(&self, text: &str) -> Option<&'static Unit> {
        let plain = plain(text);
        self.units.iter().find(|unit| unit.spelled.contains(&plain.as_str()))
    }

    /// The unit of that name.
    pub(super) fn named(&self, name: &str) -> Option<&'static Unit> {
        self.units.iter().find(|unit| unit.name == name)
    }

    /// The names of the units, for a sentence.
    pub(super) fn names(&self) -> String {
        self.units.iter().map(|unit| unit.name).collect::<Vec<_>>().join(", ")
    }
}

/// A spelling without what people write between its parts.
pub(super) fn plain(text: &str) -> String {
    text.chars()
        .filter(|letter| !letter.is_whitespace() && !matches!(letter, '.' | '-' | '·' | '⋅' | '*' | '×'))
        .map(|letter| if letter == '²' { '2' } else { letter })
        .flat_map(char::to_lowercase)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What one of each unit is in the unit kept, from the definitions: inch 25.4 mm, foot 12 inches, mile 5280 feet,
    /// pound 0.453 592 37 kg, standard gravity 9.806 65 m/s², metric horsepower 75 kgf m/s.
    const WORTH: [(&str, &str, f64); 31] = [
        ("mm", "cm", 10.0),
        ("mm", "m", 1000.0),
        ("mm", "in", 25.4),
        ("m", "cm", 0.01),
        ("m", "mm", 0.001),
        ("m", "in", 0.0254),
        ("m", "ft", 0.3048),
        ("km", "m", 0.001),
        ("km", "mi", 1.609_344),
        ("N·m", "lbf ft", 1.355_817_948_331_400_4),
        ("N·m", "lbf in", 0.112_984_829_027_616_7),
        ("N·m", "kgf m", 9.806_65),
        ("km/h", "mph", 1.609_344),
        ("km/h", "m/s", 3.6),
        ("m/s", "km/h", 0.277_777_777_777_777_8),
        ("m/s", "mph", 0.447_04),
        ("h", "min", 0.016_666_666_666_666_666),
        ("min", "h", 60.0),
        ("s", "min", 60.0),
        ("s", "h", 3600.0),
        ("d", "weeks", 7.0),
        ("kg", "lb", 0.453_592_37),
        ("kg", "g", 0.001),
        ("kg/m", "lb/ft", 1.488_163_943_569_553_8),
        ("N", "lbf", 4.448_221_615_260_5),
        ("N", "kgf", 9.806_65),
        ("kN", "lbf", 0.004_448_221_615_260_5),
        ("kW", "PS", 0.735_498_75),
        ("kPa", "hPa", 0.1),
        ("kPa", "bar", 100.0),
        ("kPa", "psi", 6.894_757_293_168_361),
    ];

    #[test]
    fn one_of_each_unit_is_what_its_definition_says() {
        for (kept, name, worth) in WORTH {
            let unit = family(kept).and_then(|family| family.named(name)).expect("a unit");
            assert!((unit.kept(1.0) / worth - 1.0).abs() < 1e-14, "{name} in {kept}: {}", unit.kept(1.0));
            assert!((unit.kept(-3.0) / worth + 3.0).abs() < 1e-13 && !unit.is_kept());
        }
        let fahrenheit = family("°C").and_then(|family| family.named("°F")).expect("a unit");
        for (typed, kept) in [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0)] {
            assert!((fahrenheit.kept(typed) - kept).abs() < 1e-12);
        }
        assert!(!fahrenheit.is_kept() && family("furlong").is_none());
    }

    #[test]
    fn a_unit_that_is_one_of_the_kept_but_begins_elsewhere_is_not_the_kept_one() {
        let kelvin = Unit::new("K", &["k"], 1.0).shifted(-273.15);
        assert!(!kelvin.is_kept() && (kelvin.kept(0.0) + 273.15).abs() < 1e-12);
        assert!(Unit::new("mm", &["mm"], 1.0).is_kept());
    }

    #[test]
    fn only_what_is_measured_in_halves_and_quarters_may_be_typed_so() {
        let typed: Vec<(&str, &str)> = FAMILIES
            .iter()
            .flat_map(|family| {
                family.units.iter().filter(|unit| unit.fractions).map(|unit| (family.kept[0], unit.name))
            })
            .collect();
        assert_eq!(typed, [("mm", "in"), ("m", "in"), ("m", "ft"), ("h", "h"), ("min", "h")]);
    }

    #[test]
    fn each_family_keeps_its_first_unit_and_no_spelling_means_two_units() {
        for family in &FAMILIES {
            assert!(family.units[0].is_kept() && family.kept.iter().any(|kept| family.spelled(kept).is_some()));
            let all: Vec<_> = family.units.iter().flat_map(|unit| unit.spelled).collect();
            for (place, spelling) in all.iter().enumerate() {
                assert!(!all[..place].contains(spelling), "{spelling} means two units of {}", family.kept[0]);
                assert_eq!(plain(spelling), **spelling, "{spelling} can never be matched");
            }
        }
    }
}
