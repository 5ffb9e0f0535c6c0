//! A figure of the manual that the bike's sheet has no field for, by the rider's own entry with its source.

use crate::bike::Fault;

/// The longest text of a value or source.
const LONGEST: usize = 200;

/// What the manual says.
#[derive(Debug, Clone, PartialEq)]
pub enum Said {
    /// A number, or a band of two.
    Number {
        /// Its low end.
        low: f64,
        /// Its high end; the same for one number.
        high: f64,
    },
    /// Words: a grade, a mark.
    Words(String),
}

/// A figure of the manual.
#[derive(Debug, Clone, PartialEq)]
pub struct Manual {
    figure: String,
    said: Said,
    source: String,
}

impl Manual {
    /// A figure with what the manual says and where it says so.
    ///
    /// # Errors
    /// No source, a band the wrong way round, or words that are none.
    pub fn new(figure: &str, said: Said, source: &str) -> Result<Self, Fault> {
        let line = |field: &'static str, text: &str, what: &str| {
            let fits = (1..=LONGEST).contains(&text.trim().chars().count()) && !text.chars().any(char::is_control);
            let told =
                || Fault::new(field, "not_text", format!("{field}: {what} is wanted, 1 to {LONGEST} characters."));
            if fits { Ok(text.trim().to_owned()) } else { Err(told()) }
        };
        let said = match said {
            Said::Number { low, high } if low.is_finite() && high.is_finite() && low <= high => said,
            Said::Number { low, high } => {
                let text = format!("value: a band from {low} to {high} is none; the lower end comes first.");
                return Err(Fault::new("value", "out_of_range", text));
            }
            Said::Words(words) => Said::Words(line("value", &words, "what the manual says")?),
        };
        Ok(Self { figure: figure.to_owned(), said, source: line("source", source, "document and page")? })
    }

    /// The figure, by its name in the library.
    #[must_use]
    pub fn figure(&self) -> &str {
        &self.figure
    }

    /// What the manual says.
    #[must_use]
    pub const fn said(&self) -> &Said {
        &self.said
    }

    /// Document and page.
    #[must_use]
    pub fn source(&self) -> &str {
        &self.source
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_of_the_manual_has_a_source_and_its_band_runs_up() {
        let number = |low, high| Said::Number { low, high };
        assert!(Manual::new("pivot-torque", number(95.0, 95.0), "manual, p. 12").is_ok());
        assert_eq!(Manual::new("pivot-torque", number(95.0, 95.0), " ").expect_err("no source").field, "source");
        assert_eq!(Manual::new("valve-clearance", number(0.2, 0.1), "p. 3").expect_err("turned round").field, "value");
        assert!(Manual::new("fluid-grade", Said::Words("as on the cap".to_owned()), "p. 3").is_ok());
    }

    #[test]
    fn a_line_is_one_to_two_hundred_characters_and_a_band_has_two_finite_ends() {
        let source =
            |text: &str| Manual::new("f", Said::Words("w".to_owned()), text).map(|manual| manual.source().to_owned());
        assert_eq!(source(" p. 1 "), Ok("p. 1".to_owned()));
        assert!(source(&"é".repeat(LONGEST)).is_ok() && source(&"é".repeat(LONGEST + 1)).is_err());
        assert!(source("a\tb").is_err() && source("").is_err());
        let words =
            |text: &str| Manual::new("f", Said::Words(text.to_owned()), "p. 1").map(|manual| manual.said().clone());
        assert_eq!(words(" w "), Ok(Said::Words("w".to_owned())));
        assert_eq!(words(" ").expect_err("none").field, "value");
        let band =
            |low, high| Manual::new("f", Said::Number { low, high }, "p. 1").map(|manual| manual.figure().to_owned());
        assert_eq!(band(1.0, 2.0), Ok("f".to_owned()));
        for (low, high) in [(f64::NAN, 1.0), (1.0, f64::NAN), (f64::NEG_INFINITY, 1.0), (1.0, f64::INFINITY)] {
            assert_eq!(band(low, high).expect_err("no band").field, "value");
        }
    }
}
