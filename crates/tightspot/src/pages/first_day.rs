//! The first day of a bike bought used: its hours as a range, an honest first verdict, and what would narrow it.
//!
//! Asking changes nothing and stands in the address; a range that is kept is a fact, and every place reads it.

use advice::Gap;
use advice::record::first_day::{self, FirstDayView};
use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::get;
use jiff::civil::DateTime;
use maud::{Markup, html};
use store::ChangeId;
use upkeep::bike::Bike;
use upkeep::record::Fact;

use super::answer;
use super::changes;
use super::measure::form::{another_day, keep};
use super::typed::Typed;
use crate::asked::Door;
use crate::frame::field::{Field, tick};
use crate::frame::notice::{notice, saved};
use crate::frame::verdict::verdict;
use crate::frame::{Head, Place, actions};
use crate::noted::used::{WHOSE, fact, range};
use crate::serve::{AppState, Fault, Page, Posted, Visit, beside};

/// This slice's pages.
pub(super) const PAGES: &[Page] = &[Page::new("/drive/first-day", HEAD.title, || get(show).post(send))
    .at(|_| ["", "?low=40&high=80", "?low=80&high=40"].map(|query| format!("/drive/first-day{query}")).to_vec())];

const HEAD: Head<'static> = Head::new("First day of a bike bought used", Place::Drive);

/// What is known: the range that is kept, and the answer to the one that is asked.
struct Seen {
    kept: Option<FirstDayView>,
    asked: Option<Result<FirstDayView, Gap>>,
    /// The change by which a range was kept just now.
    kept_by: Option<ChangeId>,
}

/// `GET /drive/first-day`: asking changes nothing, so the range stands in the address.
async fn show(visit: Visit, State(state): State<AppState>, typed: Typed) -> Result<Response, Response> {
    let none = ["low", "high"].iter().all(|name| typed.text(name).trim().is_empty());
    let (typed, asked) = match range(Door::default(), [typed.text("low"), typed.text("high")]) {
        _ if none => (typed, None),
        Ok(asked) => (typed, Some(asked)),
        Err(faults) => (typed.faulty(faults), None),
    };
    shown(&visit, &state, &typed, asked).await
}

/// `POST /drive/first-day`: the range is kept.
async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let saving = async {
        let typed = Typed::posted(&posted);
        let fact = fact(Door::default(), typed.text("whose"), [typed.text("low"), typed.text("high")]);
        let faults = match fact.map_err(Ok).and_then(|fact| keep(&state, &bike, &posted, &typed, vec![fact])) {
            Ok(entry) => return Redirect::to(&format!("/drive/first-day?kept={}", entry.id)).into_response(),
            Err(Err(fault)) => return fault.into_response(),
            Err(Ok(faults)) => faults,
        };
        let asked = range(Door::default(), [typed.text("low"), typed.text("high")]).ok();
        shown(&visit, &state, &typed.faulty(faults), asked).await.unwrap_or_else(|refused| refused)
    };
    Ok(state.once().run(&posted, saving).await)
}

async fn shown(visit: &Visit, state: &AppState, typed: &Typed, asked: Option<[f64; 2]>) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let (state, now) = (state.clone(), state.clock().now().datetime());
    let entry = typed.number("kept");
    let seen = beside(move || look(&state, &bike, now, asked, entry)).await??;
    Ok(typed.answer(visit, HEAD, &page(visit, typed, asked.is_some(), &seen)))
}

fn look(
    state: &AppState,
    bike: &Bike,
    now: DateTime,
    asked: Option<[f64; 2]>,
    entry: Option<i64>,
) -> Result<Seen, Fault> {
    let record = state.garage().record_at(bike, now)?;
    let kept = first_day::stored(&record).map_err(|gap| Fault::broken(&gap.text))?;
    let just_now = record.log.entries().iter().find(|one| Some(one.id) == entry);
    let kept_by = just_now.filter(|one| matches!(one.fact, Fact::Used(_))).map(|one| one.change);
    Ok(Seen { kept, asked: asked.map(|[low, high]| first_day::view(&record, low, high)), kept_by })
}

fn page(visit: &Visit, typed: &Typed, asks: bool, seen: &Seen) -> Markup {
    html! {
        @if let Some(change) = seen.kept_by { (saved("Saved.", &changes::take_back(visit, change, "Undo", "just-now"))) }
        @if typed.text("whose").is_empty() { (typed.not_answered()) } @else { (typed.not_saved()) }
        @match (&seen.asked, &seen.kept) {
            (Some(Ok(view)), kept) => {
                (answered(view))
                @if let Some(view) = kept { p class="soft" { "Only asked. Kept is another range: " (because(view)) "." } }
            },
            (Some(Err(gap)), _) => { h1 { (HEAD.title) } (answer::gap(gap)) },
            (None, Some(view)) => {
                (answered(view))
                p { "Kept: " (because(view)) ". " a href="/history" { "What was changed, with undo" } }
            },
            (None, None) => h1 { (HEAD.title) },
        }
        (form(typed, asks))
        @if asks || !typed.text("whose").is_empty() { (keeping(visit, typed, seen.kept.as_ref())) }
    }
}

fn because(view: &FirstDayView) -> String {
    view.kept.as_ref().map_or_else(String::new, advice::record::used::Span::because)
}

fn answered(view: &FirstDayView) -> Markup {
    html! {
        (verdict(view.verdict, &view.sentence, &html! {}))
        (answer::reason_list_to(&view.reasons, |_| "/drive/measure/elongation".to_owned()))
        (answer::fact_list(&view.facts))
        (answer::table_of(&view.narrows, |head| head == "As known now"))
        @for note in &view.notes { (notice(note)) }
        p class="buttons" { a class="button" href="/drive/measure/elongation" { "Measure the chain's length" } }
    }
}

fn form(typed: &Typed, answered: bool) -> Markup {
    let one = |name, label, hint| typed.field(Field::decimal(name, label, "h").hint(hint));
    html! {
        form method="get" action="/drive/first-day" {
            p { "How many hours has this chain? A range is an answer: \"forty to eighty\" is 40 and 80. The last length reading is held against it." }
            div class="form-grid" {
                (one("low", "At least", "0 if nobody knows."))
                (one("high", "At most", "What the seller says at most, or the bike's own hours."))
            }
            // Once it is answered, keeping the range is what comes next.
            @if answered { p class="buttons" { button type="submit" class="button" { "Ask again" } } }
            @else { (actions(&html! { button type="submit" class="button primary" { "What is left?" } })) }
        }
    }
}

/// What was asked, kept as a fact: from then on every place counts on with it.
fn keeping(visit: &Visit, typed: &Typed, kept: Option<&FirstDayView>) -> Markup {
    let kept = kept.and_then(|view| view.kept.as_ref());
    html! {
        form method="post" action="/drive/first-day" {
            (visit.form_key())
            @for name in ["low", "high"] { input type="hidden" name=(name) value=(typed.text(name)); }
            h2 { "Keep this range" }
            p { "Hours, wear and \"can I ride\" then go on from it, with what is ridden since; its worst end decides." }
            (typed.select(Field::text("whose", "Whose hours").value("chain"), &WHOSE))
            @if let Some(span) = kept {
                (tick("instead_of", &span.entry.to_string(), "The range kept before was wrong: this takes its place", !typed.text("instead_of").is_empty()))
            }
            (another_day(typed))
            (actions(&html! { button type="submit" class="button primary" { "Keep it" } }))
        }
    }
}
