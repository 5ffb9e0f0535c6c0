//! A table of figures: it scrolls inside its own marked region, never the page. One of words stands on a phone row by row,
//! each cell behind its heading: a column of words a thumb wide is not read.

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
    let classes: Vec<&str> = columns
        .iter()
        .enumerate()
        .map(|(at, column)| class(column.align, rows.iter().filter_map(|row| row.cells.get(at))))
        .collect();
    let of_words = columns.iter().filter(|column| column.align == Align::Words).count();
    let in_words = classes.iter().any(|class| class.contains("long"))
        || (of_words >= MANY_OF_WORDS && columns.len() > MANY_OF_WORDS);
    html! {
        div class="scroll" role="region" tabindex="0" aria-labelledby=(caption_id) {
            table id=(id) class=[in_words.then_some("rows")] {
                caption id=(caption_id) { (caption) }
                thead {
                    tr {
                        @for (column, class) in columns.iter().zip(&classes) {
                            th scope="col" class=(class) {
                                (column.name)
                                @if !column.unit.is_empty() { " " span class="unit" { (column.unit) } }
                            }
                        }
                    }
                }
                tbody { @for row in rows { (row_of(columns, &classes, row)) } }
            }
        }
    }
}

fn row_of<C: Render>(columns: &[Column<'_>], classes: &[&str], row: &Row<C>) -> Markup {
    html! {
        tr class=[row.marked.then_some("marked")] {
            @for (place, ((cell, class), column)) in row.cells.iter().zip(classes).zip(columns).enumerate() {
                @if place == 0 {
                    th scope="row" class=(class) { (cell) }
                } @else {
                    td class={ (class) @if is_blank(cell) { " blank" } } data-name={ (column.name) @if !column.unit.is_empty() { ", " (column.unit) } } { (cell) }
                }
            }
        }
    }
}

/// Whether a cell holds nothing to read: row by row it is left out.
fn is_blank(cell: &impl Render) -> bool {
    let told = cell.render().0;
    told.is_empty() || told == "–" || told.ends_with("</span>–")
}

/// So many columns of words and one more do not stand beside each other on a phone.
const MANY_OF_WORDS: usize = 3;
/// So many rows tell what a column is like.
const LOOKED_AT: usize = 4;
/// Words longer than so many bytes need room.
const LONG: usize = 28;

/// How a column stands; a day in it keeps to one line, and long words are not squeezed into a letter or two a line.
fn class<'c, C: Render + 'c>(align: Align, cells: impl Iterator<Item = &'c C>) -> &'static str {
    if align == Align::Digits {
        return "digits";
    }
    let cells: Vec<String> = cells.take(LOOKED_AT).map(|cell| cell.render().0).collect();
    if cells.iter().any(|cell| !cell.contains('<') && cell.len() > LONG) {
        "words long"
    } else if cells.iter().any(|cell| has_day(cell)) {
        "words day"
    } else {
        "words"
    }
}

/// Whether a day stands in a text, written as 2026-09-24.
fn has_day(text: &str) -> bool {
    let digit = |byte: &u8| byte.is_ascii_digit();
    text.as_bytes().windows(10).any(|ten| {
        ten[..4].iter().all(digit)
            && ten[4] == b'-'
            && ten[5..7].iter().all(digit)
            && ten[7] == b'-'
            && ten[8..].iter().all(digit)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_of_words_stands_row_by_row_on_a_phone_and_names_its_cells() {
        let told = |cells: &[&'static str]| {
            let columns: Vec<Column<'_>> = cells.iter().map(|_| Column::words("Why")).collect();
            table("t", "T", &columns, &[Row::of(cells.iter().copied())]).into_string()
        };
        let long = told(&["chain", "the fitted one does not reach with this pair"]);
        assert!(long.contains("<table id=\"t\" class=\"rows\">") && long.contains("data-name=\"Why\""), "{long}");
        assert!(told(&["a", "b", "c", "d"]).contains("class=\"rows\""), "four columns of words");
        assert!(told(&["a", "–"]).contains("<td class=\"words blank\" data-name=\"Why\">–</td>"), "nothing to read");
        assert!(!told(&["a", "b", "c"]).contains("class=\"rows\""));
    }

    #[test]
    fn days_and_long_words_have_room() {
        let of = |cells: &[&str]| {
            let cells: Vec<Markup> = cells.iter().map(|cell| html! { (cell) }).collect();
            class(Align::Words, cells.iter())
        };
        assert_eq!(of(&["–", "2025-07-20, fitted now"]), "words day");
        assert_eq!(of(&["moor", "rock"]), "words");
        assert_eq!(of(&["New chain and front sprocket from the shelf"]), "words long");
        assert_eq!(class(Align::Digits, std::iter::empty::<&Markup>()), "digits");
    }
}
