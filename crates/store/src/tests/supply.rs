//! The shelf: every kind of fact comes out as it went in, is undone, told, carried over, and never edited.

use upkeep::supply::{Event, Shelf, Supply};

use super::*;

on_each_engine!(
    every_kind_of_fact_comes_out_as_it_went_in,
    a_change_of_the_shelf_is_told_and_taken_back_whole,
    a_form_sent_twice_puts_one_part_there,
    the_shelf_goes_with_the_document_and_is_never_edited,
);

fn all() -> Vec<Supply> {
    let events = [
        Event::Put(2),
        Event::Taken(1),
        Event::Counted(4),
        Event::Ordered(3),
        Event::Received(1),
        Event::Price(8950, 9200, "EUR".into()),
        Event::Lead(9),
        Event::UseBy("2027-05-01".parse().unwrap()),
        Event::Chance(5.0, 12.5),
    ];
    events.into_iter().map(|event| Supply::new("chain", event).unwrap()).collect()
}

fn written<E: Trial>() -> Store<E> {
    let mut store = alder_on::<E>();
    store.supply("alder-350", "2026-09-24T17:00:00".parse().unwrap(), &all(), &post()).unwrap();
    store
}

fn every_kind_of_fact_comes_out_as_it_went_in<E: Trial>() {
    let store = written::<E>();
    let out: Vec<Supply> = store.supplies("alder-350").unwrap().into_iter().map(|kept| kept.supply).collect();
    assert_eq!(out, all());
    store.check().unwrap();
}

fn a_change_of_the_shelf_is_told_and_taken_back_whole<E: Trial>() {
    let mut store = written::<E>();
    let change = store.supplies("alder-350").unwrap()[0].change;
    store.undo(change, &post()).unwrap();
    assert!(store.supplies("alder-350").unwrap().is_empty());
    let past = store.past("alder-350").unwrap();
    let told = past.iter().find(|past| past.id == change).unwrap();
    assert_eq!((told.supplies.len(), told.stands), (9, false));
}

fn a_form_sent_twice_puts_one_part_there<E: Trial>() {
    let mut store = alder_on::<E>();
    let one = [Supply::new("chain", Event::Put(1)).unwrap()];
    let at = "2026-09-24T17:00:00".parse().unwrap();
    let first = store.supply("alder-350", at, &one, &keyed("shelf")).unwrap();
    let again = store.supply("alder-350", at, &one, &keyed("shelf")).unwrap();
    assert_eq!(first.change, again.change);
    let facts = store.supplies("alder-350").unwrap();
    let shelf = Shelf::of(facts.iter().map(|kept| (kept.at.date(), &kept.supply)));
    assert_eq!(shelf.item("chain").unwrap().qty, Some(1));
}

fn the_shelf_goes_with_the_document_and_is_never_edited<E: Trial>() {
    let mut store = written::<E>();
    let text = store.export().unwrap();
    let mut again = E::fresh();
    again.import(&text).unwrap();
    assert_eq!(again.supplies("alder-350").unwrap(), store.supplies("alder-350").unwrap());
    assert!(!runs(&mut store.db, "UPDATE supply SET qty = 9"));
    assert!(!runs(&mut store.db, "DELETE FROM supply"));
    assert!(text.contains("\"supply\""));
}
