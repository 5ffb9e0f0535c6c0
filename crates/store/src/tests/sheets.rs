//! Bikes, facts, undo, keys, settings.

use proptest::prelude::*;
use upkeep::bike::{FIELDS, Kind};

use super::*;

#[test]
fn a_sheet_comes_out_as_it_went_in() {
    let store = with_alder();
    assert_eq!(store.bike("alder-350").unwrap(), alder());
    assert_eq!(store.bikes().unwrap().len(), 1);
    assert_eq!(store.history("alder-350").unwrap().len(), alder().entries().count());
}

#[test]
fn putting_the_same_sheet_again_writes_nothing() {
    let mut store = with_alder();
    assert_eq!(store.put_bike(&alder(), &post()).unwrap(), Done { change: None, again: false });
    assert_eq!(store.history("alder-350").unwrap().len(), alder().entries().count());
}

#[test]
fn putting_another_sheet_takes_off_what_it_does_not_have() {
    let mut store = with_alder();
    let mut thin = Bike::new("alder-350", "Thin", false).unwrap();
    thin.set("links", Value::Whole(116), Some("counted".into())).unwrap();
    store.put_bike(&thin, &post()).unwrap();
    assert_eq!(store.bike("alder-350").unwrap(), thin);
}

#[test]
fn a_figure_set_can_be_undone_and_brought_back() {
    let mut store = with_alder();
    let set = store.set_field("alder-350", put("front_teeth", Value::Whole(13)), &post()).unwrap().change.unwrap();
    let front = |store: &Store| store.bike("alder-350").unwrap().whole("front_teeth");
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

#[test]
fn an_undo_that_would_break_the_sheet_is_refused_and_writes_nothing() {
    let mut store = Store::memory().unwrap();
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

#[test]
fn a_form_sent_twice_is_one_fact() {
    let mut store = with_alder();
    let change = put("front_teeth", Value::Whole(13));
    let first = store.set_field("alder-350", change.clone(), &keyed("k")).unwrap();
    let second = store.set_field("alder-350", change, &keyed("k")).unwrap();
    assert_eq!(second, Done { change: first.change, again: true });
    let other = store.set_field("alder-350", put("front_teeth", Value::Whole(12)), &keyed("k"));
    assert!(matches!(other, Err(StoreError::KeyReused)));
    assert_eq!(store.history("alder-350").unwrap().iter().filter(|fact| fact.field == "front_teeth").count(), 2);
    assert!(matches!(store.undo(1, &keyed("")), Err(StoreError::Key)));
}

#[test]
fn keys_are_forgotten_by_age_and_changes_are_not() {
    let mut store = with_alder();
    store.set_field("alder-350", put("front_teeth", Value::Whole(13)), &keyed("k")).unwrap();
    assert_eq!(store.forget_keys(now()).unwrap(), 0);
    assert_eq!(store.forget_keys("2026-09-24T16:00:00.1Z".parse().unwrap()).unwrap(), 1);
    assert_eq!(store.bike("alder-350").unwrap().whole("front_teeth"), Some(13));
}

#[test]
fn several_changes_are_all_written_or_none() {
    let mut store = with_alder();
    let changes = [put("links", Value::Whole(116)), put("front_teeth", Value::Whole(99)), put("armm", Value::Whole(1))];
    let why = store.set_fields("alder-350", &changes, &post()).unwrap_err();
    assert!(matches!(&why, StoreError::Faults(faults) if faults.len() == 2), "{why}");
    assert_eq!(store.bike("alder-350").unwrap(), alder());
}

#[test]
fn a_bike_is_renamed_taken_off_and_brought_back() {
    let mut store = with_alder();
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

#[test]
fn an_unknown_bike_is_answered_with_those_there_are() {
    let mut store = with_alder();
    let why = store.set_field("sorrel", put("links", Value::Whole(114)), &post()).unwrap_err();
    assert_eq!(why.to_string(), "There is no bike \"sorrel\". There are: alder-350.");
}

#[test]
fn the_bounds_of_the_file_are_those_of_the_program() {
    assert_eq!(Store::memory().unwrap().bound_faults().unwrap(), Vec::<String>::new());
}

#[test]
fn a_bound_that_differs_is_found() {
    let store = Store::memory().unwrap();
    store.db.execute("UPDATE bound SET high = 26 WHERE field = 'front_teeth'", []).unwrap();
    assert_eq!(store.bound_faults().unwrap(), ["the bounds of front_teeth are not the program's"]);
    assert!(matches!(store.check(), Err(StoreError::Damaged { .. })));
}

#[test]
fn the_file_itself_refuses_what_is_not_possible() {
    let store = with_alder();
    store.db.execute("INSERT INTO change (at, what) VALUES ('2026-01-01T00:00:00Z', 'sheet')", []).unwrap();
    let insert = |field: &str, value: &str| {
        let sql = format!("INSERT INTO fact (change, bike, field, value) VALUES (2, 'alder-350', '{field}', {value})");
        store.db.execute(&sql, [])
    };
    for (field, value) in [
        ("front_teeth", "26"),
        ("front_teeth", "7"),
        ("front_teeth", "14.0"),
        ("front_teeth", "'14'"),
        ("arm_mm", "901.0"),
        ("arm_mm", "605"),
        ("arm_mm", "9e999"),
        ("joint", "'\"glue\"'"),
        ("joint", "'clip'"),
        ("sealed", "1"),
        ("sealed", "'yes'"),
        ("primary", "0.2"),
        ("primary", "'[71,25]'"),
        ("primary", "'[0,25]'"),
        ("gears", "'2.4'"),
        ("slack_place", "'no json'"),
        ("no_field", "1"),
    ] {
        assert!(insert(field, value).is_err(), "{field} = {value} was taken");
    }
    assert!(insert("front_teeth", "25").is_ok() && insert("primary", "'[25,71]'").is_ok());
}

#[test]
fn nothing_appended_is_ever_edited_or_deleted() {
    let mut store = with_alder();
    store.set_setting("theme", "dark", &post()).unwrap();
    for table in ["change", "bike", "title", "fact", "setting"] {
        let column = if table == "bike" { "id" } else { "rowid" };
        assert!(
            store.db.execute(&format!("UPDATE {table} SET {column} = {column}"), []).is_err(),
            "{table} was edited"
        );
        assert!(store.db.execute(&format!("DELETE FROM {table}"), []).is_err(), "{table} was deleted from");
    }
}

#[test]
fn a_row_that_went_bad_is_an_error_with_its_number_and_never_skipped() {
    let store = with_alder();
    store.db.execute_batch("DROP TRIGGER fact_stays; UPDATE fact SET value = 3000.0 WHERE field = 'arm_mm'").unwrap();
    let id: i64 = store.db.query_row("SELECT id FROM fact WHERE field = 'arm_mm'", [], |row| row.get(0)).unwrap();
    let why = store.bike("alder-350").unwrap_err().to_string();
    assert!(why.contains(&format!("row {id} of fact")) && why.contains("arm_mm"), "{why}");
    assert!(store.check().unwrap_err().to_string().contains("arm_mm"));
}

#[test]
fn a_setting_is_the_latest_one_that_is_not_undone() {
    let mut store = Store::memory().unwrap();
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
