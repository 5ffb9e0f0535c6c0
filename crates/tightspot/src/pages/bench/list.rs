//! `GET /jobs`: the open orders, what is due, and every job to choose from.

use advice::bench::due;
use advice::record::Record;
use axum::extract::State;
use axum::response::Response;
use jiff::civil::DateTime;
use maud::{Markup, html};
use upkeep::bike::Bike;
use upkeep::job::bench::{Bench, End};
use upkeep::job::handbook;

use crate::frame::{Head, Place, actions, details};
use crate::serve::{AppState, Fault, Visit};

/// The place.
pub(super) async fn show(State(state): State<AppState>, visit: Visit) -> Result<Response, Response> {
    let bike = visit.bike()?;
    let main = state.answered(bike, "jobs".to_owned(), |now| all(&state, bike, now))?;
    Ok(visit.show(Head::new("Jobs", Place::Jobs), &main))
}

fn all(state: &AppState, bike: &Bike, now: DateTime) -> Result<Markup, Fault> {
    let garage = state.garage();
    let (benches, log) = (garage.benches(&bike.id)?, garage.log(&bike.id)?);
    drop(garage);
    let record = Record::new(bike, &log, now);
    Ok(html! {
        h1 { "Jobs" }
        (open(&benches))
        (due_jobs(&record))
        (choose(bike))
        (ended(&benches))
    })
}

/// Titles of an order's jobs.
pub(super) fn titles(bench: &Bench) -> String {
    let title = |id: &&str| handbook::in_use().job(id).map_or_else(|| (*id).to_owned(), |file| file.job.title.clone());
    bench.jobs_now().iter().map(title).collect::<Vec<_>>().join("; ")
}

fn open(benches: &[Bench]) -> Markup {
    let open: Vec<&Bench> = benches.iter().filter(|bench| bench.end() == End::Open).collect();
    html! {
        @if !open.is_empty() {
            h2 { "On the bench now" }
            ul class="list" {
                @for bench in open {
                    li {
                        a href={ "/jobs/order/" (bench.id) } { "Go on: " (titles(bench)) }
                        p class="soft" {
                            "Order " (bench.id) ", begun " (bench.at.strftime("%Y-%m-%d %H:%M").to_string()) ", "
                            (advice::words::count(bench.ticks().len(), "step")) " done"
                        }
                    }
                }
            }
        }
    }
}

fn due_jobs(record: &Record<'_>) -> Markup {
    let due = due::jobs(record, handbook::in_use());
    let query: Vec<String> = due.iter().map(|due| format!("job={}", due.job)).collect();
    html! {
        h2 { "Due" }
        @if due.is_empty() {
            p { "Nothing that is recorded is due. What was never recorded is not known." }
        } @else {
            ul class="list" {
                @for one in &due {
                    li { a href={ "/jobs/start?job=" (one.job) } { (one.title) } p class="soft" { (one.why) } }
                }
            }
            p { a class="button" href={ "/jobs/start?" (query.join("&")) } { "Take what is due" } }
        }
    }
}

/// Every job by group, to be ticked; several make one order.
fn choose(bike: &Bike) -> Markup {
    html! {
        h2 { "Choose jobs" }
        p { "Several jobs make one order: each thing comes off once." }
        p { a class="button" href="/jobs/plan" { "Plan a change of gearing" } }
        form method="get" action="/jobs/start" {
            @for group in groups() {
                (details(group, &html! {
                    @for file in handbook::in_use().jobs().iter().filter(|file| file.job.group == group) {
                        div class="option" {
                            input id={ "job-" (file.job.id) } type="checkbox" name="job" value=(file.job.id);
                            label for={ "job-" (file.job.id) } { (file.job.title) }
                        }
                    }
                }))
            }
            (actions(&html! { button type="submit" class="button primary" { "Plan the work for " (bike.name) } }))
        }
    }
}

/// The groups in the order in which the library first names them.
fn groups() -> Vec<&'static str> {
    let mut groups: Vec<&str> = Vec::new();
    for file in handbook::in_use().jobs() {
        if !groups.contains(&file.job.group.as_str()) {
            groups.push(&file.job.group);
        }
    }
    groups
}

fn ended(benches: &[Bench]) -> Markup {
    let ended: Vec<&Bench> = benches.iter().rev().filter(|bench| bench.end() != End::Open).take(10).collect();
    html! {
        @if !ended.is_empty() {
            h2 { "Done before" }
            ul class="list" {
                @for bench in ended {
                    li {
                        a href={ "/jobs/order/" (bench.id) "/figures" } { (titles(bench)) }
                        p class="soft" { "Order " (bench.id) ", begun " (bench.at.date().to_string()) }
                    }
                }
            }
        }
    }
}
