//! One table for each kind of fact: a fact into its columns, and back through its constructor.

use std::collections::HashMap;

use serde_json::Value as Json;
use upkeep::bike::Fault;
use upkeep::record::{
    AxleReading, Check, ElongationReading, Fact, KINDS, Kept, Meter, Part, Planned, Role, SET_ROLES, Set, SlackKind,
    SlackReading, SlackState, Used, Waiver, Whose, Work,
};
use upkeep::wear::MeterEvent;

use crate::change::Appender;
use crate::{Columns, Engine, Result, Row, StoreError};

/// Writes a fact into the table of its kind.
pub(super) fn insert(to: &mut Appender<'_, impl Engine>, entry: i64, fact: &Fact) -> Result<()> {
    match fact {
        Fact::Meter(meter) => insert_meter(to, entry, meter.event()),
        Fact::Slack(slack) => insert_slack(to, entry, slack),
        Fact::Elongation(reading) => to.beside(
            "elongation",
            &[
                ("entry", &entry),
                ("pitches", &reading.pitches()),
                ("length_mm", &Json::from(reading.length_mm().to_vec()).to_string()),
                ("maximum_error_mm", &reading.maximum_error_mm()),
                ("resolution_mm", &reading.resolution_mm()),
            ],
        ),
        Fact::Axle(axle) => {
            to.beside("axle", &[("entry", &entry), ("left_mm", &axle.left_mm()), ("right_mm", &axle.right_mm())])
        }
        Fact::Part(part) => insert_part(to, entry, "part", part, &[]),
        Fact::Kept(kept) => insert_part(to, entry, "kept", kept.part(), &[("gone", &kept.gone())]),
        Fact::Set(set) => insert_set(to, entry, set),
        Fact::Used(used) => {
            let [low, high] = used.between_h();
            to.beside("used", &[("entry", &entry), ("whose", &used.whose().word()), ("low_h", &low), ("high_h", &high)])
        }
        Fact::Work(work) => {
            to.beside("work", &[("entry", &entry), ("job", &work.job()), ("state", &work.state_word())])
        }
        Fact::Check(check) => to.beside(
            "looked",
            &[
                ("entry", &entry),
                ("name", &check.kind().name),
                ("answer", &check.answer()),
                ("torque_nm", &check.torque_nm()),
            ],
        ),
        Fact::Planned(planned) => to.beside(
            "planned",
            &[
                ("entry", &entry),
                ("name", &planned.name()),
                ("event", &planned.event()),
                ("hours_h", &planned.hours_h()),
            ],
        ),
        Fact::Waiver(waiver) => {
            to.beside("waiver", &[("entry", &entry), ("reason", &waiver.reason()), ("against", &waiver.against())])
        }
    }
}

fn insert_meter(to: &mut Appender<'_, impl Engine>, entry: i64, event: MeterEvent) -> Result<()> {
    let (read, old, new) = match event {
        MeterEvent::Read { hours } => (Some(hours), None, None),
        MeterEvent::Swap { old, new } => (None, Some(old), Some(new)),
    };
    to.beside("meter", &[("entry", &entry), ("read_h", &read), ("swap_old_h", &old), ("swap_new_h", &new)])
}

fn insert_slack(to: &mut Appender<'_, impl Engine>, entry: i64, slack: &SlackReading) -> Result<()> {
    to.beside(
        "slack",
        &[
            ("entry", &entry),
            ("slack_mm", &Json::from(slack.slack_mm().to_vec()).to_string()),
            ("at_links", &slack.at_links().map(|at| Json::from(at.to_vec()).to_string())),
            ("station", &slack.station()),
            ("state", &slack.state().word()),
            ("kind", &slack.kind().word()),
        ],
    )
}

/// A part, on the bike or on the shelf; there it also says whether it is gone.
fn insert_part(
    to: &mut Appender<'_, impl Engine>,
    entry: i64,
    table: &str,
    part: &Part,
    more: &Columns<'_>,
) -> Result<()> {
    let (price, currency) = part.price().unzip();
    let (role, name, count, used_h) = (part.role().word(), part.name(), part.count(), part.used_h());
    let own: &Columns<'_> = &[
        ("entry", &entry),
        ("role", &role),
        ("name", &name),
        ("count", &count),
        ("used_h", &used_h),
        ("price_minor", &price),
        ("currency", &currency),
    ];
    to.beside(table, &[own, more].concat())
}

fn insert_set(to: &mut Appender<'_, impl Engine>, entry: i64, set: &Set) -> Result<()> {
    to.beside(
        "kept_set",
        &[
            ("entry", &entry),
            ("name", &set.name()),
            ("chain", &set.part(Role::Chain)),
            ("front", &set.part(Role::Front)),
            ("rear", &set.part(Role::Rear)),
            ("gone", &set.gone()),
        ],
    )
}

/// The tables of the kinds, in the order of [`KINDS`].
const TABLES: [&str; 12] =
    ["meter", "slack", "elongation", "axle", "part", "work", "looked", "planned", "waiver", "kept", "kept_set", "used"];

/// A kind, by its place among all of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Kind(usize);

impl Kind {
    /// The kind of a word; `None` for a word that is none.
    pub(super) fn of(word: &str) -> Option<Self> {
        KINDS.iter().position(|known| *known == word).map(Self)
    }
}

/// Facts by their kind and the number of their entry.
pub(super) type Facts = HashMap<(Kind, i64), Fact>;

/// Reads facts kind by kind, each through its constructor: what is not possible is damage.
pub(super) fn read(db: &impl Engine, entries: impl Iterator<Item = (Kind, i64)>) -> Result<Facts> {
    let mut numbers: [Vec<i64>; TABLES.len()] = Default::default();
    for (Kind(at), entry) in entries {
        numbers[at].push(entry);
    }
    let mut all = Facts::with_capacity(numbers.iter().map(Vec::len).sum());
    for ((at, table), numbers) in TABLES.iter().enumerate().zip(&numbers).filter(|(_, numbers)| !numbers.is_empty()) {
        db.rows_beside(table, "entry", numbers, |row| {
            let entry: i64 = row.get(0)?;
            let fact = fact(table, row)?.map_err(|fault| StoreError::row(table, entry, &fault.to_string()))?;
            all.insert((Kind(at), entry), fact);
            Ok(())
        })?;
    }
    Ok(all)
}

fn fact(table: &str, row: &impl Row) -> Read {
    match table {
        "meter" => meter(row),
        "slack" => slack(row),
        "elongation" => elongation(row),
        "axle" => axle(row),
        "part" => part(row),
        "work" => work(row),
        "looked" => check(row),
        "planned" => planned(row),
        "waiver" => waiver(row),
        "kept" => kept(row),
        "kept_set" => set(row),
        _ => used(row),
    }
}

type Read = Result<std::result::Result<Fact, Fault>>;

fn meter(row: &impl Row) -> Read {
    let meter = match (row.get::<Option<f64>>(1)?, row.get::<Option<f64>>(2)?, row.get::<Option<f64>>(3)?) {
        (Some(read), _, _) => Meter::read(read),
        (None, old, new) => Meter::swap(old.unwrap_or(f64::NAN), new.unwrap_or(f64::NAN)),
    };
    Ok(meter.map(Fact::Meter))
}

fn slack(row: &impl Row) -> Read {
    let (slack_mm, at_links): (String, Option<String>) = (row.get(1)?, row.get(2)?);
    let (station, state, kind): (f64, String, String) = (row.get(3)?, row.get(4)?, row.get(5)?);
    let made = || {
        let at_links = at_links.map(|text| list("at_links", &text)).transpose()?;
        let slack_mm = list("slack_mm", &slack_mm)?;
        SlackReading::new(slack_mm, at_links, station, SlackState::of(&state)?, SlackKind::of(&kind)?)
    };
    Ok(made().map(Fact::Slack))
}

fn elongation(row: &impl Row) -> Read {
    let (pitches, text): (u32, String) = (row.get(1)?, row.get(2)?);
    let lists = serde_json::from_str(&text).map_err(|_| no_list("length_mm"));
    let (error, step) = (row.get(3)?, row.get(4)?);
    Ok(lists.and_then(|lists| ElongationReading::new(pitches, lists, error, step)).map(Fact::Elongation))
}

fn axle(row: &impl Row) -> Read {
    Ok(AxleReading::new(row.get(1)?, row.get(2)?).map(Fact::Axle))
}

fn part(row: &impl Row) -> Read {
    Ok(a_part(row)?.map(Fact::Part))
}

fn kept(row: &impl Row) -> Read {
    let gone = row.get(7)?;
    Ok(a_part(row)?.map(|part| Fact::Kept(Kept::new(part, gone))))
}

fn set(row: &impl Row) -> Read {
    let mut parts = Vec::new();
    for (at, role) in (2..).zip(SET_ROLES) {
        if let Some(name) = row.get::<Option<String>>(at)? {
            parts.push((role, name));
        }
    }
    Ok(Set::new(row.get(1)?, parts, row.get(5)?).map(Fact::Set))
}

fn used(row: &impl Row) -> Read {
    let (whose, low_h, high_h): (String, f64, f64) = (row.get(1)?, row.get(2)?, row.get(3)?);
    Ok(Whose::of(&whose).and_then(|whose| Used::new(whose, low_h, high_h)).map(Fact::Used))
}

fn a_part(row: &impl Row) -> Result<std::result::Result<Part, Fault>> {
    let (role, name): (String, String) = (row.get(1)?, row.get(2)?);
    let (count, used_h): (Option<u32>, f64) = (row.get(3)?, row.get(4)?);
    let price = row.get::<Option<i64>>(5)?.zip(row.get::<Option<String>>(6)?);
    Ok(Role::of(&role).and_then(|role| Part::new(role, name, count, used_h, price)))
}

fn work(row: &impl Row) -> Read {
    let (job, state): (String, String) = (row.get(1)?, row.get(2)?);
    Ok(Work::kept(&job, &state).map(Fact::Work))
}

fn check(row: &impl Row) -> Read {
    let (name, answer): (String, String) = (row.get(1)?, row.get(2)?);
    Ok(Check::new(&name, &answer, row.get(3)?).map(Fact::Check))
}

fn planned(row: &impl Row) -> Read {
    Ok(Planned::new(row.get(1)?, row.get(2)?, row.get(3)?).map(Fact::Planned))
}

fn waiver(row: &impl Row) -> Read {
    Ok(Waiver::new(row.get(1)?, row.get(2)?).map(Fact::Waiver))
}

fn list(field: &'static str, text: &str) -> std::result::Result<Vec<f64>, Fault> {
    serde_json::from_str(text).map_err(|_| no_list(field))
}

fn no_list(field: &'static str) -> Fault {
    Fault::new(field, "wrong_list", format!("{field} is no list of numbers"))
}
