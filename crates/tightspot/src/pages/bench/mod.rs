//! Work orders at the bench: choose, gather, one step a screen, figures, close; and typing in from paper.
//!
//! Layout: [`desk`] what an order is shown from · [`list`] the place itself · [`start`] choosing · [`gather`] have and need ·
//! [`step`] one step, its tick and what takes it back · [`typed`] forms to what was typed · [`order`] all steps, what
//! comes in, stopping · [`end`] figures and closing · `print` on paper · [`paper`] typing in afterwards.

mod desk;
mod end;
mod gather;
mod list;
mod order;
mod paper;
mod print;
mod start;
mod step;
mod typed;

#[cfg(test)]
mod tests;
#[cfg(test)]
mod told_tests;

use axum::routing::{get, post};

use crate::serve::{AppState, Page};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::list("/jobs", "Jobs", || get(list::show)),
    Page::new("/jobs/start", "A new work order", || get(start::show).post(start::begin)).at(start::visits),
    Page::new("/jobs/order/{id}", "One step at the bench", || get(step::show))
        .recorded(|state, most| of(state, most, &["", "?step=1", "?step=30"])),
    Page::list("/jobs/order/{id}/steps", "All steps of a work order", || get(order::show))
        .recorded(|state, most| of(state, most, &["/steps"])),
    Page::list("/jobs/order/{id}/gather", "Have and need", || get(gather::show))
        .recorded(|state, most| of(state, most, &["/gather"])),
    Page::list("/jobs/order/{id}/figures", "Figures of a work order", || get(end::figures))
        .recorded(|state, most| of(state, most, &["/figures"])),
    Page::new("/jobs/order/{id}/close", "Close a work order", || get(end::show).post(end::close))
        .recorded(|state, most| of(state, most, &["/close"])),
    Page::new("/jobs/order/{id}/paper", "Type in from paper", || get(paper::show).post(paper::save))
        .recorded(|state, most| of(state, most, &["/paper"])),
    Page::target("/jobs/order/{id}/sheet.pdf", || get(print::show)),
    Page::target("/jobs/order/{id}/tick", || post(step::tick)),
    Page::target("/jobs/order/{id}/untick", || post(step::untick)),
    Page::target("/jobs/order/{id}/figure", || post(step::figure)),
    Page::target("/jobs/order/{id}/add", || post(order::add)),
    Page::target("/jobs/order/{id}/pause", || post(order::pause)),
    Page::target("/jobs/order/{id}/drop", || post(end::give_up)),
    Page::target("/jobs/order/{id}/reopen", || post(end::reopen)),
    Page::target("/jobs/order/{id}/who", || post(order::who)),
];

/// Addresses below every order of every bike, so many at the most, for whoever looks each page over.
fn of(state: &AppState, most: usize, ends: &[&str]) -> Vec<String> {
    let garage = state.garage();
    let bikes = garage.bikes().unwrap_or_default();
    let mut all: Vec<String> = Vec::new();
    for benches in bikes.iter().filter_map(|bike| garage.benches(&bike.id).ok()) {
        let still = most.saturating_sub(all.len());
        let pages =
            benches.iter().flat_map(|bench| ends.iter().map(move |end| format!("/jobs/order/{}{end}", bench.id)));
        all.extend(pages.take(still));
    }
    all
}
