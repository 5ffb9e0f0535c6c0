//! The verdict: a word, a shape and a colour, so that it survives a grey print and eyes that mix colours.

use maud::{Markup, html};

pub(crate) use advice::Verdict;

/// Its class in the style sheet.
pub(crate) const fn class(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Ready => "ready",
        Verdict::Care => "care",
        Verdict::Unknown => "unknown",
        Verdict::Stop => "stop",
    }
}

/// The verdict of a page: its only large block of colour.
pub(crate) fn verdict(verdict: Verdict, sentence: &str, beside: &Markup) -> Markup {
    html! {
        section class={ "verdict " (class(verdict)) } aria-labelledby="verdict-word" {
            (shape(verdict))
            div {
                h1 id="verdict-word" { (verdict.words()) }
                p { (sentence) }
                (beside)
            }
        }
    }
}

/// The verdict in a line of text or a cell of a table.
pub(crate) fn tag(verdict: Verdict) -> Markup {
    html! { span class={ "tag " (class(verdict)) } { (shape(verdict)) (verdict.words()) } }
}

/// The same shape beside words of one's own ("fits", "worn").
pub(crate) fn tag_saying(verdict: Verdict, words: &str) -> Markup {
    html! { span class={ "tag " (class(verdict)) } { (shape(verdict)) (words) } }
}

/// Disc with tick, triangle, broken ring, octagon with bar.
pub(crate) fn shape(verdict: Verdict) -> Markup {
    html! {
        svg class="shape" viewBox="0 0 48 48" aria-hidden="true" focusable="false" {
            @match verdict {
                Verdict::Ready => {
                    circle class="solid" cx="24" cy="24" r="21" {}
                    path class="cut" d="M14 25l7 7 13-15" {}
                }
                Verdict::Care => {
                    path class="solid" d="M24 4l22 39H2z" {}
                    path class="cut" d="M24 17v13M24 35v3" {}
                }
                Verdict::Unknown => {
                    circle class="ring" cx="24" cy="24" r="19" {}
                    path class="line" d="M18 19a6 6 0 1 1 9 5c-2 1-3 3-3 5M24 34v2" {}
                }
                Verdict::Stop => {
                    path class="solid" d="M15 3h18l12 12v18L33 45H15L3 33V15z" {}
                    path class="cut" d="M13 24h22" {}
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_verdict_has_its_own_word_shape_and_class() {
        let all = [Verdict::Ready, Verdict::Care, Verdict::Unknown, Verdict::Stop];
        for (place, one) in all.iter().enumerate() {
            for other in &all[..place] {
                assert_ne!(one.words(), other.words());
                assert_ne!(class(*one), class(*other));
                assert_ne!(shape(*one).into_string(), shape(*other).into_string());
            }
        }
    }
}
