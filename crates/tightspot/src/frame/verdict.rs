//! The verdict: a word, a shape and a colour, so that it survives a grey print and eyes that mix colours.

use maud::{Markup, html};

/// Can I ride?
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Verdict {
    /// Nothing speaks against it.
    Ready,
    /// Something to look after.
    Care,
    /// A figure that decides is missing: never shown as ready.
    Unknown,
    /// Not before this is put right.
    Stop,
}

impl Verdict {
    /// Its words on every face.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::Ready => "Ready",
            Self::Care => "Ready with care",
            Self::Unknown => "Not known",
            Self::Stop => "Not ready",
        }
    }

    /// Its class in the style sheet.
    pub(crate) const fn class(self) -> &'static str {
        match self {
            Self::Ready => "ready",
            Self::Care => "care",
            Self::Unknown => "unknown",
            Self::Stop => "stop",
        }
    }
}

/// The verdict of a page: its only large block of colour.
pub(crate) fn verdict(verdict: Verdict, sentence: &str, beside: &Markup) -> Markup {
    html! {
        section class={ "verdict " (verdict.class()) } aria-labelledby="verdict-word" {
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
    html! { span class={ "tag " (verdict.class()) } { (shape(verdict)) (verdict.words()) } }
}

/// The same shape beside words of one's own ("fits", "worn").
pub(crate) fn tag_saying(verdict: Verdict, words: &str) -> Markup {
    html! { span class={ "tag " (verdict.class()) } { (shape(verdict)) (words) } }
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
                assert_ne!(one.class(), other.class());
                assert_ne!(shape(*one).into_string(), shape(*other).into_string());
            }
        }
    }

    #[test]
    fn the_worst_verdict_is_the_greatest() {
        assert!(Verdict::Ready < Verdict::Care && Verdict::Care < Verdict::Unknown && Verdict::Unknown < Verdict::Stop);
    }
}
