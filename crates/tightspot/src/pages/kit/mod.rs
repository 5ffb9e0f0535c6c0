//! Every part that pages are made of, on one page: to look at, and for the browser tests. Its figures are invented,
//! its form stores nothing.
//!
//! Layout: `parts` and `pictures` what is shown · here the form and the handlers.

mod parts;
mod pictures;

use axum::extract::{Query, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::get;
use maud::{Markup, html};
use measure::{Bound, entry};

use crate::frame::field::{Choice, Fault, Field, Keys, Room, choice, fault_summary, field, long_field, select, tick};
use crate::frame::notice::saved;
use crate::frame::verdict::Verdict;
use crate::frame::{Head, Place, actions, live_part};
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

/// What the form holds.
#[derive(Default)]
struct Typed {
    slack: String,
    stand: String,
    note: String,
    fault: String,
}

impl Typed {
    fn read(text: impl Fn(&str) -> String) -> Self {
        let slack = text("slack_mm");
        let fault = if slack.is_empty() { None } else { entry::number(&slack, &SLACK).err() };
        Self {
            fault: fault.map_or_else(String::new, |fault| fault.text),
            slack,
            stand: text("stand"),
            note: text("note"),
        }
    }
}

async fn show(visit: Visit, State(state): State<AppState>, Query(query): Query<Vec<(String, String)>>) -> Response {
    let text =
        |name: &str| query.iter().find(|(known, _)| known == name).map_or_else(String::new, |(_, text)| text.clone());
    let verdict = match text("verdict").as_str() {
        "ready" => Verdict::Ready,
        "care" => Verdict::Care,
        "stop" => Verdict::Stop,
        _ => Verdict::Unknown,
    };
    let typed = Typed::read(text);
    if visit.wants("echo") {
        return visit.fragment(echo(&typed));
    }
    let main = html! {
        @if query.iter().any(|(name, _)| name == "saved") {
            (saved(&format!("Sent at {}.", state.clock().now().strftime("%H:%M")), &html! { a href="/kit" { "Undo" } }))
        }
        (parts::parts(verdict))
        (pictures::pictures())
        (form(&visit, &typed))
    };
    if typed.fault.is_empty() { visit.show(HEAD, &main) } else { visit.show_faults(HEAD, &main) }
}

async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Response {
    let mut typed = Typed::read(|name| posted.text(name).to_owned());
    if typed.slack.is_empty() {
        typed.fault = entry::number("", &SLACK).err().map_or_else(String::new, |fault| fault.text);
    }
    if !typed.fault.is_empty() {
        return visit.show_faults(HEAD, &form(&visit, &typed));
    }
    state.once().run(&posted, async { Redirect::to("/kit?saved=1").into_response() }).await
}

fn echo(typed: &Typed) -> Markup {
    let understood = entry::number(&typed.slack, &SLACK).map_or_else(|_| String::new(), |typed| typed.understood);
    live_part("echo", &understood, &html! { p class="soft" { (understood) } })
}

fn form(visit: &Visit, typed: &Typed) -> Markup {
    let stands =
        [("stand", "On the stand", "Wheel hanging"), ("ground", "On its wheels", ""), ("rider", "Rider seated", "")];
    let chosen = if typed.stand.is_empty() { "stand" } else { typed.stand.as_str() };
    let stand = Choice { name: "stand", legend: "How the bike stands", hint: "", options: &stands, chosen, fault: "" };
    let slack = Field::decimal("slack_mm", "Slack", "mm").hint("Total travel, up and down.");
    let offset = Field::decimal("offset_mm", "Offset of the marks", "mm").optional();
    let faults = [Fault { field: "slack_mm", text: &typed.fault }];
    html! {
        h2 { "Measure" }
        @if !typed.fault.is_empty() { (fault_summary(&faults)) }
        form method="post" action="/kit" data-live="echo" {
            (visit.form_key())
            (field(&slack.value(&typed.slack).fault(&typed.fault)))
            (echo(typed))
            (field(&Field::whole("links", "Links", "").optional()))
            (field(&Field { keys: Keys::Signed, room: Room::Twelve, ..offset }))
            (choice(&stand))
            (select(&Field::text("ground", "Ground").optional(), &[("", "–"), ("loam", "Loam"), ("bog", "Bog")]))
            (long_field(&Field::text("note", "Note").optional().value(&typed.note), 3))
            (tick("oiled", "yes", "Chain oiled, disc dry", true))
            (actions(&html! { button type="submit" class="button primary" { "Measure" } }))
        }
    }
}
