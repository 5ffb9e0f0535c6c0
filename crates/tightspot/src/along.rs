//! Readings of slack along the travel, parsed at the door: the same for a command's `--at` and for the rows of a form.

use advice::geometry::Asked;
use measure::bounds::{record, slack};

use crate::asked::{Door, Faulty};

/// The fields of each row: wheel travel and the slack read there.
pub(crate) const ROWS: [(&str, &str); 12] = [
    ("travel_1", "slack_1"),
    ("travel_2", "slack_2"),
    ("travel_3", "slack_3"),
    ("travel_4", "slack_4"),
    ("travel_5", "slack_5"),
    ("travel_6", "slack_6"),
    ("travel_7", "slack_7"),
    ("travel_8", "slack_8"),
    ("travel_9", "slack_9"),
    ("travel_10", "slack_10"),
    ("travel_11", "slack_11"),
    ("travel_12", "slack_12"),
];

/// The readings of a form; a row that is empty is left out, half a row is a fault.
pub(crate) fn rows<'t>(door: &mut Door, text: impl Fn(&str) -> &'t str) -> Vec<[f64; 2]> {
    ROWS.into_iter().filter_map(|row| one(door, row, text(row.0), text(row.1))).collect()
}

/// The readings of `--at TRAVEL=SLACK`.
pub(crate) fn options(door: &mut Door, given: &[String]) -> Vec<[f64; 2]> {
    if given.len() > ROWS.len() {
        let text = format!("at: {} readings are given; up to {} are possible.", given.len(), ROWS.len());
        door.faults.push(Faulty { field: "at", text });
    }
    let mut readings = Vec::new();
    for (row, text) in ROWS.into_iter().zip(given) {
        if let Some((travel, slack)) = text.split_once('=') {
            readings.extend(one(door, row, travel, slack));
        } else {
            let text = format!("at: \"{text}\" is no reading; travel=slack is wanted, such as 50=72,5.");
            door.faults.push(Faulty { field: "at", text });
        }
    }
    readings
}

fn one(door: &mut Door, row: (&'static str, &'static str), travel: &str, slack: &str) -> Option<[f64; 2]> {
    let fields = [row.0, row.1];
    let [travel_empty, slack_empty] = [travel, slack].map(|text| text.trim().is_empty());
    if travel_empty && slack_empty {
        return None;
    }
    if let Some(field) =
        fields.into_iter().zip([travel_empty, slack_empty]).find_map(|(field, empty)| empty.then_some(field))
    {
        let text = format!("{field}: only the other half of the reading is given. Give both, or leave both out.");
        door.faults.push(Faulty { field, text });
        return None;
    }
    let travel = door.number(row.0, Some(travel), &slack::TRAVEL);
    let slack = door.number(row.1, Some(slack), &record::SLACK);
    Some([travel?, slack?])
}

/// What is asked: the readings, and whether the slider is to be told, too.
pub(crate) const fn asked(readings_mm: Vec<[f64; 2]>, fits_slider: bool) -> Asked {
    Asked { readings_mm, fits_slider }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_is_read_in_any_unit_and_with_a_comma() {
        let mut door = Door::of_command();
        let given = ["0=88,8".to_owned(), "2 in=70.4".to_owned()];
        assert_eq!(options(&mut door, &given), [[0.0, 88.8], [50.8, 70.4]]);
        assert!(door.faults.is_empty());
    }

    #[test]
    fn half_a_reading_and_no_reading_are_named() {
        let mut door = Door::of_command();
        options(&mut door, &["50".to_owned(), "=70".to_owned(), "90=two fingers".to_owned()]);
        let fields: Vec<_> = door.faults.iter().map(|fault| fault.field).collect();
        assert_eq!(fields, ["at", "travel_2", "slack_3"]);
        let mut door = Door::default();
        let typed = |name: &str| if name == "travel_4" { "120" } else { "" };
        assert!(rows(&mut door, typed).is_empty());
        assert_eq!(door.faults[0].field, "slack_4");
    }
}
