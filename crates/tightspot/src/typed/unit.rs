//! Units that may be typed, by the unit that the bound is kept in. Factors are definitions, not measurements.

use measure::Bound;

/// A unit as typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Unit {
    /// The bound's own, or none typed.
    Own,
    /// Times a factor.
    Factor(f64),
    /// Degrees Fahrenheit.
    Fahrenheit,
    /// Hours and minutes.
    Clock,
}

/// Unit kept, spellings typed (lower case, without blanks and points), factor.
///
/// # Source
/// International yard and pound: inch 25.4 mm, mile 1609.344 m, pound 0.45359237 kg; standard gravity 9.80665 m/s²;
/// all exact by definition.
const UNITS: &[(&str, &[&str], f64)] = &[
    ("mm", &["mm", "millimetre", "millimetres"], 1.0),
    ("mm", &["cm"], 10.0),
    ("mm", &["m"], 1000.0),
    ("mm", &["in", "inch", "inches", "\"", "″", "”"], 25.4),
    ("m", &["m", "metre", "metres"], 1.0),
    ("m", &["mm"], 0.001),
    ("m", &["km"], 1000.0),
    ("m", &["ft", "feet", "foot"], 0.3048),
    ("km", &["km"], 1.0),
    ("km", &["mi", "mile", "miles"], 1.609_344),
    ("N·m", &["nm", "n·m", "n*m"], 1.0),
    (
        "N·m",
        &["lbfft", "lbft", "ftlb", "ftlbs", "ftlbf", "lbf·ft", "lb·ft", "ft·lb", "ft-lb", "lb-ft"],
        0.3048 * 0.453_592_37 * 9.806_65,
    ),
    ("N·m", &["lbfin", "inlb", "inlbs", "inlbf", "lbf·in", "in·lb", "in-lb"], 0.0254 * 0.453_592_37 * 9.806_65),
    ("N·m", &["kgfm", "kgm", "mkg", "kgf·m"], 9.806_65),
    ("h", &["h", "hr", "hrs", "hour", "hours"], 1.0),
    ("h", &["min", "minute", "minutes"], 1.0 / 60.0),
    ("min", &["min", "minute", "minutes"], 1.0),
    ("min", &["h", "hour", "hours"], 60.0),
    ("km/h", &["km/h", "kmh", "kph"], 1.0),
    ("km/h", &["mph"], 1.609_344),
    ("m/s", &["m/s"], 1.0),
    ("m/s", &["km/h", "kmh", "kph"], 1.0 / 3.6),
    ("kg", &["kg"], 1.0),
    ("kg", &["lb", "lbs"], 0.453_592_37),
    ("kPa", &["kpa"], 1.0),
    ("kPa", &["bar"], 100.0),
    ("kPa", &["psi"], 0.453_592_37 * 9.806_65 / (0.0254 * 0.0254 * 1000.0)),
    ("°C", &["°c", "c", "degc"], 1.0),
    ("°", &["°", "deg", "degrees"], 1.0),
    ("deg", &["°", "deg", "degrees"], 1.0),
    ("%", &["%", "percent", "pct"], 1.0),
    ("rpm", &["rpm", "1/min", "/min"], 1.0),
];

/// The unit of that spelling, if it can be turned into the one kept.
pub(super) fn named(typed: &str, kept: &str) -> Option<Unit> {
    let typed: String = typed.to_lowercase().chars().filter(|c| !c.is_whitespace() && *c != '.').collect();
    if typed.is_empty() || (!kept.is_empty() && typed == kept.to_lowercase()) {
        return Some(Unit::Own);
    }
    if typed == "h:mm" {
        return (kept == "h").then_some(Unit::Clock);
    }
    if kept == "°C" && matches!(typed.as_str(), "f" | "°f" | "degf") {
        return Some(Unit::Fahrenheit);
    }
    let found = UNITS.iter().find(|(own, spellings, _)| *own == kept && spellings.contains(&typed.as_str()));
    found.map(|(.., factor)| if (factor - 1.0).abs() < f64::EPSILON { Unit::Own } else { Unit::Factor(*factor) })
}

/// One spelling of each unit that may be typed for a unit kept.
pub(super) fn spellings(kept: &str) -> Vec<&'static str> {
    UNITS.iter().filter(|(own, ..)| *own == kept).filter_map(|(_, spellings, _)| spellings.first().copied()).collect()
}

impl Unit {
    /// Whether the number stands as typed.
    pub(super) const fn is_own(self) -> bool {
        matches!(self, Self::Own)
    }

    /// What the digits can mean, in the unit kept; `None` if they are no number.
    pub(super) fn readings(self, digits: &str, bound: &Bound) -> Option<Vec<f64>> {
        if self == Self::Clock {
            return super::clock(digits).map(|hours| vec![hours]);
        }
        if bound.unit == "mm" {
            if let Some(value) = super::fraction(digits) {
                return Some(vec![self.into_kept(value)]);
            }
        }
        super::plain(digits).map(|values| values.into_iter().map(|value| self.into_kept(value)).collect())
    }

    fn into_kept(self, value: f64) -> f64 {
        match self {
            Self::Own | Self::Clock => value,
            Self::Factor(factor) => value * factor,
            Self::Fahrenheit => (value - 32.0) * 5.0 / 9.0,
        }
    }
}
