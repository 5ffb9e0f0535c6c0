//! A view's blocks as markup: what a command prints in lines stands here in the parts of a page.

use advice::{Block, Cell, Fact, Reason, Table};
use maud::{Markup, html};

use super::bike::{is_first, sentence};
use crate::frame::figure::{Figure, SaysWho, figures};
use crate::frame::newest_first;
use crate::frame::notice::notice;
use crate::frame::reasons::{self, Clear};
use crate::frame::table::{Align, Column, Row, table};
use crate::frame::verdict::tag_saying;

/// Blocks in reading order. Headings are of the second level: the page's own stands above.
pub(super) fn blocks(blocks: &[Block<'_>]) -> Markup {
    html! { @for block in blocks { (one(block)) } }
}

/// One block.
pub(super) fn one(block: &Block<'_>) -> Markup {
    match block {
        Block::Heading(words) => html! { h2 { (words) } },
        Block::Verdict(verdict, words, sentence) => {
            html! { p class="verdict-line" { (tag_saying(*verdict, words)) " " (sentence) } }
        }
        Block::Reasons(reasons) => reason_list(reasons),
        Block::Facts(facts) => fact_list(facts),
        Block::Table(table) => table_of(table, |_| false),
        Block::Text(words) => html! { p { (words) } },
        Block::List(items) => {
            html! { @if !items.is_empty() { ul class="list" { @for item in items { li { (item) } } } } }
        }
    }
}

/// Reasons, worst first; what clears one leads to its place.
pub(super) fn reason_list(all: &[Reason]) -> Markup {
    reason_list_to(all, |place| format!("/{place}"))
}

/// The same, the address of each place given: on the page of a place its own part is nearer.
pub(super) fn reason_list_to(all: &[Reason], address: impl Fn(&str) -> String) -> Markup {
    let addresses: Vec<String> =
        all.iter().map(|reason| reason.clear.as_ref().map(|clear| address(clear.place)).unwrap_or_default()).collect();
    let shown: Vec<reasons::Reason<'_>> = all
        .iter()
        .zip(&addresses)
        .map(|(reason, address)| reasons::Reason {
            verdict: reason.verdict,
            says: &reason.text,
            figure: "",
            clear: reason.clear.as_ref().map(|clear| Clear {
                words: &clear.act,
                address,
                minutes: Some(clear.minutes_min),
            }),
        })
        .collect();
    html! { @if !shown.is_empty() { (reasons::reasons(&shown)) } }
}

/// Facts as big numbers, each with its reason, certainty, source and what would change it.
pub(super) fn fact_list(facts: &[Fact]) -> Markup {
    let why: Vec<String> = facts.iter().map(why).collect();
    figures(facts.iter().zip(&why).map(|(fact, why)| Figure {
        name: &fact.label,
        value: parted(&fact.text).0,
        unit: parted(&fact.text).1,
        why,
        says: SaysWho {
            figure: (!fact.figure.is_empty()).then_some(fact.figure),
            sources: figures::named(fact.figure).map_or(&[], |figure| figure.sources),
            change: &fact.changes,
            entered: &fact.entered,
        },
    }))
}

/// A number or range in words and what stands behind it, so that the number can stand large and the rest small; words
/// alone stay whole.
fn parted(text: &str) -> (&str, &str) {
    let number = |word: &str| {
        let digits = word.trim_start_matches(['−', '+']);
        digits.starts_with(|c: char| c.is_ascii_digit())
    };
    let mut end = 0;
    let mut at = 0;
    for word in text.split(' ') {
        if number(word) {
            end = at + word.len();
        } else if end == 0 || !matches!(word, "to" | "±" | "–") {
            break;
        }
        at += word.len() + 1;
    }
    if end == 0 { (text, "") } else { (&text[..end], text[end..].trim_start()) }
}

/// Reason and certainty as sentences.
fn why(fact: &Fact) -> String {
    let sentence = |words: &str| {
        let mut letters = words.chars();
        letters.next().map(|first| format!("{}{}.", first.to_uppercase(), letters.as_str().trim_end_matches('.')))
    };
    let sure = (!fact.certainty.is_empty()).then(|| format!("How sure: {}.", fact.certainty.trim_end_matches('.')));
    [sentence(&fact.reason), sure].into_iter().flatten().collect::<Vec<_>>().join(" ")
}

/// The columns of a table; their labels say the units.
pub(super) fn columns(view: &Table) -> Vec<Column<'_>> {
    let align = |numeric| if numeric { Align::Digits } else { Align::Words };
    view.columns.iter().map(|one| Column { name: &one.label, unit: "", align: align(one.numeric) }).collect()
}

/// A table; `marked` picks the row that stands out by its head.
pub(super) fn table_of(view: &Table, marked: impl Fn(&str) -> bool) -> Markup {
    let rows: Vec<Row<&str>> = view
        .rows
        .iter()
        .map(|cells| {
            let row = Row::of(cells.iter().map(|cell| cell.text.as_str()));
            if cells.first().is_some_and(|head| marked(&head.text)) { row.marked() } else { row }
        })
        .collect();
    html! { @if !rows.is_empty() { (table(view.key, &view.caption, &columns(view), &rows)) } }
}

/// A long table whose newest rows come first: those in sight, the earlier ones folded under what they are, with a name of
/// their own on the page.
pub(super) fn newest_rows(view: &Table, what: &str, key: &'static str) -> Markup {
    let earlier = |rest: &[Vec<Cell>]| format!("Earlier: {} {what}", rest.len());
    newest_first(&view.rows, earlier, |some, are_earlier| {
        let mut part = Table { rows: some.to_vec(), ..view.clone() };
        if are_earlier {
            part.key = key;
            part.caption = format!("Earlier {what}");
        }
        table_of(&part, |_| false)
    })
}

/// What a figure could not answer: what is missing, and how to find it.
pub(super) fn gap(gap: &advice::Gap) -> Markup {
    html! {
        (notice(&sentence("", &gap.text)))
        @if !gap.how_to.is_empty() { p { "How to find it: " (gap.how_to) } }
        @if gap.missing {
            p class="buttons" {
                a class="button small" href={ "/bike?field=" (gap.field) "#" (gap.field) } { "Put it on the bike sheet" }
                @if is_first(&gap.field) { a class="button small" href="/bike/first" { "All first figures at once" } }
            }
        }
    }
}
