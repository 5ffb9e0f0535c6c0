//! A change in words: before → after of each figure, fact and ride.

use advice::record::{after_ride, history};
use store::{Fact, Kept, Noted, Past, Ride};
use upkeep::bike;
use upkeep::record;

use crate::pages::bike::held;

/// What kind of change it is, for a person.
pub(super) fn kind(what: &str) -> &str {
    match what {
        "bike" => "a bike brought in",
        "sheet" => "the bike sheet",
        "ride" => "a ride",
        "record" => "the record",
        "undo" => "taken back",
        other => other,
    }
}

/// Everything that a change brought, a line each.
pub(super) fn lines(one: &Past, all: &[Past]) -> Vec<String> {
    let facts = one.facts.iter().rev().map(|fact| of_sheet(fact, all));
    let noted = one.noted.iter().map(|noted| of_record(noted, all));
    let rides = one.rides.iter().map(of_ride);
    let mut lines: Vec<String> = facts.chain(noted).chain(rides).chain(one.supplies.iter().map(of_shelf)).collect();
    if lines.is_empty() {
        lines.push("A name, or what is not told one by one.".to_owned());
    }
    lines
}

fn of_sheet(fact: &Fact, all: &[Past]) -> String {
    let Some(field) = bike::field(fact.field) else { return fact.field.to_owned() };
    let before = all.iter().filter(|past| past.id < fact.change && past.stands);
    let before = before.flat_map(|past| &past.facts).find(|other| other.field == fact.field);
    format!("{}: {} → {}", field.word, held(field, before), held(field, Some(fact)))
}

fn of_record(noted: &Noted, all: &[Past]) -> String {
    let entry = &noted.entry;
    let note = entry.note.as_ref().map_or_else(String::new, |note| format!(" ({note})"));
    let at = entry.at.strftime("%Y-%m-%d %H:%M");
    let before = entry.corrects.and_then(|id| {
        let mut every = all.iter().flat_map(|past| &past.noted);
        every.find(|other| other.entry.id == id).map(|other| history::words(&other.entry.fact))
    });
    let before = before.map_or_else(String::new, |before| format!("{before} → "));
    let later = noted.corrected_by.map_or_else(String::new, |_| "; measured or typed again since".to_owned());
    format!("{at}: {before}{}{note}{later}", history::words(&entry.fact))
}

fn of_shelf(kept: &Kept) -> String {
    format!("{}: {}", kept.at.strftime("%Y-%m-%d %H:%M"), advice::supplies::told(&kept.supply))
}

fn of_ride(ride: &Ride) -> String {
    let about = &ride.about;
    let ridden = record::Ride {
        id: ride.id,
        name: about.name.clone(),
        at: about.over.unwrap_or_else(|| about.day.at(12, 0, 0, 0)),
        hours_h: about.hours_h,
        ground: about.ground.clone(),
        wet: about.wet,
        odd: None,
    };
    let odd = about.odd.as_ref().map_or_else(String::new, |odd| format!(", odd: {odd}"));
    format!("{}: ride {}, {}{odd}", about.day, about.name, after_ride::words(&ridden))
}
