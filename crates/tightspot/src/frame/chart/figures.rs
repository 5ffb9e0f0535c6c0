//! The table under a chart: one row for each place along the axis, one column for each thing drawn.

use maud::{Markup, html};

use super::{Chart, Layer};
use crate::frame::number::fixed;
use crate::frame::table::{Column, Row, table};

/// A column of the table: its heading and what it says at a place.
struct Told<'a> {
    name: String,
    at: Box<dyn Fn(f64) -> Option<f64> + 'a>,
}

/// The table of a chart.
pub(super) fn table_of(chart: &Chart<'_>) -> Markup {
    let told: Vec<Told<'_>> = chart.layers.iter().flat_map(columns).collect();
    let along = Column::digits(chart.along.name, chart.along.unit);
    let columns: Vec<Column<'_>> =
        std::iter::once(along).chain(told.iter().map(|one| Column::digits(&one.name, chart.up.unit))).collect();
    let rows: Vec<Row> = places(chart)
        .into_iter()
        .map(|place| {
            let cells = told.iter().map(|one| match (one.at)(place) {
                Some(value) => html! { (fixed(value, chart.up.decimals)) },
                None => html! { span class="unseen" { "not known" } "–" },
            });
            Row::of(std::iter::once(html! { (fixed(place, chart.along.decimals)) }).chain(cells))
        })
        .collect();
    table(&format!("{}-figures", chart.id), chart.title, &columns, &rows)
}

/// Every place that a layer has a point at, once, left to right.
fn places(chart: &Chart<'_>) -> Vec<f64> {
    let mut places: Vec<f64> = chart.layers.iter().flat_map(places_of).collect();
    places.sort_by(f64::total_cmp);
    places.dedup_by(|one, other| one.total_cmp(other).is_eq());
    places
}

fn places_of(layer: &Layer<'_>) -> Vec<f64> {
    match layer {
        Layer::Line { points, .. }
        | Layer::Ahead { points, .. }
        | Layer::Step { points, .. }
        | Layer::Marks { points, .. } => points.iter().map(|(along, _)| *along).collect(),
        Layer::Band { points, .. } => points.iter().map(|(along, ..)| *along).collect(),
        Layer::Limit { .. } | Layer::Upright { .. } => Vec::new(),
    }
}

fn same(one: f64, other: f64) -> bool {
    one.total_cmp(&other).is_eq()
}

fn columns<'a>(layer: &'a Layer<'a>) -> Vec<Told<'a>> {
    match layer {
        // A layer without a name repeats another one's points for the eye alone.
        Layer::Line { name: "", .. } | Layer::Marks { name: "", .. } => Vec::new(),
        Layer::Line { name, points }
        | Layer::Ahead { name, points }
        | Layer::Step { name, points }
        | Layer::Marks { name, points } => {
            let at = move |place| points.iter().find(|(along, _)| same(*along, place)).and_then(|(_, up)| *up);
            vec![Told { name: (*name).to_owned(), at: Box::new(at) }]
        }
        Layer::Band { name, points } => {
            let low = move |place| points.iter().find(|(along, ..)| same(*along, place)).map(|(_, low, _)| *low);
            let high = move |place| points.iter().find(|(along, ..)| same(*along, place)).map(|(.., high)| *high);
            vec![
                Told { name: format!("{name}, low"), at: Box::new(low) },
                Told { name: format!("{name}, high"), at: Box::new(high) },
            ]
        }
        Layer::Limit { .. } | Layer::Upright { .. } => Vec::new(),
    }
}
