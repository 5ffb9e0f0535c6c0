//! The four verdicts and their reasons. Unknown is never shown as ready.

use serde::Serialize;

/// Whether something may be ridden, fitted or trusted. Ordered from best to worst, so that the worst decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum Verdict {
    /// Nothing stands against it.
    Ready,
    /// It may be done, with the named care.
    Care,
    /// A fact that is needed is not there.
    Unknown,
    /// It must not be done before the reason is cleared.
    Stop,
}

impl Verdict {
    /// The words that a person reads.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Ready => "Ready",
            Self::Care => "Ready with care",
            Self::Stop => "Not ready",
            Self::Unknown => "Not known",
        }
    }

    /// The words where a fit is judged rather than a ride.
    #[must_use]
    pub const fn fit_words(self) -> &'static str {
        match self {
            Self::Ready => "Fits",
            Self::Care => "Fits, with care",
            Self::Stop => "Does not fit",
            Self::Unknown => "Not known",
        }
    }

    /// The code for programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Ready => "READY",
            Self::Care => "CARE",
            Self::Stop => "STOP",
            Self::Unknown => "UNKNOWN",
        }
    }
}

/// What lifts a reason, and how long it takes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Clear {
    /// What to do.
    pub act: String,
    /// About how long, in minutes.
    pub minutes_min: u32,
    /// The place of the tool where it is done: `drive`, `drive/measure/slack`, `bike`, `jobs`.
    pub place: &'static str,
}

/// One reason for a verdict.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Reason {
    /// What it makes of the whole.
    pub verdict: Verdict,
    /// The sentence, with its figure and limit.
    pub text: String,
    /// The figure that says so; empty where a fact is missing.
    pub figure: &'static str,
    /// What clears it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clear: Option<Clear>,
}

impl Reason {
    /// A reason without a way to clear it at the bench.
    #[must_use]
    pub fn new(verdict: Verdict, figure: &'static str, text: impl Into<String>) -> Self {
        Self { verdict, text: text.into(), figure, clear: None }
    }

    /// The same reason with what clears it at the drive.
    #[must_use]
    pub fn cleared_by(self, act: impl Into<String>, minutes_min: u32) -> Self {
        self.cleared_at("drive", act, minutes_min)
    }

    /// The same reason with what clears it, and where.
    #[must_use]
    pub fn cleared_at(self, place: &'static str, act: impl Into<String>, minutes_min: u32) -> Self {
        // Minutes stand behind it, so it does not end as a sentence does.
        let act: String = act.into();
        let act = act.trim_end_matches('.').to_owned();
        Self { clear: Some(Clear { act, minutes_min, place }), ..self }
    }
}

/// The verdict of several reasons: the worst decides; none at all is ready.
#[must_use]
pub fn of(reasons: &[Reason]) -> Verdict {
    reasons.iter().map(|reason| reason.verdict).max().unwrap_or(Verdict::Ready)
}

/// Puts the worst reasons first, keeping the order among equals.
pub fn worst_first(reasons: &mut [Reason]) {
    reasons.sort_by_key(|reason| std::cmp::Reverse(reason.verdict));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worst_reason_decides_and_unknown_is_worse_than_care() {
        let reasons = [Verdict::Care, Verdict::Unknown, Verdict::Ready].map(|v| Reason::new(v, "", "x"));
        assert_eq!(of(&reasons), Verdict::Unknown);
        assert_eq!(of(&[]), Verdict::Ready);
        assert!(Verdict::Stop > Verdict::Unknown);
    }
}
