//! Every part that pages are made of, on one page: to look at, and for the browser tests. Its figures are invented,
//! its form stores nothing.
//!
//! Layout: `parts` and `pictures` what is shown · here the form and the handlers.

mod parts;
mod pictures;

use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::get;
use maud::{Markup, html};
use measure::{Bound, entry};

use crate::frame::field::{Choice, Field, Keys, Room, choice, field, long_field, select, tick};
use crate::frame::notice::saved;
use crate::frame::verdict::Verdict;
use crate::frame::{Head, Place, actions, live_part};
use crate::pages::typed::Typed;
use crate::serve::{AppState, Page, Posted, Visit};

/// This slice's pages.
pub(crate) const PAGES: &[Page] =
    &[Page::new("/kit", "Parts of a page (invented figures)", || get(show).post(send)).at(visits)];

const HEAD: Head<'static> = Head::new("Parts of a page", Place::Drive);
const SLACK: Bound = Bound::from_to("slack", "mm", 0.0, 200.0);

fn visits(_: &AppState) -> Vec<String> {
    let states = ["ready", "care", "unknown", "stop"].map(|state| format!("/kit?verdict={state}"));
    states.into_iter().chain(["/kit?slack_mm=850".to_owned(), "/kit?saved=1".to_owned()]).collect()
}

/// What was typed, with what is no slack.
fn read(mut typed: Typed) -> Typed {
    let fault =
        typed.given("slack_mm").filter(|text| !text.is_empty()).and_then(|text| entry::number(text, &SLACK).err());
    if let Some(fault) = fault {
        typed.fault_at("slack_mm", fault.text);
    }
    typed
}

async fn show(visit: Visit, State(state): State<AppState>, typed: Typed) -> Response {
    let verdict = match typed.text("verdict") {
        "ready" => Verdict::Ready,
        "care" => Verdict::Care,
        "stop" => Verdict::Stop,
        _ => Verdict::Unknown,
    };
    let typed = read(typed);
    if visit.wants("echo") {
        return visit.fragment(echo(&typed));
    }
    let main = html! {
        @if typed.given("saved").is_some() {
            (saved(&format!("Sent at {}.", state.clock().now().strftime("%H:%M")), &html! { a href="/kit" { "Undo" } }))
        }
        (parts::parts(verdict))
        (pictures::pictures())
        (form(&visit, &typed))
    };
    typed.answer(&visit, HEAD, &main)
}

async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Response {
    let mut typed = read(Typed::posted(&posted));
    if let (true, Err(fault)) = (typed.text("slack_mm").is_empty(), entry::number("", &SLACK)) {
        typed.fault_at("slack_mm", fault.text);
    }
    if typed.is_faulty() {
        return visit.show_faults(HEAD, &form(&visit, &typed));
    }
    state.once().run(&posted, async { Redirect::to("/kit?saved=1").into_response() }).await
}

fn echo(typed: &Typed) -> Markup {
    let slack = entry::number(typed.text("slack_mm"), &SLACK);
    let understood = slack.map_or_else(|_| String::new(), |slack| slack.understood);
    live_part("echo", &understood, &html! { p class="soft" { (understood) } })
}

fn form(visit: &Visit, typed: &Typed) -> Markup {
    let stands =
        [("stand", "On the stand", "Wheel hanging"), ("ground", "On its wheels", ""), ("rider", "Rider seated", "")];
    let chosen = typed.text_or("stand", "stand");
    let stand = Choice { name: "stand", legend: "How the bike stands", hint: "", options: &stands, chosen, fault: "" };
    let offset = Field::decimal("offset_mm", "Offset of the marks", "mm").optional();
    html! {
        h2 { "Measure" }
        (typed.not_saved())
        form method="post" action="/kit" data-live="echo" {
            (visit.form_key())
            (typed.field(Field::decimal("slack_mm", "Slack", "mm").hint("Total travel, up and down.")))
            (echo(typed))
            (field(&Field::whole("links", "Links", "").optional()))
            (field(&Field { keys: Keys::Signed, room: Room::Twelve, ..offset }))
            (choice(&stand))
            (select(&Field::text("ground", "Ground").optional(), &[("", "–"), ("loam", "Loam"), ("bog", "Bog")]))
            (long_field(&Field::text("note", "Note").optional().value(typed.text("note")), 3))
            (tick("oiled", "yes", "Chain oiled, disc dry", true))
            (actions(&html! { button type="submit" class="button primary" { "Measure" } }))
        }
    }
}
