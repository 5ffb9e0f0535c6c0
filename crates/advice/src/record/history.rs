//! What happened when: every standing fact and ride in one table, in words.

use jiff::civil::DateTime;
use upkeep::record::{Fact, Log, Role};
use upkeep::wear::MeterEvent;

use super::span::title_of;
use super::used::between;
use crate::fact::{Cell, Column, Table};
use crate::money::money;
use crate::words::{digits, list, mm, number, quantity, unit};

/// A fact in a sentence.
#[must_use]
pub fn words(fact: &Fact) -> String {
    match fact {
        Fact::Meter(meter) => match meter.event() {
            MeterEvent::Read { hours } => format!("meter {} h", number(hours, 1)),
            MeterEvent::Swap { old, new } => {
                format!("meter changed: old one {} h, new one {} h", number(old, 1), number(new, 1))
            }
        },
        Fact::Slack(slack) => {
            let values: Vec<String> = slack.slack_mm().iter().map(|value| digits(*value, "mm", 1)).collect();
            format!("slack {} {}, {} kind, {}", list(&values), unit("mm"), slack.kind().word(), slack.state().word())
        }
        Fact::Elongation(reading) => {
            let places: Vec<String> = reading
                .length_mm()
                .iter()
                .map(|place| place.iter().map(|length| digits(*length, "mm", 1)).collect::<Vec<_>>().join("/"))
                .collect();
            format!("chain {} {} over {} pitches", list(&places), unit("mm"), reading.pitches())
        }
        Fact::Axle(axle) => {
            format!("axle left {}, right {}", mm(axle.left_mm()), mm(axle.right_mm()))
        }
        Fact::Part(part) => {
            let count = part.count().map_or_else(String::new, |count| format!(", {count}"));
            let price =
                part.price().map_or_else(String::new, |(minor, currency)| format!(", {}", money(minor, currency)));
            format!("{} fitted: {}{count}{price}", what(part.role()), part.name())
        }
        Fact::Kept(kept) => {
            let part = kept.part();
            let count = part.count().map_or_else(String::new, |count| format!(", {count}"));
            let used = format!(", {} h used", number(part.used_h(), 1));
            let word = if kept.gone() { "no longer on the shelf" } else { "on the shelf" };
            format!("{} {word}: {}{count}{used}", what(part.role()), part.name())
        }
        Fact::Set(set) => {
            let parts: Vec<String> = set.parts().iter().map(|(role, name)| format!("{} {name}", role.word())).collect();
            format!("set {}{}: {}", set.name(), if set.gone() { " no longer kept" } else { "" }, list(&parts))
        }
        Fact::Used(used) => format!("{} bought used: {} on it then", used.whose().word(), between(used.between_h())),
        Fact::Work(work) => format!("{}: {}", title_of(work.job()), work.state_word()),
        Fact::Check(check) => {
            let torque =
                check.torque_nm().map_or_else(String::new, |torque| format!(", {}", quantity(torque, "N·m", 1)));
            format!("{}: {}{torque}", check.kind().title, check.answer().replace('-', " "))
        }
        Fact::Planned(planned) => {
            let hours = planned.hours_h().map_or_else(String::new, |hours| format!(", about {} h", number(hours, 1)));
            format!("{}: {}{hours}", if planned.event() { "event" } else { "ride planned" }, planned.name())
        }
        Fact::Waiver(waiver) => format!("ridden against a stop: {} ({})", waiver.reason(), waiver.against()),
    }
}

/// A part's role as it begins a sentence; one that is none of the drive's has no word of its own.
fn what(role: Role) -> &'static str {
    if role == Role::Other { "part" } else { role.word() }
}

/// The standing facts and rides, newest first.
#[must_use]
pub fn table(log: &Log) -> Table {
    let columns = vec![
        Column::words("at", "When"),
        Column::words("what", "What"),
        Column::words("change", "Change"),
        Column::words("entry", "Entry"),
    ];
    let mut rows: Vec<(DateTime, i64, Vec<Cell>)> = Vec::new();
    for entry in log.entries() {
        let note = entry.note.as_ref().map_or_else(String::new, |note| format!(" ({note})"));
        let cells = [
            entry.at.strftime("%Y-%m-%d %H:%M").to_string(),
            format!("{}{note}", words(&entry.fact)),
            entry.change.to_string(),
            entry.id.to_string(),
        ];
        rows.push((entry.at, entry.id, cells.map(Cell::words).to_vec()));
    }
    for ride in log.rides() {
        let hours =
            ride.hours_h.map_or_else(|| "hours not noted".to_owned(), |hours| format!("{} h", number(hours, 1)));
        let ground = ride.ground.as_ref().map_or_else(String::new, |ground| format!(", {ground}"));
        let wet = if ride.wet == Some(true) { ", wet" } else { "" };
        let odd = ride.odd.as_ref().map_or_else(String::new, |odd| format!(", odd: {odd}"));
        let cells = [
            ride.at.strftime("%Y-%m-%d %H:%M").to_string(),
            format!("ride {}: {hours}{ground}{wet}{odd}", ride.name),
            String::new(),
            String::new(),
        ];
        rows.push((ride.at, 0, cells.map(Cell::words).to_vec()));
    }
    rows.sort_by_key(|(at, id, _)| std::cmp::Reverse((*at, *id)));
    let mut table = Table::new("history", "What happened when, newest first", columns);
    table.rows = rows.into_iter().map(|(_, _, cells)| cells).collect();
    table
}
