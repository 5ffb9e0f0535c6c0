//! Readings, work and plans: in and out, corrected and undone, never out of bounds.

use measure::bounds::record as bounds;
use measure::{Bound, Edge};
use rusqlite::ToSql;
use rusqlite::types::Value as Column;
use upkeep::record::{
    AxleReading, CHECKS, Check, ElongationReading, Fact, KINDS, Kept, Meter, Part, Planned, Role, Set, SlackKind,
    SlackReading, SlackState, Used, Waiver, Whose, Work,
};

use super::*;

on_each_engine!(
    each_kind_of_fact_comes_out_as_it_went_in,
    facts_and_what_follows_for_the_sheet_are_one_change,
    a_correction_points_at_what_it_corrects_and_both_stay,
    what_is_no_entry_of_the_kind_is_not_corrected,
    a_form_sent_twice_is_one_entry_and_a_ride_comes_with_its_readings,
    nothing_of_the_record_is_edited_or_deleted,
    the_bounds_of_the_record_are_those_of_the_program,
    the_bounds_of_parts_are_those_of_the_program,
    the_words_of_the_record_are_those_of_the_program,
    a_row_that_went_bad_is_named,
    what_lies_on_the_shelf_leaves_it_by_being_fitted_sold_or_undone,
    a_range_of_hours_is_corrected_undone_and_read_back_byte_for_byte,
);

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

fn each_kind_of_fact_comes_out_as_it_went_in<E: Trial>() {
    let mut store = alder_on::<E>();
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

fn facts_and_what_follows_for_the_sheet_are_one_change<E: Trial>() {
    let mut store = alder_on::<E>();
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

fn a_correction_points_at_what_it_corrects_and_both_stay<E: Trial>() {
    let mut store = alder_on::<E>();
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

fn what_is_no_entry_of_the_kind_is_not_corrected<E: Trial>() {
    let mut store = alder_on::<E>();
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

fn a_form_sent_twice_is_one_entry_and_a_ride_comes_with_its_readings<E: Trial>() {
    let mut store = alder_on::<E>();
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

fn nothing_of_the_record_is_edited_or_deleted<E: Trial>() {
    let mut store = alder_on::<E>();
    let all: Vec<NewEntry> = one_of_each().into_iter().map(|fact| entry("2026-09-01T18:00:00", fact)).collect();
    store.note("alder-350", &all, &post()).unwrap();
    let of_record = crate::whole::TABLES.iter().skip_while(|table| **table != "entry");
    let tables: Vec<&&str> = of_record.take_while(|table| **table != "bench").collect();
    assert_eq!(tables.len(), 1 + KINDS.len());
    for table in tables {
        let key = if *table == "entry" { "id" } else { "entry" };
        assert!(!runs(&mut store.db, &format!("UPDATE {table} SET {key} = {key}")), "{table} is edited");
        assert!(!runs(&mut store.db, &format!("DELETE FROM {table}")), "{table} is deleted");
    }
    assert_eq!(store.check().unwrap().entries, 12);
}

/// How the number tried stands in its column.
#[derive(Clone, Copy)]
enum As {
    Number,
    Whole,
    List,
    ListOfLists,
}

impl As {
    fn value(self, number: f64) -> Column {
        let list = |inner: String| Column::Text(format!("[{inner}]"));
        match self {
            Self::Number => Column::Real(number),
            #[expect(clippy::cast_possible_truncation, reason = "whole numbers within a bound, and one beyond")]
            Self::Whole => Column::Integer(number as i64),
            Self::List => list(serde_json::Value::from(number).to_string()),
            Self::ListOfLists => list(format!("[{}]", serde_json::Value::from(number))),
        }
    }
}

/// One column of a row.
type Cell<'a> = (&'a str, &'a dyn ToSql);

/// A column that holds a number: how it stands there, its bound, and what else the row must hold.
type Tried<'a> = (&'a str, As, &'a Bound, &'a Columns<'a>);

/// A record with one entry that has no fact yet.
fn with_head<E: Trial>() -> (Store<E>, i64) {
    let mut store = alder_on::<E>();
    let row: &Columns<'_> =
        &[("change", &1_i64), ("bike", &"alder-350"), ("kind", &"meter"), ("at", &"2026-09-01T18:00:00")];
    let entry = store.db.at_once(|db| db.numbered("entry", row)).unwrap();
    (store, entry)
}

fn the_bounds_of_the_record_are_those_of_the_program<E: Trial>() {
    let (mut store, entry) = with_head::<E>();
    let mut hold = |table: &str, tried: &[Tried<'_>]| {
        for tried in tried {
            hold(&mut store.db, entry, table, tried, &[]);
        }
    };
    hold(
        "meter",
        &[
            ("read_h", As::Number, &bounds::METER, &[]),
            ("swap_old_h", As::Number, &bounds::METER, &[("swap_new_h", &0.0)]),
            ("swap_new_h", As::Number, &bounds::METER, &[("swap_old_h", &0.0)]),
        ],
    );
    let (state, kind): (Cell<'_>, Cell<'_>) = (("state", &"stand"), ("kind", &"free"));
    let (read, station): (Cell<'_>, Cell<'_>) = (("slack_mm", &"[80.0]"), ("station", &0.5));
    hold(
        "slack",
        &[
            ("slack_mm", As::List, &bounds::SLACK, &[station, state, kind]),
            ("at_links", As::List, &bounds::LINKS_PASSED, &[read, station, state, kind]),
            ("station", As::Number, &bounds::STATION, &[read, state, kind]),
        ],
    );
    let (error, step): (Cell<'_>, Cell<'_>) = (("maximum_error_mm", &0.0), ("resolution_mm", &0.0));
    let (pitches, length): (Cell<'_>, Cell<'_>) = (("pitches", &20), ("length_mm", &"[[9.0]]"));
    hold(
        "elongation",
        &[
            ("length_mm", As::ListOfLists, &bounds::LENGTH, &[pitches, error, step]),
            ("maximum_error_mm", As::Number, &bounds::INSTRUMENT_ERROR, &[pitches, length, step]),
            ("resolution_mm", As::Number, &bounds::RESOLUTION, &[pitches, length, error]),
            ("pitches", As::Whole, &bounds::PITCHES, &[length, error, step]),
        ],
    );
    hold(
        "axle",
        &[
            ("left_mm", As::Number, &bounds::SIDE, &[("right_mm", &0.0)]),
            ("right_mm", As::Number, &bounds::SIDE, &[("left_mm", &0.0)]),
        ],
    );
    hold("looked", &[("torque_nm", As::Number, &bounds::TORQUE, &[("name", &"axle"), ("answer", &"set")])]);
    hold("planned", &[("hours_h", As::Number, &bounds::RIDE, &[("name", &"x"), ("event", &0)])]);
}

fn the_bounds_of_parts_are_those_of_the_program<E: Trial>() {
    use measure::bounds::bike::{FRONT_TEETH, REAR_TEETH};
    let (mut store, entry) = with_head::<E>();
    let named: Cell<'_> = ("name", &"x");
    let used: Cell<'_> = ("used_h", &0.0);
    let role = |role| -> Cell<'_> { ("role", role) };
    let (front, rear, other) = (role(&"front"), role(&"rear"), role(&"other"));
    let tried: [Tried<'_>; 5] = [
        ("used_h", As::Number, &bounds::USED, &[other, named]),
        ("count", As::Whole, &FRONT_TEETH, &[front, named, used]),
        ("count", As::Whole, &REAR_TEETH, &[rear, named, used]),
        ("count", As::Whole, &bounds::COUNT, &[other, named, used]),
        ("price_minor", As::Whole, &bounds::PRICE, &[other, named, used, ("currency", &"EUR")]),
    ];
    for tried in &tried {
        hold(&mut store.db, entry, "part", tried, &[]);
        hold(&mut store.db, entry, "kept", tried, &[("gone", &0)]);
    }
    let ends: [Tried<'_>; 2] = [
        ("low_h", As::Number, &bounds::USED, &[("whose", &"bike"), ("high_h", &5000.0)]),
        ("high_h", As::Number, &bounds::USED, &[("whose", &"bike"), ("low_h", &0.0)]),
    ];
    for tried in &ends {
        hold(&mut store.db, entry, "used", tried, &[]);
    }
}

/// The column takes its bound's ends, and nothing beyond them.
fn hold(db: &mut impl Engine, entry: i64, table: &str, tried: &Tried<'_>, more: &Columns<'_>) {
    let (column, kind, bound, rest) = *tried;
    let step = if matches!(kind, As::Whole) { 1.0 } else { 1e-6 };
    let mut takes = |number: f64| {
        let value = kind.value(number);
        let mut row: Vec<(&str, &dyn ToSql)> = vec![("entry", &entry), (column, &value)];
        row.extend_from_slice(rest);
        row.extend_from_slice(more);
        super::takes(db, table, &row)
    };
    for (edge, inward) in [(bound.low, step), (bound.high, -step)] {
        let (value, at) = match edge {
            Edge::At(value) => (value, true),
            Edge::Beyond(value) => (value, false),
            Edge::Open => panic!("{table}.{column}: an open end cannot be said in a table"),
        };
        assert_eq!(takes(value), at, "{table}.{column} at {value}");
        assert!(takes(value + inward), "{table}.{column} at {}", value + inward);
        assert!(!takes(value - inward), "{table}.{column} at {}", value - inward);
    }
}

/// A table and its column, the words that it takes, one that it does not, and what else the row must hold.
type Worded<'a> = (&'a str, &'a str, &'a [&'a str], &'a str, &'a Columns<'a>);

fn the_words_of_the_record_are_those_of_the_program<E: Trial>() {
    let (mut store, entry) = with_head::<E>();
    let entry: Cell<'_> = ("entry", &entry);
    let (read, station): (Cell<'_>, Cell<'_>) = (("slack_mm", &"[80.0]"), ("station", &0.5));
    let (named, used, gone): (Cell<'_>, Cell<'_>, Cell<'_>) = (("name", &"x"), ("used_h", &0.0), ("gone", &0));
    let (change, bike): (Cell<'_>, Cell<'_>) = (("change", &1_i64), ("bike", &"alder-350"));
    let at: Cell<'_> = ("at", &"2026-09-01T18:00:00");
    let states: Vec<&str> = SlackState::WORDS.iter().map(|(word, _)| *word).collect();
    let kinds: Vec<&str> = SlackKind::WORDS.iter().map(|(word, _)| *word).collect();
    let work: Vec<&str> = Work::STATES.iter().map(|(word, _)| *word).collect();
    let roles: Vec<&str> = upkeep::record::ROLES.iter().map(|(word, _)| *word).collect();
    let ride: &Columns<'_> = &[("id", &9_i64), change, bike, named, ("day", &"2026-09-01")];
    let whose: Vec<&str> = Whose::WORDS.iter().map(|(word, _)| *word).collect();
    let tried: [Worded<'_>; 8] = [
        ("slack", "state", &states, "hung", &[entry, read, station, ("kind", &"free")]),
        ("slack", "kind", &kinds, "fingers", &[entry, read, station, ("state", &"stand")]),
        ("work", "state", &work, "half", &[entry, ("job", &"rear-tyre")]),
        ("part", "role", &roles, "guide", &[entry, named, used]),
        ("kept", "role", &roles, "guide", &[entry, named, used, gone]),
        ("used", "whose", &whose, "guide", &[entry, ("low_h", &1.0), ("high_h", &2.0)]),
        ("entry", "kind", &KINDS, "mood", &[("id", &9_i64), change, bike, at]),
        ("ride", "odd", &crate::ODD, "bang", ride),
    ];
    for (table, column, words, wrong, rest) in tried {
        let mut takes = |word: &str| {
            let mut row = rest.to_vec();
            row.push((column, &word));
            super::takes(&mut store.db, table, &row)
        };
        assert!(words.iter().all(|word| takes(word)), "{table}.{column}");
        assert!(!takes(wrong), "{table}.{column} takes {wrong}");
    }
    let turned: &Columns<'_> = &[entry, ("whose", &"bike"), ("low_h", &2.0), ("high_h", &1.0)];
    assert!(!takes(&mut store.db, "used", turned), "the high end does not lie below the low one");
}

fn a_row_that_went_bad_is_named<E: Trial>() {
    let mut store = alder_on::<E>();
    for check in CHECKS {
        let torque = check.torque_field.map(|_| 50.0);
        let fact = Fact::Check(Check::new(check.name, check.answers[0].0, torque).unwrap());
        store.note("alder-350", &[entry("2026-09-01T18:00:00", fact)], &post()).unwrap();
    }
    store.db.spoil("looked", "UPDATE looked SET answer = ?1 WHERE name = 'brake'", &[&"so-so"]);
    let why = store.check().unwrap_err();
    assert!(why.to_string().contains("so-so"), "{why}");
    assert!(matches!(store.log("alder-350"), Err(StoreError::Damaged { .. })));
}

fn what_lies_on_the_shelf_leaves_it_by_being_fitted_sold_or_undone<E: Trial>() {
    let mut store = alder_on::<E>();
    let part = |name: &str| Part::new(Role::Front, name.into(), Some(14), 40.0, Some((500, "EUR".into()))).unwrap();
    let note = |store: &mut Store<E>, day: &str, fact| {
        let entry = NewEntry::new(format!("2026-0{day}T10:00:00").parse().unwrap(), fact);
        store.note("alder-350", &[entry], &post()).unwrap().change.unwrap()
    };
    let names = |store: &Store<E>| -> Vec<String> {
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
    let mut again = E::fresh();
    again.import(&text).unwrap();
    assert_eq!((names(&again), again.export().unwrap()), (names(&store), text));
}

fn a_range_of_hours_is_corrected_undone_and_read_back_byte_for_byte<E: Trial>() {
    let mut store = alder_on::<E>();
    let used = |low: f64, high: f64| Fact::Used(Used::new(Whose::Chain, low, high).unwrap());
    let between = |store: &Store<E>| {
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
    let mut again = E::fresh();
    again.import(&text).unwrap();
    assert_eq!((between(&again), again.export().unwrap()), (Some([14.0, 18.5]), text));
    let sheet = again.sheets().unwrap().into_iter().find(|sheet| sheet.name == "used").unwrap();
    assert_eq!(sheet.text, "entry,whose,low_h,high_h\r\n1,chain,40.0,80.0\r\n2,chain,14.0,18.5\r\n");
    store.undo(done.change.unwrap(), &post()).unwrap();
    assert_eq!(between(&store), Some([40.0, 80.0]));
    assert!(!runs(&mut store.db, "UPDATE used SET low_h = 1.0"));
    assert!(!runs(&mut store.db, "DELETE FROM used"));
}
