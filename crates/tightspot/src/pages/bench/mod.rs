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

use axum::routing::{get, post};

use crate::serve::{AppState, Page};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::list("/jobs", "Jobs", || get(list::show)),
    Page::new("/jobs/start", "A new work order", || get(start::show).post(start::begin)).at(start::visits),
    Page::new("/jobs/order/{id}", "One step at the bench", || get(step::show)).at(visits),
    Page::list("/jobs/order/{id}/steps", "All steps of a work order", || get(order::show)).at(all_visits),
    Page::list("/jobs/order/{id}/gather", "Have and need", || get(gather::show)).at(gather_visits),
    Page::list("/jobs/order/{id}/figures", "Figures of a work order", || get(end::figures)).at(figure_visits),
    Page::new("/jobs/order/{id}/close", "Close a work order", || get(end::show).post(end::close)).at(close_visits),
    Page::new("/jobs/order/{id}/paper", "Type in from paper", || get(paper::show).post(paper::save)).at(paper_visits),
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

/// The orders of the first bike, for whoever looks every page over.
fn orders(state: &AppState) -> Vec<i64> {
    let garage = state.garage();
    let bikes = garage.store().bikes().unwrap_or_default();
    let all = bikes.iter().flat_map(|bike| garage.benches(&bike.id).ok());
    all.flat_map(|benches| benches.iter().map(|bench| bench.id).collect::<Vec<_>>()).collect()
}

fn of(state: &AppState, ends: &[&str]) -> Vec<String> {
    let orders = orders(state);
    orders.iter().flat_map(|id| ends.iter().map(move |end| format!("/jobs/order/{id}{end}"))).collect()
}

fn visits(state: &AppState) -> Vec<String> {
    of(state, &["", "?step=1", "?step=30"])
}

fn all_visits(state: &AppState) -> Vec<String> {
    of(state, &["/steps"])
}

fn gather_visits(state: &AppState) -> Vec<String> {
    of(state, &["/gather"])
}

fn figure_visits(state: &AppState) -> Vec<String> {
    of(state, &["/figures"])
}

fn close_visits(state: &AppState) -> Vec<String> {
    of(state, &["/close"])
}

fn paper_visits(state: &AppState) -> Vec<String> {
    of(state, &["/paper"])
}
