//! A slack reading held against the bike sheet alone: its band and its stop figure, of the same kind, read the same way.

use upkeep::bike::Bike;
use upkeep::record::SlackKind;

use crate::verdict::{Reason, Verdict};
use crate::words::{mm, quantity, range};

/// The sheet's band of a kind of slack; the other kind is never turned into it.
#[must_use]
pub fn of(bike: &Bike, kind: SlackKind) -> Option<[f64; 2]> {
    (bike.word("slack_kind").unwrap_or(SlackKind::Free.word()) == kind.word()).then_some(())?;
    Some([bike.number("slack_mm_min")?, bike.number("slack_mm_max")?])
}

/// How many digits the ends of a band need behind the point: none where both are whole, as manuals give them.
#[must_use]
pub fn places(from_to_mm: [f64; 2]) -> usize {
    usize::from(from_to_mm.iter().any(|end| end.fract() != 0.0))
}

/// A band in words, no end rounded away from what is held to: "82 to 88 mm", "82.5 to 88.0 mm".
#[must_use]
pub fn words(from_to_mm: [f64; 2]) -> String {
    let [low, high] = from_to_mm;
    range(low, high, "mm", places(from_to_mm))
}

/// What speaks against a reading by the sheet alone: under its stop figure, outside its band.
#[must_use]
pub fn against(bike: &Bike, kind: SlackKind, slack_mm: f64) -> Vec<Reason> {
    if slack_mm <= 0.0 {
        return vec![taut()];
    }
    let mut reasons = Vec::new();
    let same = bike.word("slack_kind").unwrap_or(SlackKind::Free.word()) == kind.word();
    if let Some(stop) = bike.number("slack_stop_mm").filter(|stop| same && slack_mm < *stop) {
        let text = format!("Slack {} is below the sheet's stop figure of {}.", mm(slack_mm), mm(stop));
        reasons.push(Reason::new(Verdict::Stop, "", text).cleared_by("Set the slack", 25));
    }
    let Some([low, high]) = of(bike, kind) else { return reasons };
    if !(low..=high).contains(&slack_mm) {
        let side = if slack_mm < low { "tighter" } else { "looser" };
        let text = format!("Slack {} is {side} than the sheet's {}.", mm(slack_mm), words([low, high]));
        reasons.push(Reason::new(Verdict::Care, "", text).cleared_by("Set the slack", 25));
    }
    reasons
}

/// The verdict of a reading that only the sheet can judge: the geometry is not there, or the kind has none.
#[must_use]
pub fn alone(bike: &Bike, kind: SlackKind, slack_mm: f64) -> Option<Vec<Reason>> {
    let mut reasons = against(bike, kind, slack_mm);
    if reasons.is_empty() {
        let text = format!(
            "Slack {} is inside the sheet's {}; what is left in line is not known.",
            mm(slack_mm),
            words(of(bike, kind)?)
        );
        reasons.push(Reason::new(Verdict::Ready, "", text));
    }
    Some(reasons)
}

/// A chain that reads 0 has nothing left to give.
#[must_use]
pub fn taut() -> Reason {
    let text = format!(
        "No slack at all: the chain reads {}, it is taut already and tightens further with the travel. Chain, countershaft and bearings take that load.",
        quantity(0.0, "mm", 0)
    );
    Reason::new(Verdict::Stop, "", text).cleared_by("Let the axle forward, then read again", 25)
}

#[cfg(test)]
mod tests {
    use upkeep::bike::{Change, Value};

    use super::*;

    fn bike(kind: &str) -> Bike {
        let text = "schema = 1\n[bike]\nid = \"b\"\nname = \"B\"\nengine = \"four-stroke\"\n";
        let mut bike = Bike::from_toml(text).expect("a bike");
        let fields = [
            ("slack_mm_min", Value::Number(30.0)),
            ("slack_mm_max", Value::Number(40.0)),
            ("slack_stop_mm", Value::Number(25.0)),
            ("slack_kind", Value::Word(kind.to_owned())),
        ];
        let all: Vec<Change> =
            fields.map(|(field, value)| Change { field: field.to_owned(), value: Some(value), source: None }).to_vec();
        bike.change(&all).expect("the sheet takes it");
        bike
    }

    #[test]
    fn a_gap_is_held_against_a_gap_and_never_against_a_free_band() {
        let worst = |kind, slack| alone(&bike("gap"), kind, slack).map(|reasons| crate::verdict::of(&reasons));
        assert_eq!(worst(SlackKind::Gap, 35.0), Some(Verdict::Ready));
        assert_eq!(worst(SlackKind::Gap, 45.0), Some(Verdict::Care));
        assert_eq!(worst(SlackKind::Gap, 24.9), Some(Verdict::Stop));
        assert_eq!(worst(SlackKind::Free, 35.0), None);
    }

    #[test]
    fn no_end_of_a_band_is_rounded_away_from_what_is_held_to() {
        assert_eq!(words([30.0, 40.0]), "30 to 40 mm");
        assert_eq!(words([32.5, 40.0]), "32.5 to 40.0 mm");
        assert_eq!(words([88.8, 94.8]), "88.8 to 94.8 mm");
    }

    #[test]
    fn nothing_left_is_a_stop_of_every_kind() {
        for kind in [SlackKind::Free, SlackKind::Gap] {
            assert_eq!(against(&bike("free"), kind, 0.0), [taut()]);
        }
    }
}
