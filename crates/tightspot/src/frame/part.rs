//! A long list page by page: which of it is shown, and the way to the rest.

use jiff::civil::Date;
use maud::{Markup, html};

use super::details;

/// As many lines of a list as one page shows.
const LINES: usize = 50;
/// As many of them stand in sight: a screen or two of a phone. The earlier ones are folded, and open on paper.
const IN_SIGHT: usize = 10;
/// Fewer than so many are not worth a fold.
const WORTH_A_FOLD: usize = 4;

/// The newest lines of a page in sight, the earlier ones folded under what they are; `list` shows lines, and is told
/// whether they are the earlier ones.
pub(crate) fn newest_first<T>(
    lines: &[T],
    earlier: impl FnOnce(&[T]) -> String,
    list: impl Fn(&[T], bool) -> Markup,
) -> Markup {
    match lines.split_at_checked(IN_SIGHT).filter(|(_, rest)| rest.len() >= WORTH_A_FOLD) {
        Some((first, rest)) => html! { (list(first, false)) (details(&earlier(rest), &list(rest, true))) },
        None => list(lines, false),
    }
}

/// The days that folded lines are of.
pub(crate) fn between(oldest: Date, newest: Date) -> String {
    if oldest == newest { oldest.to_string() } else { format!("{oldest} to {newest}") }
}

/// One page of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Part {
    lines: usize,
    page: usize,
}

impl Part {
    /// A page of a list of so many lines, counted from 1; `None` if the list has no such page. An empty list has one.
    pub(crate) fn of(lines: usize, page: usize) -> Option<Self> {
        (1..=lines.div_ceil(LINES).max(1)).contains(&page).then_some(Self { lines, page })
    }

    /// The lines on it.
    pub(crate) fn range(self) -> std::ops::Range<usize> {
        (self.page - 1) * LINES..(self.page * LINES).min(self.lines)
    }

    /// Which lines these are, and the way to the others; nothing where all of them are shown.
    pub(crate) fn links(self, path: &str, what: &str) -> Markup {
        let (shown, pages) = (self.range(), self.lines.div_ceil(LINES));
        let to = |page: usize| format!("{path}?page={page}");
        html! {
            @if pages > 1 {
                nav aria-label="Pages of this list" {
                    p { (what) " " (shown.start + 1) " to " (shown.end) " of " (self.lines) ", newest first." }
                    p class="buttons" {
                        @if self.page > 1 { a class="button" href=(to(self.page - 1)) { "Newer" } }
                        @if self.page < pages {
                            a class="button" href=(to(self.page + 1)) { "Older" }
                            a class="button" href=(to(pages)) { "The first ones" }
                        }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_stands_on_one_page_and_no_page_is_beyond() {
        for lines in [0, 1, 49, 50, 51, 100, 601] {
            let parts: Vec<Part> = (1..100).map_while(|page| Part::of(lines, page)).collect();
            let seen: Vec<usize> = parts.iter().flat_map(|part| part.range()).collect();
            assert_eq!(seen, (0..lines).collect::<Vec<_>>(), "{lines}");
            assert_eq!(Part::of(lines, parts.len() + 1), None);
        }
        assert_eq!(Part::of(10, 0), None);
    }

    #[test]
    fn the_newest_stand_in_sight_and_every_line_stands_once() {
        for count in [0, 3, 10, 13, 14, 50] {
            let lines: Vec<usize> = (0..count).collect();
            let list = |some: &[usize], _: bool| html! { @for one in some { "<" (one) ">" } };
            let told = newest_first(&lines, |rest| format!("{} more", rest.len()), list).into_string();
            let (sight, folded) = told.split_once("<details").unwrap_or((&told, ""));
            let folds = if count < 14 { 0 } else { count - 10 };
            assert_eq!(
                (sight.matches("&lt;").count(), folded.matches("&lt;").count()),
                (count - folds, folds),
                "{told}"
            );
            assert_eq!(folded.contains(&format!("{folds} more")), folds > 0, "{told}");
        }
    }

    #[test]
    fn the_way_to_the_other_pages_is_shown_where_there_are_some() {
        let links = |lines, page| Part::of(lines, page).expect("a page").links("/rides", "Rides").into_string();
        assert_eq!(links(50, 1), "");
        let middle = links(601, 2);
        assert!(middle.contains("Rides 51 to 100 of 601"), "{middle}");
        for way in ["/rides?page=1", "/rides?page=3", "/rides?page=13"] {
            assert!(middle.contains(&format!("href=\"{way}\"")), "{middle}");
        }
        assert!(!links(601, 13).contains("Older") && !links(601, 1).contains("Newer"));
    }
}
