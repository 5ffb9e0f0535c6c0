//! All steps of an order: what is done and captured, what is open, what comes in, who works, stopping for today.

use advice::bench::offer::{self, OfferView};
use advice::bench::take::{Trouble, add as bring_in};
use advice::bench::{Laid, OrderView, clock, of};
use axum::extract::{Path, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use jiff::civil::DateTime;
use maud::{Markup, html};
use store::NewLines;
use upkeep::job::bench::{End, What};
use upkeep::job::handbook;

use super::desk::{AtOrder, Held, ToOrder, cannot, lay_out, who_cookie};
use super::print::links;
use super::typed::Told;
use crate::frame::field::{Field, Room, fault_summary, field};
use crate::frame::notice::saved;
use crate::frame::{Head, Place, details};
use crate::pages::answer::reason_list;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Posted, Visit, with_cookie};
use crate::workbench::Loaded;

const HEAD: Head<'static> = Head::new("All steps", Place::Jobs);

/// `GET …/steps`.
pub(super) async fn show(at: AtOrder, typed: Typed) -> Result<Response, Response> {
    let loaded = at.load()?;
    let laid = lay_out(&loaded, &at.visit)?;
    let said = typed.given("paused").is_some();
    Ok(at.visit.show(HEAD, &page(&at.visit, &loaded, &laid, typed.text("until"), &[], said)?))
}

/// Until when the rider wants to work: a time of this day.
fn until_of(now: DateTime, text: &str) -> Option<DateTime> {
    let time: jiff::civil::Time = text.trim().parse().ok()?;
    let at = now.date().to_datetime(time);
    (at > now).then_some(at)
}

fn page(
    visit: &Visit,
    loaded: &Loaded,
    laid: &Laid,
    until: &str,
    troubles: &[Trouble],
    paused: bool,
) -> Result<Markup, Response> {
    let desk = loaded.desk();
    let mut view = of(&desk, laid);
    view.clock = clock::view(&desk, laid, until_of(loaded.now, until));
    let jobs: Vec<&str> = laid.stand.order.jobs.clone();
    let offers = offer::view(handbook::in_use(), &jobs, &loaded.bench.choices, &loaded.log)
        .map_err(|gap| cannot(visit, &gap))?;
    let bad_time = !until.trim().is_empty() && until_of(loaded.now, until).is_none();
    let open = loaded.bench.end() == End::Open;
    Ok(html! {
        @if paused { (saved("Stopped for now. Everything is kept; go on from here or from another phone.", &html! {})) }
        (fault_summary(&Told(troubles).list()))
        h1 { "Work order " (view.id) }
        p { (view.jobs.iter().map(|(_, title)| title.as_str()).collect::<Vec<_>>().join("; ")) ", " (view.setup) ". " (view.done) " of " (view.steps) " steps done." }
        @if open {
            p { a class="button primary" href={ "/jobs/order/" (view.id) } { "On to the next step" } }
            (reason_list(&view.reasons))
            (clock_of(&view, until, bad_time))
            (stop_now(visit, &view))
            (offers_of(visit, &view, &offers))
        }
        @for line in &view.added { p { "Came in: " (line) "." } }
        (steps(&view, open))
        @if open { (aside(visit, loaded, &view)) }
    })
}

fn clock_of(view: &OrderView, until: &str, bad: bool) -> Markup {
    let fault = if bad { "Write a time of today that is still to come, such as 21:30." } else { "" };
    html! {
        h2 { "When is it done?" }
        ul class="list" { @for line in view.clock.lines() { li { (line) } } }
        form method="get" action={ "/jobs/order/" (view.id) "/steps" } {
            (field(&Field { room: Room::Seven, ..Field::text("until", "I stop at").hint("Time of day, such as 21:30.").value(until).fault(fault).optional() }))
            button type="submit" class="button" { "Where to stop by then" }
        }
    }
}

fn stop_now(visit: &Visit, view: &OrderView) -> Markup {
    html! {
        form method="post" action={ "/jobs/order/" (view.id) "/pause" } {
            (visit.form_key_of("pause"))
            button type="submit" class="button" { "Stop for today" }
        }
    }
}

fn offers_of(visit: &Visit, view: &OrderView, offers: &[OfferView]) -> Markup {
    html! {
        @if !offers.is_empty() {
            h2 { "While it is open anyway" }
            @for one in offers.iter().filter(|one| one.named) { (offer_of(visit, view, one)) }
            @if offers.iter().any(|one| !one.named) {
                (details("More that saves access", &html! {
                    @for one in offers.iter().filter(|one| !one.named) { (offer_of(visit, view, one)) }
                }))
            }
        }
    }
}

fn offer_of(visit: &Visit, view: &OrderView, one: &OfferView) -> Markup {
    html! {
        form method="post" action={ "/jobs/order/" (view.id) "/add" } class="offer" {
            (visit.form_key_of(&format!("add-{}", one.job)))
            input type="hidden" name="job" value=(one.job);
            p { strong { (one.title) } ": " (offer_words(one)) }
            button type="submit" class="button small" { "Bring it in" span class="unseen" { ": " (one.title) } }
        }
    }
}

/// Minutes and price of an offer.
pub(super) fn offer_words(one: &OfferView) -> String {
    format!("{:.0} min more, saves {:.0} min of access later; {}", one.extra_min, one.saved_min, one.price)
}

fn steps(view: &OrderView, open: bool) -> Markup {
    html! {
        h2 { "Steps" }
        ol class="list" {
            @for step in &view.list {
                li {
                    @if open { a href={ "/jobs/order/" (view.id) "?step=" (step.number) } { (line_of(step)) } }
                    @else { p { (line_of(step)) } }
                    @for one in &step.captured { p class="soft" { (one) } }
                }
            }
        }
    }
}

fn line_of(step: &advice::bench::ListedStep) -> Markup {
    html! {
        (step.number) ". " (step.title)
        @if step.done { " · done" } @else if step.safety { " · open, safety" } @else { " · open" }
    }
}

fn aside(visit: &Visit, loaded: &Loaded, view: &OrderView) -> Markup {
    html! {
        h2 { "Beside the work" }
        ul class="list" {
            li { a href={ "/jobs/order/" (view.id) "/gather" } { "Have and need" } }
            li { a href={ "/jobs/order/" (view.id) "/figures" } { "Figures so far" } }
            li { (links(view.id)) }
            li { a href={ "/jobs/order/" (view.id) "/paper" } { "Type in from paper" } }
            li { a href={ "/jobs/order/" (view.id) "/close" } { "Close the order" } }
        }
        form method="post" action={ "/jobs/order/" (view.id) "/who" } {
            (visit.form_key_of("who"))
            (field(&Field { room: Room::Twelve, ..Field::text("who", "Who is at this phone").hint("Another person reads the stops anew.").value(loaded.who.as_deref().unwrap_or("")).optional() }))
            button type="submit" class="button small" { "Save the name" }
        }
        (details("Give the order up", &html! {
            p { "Only with everything back as it was: nothing may be open on the bike." }
            form method="post" action={ "/jobs/order/" (view.id) "/drop" } {
                (visit.form_key_of("drop"))
                button type="submit" class="button" { "Give it up" }
            }
        }))
    }
}

/// `POST …/add`.
pub(super) async fn add(to: ToOrder) -> Response {
    to.once(added).await
}

fn added(held: Held<'_>) -> Result<Response, Response> {
    let (visit, laid) = (held.visit(), held.lay_out()?);
    match bring_in(&held.loaded.desk(), &laid, held.posted().text("job")) {
        Ok(what) => held.write(NewLines { what, ..NewLines::default() }, "/steps"),
        Err(troubles) => Ok(visit.show_faults(HEAD, &page(visit, &held.let_go(), &laid, "", &troubles, false)?)),
    }
}

/// `POST …/pause`.
pub(super) async fn pause(to: ToOrder) -> Response {
    let paused =
        |held: Held<'_>| held.write(NewLines { what: vec![What::Paused], ..NewLines::default() }, "/steps?paused=1");
    to.once(paused).await
}

/// `POST …/who`: the name goes into a cookie of this phone only.
pub(super) async fn who(State(state): State<AppState>, Path(id): Path<i64>, posted: Posted) -> Response {
    let save = async {
        let name: String = posted.text("who").trim().chars().filter(|letter| !letter.is_control()).take(60).collect();
        with_cookie(Redirect::to(&format!("/jobs/order/{id}/steps")).into_response(), &who_cookie(&name))
    };
    state.once().run(&posted, save).await
}
