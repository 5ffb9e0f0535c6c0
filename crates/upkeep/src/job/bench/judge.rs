//! Whether a captured number passes: what its figure asks of it, and by how much it is off.

use super::Outcome;

/// Share by which a number may be off its figure before it is asked back.
///
/// # Source
/// tool's own.
const OFF: f64 = 0.1;

/// What a figure asks of a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sense {
    /// The number is to be the figure.
    About,
    /// The number may not be less.
    AtLeast,
    /// The number may not be more.
    AtMost,
    /// The number is the figure or it is not.
    Exactly,
}

/// Figures of the library that are limits of wear: what is left may not be less.
const LEAST: [&str; 5] = ["slider-limit", "disc-limit", "friction-limit", "pad-limit", "spring-limit"];
/// Figures that are limits of what may be there at most.
const MOST: [&str; 3] = ["chain-wear-limit", "rim-runout", "ring-gap"];

/// What a figure of the library asks of a number.
#[must_use]
pub fn sense(figure: &str) -> Sense {
    if LEAST.contains(&figure) {
        Sense::AtLeast
    } else if MOST.contains(&figure) {
        Sense::AtMost
    } else if figure == "planned-links" {
        Sense::Exactly
    } else {
        Sense::About
    }
}

/// The figure that a number is held against.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Its low end; the figure itself where it is one number.
    pub low: f64,
    /// Its high end.
    pub high: f64,
    /// What it asks.
    pub sense: Sense,
    /// The figure with its unit and source, in words.
    pub words: String,
}

/// What becomes of a number: passed; failed; or off the figure by more than a tenth, which is asked back.
///
/// # Holds when
/// A figure given as a band is a band: outside of it the number fails. Only a single figure is asked back.
#[must_use]
pub fn judge(limit: &Limit, number: f64) -> Outcome {
    let is = |passes: bool| if passes { Outcome::Passed } else { Outcome::Failed };
    match limit.sense {
        Sense::AtLeast => is(number >= limit.low),
        Sense::AtMost => is(number <= limit.high),
        Sense::Exactly => is((number - limit.low).abs() < 1e-9),
        Sense::About if limit.low < limit.high => is((limit.low..=limit.high).contains(&number)),
        Sense::About => {
            // A figure typed back is the figure, whatever the last bit of the tenth says.
            let off = (number - limit.low).abs() <= limit.low.abs() * OFF + 1e-9;
            if off { Outcome::Passed } else { Outcome::Confirmed }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn limit(low: f64, high: f64, sense: Sense) -> Limit {
        Limit { low, high, sense, words: String::new() }
    }

    #[test]
    fn a_torque_is_asked_back_beyond_a_tenth_and_a_band_is_a_band() {
        let torque = limit(100.0, 100.0, Sense::About);
        for (number, outcome) in
            [(90.0, Outcome::Passed), (110.0, Outcome::Passed), (89.9, Outcome::Confirmed), (110.1, Outcome::Confirmed)]
        {
            assert_eq!(judge(&torque, number), outcome, "{number}");
        }
        let slack = limit(82.0, 88.0, Sense::About);
        for (number, outcome) in
            [(82.0, Outcome::Passed), (88.0, Outcome::Passed), (81.9, Outcome::Failed), (88.1, Outcome::Failed)]
        {
            assert_eq!(judge(&slack, number), outcome, "{number}");
        }
    }

    #[test]
    fn a_limit_of_wear_has_one_side_and_a_count_is_exact() {
        assert_eq!(judge(&limit(6.0, 6.0, Sense::AtLeast), 9.0), Outcome::Passed);
        assert_eq!(judge(&limit(6.0, 6.0, Sense::AtLeast), 5.5), Outcome::Failed);
        assert_eq!(judge(&limit(1.0, 1.0, Sense::AtMost), 1.2), Outcome::Failed);
        assert_eq!(judge(&limit(118.0, 118.0, Sense::Exactly), 118.0), Outcome::Passed);
        assert_eq!(judge(&limit(118.0, 118.0, Sense::Exactly), 116.0), Outcome::Failed);
        assert_eq!(sense("slider-limit"), Sense::AtLeast);
        assert_eq!(sense("rear-axle-torque"), Sense::About);
    }

    #[test]
    fn every_limit_is_met_exactly() {
        use Outcome::{Failed, Passed};
        for (sense, number, want) in [
            (Sense::AtLeast, 6.0, Passed),
            (Sense::AtLeast, 5.999_999, Failed),
            (Sense::AtMost, 8.0, Passed),
            (Sense::AtMost, 8.000_001, Failed),
            (Sense::Exactly, 6.0, Passed),
            (Sense::Exactly, 6.0 + 1e-10, Passed),
            (Sense::Exactly, 6.0 + 1e-8, Failed),
            (Sense::Exactly, 6.0 - 1e-8, Failed),
        ] {
            assert_eq!(judge(&limit(6.0, 8.0, sense), number), want, "{sense:?} {number}");
        }
        let below = limit(-20.0, -20.0, Sense::About);
        for (number, want) in
            [(-22.0, Passed), (-18.0, Passed), (-22.1, Outcome::Confirmed), (-17.9, Outcome::Confirmed)]
        {
            assert_eq!(judge(&below, number), want, "{number}");
        }
        assert_eq!(judge(&limit(0.0, 0.0, Sense::About), 1e-10), Passed);
    }

    #[test]
    fn every_limit_of_wear_of_the_carried_library_has_its_side() {
        let figures = crate::job::shipped().figures();
        for figure in figures.filter(|figure| figure.id.ends_with("-limit")) {
            let side = if figure.id == "chain-wear-limit" { Sense::AtMost } else { Sense::AtLeast };
            assert_eq!(sense(&figure.id), side, "{}", figure.id);
        }
        assert_eq!([sense("rim-runout"), sense("ring-gap")], [Sense::AtMost; 2]);
        assert_eq!([sense("planned-links"), sense("drain-torque")], [Sense::Exactly, Sense::About]);
    }
}
