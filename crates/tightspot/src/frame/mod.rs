//! The frame: what every page looks like, and the parts that pages are made of. One function per part.
//!
//! Nothing here asks the record or computes: a part gets finished words and numbers. No inline style or script,
//! for the policy forbids them: looks go by class.
//!
//! Layout: `page` the base page · `verdict` · `figure` a big number · `reasons` · `table` · `field`
//! inputs · `part` a long list page by page · `notice` what a person must be told · `chart` lines over hours · `drawing` steel in millimetres ·
//! `number` digits for a person.

pub(crate) mod chart;
pub(crate) mod drawing;
pub(crate) mod field;
pub(crate) mod figure;
pub(crate) mod notice;
pub(crate) mod number;
mod page;
mod part;
mod place;
pub(crate) mod reasons;
pub(crate) mod table;
mod theme;
pub(crate) mod verdict;

pub(crate) use page::{Chrome, Head, actions, details, fold, folded, live_part, page};
pub(crate) use part::{Part, between, newest_first};
pub(crate) use place::Place;
pub(crate) use theme::Theme;

/// The style sheet.
pub(crate) const STYLE: &str = concat!(
    include_str!("style/base.css"),
    include_str!("style/chrome.css"),
    include_str!("style/parts.css"),
    include_str!("style/forms.css"),
    include_str!("style/graphics.css"),
    include_str!("style/print.css"),
);
/// The script; every page works without it.
pub(crate) const SCRIPT: &str =
    concat!(include_str!("live.js"), include_str!("files.js"), include_str!("code.js"), include_str!("bench.js"),);
/// The icon: one link plate.
pub(crate) const ICON: &str = include_str!("icon.svg");
