//! Bikes, facts, undo, keys, settings.

use proptest::prelude::*;
use rusqlite::types::Value as Column;
use upkeep::bike::{FIELDS, Kind};

use super::*;

on_each_engine!(
    a_sheet_comes_out_as_it_went_in,
    putting_the_same_sheet_again_writes_nothing,
    putting_another_sheet_takes_off_what_it_does_not_have,
    a_figure_set_can_be_undone_and_brought_back,
    an_undo_that_would_break_the_sheet_is_refused_and_writes_nothing,
    a_form_sent_twice_is_one_fact,
    keys_are_forgotten_by_age_and_changes_are_not,
    several_changes_are_all_written_or_none,
    a_bike_is_renamed_taken_off_and_brought_back,
    an_unknown_bike_is_answered_with_those_there_are,
    the_bounds_of_the_file_are_those_of_the_program,
    the_file_itself_refuses_what_is_not_possible,
    nothing_appended_is_ever_edited_or_deleted,
    a_setting_is_the_latest_one_that_is_not_undone,
);

fn a_sheet_comes_out_as_it_went_in<E: Trial>() {
    let store = alder_on::<E>();
    assert_eq!(store.bike("alder-350").unwrap(), alder());
    assert_eq!(store.bikes().unwrap().len(), 1);
    assert_eq!(store.history("alder-350").unwrap().len(), alder().entries().count());
}

fn putting_the_same_sheet_again_writes_nothing<E: Trial>() {
    let mut store = alder_on::<E>();
    assert_eq!(store.put_bike(&alder(), &post()).unwrap(), Done { change: None, again: false });
    assert_eq!(store.history("alder-350").unwrap().len(), alder().entries().count());
}

fn putting_another_sheet_takes_off_what_it_does_not_have<E: Trial>() {
    let mut store = alder_on::<E>();
    let mut thin = Bike::new("alder-350", "Thin", false).unwrap();
    thin.set("links", Value::Whole(116), Some("counted".into())).unwrap();
    store.put_bike(&thin, &post()).unwrap();
    assert_eq!(store.bike("alder-350").unwrap(), thin);
}

fn a_figure_set_can_be_undone_and_brought_back<E: Trial>() {
    let mut store = alder_on::<E>();
    let set = store.set_field("alder-350", put("front_teeth", Value::Whole(13)), &post()).unwrap().change.unwrap();
    let front = |store: &Store<E>| store.bike("alder-350").unwrap().whole("front_teeth");
    assert_eq!(front(&store), Some(13));
    let undo = store.undo(set, &post()).unwrap().change.unwrap();
    assert_eq!(front(&store), Some(14));
    assert!(store.history("alder-350").unwrap()[0].undone);
    assert!(matches!(store.undo(set, &post()), Err(StoreError::UndoneAlready { by, .. }) if by == undo));
    let redo = store.undo(undo, &post()).unwrap().change.unwrap();
    assert_eq!(front(&store), Some(13));
    store.undo(redo, &post()).unwrap();
    assert_eq!(front(&store), Some(14));
    assert!(matches!(store.undo(9999, &post()), Err(StoreError::NoSuchChange { id: 9999 })));
}

fn an_undo_that_would_break_the_sheet_is_refused_and_writes_nothing<E: Trial>() {
    let mut store = E::fresh();
    let mut bike = Bike::new("b", "B", false).unwrap();
    bike.set("slack_mm_min", Value::Number(30.0), None).unwrap();
    store.put_bike(&bike, &post()).unwrap();
    let lower = store.set_field("b", put("slack_mm_min", Value::Number(20.0)), &post()).unwrap().change.unwrap();
    store.set_field("b", put("slack_mm_max", Value::Number(25.0)), &post()).unwrap();
    let why = store.undo(lower, &post()).unwrap_err();
    assert!(matches!(&why, StoreError::Faults(faults) if faults[0].code == "against"), "{why}");
    assert!(why.to_string().contains("30") && why.to_string().contains("25"));
    assert_eq!(store.bike("b").unwrap().number("slack_mm_min"), Some(20.0));
}

fn a_form_sent_twice_is_one_fact<E: Trial>() {
    let mut store = alder_on::<E>();
    let change = put("front_teeth", Value::Whole(13));
    let first = store.set_field("alder-350", change.clone(), &keyed("k")).unwrap();
    let second = store.set_field("alder-350", change, &keyed("k")).unwrap();
    assert_eq!(second, Done { change: first.change, again: true });
    let other = store.set_field("alder-350", put("front_teeth", Value::Whole(12)), &keyed("k"));
    assert!(matches!(other, Err(StoreError::KeyReused)));
    assert_eq!(store.history("alder-350").unwrap().iter().filter(|fact| fact.field == "front_teeth").count(), 2);
    assert!(matches!(store.undo(1, &keyed("")), Err(StoreError::Key)));
}

fn keys_are_forgotten_by_age_and_changes_are_not<E: Trial>() {
    let mut store = alder_on::<E>();
    store.set_field("alder-350", put("front_teeth", Value::Whole(13)), &keyed("k")).unwrap();
    assert_eq!(store.forget_keys(now()).unwrap(), 0);
    assert_eq!(store.forget_keys("2026-09-24T16:00:00.1Z".parse().unwrap()).unwrap(), 1);
    assert_eq!(store.bike("alder-350").unwrap().whole("front_teeth"), Some(13));
}

fn several_changes_are_all_written_or_none<E: Trial>() {
    let mut store = alder_on::<E>();
    let changes = [put("links", Value::Whole(116)), put("front_teeth", Value::Whole(99)), put("armm", Value::Whole(1))];
    let why = store.set_fields("alder-350", &changes, &post()).unwrap_err();
    assert!(matches!(&why, StoreError::Faults(faults) if faults.len() == 2), "{why}");
    assert_eq!(store.bike("alder-350").unwrap(), alder());
}

fn a_bike_is_renamed_taken_off_and_brought_back<E: Trial>() {
    let mut store = alder_on::<E>();
    store.rename_bike("alder-350", "Old friend", &post()).unwrap();
    assert_eq!(store.bike("alder-350").unwrap().name, "Old friend");
    let gone = store.remove_bike("alder-350", &post()).unwrap().change.unwrap();
    let removed = store.removed_bikes().unwrap();
    assert_eq!((removed.len(), removed[0].id.as_str(), removed[0].change), (1, "alder-350", gone));
    assert_eq!(removed[0].name, "Old friend", "by the name it had last");
    assert!(store.bikes().unwrap().is_empty());
    let why = store.bike("alder-350").unwrap_err();
    assert!(matches!(why, StoreError::NoSuchBike { .. }), "{why}");
    store.undo(gone, &post()).unwrap();
    assert_eq!(store.bike("alder-350").unwrap().name, "Old friend");
    assert!(matches!(store.rename_bike("alder-350", "", &post()), Err(StoreError::Faults(_))));
}

fn an_unknown_bike_is_answered_with_those_there_are<E: Trial>() {
    let mut store = alder_on::<E>();
    let why = store.set_field("sorrel", put("links", Value::Whole(114)), &post()).unwrap_err();
    assert_eq!(why.to_string(), "There is no bike \"sorrel\". There are: alder-350.");
}

fn the_bounds_of_the_file_are_those_of_the_program<E: Trial>() {
    assert_eq!(E::fresh().bound_faults().unwrap(), Vec::<String>::new());
}

#[test]
fn a_bound_that_differs_is_found() {
    let store = Store::memory().unwrap();
    store.db.file.execute("UPDATE bound SET high = 26 WHERE field = 'front_teeth'", []).unwrap();
    assert_eq!(store.bound_faults().unwrap(), ["the bounds of front_teeth are not the program's"]);
    assert!(matches!(store.check(), Err(StoreError::Damaged { .. })));
}

fn the_file_itself_refuses_what_is_not_possible<E: Trial>() {
    let mut store = alder_on::<E>();
    let change = store.set_setting("theme", "dark", &post()).unwrap().change.unwrap();
    let mut inserts = |field: &str, value: &Column| {
        let row: &Columns<'_> =
            &[("id", &9999_i64), ("change", &change), ("bike", &"alder-350"), ("field", &field), ("value", value)];
        takes(&mut store.db, "fact", row)
    };
    let text = |text: &str| Column::Text(text.into());
    for (field, value) in [
        ("front_teeth", Column::Integer(26)),
        ("front_teeth", Column::Integer(7)),
        ("front_teeth", Column::Real(14.0)),
        ("front_teeth", text("14")),
        ("arm_mm", Column::Real(901.0)),
        ("arm_mm", Column::Integer(605)),
        ("arm_mm", Column::Real(f64::INFINITY)),
        ("joint", text("\"glue\"")),
        ("joint", text("clip")),
        ("sealed", Column::Integer(1)),
        ("sealed", text("yes")),
        ("primary", Column::Real(0.2)),
        ("primary", text("[71,25]")),
        ("primary", text("[0,25]")),
        ("gears", text("2.4")),
        ("slack_place", text("no json")),
        ("no_field", Column::Integer(1)),
    ] {
        assert!(!inserts(field, &value), "{field} = {value:?} was taken");
    }
    assert!(inserts("front_teeth", &Column::Integer(25)) && inserts("primary", &text("[25,71]")));
    assert!(inserts("arm_mm", &Column::Real(605.0)) && inserts("joint", &text("\"clip\"")));
}

fn nothing_appended_is_ever_edited_or_deleted<E: Trial>() {
    let mut store = alder_on::<E>();
    store.set_setting("theme", "dark", &post()).unwrap();
    for table in ["change", "bike", "title", "fact", "setting"] {
        assert!(!runs(&mut store.db, &format!("UPDATE {table} SET id = id")), "{table} was edited");
        assert!(!runs(&mut store.db, &format!("DELETE FROM {table}")), "{table} was deleted from");
    }
}

#[test]
fn a_row_that_went_bad_is_an_error_with_its_number_and_never_skipped() {
    let store = with_alder();
    store
        .db
        .file
        .execute_batch("DROP TRIGGER fact_stays; UPDATE fact SET value = 3000.0 WHERE field = 'arm_mm'")
        .unwrap();
    let id: i64 = store.db.file.query_row("SELECT id FROM fact WHERE field = 'arm_mm'", [], |row| row.get(0)).unwrap();
    let why = store.bike("alder-350").unwrap_err().to_string();
    assert!(why.contains(&format!("row {id} of fact")) && why.contains("arm_mm"), "{why}");
    assert!(store.check().unwrap_err().to_string().contains("arm_mm"));
}

fn a_setting_is_the_latest_one_that_is_not_undone<E: Trial>() {
    let mut store = E::fresh();
    assert_eq!(store.setting("theme").unwrap(), None);
    store.set_setting("theme", "light", &post()).unwrap();
    let dark = store.set_setting("theme", "dark", &post()).unwrap().change.unwrap();
    assert_eq!(store.set_setting("theme", "dark", &post()).unwrap().change, None);
    assert_eq!(store.setting("theme").unwrap().as_deref(), Some("dark"));
    store.undo(dark, &post()).unwrap();
    assert_eq!(store.setting("theme").unwrap().as_deref(), Some("light"));
    assert!(matches!(store.set_setting("", "x", &post()), Err(StoreError::Setting { .. })));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn any_figures_go_through_the_store_and_as_json(shares in proptest::collection::vec(proptest::option::of(0.0..=1.0f64), FIELDS.len())) {
        let mut bike = Bike::new("any", "Any", false).unwrap();
        for (field, share) in FIELDS.iter().zip(shares) {
            let (Kind::Number(bound), Some(share)) = (field.kind, share) else { continue };
            let (measure::Edge::At(low), measure::Edge::At(high)) = (bound.low, bound.high) else { continue };
            let value = Value::Number((low + share * (high - low)).clamp(low, high));
            prop_assert_eq!(from_json(field, &json(&value)), Some(value.clone()));
            // One that does not fit the others is refused; the rest make the sheet.
            let _ = bike.set(field.name, value, None);
        }
        let mut store = Store::memory().unwrap();
        store.put_bike(&bike, &post()).unwrap();
        prop_assert_eq!(store.bike("any").unwrap(), bike);
    }
}
