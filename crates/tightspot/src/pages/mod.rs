//! The pages: one folder per slice, each with the list of its own pages.

mod answer;
mod figures;
mod gearing;
mod index;
mod kit;
mod rides;
mod theme;

use crate::serve::Page;

/// Every page and form target there is.
pub(crate) fn all() -> Vec<Page> {
    [index::PAGES, theme::PAGES, figures::PAGES, gearing::PAGES, rides::PAGES, kit::PAGES].concat()
}
