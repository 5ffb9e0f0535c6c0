//! The pages: one folder per slice, each with the list of its own pages.

mod access;
mod answer;
mod bench;
mod bike;
mod cautions;
mod changes;
mod choose;
mod drive;
mod figures;
mod first_day;
mod gearing;
mod home;
mod index;
mod jobs;
mod kit;
mod measure;
mod parts;
mod programs;
mod rides;
mod season;
mod sets;
mod switches;
mod typed;
mod worn;

pub(crate) use choose::calendar;

use crate::serve::Page;

/// Every page and form target there is.
pub(crate) fn all() -> Vec<Page> {
    let places = [
        home::PAGES,
        gearing::PAGES,
        drive::PAGES,
        choose::PAGES,
        sets::PAGES,
        bench::PAGES,
        jobs::PAGES,
        parts::PAGES,
        rides::PAGES,
        bike::PAGES,
    ]
    .concat();
    let record = [measure::PAGES, worn::PAGES, season::PAGES, first_day::PAGES, changes::PAGES].concat();
    let others = [index::PAGES, switches::PAGES, access::PAGES, figures::PAGES, kit::PAGES, programs::PAGES].concat();
    [places, record, others].concat()
}
