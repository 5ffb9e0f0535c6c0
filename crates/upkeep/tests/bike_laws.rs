//! Laws of the bike sheet: what is put on it is read back, from the sheet and from its file.

use measure::Edge;
use proptest::prelude::*;
use upkeep::bike::{Bike, BikeField, Change, FIELDS, Kind, Ratio, Value};

fn between(field: &BikeField, share: f64) -> f64 {
    let Some(bound) = field.bound() else { return share };
    let (Edge::At(low), Edge::At(high)) = (bound.low, bound.high) else { return share };
    (low + share * (high - low)).clamp(low, high)
}

fn value(field: &BikeField, share: f64, text: &str) -> Value {
    let real = between(field, share);
    match field.kind {
        Kind::Number(_) => Value::Number(real),
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "bounds of counts are small and positive"
        )]
        Kind::Whole(_) => Value::Whole(real.round() as u32),
        Kind::Word(words) => Value::Word(words[text.len() % words.len()].to_owned()),
        Kind::Text => Value::Text(text.to_owned()),
        Kind::Flag => Value::Flag(share > 0.5),
        Kind::Ratio(_) => {
            Value::Ratio(if share > 0.5 { Ratio::Number(real) } else { Ratio::Teeth { driver: 25, driven: 71 } })
        }
        Kind::Ratios(_) => Value::Ratios(vec![Ratio::Number(3.0 + share), Ratio::Teeth { driver: 14, driven: 31 }]),
        Kind::Curve => Value::Curve(vec![[2000.0 + share, 17.0 * share], [3000.0, 23.0], [9000.0, 34.0 + share]]),
    }
}

proptest! {
    #[test]
    fn any_sheet_survives_its_file_twice(
        share in proptest::collection::vec(0.0..=1.0f64, FIELDS.len()),
        keep in proptest::collection::vec(any::<bool>(), FIELDS.len()),
        text in "[ -~äµ·°]{0,40}[!-~]",
    ) {
        let text = text.trim().to_owned();
        let mut bike = Bike::new("some-bike", "Some bike", false).unwrap();
        for ((field, share), _) in FIELDS.iter().zip(&share).zip(&keep).filter(|(_, keep)| **keep) {
            let change = Change { field: field.name.into(), value: Some(value(field, *share, &text)), source: Some(text.clone()) };
            // A value that does not fit those already there is refused; the rest make the sheet.
            let _ = bike.change(&[change]);
        }
        let file = bike.to_toml();
        let again = Bike::from_toml(&file).unwrap();
        prop_assert_eq!(&again, &bike);
        prop_assert_eq!(again.to_toml(), file);
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "(?s).{0,200}") {
        let _ = Bike::from_toml(&text);
    }

    #[test]
    fn no_line_of_a_section_makes_the_reader_panic(
        field in 0..FIELDS.len(),
        given in r#"(-?[0-9]{1,12}(\.[0-9]{1,3})?|"[a-z]{0,5}"|\[[0-9, \[\]]{0,12}\]|nan|-inf|true|2024-01-01|0x1f|\{\})"#,
    ) {
        let field = &FIELDS[field];
        let text = format!("schema = 1\n[bike]\nid = 'a'\nname = 'b'\n[{}]\n{} = {given}\n", field.section.word(), field.name);
        let _ = Bike::from_toml(&text);
    }
}

proptest! {
    #[test]
    fn the_words_of_a_value_can_be_typed_back(
        share in proptest::collection::vec(0.0..=1.0f64, FIELDS.len()),
        text in "[a-z][a-z /-]{0,20}[a-z]",
    ) {
        for (field, share) in FIELDS.iter().zip(&share) {
            // Rounded to a hundredth: three decimals may be asked back, and are tested where they are.
            let value = value(field, (share * 100.0).round() / 100.0, &text);
            match field.typed(&value.to_string()) {
                Ok(typed) => prop_assert_eq!(typed.value, value),
                Err(fault) => prop_assert!(fault.code == "ambiguous" || field.check(&value).is_err(), "{}: {value}", fault),
            }
        }
    }

    #[test]
    fn nothing_typed_makes_a_field_panic(field in 0..FIELDS.len(), text in "(?s).{0,40}") {
        if let Ok(typed) = FIELDS[field].typed(&text) {
            prop_assert!(FIELDS[field].check(&typed.value).is_ok());
        }
    }
}
