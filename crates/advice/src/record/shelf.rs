//! What lies on the shelf by the record.

use super::Record;
use crate::fact::{Cell, Column, Table};
use crate::money::money;

/// What lies on the shelf, oldest first.
#[must_use]
pub fn table(record: &Record<'_>) -> Table {
    let columns = vec![
        Column::words("part", "Part"),
        Column::words("name", "Called"),
        Column::words("count", "Teeth or links"),
        Column::numbers("used_h", "Hours"),
        Column::words("sells", "Would sell for"),
        Column::words("since", "There since"),
    ];
    let mut table = Table::new("shelf", "On the shelf", columns);
    table.rows = record
        .log
        .shelf()
        .into_iter()
        .map(|(entry, kept)| {
            let part = kept.part();
            let count = part.count().map_or_else(|| "–".to_owned(), |count| count.to_string());
            let sells = part.price().map_or_else(|| "–".to_owned(), |(minor, currency)| money(minor, currency));
            vec![
                Cell::words(part.role().word()),
                Cell::words(part.name()),
                Cell::words(count),
                Cell::number(part.used_h(), 1),
                Cell::words(sells),
                Cell::words(entry.at.date().to_string()),
            ]
        })
        .collect();
    table
}
