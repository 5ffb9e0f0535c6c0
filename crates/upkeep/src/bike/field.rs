//! One field of the sheet: its place, what it takes, its words. The table itself: `table/`.

use measure::Bound;
use measure::bounds::bike as bounds;
use measure::bounds::gearing::{CURVE_POINTS, MOST_GEARS};

use super::{Fault, Ratio, Value};

/// The parts of a sheet, in the order in which it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Section {
    /// What bike it is.
    Bike,
    /// Chain and sprockets.
    Drive,
    /// Swingarm, slot, slider, guide.
    Swingarm,
    /// Primary, gears, engine speeds, torque curve.
    Gearbox,
    /// Masses, inertias, geometry of the whole.
    Body,
    /// Tyres and rollout.
    Tyre,
    /// The manual's own figures: slack, limit, torques.
    Sheet,
}

impl Section {
    /// Every section, in the order of the file.
    pub const ALL: [Self; 7] =
        [Self::Bike, Self::Drive, Self::Swingarm, Self::Gearbox, Self::Body, Self::Tyre, Self::Sheet];

    /// The table's name in the file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bike => "bike",
            Self::Drive => "drive",
            Self::Swingarm => "swingarm",
            Self::Gearbox => "gearbox",
            Self::Body => "body",
            Self::Tyre => "tyre",
            Self::Sheet => "sheet",
        }
    }

    /// The heading that a person reads.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Bike => "Bike",
            Self::Drive => "Chain and sprockets",
            Self::Swingarm => "Swingarm and axle",
            Self::Gearbox => "Engine and gearbox",
            Self::Body => "Mass and geometry",
            Self::Tyre => "Tyres",
            Self::Sheet => "Figures of the manual",
        }
    }
}

/// What a field takes.
#[derive(Debug, Clone, Copy)]
pub enum Kind {
    /// A number inside a bound.
    Number(&'static Bound),
    /// A whole number inside a bound.
    Whole(&'static Bound),
    /// One word of a list.
    Word(&'static [&'static str]),
    /// Free text on one line.
    Text,
    /// Yes or no.
    Flag,
    /// A ratio inside a bound, as a number or by its teeth.
    Ratio(&'static Bound),
    /// One to eight ratios, strictly falling.
    Ratios(&'static Bound),
    /// Three or more points [rpm, N·m], the speed strictly rising.
    Curve,
}

/// One field of the sheet.
#[derive(Debug, Clone, Copy)]
pub struct BikeField {
    /// The name, the same as in every figure.
    pub name: &'static str,
    /// The part of the sheet.
    pub section: Section,
    /// What it takes.
    pub kind: Kind,
    /// What a rider calls it.
    pub word: &'static str,
    /// The unit as printed; empty for counts, ratios and words.
    pub unit: &'static str,
    /// What it is, in at most two short sentences.
    pub hint: &'static str,
    /// How to measure it, or where it stands.
    pub how_to: &'static str,
    /// Whether the bike's manual is its place (a figure the tool never computes or assumes).
    pub manual: bool,
    /// The figure of the job library that it answers.
    pub job_figure: Option<&'static str>,
    /// Another name under which a file may give it, inside its section.
    pub also: Option<&'static str>,
}

impl BikeField {
    pub(super) const fn new(section: Section, name: &'static str, kind: Kind, word: &'static str) -> Self {
        let unit = match kind {
            Kind::Number(bound) => bound.unit,
            Kind::Curve => "rpm, N·m",
            _ => "",
        };
        Self { name, section, kind, word, unit, hint: "", how_to: "", manual: false, job_figure: None, also: None }
    }

    pub(super) const fn number(section: Section, name: &'static str, bound: &'static Bound) -> Self {
        Self::new(section, name, Kind::Number(bound), bound.word)
    }

    pub(super) const fn whole(section: Section, name: &'static str, bound: &'static Bound) -> Self {
        Self::new(section, name, Kind::Whole(bound), bound.word)
    }

    pub(super) const fn says(self, hint: &'static str, how_to: &'static str) -> Self {
        Self { hint, how_to, ..self }
    }

    pub(super) const fn manual(self) -> Self {
        Self { manual: true, ..self }
    }

    pub(super) const fn answers(self, figure: &'static str) -> Self {
        Self { job_figure: Some(figure), ..self }
    }

    pub(super) const fn also(self, key: &'static str) -> Self {
        Self { also: Some(key), ..self }
    }

    /// The bound of a number, count or ratio.
    #[must_use]
    pub const fn bound(&self) -> Option<&'static Bound> {
        match self.kind {
            Kind::Number(bound) | Kind::Whole(bound) | Kind::Ratio(bound) | Kind::Ratios(bound) => Some(bound),
            _ => None,
        }
    }

    /// What is possible, in words: "8 to 25", "clip, rivet or endless".
    #[must_use]
    pub fn possible(&self) -> String {
        match self.kind {
            Kind::Number(bound) => bound.range(),
            Kind::Whole(bound) => format!("a whole number, {}", bound.range()),
            Kind::Word(words) => any_of(words),
            Kind::Text => "text on one line, up to 200 characters".to_owned(),
            Kind::Flag => "yes or no".to_owned(),
            Kind::Ratio(bound) => format!("a ratio, {}, or the teeth as driver:driven", bound.range()),
            Kind::Ratios(bound) => format!("1 to 8 ratios from first to top gear, each lower, {}", bound.range()),
            Kind::Curve => "3 or more points of rpm and N·m, the rpm rising".to_owned(),
        }
    }

    /// Checks one value by itself; what ties fields together is checked on the whole sheet.
    ///
    /// # Errors
    /// The fault: another kind, out of range, no such word, a list of the wrong shape.
    pub fn check(&self, value: &Value) -> Result<(), Fault> {
        match (self.kind, value) {
            (Kind::Number(bound), Value::Number(number)) => self.inside(bound, *number),
            (Kind::Whole(bound), Value::Whole(count)) => self.inside(bound, f64::from(*count)),
            (Kind::Word(words), Value::Word(word)) => {
                if words.contains(&word.as_str()) {
                    Ok(())
                } else {
                    Err(self.fault("no_such_word", word))
                }
            }
            (Kind::Text, Value::Text(text)) => {
                if is_line(text, TEXT_LIMIT) {
                    Ok(())
                } else {
                    Err(self.fault("not_text", text))
                }
            }
            (Kind::Flag, Value::Flag(_)) => Ok(()),
            (Kind::Ratio(bound), Value::Ratio(ratio)) => self.ratio(bound, *ratio),
            (Kind::Ratios(bound), Value::Ratios(ratios)) => self.ratios(bound, ratios),
            (Kind::Curve, Value::Curve(points)) => self.curve(points),
            _ => Err(self.fault("wrong_type", value.kind_word())),
        }
    }

    /// A fault of this field: what was given, what is possible, what to do.
    pub(super) fn fault(&self, code: &'static str, given: impl std::fmt::Display) -> Fault {
        let given = short(&given.to_string());
        let advice = if self.how_to.is_empty() { "Check what was typed." } else { self.how_to };
        let (name, word, possible) = (self.name, self.word, self.possible());
        Fault::new(name, code, format!("{name} ({word}) is {given}; possible: {possible}. {advice}"))
    }

    fn inside(&self, bound: &Bound, number: f64) -> Result<(), Fault> {
        if bound.holds(number) { Ok(()) } else { Err(self.fault("out_of_range", number)) }
    }

    fn ratio(&self, bound: &Bound, ratio: Ratio) -> Result<(), Fault> {
        if let Ratio::Teeth { driver, driven } = ratio {
            let teeth = bounds::GEAR_TEETH;
            if !(teeth.holds(f64::from(driver)) && teeth.holds(f64::from(driven))) {
                return Err(Fault::new(
                    self.name,
                    "out_of_range",
                    format!("{} has the teeth {ratio}; {} is possible for each.", self.name, teeth.range()),
                ));
            }
        }
        if bound.holds(ratio.real()) { Ok(()) } else { Err(self.fault("out_of_range", ratio)) }
    }

    fn ratios(&self, bound: &Bound, ratios: &[Ratio]) -> Result<(), Fault> {
        if !(1..=MOST_GEARS).contains(&ratios.len()) {
            return Err(self.fault("wrong_list", format_args!("a list of {}", ratios.len())));
        }
        ratios.iter().try_for_each(|ratio| self.ratio(bound, *ratio))?;
        match ratios.windows(2).position(|two| two[1].real() >= two[0].real()) {
            None => Ok(()),
            Some(place) => Err(Fault::new(
                self.name,
                "wrong_list",
                format!(
                    "{} go from first to top gear, each lower than the one before: gear {} is {}, gear {} is {}.",
                    self.name,
                    place + 1,
                    ratios[place],
                    place + 2,
                    ratios[place + 1]
                ),
            )),
        }
    }

    fn curve(&self, points: &[[f64; 2]]) -> Result<(), Fault> {
        if !(CURVE_POINTS..=MOST_POINTS).contains(&points.len()) {
            return Err(self.fault("wrong_list", format_args!("a list of {}", points.len())));
        }
        for [rpm, torque] in points {
            for (bound, number) in [(&bounds::CURVE_RPM, *rpm), (&bounds::CURVE_TORQUE, *torque)] {
                if !bound.holds(number) {
                    return Err(Fault::new(
                        self.name,
                        "out_of_range",
                        format!("{} has {} {number}; {} is possible.", self.name, bound.word, bound.range()),
                    ));
                }
            }
        }
        match points.windows(2).find(|two| two[1][0] <= two[0][0]) {
            None => Ok(()),
            Some(two) => Err(Fault::new(
                self.name,
                "wrong_list",
                format!("{} needs rising rpm: after {} comes {}. Sort the points.", self.name, two[0][0], two[1][0]),
            )),
        }
    }
}

/// The longest text of a field.
pub(super) const TEXT_LIMIT: usize = 200;
/// The most points of a curve; a finer one says nothing more.
const MOST_POINTS: usize = 200;

/// Whether text is one line with something on it, without control characters, no longer than `limit`.
pub(super) fn is_line(text: &str, limit: usize) -> bool {
    !text.trim().is_empty()
        && text.trim() == text
        && text.chars().count() <= limit
        && !text.chars().any(char::is_control)
}

fn any_of(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

fn short(text: &str) -> String {
    if text.chars().count() > 60 {
        format!("{}…", text.chars().take(60).collect::<String>())
    } else {
        text.to_owned()
    }
}
