//! Money by hour: what is offered, over the lives that parts of its kind had here, against what those cost.
//!
//! Without a whole life in the record nothing is claimed.

use super::Asked;
use crate::ask::Gap;
use crate::fact::{Cell, Column, Table};
use crate::money::{money, per_hour};
use crate::record::replace::PARTS;
use crate::record::sets::{self, Ran};
use crate::record::{Record, order};
use crate::words::number;

/// What is offered against what ran.
///
/// # Errors
/// The meter went back.
pub(super) fn table(record: &Record<'_>, asked: &Asked) -> Result<Table, Gap> {
    let columns = vec![
        Column::words("part", "Part"),
        Column::words("price", "Price"),
        Column::words("hours_h", "Hours"),
        Column::words("per_hour", "Each hour"),
    ];
    let mut table =
        Table::new("worth", "Price by hour, over lives that your record holds from fitted to replaced", columns);
    let ran = sets::all(record)?;
    for (at, bought) in asked.what.buys().into_iter().enumerate() {
        if !bought {
            continue;
        }
        let lived: Vec<&Ran> = ran.iter().filter(|one| one.role == PARTS[at] && whole_life(one)).collect();
        table.rows.extend(asked.price_minor[at].iter().map(|(minor, currency)| offered(at, *minor, currency, &lived)));
        table.rows.extend(lived.iter().map(|one| earlier(one)));
    }
    Ok(table)
}

/// Ran from fitted to replaced, on hours that are known.
fn whole_life(one: &Ran) -> bool {
    one.to.is_some() && one.hours_h.is_some_and(|hours| hours > 0.0)
}

fn offered(at: usize, minor: i64, currency: &str, lived: &[&Ran]) -> Vec<Cell> {
    let hours = lived.iter().filter_map(|one| one.hours_h);
    let ends = hours.fold(None, |ends: Option<(f64, f64)>, hours| {
        Some(ends.map_or((hours, hours), |(low, high)| (low.min(hours), high.max(hours))))
    });
    let each = ends.and_then(|(low, high)| Some((per_hour(minor, currency, high)?, per_hour(minor, currency, low)?)));
    let range = |low: f64, high: f64, decimals: usize| {
        let (low, high) = (number(low, decimals), number(high, decimals));
        if low == high { low } else { format!("{low} to {high}") }
    };
    let name = order::name(PARTS[at]);
    vec![
        Cell::words(format!("{name}, as offered")),
        Cell::words(money(minor, currency)),
        Cell::words(ends.map_or_else(|| "no whole life recorded".to_owned(), |(low, high)| range(low, high, 1))),
        Cell::words(
            each.map_or_else(|| "no claim".to_owned(), |(low, high)| format!("{} {currency}", range(low, high, 2))),
        ),
    ]
}

fn earlier(one: &Ran) -> Vec<Cell> {
    let each = one.per_hour.as_ref();
    vec![
        Cell::words(format!("{} {}", order::name(one.role), one.name)),
        Cell::words("–"),
        Cell::maybe(one.hours_h, 1),
        Cell::words(each.map_or_else(|| "no price".to_owned(), |(each, code)| format!("{} {code}", number(*each, 2)))),
    ]
}
