//! One number that matters: large, with its unit, why it matters and who says so.

use maud::{Markup, html};
use measure::Source;

/// Where a number comes from and what would change it.
pub(crate) struct SaysWho<'a> {
    /// The figure behind it (`slack.required`), for the link to its formula.
    pub(crate) figure: Option<&'a str>,
    /// Ids of the sources.
    pub(crate) sources: &'a [&'a str],
    /// What the rider could enter or do to change it.
    pub(crate) change: &'a str,
    /// The days of the rider's own entry, where that is the source; empty for none.
    pub(crate) entered: &'a str,
}

/// A number on a page.
pub(crate) struct Figure<'a> {
    /// What it is.
    pub(crate) name: &'a str,
    /// The number as shown, or the words for a missing one.
    pub(crate) value: &'a str,
    /// Its unit; empty for a count.
    pub(crate) unit: &'a str,
    /// Against what it is held, or why it matters: one sentence.
    pub(crate) why: &'a str,
    /// Who says so.
    pub(crate) says: SaysWho<'a>,
}

/// A big number.
pub(crate) fn figure(figure: &Figure<'_>) -> Markup {
    // Words in the place of a number are read, not seen from afar.
    let words = figure.value.starts_with(char::is_alphabetic);
    html! {
        div class="figure" {
            p class="figure-name" { (figure.name) }
            p class=(if words { "figure-value in-words" } else { "figure-value" }) {
                b { (figure.value) }
                @if !figure.unit.is_empty() { " " span class="unit" { (figure.unit) } }
            }
            @if !figure.why.is_empty() { p class="figure-why" { (figure.why) } }
            (says_who(figure.name, &figure.says))
        }
    }
}

/// Several big numbers beside each other where there is room.
pub(crate) fn figures<'a>(all: impl IntoIterator<Item = Figure<'a>>) -> Markup {
    html! { div class="figures" { @for one in all { (figure(&one)) } } }
}

/// "Says who?": source, standing, formula, and what would change it. `about` names the number for a listener.
pub(crate) fn says_who(about: &str, says: &SaysWho<'_>) -> Markup {
    let inside = html! {
        dl class="pairs" {
            dt { "Source" }
            @for id in says.sources { dd { (source_line(id)) } }
            @if !says.entered.is_empty() { dd { "Your own entry, " (says.entered) "." } }
            @else if says.sources.is_empty() { dd { "No source." } }
            @if !says.change.is_empty() { dt { "What would change it" } dd { (says.change) } }
            @if let Some(name) = says.figure {
                dt { "How it is computed" }
                dd { a href={ "/figures/" (name) } { (name) } }
            }
        }
    };
    html! {
        details class="says" {
            summary { "Says who?" span class="unseen" { " " (about) } }
            (inside)
        }
    }
}

/// A source in words, with how much it proves; an id that is no source is shown as such.
pub(crate) fn source_line(id: &str) -> Markup {
    html! {
        @match measure::source(id) {
            Some(Source { standing, words, .. }) => { (words) " " span class="standing" { "(" (standing.word()) ")" } },
            None => { "No source under “" (id) "”." },
        }
    }
}

/// Several numbers in a quiet list: name, value with unit.
pub(crate) fn pairs<'a>(lines: impl IntoIterator<Item = (&'a str, Markup)>) -> Markup {
    html! { dl class="pairs" { @for (name, value) in lines { dt { (name) } dd { (value) } } } }
}
