//! Strings that riders type, and what each must become.

use super::*;

const MM: Bound = Bound::from_to("slack", "mm", -200.0, 3000.0);
const NARROW: Bound = Bound::from_to("slack", "mm", 1.0, 300.0);
const TORQUE: Bound = Bound::from_to("torque", "N·m", 0.5, 300.0);
const HOURS: Bound = Bound::from_to("hours", "h", 0.0, 500.0);
const MINUTES: Bound = Bound::from_to("minutes", "min", 0.0, 600.0);
const SPEED: Bound = Bound::from_to("speed", "km/h", 0.0, 200.0);
const MASS: Bound = Bound::from_to("mass", "kg", 30.0, 500.0);
const ROLLOUT: Bound = Bound::from_to("rollout", "m", 0.9, 2.8);
const RPM: Bound = Bound::from_to("engine speed", "rpm", 500.0, 20_000.0);
const PERCENT: Bound = Bound::from_to("wear limit", "%", 0.1, 4.0);
const ANGLE: Bound = Bound::from_to("angle", "deg", -90.0, 90.0);
const TEETH: Bound = Bound::from_to("teeth", "", 8.0, 150.0);
const AIR: Bound = Bound::from_to("temperature", "°C", -60.0, 60.0);

type Row = (&'static str, Bound, f64, &'static str);

const LENGTHS: &[Row] = &[
    ("12,5", MM, 12.5, "= 12.5 mm"),
    ("12.5", MM, 12.5, "= 12.5 mm"),
    (" 12,5 mm ", MM, 12.5, "= 12.5 mm"),
    ("12,5mm", MM, 12.5, "= 12.5 mm"),
    ("12.5 MM", MM, 12.5, "= 12.5 mm"),
    ("\u{2212}3", MM, -3.0, "= -3 mm"),
    ("-3", MM, -3.0, "= -3 mm"),
    ("\u{2013}3,5", MM, -3.5, "= -3.5 mm"),
    ("- 3", MM, -3.0, "= -3 mm"),
    ("+7", MM, 7.0, "= 7 mm"),
    ("-0", MM, 0.0, "= 0 mm"),
    (".5", MM, 0.5, "= 0.5 mm"),
    (",5", MM, 0.5, "= 0.5 mm"),
    ("0,250", MM, 0.25, "= 0.25 mm"),
    ("007", MM, 7.0, "= 7 mm"),
    ("8,5 cm", MM, 85.0, "= 85 mm"),
    ("0.6 m", MM, 600.0, "= 600 mm"),
    ("1/4 in", MM, 6.35, "= 6.35 mm"),
    ("3 3/8 in", MM, 85.725, "= 85.725 mm"),
    ("3 3/8\"", MM, 85.725, "= 85.725 mm"),
    ("24.5 in", MM, 622.3, "= 622.3 mm"),
    ("2 inches", MM, 50.8, "= 50.8 mm"),
    ("1 250", MM, 1250.0, "= 1250 mm"),
    ("1\u{202f}250 mm", MM, 1250.0, "= 1250 mm"),
    ("1'250,5", MM, 1250.5, "= 1250.5 mm"),
    ("1.250,5", MM, 1250.5, "= 1250.5 mm"),
    ("1,250.75 mm", MM, 1250.75, "= 1250.75 mm"),
    ("1.2500", MM, 1.25, "= 1.25 mm"),
    ("1250,375", MM, 1250.375, "= 1250.375 mm"),
    ("15.875", NARROW, 15.875, "= 15.875 mm"),
];

const OTHERS: &[Row] = &[
    ("26 lbf ft", TORQUE, 35.251_266_656_616_4, "= 35.3 N·m"),
    ("26 ft lb", TORQUE, 35.251_266_656_616_4, "= 35.3 N·m"),
    ("26 ft-lbs", TORQUE, 35.251_266_656_616_4, "= 35.3 N·m"),
    ("26 lbf·ft", TORQUE, 35.251_266_656_616_4, "= 35.3 N·m"),
    ("106 lbf in", TORQUE, 11.976_391_876_927_37, "= 12 N·m"),
    ("3,5 kgf m", TORQUE, 34.323_275, "= 34.3 N·m"),
    ("35", TORQUE, 35.0, "= 35 N·m"),
    ("35Nm", TORQUE, 35.0, "= 35 N·m"),
    ("35 N m", TORQUE, 35.0, "= 35 N·m"),
    ("35 N·m", TORQUE, 35.0, "= 35 N·m"),
    ("35,5 N.m", TORQUE, 35.5, "= 35.5 N·m"),
    ("2:45", HOURS, 2.75, "= 2.75 h"),
    ("2h45", HOURS, 2.75, "= 2.75 h"),
    ("2 h 45 min", HOURS, 2.75, "= 2.75 h"),
    ("2:45 h", HOURS, 2.75, "= 2.75 h"),
    ("2h 5", HOURS, 2.0 + 5.0 / 60.0, "= 2.083 h"),
    ("2,75 h", HOURS, 2.75, "= 2.75 h"),
    ("2.75", HOURS, 2.75, "= 2.75 h"),
    ("45 min", HOURS, 0.75, "= 0.75 h"),
    ("1/2 h", HOURS, 0.5, "= 0.5 h"),
    ("0:05", HOURS, 5.0 / 60.0, "= 0.083 h"),
    ("142,3", HOURS, 142.3, "= 142.3 h"),
    ("1:30", MINUTES, 90.0, "= 90 min"),
    ("90", MINUTES, 90.0, "= 90 min"),
    ("1,5 h", MINUTES, 90.0, "= 90 min"),
    ("12 km/h", SPEED, 12.0, "= 12 km/h"),
    ("12 kmh", SPEED, 12.0, "= 12 km/h"),
    ("30 mph", SPEED, 48.280_32, "= 48.3 km/h"),
    ("10 m/s", SPEED, 36.0, "= 36 km/h"),
    ("98 kg", MASS, 98.0, "= 98 kg"),
    ("220 lb", MASS, 99.790_321_4, "= 99.8 kg"),
    ("2,10 m", ROLLOUT, 2.1, "= 2.1 m"),
    ("2100 mm", ROLLOUT, 2.1, "= 2.1 m"),
    ("210 cm", ROLLOUT, 2.1, "= 2.1 m"),
    ("9000 rpm", RPM, 9000.0, "= 9000 rpm"),
    ("9000 1/min", RPM, 9000.0, "= 9000 rpm"),
    ("9.000", RPM, 9000.0, "= 9000 rpm"),
    ("9,000 rpm", RPM, 9000.0, "= 9000 rpm"),
    ("1,0 %", PERCENT, 1.0, "= 1 %"),
    ("1.25%", PERCENT, 1.25, "= 1.25 %"),
    ("21,8°", ANGLE, 21.8, "= 21.8 deg"),
    ("\u{2212}21.8 deg", ANGLE, -21.8, "= -21.8 deg"),
    ("14", TEETH, 14.0, "= 14"),
    ("68 °F", AIR, 20.0, "= 20 °C"),
    ("+14", TEETH, 14.0, "= 14"),
    ("2:59", HOURS, 2.0 + 59.0 / 60.0, "= 2.983 h"),
    ("12345:00", Bound::from_to("hours", "h", 0.0, 1e5), 12_345.0, "= 12345 h"),
    ("0:00", HOURS, 0.0, "= 0 h"),
    ("2 1/4 h", HOURS, 2.25, "= 2.25 h"),
    ("9999 1/4 in", Bound::from_to("length", "mm", 0.0, 1e6), 253_980.95, "= 253980.95 mm"),
    ("1'250'000,5", Bound::from_to("length", "mm", 0.0, 1e7), 1_250_000.5, "= 1250000.5 mm"),
    ("125 000", Bound::from_to("length", "mm", 0.0, 1e7), 125_000.0, "= 125000 mm"),
    ("0,5 kg", Bound::from_to("mass", "kg", 0.0, 1.0), 0.5, "= 0.5 kg"),
];

#[test]
fn what_riders_type_is_understood() {
    for (text, bound, wanted, understood) in LENGTHS.iter().chain(OTHERS) {
        let typed = number(text, bound).unwrap_or_else(|fault| panic!("\"{text}\": {fault}"));
        assert!((typed.value - wanted).abs() <= 1e-9 * wanted.abs(), "\"{text}\" became {}", typed.value);
        assert_eq!(typed.understood, *understood, "\"{text}\"");
    }
}

/// Texts that are no number, each with the code of why.
const REFUSED: &[(&str, Bound, &str)] = &[
    ("", MM, "empty"),
    ("   ", MM, "empty"),
    ("1e3", MM, "exponent"),
    ("1E3 mm", MM, "exponent"),
    ("1,5e-3", MM, "exponent"),
    ("NaN", MM, "no_number"),
    ("inf", MM, "no_number"),
    ("-", MM, "no_number"),
    ("mm", MM, "no_number"),
    ("about 12", MM, "no_number"),
    ("12,", MM, "half_finished"),
    ("12.", MM, "half_finished"),
    ("12, mm", MM, "half_finished"),
    ("3 fingers", MM, "no_unit"),
    ("12 kg", MM, "no_unit"),
    ("12 mm 5", MM, "no_unit"),
    ("1,250", MM, "ambiguous"),
    ("1.250", MM, "ambiguous"),
    ("1,250 mm", MM, "ambiguous"),
    ("-- 3", MM, "no_number"),
    ("3-5", MM, "no_number"),
    ("12 5 mm", MM, "no_number"),
    ("1,2,3", MM, "no_number"),
    ("1.25.5", MM, "no_number"),
    ("1,25.5", MM, "no_number"),
    ("1..5", MM, "no_number"),
    ("1,.5", MM, "no_number"),
    ("1/4", MM, "fraction"),
    ("1/4 mm", MM, "fraction"),
    ("1/0 in", MM, "no_number"),
    ("5/4 in", MM, "no_number"),
    ("0x10", MM, "no_unit"),
    ("١٢", MM, "no_number"),
    ("9000", MM, "out_of_range"),
    ("0,5", NARROW, "out_of_range"),
    ("1.250", NARROW, ""),
    ("2:75", HOURS, "minutes"),
    ("2h60", HOURS, "minutes"),
    ("2:5", HOURS, "no_number"),
    ("2:45", MM, "no_number"),
    ("35 lb", TORQUE, "no_unit"),
    ("35 Nm/s", TORQUE, "no_unit"),
    ("14 mm", TEETH, "no_unit"),
    ("14 %", TEETH, "no_unit"),
    ("9999999999999999999999999999999999999999999", MM, "no_number"),
    // What stands between digits and is no mark of thousands or decimals.
    ("1#250", MM, "no_number"),
    ("1_250", MM, "no_number"),
    ("1;250,5", MM, "no_number"),
    ("12:5", MM, "no_number"),
    // Groups of other sizes, a group that begins with nothing, marks in the wrong order.
    ("1'25", MM, "no_number"),
    ("1'2500", MM, "no_number"),
    ("1250'000", MM, "no_number"),
    ("0'250", MM, "no_number"),
    ("'250", MM, "no_number"),
    ("1,250'5", MM, "no_number"),
    ("1'250.000'5", MM, "no_number"),
    ("1.250.5", MM, "no_number"),
    ("+-3", MM, "no_number"),
    ("-+3", MM, "no_number"),
    ("3-", MM, "no_number"),
    ("+", MM, "no_number"),
    (",", MM, "no_number"),
    ("e3", MM, "no_number"),
    ("1e", MM, "no_unit"),
    ("1,e3", MM, "exponent"),
    ("1e+3", MM, "exponent"),
    ("1e\u{2212}3", MM, "exponent"),
    // Fractions of too many digits, of letters, with nothing above or below.
    ("1/10000 in", MM, "no_number"),
    ("10000/20000 in", MM, "no_number"),
    ("/4 in", MM, "no_number"),
    ("1/ in", MM, "no_number"),
    ("1/4/2 in", MM, "no_number"),
    ("4/4 in", MM, "no_number"),
    ("a 1/4 in", MM, "no_number"),
    ("1,5 1/4 in", MM, "no_number"),
    ("1/4 cm", MM, "fraction"),
    // Durations of too many digits.
    ("2:045", HOURS, "no_number"),
    ("123456:00", HOURS, "no_number"),
    (":45", HOURS, "no_number"),
    ("2:60", HOURS, "minutes"),
    ("2:5 min", HOURS, "no_number"),
    ("2h45", MM, "no_unit"),
];

#[test]
fn what_is_no_number_is_refused_with_its_reason() {
    for (text, bound, wanted) in REFUSED {
        let code = number(text, bound).err().map_or("", |fault| fault.code());
        assert_eq!(code, *wanted, "\"{text}\"");
    }
}

#[test]
fn forty_signs_can_be_a_number_and_one_more_cannot() {
    let digits = |count: usize| format!("{:0>count$}", 12);
    assert!((number(&digits(40), &MM).unwrap().value - 12.0).abs() == 0.0);
    assert_eq!(number(&digits(41), &MM).unwrap_err().code(), "no_number");
    let told = number(&digits(41), &MM).unwrap_err().to_string();
    assert!(told.starts_with(&format!("\"{}1…\" is no number", "0".repeat(39))), "{told}");
}

#[test]
fn a_count_takes_no_fraction_and_thousands_only_where_they_make_one() {
    let links = Bound::from_to("links", "", 20.0, 5000.0);
    assert!((whole("118", &links).unwrap().value - 118.0).abs() == 0.0);
    assert!((whole("1,250", &links).unwrap().value - 1250.0).abs() == 0.0);
    assert_eq!(whole("118,5", &links).unwrap_err().code(), "not_whole");
    assert_eq!(whole("1.5", &links).unwrap_err().code(), "out_of_range");
}

#[test]
fn sentences_say_what_to_type() {
    let says = |text: &str, bound: &Bound| number(text, bound).expect_err("must be refused").to_string();
    assert_eq!(says("1,250", &MM), "\"1,250\" can be 1.25 or 1250 mm. Type 1.25 or 1250.");
    assert_eq!(says("1.255", &MM), "\"1.255\" can be 1.255 or 1255 mm. Type 1.2550 or 1255.");
    assert_eq!(says("3 fingers", &NARROW), "Give slack in mm or in; fingers differ. Possible units: mm, cm, m, in.");
    assert_eq!(says("", &NARROW), "Nothing is given for slack. Type a number, 1 to 300 mm.");
    assert_eq!(
        says("12,", &NARROW),
        "\"12,\" ends with its decimal mark. Type the digits after it, or leave the mark out."
    );
    assert_eq!(says("1e3", &NARROW), "\"1e3\" has an exponent. Write the number out in digits, 1 to 300 mm.");
    assert_eq!(
        says("400", &NARROW),
        "400 mm is not possible for slack; 1 to 300 mm is. Check the figure and its unit."
    );
    assert_eq!(says("14 mm", &TEETH), "\"14 mm\" has a unit, and teeth has none. Type the number alone, 8 to 150.");
}

#[test]
fn what_an_ambiguous_entry_offers_is_no_longer_ambiguous() {
    for text in ["1,250", "1.255", "2.999", "1,000"] {
        let Why::Ambiguous { decimal, thousands } = number(text, &MM).expect_err("must be asked").why else {
            panic!("\"{text}\" is ambiguous")
        };
        for value in [decimal, thousands] {
            assert!((number(&retyped(value), &MM).unwrap().value - value).abs() == 0.0, "{value}");
        }
    }
}

#[test]
fn whatever_was_understood_reads_as_itself_when_typed_again_however_small() {
    let any = Bound::from_to("slack", "mm", -300.0, 300.0);
    for text in [",000000000000000000000000005000000000005", "-,0000000000000000000000000000000007", "0.1", "-300"] {
        let typed = number(text, &any).expect("a number");
        let again = number(&retyped(typed.value), &any).expect("reads again").value;
        assert!((again - typed.value).abs() <= 1e-9 * typed.value.abs() + 1e-36, "{text}: {again}");
    }
}
