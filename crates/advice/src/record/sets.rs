//! Sets and their hours: which chain and sprockets ran from when to when, how long, and what an hour of each cost.

use serde::Serialize;
use upkeep::record::{Entry, Fact as Noted, Part, Role, SET_ROLES};

use super::Record;
use super::used::{self, Span};
use crate::ask::Gap;
use crate::fact::{Cell, Column, Table};
use crate::money::per_hour;
use crate::words::number;

/// One part of the drive and how long it ran.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ran {
    /// chain, front or rear.
    pub role: &'static str,
    /// What it is called.
    pub name: String,
    /// The day on which it went on.
    pub from: String,
    /// The day on which the next one replaced it; none while it is fitted.
    pub to: Option<String>,
    /// Total hours of the bike when it went on.
    pub from_h: Option<f64>,
    /// Hours that it ran, those that it had before included.
    pub hours_h: Option<f64>,
    /// The hours where they are known as a range only.
    pub range_h: Option<[f64; 2]>,
    /// Its price by hour so far.
    pub per_hour: Option<(f64, String)>,
}

/// Every chain and sprocket that was recorded, newest first.
///
/// # Errors
/// The meter went back.
pub fn all(record: &Record<'_>) -> Result<Vec<Ran>, Gap> {
    let parts: Vec<(&Entry, &Part)> = record
        .log
        .entries()
        .iter()
        .filter_map(|entry| if let Noted::Part(part) = &entry.fact { Some((entry, part)) } else { None })
        .filter(|(_, part)| part.role() != Role::Other)
        .collect();
    let mut ran = Vec::new();
    for (at, (entry, part)) in parts.iter().enumerate() {
        let next = parts[at + 1..].iter().find(|(_, later)| later.role() == part.role()).map(|(later, _)| later.at);
        let from_h = record.hours_at(entry.at)?;
        let to_h = record.hours_at(next.unwrap_or(record.now))?;
        let span = if next.is_none() { used::of(record, part.role())? } else { None };
        let hours_h = from_h.zip(to_h).map(|(from, to)| to - from + part.used_h()).filter(|_| span.is_none());
        let price = part.price().zip(hours_h);
        ran.push(Ran {
            role: part.role().word(),
            name: part.name().to_owned(),
            from: entry.at.date().to_string(),
            to: next.map(|to| to.date().to_string()),
            from_h,
            hours_h,
            range_h: span.map(|span| span.now_h),
            per_hour: price
                .and_then(|((minor, currency), hours)| Some((per_hour(minor, currency, hours)?, currency.to_owned()))),
        });
    }
    for role in SET_ROLES.into_iter().rev().filter(|role| record.log.fitted(*role).is_none()) {
        ran.extend(used::of(record, role)?.map(|span| as_bought(role, span)));
    }
    ran.reverse();
    Ok(ran)
}

/// A part that was on the bike when it was bought.
fn as_bought(role: Role, span: Span) -> Ran {
    Ran {
        role: role.word(),
        name: "as bought".to_owned(),
        from: span.said_on,
        to: None,
        from_h: None,
        hours_h: None,
        range_h: Some(span.now_h),
        per_hour: None,
    }
}

/// The same as a table.
#[must_use]
pub fn table(ran: &[Ran]) -> Table {
    let columns = vec![
        Column::words("part", "Part"),
        Column::words("span", "Fitted"),
        Column::numbers("hours_h", "Hours"),
        Column::words("per_hour", "Each hour"),
    ];
    let mut table = Table::new("sets", "Chains and sprockets, newest first", columns);
    for one in ran {
        let span = match &one.to {
            Some(to) => format!("{} to {to}", one.from),
            None => format!("{}, fitted now", one.from),
        };
        let each = one
            .per_hour
            .as_ref()
            .map_or_else(|| "no price".to_owned(), |(each, currency)| format!("{} {currency}", number(*each, 2)));
        table.rows.push(vec![
            Cell::words(format!("{} {}", one.role, one.name)),
            Cell::words(span),
            one.range_h.map_or_else(|| Cell::maybe(one.hours_h, 1), |range| Cell::words(used::between(range))),
            Cell::words(each),
        ]);
    }
    table
}
