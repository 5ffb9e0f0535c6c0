//! What was read and what ran: elongation over hours with its limit and the hours ahead, tight spots, sets and their hours.

use advice::record::trend::{Ahead, ChainLine, TrendView};
use advice::record::{forecast, history, sets, trend};
use axum::extract::State;
use axum::response::{IntoResponse as _, Response};
use axum::routing::get;
use jiff::civil::DateTime;
use maud::{Markup, html};
use store::Noted;
use upkeep::bike::Bike;

use super::answer;
use crate::frame::chart::{Axis, Chart, Layer, Point, chart};
use crate::frame::number::fixed;
use crate::frame::{Head, Place, details};
use crate::serve::{AppState, Fault, Page, Visit};

/// This slice's pages.
pub(super) const PAGES: &[Page] = &[Page::new("/drive/history", "What was read, and what ran how long", || get(show))];

const HEAD: Head<'static> = Head::new("What was read", Place::Drive);
/// Kinds of fact that are readings of the drive.
const READINGS: [&str; 4] = ["slack", "elongation", "axle", "meter"];

/// `GET /drive/history`.
async fn show(visit: Visit, State(state): State<AppState>) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let work = move || state.answered(&bike, "what was read".to_owned(), |now| told(&state, &bike, now));
    let told = crate::serve::beside(work).await;
    let main = told.map_err(|cause| Fault::broken(&cause).into_response())?.map_err(|fault| fault.into_response())?;
    Ok(visit.show(HEAD, &main))
}

fn told(state: &AppState, bike: &Bike, now: DateTime) -> Result<Markup, Fault> {
    let garage = state.garage();
    let noted = garage.store().noted(&bike.id).map_err(|why| Fault::broken(&why))?;
    let record = garage.record_at(bike, now).map_err(|why| Fault::broken(&why.lines().join(" ")))?;
    drop(garage);
    let trend = trend::view(&record);
    let ran = sets::all(&record).map(|ran| sets::table(&ran));
    let ahead = forecast::view(&record);
    let grounds = forecast::grounds(&record).map(|(costs, _)| forecast::ground_table(&costs));
    Ok(html! {
        h1 { "What was read, and what ran" }
        @match &trend {
            Ok(trend) => { (curve(trend)) (answer::table_of(&trend.readings, |_| false)) },
            Err(gap) => (answer::gap(gap)),
        }
        @if let Ok(ahead) = &ahead { p class="lead" { (ahead.sentence) } }
        @match &ran {
            Ok(table) if table.rows.is_empty() => p { "No chain or sprocket is recorded as fitted yet: hours of a set are known from the day it is." },
            Ok(table) => (answer::table_of(table, |_| false)),
            Err(gap) => (answer::gap(gap)),
        }
        @if let Ok(table) = &grounds { (answer::table_of(table, |_| false)) }
        @if let Ok(trend) = &trend {
            @if !trend.tight_spots.rows.is_empty() {
                (answer::table_of(&trend.tight_spots, |_| false))
                p class="soft" { "Judged with the sprockets that the bike sheet has now." }
            }
        }
        (readings(&noted))
        p class="buttons" {
            a class="button primary" href="/drive/measure" { "Measure" }
            a class="button" href="/history" { "Every change, with undo" }
            a class="button" href="/rides/season" { "Season" }
        }
    })
}

fn curve(trend: &TrendView) -> Markup {
    if trend.chains.is_empty() {
        return html! { p { "No length reading yet. " a href="/drive/measure/elongation" { "Measure the chain, 5 min" } "." } };
    }
    let lines: Vec<Curve> = trend.chains.iter().map(Curve::of).collect();
    let limit = trend.limit.limit_pct;
    let limit_words = format!("limit {} %", fixed(limit, 1));
    let ends = trend.ahead.as_ref().map(|ahead| ends(ahead, limit)).unwrap_or_default();
    let mut layers: Vec<Layer<'_>> = Vec::new();
    layers.extend(lines.iter().map(|line| Layer::Band { name: &line.error, points: &line.band }));
    layers.extend(lines.iter().map(|line| Layer::Line { name: "", points: &line.points }));
    layers.extend(lines.iter().map(|line| Layer::Marks { name: &line.name, points: &line.points }));
    layers.extend(ends.iter().map(|(name, points)| Layer::Ahead { name, points }));
    layers.push(Layer::Limit { words: &limit_words, at: limit });
    layers.extend(trend.swaps.iter().map(|(at, words)| Layer::Upright { words, at: *at }));
    chart(&Chart {
        id: "wear",
        title: "Elongation at the worst place, over total hours.",
        finding: &trend.finding,
        along: Axis { name: "total hours", unit: "h", decimals: 1, reach: &[] },
        up: Axis { name: "longer than new", unit: "%", decimals: 2, reach: &[0.0] },
        layers: &layers,
    })
}

/// One chain's readings as the picture needs them.
struct Curve {
    name: String,
    error: String,
    points: Vec<Point>,
    band: Vec<(f64, f64, f64)>,
}

impl Curve {
    fn of(chain: &ChainLine) -> Self {
        let spots = chain.spots.iter();
        Self {
            name: chain.name.clone(),
            error: format!("{} ±", chain.name),
            points: spots.clone().map(|spot| (spot.total_h, Some(spot.worst_pct))).collect(),
            band: spots
                .map(|spot| (spot.total_h, spot.worst_pct - spot.u95_pct, spot.worst_pct + spot.u95_pct))
                .collect(),
        }
    }
}

/// From the last reading to the earliest and the latest hour at the limit.
fn ends(ahead: &Ahead, limit: f64) -> Vec<(&'static str, Vec<Point>)> {
    let [low, _, high] = ahead.at_limit_h;
    let line =
        |name, end: Option<f64>| end.map(|end| (name, vec![(ahead.from[0], Some(ahead.from[1])), (end, Some(limit))]));
    [line("earliest", low), line("latest", high)].into_iter().flatten().collect()
}

/// Every reading with its verdict's page; those struck out or measured again are struck through.
fn readings(noted: &[Noted]) -> Markup {
    let all: Vec<&Noted> = noted.iter().rev().filter(|noted| READINGS.contains(&noted.entry.fact.kind())).collect();
    let list = html! {
        ul class="list" {
            @for one in &all {
                @let words = history::words(&one.entry.fact);
                li {
                    a href={ "/drive/reading/" (one.entry.id) } { (one.entry.at.strftime("%Y-%m-%d %H:%M").to_string()) } ": "
                    @if one.undone { s { (words) } " (struck out)" }
                    @else if one.corrected_by.is_some() { s { (words) } " (measured again)" }
                    @else { (words) }
                }
            }
        }
    };
    html! {
        h2 { "Every reading" }
        @if all.is_empty() { p { "None yet." } }
        @else { (details(&format!("{} readings, newest first", all.len()), &list)) }
    }
}
