//! Choosing: the merged order before it is begun, what is cheap beside it, what the manual still lacks, what the shelf has.

use std::sync::Arc;

use advice::bench::offer;
use advice::plan::{self, PlanView, Wish};
use advice::{Gap, Setup};
use axum::extract::{Query, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::Post;
use upkeep::bike::Bike;
use upkeep::job::bench::Manual;
use upkeep::job::handbook;
use upkeep::record::Log;

use super::desk::not_written;
use super::gather::in_case;
use super::order::offer_words;
use crate::asked::{Door, Faulty, fitted};
use crate::frame::field::{Choice, Fault as FieldFault, Field, asking_faults, choice, field};
use crate::frame::{Head, Place, actions, details};
use crate::pages::answer::{fact_list, gap as gap_of, reason_list, table_of};
use crate::serve::{AppState, Fault, Posted, Visit};
use crate::shopping::Stock;
use crate::workbench;

const HEAD: Head<'static> = Head::new("A new work order", Place::Jobs);

pub(super) fn visits(_: &AppState) -> Vec<String> {
    [
        "",
        "?job=final-drive-set",
        "?job=final-drive-set&job=countershaft-seal&choice-front-retention=nut",
        "?job=none",
        "?job=gearbox-oil&rear_teeth=4x",
    ]
    .map(|query| format!("/jobs/start{query}"))
    .to_vec()
}

/// What was chosen: jobs, answers, the setup wanted.
struct Chosen {
    jobs: Vec<String>,
    choices: Vec<(String, String)>,
    typed: [String; 3],
    setup: Setup,
    faults: Vec<Faulty>,
}

impl Chosen {
    fn of(bike: &Bike, fields: &[(String, String)]) -> Result<Self, Gap> {
        let mut jobs: Vec<String> = Vec::new();
        for (_, job) in fields.iter().filter(|(name, job)| name == "job" && !job.is_empty()) {
            if !jobs.contains(job) {
                jobs.push(job.clone());
            }
        }
        let choices = fields.iter().filter(|(_, value)| !value.is_empty());
        let choices =
            choices.filter_map(|(name, value)| Some((name.strip_prefix("choice-")?.to_owned(), value.clone())));
        let text = |name: &str| {
            fields.iter().find(|(known, _)| known == name).map(|(_, text)| text.clone()).unwrap_or_default()
        };
        let typed = ["front_teeth", "rear_teeth", "links"].map(text);
        let mut door = Door::default();
        let setup = door.teeth(fitted(bike)?, Some(&typed[0]), Some(&typed[1]), Some(&typed[2]));
        Ok(Self { jobs, choices: choices.collect(), typed, setup, faults: door.faults })
    }

    fn wish(&self, manual: Vec<Manual>) -> Wish {
        Wish { jobs: self.jobs.clone(), choices: self.choices.clone(), manual }
    }
}

/// What a start is shown from.
struct Known {
    bike: Bike,
    manual: Vec<Manual>,
    log: Arc<Log>,
    stock: Stock,
}

impl Known {
    fn of(state: &AppState, visit: &Visit) -> Result<Self, Response> {
        let bike = visit.bike()?.clone();
        let garage = state.garage();
        let broken = |why: store::StoreError| Fault::broken(&why).into_response();
        let manual = garage.store().manual(&bike.id).map_err(broken)?;
        let log = garage.log(&bike.id).map_err(broken)?;
        let stock = Stock::of(&garage, &bike, state.clock().now().datetime()).map_err(broken)?;
        Ok(Self { bike, manual, log, stock })
    }
}

/// `GET /jobs/start`.
pub(super) async fn show(
    State(state): State<AppState>,
    visit: Visit,
    Query(query): Query<Vec<(String, String)>>,
) -> Result<Response, Response> {
    let known = Known::of(&state, &visit)?;
    Ok(preview(&visit, &known, &query))
}

fn preview(visit: &Visit, known: &Known, fields: &[(String, String)]) -> Response {
    let chosen = match Chosen::of(&known.bike, fields) {
        Ok(chosen) => chosen,
        Err(gap) => return visit.show(HEAD, &html! { h1 { "A new work order" } (gap_of(&gap)) }),
    };
    if chosen.jobs.is_empty() {
        let main = html! {
            h1 { "A new work order" }
            p { "No job is chosen yet." }
            p { a class="button primary" href="/jobs" { "Choose jobs" } }
        };
        return visit.show(HEAD, &main);
    }
    if !chosen.faults.is_empty() {
        return visit.show_faults(HEAD, &html! { h1 { "A new work order" } (form(known, &chosen, None)) });
    }
    match plan::view(&known.bike, chosen.setup, &chosen.wish(known.manual.clone())) {
        Ok(view) => visit.show(HEAD, &page(visit, known, &chosen, &view)),
        Err(gap) => {
            let main = html! { h1 { "A new work order" } (gap_of(&gap)) (form(known, &chosen, None)) };
            if gap.missing { visit.show(HEAD, &main) } else { visit.show_faults(HEAD, &main) }
        }
    }
}

fn page(visit: &Visit, known: &Known, chosen: &Chosen, view: &PlanView) -> Markup {
    html! {
        h1 { "A new work order" }
        p { (view.jobs.iter().map(|(_, title)| title.as_str()).collect::<Vec<_>>().join("; ")) ", " (view.setup) ": " (advice::words::count(view.steps.len(), "step")) ", each thing off once." }
        (fact_list(&view.facts))
        (reason_list(&view.reasons))
        @if !view.reasons.is_empty() { p { "You can begin without them; each step that needs one stops there and asks for it." } }
        form method="post" action="/jobs/start" {
            (visit.form_key_of("start"))
            @for job in &chosen.jobs { input type="hidden" name="job" value=(job); }
            @for (key, value) in &chosen.choices { input type="hidden" name={ "choice-" (key) } value=(value); }
            @for (name, text) in ["front_teeth", "rear_teeth", "links"].iter().zip(&chosen.typed) { input type="hidden" name=(name) value=(text); }
            (actions(&html! { button type="submit" class="button primary" { "Begin this order" } }))
        }
        (form(known, chosen, Some(view)))
        (details("The steps in order", &html! {
            ol class="list" { @for step in &view.steps { li { (step.title) span class="soft" { " " (format!("{:.0} min", step.minutes_min)) } } } }
        }))
        (lists(known, view))
    }
}

/// The choices, the offers and the setup, to plan again with.
fn form(known: &Known, chosen: &Chosen, view: Option<&PlanView>) -> Markup {
    let fault =
        |name: &str| chosen.faults.iter().find(|fault| fault.field == name).map_or("", |fault| fault.text.as_str());
    let faults: Vec<FieldFault<'_>> =
        chosen.faults.iter().map(|fault| FieldFault { field: fault.field, text: &fault.text }).collect();
    let jobs: Vec<&str> = chosen.jobs.iter().map(String::as_str).collect();
    let answers = plan::answers(&known.bike, &chosen.wish(Vec::new()));
    let offers =
        view.and_then(|_| offer::view(handbook::in_use(), &jobs, &answers, &known.log).ok()).unwrap_or_default();
    let count = |name: &'static str, label: &'static str, at: usize| {
        let one = Field::whole(name, label, "").value(&chosen.typed[at]).fault(fault(name));
        field(&one.optional())
    };
    html! {
        (asking_faults(&faults))
        h2 { "Change it" }
        form method="get" action="/jobs/start" {
            h3 { "Jobs" }
            @for job in &chosen.jobs { (tick_of(job, "in the order", true)) }
            @if !offers.is_empty() {
                h3 { "While it is open anyway" }
                @for one in offers.iter().filter(|one| one.named) { (tick_of(&one.job, &offer_words(one), false)) }
                @if offers.iter().any(|one| !one.named) {
                    (details("More that saves access", &html! {
                        @for one in offers.iter().filter(|one| !one.named) { (tick_of(&one.job, &offer_words(one), false)) }
                    }))
                }
            }
            (choices(chosen, &answers))
            (details("Another pair or chain", &html! {
                (count("front_teeth", "Front teeth", 0))
                (count("rear_teeth", "Rear teeth", 1))
                (count("links", "Links", 2))
            }))
            button type="submit" class="button" { "Plan again" }
        }
    }
}

fn tick_of(job: &str, more: &str, ticked: bool) -> Markup {
    let title = handbook::in_use().job(job).map_or(job, |file| file.job.title.as_str());
    html! {
        div class="option" {
            input id={ "job-" (job) } type="checkbox" name="job" value=(job) checked[ticked] aria-describedby={ "job-" (job) "-more" };
            label for={ "job-" (job) } { (title) }
            p id={ "job-" (job) "-more" } class="option-more" { (more) }
        }
    }
}

/// Every choice of the library, answered from the sheet or by its careful default where it has one.
fn choices(chosen: &Chosen, answers: &[(String, String)]) -> Markup {
    let all = &handbook::in_use().access().choice;
    let given = |key: &str| {
        let own = chosen.choices.iter().find(|(known, _)| known == key).map(|(_, value)| value.as_str());
        own.or_else(|| answers.iter().find(|(known, _)| known == key).map(|(_, value)| value.as_str()))
    };
    details(
        "What the order turns on",
        &html! {
            @for one in all {
                @let name = format!("choice-{}", one.key);
                @let options: Vec<(&str, &str, &str)> = one.values.iter().map(|value| (value.as_str(), value.as_str(), "")).collect();
                (choice(&Choice { name: &name, legend: &one.ask, hint: "", options: &options, chosen: given(&one.key).or(one.default.as_deref()).unwrap_or(""), fault: "" }))
            }
        },
    )
}

/// Parts against the shelf, what to have in case, consumables and tools.
fn lists(known: &Known, view: &PlanView) -> Markup {
    let listed = known.stock.of_plan(view, None);
    html! {
        h2 { "What it needs" }
        @match &listed {
            Ok(parts) => { (table_of(&parts.table, |_| false)) (table_of(&parts.consumables, |_| false)) (in_case(parts)) },
            Err(gap) => { (gap_of(gap)) (table_of(&view.parts, |_| false)) },
        }
        p { strong { "Tools: " } (view.tools.join("; ")) }
    }
}

/// `POST /jobs/start`.
pub(super) async fn begin(State(state): State<AppState>, visit: Visit, posted: Posted) -> Response {
    let save = async { begun(&state, &visit, &posted).unwrap_or_else(|refused| refused) };
    state.once().run(&posted, save).await
}

fn begun(state: &AppState, visit: &Visit, posted: &Posted) -> Result<Response, Response> {
    let known = Known::of(state, visit)?;
    let again = || preview(visit, &known, posted.fields());
    let chosen = Chosen::of(&known.bike, posted.fields()).map_err(|_| again())?;
    if !chosen.faults.is_empty() || chosen.jobs.is_empty() {
        return Err(again());
    }
    let wish = chosen.wish(known.manual.clone());
    let now = state.clock().now();
    let (new, facts) = workbench::begun(&known.bike, chosen.setup, &wish, now.datetime()).map_err(|_| again())?;
    let post = Post { now: now.timestamp(), key: Some(posted.key()) };
    let id = state.garage().store_mut().begin_bench(&known.bike.id, &new, &facts, &post);
    let id = id.map_err(|why| not_written(&why))?;
    Ok(Redirect::to(&format!("/jobs/order/{id}/gather")).into_response())
}
