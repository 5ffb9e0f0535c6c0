//! Surplus chain against free slack of one straight run.
//!
//! ```text
//!        front tangent ●────λ·a────┬──(1−λ)·a──● rear tangent      a: free run
//!                                  │ F/2                           F: slack, all the way down to all the way up
//! ```

use measure::Length;

/// Chain beyond taut that lets a run of length `span` move by `slack` at `station` (0–1 from the front).
///
/// # Formula
/// d = √((λa)² + (F/2)²) + √(((1−λ)a)² + (F/2)²) − a
#[must_use]
pub(super) fn surplus(span: Length, slack: Length, station: f64) -> Length {
    let (a, h) = (span.mm(), slack.mm() / 2.0);
    // Each side's surplus as h²/(hypot + side), so that nearly taut runs keep their digits.
    let side = |s: f64| h * h / (s.hypot(h) + s);
    Length::from_mm(side(station * a) + side((1.0 - station) * a))
}

/// Free slack at `station` that a surplus (not negative) allows; the inverse of [`surplus`].
///
/// # Formula
/// The lifted point runs on an ellipse about the tangent points: half axes A = (a+d)/2, B = √(A² − (a/2)²);
/// F = 2 B √(1 − ((λ−½)a/A)²)
#[must_use]
pub(super) fn slack(span: Length, surplus: Length, station: f64) -> Length {
    let (a, d) = (span.mm(), surplus.mm().max(0.0));
    let half = (a + d) / 2.0;
    let b2 = d * (2.0 * a + d) / 4.0;
    let off = (station - 0.5) * a / half;
    Length::from_mm(2.0 * (b2 * (1.0 - off * off)).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slack_and_surplus_undo_each_other() {
        for (slack, span, station) in [(40.0, 620.0, 0.5), (3.0, 500.0, 0.2), (250.0, 300.0, 0.85)] {
            let span = Length::from_mm(span);
            let back = super::slack(span, surplus(span, Length::from_mm(slack), station), station);
            assert!((back.mm() - slack).abs() < 1e-9, "{slack}");
        }
    }
}
