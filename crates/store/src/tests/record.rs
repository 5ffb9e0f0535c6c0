//! Readings, work and plans: in and out, corrected and undone, never out of bounds.

use measure::bounds::record as bounds;
use measure::{Bound, Edge};
use upkeep::record::{
    AxleReading, CHECKS, Check, ElongationReading, Fact, KINDS, Kept, Meter, Part, Planned, Role, Set, SlackKind,
    SlackReading, SlackState, Used, Waiver, Whose, Work,
};

use super::*;

fn at(text: &str) -> jiff::civil::DateTime {
    text.parse().unwrap()
}

fn entry(when: &str, fact: Fact) -> NewEntry {
    NewEntry::new(at(when), fact)
}

fn slack(list: &[f64]) -> Fact {
    let at_links = (0..list.len()).map(|n| 12.0 * n as f64).collect();
    Fact::Slack(SlackReading::new(list.to_vec(), Some(at_links), 0.5, SlackState::Stand, SlackKind::Free).unwrap())
}

fn one_of_each() -> Vec<Fact> {
    vec![
        Fact::Meter(Meter::read(142.3).unwrap()),
        slack(&[84.0, 83.5, 86.25]),
        Fact::Elongation(ElongationReading::new(20, vec![vec![319.4, 319.5], vec![320.9]], 0.05, 0.01).unwrap()),
        Fact::Axle(AxleReading::new(605.1, 606.1).unwrap()),
        Fact::Part(Part::new(Role::Chain, "set B".into(), Some(118), 0.0, Some((9200, "EUR".into()))).unwrap()),
        Fact::Work(Work::new("final-drive-set", "done").unwrap()),
        Fact::Check(Check::new("axle", "set", Some(100.0)).unwrap()),
        Fact::Planned(Planned::new("Three Cairns".into(), true, Some(6.0)).unwrap()),
        Fact::Waiver(Waiver::new("home, 300 m".into(), "slack below the stop figure".into()).unwrap()),
        Fact::Kept(Kept::new(Part::new(Role::Front, "spare".into(), Some(14), 40.5, None).unwrap(), false)),
        Fact::Set(
            Set::new("mud".into(), vec![(Role::Chain, "set B".into()), (Role::Rear, "steel".into())], false).unwrap(),
        ),
        Fact::Used(Used::new(Whose::Chain, 40.0, 80.5).unwrap()),
    ]
}

#[test]
fn each_kind_of_fact_comes_out_as_it_went_in() {
    let mut store = with_alder();
    let facts = one_of_each();
    assert_eq!(facts.iter().map(Fact::kind).collect::<Vec<_>>(), KINDS);
    let mut new: Vec<NewEntry> = facts.iter().map(|fact| entry("2026-09-01T18:00:00", fact.clone())).collect();
    new[1].note = Some("cold, wind".into());
    store.note("alder-350", &new, &post()).unwrap();
    let log = store.log("alder-350").unwrap();
    assert_eq!(log.entries().iter().map(|entry| entry.fact.clone()).collect::<Vec<_>>(), facts);
    assert_eq!(log.entries()[1].note.as_deref(), Some("cold, wind"));
    assert_eq!(store.check().unwrap().entries, 12);
    let swap = Fact::Meter(Meter::swap(213.8, 0.0).unwrap());
    store.note("alder-350", &[entry("2026-09-02T18:00:00", swap.clone())], &post()).unwrap();
    assert_eq!(store.log("alder-350").unwrap().entries().last().unwrap().fact, swap);
}

#[test]
fn facts_and_what_follows_for_the_sheet_are_one_change() {
    let mut store = with_alder();
    let before = store.bike("alder-350").unwrap();
    let part = Part::new(Role::Front, "thirteen".into(), Some(13), 12.0, None).unwrap();
    let facts = [entry("2026-09-01T18:00:00", Fact::Part(part))];
    let sheet = [put("front_teeth", Value::Whole(13))];
    let done = store.note_on_sheet("alder-350", &facts, &sheet, &post()).unwrap();
    assert_eq!(store.bike("alder-350").unwrap().whole("front_teeth"), Some(13));
    store.undo(done.change.unwrap(), &post()).unwrap();
    assert_eq!(store.bike("alder-350").unwrap(), before);
    assert!(store.log("alder-350").unwrap().entries().is_empty());
    // A sheet that cannot be takes the facts with it.
    let wrong = [put("front_teeth", Value::Whole(99))];
    assert!(store.note_on_sheet("alder-350", &facts, &wrong, &post()).is_err());
    assert!(store.log("alder-350").unwrap().entries().is_empty());
}

#[test]
fn a_correction_points_at_what_it_corrects_and_both_stay() {
    let mut store = with_alder();
    store.note("alder-350", &[entry("2026-09-01T18:00:00", slack(&[8.4]))], &post()).unwrap();
    let wrong = store.log("alder-350").unwrap().entries()[0].clone();
    let right = NewEntry { corrects: Some(wrong.id), ..entry("2026-09-01T18:00:00", slack(&[84.0])) };
    let done = store.note("alder-350", &[right], &post()).unwrap();
    let log = store.log("alder-350").unwrap();
    assert_eq!(log.entries().iter().map(|entry| &entry.fact).collect::<Vec<_>>(), [&slack(&[84.0])]);
    let all = store.noted("alder-350").unwrap();
    assert_eq!((all.len(), all[0].corrected_by), (2, Some(log.entries()[0].id)));
    store.undo(done.change.unwrap(), &post()).unwrap();
    assert_eq!(store.log("alder-350").unwrap().entries(), [wrong]);
    assert_eq!(store.noted("alder-350").unwrap().iter().filter(|noted| noted.undone).count(), 1);
}

#[test]
fn what_is_no_entry_of_the_kind_is_not_corrected() {
    let mut store = with_alder();
    store.put_bike(&Bike::new("second", "Second", false).unwrap(), &post()).unwrap();
    store.note("alder-350", &[entry("2026-09-01T18:00:00", slack(&[84.0]))], &post()).unwrap();
    let id = store.log("alder-350").unwrap().entries()[0].id;
    let axle = Fact::Axle(AxleReading::new(605.0, 605.0).unwrap());
    for (bike, fact, corrects) in
        [("alder-350", axle, id), ("second", slack(&[84.0]), id), ("alder-350", slack(&[84.0]), id + 40)]
    {
        let new = NewEntry { corrects: Some(corrects), ..entry("2026-09-02T18:00:00", fact) };
        let why = store.note(bike, &[new], &post()).unwrap_err();
        assert!(matches!(why, StoreError::Entry { field: "corrects", .. }), "{why}");
    }
    assert!(matches!(store.note("no", &[], &post()), Err(StoreError::NoSuchBike { .. })));
}

#[test]
fn a_form_sent_twice_is_one_entry_and_a_ride_comes_with_its_readings() {
    let mut store = with_alder();
    let meter = entry("2026-09-01T18:00:00", Fact::Meter(Meter::read(3.1).unwrap()));
    let ride = NewRide {
        odd: Some("clunk".into()),
        over: Some(at("2026-09-01T17:30:00")),
        hours_h: Some(2.75),
        ..NewRide::new("Sallow Bog", "2026-09-01".parse().unwrap())
    };
    for _ in 0..2 {
        store.log_ride("alder-350", &ride, None, std::slice::from_ref(&meter), &keyed("k")).unwrap();
    }
    let log = store.log("alder-350").unwrap();
    assert_eq!((log.rides().len(), log.entries().len()), (1, 1));
    assert_eq!((log.rides()[0].odd.as_deref(), log.rides()[0].at), (Some("clunk"), at("2026-09-01T17:30:00")));
    let change = log.entries()[0].change;
    store.undo(change, &post()).unwrap();
    assert!(store.log("alder-350").unwrap().is_empty());
    let wrong = NewRide { odd: Some("bang".into()), ..ride.clone() };
    assert!(matches!(store.add_ride("alder-350", &wrong, None, &post()), Err(StoreError::Ride { field: "odd", .. })));
    let early = NewRide { over: Some(at("2026-08-31T17:30:00")), ..ride };
    assert!(matches!(store.add_ride("alder-350", &early, None, &post()), Err(StoreError::Ride { field: "over", .. })));
}

#[test]
fn nothing_of_the_record_is_edited_or_deleted() {
    let mut store = with_alder();
    let all: Vec<NewEntry> = one_of_each().into_iter().map(|fact| entry("2026-09-01T18:00:00", fact)).collect();
    store.note("alder-350", &all, &post()).unwrap();
    for table in
        ["entry", "meter", "slack", "elongation", "axle", "part", "work", "looked", "planned", "waiver", "used"]
    {
        let key = if table == "entry" { "id" } else { "entry" };
        assert!(store.db.execute(&format!("UPDATE {table} SET {key} = {key}"), []).is_err(), "{table} is edited");
        assert!(store.db.execute(&format!("DELETE FROM {table}"), []).is_err(), "{table} is deleted");
    }
    assert_eq!(store.check().unwrap().entries, 12);
}

/// Rows of raw numbers and the bound that each column has in the program.
#[test]
fn the_bounds_of_the_file_are_those_of_the_program() {
    let store = with_alder();
    store.db.execute_batch("PRAGMA foreign_keys = OFF").unwrap();
    hold(
        &store,
        &[
            ("INSERT INTO meter (read_h) VALUES (?1)", &bounds::METER),
            ("INSERT INTO meter (swap_old_h, swap_new_h) VALUES (?1, 0.0)", &bounds::METER),
            ("INSERT INTO meter (swap_old_h, swap_new_h) VALUES (0.0, ?1)", &bounds::METER),
            (
                "INSERT INTO slack (slack_mm, station, state, kind) VALUES (json_array(?1), 0.5, 'stand', 'free')",
                &bounds::SLACK,
            ),
            (
                "INSERT INTO slack (slack_mm, at_links, station, state, kind) VALUES ('[80.0]', json_array(?1), 0.5, 'stand', 'free')",
                &bounds::LINKS_PASSED,
            ),
            (
                "INSERT INTO slack (slack_mm, station, state, kind) VALUES ('[80.0]', ?1, 'stand', 'free')",
                &bounds::STATION,
            ),
            (
                "INSERT INTO elongation (pitches, length_mm, maximum_error_mm, resolution_mm) VALUES (20, json_array(json_array(?1)), 0.0, 0.0)",
                &bounds::LENGTH,
            ),
            (
                "INSERT INTO elongation (pitches, length_mm, maximum_error_mm, resolution_mm) VALUES (20, '[[9.0]]', ?1, 0.0)",
                &bounds::INSTRUMENT_ERROR,
            ),
            (
                "INSERT INTO elongation (pitches, length_mm, maximum_error_mm, resolution_mm) VALUES (20, '[[9.0]]', 0.0, ?1)",
                &bounds::RESOLUTION,
            ),
            ("INSERT INTO axle (left_mm, right_mm) VALUES (?1, 0.0)", &bounds::SIDE),
            ("INSERT INTO axle (left_mm, right_mm) VALUES (0.0, ?1)", &bounds::SIDE),
            ("INSERT INTO looked (name, answer, torque_nm) VALUES ('axle', 'set', ?1)", &bounds::TORQUE),
            ("INSERT INTO planned (name, event, hours_h) VALUES ('x', 0, ?1)", &bounds::RIDE),
            (
                "INSERT INTO elongation (pitches, length_mm, maximum_error_mm, resolution_mm) VALUES (CAST(?1 AS INTEGER), '[[9.0]]', 0.0, 0.0)",
                &bounds::PITCHES,
            ),
        ],
    );
}

#[test]
fn the_bounds_of_parts_in_the_file_are_those_of_the_program() {
    let store = with_alder();
    store.db.execute_batch("PRAGMA foreign_keys = OFF").unwrap();
    hold(
        &store,
        &[
            ("INSERT INTO part (role, name, used_h) VALUES ('other', 'x', ?1)", &bounds::USED),
            (
                "INSERT INTO part (role, name, count, used_h) VALUES ('front', 'x', CAST(?1 AS INTEGER), 0.0)",
                &measure::bounds::bike::FRONT_TEETH,
            ),
            (
                "INSERT INTO part (role, name, count, used_h) VALUES ('rear', 'x', CAST(?1 AS INTEGER), 0.0)",
                &measure::bounds::bike::REAR_TEETH,
            ),
            (
                "INSERT INTO part (role, name, used_h, price_minor, currency) VALUES ('other', 'x', 0.0, CAST(?1 AS INTEGER), 'EUR')",
                &bounds::PRICE,
            ),
            (
                "INSERT INTO part (role, name, count, used_h) VALUES ('other', 'x', CAST(?1 AS INTEGER), 0.0)",
                &bounds::COUNT,
            ),
            ("INSERT INTO used (whose, low_h, high_h) VALUES ('bike', ?1, 5000.0)", &bounds::USED),
            ("INSERT INTO used (whose, low_h, high_h) VALUES ('bike', 0.0, ?1)", &bounds::USED),
            ("INSERT INTO kept (role, name, used_h, gone) VALUES ('other', 'x', ?1, 0)", &bounds::USED),
            (
                "INSERT INTO kept (role, name, count, used_h, gone) VALUES ('front', 'x', CAST(?1 AS INTEGER), 0.0, 0)",
                &measure::bounds::bike::FRONT_TEETH,
            ),
            (
                "INSERT INTO kept (role, name, count, used_h, gone) VALUES ('rear', 'x', CAST(?1 AS INTEGER), 0.0, 0)",
                &measure::bounds::bike::REAR_TEETH,
            ),
            (
                "INSERT INTO kept (role, name, count, used_h, gone) VALUES ('other', 'x', CAST(?1 AS INTEGER), 0.0, 0)",
                &bounds::COUNT,
            ),
            (
                "INSERT INTO kept (role, name, used_h, price_minor, currency, gone) VALUES ('other', 'x', 0.0, CAST(?1 AS INTEGER), 'EUR', 0)",
                &bounds::PRICE,
            ),
        ],
    );
}

/// Each column takes its bound's ends, and nothing beyond them.
fn hold(store: &Store, rows: &[(&str, &Bound)]) {
    for (sql, bound) in rows {
        let step = if sql.contains("CAST") { 1.0 } else { 1e-6 };
        let takes = |value: f64| store.db.execute(sql, [value]).is_ok();
        for (edge, inward) in [(bound.low, step), (bound.high, -step)] {
            let (value, at) = match edge {
                Edge::At(value) => (value, true),
                Edge::Beyond(value) => (value, false),
                Edge::Open => panic!("{sql}: an open end cannot be said in the file"),
            };
            assert_eq!(takes(value), at, "{sql} at {value}");
            assert!(takes(value + inward), "{sql} at {}", value + inward);
            assert!(!takes(value - inward), "{sql} at {}", value - inward);
        }
    }
}

#[test]
fn the_words_of_the_file_are_those_of_the_program() {
    let store = with_alder();
    store.db.execute_batch("PRAGMA foreign_keys = OFF").unwrap();
    let takes = |sql: &str, word: &str| store.db.execute(sql, [word]).is_ok();
    let states = "INSERT INTO slack (slack_mm, station, state, kind) VALUES ('[80.0]', 0.5, ?1, 'free')";
    assert!(SlackState::WORDS.iter().all(|(word, _)| takes(states, word)) && !takes(states, "hung"));
    let kinds = "INSERT INTO slack (slack_mm, station, state, kind) VALUES ('[80.0]', 0.5, 'stand', ?1)";
    assert!(SlackKind::WORDS.iter().all(|(word, _)| takes(kinds, word)) && !takes(kinds, "fingers"));
    let work = "INSERT INTO work (job, state) VALUES ('rear-tyre', ?1)";
    assert!(Work::STATES.iter().all(|(word, _)| takes(work, word)) && !takes(work, "half"));
    let roles = "INSERT INTO part (role, name, used_h) VALUES (?1, 'x', 0.0)";
    assert!(upkeep::record::ROLES.iter().all(|(word, _)| takes(roles, word)) && !takes(roles, "guide"));
    let shelf = "INSERT INTO kept (role, name, used_h, gone) VALUES (?1, 'x', 0.0, 0)";
    assert!(upkeep::record::ROLES.iter().all(|(word, _)| takes(shelf, word)) && !takes(shelf, "guide"));
    let whose = "INSERT INTO used (whose, low_h, high_h) VALUES (?1, 1.0, 2.0)";
    assert!(Whose::WORDS.iter().all(|(word, _)| takes(whose, word)) && !takes(whose, "guide"));
    let turned = "INSERT INTO used (whose, low_h, high_h) VALUES (?1, 2.0, 1.0)";
    assert!(!takes(turned, "bike"), "the high end does not lie below the low one");
    let kinds = "INSERT INTO entry (change, bike, kind, at) VALUES (1, 'alder-350', ?1, '2026-09-01T18:00:00')";
    assert!(KINDS.iter().all(|word| takes(kinds, word)) && !takes(kinds, "mood"));
    let odd = "INSERT INTO ride (change, bike, name, day, odd) VALUES (1, 'alder-350', 'x', '2026-09-01', ?1)";
    assert!(crate::ODD.iter().all(|word| takes(odd, word)) && !takes(odd, "bang"));
}

#[test]
fn a_row_that_went_bad_is_named() {
    let mut store = with_alder();
    for check in CHECKS {
        let torque = check.torque_field.map(|_| 50.0);
        let fact = Fact::Check(Check::new(check.name, check.answers[0].0, torque).unwrap());
        store.note("alder-350", &[entry("2026-09-01T18:00:00", fact)], &post()).unwrap();
    }
    store.db.execute_batch("DROP TRIGGER looked_stays").unwrap();
    store.db.execute("UPDATE looked SET answer = 'so-so' WHERE name = 'brake'", []).unwrap();
    let why = store.check().unwrap_err();
    assert!(why.to_string().contains("so-so"), "{why}");
    assert!(matches!(store.log("alder-350"), Err(StoreError::Damaged { .. })));
}

#[test]
fn what_lies_on_the_shelf_leaves_it_by_being_fitted_sold_or_undone() {
    let mut store = with_alder();
    let part = |name: &str| Part::new(Role::Front, name.into(), Some(14), 40.0, Some((500, "EUR".into()))).unwrap();
    let note = |store: &mut Store, day: &str, fact| {
        let entry = NewEntry::new(format!("2026-0{day}T10:00:00").parse().unwrap(), fact);
        store.note("alder-350", &[entry], &post()).unwrap().change.unwrap()
    };
    let names = |store: &Store| -> Vec<String> {
        let log = store.log("alder-350").unwrap();
        log.shelf().iter().map(|(_, kept)| kept.part().name().to_owned()).collect()
    };
    note(&mut store, "1-01", Fact::Kept(Kept::new(part("a"), false)));
    note(&mut store, "1-02", Fact::Kept(Kept::new(part("b"), false)));
    let sold = note(&mut store, "1-03", Fact::Kept(Kept::new(part("a"), true)));
    assert_eq!(names(&store), ["b"]);
    store.undo(sold, &post()).unwrap();
    assert_eq!(names(&store), ["a", "b"]);
    note(&mut store, "1-04", Fact::Part(part("b")));
    assert_eq!(names(&store), ["a"]);
    let text = store.export().unwrap();
    let mut again = Store::memory().unwrap();
    again.import(&text).unwrap();
    assert_eq!((names(&again), again.export().unwrap()), (names(&store), text));
}

#[test]
fn a_range_of_hours_is_corrected_undone_and_read_back_byte_for_byte() {
    let mut store = with_alder();
    let used = |low: f64, high: f64| Fact::Used(Used::new(Whose::Chain, low, high).unwrap());
    let between = |store: &Store| {
        let log = store.log("alder-350").unwrap();
        log.used(Role::Chain).map(|(_, used)| used.between_h())
    };
    store.note("alder-350", &[entry("2026-05-02T18:00:00", used(40.0, 80.0))], &post()).unwrap();
    let first = store.log("alder-350").unwrap().entries()[0].id;
    let right = NewEntry { corrects: Some(first), ..entry("2026-05-02T18:00:00", used(14.0, 18.5)) };
    let done = store.note("alder-350", &[right], &post()).unwrap();
    assert_eq!(between(&store), Some([14.0, 18.5]));
    let text = store.export().unwrap();
    assert!(text.contains(r#""used": ["#) && text.contains(r#""high_h":18.5"#), "{text}");
    let mut again = Store::memory().unwrap();
    again.import(&text).unwrap();
    assert_eq!((between(&again), again.export().unwrap()), (Some([14.0, 18.5]), text));
    let sheet = again.sheets().unwrap().into_iter().find(|sheet| sheet.name == "used").unwrap();
    assert_eq!(sheet.text, "entry,whose,low_h,high_h\r\n1,chain,40.0,80.0\r\n2,chain,14.0,18.5\r\n");
    store.undo(done.change.unwrap(), &post()).unwrap();
    assert_eq!(between(&store), Some([40.0, 80.0]));
    assert!(store.db.execute("UPDATE used SET low_h = 1.0", []).is_err());
    assert!(store.db.execute("DELETE FROM used", []).is_err());
}
