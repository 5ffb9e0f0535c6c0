//! The pages: one folder per slice, each with the list of its own pages.

mod answer;
mod figures;
mod home;
mod gearing;
mod index;
mod jobs;
mod kit;
mod rides;
mod theme;

use crate::serve::Page;

/// Every page and form target there is.
pub(crate) fn all() -> Vec<Page> {
    [home::PAGES, jobs::PAGES, index::PAGES, theme::PAGES, figures::PAGES, kit::PAGES].concat()
    [index::PAGES, theme::PAGES, figures::PAGES, gearing::PAGES, rides::PAGES, kit::PAGES].concat()
}
