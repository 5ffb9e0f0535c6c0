//! What was read and what ran: elongation over hours with its limit and the hours ahead, tight spots, sets and their hours.
//!
//! Layout: [`lists`] the whole of each list, page by page · here the picture and the newest of each.

mod lists;

#[cfg(test)]
mod tests;

use advice::Table;
use advice::record::trend::{Ahead, ChainLine, TrendView};
use advice::record::{forecast, sets, trend};
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use jiff::civil::DateTime;
use maud::{Markup, html};
use upkeep::bike::Bike;

use super::answer;
use crate::frame::chart::{Axis, Chart, Layer, Point, chart, chart_told_at};
use crate::frame::number::fixed;
use crate::frame::{Head, Place, details};
use crate::serve::{AppState, Fault, Page, Visit, beside};

/// This slice's pages.
pub(super) const PAGES: &[Page] = &[
    Page::list("/drive/history", HEAD.title, || get(show)),
    Page::list(lists::LENGTHS, "Every length reading", || get(lists::lengths)),
    Page::list(lists::SLACKS, "Every slack reading, and how uneven it was", || get(lists::slacks)),
    Page::list(lists::READINGS, "Every reading as it was written down", || get(lists::readings)),
];

const HEAD: Head<'static> = Head::new("What was read, and what ran", Place::Drive);
/// As many chains as the picture tells apart; those before them stand in the list.
const DRAWN: usize = 3;
/// As many lines of a list as stand beside the picture; all of them stand on the list's own pages.
const NEWEST: usize = 20;

/// `GET /drive/history`.
async fn show(visit: Visit, State(state): State<AppState>) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let work = move || state.answered(&bike, "what was read".to_owned(), |now| told(&state, &bike, now));
    let told = beside(work).await??;
    Ok(visit.show(HEAD, &told))
}

fn told(state: &AppState, bike: &Bike, now: DateTime) -> Result<Markup, Fault> {
    let garage = state.garage();
    let noted = garage.noted(&bike.id)?;
    let record = garage.record_at(bike, now)?;
    drop(garage);
    let trend = trend::newest(&record, NEWEST);
    let slacks = trend::slacks(&record);
    let ran = sets::all(&record).map(|ran| sets::table(&ran));
    let ahead = record.forecast();
    let grounds = forecast::grounds(&record).map(|(costs, _)| forecast::ground_table(&costs));
    Ok(html! {
        h1 { (HEAD.title) }
        @match &trend {
            Ok(trend) => { (curve(trend)) (newest(&trend.readings, trend::readings(&trend.chains), lists::LENGTHS, "length readings")) },
            Err(gap) => (answer::gap(gap)),
        }
        @if let Ok(ahead) = &ahead { p class="lead" { (ahead.sentence) } }
        @match &ran {
            Ok(table) if table.rows.is_empty() => p { "No chain or sprocket is recorded as fitted yet: hours of a set are known from the day it is." },
            Ok(table) => (answer::newest_rows(table, "chains and sprockets", "earlier-sets")),
            Err(gap) => (answer::gap(gap)),
        }
        @if let Ok(table) = &grounds { (answer::table_of(table, |_| false)) }
        @if let Ok(trend) = &trend {
            @if !trend.tight_spots.rows.is_empty() {
                (details("Slack readings, and how uneven they were", &html! {
                    (newest(&trend.tight_spots, slacks, lists::SLACKS, "slack readings"))
                    (lists::judged())
                }))
            }
        }
        (details("Every reading", &lists::newest(&noted)))
        p class="buttons" {
            a class="button primary" href="/drive/measure" { "Measure" }
            a class="button" href="/history" { "What was changed, with undo" }
            a class="button" href="/rides/season" { "Season" }
        }
    })
}

/// The newest lines of a list, and the way to all of them where there are more.
fn newest(table: &Table, all: usize, address: &str, what: &str) -> Markup {
    let earlier = if address == lists::SLACKS { "earlier-slacks" } else { "earlier-lengths" };
    html! {
        (answer::newest_rows(table, what, earlier))
        @if all > NEWEST { p { a class="in-table" href=(address) { "All " (all) " " (what) ", page by page" } } }
    }
}

fn curve(trend: &TrendView) -> Markup {
    if trend.chains.is_empty() {
        return html! { p { "No length reading yet. " a href="/drive/measure/elongation" { "Measure the chain, 5 min" } "." } };
    }
    let earlier = trend.chains.len().saturating_sub(DRAWN);
    let lines: Vec<Curve> = trend.chains.iter().skip(earlier).map(Curve::of).collect();
    let title = if earlier == 0 {
        "Elongation at the worst place, over total hours.".to_owned()
    } else {
        format!("Elongation at the worst place, over total hours: the last {DRAWN} of {} chains.", trend.chains.len())
    };
    let begins = lines.iter().flat_map(|line| &line.points).map(|(at, _)| *at).fold(f64::INFINITY, f64::min);
    let swaps = trend.swaps.iter().filter(|(at, _)| earlier == 0 || *at >= begins);
    let limit = trend.limit.limit_pct;
    let limit_words = format!("limit {} %", fixed(limit, 1));
    let ends = trend.ahead.as_ref().map(|ahead| ends(ahead, limit)).unwrap_or_default();
    let mut layers: Vec<Layer<'_>> = Vec::new();
    layers.extend(lines.iter().map(|line| Layer::Band { name: &line.error, points: &line.band }));
    layers.extend(lines.iter().map(|line| Layer::Line { name: "", points: &line.points }));
    layers.extend(lines.iter().map(|line| Layer::Marks { name: &line.name, points: &line.points }));
    layers.extend(ends.iter().map(|(name, points)| Layer::Ahead { name, points }));
    layers.push(Layer::Limit { words: &limit_words, at: limit });
    layers.extend(swaps.map(|(at, words)| Layer::Upright { words, at: *at }));
    let wear = Chart {
        id: "wear",
        title: &title,
        finding: &trend.finding,
        along: Axis { name: "total hours", unit: "h", decimals: 1, reach: &[] },
        up: Axis { name: "longer than new", unit: "%", decimals: 2, reach: &[0.0] },
        layers: &layers,
    };
    if trend::readings(&trend.chains) > NEWEST { chart_told_at(&wear, lists::LENGTHS) } else { chart(&wear) }
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
