//! Measuring: what is read, how it is read with its picture, the readings, the verdict; and readings struck out.
//!
//! Layout: [`what`] the choice · [`form`] what every form shares · [`slack`], [`length`], [`sides`],
//! [`look`], [`meter`] one page a reading · [`along`] the countershaft by readings along
//! the travel · [`picture`] how the reading is taken · [`reading`] the verdict.

mod along;
pub(super) mod form;
mod length;
mod look;
mod meter;
mod picture;
mod reading;
mod sides;
mod slack;
mod what;

#[cfg(test)]
mod tests;

use axum::routing::get;

use crate::serve::{AppState, Page};

/// This slice's pages.
pub(super) const PAGES: &[Page] = &[
    Page::new("/drive/measure", "Measure the drive", || get(what::show)),
    Page::new("/drive/measure/slack", "Measure slack", || get(slack::show).post(slack::send))
        .at(|_| ["", "?places=12", "?kind=gap"].map(|query| format!("/drive/measure/slack{query}")).to_vec()),
    Page::new("/drive/measure/elongation", "Measure the chain's length", || get(length::show).post(length::send)),
    Page::new("/drive/measure/alignment", "Measure the axle left and right", || get(sides::show).post(sides::send)),
    Page::new("/drive/measure/teeth", "Look at the teeth", || get(look::show).post(look::send)),
    Page::new("/drive/measure/meter", "Read the hour meter", || get(meter::show).post(meter::send)),
    Page::new("/drive/geometry", "Geometry by slack readings", || get(along::show).post(along::keep)).at(along::visits),
    Page::new("/drive/reading/{entry}", "A reading and its verdict", || get(reading::show)).recorded(visits),
];

/// The last readings of each bike.
fn visits(state: &AppState, most: usize) -> Vec<String> {
    let garage = state.garage();
    let bikes = garage.bikes().unwrap_or_default();
    let first = bikes.first().and_then(|bike| garage.log(&bike.id).ok());
    let mut kinds: Vec<&str> = Vec::new();
    let mut all = Vec::new();
    for entry in first.iter().flat_map(|log| log.entries().iter().rev()) {
        if all.len() == most {
            break;
        }
        let kind = entry.fact.kind();
        if ["slack", "elongation", "axle", "meter"].contains(&kind) && !kinds.contains(&kind) {
            kinds.push(kind);
            all.push(format!("/drive/reading/{}", entry.id));
        }
    }
    all
}
