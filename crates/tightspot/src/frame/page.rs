//! The base page: head, header with the bike's name and the six places, main, footer.

use maud::{DOCTYPE, Markup, html};
use measure::shown::{self, Units};

use super::{Place, Theme};
use crate::serve::assets;

/// What a page says about itself.
#[derive(Clone, Copy)]
pub(crate) struct Head<'a> {
    /// Its name, first in the window's title.
    pub(crate) title: &'a str,
    /// The place it belongs to.
    pub(crate) place: Option<Place>,
    /// Whether it shows a form with faults.
    pub(crate) faults: bool,
}

impl<'a> Head<'a> {
    /// A page of a place.
    pub(crate) const fn new(title: &'a str, place: Place) -> Self {
        Self { title, place: Some(place), faults: false }
    }

    /// A page outside the six places.
    pub(crate) const fn titled(title: &'a str) -> Self {
        Self { title, place: None, faults: false }
    }
}

/// All that stands around the main part.
pub(crate) struct Chrome<'a> {
    /// The page.
    pub(crate) head: Head<'a>,
    /// The rider's theme.
    pub(crate) theme: Theme,
    /// The address of the page, to come back to.
    pub(crate) address: &'a str,
    /// The bike's name.
    pub(crate) bike: &'a str,
    /// Hidden fields of a posting form.
    pub(crate) form_key: &'a Markup,
    /// The same for the switch of the units: a second form has a key of its own.
    pub(crate) units_key: &'a Markup,
    /// What stands above every page of this server.
    pub(crate) notice: Option<&'a str>,
    /// Whether the visitor signed in, and so can sign out.
    pub(crate) signed_in: bool,
    /// Whether it is shown to a helper: nothing to press, nowhere else to go.
    pub(crate) read_only: bool,
}

/// The whole page.
pub(crate) fn page(chrome: &Chrome<'_>, main: &Markup) -> Markup {
    let head = chrome.head;
    let bench = head.place.is_some_and(Place::is_bench);
    html! {
        (DOCTYPE)
        html lang="en" data-theme=(chrome.theme.word()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { @if head.faults { "Error: " } (head.title) " – " (chrome.bike) " – tightspot" }
                link rel="icon" href=(assets::icon()) type="image/svg+xml";
                link rel="stylesheet" href=(assets::style());
                script src=(assets::script()) defer {}
            }
            body data-read-only[chrome.read_only] {
                a class="skip" href="#main" { "Skip to the content" }
                @if let Some(words) = chrome.notice { aside class="network" aria-label="This server" { (words) } }
                @if chrome.read_only {
                    header class="top" { span class="bike" { (mark()) span { (chrome.bike) } } }
                } @else {
                    header class="top" {
                        a class="bike" href="/bike" { (mark()) span { (chrome.bike) } }
                        (navigation(head.place))
                    }
                }
                main id="main" tabindex="-1" class=[bench.then_some("bench")] { (main) }
                footer class="foot" {
                    @if chrome.read_only {
                        p { "Shown to you by the bike's owner, to read only." }
                    } @else {
                        p {
                            a href="/pages" { "All pages" } " "
                            a href="/figures" { "Every figure and its source" } " "
                            a href="/pages/api" { "For programs" } " "
                            a href="/access" { "Who may look" }
                        }
                        @if chrome.signed_in { (sign_out(chrome)) }
                        (units_switch(chrome))
                        (theme_switch(chrome))
                    }
                }
                div id="said" class="unseen" role="status" aria-live="polite" {}
            }
        }
    }
}

/// The tool's mark: one link plate with its two pins.
fn mark() -> Markup {
    html! {
        svg class="mark" viewBox="0 0 32 20" width="32" height="20" aria-hidden="true" focusable="false" {
            path d="M8 2a8 8 0 1 0 0 16c4 0 5-3 8-3s4 3 8 3a8 8 0 1 0 0-16c-4 0-5 3-8 3s-4-3-8-3z" {}
            circle cx="8" cy="10" r="3" {}
            circle cx="24" cy="10" r="3" {}
        }
    }
}

fn sign_out(chrome: &Chrome<'_>) -> Markup {
    html! {
        form method="post" action="/sign-out" {
            (chrome.form_key)
            button type="submit" class="button small" { "Sign out" }
        }
    }
}

fn theme_switch(chrome: &Chrome<'_>) -> Markup {
    let words = Theme::ALL.map(|theme| (theme.word(), theme == chrome.theme));
    switch(chrome, chrome.form_key, ["theme", "Theme"], &words)
}

fn units_switch(chrome: &Chrome<'_>) -> Markup {
    let words = Units::ALL.map(|units| (units.word(), units == shown::units()));
    switch(chrome, chrome.units_key, ["units", "Units"], &words)
}

/// A choice of the browser: a button for each word, the one that holds pressed in.
fn switch(chrome: &Chrome<'_>, key: &Markup, [name, legend]: [&str; 2], words: &[(&str, bool)]) -> Markup {
    html! {
        form class="switch" method="post" action={ "/" (name) } {
            (key)
            input type="hidden" name="back" value=(chrome.address);
            fieldset {
                legend { (legend) }
                @for (word, holds) in words {
                    button type="submit" name=(name) value=(word) aria-pressed=(holds) { (word) }
                }
            }
        }
    }
}

fn navigation(here: Option<Place>) -> Markup {
    html! {
        nav class="places" aria-label="Places" {
            ul {
                @for place in Place::ALL {
                    li { a href=(place.path()) aria-current=[(here == Some(place)).then_some("page")] { (place.name()) } }
                }
            }
        }
    }
}

/// More to read for whoever asks; open in print.
pub(crate) fn details(summary: &str, inside: &Markup) -> Markup {
    fold(summary, false, inside)
}

/// The same, unfolded where something inside was used or is at fault.
pub(crate) fn fold(summary: &str, open: bool, inside: &Markup) -> Markup {
    folded(None, open, &html! { (summary) }, inside)
}

/// The same with a line of one's own, one piece of markup. The id stands inside: a browser unfolds what an address leads into, not the fold itself.
pub(crate) fn folded(id: Option<&str>, open: bool, summary: &Markup, inside: &Markup) -> Markup {
    // What is wrong inside is never folded away, whoever forgot to ask.
    let open = open || inside.0.contains("class=\"fault\"");
    html! { details class="more" open[open] { summary { (summary) } div class="more-in" id=[id] { (inside) } } }
}

/// The main action of a page, in thumb reach; a second, lesser one may stand before it.
pub(crate) fn actions(inside: &Markup) -> Markup {
    html! { div class="actions" { (inside) } }
}

/// A part that the script may fetch and swap alone. `said` is what is read out after the swap.
pub(crate) fn live_part(id: &str, said: &str, inside: &Markup) -> Markup {
    html! { div id=(id) data-said=(said) { (inside) } }
}
