//! A table of figures: it scrolls inside its own marked region, never the page.

use maud::{Markup, Render, html};

/// How a column's cells stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Align {
    /// Words.
    Words,
    /// Numbers, digits under digits.
    Digits,
}

/// One column.
pub(crate) struct Column<'a> {
    /// Its heading.
    pub(crate) name: &'a str,
    /// Its unit, shown under the heading.
    pub(crate) unit: &'a str,
    /// How its cells stand.
    pub(crate) align: Align,
}

impl<'a> Column<'a> {
    /// A column of words.
    pub(crate) const fn words(name: &'a str) -> Self {
        Self { name, unit: "", align: Align::Words }
    }

    /// A column of numbers.
    pub(crate) const fn digits(name: &'a str, unit: &'a str) -> Self {
        Self { name, unit, align: Align::Digits }
    }
}

/// One row: its cells, the first of which heads it; a marked row is the one to look at.
pub(crate) struct Row<C = Markup> {
    /// The cells, one per column.
    pub(crate) cells: Vec<C>,
    /// Whether it stands out.
    pub(crate) marked: bool,
}

impl<C> Row<C> {
    /// A plain row.
    pub(crate) fn of(cells: impl IntoIterator<Item = C>) -> Self {
        Self { cells: cells.into_iter().collect(), marked: false }
    }

    /// The row that stands out (the pair fitted now, the limit passed).
    pub(crate) fn marked(self) -> Self {
        Self { marked: true, ..self }
    }
}

/// A table. `id` names it on the page, `caption` says what it shows.
pub(crate) fn table<C: Render>(id: &str, caption: &str, columns: &[Column<'_>], rows: &[Row<C>]) -> Markup {
    let caption_id = format!("{id}-caption");
    html! {
        div class="scroll" role="region" tabindex="0" aria-labelledby=(caption_id) {
            table id=(id) {
                caption id=(caption_id) { (caption) }
                thead {
                    tr {
                        @for column in columns {
                            th scope="col" class=(class(column.align)) {
                                (column.name)
                                @if !column.unit.is_empty() { " " span class="unit" { (column.unit) } }
                            }
                        }
                    }
                }
                tbody { @for row in rows { (row_of(columns, row)) } }
            }
        }
    }
}

fn row_of<C: Render>(columns: &[Column<'_>], row: &Row<C>) -> Markup {
    html! {
        tr class=[row.marked.then_some("marked")] {
            @for (place, (cell, column)) in row.cells.iter().zip(columns).enumerate() {
                @if place == 0 {
                    th scope="row" class=(class(column.align)) { (cell) }
                } @else {
                    td class=(class(column.align)) { (cell) }
                }
            }
        }
    }
}

const fn class(align: Align) -> &'static str {
    match align {
        Align::Words => "words",
        Align::Digits => "digits",
    }
}
