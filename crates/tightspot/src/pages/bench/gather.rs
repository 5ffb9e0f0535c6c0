//! Gathering: have and need against the shelf, what to have in case, all of it before the first bolt is loosened.

use advice::plan::{self, PlanView, Wish};
use advice::supplies::PartsView;
use axum::response::Response;
use maud::{Markup, html};

use super::desk::{AtOrder, cannot};
use crate::frame::{Head, Place, actions};
use crate::pages::answer::{fact_list, reason_list, table_of};
use crate::pages::typed::Typed;
use crate::serve::Fault;
use crate::shopping::Stock;

/// `GET …/gather`: what the shelf has is ticked already; the address keeps what else is at hand.
pub(super) async fn show(at: AtOrder, typed: Typed) -> Result<Response, Response> {
    let garage = at.state.garage();
    let loaded = at.load_from(&garage)?;
    let stock = Stock::of(&garage, &loaded.bike, loaded.now).map_err(Fault::from)?;
    drop(garage);
    let wish = Wish {
        jobs: loaded.bench.jobs_now().iter().map(|job| (*job).to_owned()).collect(),
        choices: loaded.bench.choices.clone(),
        manual: loaded.manual.clone(),
    };
    let planned = plan::view(&loaded.bike, loaded.desk().setup(), &wish);
    let view = planned.map_err(|gap| cannot(&at.visit, &gap))?;
    let parts = stock.of_plan(&view, Some(at.id)).map_err(|gap| cannot(&at.visit, &gap))?;
    let have: Vec<&str> = typed.all("have").collect();
    let asked = typed.given("asked").is_some();
    let lines = lines(&view, &parts, asked.then_some(have.as_slice()));
    Ok(at.visit.show(Head::new("Have and need", Place::Jobs), &page(at.id, &view, &parts, &lines, asked)))
}

/// One thing to have at hand.
struct Line {
    what: String,
    more: String,
    ticked: bool,
    /// Whether the work may do without it.
    optional: bool,
}

/// Everything to gather; ticked as the rider says, and until he says anything as the shelf has it.
fn lines(view: &PlanView, parts: &PartsView, have: Option<&[&str]>) -> Vec<Line> {
    let ticked = |what: &str, shelf: bool| have.map_or(shelf, |have| have.contains(&what));
    let mut all = Vec::new();
    for part in &parts.parts {
        let what = if part.optional { format!("{} (if needed)", part.role) } else { part.role.clone() };
        let shelf =
            part.have.map_or_else(|| part.state.to_owned(), |have| format!("{have} on the shelf, {}", part.state));
        let more = format!("{} × {}; {shelf}", part.qty, part.spec);
        all.push(Line { ticked: ticked(&what, part.state == "have"), what, more, optional: part.optional });
    }
    for row in &parts.consumables.rows {
        let cell = |at: usize| row.get(at).map(|cell| cell.text.clone()).unwrap_or_default();
        let (what, state) = (cell(0), cell(1));
        let more = format!("consumable, {state}");
        all.push(Line { ticked: ticked(&what, state == "have"), what, more, optional: false });
    }
    all.extend(view.tools.iter().map(|tool| Line {
        what: tool.clone(),
        more: "tools".to_owned(),
        ticked: ticked(tool, false),
        optional: false,
    }));
    all
}

fn page(id: i64, view: &PlanView, parts: &PartsView, lines: &[Line], asked: bool) -> Markup {
    let missing: Vec<&str> =
        lines.iter().filter(|line| !line.ticked && !line.optional).map(|line| line.what.as_str()).collect();
    html! {
        h1 { "Have and need" }
        p { "Before the first bolt is loosened. What the shelf has is ticked; tick what else lies at hand." }
        @if asked {
            @if missing.is_empty() { p { strong { "Everything is at hand." } } }
            @else { p { strong { "Missing: " } (missing.join("; ")) "." } }
        }
        form method="get" action={ "/jobs/order/" (id) "/gather" } {
            input type="hidden" name="asked" value="1";
            @for (at, line) in lines.iter().enumerate() {
                div class="option" {
                    input id={ "have-" (at) } type="checkbox" name="have" value=(line.what) checked[line.ticked] aria-describedby={ "have-" (at) "-more" };
                    label for={ "have-" (at) } { (line.what) }
                    p id={ "have-" (at) "-more" } class="option-more" { (line.more) }
                }
            }
            button type="submit" class="button" { "What is missing?" }
        }
        (in_case(parts))
        h2 { "To get" }
        // What the rider has just ticked lies there, counted on the shelf or not.
        @if !asked || !missing.is_empty() {
            (reason_list(&parts.reasons))
            (fact_list(&parts.facts))
        }
        p { a href="/parts" { "Say what lies there, was ordered, costs, and your own chances" } }
        (reason_list(&view.reasons))
        (actions(&html! { a class="button primary" href={ "/jobs/order/" (id) } { "Go to the first step" } }))
    }
}

/// What a look could bring once the bike is open: decided on before it is.
pub(super) fn in_case(parts: &PartsView) -> Markup {
    html! {
        @if !parts.in_case.is_empty() {
            h2 { "In case" }
            (table_of(&parts.in_case_table, |_| false))
        }
    }
}
