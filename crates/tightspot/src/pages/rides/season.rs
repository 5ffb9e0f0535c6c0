//! A season on its way in: how far it is, what became of each file by name, and the button that stops it.

use axum::extract::{Path, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};

use super::batch::{Batch, Became, Done, Seen};
use super::import::HEAD;
use crate::frame::table::{Column, Row, table};
use crate::serve::{AppState, Fault, Posted, Visit};

/// The part that asks for itself while files are being read.
const PART: &str = "season";
/// How often it does, ms.
const AGAIN_MS: &str = "700";

/// The address of a batch.
pub(super) fn address(name: &str) -> String {
    format!("/rides/import/{name}")
}

/// `GET /rides/import/{name}`.
pub(super) async fn show(visit: Visit, Path(name): Path<String>) -> Result<Response, Response> {
    let batch = Batch::named(&name).ok_or_else(forgotten)?;
    let seen = batch.seen();
    let part = part(&visit, &name, &seen);
    if visit.wants(PART) {
        return Ok(visit.fragment(part));
    }
    Ok(visit.show(HEAD, &html! { h1 { "Bring in rides" } (part) }))
}

/// `POST /rides/import/stop`.
pub(super) async fn stop(State(state): State<AppState>, posted: Posted) -> Response {
    let name = posted.text("batch").to_owned();
    let stopped = async {
        match Batch::named(&name) {
            Some(batch) => {
                batch.stop();
                Redirect::to(&address(&name)).into_response()
            }
            None => forgotten().into_response(),
        }
    };
    state.once().run(&posted, stopped).await
}

fn forgotten() -> Fault {
    Fault::not_found(
        "Of that sending nothing is known any more: the program was started anew, or many others came after it. \
         What was kept stands under Rides.",
    )
}

fn part(visit: &Visit, name: &str, seen: &Seen) -> Markup {
    let (done, all) = (seen.done.len(), seen.all);
    let over = seen.is_over();
    html! {
        div id=(PART) data-said=(sentence(seen)) data-again=[(!over).then_some(AGAIN_MS)] {
            p class="lead" { (sentence(seen)) }
            @if !over {
                p {
                    label for="progress" { "Read: " (done) " of " (all) }
                    progress id="progress" max=(all) value=(done) {}
                }
                div class="buttons" {
                    form method="post" action="/rides/import/stop" {
                        (visit.form_key())
                        input type="hidden" name="batch" value=(name);
                        button id="stop" type="submit" class="button" disabled[seen.stopping] { "Stop after this file" }
                    }
                    a id="look" class="button" href=(address(name)) { "Look again" }
                }
            }
            (troubles(&seen.done))
            (files(&seen.done))
            @if over {
                p class="buttons" {
                    a class="button primary" href="/gearing?ride=several" { "Which pair for ground like these?" }
                    a class="button" href="/rides" { "All rides" }
                    a class="button" href="/rides/import" { "Bring in more" }
                }
            }
        }
    }
}

fn counted(done: &[Done], is: impl Fn(&Became) -> bool) -> usize {
    done.iter().filter(|one| is(&one.became)).count()
}

fn sentence(seen: &Seen) -> String {
    let done = &seen.done;
    let kept = counted(done, |became| matches!(became, Became::Kept(_)));
    let there = counted(done, |became| matches!(became, Became::There(_)));
    let bad = counted(done, |became| matches!(became, Became::Bad(_)));
    let unread = counted(done, |became| matches!(became, Became::Unread(_)));
    let left = match (unread, seen.is_over()) {
        (0, true) => String::new(),
        (unread, true) => format!(", {unread} not read"),
        (_, false) => format!(", {} still to read", seen.all.saturating_sub(done.len())),
    };
    format!("{kept} of {} kept, {there} there already, {bad} bad{left}.", seen.all)
}

/// What cannot be used, by name, with line and reason.
fn troubles(done: &[Done]) -> Markup {
    let bad: Vec<(&str, &str)> = done
        .iter()
        .filter_map(|one| match &one.became {
            Became::Bad(why) => Some((one.file.as_str(), why.as_str())),
            Became::Unread(why) => Some((one.file.as_str(), *why)),
            Became::Kept(_) | Became::There(_) => None,
        })
        .collect();
    html! {
        @if !bad.is_empty() {
            h2 { "Not kept" }
            ul class="list" { @for (file, why) in bad { li { b { (file) } ": " (why) } } }
        }
    }
}

/// What was kept, with what the reader noticed.
fn files(done: &[Done]) -> Markup {
    let row = |one: &Done| {
        let (words, id) = match one.became {
            Became::Kept(id) => ("kept", id),
            Became::There(id) => ("there already", id),
            Became::Bad(_) | Became::Unread(_) => return None,
        };
        Some(Row::of([
            html! { a class="in-table" href={ "/rides/" (id) } { (one.file) } },
            html! { (words) },
            html! { @if one.noticed.is_empty() { "–" } @else { (one.noticed.join(" ")) } },
        ]))
    };
    let rows: Vec<Row> = done.iter().filter_map(row).collect();
    let columns = [Column::words("File"), Column::words("Ride"), Column::words("Noticed while reading")];
    html! { @if !rows.is_empty() { (table("kept", "Rides kept", &columns, &rows)) } }
}
