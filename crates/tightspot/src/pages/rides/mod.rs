//! Rides: what was ridden, brought in from a recording, kept without places.
//!
//! Layout: [`list`] all of them · [`import`] a recording brought in · [`ride`] one ride · [`profile`] its speed as a
//! picture · [`undo`] taken out and brought back.

mod import;
mod list;
mod profile;
mod ride;
#[cfg(test)]
mod tests;
mod undo;

use axum::extract::DefaultBodyLimit;
use axum::routing::{get, post};

use crate::frame::{Head, Place};
use crate::serve::{AppState, FILE_BODY_LIMIT_BYTES, Page};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::new("/rides", "Rides", || get(list::show)).at(|_| vec!["/rides".to_owned(), "/rides?back=1".to_owned()]),
    Page::new("/rides/import", "Bring in a ride", || {
        get(import::show).post(import::send).layer(DefaultBodyLimit::max(FILE_BODY_LIMIT_BYTES))
    }),
    Page::target("/rides/undo", || post(undo::send)),
    Page::new("/rides/{id}", "A ride", || get(ride::show)).at(visits),
];

const RIDES: Head<'static> = Head::new("Rides", Place::Rides);

/// Every ride, as it stands and as it looks right after it came.
fn visits(state: &AppState) -> Vec<String> {
    let garage = state.garage();
    let bikes = garage.store().bikes().unwrap_or_default();
    let rides = bikes.iter().flat_map(|bike| garage.store().rides(&bike.id).unwrap_or_default());
    rides.flat_map(|ride| ["", "?saved=1", "?there=1"].map(|query| format!("/rides/{}{query}", ride.id))).collect()
}
