//! A plan for the bench: what to do, in which order, to which figure; of a change or of named jobs, for this bike.

use advice::plan::{self, Caution, PlanView, Step, Wish};
use axum::extract::{Query, State};
use axum::http::Uri;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::get;
use maud::{Markup, html};
use upkeep::bike::Bike;
use upkeep::job::bench::Manual;
use upkeep::job::handbook::in_use;

use super::answer::{blocks, gap};
use crate::asked::{Door, Faulty, fitted};
use crate::frame::drawing::picture;
use crate::frame::field::{Fault as FieldFault, Field, Room, fault_summary, field, select};
use crate::frame::notice::{Weight, caution};
use crate::frame::{Head, Place, actions, details};
use crate::serve::{AppState, Fault, Page, Visit};
use crate::sheet::{self, Paper};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::new("/jobs/plan", "A plan for the bench", || get(show)).at(visits),
    Page::target("/jobs/plan.pdf", || get(print)),
];

fn visits(_: &AppState) -> Vec<String> {
    [
        "/jobs/plan",
        "/jobs/plan?rear_teeth=50",
        "/jobs/plan?job=final-drive-set",
        "/jobs/plan?rear_teeth=abc",
        "/jobs/plan?job=none",
    ]
    .map(str::to_owned)
    .to_vec()
}

/// What was typed.
pub(super) struct Typed {
    job: String,
    front: String,
    rear: String,
    links: String,
    retention: String,
    by: String,
}

impl Typed {
    pub(super) fn of(query: &[(String, String)]) -> Self {
        let text = |name: &str| {
            query.iter().find(|(known, _)| known == name).map(|(_, text)| text.clone()).unwrap_or_default()
        };
        Self {
            job: text("job"),
            front: text("front_teeth"),
            rear: text("rear_teeth"),
            links: text("links"),
            retention: text("front_retention"),
            by: text("by"),
        }
    }

    /// Whether nothing is wished: neither job nor setup nor answer.
    pub(super) fn says_nothing(&self) -> bool {
        [&self.job, &self.front, &self.rear, &self.links, &self.retention].iter().all(|text| text.trim().is_empty())
    }
}

async fn show(
    State(state): State<AppState>,
    visit: Visit,
    Query(query): Query<Vec<(String, String)>>,
) -> Result<Response, Fault> {
    planned(&state, &visit, &query).await
}

/// The plan as a sheet to print; what cannot be planned leads back to the form, which says why.
async fn print(
    State(state): State<AppState>,
    visit: Visit,
    uri: Uri,
    Query(query): Query<Vec<(String, String)>>,
) -> Result<Response, Fault> {
    let bike = match visit.bike() {
        Ok(bike) => bike.clone(),
        Err(page) => return Ok(page),
    };
    let paper = query.iter().find(|(name, _)| name == "paper").map_or("", |(_, text)| text.as_str());
    let back = || Redirect::to(&format!("/jobs/plan?{}", uri.query().unwrap_or_default())).into_response();
    let (Ok((setup, wish)), Some(paper)) =
        (wanted(&bike, &Typed::of(&query), manual(&state, &bike)?), Paper::named(paper))
    else {
        return Ok(back());
    };
    let day = state.clock().now().date();
    let work = move || Some(plan::view(&bike, setup, &wish).ok().map(|view| sheet::pdf(&bike, &view, day, paper)));
    let made = crate::serve::beside(work).await.map_err(|cause| Fault::broken(&cause))?.flatten();
    match made {
        None => Ok(back()),
        Some(Ok(pdf)) => Ok(file(&format!("bench-{day}"), pdf)),
        Some(Err(_)) => Err(Fault::broken(&"the sheet could not be made")),
    }
}

/// A sheet as a file of a name.
pub(super) fn file(name: &str, pdf: Vec<u8>) -> Response {
    let name = format!("attachment; filename=\"{name}.pdf\"");
    ([(CONTENT_TYPE, "application/pdf".to_owned()), (CONTENT_DISPOSITION, name)], pdf).into_response()
}

/// Plans what was asked and shows it, or the form with its faults.
async fn planned(state: &AppState, visit: &Visit, query: &[(String, String)]) -> Result<Response, Fault> {
    let (place, title) = (Place::Jobs, "A plan for the bench");
    let bike = match visit.bike() {
        Ok(bike) => bike.clone(),
        Err(page) => return Ok(page),
    };
    let typed = Typed::of(query);
    let wanted = wanted(&bike, &typed, manual(state, &bike)?);
    let head = Head::new(title, place);
    let (setup, wish) = match wanted {
        Ok(wanted) => wanted,
        Err(faults) => {
            let main = html! { h1 { (title) } (form(&typed, place, &faults)) };
            return Ok(visit.show_faults(head, &main));
        }
    };
    let work = move || plan::view(&bike, setup, &wish);
    let view = crate::serve::beside(work).await.map_err(|cause| Fault::broken(&cause))?;
    Ok(match view {
        Ok(view) => {
            visit.show(head, &html! { h1 { (title) } (on_paper(&typed)) (plan_page(&view)) (form(&typed, place, &[])) })
        }
        Err(missing) if missing.missing => {
            visit.show(head, &html! { h1 { (title) } (gap(&missing)) (form(&typed, place, &[])) })
        }
        Err(wrong) => {
            let field = ["job", "links"].into_iter().find(|name| *name == wrong.field).unwrap_or("job");
            let faults = [Faulty { field, text: wrong.text }];
            visit.show_faults(head, &html! { h1 { (title) } (form(&typed, place, &faults)) })
        }
    })
}

/// What the rider typed of the manual.
fn manual(state: &AppState, bike: &Bike) -> Result<Vec<Manual>, Fault> {
    state.garage().store().manual(&bike.id).map_err(|why| Fault::broken(&why))
}

/// The setup and wish of what was typed.
///
/// # Errors
/// Every field at fault.
pub(super) fn wanted(bike: &Bike, typed: &Typed, manual: Vec<Manual>) -> Result<(advice::Setup, Wish), Vec<Faulty>> {
    let fitted = fitted(bike).map_err(|gap| vec![Faulty { field: "front_teeth", text: gap.text }])?;
    let mut door = Door::default();
    let setup = door.teeth(fitted, Some(&typed.front), Some(&typed.rear), Some(&typed.links));
    if !door.faults.is_empty() {
        return Err(door.faults);
    }
    let jobs = if typed.job.is_empty() { Vec::new() } else { vec![typed.job.clone()] };
    let choices = match typed.retention.as_str() {
        "" => Vec::new(),
        word => vec![("front-retention".to_owned(), word.to_owned())],
    };
    Ok((setup, Wish { jobs, choices, manual }))
}

/// The same plan as a sheet to print.
fn on_paper(typed: &Typed) -> Markup {
    let asked: Vec<String> = [
        ("job", &typed.job),
        ("front_teeth", &typed.front),
        ("rear_teeth", &typed.rear),
        ("links", &typed.links),
        ("front_retention", &typed.retention),
    ]
    .into_iter()
    .filter(|(_, text)| !text.is_empty())
    .map(|(name, text)| format!("{name}={}", text.trim()))
    .collect();
    let address = |paper: &str| format!("/jobs/plan.pdf?paper={paper}&{}", asked.join("&"));
    html! {
        p {
            "On paper, to work without the phone: "
            a href=(address("a4")) { "sheet on A4 (PDF)" } ", " a href=(address("letter")) { "sheet on Letter (PDF)" } "."
        }
    }
}

fn plan_page(view: &PlanView) -> Markup {
    html! {
        (blocks(&view.brief()[1..]))
        p { strong { "Consumables: " } (view.consumables.join("; ")) }
        p { strong { "Tools: " } (view.tools.join("; ")) }
        (details("What the plan rests on", &html! {
            dl class="pairs" { @for (ask, answer) in &view.choices { dt { (ask) } dd { (answer) } } }
        }))
        h2 { "Read before you start" }
        @for stop in &view.stops { (caution_of(stop)) }
        h2 { "Steps" }
        ol class="steps" { @for step in &view.steps { (step_of(view, step)) } }
        h2 { "Afterwards" }
        ul class="list" { @for due in &view.later { li { (due) } } }
        p { strong { (view.closing) } }
    }
}

/// How much a level of caution weighs.
pub(super) fn weight_of(level: &str) -> Weight {
    match level {
        "stop" => Weight::Stop,
        "warn" => Weight::Warn,
        _ => Weight::Note,
    }
}

/// A caution of a step.
pub(super) fn caution_of(shown: &Caution) -> Markup {
    let weight = weight_of(shown.level);
    let text = if shown.text.is_empty() { shown.hazard.clone() } else { format!("{}. {}", shown.hazard, shown.text) };
    caution(weight, &text)
}

/// One step: cautions before the hand moves, then what to do, the figures, the stop points.
fn step_of(view: &PlanView, step: &Step) -> Markup {
    html! {
        li class="step" id={ "step-" (step.number) } {
            h3 { (step.title) " " span class="soft" { (format!("{:.0} min, by {:.0} min", step.minutes_min, step.clock_min)) } }
            @for shown in &step.cautions { (caution_of(shown)) }
            @if !step.kit.is_empty() { p class="soft" { "Pick up: " (step.kit_letter) " " (step.kit) } }
            @if !step.brief.is_empty() { p { strong { (step.brief) } } }
            p { (step.text) }
            @for shown in view.pictures_of(step) {
                (details(&shown.title, &picture(shown, &format!("{}-{}", shown.id, step.number))))
            }
            @for figure in &step.figures { p class="step-figure" { strong { (figure) } } }
            @for stop in &step.stops {
                div class="stop-point" {
                    p { strong { "Check: " } (stop.prompt) @if !stop.accept.is_empty() { " — " (stop.accept) } }
                    @if !stop.waits_for.is_empty() { p { "Waits for the manual's figure: " (stop.waits_for) } }
                    @if !stop.why.is_empty() { p class="soft" { (stop.why) } }
                }
            }
        }
    }
}

/// The form to plan something else.
pub(super) fn form(typed: &Typed, place: Place, faults: &[Faulty]) -> Markup {
    let fault = |name: &str| faults.iter().find(|fault| fault.field == name).map_or("", |fault| fault.text.as_str());
    let count = |name: &'static str, label: &'static str, value: &str| {
        let one = Field::whole(name, label, "").fault(fault(name)).optional();
        field(&one.value(value))
    };
    let mut jobs: Vec<(&str, &str)> = vec![("", "what the change needs")];
    jobs.extend(in_use().jobs().iter().map(|file| (file.job.id.as_str(), file.job.title.as_str())));
    let retention =
        [("", "as on the bike sheet"), ("nut", "nut"), ("plate", "plate with bolts"), ("snap-ring", "snap ring")];
    let shown: Vec<FieldFault<'_>> =
        faults.iter().map(|fault| FieldFault { field: fault.field, text: &fault.text }).collect();
    html! {
        (fault_summary(&shown))
        h2 { "Plan something else" }
        form method="get" action=(if place == Place::Parts { "/parts" } else { "/jobs/plan" }) {
            (select(&Field::text("job", "Job").value(&typed.job).fault(fault("job")).optional(), &jobs))
            (count("front_teeth", "Front teeth", &typed.front))
            (count("rear_teeth", "Rear teeth", &typed.rear))
            (count("links", "Links", &typed.links))
            (select(&Field::text("front_retention", "Front sprocket held by").value(&typed.retention).fault(fault("front_retention")).optional(), &retention))
            @if place == Place::Parts {
                (field(&Field { room: Room::Twelve, ..Field::text("by", "Parts there by").hint("A day such as 2026-10-10; left empty, your next planned ride.").value(&typed.by).fault(fault("by")).optional() }))
            }
            (actions(&html! { button type="submit" class="button primary" { "Plan" } }))
        }
    }
}
