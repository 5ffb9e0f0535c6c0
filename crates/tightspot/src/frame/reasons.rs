//! Why the verdict is what it is, worst first: figure, limit, age, and the way to clear it.

use maud::{Markup, html};

use super::verdict::{Verdict, class, tag};

/// One reason.
pub(crate) struct Reason<'a> {
    /// What it alone would make of the verdict.
    pub(crate) verdict: Verdict,
    /// What is wrong or due, in one sentence.
    pub(crate) says: &'a str,
    /// The number behind it, its limit and its age; empty if there is none.
    pub(crate) figure: &'a str,
    /// Where it can be cleared: words, address, minutes.
    pub(crate) clear: Option<Clear<'a>>,
}

/// The way to clear a reason.
pub(crate) struct Clear<'a> {
    /// What to do.
    pub(crate) words: &'a str,
    /// Where to do it.
    pub(crate) address: &'a str,
    /// About how long it takes, in minutes.
    pub(crate) minutes: Option<u32>,
}

/// The reasons, in the order given.
pub(crate) fn reasons(all: &[Reason<'_>]) -> Markup {
    html! {
        ol class="reasons" {
            @for reason in all {
                li class=(class(reason.verdict)) {
                    p class="reason-says" { (tag(reason.verdict)) " " (reason.says) }
                    @if !reason.figure.is_empty() { p class="reason-figure" { (reason.figure) } }
                    @if let Some(clear) = &reason.clear {
                        a class="button small" href=(clear.address) {
                            (clear.words)
                            @if let Some(minutes) = clear.minutes { ", " (minutes) " min" }
                        }
                    }
                }
            }
        }
    }
}
