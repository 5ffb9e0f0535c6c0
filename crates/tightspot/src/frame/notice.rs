//! What a person must be told: legal-but-odd, a caution before the hand moves, a refusal, something saved.

use maud::{Markup, html};
pub(crate) use upkeep::job::handbook::Level;

use super::verdict::{Verdict, shape};

/// A caution, standing right before the step it belongs to.
pub(crate) fn caution(level: Level, text: &str) -> Markup {
    let (class, word, verdict) = match level {
        Level::Stop => ("stop", "Stop", Verdict::Stop),
        Level::Warn => ("care", "Take care", Verdict::Care),
        Level::Note => ("note", "Note", Verdict::Unknown),
    };
    html! {
        div class={ "caution " (class) } {
            @if level != Level::Note { (shape(verdict)) }
            p { strong { (word) ": " } (text) }
        }
    }
}

/// Legal but odd: the sentence names the number that caused it.
pub(crate) fn notice(text: &str) -> Markup {
    html! { p class="notice" { strong { "Noticed: " } (text) } }
}

/// Something was stored; it may offer a way back.
pub(crate) fn saved(text: &str, undo: &Markup) -> Markup {
    html! { div class="saved" role="status" { p { (text) } (undo) } }
}

/// Why there is no answer.
pub(crate) fn fault(text: &str) -> Markup {
    html! { p class="refusal" { (text) } }
}
