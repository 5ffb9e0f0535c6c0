//! Laws of typed entry: nothing panics, a number is read back however its decimals are marked, nothing leaves its bound.

use measure::{Bound, entry};
use proptest::prelude::*;

const WIDE: Bound = Bound::from_to("length", "mm", -1e6, 1e6);

proptest! {
    #[test]
    fn no_text_panics_and_what_is_accepted_is_in_bound(text in "[-+−0-9.,:/ 'hminNnbftkga°%\"eE]{0,14}", low in -50.0..50.0f64) {
        for unit in ["mm", "h", "min", "N·m", "rpm", "", "%", "odd"] {
            let bound = Bound { word: "figure", unit, low: measure::Edge::At(low), high: measure::Edge::At(low + 2000.0) };
            for typed in [entry::number(&text, &bound), entry::whole(&text, &bound)].into_iter().flatten() {
                prop_assert!(bound.holds(typed.value));
                prop_assert!(typed.understood.starts_with("= "));
            }
        }
    }

    #[test]
    fn any_text_at_all_is_answered(text in any::<String>()) {
        let _ = entry::number(&text, &WIDE);
    }

    #[test]
    fn point_and_comma_and_unit_make_no_difference(whole in 0..1000u32, part in 0..100u32) {
        let wanted: f64 = format!("{whole}.{part:02}").parse().unwrap();
        for text in [format!("{whole}.{part:02}"), format!("{whole},{part:02} mm"), format!(" {whole}.{part:02}mm ")] {
            prop_assert_eq!(entry::number(&text, &WIDE).unwrap().value, wanted);
        }
        for minus in ["-", "\u{2212}"] {
            prop_assert_eq!(entry::number(&format!("{minus}{whole},{part:02}"), &WIDE).unwrap().value, 0.0 - wanted);
        }
    }

    #[test]
    fn three_digits_behind_one_mark_are_asked_wherever_both_readings_are_possible(whole in 1..1000u32, part in 0..1000u32) {
        let narrow = Bound::from_to("length", "mm", 0.0, 999.999);
        for mark in [",", "."] {
            let text = format!("{whole}{mark}{part:03}");
            prop_assert_eq!(entry::number(&text, &WIDE).map_err(|fault| fault.code()), Err("ambiguous"));
            let wanted: f64 = format!("{whole}.{part:03}").parse().unwrap();
            prop_assert_eq!(entry::number(&text, &narrow).unwrap().value, wanted);
        }
    }

    #[test]
    fn hours_and_minutes_are_hours(hours in 0..400u32, minutes in 0..60u32) {
        let bound = Bound::from_to("hours", "h", 0.0, 500.0);
        let wanted = f64::from(hours) + f64::from(minutes) / 60.0;
        for text in [format!("{hours}:{minutes:02}"), format!("{hours}h{minutes:02}"), format!("{hours} h {minutes} min")] {
            prop_assert_eq!(entry::number(&text, &bound).unwrap().value, wanted);
        }
    }
}
