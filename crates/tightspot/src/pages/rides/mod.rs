//! Rides: what was ridden, brought in from a recording, kept without places.
//!
//! Layout: [`list`] all of them · [`log`] the ride just ridden · [`import`] recordings brought in · [`incoming`] one of them ·
//! [`batch`] several, one after the other · [`season`] how far they are · [`ride`] one ride · [`track`] what is kept of its
//! track · [`profile`] that drawn · [`undo`] taken out and brought back.

mod batch;
mod import;
mod incoming;
mod list;
mod log;
#[cfg(test)]
mod log_tests;
mod profile;
mod ride;
mod season;
#[cfg(test)]
mod tests;
mod track;
mod undo;

use axum::routing::{get, post};

use crate::frame::{Head, Place};
use crate::serve::{AppState, Page, file_body_limit};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::list("/rides", "Rides", || get(list::show)).at(|_| vec!["/rides".to_owned(), "/rides?back=1".to_owned()]),
    Page::new("/rides/import", "Bring in rides", || get(import::show).post(import::send).layer(file_body_limit())),
    Page::target("/rides/import/stop", || post(season::stop)),
    Page::new("/rides/import/{name}", "Rides being brought in", || get(season::show)).at(|_| Vec::new()),
    Page::new("/rides/log", "Log a ride", || get(log::show).post(log::send)),
    Page::new("/rides/logged/{id}", "A ride just logged", || get(log::logged)).at(logged),
    Page::target("/rides/undo", || post(undo::send)),
    Page::new("/rides/{id}", "A ride", || get(ride::show)).recorded(visits),
];

const RIDES: Head<'static> = Head::new("Rides", Place::Rides);

/// The newest ride of the first bike, as it looks right after it was logged.
fn logged(state: &AppState) -> Vec<String> {
    let garage = state.garage();
    let bikes = garage.bikes().unwrap_or_default();
    let newest = bikes.first().and_then(|bike| garage.rides(&bike.id).ok()?.first().cloned());
    newest.map(|ride| format!("/rides/logged/{}?saved=1", ride.id)).into_iter().collect()
}

/// Every ride, as it stands and as it looks right after it came.
fn visits(state: &AppState, most: usize) -> Vec<String> {
    let garage = state.garage();
    let bikes = garage.bikes().unwrap_or_default();
    let of_ride = |id| ["", "?saved=1", "?there=1"].map(|query| format!("/rides/{id}{query}"));
    let mut all: Vec<String> = Vec::new();
    for rides in bikes.iter().flat_map(|bike| garage.rides(&bike.id).ok()) {
        let still = most.saturating_sub(all.len());
        all.extend(rides.iter().flat_map(|ride| of_ride(ride.id)).take(still));
    }
    all
}
