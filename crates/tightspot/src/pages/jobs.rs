//! A plan for the bench: what to do, in which order, to which figure; of a change or of named jobs, for this bike.

use advice::plan::{self, PlanView, Step, Wish};
use advice::{Gap, Setup};
use axum::extract::State;
use axum::http::Uri;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::get;
use maud::{Markup, html};
use upkeep::bike::Bike;
use upkeep::job::bench::Manual;
use upkeep::job::handbook::in_use;

use super::answer::{blocks, gap};
use super::cautions;
use super::typed::Typed;
use crate::asked::{Door, Faulty};
use crate::frame::drawing::picture;
use crate::frame::field::{Field, Room};
use crate::frame::verdict::{Verdict, tag_saying};
use crate::frame::{Head, Place, actions, details, folded};
use crate::serve::{AppState, Fault, Page, Visit, beside, encoded};
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

/// What can be wished: a job, a setup, how the front sprocket is held.
pub(super) const WISHES: [&str; 5] = ["job", "front_teeth", "rear_teeth", "links", "front_retention"];
const HEAD: Head<'static> = Head::new("A plan for the bench", Place::Jobs);

/// `GET /jobs/plan`: plans what was asked and shows it, or the form with its faults.
async fn show(State(state): State<AppState>, visit: Visit, mut typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let planned = match wanted(&bike, &typed, manual(&state, &bike)?) {
        Ok((setup, wish)) => Some(beside(move || plan::view(&bike, setup, &wish)).await?),
        Err(faults) => {
            typed.take(faults);
            None
        }
    };
    let answer = match planned {
        Some(Ok(view)) => html! { (ways(&typed, &view)) (plan_page(&view)) },
        Some(Err(missing)) if missing.missing => gap(&missing),
        Some(Err(wrong)) => {
            typed.fault_at(at_fault(&wrong), wrong.text);
            html! {}
        }
        None => html! {},
    };
    let main = html! { (typed.not_answered()) h1 { (HEAD.title) } (answer) (form(&typed, Place::Jobs)) };
    Ok(typed.answer(&visit, HEAD, &main))
}

/// The field at which it stands why a wish cannot be planned.
pub(super) fn at_fault(wrong: &Gap) -> &'static str {
    if wrong.field == "links" { "links" } else { "job" }
}

/// The plan as a sheet to print; what cannot be planned leads back to the form, which says why.
async fn print(State(state): State<AppState>, visit: Visit, uri: Uri, typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let back = || Redirect::to(&format!("/jobs/plan?{}", uri.query().unwrap_or_default())).into_response();
    let (Ok((setup, wish)), Some(paper)) =
        (wanted(&bike, &typed, manual(&state, &bike)?), Paper::named(typed.text("paper")))
    else {
        return Ok(back());
    };
    let day = state.clock().now().date();
    let work = move || plan::view(&bike, setup, &wish).ok().map(|view| sheet::pdf(&bike, &view, day, paper));
    match beside(work).await? {
        None => Ok(back()),
        Some(pdf) => Ok(file(&format!("bench-{day}"), pdf.map_err(Fault::from)?)),
    }
}

/// A sheet as a file of a name.
pub(super) fn file(name: &str, pdf: Vec<u8>) -> Response {
    let name = format!("attachment; filename=\"{name}.pdf\"");
    ([(CONTENT_TYPE, "application/pdf".to_owned()), (CONTENT_DISPOSITION, name)], pdf).into_response()
}

/// What the rider typed of the manual.
fn manual(state: &AppState, bike: &Bike) -> Result<Vec<Manual>, Fault> {
    Ok(state.garage().manual(&bike.id)?.to_vec())
}

/// The setup and wish of what was typed.
///
/// # Errors
/// Every field at fault.
pub(super) fn wanted(bike: &Bike, typed: &Typed, manual: Vec<Manual>) -> Result<(Setup, Wish), Vec<Faulty>> {
    let fitted = Setup::fitted(bike).map_err(|gap| vec![Faulty { field: "front_teeth", text: gap.text }])?;
    let mut door = Door::default();
    let [front, rear, links] = ["front_teeth", "rear_teeth", "links"].map(|name| typed.given(name));
    let setup = door.teeth(fitted, front, rear, links);
    if !door.faults.is_empty() {
        return Err(door.faults);
    }
    let said = |name: &str| typed.given(name).filter(|text| !text.is_empty()).map(str::to_owned);
    let jobs = said("job").into_iter().collect();
    let choices = said("front_retention").map(|word| ("front-retention".to_owned(), word)).into_iter().collect();
    Ok((setup, Wish { jobs, choices, manual }))
}

/// What was asked, as it stands in an address behind something.
fn asked(typed: &Typed, names: &[&str]) -> String {
    let asked = names.iter().map(|name| (name, typed.text(name).trim())).filter(|(_, text)| !text.is_empty());
    asked.map(|(name, text)| format!("&{name}={}", encoded(text))).collect()
}

/// The ways from a plan: begun as a work order, step by step, or on paper.
fn ways(typed: &Typed, view: &PlanView) -> Markup {
    let paper = asked(typed, &WISHES);
    let address = |size: &str| format!("/jobs/plan.pdf?paper={size}{paper}");
    let jobs: Vec<String> = view.jobs.iter().map(|(job, _)| format!("job={}", encoded(job))).collect();
    let retention = asked(typed, &["front_retention"]).replace("&front_retention", "&choice-front-retention");
    let order =
        format!("/jobs/start?{}{}{retention}", jobs.join("&"), asked(typed, &["front_teeth", "rear_teeth", "links"]));
    html! {
        p { a class="button" href=(order) { "Work through it, step by step" } }
        p {
            "On paper, to work without the phone: "
            a href=(address("a4")) { "sheet on A4 (PDF)" } ", " a href=(address("letter")) { "sheet on Letter (PDF)" } "."
        }
        ul class="jump" {
            @for (to, word) in parts_of(view) { li { a href={ "#" (to) } { (word) } } }
        }
    }
}

/// Where each part of a plan begins: on a phone it is many screens long.
fn parts_of(view: &PlanView) -> Vec<(&'static str, String)> {
    let mut all = vec![
        ("read", format!("{} to read first", view.stops.len())),
        ("steps", format!("{} steps", view.steps.len())),
        ("afterwards", "Afterwards".to_owned()),
        ("other", "Plan something else".to_owned()),
    ];
    if !view.parts.rows.is_empty() {
        all.insert(0, (view.parts.key, format!("{} parts to have", view.parts.rows.len())));
    }
    all
}

fn plan_page(view: &PlanView) -> Markup {
    html! {
        (blocks(&view.brief()[1..]))
        @if !view.consumables.is_empty() { p { strong { "Consumables: " } (view.consumables.join("; ")) } }
        (details(&format!("Tools: {} kits", view.tools.len()), &html! { ul { @for kit in &view.tools { li { (kit) } } } }))
        (details("What the plan rests on", &html! {
            dl class="pairs" { @for (ask, answer) in &view.choices { dt { (ask) } dd { (answer) } } }
        }))
        h2 id="read" { "Read before you start" }
        p { "What can hurt you in this work. Each opens here, and stands in full at its step." }
        @for stop in &view.stops { (cautions::line(stop)) }
        h2 id="steps" { "Steps" }
        p { "Each opens to what to do, to which figure and where to stop." }
        ol class="steps" { @for step in &view.steps { (step_of(view, step)) } }
        h2 id="afterwards" { "Afterwards" }
        ul class="list" { @for due in &view.later { li { (due) } } }
        p { strong { (view.closing) } }
    }
}

/// One step as a line, which opens to the whole of it.
fn step_of(view: &PlanView, step: &Step) -> Markup {
    let waits = step.stops.iter().any(|stop| !stop.waits_for.is_empty());
    let summary = html! {
        span {
            (step.number) ". " (step.title) " "
            span class="soft" { (format!("{:.0} min, by {:.0} min", step.minutes_min, step.clock_min)) }
            @if step.cautions.iter().any(|caution| caution.level == "stop") { " " (tag_saying(Verdict::Stop, "Stop")) }
            @if waits { " " (tag_saying(Verdict::Unknown, "figure missing")) }
        }
    };
    html! { li { (folded(Some(&format!("step-{}", step.number)), false, &summary, &inside(view, step))) } }
}

/// Cautions before the hand moves, then what to do, the figures, the stop points.
fn inside(view: &PlanView, step: &Step) -> Markup {
    html! {
        // Whoever opens this step may have opened none before: a stop stands in full at each.
        @for shown in &step.cautions {
            (cautions::of_step(view.stops.iter().find(|stop| stop.id == shown.id).unwrap_or(shown)))
        }
        @if !step.kit.is_empty() { p class="soft" { "Pick up: " (step.kit_letter) " " (step.kit) } }
        @if !step.brief.is_empty() { p { strong { (step.brief) } } }
        p { (step.text) }
        @for shown in view.pictures_of(step) {
            (details(&shown.title, &picture(shown, &format!("{}-{}", shown.id, step.number))))
        }
        @for figure in &step.figures { p { strong { (figure) } } }
        @for stop in &step.stops {
            div {
                p { strong { "Check: " } (stop.prompt) @if !stop.accept.is_empty() { " — " (stop.accept) } }
                @if !stop.waits_for.is_empty() { p { "Waits for the manual's figure: " (stop.waits_for) } }
                @if !stop.why.is_empty() { p class="soft" { (stop.why) } }
            }
        }
    }
}

/// The form to plan something else.
pub(super) fn form(typed: &Typed, place: Place) -> Markup {
    let count = |name: &'static str, label: &'static str| typed.field(Field::whole(name, label, "").optional());
    let mut jobs: Vec<(&str, &str)> = vec![("", "what the change needs")];
    jobs.extend(in_use().jobs().iter().map(|file| (file.job.id.as_str(), file.job.title.as_str())));
    let retention =
        [("", "as on the bike sheet"), ("nut", "nut"), ("plate", "plate with bolts"), ("snap-ring", "snap ring")];
    let by = Field::text("by", "Parts there by").hint("A day such as 2026-10-10; left empty, your next planned ride.");
    html! {
        h2 id="other" { "Plan something else" }
        form method="get" action=(if place == Place::Parts { "/parts" } else { "/jobs/plan" }) {
            (typed.select(Field::text("job", "Job").optional(), &jobs))
            (count("front_teeth", "Front teeth"))
            (count("rear_teeth", "Rear teeth"))
            (count("links", "Links"))
            (typed.select(Field::text("front_retention", "Front sprocket held by").optional(), &retention))
            @if place == Place::Parts { (typed.field(Field { room: Room::Twelve, ..by.optional() })) }
            (actions(&html! { button type="submit" class="button primary" { "Plan" } }))
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::serve::driven::{fetch, server, wait};

    #[test]
    fn each_step_is_a_line_that_says_its_time_its_stop_and_what_is_missing_and_can_be_led_into() {
        let page = wait(async { fetch(&server(), "/jobs/plan?job=final-drive-set").await });
        let lines: Vec<&str> = page.body.split("<li><details class=\"more\"><summary>").skip(1).collect();
        assert!(lines.len() > 30, "{} steps", lines.len());
        // The way to each part of it stands on top, and leads there.
        let jumps = page.body.split("<ul class=\"jump\">").nth(1).and_then(|rest| rest.split("</ul>").next());
        let jumps: Vec<&str> = jumps.expect("ways").split("href=\"#").skip(1).collect();
        assert_eq!(jumps.len(), 5);
        for jump in jumps {
            let to = jump.split('"').next().expect("a place");
            assert_eq!(page.body.matches(&format!("id=\"{to}\"")).count(), 1, "{to}");
        }
        for (number, line) in (1..).zip(&lines) {
            let (summary, inside) = line.split_once("</summary>").expect("a line");
            assert!(summary.contains(&format!("{number}. ")) && summary.contains(" min, by "), "{summary}");
            assert!(inside.starts_with(&format!("<div class=\"more-in\" id=\"step-{number}\">")), "step {number}");
            let stops = inside.contains("<div class=\"caution stop\"");
            assert_eq!(summary.contains("tag stop"), stops, "{number}: {summary}");
            let waits = inside.contains("Waits for the manual's figure");
            assert_eq!(summary.contains("figure missing"), waits, "{number}: {summary}");
            // Each can be opened alone, so no stop is only named in it.
            for stop in inside.split("<div class=\"caution stop\"").skip(1) {
                let words = stop.split("</p>").next().expect("its words");
                assert!(words.contains(". "), "step {number} only names its stop: {words}");
            }
        }
    }
}
