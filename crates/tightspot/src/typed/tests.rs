//! The strings that people type, each with what must be understood or refused.

use measure::Bound;

use super::{number, whole};

const SLACK: Bound = Bound::from_to("slack", "mm", 0.0, 200.0);
const CENTRE: Bound = Bound::above_to("centre distance", "mm", 0.0, 5000.0);
const OFFSET: Bound = Bound::any("offset", "mm");
const TORQUE: Bound = Bound::above_to("torque", "N·m", 0.0, 300.0);
const HOURS: Bound = Bound::from_to("hours", "h", 0.0, 100_000.0);
const RIDE: Bound = Bound::from_to("hours of a ride", "h", 0.0, 24.0);
const SPEED: Bound = Bound::above_to("speed", "km/h", 0.0, 250.0);
const PRESSURE: Bound = Bound::from_to("pressure", "kPa", 0.0, 400.0);
const HEAT: Bound = Bound::from_to("temperature", "°C", -40.0, 60.0);
const RATIO: Bound = Bound::above_to("ratio", "", 0.0, 20.0);
const TEETH: Bound = Bound::from_to("teeth", "", 6.0, 150.0);

#[test]
fn what_people_type_is_understood() {
    let cases: &[(&str, &Bound, f64)] = &[
        ("12,5", &SLACK, 12.5),
        ("12.5", &SLACK, 12.5),
        (" 12,5 mm ", &SLACK, 12.5),
        ("12.5mm", &SLACK, 12.5),
        ("85", &SLACK, 85.0),
        ("0", &SLACK, 0.0),
        ("0,125", &SLACK, 0.125),
        (".5", &SLACK, 0.5),
        ("5.", &SLACK, 5.0),
        ("8,5 cm", &SLACK, 85.0),
        ("15.875", &SLACK, 15.875),
        ("685.170", &Bound::above_to("centre distance", "mm", 0.0, 2000.0), 685.17),
        ("−3", &OFFSET, -3.0),
        ("-3", &OFFSET, -3.0),
        ("- 3", &OFFSET, -3.0),
        ("+3", &OFFSET, 3.0),
        ("−3,25 mm", &OFFSET, -3.25),
        ("1/4 in", &SLACK, 6.35),
        ("1 1/4 in", &SLACK, 31.75),
        ("1 1/4\"", &SLACK, 31.75),
        ("0.5 inch", &SLACK, 12.7),
        ("0.000000001", &SLACK, 0.000_000_001),
        ("26 lbf ft", &TORQUE, 35.251_266_656_616_41),
        ("26 ft-lb", &TORQUE, 35.251_266_656_616_41),
        ("26 LBF.FT", &TORQUE, 35.251_266_656_616_41),
        ("100 N·m", &TORQUE, 100.0),
        ("100 Nm", &TORQUE, 100.0),
        ("100 N m", &TORQUE, 100.0),
        ("10 kgf m", &TORQUE, 98.0665),
        ("120 in-lb", &TORQUE, 13.558_179_483_314),
        ("2:45", &HOURS, 2.75),
        ("2h45", &HOURS, 2.75),
        ("2 h 45", &HOURS, f64::NAN),
        ("2,75 h", &HOURS, 2.75),
        ("165 min", &HOURS, 2.75),
        ("0:05", &RIDE, 5.0 / 60.0),
        ("1,250", &RIDE, 1.25),
        ("1234,5", &HOURS, 1234.5),
        ("30 mph", &SPEED, 48.280_32),
        ("40 km/h", &SPEED, 40.0),
        ("12 psi", &PRESSURE, 82.737_087_518_020_3),
        ("0,9 bar", &PRESSURE, 90.0),
        ("50 °F", &HEAT, 10.0),
        ("-5 °C", &HEAT, -5.0),
        ("3,4286", &RATIO, 3.4286),
    ];
    for (text, bound, want) in cases {
        let got = number(text, bound);
        if want.is_nan() {
            assert!(got.is_err(), "{text}: {got:?}");
            continue;
        }
        let value = got.as_ref().map(|typed| typed.value);
        assert!(
            value.is_ok_and(|value| (value - want).abs() <= 1e-12 * want.abs().max(1.0)),
            "{text}: {got:?}, wanted {want}"
        );
    }
}

#[test]
fn what_can_mean_two_things_is_asked_back() {
    for text in ["1,250", "1.250", " 1,250 h"] {
        let why = number(text, &HOURS).expect_err(text);
        assert!(why.contains("1.25 or 1250"), "{why}");
    }
    assert!(number("1.250 mm", &CENTRE).expect_err("both in reach").contains("1.25 or 1250"));
}

#[test]
fn what_is_no_number_is_refused_with_what_to_type() {
    let cases: &[(&str, &Bound)] = &[
        ("1e3", &HOURS),
        ("NaN", &HOURS),
        ("inf", &HOURS),
        ("-", &OFFSET),
        (".", &OFFSET),
        ("3 fingers", &SLACK),
        ("12,5,3", &SLACK),
        ("1.250,5", &HOURS),
        ("12 34", &SLACK),
        ("--3", &OFFSET),
        ("2:5", &HOURS),
        ("2:75", &HOURS),
        ("1/0 in", &SLACK),
        ("1/4/2 in", &SLACK),
        ("85 kg", &SLACK),
        ("2:45", &SLACK),
        ("½", &SLACK),
        ("٣", &SLACK),
        ("0x10", &SLACK),
        ("14 teeth", &TEETH),
    ];
    for (text, bound) in cases {
        let why = number(text, bound).expect_err(text);
        assert!(why.contains("Type"), "{text}: {why}");
    }
}

#[test]
fn out_of_reach_names_what_is_possible() {
    let why = number("850", &SLACK).expect_err("too much");
    assert!(why.contains("850 mm") && why.contains("0 to 200 mm"), "{why}");
    let why = whole("2", &TEETH).expect_err("too few");
    assert!(why.contains("6 to 150"), "{why}");
}

#[test]
fn another_unit_is_echoed_and_the_own_one_is_not() {
    let echo = |text: &str, bound: &Bound| number(text, bound).expect(text).echo;
    assert_eq!(echo("26 lbf ft", &TORQUE).as_deref(), Some("= 35.2513 N·m"));
    assert_eq!(echo("2:45", &HOURS).as_deref(), Some("= 2.75 h"));
    assert_eq!(echo("1,250", &RIDE).as_deref(), Some("= 1.25 h"));
    assert_eq!(echo("35 Nm", &TORQUE), None);
    assert_eq!(echo("12,5", &SLACK), None);
}

#[test]
fn counts_are_digits_only() {
    assert_eq!(whole(" 14 ", &TEETH), Ok(14.0));
    for text in ["14.0", "14,5", "", "fourteen", "1 4", "1e2", "99999999999999999999"] {
        assert!(whole(text, &TEETH).is_err(), "{text}");
    }
}

#[test]
fn no_text_makes_it_panic() {
    for text in [
        "",
        " ",
        "−",
        "/",
        "1/",
        "/4",
        ":",
        "h",
        "1h",
        "h1",
        "é",
        "1é",
        "\u{a0}1",
        "1\u{a0}000",
        "9".repeat(400).as_str(),
    ] {
        let _ = number(text, &SLACK);
        let _ = number(text, &HOURS);
        let _ = whole(text, &TEETH);
    }
}
