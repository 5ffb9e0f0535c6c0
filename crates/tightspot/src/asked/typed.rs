//! What riders type, through the door of commands and forms: understood, asked back or refused with what to type.

use measure::bounds::{bike, record, slack};
use measure::{Bound, entry};

use super::Door;

const ARM: &Bound = &bike::ARM;
const SLACK: &Bound = &slack::SLACK;
const TORQUE: &Bound = &bike::TORQUE;
const HOURS: &Bound = &record::RIDE;
const METER: &Bound = &record::METER;
const SIDE: &Bound = &bike::COUNTERSHAFT_Z;
const RPM: &Bound = &bike::MAX_RPM;

/// Typed text, the bound that it is read for, the number that is kept, what is said to have been understood.
const UNDERSTOOD: &[(&str, &Bound, f64, &str)] = &[
    ("12,5", SLACK, 12.5, "= 12.5 mm"),
    ("12.5", SLACK, 12.5, "= 12.5 mm"),
    (" 12,5 mm ", SLACK, 12.5, "= 12.5 mm"),
    ("12,5mm", SLACK, 12.5, "= 12.5 mm"),
    ("85 MM", SLACK, 85.0, "= 85 mm"),
    ("8,5 cm", SLACK, 85.0, "= 85 mm"),
    ("+85", SLACK, 85.0, "= 85 mm"),
    ("085", SLACK, 85.0, "= 85 mm"),
    (",5", SLACK, 0.5, "= 0.5 mm"),
    ("\u{2212}3", SIDE, -3.0, "= -3 mm"),
    ("-3", SIDE, -3.0, "= -3 mm"),
    ("\u{2013}3,5", SIDE, -3.5, "= -3.5 mm"),
    ("- 3 mm", SIDE, -3.0, "= -3 mm"),
    ("1/4 in", SLACK, 6.35, "= 6.35 mm"),
    ("3 3/8 in", SLACK, 85.725, "= 85.725 mm"),
    ("3 3/8\"", SLACK, 85.725, "= 85.725 mm"),
    ("2 inches", SLACK, 50.8, "= 50.8 mm"),
    ("24.5 in", ARM, 622.3, "= 622.3 mm"),
    ("0,6 m", ARM, 600.0, "= 600 mm"),
    ("60.5 cm", ARM, 605.0, "= 605 mm"),
    ("605,6", ARM, 605.6, "= 605.6 mm"),
    ("35 Nm", TORQUE, 35.0, "= 35 N·m"),
    ("35 N·m", TORQUE, 35.0, "= 35 N·m"),
    ("35,5 nm", TORQUE, 35.5, "= 35.5 N·m"),
    ("26 lbf ft", TORQUE, 35.251_266_62, "= 35.3 N·m"),
    ("26 lbf·ft", TORQUE, 35.251_266_62, "= 35.3 N·m"),
    ("26 ft lbf", TORQUE, 35.251_266_62, "= 35.3 N·m"),
    ("26 ft-lb", TORQUE, 35.251_266_62, "= 35.3 N·m"),
    ("2:45", HOURS, 2.75, "= 2.75 h"),
    ("2h45", HOURS, 2.75, "= 2.75 h"),
    ("2,75 h", HOURS, 2.75, "= 2.75 h"),
    ("2.75", HOURS, 2.75, "= 2.75 h"),
    ("165 min", HOURS, 2.75, "= 2.75 h"),
    ("288,9", METER, 288.9, "= 288.9 h"),
    ("1 250", METER, 1250.0, "= 1250 h"),
    ("1'250,5", METER, 1250.5, "= 1250.5 h"),
    ("1.250,5", METER, 1250.5, "= 1250.5 h"),
    ("1,250.5", METER, 1250.5, "= 1250.5 h"),
    ("11 000 rpm", RPM, 11_000.0, "= 11000 rpm"),
    ("9,500", RPM, 9500.0, "= 9500 rpm"),
];

/// Typed text, its bound, a word that the refusal must say.
const REFUSED: &[(&str, &Bound, &str)] = &[
    ("1,250", METER, "1.25 or 1250"),
    ("1.250", METER, "1.25 or 1250"),
    ("1e3", METER, "exponent"),
    ("NaN", SLACK, "no number"),
    ("inf", SLACK, "no number"),
    ("3 fingers", SLACK, "fingers differ"),
    ("85 kg", SLACK, "no unit"),
    ("0x55", SLACK, "slack"),
    ("85-90", SLACK, "Type digits"),
    ("85..90", SLACK, "Type digits"),
    ("12,", SLACK, "decimal mark"),
    ("2:75", HOURS, "60 minutes"),
    ("500", HOURS, "possible"),
    ("1/4", HOURS, "fraction"),
    ("about 80", SLACK, "Type digits"),
    ("850", SLACK, "possible"),
];

#[test]
fn f4_what_people_type_is_understood_and_said_back() {
    for (typed, bound, kept, said) in UNDERSTOOD {
        let mut door = Door::of_command();
        let number = door.number("field", Some(typed), bound);
        let faults: Vec<&str> = door.faults.iter().map(|fault| fault.text.as_str()).collect();
        let near = number.is_some_and(|number| (number - kept).abs() < 1e-6);
        assert!(near, "\"{typed}\" became {number:?} instead of {kept}: {faults:?}");
        let understood = entry::number(typed, bound).map(|typed| typed.understood);
        assert_eq!(understood.as_deref(), Ok(*said), "\"{typed}\"");
    }
}

#[test]
fn f5_what_has_two_meanings_or_none_is_asked_back_and_never_guessed() {
    for (typed, bound, word) in REFUSED {
        let mut door = Door::of_command();
        assert_eq!(door.number("field", Some(typed), bound), None, "\"{typed}\" is taken");
        let text = door.faults.first().map_or("", |fault| fault.text.as_str());
        assert!(text.starts_with("field: ") && text.contains(word), "\"{typed}\": {text}");
        // It says what to type: a range, a unit, or the two meanings.
        assert!(text.len() > 25 && text.ends_with(['.', '?']), "\"{typed}\": {text}");
    }
    assert!(UNDERSTOOD.len() + REFUSED.len() >= 40);
}
