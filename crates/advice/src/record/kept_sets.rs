//! Sets kept as units: what belongs to each, where each part is and how long it ran, and what putting one on comes to.

use serde::Serialize;
use upkeep::bike::Bike;
use upkeep::job::bench::End;
use upkeep::record::{Fact as Noted, Kept, Part, Role, SET_ROLES, Set, Whereabouts, Work};

use super::Record;
use super::used;
use crate::ask::Gap;
use crate::block::Block;
use crate::fact::{Cell, Column, Table};
use crate::words::{list, number};

/// The job that changing a set is: after it everything that safety hangs on must be confirmed.
pub const JOB: &str = "final-drive-set";

/// One part of a set, or one that is on the bike.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Member {
    /// chain, front or rear.
    pub role: &'static str,
    /// What it is called.
    pub name: String,
    /// Teeth or links.
    pub count: Option<u32>,
    /// Hours that it has had in all.
    pub hours_h: Option<f64>,
    /// The same where they are known as a range only.
    pub range_h: Option<[f64; 2]>,
    /// Where it is.
    pub place: &'static str,
}

/// A set with its parts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KeptSet {
    /// What it is called.
    pub name: String,
    /// The day on which it was put together.
    pub since: String,
    /// Its parts.
    pub parts: Vec<Member>,
    /// Whether all of it is on the bike.
    pub on: bool,
    /// What stands against putting it on; empty where nothing does.
    pub against: String,
}

/// Every set, and what is on the bike.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SetsView {
    /// The sets, oldest first.
    pub sets: Vec<KeptSet>,
    /// Chain and sprockets that are on the bike by the record.
    pub fitted: Vec<Member>,
    /// The sets part by part.
    pub table: Table,
    /// What is on the bike, part by part.
    pub on_the_bike: Table,
}

/// What changing sets comes to: parts that go to the shelf with their hours, parts that go on with theirs.
#[derive(Debug, Clone, PartialEq)]
pub struct Exchange {
    /// To the shelf.
    pub off: Vec<Part>,
    /// Onto the bike.
    pub on: Vec<Part>,
    /// What to know.
    pub notes: Vec<String>,
}

/// Every set with its parts.
///
/// # Errors
/// The meter went back.
pub fn view(record: &Record<'_>) -> Result<SetsView, Gap> {
    let member = |role: Role, name: &str| member(record, role, name);
    let mut sets = Vec::new();
    for (entry, set) in record.log.sets() {
        let parts = set.parts().iter().map(|(role, name)| member(*role, name)).collect::<Result<Vec<_>, Gap>>()?;
        sets.push(KeptSet {
            name: set.name().to_owned(),
            since: entry.at.date().to_string(),
            on: parts.iter().all(|part| part.place == ON),
            against: put_on(record, set.name()).err().map(|gap| gap.text).unwrap_or_default(),
            parts,
        });
    }
    let on = SET_ROLES.iter().filter_map(|role| Some((*role, record.log.on_the_bike(*role)?.1.name())));
    let fitted = on.map(|(role, name)| member(role, name)).collect::<Result<Vec<_>, Gap>>()?;
    let on_the_bike = parts_table("fitted", "On the bike by the record", &fitted);
    Ok(SetsView { table: table(&sets), sets, fitted, on_the_bike })
}

const ON: &str = "on the bike";

fn member(record: &Record<'_>, role: Role, name: &str) -> Result<Member, Gap> {
    let found = record.log.whereabouts(role, name);
    let (part, place) = match found {
        Some(Whereabouts::Fitted(_, part)) => (Some(part), ON),
        Some(Whereabouts::Shelf(kept)) => (Some(kept.part()), "on the shelf"),
        Some(Whereabouts::Off(_, part, _)) => (Some(part), "taken off"),
        Some(Whereabouts::Gone(kept)) => (Some(kept.part()), "no longer there"),
        None => (None, "not recorded"),
    };
    let span = if place == ON { used::of(record, role)? } else { None };
    let hours_h = found.map(|found| hours(record, found)).transpose()?.flatten().filter(|_| span.is_none());
    let (name, count) = (name.to_owned(), part.and_then(Part::count));
    Ok(Member { role: role.word(), name, count, hours_h, range_h: span.map(|span| span.now_h), place })
}

/// Hours that a part has had, the most of a range: it is no fresher for being put away; `None` where the meter tells
/// nothing.
fn hours(record: &Record<'_>, found: Whereabouts<'_>) -> Result<Option<f64>, Gap> {
    let ran = |from, to, part: &Part| {
        let span = record.hours_at(from)?.zip(record.hours_at(to)?);
        Ok(span.map(|(from, to)| to - from + part.used_h()))
    };
    match found {
        Whereabouts::Fitted(entry, part) => match used::of(record, part.role())? {
            Some(span) => Ok(Some(span.end(used::End::High))),
            None => ran(entry.at, record.now, part),
        },
        Whereabouts::Off(entry, part, until) => ran(entry.at, until, part),
        Whereabouts::Shelf(kept) | Whereabouts::Gone(kept) => Ok(Some(kept.part().used_h())),
    }
}

/// What putting a set on comes to now.
///
/// # Errors
/// No such set, it is on, a part of it is gone, or hours would be lost; the text says what to do.
pub fn put_on(record: &Record<'_>, name: &str) -> Result<Exchange, Gap> {
    closed(record)?;
    let set = named(record, name)?;
    let mut exchange = Exchange { off: Vec::new(), on: Vec::new(), notes: Vec::new() };
    for (role, part) in set.parts() {
        let found = record.log.whereabouts(*role, part);
        let known = match found {
            Some(Whereabouts::Fitted(..)) => continue,
            Some(Whereabouts::Shelf(kept)) => kept.part(),
            Some(Whereabouts::Off(_, known, _)) => known,
            Some(Whereabouts::Gone(_)) | None => {
                let text = format!("The {} \"{part}\" of the set \"{name}\" is no longer there.", role.word());
                return Err(refused("set", text));
            }
        };
        let used = found.map(|found| hours(record, found)).transpose()?.flatten().ok_or_else(no_hours)?;
        exchange.on.push(with_hours(known, used)?);
        match record.log.on_the_bike(*role) {
            Some((_, before)) => {
                exchange.off.push(laid_off(record, before)?);
                exchange.notes.extend(ranged(record, *role)?);
            }
            None => {
                exchange.notes.push(format!("No {} was recorded as being on: none is laid on the shelf.", role.word()))
            }
        }
    }
    if exchange.on.is_empty() {
        return Err(refused("set", format!("The set \"{name}\" is on the bike.")));
    }
    Ok(exchange)
}

/// What taking everything off comes to now: chain and sprockets go to the shelf with their hours.
///
/// # Errors
/// Nothing is recorded as being on, or hours would be lost.
pub fn take_off(record: &Record<'_>) -> Result<Exchange, Gap> {
    closed(record)?;
    let on = SET_ROLES.iter().filter_map(|role| record.log.on_the_bike(*role));
    let off = on.map(|(_, part)| laid_off(record, part)).collect::<Result<Vec<_>, Gap>>()?;
    let notes = off.iter().filter_map(|part| ranged(record, part.role()).transpose()).collect::<Result<_, Gap>>()?;
    if off.is_empty() {
        return Err(refused("set", "No chain or sprocket is recorded as being on the bike.".to_owned()));
    }
    Ok(Exchange { off, on: Vec::new(), notes })
}

/// A set of parts that are there, each with its teeth or links; left out, the one that is on the bike.
///
/// # Errors
/// A part that is not there, or whose teeth or links nobody wrote down.
pub fn put_together(record: &Record<'_>, name: &str, wanted: [Wanted<'_>; 3]) -> Result<Set, Gap> {
    let mut parts = Vec::new();
    for (role, wanted) in SET_ROLES.into_iter().zip(wanted) {
        let part = match wanted {
            Wanted::None => continue,
            Wanted::Fitted => match record.log.on_the_bike(role) {
                Some((_, part)) => part.name(),
                None => continue,
            },
            Wanted::Named(part) => part,
        };
        let member = member(record, role, part)?;
        let at_hand = record.log.parts_at_hand(role);
        if !at_hand.contains(&part) {
            let there: Vec<String> = at_hand.iter().map(|name| format!("\"{name}\"")).collect();
            let there = if there.is_empty() { "none is".to_owned() } else { list(&there) };
            let text = format!("No {} is called \"{part}\"; there: {there}.", role.word());
            return Err(refused(role.word(), text));
        }
        if member.count.is_none() {
            let text = format!(
                "Of the {} \"{part}\" teeth or links are not recorded: they go onto the sheet with it.",
                role.word()
            );
            return Err(refused(role.word(), text));
        }
        parts.push((role, part.to_owned()));
    }
    Set::new(name.trim().to_owned(), parts, false).map_err(|fault| refused("set", fault.text))
}

/// Which part of a role goes into a set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted<'t> {
    /// None.
    None,
    /// The one that is on the bike.
    Fitted,
    /// The one of this name.
    Named(&'t str),
}

/// The set of a name.
///
/// # Errors
/// There is none, with those there are.
pub fn named<'r>(record: &'r Record<'_>, name: &str) -> Result<&'r Set, Gap> {
    let sets = record.log.sets();
    sets.iter().find(|(_, set)| set.name() == name.trim()).map(|(_, set)| *set).ok_or_else(|| {
        let names: Vec<String> = sets.iter().map(|(_, set)| format!("\"{}\"", set.name())).collect();
        let there = if names.is_empty() { "none is kept yet".to_owned() } else { list(&names) };
        refused("set", format!("No set is called \"{name}\"; there: {there}."))
    })
}

/// An order on the bench writes down itself what it fits.
fn closed(record: &Record<'_>) -> Result<(), Gap> {
    match record.benches.iter().find(|bench| bench.end() == End::Open) {
        Some(bench) => Err(refused(
            "set",
            format!(
                "Work order {} is open: what it fits is written down when it is closed. Close it or give it up first.",
                bench.id
            ),
        )),
        None => Ok(()),
    }
}

/// The part as it goes to the shelf.
fn laid_off(record: &Record<'_>, part: &Part) -> Result<Part, Gap> {
    if let (Some(field), Some(count)) = (field_of(part.role()), part.count())
        && let Some(sheet) = record.bike.whole(field)
        && sheet != count
    {
        let text = format!(
            "The bike sheet says {sheet}, the {} \"{}\" that was recorded last has {count}: write down first what is on \
             the bike (drive fitted).",
            part.role().word(),
            part.name()
        );
        return Err(refused("set", text));
    }
    let found = record.log.whereabouts(part.role(), part.name());
    let used = found.map(|found| hours(record, found)).transpose()?.flatten().ok_or_else(no_hours)?;
    with_hours(part, used)
}

/// What is lost of a range when its part is put away with one figure.
fn ranged(record: &Record<'_>, role: Role) -> Result<Option<String>, Gap> {
    Ok(used::of(record, role)?.map(|span| format!("The {} goes with the most of its {}.", role.word(), span.words())))
}

/// A part with the hours that it has now and without a price: what it cost was paid once.
fn with_hours(part: &Part, used_h: f64) -> Result<Part, Gap> {
    Part::new(part.role(), part.name().to_owned(), part.count(), used_h, None)
        .map_err(|fault| refused("set", fault.text))
}

/// The field of the sheet that counts a part.
#[must_use]
pub const fn field_of(role: Role) -> Option<&'static str> {
    match role {
        Role::Chain => Some("links"),
        Role::Front => Some("front_teeth"),
        Role::Rear => Some("rear_teeth"),
        Role::Other => None,
    }
}

fn no_hours() -> Gap {
    refused("meter", "Hours are not known: read the meter first, or each part's hours would be lost.".to_owned())
}

fn refused(field: &str, text: String) -> Gap {
    Gap { figure: "", field: field.to_owned(), missing: false, text, how_to: String::new() }
}

impl Exchange {
    /// The facts in their order: off, on, and the work that it was, done or only begun.
    ///
    /// # Errors
    /// The library at hand has no such job.
    pub fn facts(&self) -> Result<Vec<Noted>, Gap> {
        let work = Work::new(JOB, if self.on.is_empty() { "begun" } else { "done" });
        let work = work.map_err(|fault| refused("set", fault.text))?;
        let off = self.off.iter().map(|part| Noted::Kept(Kept::new(part.clone(), false)));
        Ok(off.chain(self.on.iter().cloned().map(Noted::Part)).chain([Noted::Work(work)]).collect())
    }

    /// What the sheet says afterwards, field by field; only what differs.
    #[must_use]
    pub fn sheet(&self, bike: &Bike) -> Vec<(&'static str, u32)> {
        let counts = self.on.iter().filter_map(|part| field_of(part.role()).zip(part.count()));
        counts.filter(|(field, count)| bike.whole(field) != Some(*count)).collect()
    }

    /// What goes where, in words.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let said = |part: &Part, way: &str| {
            let count = part.count().map_or_else(String::new, |count| format!(", {count}"));
            format!("{way}: {} \"{}\"{count}, {} h", part.role().word(), part.name(), number(part.used_h(), 1))
        };
        let off = self.off.iter().map(|part| said(part, "To the shelf"));
        let on = self.on.iter().map(|part| said(part, "Onto the bike"));
        off.chain(on).chain(self.notes.iter().cloned()).collect()
    }
}

fn table(sets: &[KeptSet]) -> Table {
    let mut table = parts_table("sets", "Sets, part by part", &[]);
    table.columns.insert(0, Column::words("set", "Set"));
    for set in sets {
        table.rows.extend(set.parts.iter().map(|part| {
            let mut row = vec![Cell::words(set.name.clone())];
            row.extend(cells(part));
            row
        }));
    }
    table
}

fn parts_table(key: &'static str, caption: &str, parts: &[Member]) -> Table {
    let columns = vec![
        Column::words("part", "Part"),
        Column::words("name", "Called"),
        Column::numbers("count", "Teeth or links"),
        Column::numbers("hours_h", "Hours"),
        Column::words("place", "Where"),
    ];
    let mut table = Table::new(key, caption, columns);
    table.rows = parts.iter().map(|part| cells(part).to_vec()).collect();
    table
}

fn cells(part: &Member) -> [Cell; 5] {
    [
        Cell::words(part.role),
        Cell::words(part.name.clone()),
        Cell::maybe(part.count.map(f64::from), 0),
        part.range_h.map_or_else(|| Cell::maybe(part.hours_h, 1), |range| Cell::words(used::between(range))),
        Cell::words(part.place),
    ]
}

impl SetsView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let mut blocks = vec![Block::Heading("Sets of chain and sprockets")];
        if self.sets.is_empty() {
            blocks.push(Block::Text("No set is kept yet.".to_owned()));
        }
        blocks.push(Block::Table(&self.table));
        blocks.push(Block::Table(&self.on_the_bike));
        let against = self.sets.iter().filter(|set| !set.on && !set.against.is_empty());
        blocks.push(Block::List(against.map(|set| format!("{}: {}", set.name, set.against)).collect()));
        blocks
    }
}
