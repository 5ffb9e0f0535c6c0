//! The parts against the shelf, as tables.

use jiff::Span;
use jiff::civil::Weekday;
use upkeep::supply::Item;

use super::{Asked, InCase, Part};
use crate::fact::{Cell, Column, Table};
use crate::money;
use crate::plan::PlanView;
use crate::words::{count, number};

fn price_words(item: Option<&Item>) -> String {
    item.and_then(|item| item.price.as_ref())
        .map_or_else(|| "–".to_owned(), |(low, high, code)| money::range(*low, *high, code))
}

fn lead_words(item: Option<&Item>) -> String {
    item.and_then(|item| item.lead_d).map_or_else(|| "–".to_owned(), |days| days.to_string())
}

pub(super) fn table(parts: &[Part], asked: Asked<'_>) -> Table {
    let columns = vec![
        Column::words("role", "Part"),
        Column::numbers("qty", "Need"),
        Column::numbers("have", "Have"),
        Column::words("state", "State"),
        Column::words("price", "Price each"),
        Column::numbers("lead_d", "Days"),
        Column::words("order_by", "Order by"),
    ];
    let mut table = Table::new("parts", caption(parts), columns);
    let (missing, there): (Vec<&Part>, Vec<&Part>) = parts.iter().partition(|part| part.to_buy > 0);
    for part in missing.into_iter().chain(there) {
        let item = asked.shelf.item(&part.role);
        let state =
            if part.ordered > 0 { format!("{} ({} ordered)", part.state, part.ordered) } else { part.state.to_owned() };
        table.rows.push(vec![
            Cell::words(if part.optional { format!("{} (if needed)", part.role) } else { part.role.clone() }),
            Cell::number(whole(part.qty), 0),
            Cell::maybe(part.have.map(f64::from), 0),
            Cell::words(state),
            Cell::words(price_words(item)),
            Cell::words(lead_words(item)),
            Cell::words(part.order_by.clone().unwrap_or_else(|| "–".to_owned())),
        ]);
    }
    table
}

fn caption(parts: &[Part]) -> String {
    let missing = parts.iter().filter(|part| part.to_buy > 0).count();
    if missing == 0 {
        return "Every part is there or on its way".to_owned();
    }
    format!(
        "{missing} of {} missing or not counted, to have before the first bolt is loosened",
        count(parts.len(), "part")
    )
}

#[expect(clippy::cast_precision_loss, reason = "a count of parts is small")]
const fn whole(value: u64) -> f64 {
    value as f64
}

pub(super) fn in_case(rows: &[InCase], asked: Asked<'_>) -> Table {
    let columns = vec![
        Column::words("hold", "If this look fails"),
        Column::words("role", "This part"),
        Column::numbers("qty", "Need"),
        Column::numbers("have", "Have"),
        Column::words("chance", "Your own chance"),
        Column::numbers("lead_d", "Days"),
        Column::words("lost", "If it is not there"),
    ];
    let mut table =
        Table::new("in_case", "To have at hand in case, decided before anything is opened; not in the totals", columns);
    for row in rows {
        let item = asked.shelf.item(&row.role);
        let chance = asked.shelf.item(&row.hold).and_then(|item| item.chance_pct);
        let chance = chance.map_or_else(
            || "not said".to_owned(),
            |(low, high)| format!("{} to {} %", number(low, 0), number(high, 0)),
        );
        table.rows.push(vec![
            Cell::words(row.hold.replace('-', " ")),
            Cell::words(row.role.clone()),
            Cell::number(whole(row.qty), 0),
            Cell::maybe(item.and_then(|item| item.qty).map(f64::from), 0),
            Cell::words(chance),
            Cell::words(lead_words(item)),
            Cell::words(lost(item, row.qty, asked)),
        ]);
    }
    table
}

pub(super) fn consumables(plan: &PlanView, asked: Asked<'_>) -> Table {
    let columns =
        vec![Column::words("role", "Consumable"), Column::words("state", "State"), Column::words("use_by", "Use by")];
    let mut table = Table::new("consumables", "Consumables", columns);
    for role in &plan.consumables {
        let item = asked.shelf.item(role);
        let past = item.and_then(|item| item.use_by).is_some_and(|day| day < asked.today);
        let state = match item.and_then(|item| item.qty) {
            _ if past => "past its day",
            None => "not counted",
            Some(0) => "missing",
            Some(_) => "have",
        };
        let day = item.and_then(|item| item.use_by).map_or_else(|| "–".to_owned(), |day| day.to_string());
        table.rows.push(vec![Cell::words(role.clone()), Cell::words(state), Cell::words(day)]);
    }
    table
}

/// What waiting for it costs, opened on the day of the work: the day it is there, and each Saturday before it.
fn lost(item: Option<&Item>, qty: u64, asked: Asked<'_>) -> String {
    if item.and_then(|item| item.qty).is_some_and(|have| u64::from(have) >= qty) {
        return "it is there".to_owned();
    }
    let Some(lead) = item.and_then(|item| item.lead_d) else { return "delivery time not known".to_owned() };
    let opened = asked.needed.unwrap_or(asked.today);
    let days = || opened.series(Span::new().days(1)).skip(1).take(usize::from(lead));
    let Some(there) = days().last() else { return format!("there on the day, {opened}") };
    let lost: Vec<String> =
        days().filter(|day| day.weekday() == Weekday::Saturday && *day < there).map(|day| day.to_string()).collect();
    let weekends = match lost.as_slice() {
        [] => "no Saturday lost".to_owned(),
        [only] => format!("Saturday {only} lost"),
        [first, .., last] => format!("{} Saturdays lost, {first} to {last}", lost.len()),
    };
    format!("there on {there}; {weekends}")
}

/// What lies on the shelf or is on its way, and is not of this work.
pub(super) fn beside(plan: &PlanView, parts: &[Part], asked: Asked<'_>) -> Table {
    let columns = vec![
        Column::words("role", "On the shelf"),
        Column::numbers("have", "Have"),
        Column::numbers("ordered", "Ordered"),
        Column::words("price", "Price each"),
    ];
    let mut table = Table::new("beside", "What else lies there", columns);
    for (role, item) in asked.shelf.items() {
        let of_work = parts.iter().any(|part| part.role == role) || plan.consumables.iter().any(|known| known == role);
        if of_work || (item.qty.is_none() && item.ordered == 0) {
            continue;
        }
        table.rows.push(vec![
            Cell::words(role),
            Cell::maybe(item.qty.map(f64::from), 0),
            Cell::number(f64::from(item.ordered), 0),
            Cell::words(price_words(Some(item))),
        ]);
    }
    table
}
