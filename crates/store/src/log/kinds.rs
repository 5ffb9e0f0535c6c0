//! One table for each kind of fact: a fact into its columns, and back through its constructor.

use rusqlite::{Connection, OptionalExtension as _, Params, Row, Transaction, named_params};
use serde_json::Value as Json;
use upkeep::bike::Fault;
use upkeep::record::{
    AxleReading, Check, ElongationReading, Fact, KINDS, Kept, Meter, Part, Planned, Role, SET_ROLES, Set, SlackKind,
    SlackReading, SlackState, Used, Waiver, Whose, Work,
};
use upkeep::wear::MeterEvent;

use crate::{Result, StoreError};

/// Writes a fact into the table of its kind.
pub(super) fn insert(db: &Transaction<'_>, entry: i64, fact: &Fact) -> Result<()> {
    match fact {
        Fact::Meter(meter) => insert_meter(db, entry, meter.event()),
        Fact::Slack(slack) => insert_slack(db, entry, slack),
        Fact::Elongation(reading) => {
            let length_mm = Json::from(reading.length_mm().to_vec()).to_string();
            let (error, step) = (reading.maximum_error_mm(), reading.resolution_mm());
            put(db, "elongation VALUES (?1, ?2, ?3, ?4, ?5)", (entry, reading.pitches(), length_mm, error, step))
        }
        Fact::Axle(axle) => put(db, "axle VALUES (?1, ?2, ?3)", (entry, axle.left_mm(), axle.right_mm())),
        Fact::Part(part) => insert_part(db, entry, part),
        Fact::Kept(kept) => insert_kept(db, entry, kept),
        Fact::Set(set) => insert_set(db, entry, set),
        Fact::Used(used) => {
            let [low_h, high_h] = used.between_h();
            put(db, "used VALUES (?1, ?2, ?3, ?4)", (entry, used.whose().word(), low_h, high_h))
        }
        Fact::Work(work) => put(db, "work VALUES (?1, ?2, ?3)", (entry, work.job(), work.state_word())),
        Fact::Check(check) => {
            let (name, answer) = (check.kind().name, check.answer());
            put(db, "looked VALUES (?1, ?2, ?3, ?4)", (entry, name, answer, check.torque_nm()))
        }
        Fact::Planned(planned) => {
            let (name, event) = (planned.name(), planned.event());
            put(db, "planned VALUES (?1, ?2, ?3, ?4)", (entry, name, event, planned.hours_h()))
        }
        Fact::Waiver(waiver) => put(db, "waiver VALUES (?1, ?2, ?3)", (entry, waiver.reason(), waiver.against())),
    }
}

/// Writes one row.
fn put(db: &Transaction<'_>, into: &str, row: impl Params) -> Result<()> {
    db.prepare_cached(&format!("INSERT INTO {into}"))?.execute(row)?;
    Ok(())
}

fn insert_meter(db: &Transaction<'_>, entry: i64, event: MeterEvent) -> Result<()> {
    let columns = match event {
        MeterEvent::Read { hours } => (Some(hours), None, None),
        MeterEvent::Swap { old, new } => (None, Some(old), Some(new)),
    };
    put(db, "meter VALUES (?1, ?2, ?3, ?4)", (entry, columns.0, columns.1, columns.2))
}

fn insert_slack(db: &Transaction<'_>, entry: i64, slack: &SlackReading) -> Result<()> {
    db.prepare_cached("INSERT INTO slack VALUES (:entry, :slack_mm, :at_links, :station, :state, :kind)")?.execute(
        named_params! {
            ":entry": entry,
            ":slack_mm": Json::from(slack.slack_mm().to_vec()).to_string(),
            ":at_links": slack.at_links().map(|at| Json::from(at.to_vec()).to_string()),
            ":station": slack.station(), ":state": slack.state().word(), ":kind": slack.kind().word(),
        },
    )?;
    Ok(())
}

fn insert_part(db: &Transaction<'_>, entry: i64, part: &Part) -> Result<()> {
    db.prepare_cached("INSERT INTO part VALUES (:entry, :role, :name, :count, :used_h, :price_minor, :currency)")?
        .execute(named_params! {
            ":entry": entry, ":role": part.role().word(), ":name": part.name(), ":count": part.count(),
            ":used_h": part.used_h(), ":price_minor": part.price().map(|(minor, _)| minor),
            ":currency": part.price().map(|(_, currency)| currency),
        })?;
    Ok(())
}

fn insert_kept(db: &Transaction<'_>, entry: i64, kept: &Kept) -> Result<()> {
    let part = kept.part();
    db.prepare_cached(
        "INSERT INTO kept VALUES (:entry, :role, :name, :count, :used_h, :price_minor, :currency, :gone)",
    )?
    .execute(named_params! {
        ":entry": entry, ":role": part.role().word(), ":name": part.name(), ":count": part.count(),
        ":used_h": part.used_h(), ":price_minor": part.price().map(|(minor, _)| minor),
        ":currency": part.price().map(|(_, currency)| currency), ":gone": kept.gone(),
    })?;
    Ok(())
}

fn insert_set(db: &Transaction<'_>, entry: i64, set: &Set) -> Result<()> {
    let [chain, front, rear] = SET_ROLES.map(|role| set.part(role));
    let row = (entry, set.name(), chain, front, rear, set.gone());
    put(db, "kept_set VALUES (?1, ?2, ?3, ?4, ?5, ?6)", row)
}

/// The tables of the kinds, in the order of [`KINDS`].
const TABLES: [&str; 12] =
    ["meter", "slack", "elongation", "axle", "part", "work", "looked", "planned", "waiver", "kept", "kept_set", "used"];

/// Reads a fact from the table of its kind, through its constructor: what is not possible is damage.
pub(super) fn read(db: &Connection, entry: i64, kind: &str) -> Result<Fact> {
    let Some(at) = KINDS.iter().position(|known| *known == kind) else {
        return Err(StoreError::row("entry", entry, "its kind is not known"));
    };
    let table = TABLES[at];
    let read = |row: &Row<'_>| -> rusqlite::Result<std::result::Result<Fact, Fault>> {
        match at {
            0 => meter(row),
            1 => slack(row),
            2 => elongation(row),
            3 => axle(row),
            4 => part(row),
            5 => work(row),
            6 => check(row),
            7 => planned(row),
            8 => waiver(row),
            9 => kept(row),
            10 => set(row),
            _ => used(row),
        }
    };
    let found = db.prepare_cached(&format!("SELECT * FROM {table} WHERE entry = ?1"))?.query_row([entry], read);
    match found.optional()? {
        Some(Ok(fact)) => Ok(fact),
        Some(Err(fault)) => Err(StoreError::row(table, entry, &fault.to_string())),
        None => Err(StoreError::row("entry", entry, "the reading itself is not there")),
    }
}

type Read = rusqlite::Result<std::result::Result<Fact, Fault>>;

fn meter(row: &Row<'_>) -> Read {
    let meter = match (row.get::<_, Option<f64>>(1)?, row.get::<_, Option<f64>>(2)?, row.get::<_, Option<f64>>(3)?) {
        (Some(read), _, _) => Meter::read(read),
        (None, old, new) => Meter::swap(old.unwrap_or(f64::NAN), new.unwrap_or(f64::NAN)),
    };
    Ok(meter.map(Fact::Meter))
}

fn slack(row: &Row<'_>) -> Read {
    let (slack_mm, at_links): (String, Option<String>) = (row.get(1)?, row.get(2)?);
    let (station, state, kind): (f64, String, String) = (row.get(3)?, row.get(4)?, row.get(5)?);
    let made = || {
        let at_links = at_links.map(|text| list("at_links", &text)).transpose()?;
        let slack_mm = list("slack_mm", &slack_mm)?;
        SlackReading::new(slack_mm, at_links, station, SlackState::of(&state)?, SlackKind::of(&kind)?)
    };
    Ok(made().map(Fact::Slack))
}

fn elongation(row: &Row<'_>) -> Read {
    let (pitches, text): (u32, String) = (row.get(1)?, row.get(2)?);
    let lists = serde_json::from_str(&text).map_err(|_| no_list("length_mm"));
    let (error, step) = (row.get(3)?, row.get(4)?);
    Ok(lists.and_then(|lists| ElongationReading::new(pitches, lists, error, step)).map(Fact::Elongation))
}

fn axle(row: &Row<'_>) -> Read {
    Ok(AxleReading::new(row.get(1)?, row.get(2)?).map(Fact::Axle))
}

fn part(row: &Row<'_>) -> Read {
    Ok(a_part(row)?.map(Fact::Part))
}

fn kept(row: &Row<'_>) -> Read {
    let gone = row.get(7)?;
    Ok(a_part(row)?.map(|part| Fact::Kept(Kept::new(part, gone))))
}

fn set(row: &Row<'_>) -> Read {
    let mut parts = Vec::new();
    for (at, role) in (2..).zip(SET_ROLES) {
        if let Some(name) = row.get::<_, Option<String>>(at)? {
            parts.push((role, name));
        }
    }
    Ok(Set::new(row.get(1)?, parts, row.get(5)?).map(Fact::Set))
}

fn used(row: &Row<'_>) -> Read {
    let (whose, low_h, high_h): (String, f64, f64) = (row.get(1)?, row.get(2)?, row.get(3)?);
    Ok(Whose::of(&whose).and_then(|whose| Used::new(whose, low_h, high_h)).map(Fact::Used))
}

fn a_part(row: &Row<'_>) -> rusqlite::Result<std::result::Result<Part, Fault>> {
    let (role, name): (String, String) = (row.get(1)?, row.get(2)?);
    let (count, used_h): (Option<u32>, f64) = (row.get(3)?, row.get(4)?);
    let price = row.get::<_, Option<i64>>(5)?.zip(row.get::<_, Option<String>>(6)?);
    Ok(Role::of(&role).and_then(|role| Part::new(role, name, count, used_h, price)))
}

fn work(row: &Row<'_>) -> Read {
    let (job, state): (String, String) = (row.get(1)?, row.get(2)?);
    Ok(Work::kept(&job, &state).map(Fact::Work))
}

fn check(row: &Row<'_>) -> Read {
    let (name, answer): (String, String) = (row.get(1)?, row.get(2)?);
    Ok(Check::new(&name, &answer, row.get(3)?).map(Fact::Check))
}

fn planned(row: &Row<'_>) -> Read {
    Ok(Planned::new(row.get(1)?, row.get(2)?, row.get(3)?).map(Fact::Planned))
}

fn waiver(row: &Row<'_>) -> Read {
    Ok(Waiver::new(row.get(1)?, row.get(2)?).map(Fact::Waiver))
}

fn list(field: &'static str, text: &str) -> std::result::Result<Vec<f64>, Fault> {
    serde_json::from_str(text).map_err(|_| no_list(field))
}

fn no_list(field: &'static str) -> Fault {
    Fault::new(field, "wrong_list", format!("{field} is no list of numbers"))
}
