//! Work orders: lines in and out, sent twice, written meanwhile, undone whole; figures of the manual.

use upkeep::job::bench::{Answer, End, Manual, Outcome, Said, What};
use upkeep::record::{Fact, Work};

use upkeep::supply::{Event, Supply};

use super::*;

on_each_engine!(
    every_kind_of_line_comes_out_as_it_went_in,
    a_tick_sent_twice_is_one_line_and_one_that_did_not_see_the_other_is_told,
    undoing_the_closing_opens_the_order_and_takes_its_facts_and_the_sheet_back,
    a_line_that_is_not_possible_writes_nothing_at_all,
    the_latest_figure_of_the_manual_stands,
);

fn at(text: &str) -> jiff::civil::DateTime {
    text.parse().unwrap()
}

fn new() -> NewBench {
    NewBench {
        at: at("2026-09-24T17:00:00"),
        jobs: vec!["final-drive-set".into()],
        choices: vec![("front-retention".into(), "nut".into())],
        setup: [14, 48, 118],
    }
}

fn tick(step: &str) -> What {
    let answer = Answer {
        hold: "slack".into(),
        typed: "85 mm".into(),
        number: Some(85.0),
        unit: "mm".into(),
        outcome: Outcome::Confirmed,
        reason: Some("read twice".into()),
        against: Some("82 to 88 mm (manual, p. 9)".into()),
    };
    What::Ticked { step: step.into(), reason: Some("so".into()), answers: vec![answer] }
}

fn lines(seen: i64, what: Vec<What>) -> NewLines {
    NewLines { seen, at: at("2026-09-24T17:05:00"), who: Some("Ann".into()), what, ..NewLines::default() }
}

fn begun<E: Trial>() -> (Store<E>, i64) {
    let mut store = alder_on::<E>();
    let work = NewEntry::new(at("2026-09-24T17:00:00"), Fact::Work(Work::new("final-drive-set", "begun").unwrap()));
    let id = store.begin_bench("alder-350", &new(), &[work], &post()).unwrap();
    (store, id)
}

fn every_kind_of_line_comes_out_as_it_went_in<E: Trial>() {
    let (mut store, id) = begun::<E>();
    let all = vec![
        What::Read("pinch".into()),
        tick("do:chain-slack-set"),
        What::Held { step: "do:nip-axle".into(), answers: Vec::new() },
        What::Unticked { step: "do:chain-slack-set".into(), reason: "wrong place".into() },
        What::Added { job: "countershaft-seal".into(), reason: "oil behind it".into() },
        What::Paused,
        What::Cure { hours: 24.0 },
        What::Closed,
        What::Dropped,
    ];
    store.write_bench("alder-350", id, &lines(0, all.clone()), &post()).unwrap();
    let bench = store.benches("alder-350").unwrap().remove(0);
    assert_eq!((bench.jobs.clone(), bench.choices.clone(), bench.setup), (new().jobs, new().choices, new().setup));
    assert_eq!(bench.lines.iter().map(|line| line.what.clone()).collect::<Vec<_>>(), all);
    assert!(bench.lines.iter().all(|line| line.who.as_deref() == Some("Ann") && !line.paper));
    assert_eq!(store.log("alder-350").unwrap().open_work().len(), 1);
    store.check().unwrap();
    let mut again = E::fresh();
    again.import(&store.export().unwrap()).unwrap();
    assert_eq!(again.benches("alder-350").unwrap(), [bench]);
}

fn a_tick_sent_twice_is_one_line_and_one_that_did_not_see_the_other_is_told<E: Trial>() {
    let (mut store, id) = begun::<E>();
    let first = lines(0, vec![tick("open:guard-off")]);
    let done = store.write_bench("alder-350", id, &first, &keyed("k")).unwrap();
    let again =
        store.write_bench("alder-350", id, &NewLines { at: at("2026-09-24T17:09:00"), ..first.clone() }, &keyed("k"));
    assert_eq!((again.as_ref().unwrap().change, again.unwrap().again), (done.change, true));
    assert_eq!(store.benches("alder-350").unwrap()[0].lines.len(), 1);
    let late = store.write_bench("alder-350", id, &lines(0, vec![tick("do:crack-axle-nut")]), &keyed("other"));
    assert!(matches!(late, Err(StoreError::Meanwhile { .. })), "{late:?}");
    assert!(matches!(store.write_bench("alder-350", 77, &first, &post()), Err(StoreError::NoSuchBench { id: 77 })));
}

fn undoing_the_closing_opens_the_order_and_takes_its_facts_and_the_sheet_back<E: Trial>() {
    let (mut store, id) = begun::<E>();
    let done = NewEntry::new(at("2026-09-24T20:00:00"), Fact::Work(Work::new("final-drive-set", "done").unwrap()));
    let close = NewLines {
        facts: vec![done],
        sheet: vec![put("rear_teeth", Value::Whole(50))],
        supplies: vec![Supply::new("chain", Event::Taken(1)).unwrap()],
        ..lines(0, vec![What::Closed])
    };
    let change = store.write_bench("alder-350", id, &close, &post()).unwrap().change.unwrap();
    assert_eq!(store.benches("alder-350").unwrap()[0].end(), End::Closed);
    assert_eq!(store.bike("alder-350").unwrap().whole("rear_teeth"), Some(50));
    assert!(store.log("alder-350").unwrap().open_work().is_empty());
    assert_eq!(store.supplies("alder-350").unwrap().len(), 1);
    store.undo(change, &post()).unwrap();
    assert_eq!(store.benches("alder-350").unwrap()[0].end(), End::Open);
    assert_eq!(store.bike("alder-350").unwrap().whole("rear_teeth"), Some(48));
    assert_eq!(store.log("alder-350").unwrap().open_work().len(), 1);
    assert!(store.supplies("alder-350").unwrap().is_empty(), "the parts lie there again");
}

fn a_line_that_is_not_possible_writes_nothing_at_all<E: Trial>() {
    let (mut store, id) = begun::<E>();
    for wrong in [
        What::Cure { hours: -1.0 },
        What::Read(String::new()),
        What::Unticked { step: "x".into(), reason: String::new() },
    ] {
        let tried = store.write_bench("alder-350", id, &lines(0, vec![tick("open:guard-off"), wrong]), &post());
        assert!(tried.is_err());
    }
    assert!(store.benches("alder-350").unwrap()[0].lines.is_empty());
    assert!(!runs(&mut store.db, "UPDATE bench SET links = 120"));
    assert!(!runs(&mut store.db, "DELETE FROM bench"));
}

fn the_latest_figure_of_the_manual_stands<E: Trial>() {
    let mut store = alder_on::<E>();
    let said = |low, high| Manual::new("valve-clearance", Said::Number { low, high }, "manual, p. 40").unwrap();
    store.put_manual("alder-350", &said(0.1, 0.15), &post()).unwrap();
    let change = store.put_manual("alder-350", &said(0.12, 0.17), &post()).unwrap().change.unwrap();
    assert_eq!(store.manual("alder-350").unwrap(), [said(0.12, 0.17)]);
    store.undo(change, &post()).unwrap();
    assert_eq!(store.manual("alder-350").unwrap(), [said(0.1, 0.15)]);
}
