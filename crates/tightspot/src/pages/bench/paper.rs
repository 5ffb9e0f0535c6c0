//! Typing in from paper: every blank under its number, top to bottom, and all of it stored or none.

use advice::bench::step::blanks;
use advice::bench::take::{Trouble, TypedStep, take};
use advice::bench::{Desk, Laid};
use advice::plan::Caution;
use axum::response::Response;
use maud::{Markup, html};
use store::NewLines;
use upkeep::job::SheetStep;
use upkeep::job::bench::What;
use upkeep::job::handbook::Level;

use super::desk::{AtOrder, Held, ToOrder, lay_out};
use super::step::blank_of;
use super::typed;
use super::typed::Told;
use crate::frame::field::{fault_summary, tick};
use crate::frame::{Head, Place, actions, fold};
use crate::pages::cautions;
use crate::serve::{Posted, Visit};
use crate::workbench::Loaded;

const HEAD: Head<'static> = Head::new("Type in from paper", Place::Jobs);
/// As many steps stand unfolded together as about one sheet of paper holds.
const TOGETHER: usize = 8;

/// Which steps stand together.
fn numbers(part: &[SheetStep<'_>]) -> String {
    match part {
        [] => String::new(),
        [one] => format!("Step {}", one.number),
        [first, .., last] => format!("Steps {} to {}", first.number, last.number),
    }
}

/// `GET …/paper`.
pub(super) async fn show(at: AtOrder) -> Result<Response, Response> {
    let loaded = at.load()?;
    let laid = lay_out(&loaded, &at.visit)?;
    Ok(at.visit.show(HEAD, &page(&at.visit, &loaded, &laid, &[], &[])))
}

fn page(visit: &Visit, loaded: &Loaded, laid: &Laid, fields: &[(String, String)], faults: &[Trouble]) -> Markup {
    let desk = loaded.desk();
    let told = Told(faults);
    let done = |number: usize| fields.iter().any(|(name, _)| *name == format!("done-{number}"));
    let typed = typed::step(fields);
    let id = loaded.bench.id;
    let open = laid.sheet.steps.get(laid.done()..).unwrap_or_default();
    let one = |step: &SheetStep<'_>| {
        html! {
            section class="on-paper" {
                h2 { (step.number) ". " (step.title) }
                (tick(&format!("done-{}", step.number), "yes", &format!("Step {} done", step.number), done(step.number)))
                @for blank in blanks(&desk, step) { (blank_of(&blank, &typed, told)) }
            }
        }
    };
    html! {
        (fault_summary(&told.list()))
        h1 { "Type in from paper" }
        p { "The numbers are those of the printed sheet. Tick what was done, fill in its blanks; what is not ticked stays open." }
        form method="post" action={ "/jobs/order/" (id) "/paper" } {
            (visit.form_key_of("paper"))
            input type="hidden" name="seen" value=(loaded.bench.last_line());
            @for stop in &laid.sheet.stops { (cautions::line(&Caution::in_full(stop))) }
            div class={ "field" @if !told.at("read-all").is_empty() { " faulty" } } {
                @if !told.at("read-all").is_empty() { p class="fault" { (told.at("read-all")) } }
                (tick("read-all", "yes", "The stops on page 1 were read before the work", fields.iter().any(|(name, _)| name == "read-all")))
            }
            @for (at, part) in (0..).zip(open.chunks(TOGETHER)) {
                @let typed_in = part.iter().any(|step| done(step.number));
                (fold(&numbers(part), at == 0 || typed_in, &html! { @for step in part { (one(step)) } }))
            }
            (actions(&html! { button type="submit" class="button primary" { "Save what was done" } }))
        }
    }
}

/// `POST …/paper`.
pub(super) async fn save(to: ToOrder) -> Response {
    to.once(saved).await
}

fn saved(held: Held<'_>) -> Result<Response, Response> {
    let (visit, posted, laid) = (held.visit(), held.posted(), held.lay_out()?);
    match lines(&held.loaded, &laid, posted) {
        Ok(what) => held.write(NewLines { what, paper: true, ..NewLines::default() }, "/steps"),
        Err(faults) => Ok(visit.show_faults(HEAD, &page(visit, &held.let_go(), &laid, posted.fields(), &faults))),
    }
}

/// Every step that was ticked, one after the other, each taken from where the one before left the bike.
fn lines(loaded: &Loaded, laid: &Laid, posted: &Posted) -> Result<Vec<What>, Vec<Trouble>> {
    let all = typed::step(posted.fields());
    let read = posted.text("read-all") == "yes";
    let mut written: Vec<What> = Vec::new();
    for step in laid.sheet.steps.iter().skip(laid.done()) {
        if posted.text(&format!("done-{}", step.number)) != "yes" {
            continue;
        }
        let bench = loaded.bench.with(loaded.now, loaded.who.as_deref(), &written);
        let desk = Desk { bench: &bench, ..loaded.desk() };
        let now = desk.lay_out().map_err(|gap| vec![wrong("read-all", gap.text)])?;
        let stops = step.cautions.iter().filter(|shown| shown.caution.level == Level::Stop);
        let typed = TypedStep {
            step: step.token.clone(),
            read: if read { stops.map(|shown| shown.caution.id.clone()).collect() } else { Vec::new() },
            reason: "from paper, in this order".to_owned(),
            ..all.clone()
        };
        match take(&desk, &now, &typed) {
            Ok(what) => written.extend(what),
            Err(troubles) => {
                return Err(troubles.into_iter().map(|one| at(step.number, one.field, &one.text)).collect());
            }
        }
    }
    if written.is_empty() {
        return Err(vec![wrong("read-all", "Nothing is ticked. Tick the steps that were done.")]);
    }
    Ok(written)
}

fn wrong(field: impl Into<String>, text: impl Into<String>) -> Trouble {
    Trouble { field: field.into(), text: text.into() }
}

/// A trouble at its field of this page.
fn at(number: usize, field: String, text: &str) -> Trouble {
    let text = format!("Step {number}: {text}");
    if field.starts_with("read-") {
        wrong("read-all", "Confirm that the stops were read before the work.")
    } else if field == "step" || field == "reason" {
        wrong(format!("done-{number}"), text)
    } else {
        wrong(field, text)
    }
}
