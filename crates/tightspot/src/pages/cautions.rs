//! The cautions of the job library as pages show them, right before the hand moves.

use advice::plan::Caution;
use maud::{Markup, html};
use upkeep::job::handbook::shipped;

use crate::frame::folded;
use crate::frame::notice::{Level, caution};
use crate::frame::verdict::{Verdict, tag_saying};

/// Those that hold whenever a chain is turned or touched by hand.
const BY_HAND: [&str; 2] = ["engine-off-chain", "pinch"];

/// The cautions in full, before a hand moves at the chain.
pub(super) fn by_hand() -> Markup {
    html! {
        @for entry in BY_HAND.iter().filter_map(|id| shipped().caution(id)) { (caution(entry.level, &entry.text)) }
    }
}

/// A caution as a line that says what can happen, and opens to what to do.
pub(super) fn line(shown: &Caution) -> Markup {
    let (verdict, word) = match shown.level {
        "stop" => (Verdict::Stop, "Stop:"),
        _ => (Verdict::Care, "Take care:"),
    };
    folded(
        None,
        false,
        &html! { span { (tag_saying(verdict, word)) " " (shown.hazard) } },
        &html! { p { (shown.text) } },
    )
}

/// A caution of a step: what can happen, and what to do where it stands in full.
pub(super) fn of_step(shown: &Caution) -> Markup {
    let level = match shown.level {
        "stop" => Level::Stop,
        "warn" => Level::Warn,
        _ => Level::Note,
    };
    let text = if shown.text.is_empty() { shown.hazard.clone() } else { format!("{}. {}", shown.hazard, shown.text) };
    caution(level, &text)
}
