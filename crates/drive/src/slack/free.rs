//! Slack of the free kind: total movement of one run, square to it, the other run taut.
//!
//! ```text
//!   front o-----------+-----------------o rear     a = straight run, λ = station (share of a from the front)
//!          \          | h              /           the pushed pin lies on an ellipse about the tangent points:
//!           `---------+---------------'            the two legs together are a + e
//! ```
//! Tangent points are taken as fixed: against moving ones the total is right within 0.05 mm for slack as set.
//! Up and down halves differ by some tenths and are not told apart.

use measure::Length;

/// Total movement at a station of the run from surplus chain; 0 where there is none.
///
/// # Formula
/// `F = √(2ae + e²) √(1 - ((2λ - 1) a/(a + e))²)`; at mid-run the second root is 1.
///
/// # Source
/// geometry: the ellipse of all places whose distances to both tangent points add up to a + e.
///
/// # Example
/// ```
/// use drive::slack::free;
/// use measure::Length;
/// let slack = free::slack(Length::from_mm(676.0), Length::from_mm(5.3), 0.5);
/// assert!((slack.mm() - 84.8).abs() < 0.05);
/// ```
#[must_use]
pub fn slack(span: Length, surplus: Length, station: f64) -> Length {
    let (a, e) = (span.mm(), surplus.mm().max(0.0));
    let aside = (2.0 * station - 1.0) * a / (a + e);
    Length::from_mm((e * (2.0 * a + e)).sqrt() * (1.0 - aside * aside).max(0.0).sqrt())
}

/// Surplus chain from the total movement at a station of the run.
///
/// # Formula
/// `e = hypot(λa, F/2) + hypot((1-λ)a, F/2) - a`
///
/// # Source
/// geometry
#[must_use]
pub fn surplus(span: Length, slack: Length, station: f64) -> Length {
    let (a, half) = (span.mm(), slack.mm() / 2.0);
    // hypot(leg, h) - leg without the loss of digits that the difference would bring.
    let longer = |leg: f64| {
        let slope = leg.hypot(half);
        if slope > 0.0 { half * half / (slope + leg) } else { 0.0 }
    };
    Length::from_mm(longer(station * a) + longer((1.0 - station) * a))
}

/// The station of mid-run.
pub(crate) const MID: f64 = 0.5;

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> Length {
        Length::from_mm(value)
    }

    #[test]
    fn slack_and_surplus_undo_each_other_at_any_station() {
        for station in [0.05, 0.3, 0.5, 0.9] {
            for e in [0.001, 0.3, 1.0, 8.0, 40.0] {
                let back = surplus(mm(676.0), slack(mm(676.0), mm(e), station), station);
                assert!((back.mm() - e).abs() < 1e-10, "{station} {e} {}", back.mm());
            }
        }
    }

    #[test]
    fn without_surplus_there_is_no_slack() {
        assert!(slack(mm(676.0), mm(0.0), 0.3) == Length::ZERO);
        assert!(slack(mm(676.0), mm(-1.0), 0.5) == Length::ZERO);
    }
}
