//! What can stand on the sheet: numbers, counts, words, flags, ratios, the torque curve. No rule of any field.

use std::fmt;

/// A transmission ratio, driven over driver: as a number, or exactly by its teeth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ratio {
    /// Known as a number only.
    Number(f64),
    /// Known by its teeth, hence exact.
    Teeth {
        /// Teeth of the driving wheel.
        driver: u32,
        /// Teeth of the driven wheel.
        driven: u32,
    },
}

impl Ratio {
    /// The ratio as a number; not finite where the driver has no teeth, which no sheet accepts.
    #[must_use]
    pub fn real(self) -> f64 {
        match self {
            Self::Number(ratio) => ratio,
            Self::Teeth { driver, driven } => f64::from(driven) / f64::from(driver),
        }
    }
}

impl fmt::Display for Ratio {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(ratio) => write!(f, "{ratio}"),
            Self::Teeth { driver, driven } => write!(f, "{driver}:{driven}"),
        }
    }
}

/// One value of the sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A number in the unit of its field.
    Number(f64),
    /// A count.
    Whole(u32),
    /// One word of the field's list.
    Word(String),
    /// Free text.
    Text(String),
    /// Yes or no.
    Flag(bool),
    /// One ratio.
    Ratio(Ratio),
    /// The gears from first to top.
    Ratios(Vec<Ratio>),
    /// Points of engine speed and torque, by rising speed.
    Curve(Vec<[f64; 2]>),
}

impl Value {
    /// The number behind a number, count or single ratio; `None` for everything else.
    #[must_use]
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::Number(number) => Some(*number),
            Self::Whole(count) => Some(f64::from(*count)),
            Self::Ratio(ratio) => Some(ratio.real()),
            _ => None,
        }
    }

    /// What kind of value it is, for a sentence.
    #[must_use]
    pub const fn kind_word(&self) -> &'static str {
        match self {
            Self::Number(_) => "a number",
            Self::Whole(_) => "a whole number",
            Self::Word(_) | Self::Text(_) => "text",
            Self::Flag(_) => "yes or no",
            Self::Ratio(_) => "a ratio",
            Self::Ratios(_) => "a list of ratios",
            Self::Curve(_) => "a curve",
        }
    }
}

impl fmt::Display for Value {
    /// As a person reads it, without unit: `14`, `15.875`, `yes`, `2.4 · 1.85`, `2000 rpm 17 N·m · …`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) => write!(f, "{number}"),
            Self::Whole(count) => write!(f, "{count}"),
            Self::Word(text) | Self::Text(text) => f.write_str(text),
            Self::Flag(flag) => f.write_str(if *flag { "yes" } else { "no" }),
            Self::Ratio(ratio) => write!(f, "{ratio}"),
            Self::Ratios(ratios) => join(f, ratios, |f, ratio| write!(f, "{ratio}")),
            Self::Curve(points) => join(f, points, |f, [rpm, torque]| write!(f, "{rpm} rpm {torque} N·m")),
        }
    }
}

fn join<T>(
    f: &mut fmt::Formatter<'_>,
    items: &[T],
    mut one: impl FnMut(&mut fmt::Formatter<'_>, &T) -> fmt::Result,
) -> fmt::Result {
    for (place, item) in items.iter().enumerate() {
        if place > 0 {
            f.write_str(" · ")?;
        }
        one(f, item)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ratio_by_teeth_is_driven_over_driver() {
        assert!((Ratio::Teeth { driver: 25, driven: 71 }.real() - 2.84).abs() < 1e-12);
    }

    #[test]
    fn a_value_reads_as_a_person_says_it() {
        let gears = Value::Ratios(vec![Ratio::Number(2.4), Ratio::Teeth { driver: 15, driven: 26 }]);
        assert_eq!(gears.to_string(), "2.4 · 15:26");
        assert_eq!(Value::Flag(true).to_string(), "yes");
        assert_eq!(Value::Curve(vec![[2000.0, 17.5]]).to_string(), "2000 rpm 17.5 N·m");
    }

    #[test]
    fn every_kind_of_value_has_words_of_its_own() {
        let kinds = [
            Value::Number(1.0),
            Value::Whole(1),
            Value::Word("o-ring".into()),
            Value::Flag(true),
            Value::Ratio(Ratio::Number(2.4)),
            Value::Ratios(vec![Ratio::Number(2.4)]),
            Value::Curve(vec![[2000.0, 17.5]]),
        ];
        let words: std::collections::BTreeSet<&str> = kinds.iter().map(Value::kind_word).collect();
        assert_eq!(words.len(), kinds.len());
        assert!(words.iter().all(|word| !word.is_empty()));
    }
}
