//! Choosing: the merged order before it is begun, what is cheap beside it, what the manual still lacks, what the shelf has.

use std::sync::Arc;

use advice::bench::offer;
use advice::plan::{self, PlanView, Wish};
use advice::{Gap, Setup};
use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use upkeep::bike::Bike;
use upkeep::job::bench::Manual;
use upkeep::job::handbook;
use upkeep::record::Log;

use super::desk::not_written;
use super::gather::in_case;
use super::order::offer_words;
use crate::asked::Door;
use crate::frame::field::{Choice, Field, choice};
use crate::frame::{Head, Place, actions, details};
use crate::pages::answer::{fact_list, gap as gap_of, reason_list, table_of};
use crate::pages::typed::Typed;
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

/// The counts of another setup.
const COUNTS: [(&str, &str); 3] = [("front_teeth", "Front teeth"), ("rear_teeth", "Rear teeth"), ("links", "Links")];

/// What was chosen: jobs, answers, the setup wanted.
struct Chosen {
    jobs: Vec<String>,
    choices: Vec<(String, String)>,
    setup: Setup,
    typed: Typed,
}

impl Chosen {
    fn of(bike: &Bike, typed: Typed) -> Result<Self, Gap> {
        let mut jobs: Vec<String> = Vec::new();
        for job in typed.all("job").filter(|job| !job.is_empty()) {
            if !jobs.iter().any(|known| known == job) {
                jobs.push(job.to_owned());
            }
        }
        let choices = typed.texts().iter().filter(|(_, value)| !value.is_empty());
        let choices =
            choices.filter_map(|(name, value)| Some((name.strip_prefix("choice-")?.to_owned(), value.clone())));
        let choices = choices.collect();
        let mut door = Door::default();
        let [front, rear, links] = COUNTS.map(|(name, _)| typed.given(name));
        let setup = door.teeth(Setup::fitted(bike)?, front, rear, links);
        Ok(Self { jobs, choices, setup, typed: typed.faulty(door.faults) })
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
    fn of(state: &AppState, bike: &Bike) -> Result<Self, Fault> {
        let garage = state.garage();
        let (manual, log) = (garage.store().manual(&bike.id)?, garage.log(&bike.id)?);
        let stock = Stock::of(&garage, bike, state.clock().now().datetime())?;
        Ok(Self { bike: bike.clone(), manual, log, stock })
    }
}

/// `GET /jobs/start`.
pub(super) async fn show(State(state): State<AppState>, visit: Visit, typed: Typed) -> Result<Response, Response> {
    let known = Known::of(&state, visit.bike()?)?;
    Ok(preview(&visit, &known, typed))
}

fn preview(visit: &Visit, known: &Known, typed: Typed) -> Response {
    let headed = |answer: &Markup, form: &Markup| html! { h1 { (HEAD.title) } (answer) (form) };
    let none = html! {};
    let chosen = match Chosen::of(&known.bike, typed) {
        Ok(chosen) => chosen,
        Err(gap) => return visit.show(HEAD, &headed(&gap_of(&gap), &none)),
    };
    if chosen.jobs.is_empty() {
        let main = html! {
            p { "No job is chosen yet." }
            p { a class="button primary" href="/jobs" { "Choose jobs" } }
        };
        return visit.show(HEAD, &headed(&main, &none));
    }
    if chosen.typed.is_faulty() {
        let main = html! { (chosen.typed.not_answered()) (headed(&none, &form(known, &chosen, None))) };
        return visit.show_faults(HEAD, &main);
    }
    match plan::view(&known.bike, chosen.setup, &chosen.wish(known.manual.clone())) {
        Ok(view) => visit.show(HEAD, &page(visit, known, &chosen, &view)),
        Err(gap) => {
            let main = headed(&gap_of(&gap), &form(known, &chosen, None));
            if gap.missing { visit.show(HEAD, &main) } else { visit.show_faults(HEAD, &main) }
        }
    }
}

fn page(visit: &Visit, known: &Known, chosen: &Chosen, view: &PlanView) -> Markup {
    html! {
        h1 { (HEAD.title) }
        p { (view.jobs.iter().map(|(_, title)| title.as_str()).collect::<Vec<_>>().join("; ")) ", " (view.setup) ": " (advice::words::count(view.steps.len(), "step")) ", each thing off once." }
        (fact_list(&view.facts))
        (reason_list(&view.reasons))
        @if !view.reasons.is_empty() { p { "You can begin without them; each step that needs one stops there and asks for it." } }
        form method="post" action="/jobs/start" {
            (visit.form_key_of("start"))
            @for job in &chosen.jobs { input type="hidden" name="job" value=(job); }
            @for (key, value) in &chosen.choices { input type="hidden" name={ "choice-" (key) } value=(value); }
            @for (name, _) in COUNTS { input type="hidden" name=(name) value=(chosen.typed.text(name)); }
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
    let jobs: Vec<&str> = chosen.jobs.iter().map(String::as_str).collect();
    let answers = plan::answers(&known.bike, &chosen.wish(Vec::new()));
    let offers =
        view.and_then(|_| offer::view(handbook::in_use(), &jobs, &answers, &known.log).ok()).unwrap_or_default();
    let counts = html! {
        @for (name, label) in COUNTS { (chosen.typed.field(Field::whole(name, label, "").optional())) }
    };
    html! {
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
            (chosen.typed.unfolding("Another pair or chain", &COUNTS.map(|(name, _)| name), &counts))
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
    let known = Known::of(state, visit.bike()?)?;
    let again = || preview(visit, &known, Typed::posted(posted));
    let chosen = Chosen::of(&known.bike, Typed::posted(posted)).map_err(|_| again())?;
    if chosen.typed.is_faulty() || chosen.jobs.is_empty() {
        return Err(again());
    }
    let wish = chosen.wish(known.manual.clone());
    let now = state.clock().now();
    let (new, facts) = workbench::begun(&known.bike, chosen.setup, &wish, now.datetime()).map_err(|_| again())?;
    let post = posted.at(&now);
    let id = state.writing().store_mut().begin_bench(&known.bike.id, &new, &facts, &post);
    let id = id.map_err(not_written)?;
    Ok(Redirect::to(&format!("/jobs/order/{id}/gather")).into_response())
}
