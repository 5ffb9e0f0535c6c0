//! A reading and its verdict: what it means, place by place, and striking it out or measuring again instead.

use advice::record::reading::{self, ReadingView};
use advice::sheet_band;
use advice::words::{quantity, range};
use axum::extract::{Path, State};
use axum::response::Response;
use maud::{Markup, html};
use store::Noted;

use super::form::back_to_order;
use crate::frame::chart::{Axis, Chart, Layer, Point, chart};
use crate::frame::notice::notice;
use crate::frame::number::fixed;
use crate::frame::verdict::verdict;
use crate::frame::{Head, Place, details};
use crate::pages::typed::Typed;
use crate::pages::{answer, cautions, changes};
use crate::serve::{AppState, Fault, Visit, beside};

/// `GET /drive/reading/{entry}`.
pub(super) async fn show(
    visit: Visit,
    State(state): State<AppState>,
    Path(id): Path<i64>,
    typed: Typed,
) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let none = move || {
        Fault::not_found(format!(
            "There is no reading {id} of this bike. They are listed under What was read, and what ran."
        ))
    };
    let judging = move || {
        let garage = state.garage();
        let noted = garage.noted(&bike.id)?;
        let noted = noted.iter().find(|noted| noted.entry.id == id).cloned().ok_or_else(none)?;
        let record = garage.record_at(&bike, state.clock().now().datetime())?;
        drop(garage);
        let view = reading::view(&record, &noted.entry);
        Ok::<_, Fault>((noted, view))
    };
    let (noted, view) = beside(judging).await??;
    let main = html! {
        @if typed.given("saved").is_some() { (changes::just_saved(&visit, noted.entry.change)) }
        @match &view {
            Ok(Some(view)) => (judged_part(view)),
            Ok(None) => { h1 { "A reading" } (notice("This entry is no reading; it stands in the history.")) },
            Err(gap) => { h1 { "A reading" } (answer::gap(gap)) },
        }
        (back_to_order(&typed, "button primary"))
        (standing(&visit, &noted))
        p class="buttons" {
            a class="button primary" href="/" { "Can I ride?" }
            a class="button" href="/drive/measure" { "Measure something else" }
            a class="button" href="/drive/history" { "What was read, and what ran" }
        }
    };
    Ok(visit.show(Head::new("A reading", Place::Drive), &main))
}

fn judged_part(view: &ReadingView) -> Markup {
    let sentence = format!("This reading alone: {}.", view.sentence);
    html! {
        (verdict(view.verdict, &sentence, &html! {}))
        (answer::reason_list_to(&view.reasons, clearing))
        @for text in &view.not_known { (notice(text)) }
        @if let Some(spot) = &view.tight_spot { (answer::fact_list(&spot.facts)) }
        @if let Some(slack) = &view.slack {
            @if let Some(adjust) = &slack.adjust {
                section id="adjust" { h2 { "Turn the adjusters" } (cautions::by_hand()) p class="lead" { (adjust.words) } p { a href={ "/drive?slack_mm=" (fixed(adjust.from_to_mm[0], 1)) "#adjust" } { "Round by round, with the axle's torque" } } }
            }
            h2 { "What is left in line" }
            (answer::fact_list(slack.facts.get(..4).unwrap_or(&slack.facts)))
        }
        @if let Some(table) = &view.table { (slack_chart(view)) (answer::table_of(table, |head| head.ends_with("tightest"))) }
        @if let Some(length) = &view.elongation {
            (answer::fact_list(&length.facts))
            (length_chart(view))
            (answer::table_of(&length.places, |_| false))
        }
        @if let Some(ahead) = &view.forecast {
            h2 { "How long does it last?" }
            p class="lead" { (ahead.sentence) }
            (details("The figures behind it", &html! { (answer::fact_list(&ahead.facts)) (answer::table_of(&ahead.readings, |_| false)) @for note in &ahead.notes { (notice(note)) } }))
        }
        (answer::fact_list(&view.facts))
    }
}

/// Where a reason is cleared: on this page, by measuring again, or in its place.
fn clearing(place: &str) -> String {
    match place {
        "drive" => "#again".to_owned(),
        other => format!("/{other}"),
    }
}

/// Slack place by place, with the band that it is held to.
fn slack_chart(view: &ReadingView) -> Markup {
    let Some(table) = view.table.as_ref().filter(|table| table.rows.len() > 1) else { return html! {} };
    let points: Vec<Point> =
        (1_u32..).zip(&table.rows).map(|(at, row)| (f64::from(at), row.get(1).and_then(|cell| cell.value))).collect();
    let mut layers = vec![Layer::Line { name: "slack", points: &points }, Layer::Marks { name: "", points: &points }];
    let band = view.slack.as_ref().map(|slack| slack.band.from_to_mm);
    let words = band.map(|[low, high]| {
        [("least", low), ("most", high)]
            .map(|(word, end)| format!("{word} {}", quantity(end, "mm", sheet_band::places([low, high]))))
    });
    if let (Some([low, high]), Some([least, most])) = (band, &words) {
        layers.push(Layer::Limit { words: least, at: low });
        layers.push(Layer::Limit { words: most, at: high });
    }
    let spot = view.tight_spot.as_ref();
    let finding = spot.map_or_else(String::new, |spot| {
        format!("From {}; set at the tightest.", range(spot.slack_min_mm, spot.slack_max_mm, "mm", 1))
    });
    chart(&Chart {
        id: "slack-places",
        title: "Slack round the loop.",
        finding: &finding,
        along: Axis { name: "place", unit: "", decimals: 0, reach: &[] },
        up: Axis { name: "slack", unit: "mm", decimals: 1, reach: &[] },
        layers: &layers,
    })
}

/// Elongation place by place, with its error and the limit.
fn length_chart(view: &ReadingView) -> Markup {
    let Some(length) = view.elongation.as_ref().filter(|length| length.elongation_pct.len() > 1 && !length.bad) else {
        return html! {};
    };
    let places: Vec<(f64, f64)> =
        (1_u32..).zip(&length.elongation_pct).map(|(at, pct)| (f64::from(at), *pct)).collect();
    let u95 = length.worst_u95_pct;
    let band: Vec<(f64, f64, f64)> = places.iter().map(|(at, pct)| (*at, pct - u95, pct + u95)).collect();
    let points: Vec<Point> = places.iter().map(|(at, pct)| (*at, Some(*pct))).collect();
    let limit = format!("limit {} %", fixed(length.limit.limit_pct, 1));
    let finding = format!(
        "Worst at place {}: {} ± {} %; limit {} %.",
        fixed(length.worst_place, 0),
        fixed(length.worst_pct, 2),
        fixed(u95, 2),
        fixed(length.limit.limit_pct, 1)
    );
    chart(&Chart {
        id: "length-places",
        title: "Elongation place by place.",
        finding: &finding,
        along: Axis { name: "place", unit: "", decimals: 0, reach: &[] },
        up: Axis { name: "longer than new", unit: "%", decimals: 2, reach: &[0.0] },
        layers: &[
            Layer::Band { name: "± error", points: &band },
            Layer::Marks { name: "reading", points: &points },
            Layer::Limit { words: &limit, at: length.limit.limit_pct },
        ],
    })
}

/// Whether the reading still stands, and the two ways of letting another one stand instead.
fn standing(visit: &Visit, noted: &Noted) -> Markup {
    let form = match noted.entry.fact.kind() {
        "axle" => "alignment",
        "check" => "teeth",
        other => other,
    };
    html! {
        section id="again" {
            h2 { "Does it stand?" }
            @if noted.undone {
                p { s { "This reading" } " is struck out: it stays in the history and counts for nothing." }
                (changes::bring_back(visit, noted.entry.change, "reading"))
            } @else if let Some(by) = noted.corrected_by {
                p { s { "This reading" } " was measured again: " a href={ "/drive/reading/" (by) } { "the one that counts" } "." }
            } @else {
                p { "Measured again, the new reading takes its place in the verdict; struck out, it counts for nothing. Both stay in the history." }
                p class="buttons" {
                    a class="button small" href={ "/drive/measure/" (form) "?instead_of=" (noted.entry.id) } { "Measure again instead of this one" }
                }
                (changes::take_back(visit, noted.entry.change, "Strike it out", "reading"))
            }
        }
    }
}
