//! How much a ranking of pairs is worth, from the facts of its replay.

/// Under way for at least this long, s.
const LONG_ENOUGH_S: f64 = 1200.0;
/// Points at most this far apart, s.
const CLOSE_ENOUGH_S: f64 = 2.0;
/// Runs within the band (of 8) for the two better grades.
const RUNS: [u32; 2] = [7, 5];
/// Conditions that may be bad for the middle grade.
const BAD_ALLOWED: usize = 2;

/// The facts of a replay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Facts {
    /// Of the 8 runs of the sensitivity study, those whose best pair stays within the band of the nominal best.
    pub runs_in_band: u32,
    /// Whether the slope is known.
    pub grade_known: bool,
    /// Whether the engine's curve is the rider's own.
    pub curve_given: bool,
    /// Time under way, s.
    pub moving_s: f64,
    /// Whether the ride was held at the limiter in top gear.
    pub saturated: bool,
    /// Median time between points, s.
    pub interval_s: f64,
    /// Whether the best pair lies at the edge of the set.
    pub at_edge: bool,
    /// Whether the track has no usable times.
    pub geometry_only: bool,
}

/// How sure an answer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Confidence {
    /// Act on it.
    High,
    /// Act on it, and look at the reasons.
    Medium,
    /// A direction at best.
    Low,
}

impl Confidence {
    /// The word of figures.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::High => "high",
            Self::Medium => "medium",
            Self::Low => "low",
        }
    }
}

/// Grades a ranking and names the facts that are bad.
///
/// # Formula
/// High: at least 7 of 8 runs in the band and all five conditions good. Medium: at least 5 of 8, at most two
/// conditions bad. Low otherwise, and always at the edge of the set or without times.
#[must_use]
pub fn confidence(facts: &Facts) -> (Confidence, Vec<&'static str>) {
    let conditions = [
        ("grade_known", facts.grade_known),
        ("curve_given", facts.curve_given),
        ("moving_s", facts.moving_s >= LONG_ENOUGH_S),
        ("saturated", !facts.saturated),
        ("interval_s", facts.interval_s <= CLOSE_ENOUGH_S),
    ];
    let mut reasons: Vec<&'static str> = conditions.iter().filter(|(_, good)| !good).map(|(name, _)| *name).collect();
    let bad = reasons.len();
    let grade = if facts.at_edge || facts.geometry_only {
        Confidence::Low
    } else if facts.runs_in_band >= RUNS[0] && bad == 0 {
        Confidence::High
    } else if facts.runs_in_band >= RUNS[1] && bad <= BAD_ALLOWED {
        Confidence::Medium
    } else {
        Confidence::Low
    };
    let more = [
        ("runs_in_band", facts.runs_in_band < RUNS[0]),
        ("at_edge", facts.at_edge),
        ("geometry_only", facts.geometry_only),
    ];
    reasons.extend(more.iter().filter(|(_, bad)| *bad).map(|(name, _)| *name));
    (grade, reasons)
}

#[cfg(test)]
mod tests {
    use super::*;

    const GOOD: Facts = Facts {
        runs_in_band: 7,
        grade_known: true,
        curve_given: true,
        moving_s: 1200.0,
        saturated: false,
        interval_s: 2.0,
        at_edge: false,
        geometry_only: false,
    };

    #[test]
    fn each_fact_is_bad_just_past_its_limit_and_named() {
        assert_eq!(confidence(&GOOD), (Confidence::High, vec![]));
        let bad = [
            (Facts { grade_known: false, ..GOOD }, Confidence::Medium, "grade_known"),
            (Facts { curve_given: false, ..GOOD }, Confidence::Medium, "curve_given"),
            (Facts { moving_s: 1199.9, ..GOOD }, Confidence::Medium, "moving_s"),
            (Facts { saturated: true, ..GOOD }, Confidence::Medium, "saturated"),
            (Facts { interval_s: 2.001, ..GOOD }, Confidence::Medium, "interval_s"),
            (Facts { runs_in_band: 6, ..GOOD }, Confidence::Medium, "runs_in_band"),
            (Facts { runs_in_band: 5, ..GOOD }, Confidence::Medium, "runs_in_band"),
            (Facts { runs_in_band: 4, ..GOOD }, Confidence::Low, "runs_in_band"),
            (Facts { at_edge: true, ..GOOD }, Confidence::Low, "at_edge"),
            (Facts { geometry_only: true, ..GOOD }, Confidence::Low, "geometry_only"),
        ];
        for (facts, grade, name) in bad {
            assert_eq!(confidence(&facts), (grade, vec![name]));
        }
    }

    #[test]
    fn two_bad_conditions_are_a_middle_grade_and_three_are_none() {
        let two = Facts { grade_known: false, saturated: true, ..GOOD };
        assert_eq!(confidence(&two), (Confidence::Medium, vec!["grade_known", "saturated"]));
        let three = Facts { curve_given: false, ..two };
        assert_eq!(confidence(&three), (Confidence::Low, vec!["grade_known", "curve_given", "saturated"]));
        let few = Facts { runs_in_band: 5, ..two };
        assert_eq!(confidence(&few), (Confidence::Medium, vec!["grade_known", "saturated", "runs_in_band"]));
    }

    #[test]
    fn a_grade_has_its_word() {
        assert_eq!(
            [Confidence::High, Confidence::Medium, Confidence::Low].map(Confidence::word),
            ["high", "medium", "low"]
        );
    }
}
