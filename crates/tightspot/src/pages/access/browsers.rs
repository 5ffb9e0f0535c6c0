//! The owner's page: who is signed in, a phone to pair, links for helpers, the password.

use std::time::Instant;

use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use qrcode::QrCode;

use super::one_page;
use super::password::{self, Faults};
use crate::frame::{Head, fold};
use crate::pages::typed::Typed;
use crate::serve::gate::pairing::in_groups;
use crate::serve::{AppState, Fault, Posted, Visit, pairing_address};

const TITLE: &str = "Who may look";

/// `GET /access`.
pub(super) async fn show(State(state): State<AppState>, visit: Visit, typed: Typed) -> Response {
    let asked = |name: &str| typed.given(name).is_some();
    let page = typed.text("page");
    let code = asked("pairing").then(|| state.gate().pairing.current(Instant::now())).flatten();
    let said = if asked("changed") { "The password is changed; every other browser is signed out." } else { "" };
    visit.show(Head::titled(TITLE), &main(&state, &visit, code.as_deref(), page, &Faults::default(), said))
}

/// The page again, with what is wrong with a password.
pub(super) fn again(state: &AppState, visit: &Visit, faults: &Faults) -> Response {
    visit.show_faults(Head::titled(TITLE), &main(state, visit, None, "", faults, ""))
}

/// `POST /access/pair`: a new code.
pub(super) async fn pair(State(state): State<AppState>, _posted: Posted) -> Response {
    match state.gate().pairing.make(Instant::now()) {
        Ok(_) => Redirect::to("/access?pairing=1#code").into_response(),
        Err(cause) => Fault::broken(&cause).into_response(),
    }
}

/// `POST /access/end`: signs a browser out.
pub(super) async fn end(State(state): State<AppState>, posted: Posted) -> Response {
    if let Ok(number) = posted.text("number").parse() {
        state.sessions().end_number(number);
    }
    Redirect::to("/access").into_response()
}

fn main(state: &AppState, visit: &Visit, code: Option<&str>, page: &str, faults: &Faults, said: &str) -> Markup {
    html! {
        (super::summary("present", &faults.present))
        (super::summary("new", &faults.new))
        h1 { (TITLE) }
        @if !said.is_empty() { (crate::frame::notice::saved(said, &html! {})) }
        @if state.gate().asks() {
            p { "Open " strong { (state.address()) "/" } " on the home network, and sign in." }
            (signed_in(state, visit))
            (pairing(state, visit, code))
        } @else {
            p { "This server answers on this machine only, so nobody signs in. To open it to the home network:" }
            ol {
                li { "Set a password, from a file or a pipe: " code { "tightspot serve password FILE" } }
                li { "Start it with an address of this machine: " code { "tightspot serve --bind ADDRESS --tls" } }
                li { "Take the picture that it prints with the phone's camera." }
            }
        }
        (one_page::part(state, visit, page))
        @if state.gate().asks() {
            h2 { "Password" }
            @let faulty = !(faults.present.is_empty() && faults.new.is_empty());
            (fold("Change the password", faulty, &password::form(visit, faults)))
        }
    }
}

fn signed_in(state: &AppState, visit: &Visit) -> Markup {
    let zone = state.clock().now().time_zone().clone();
    html! {
        h2 { "Browsers that are signed in" }
        ul class="list" {
            @for (number, how, here) in state.sessions().signed_in(visit.session_id()) {
                li {
                    p {
                        (how.agent) ", from " (how.from) ", by " (how.by) ", since "
                        (how.since.to_zoned_datetime(zone.clone()).strftime("%Y-%m-%d %H:%M").to_string())
                        @if here { strong { " (this one)" } }
                    }
                    @if !here {
                        form method="post" action="/access/end" {
                            (visit.form_key_of(&format!("end-{number}")))
                            input type="hidden" name="number" value=(number);
                            button type="submit" class="button small" { "Sign it out" span class="unseen" { ": number " (number) } }
                        }
                    }
                }
            }
        }
    }
}

fn pairing(state: &AppState, visit: &Visit, code: Option<&str>) -> Markup {
    html! {
        h2 id="code" { "Pair a phone" }
        @if let Some(code) = code {
            p { "Take this picture with the phone's camera. It is good once, for 10 minutes." }
            (picture(&pairing_address(state.address(), code)))
            p { "Or open " strong { (state.address()) "/pair" } " there and type:" }
            p { code { (in_groups(code)) } }
        }
        form method="post" action="/access/pair" {
            (visit.form_key_of("pair"))
            button type="submit" class="button" { @if code.is_some() { "Make another code" } @else { "Make a code" } }
        }
    }
}

/// A text as a picture for a phone's camera: dark squares on white in every theme.
fn picture(text: &str) -> Markup {
    let Ok(code) = QrCode::new(text.as_bytes()) else { return html! {} };
    let width = code.width();
    let dark = code.to_colors().into_iter().enumerate().filter(|(_, color)| *color == qrcode::Color::Dark);
    let path: String = dark.map(|(at, _)| format!("M{} {}h1v1h-1z", at % width + 4, at / width + 4)).collect();
    let side = width + 8;
    html! {
        svg class="camera" viewBox={ "0 0 " (side) " " (side) } role="img" aria-label="The code below as a picture for a camera" {
            rect width=(side) height=(side) fill="#fff" {}
            path d=(path) fill="#000" {}
        }
    }
}
