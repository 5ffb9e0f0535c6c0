//! What an order is shown from, read out of the record in one go; and lines written back.

use advice::Gap;
use advice::bench::Laid;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse as _, Response};
use store::{NewLines, Post, StoreError};

use crate::garage::Garage;
use crate::serve::{AppState, Fault, Posted, Visit, cookie};
use crate::workbench::Loaded;

/// Name of the cookie that says who is at this phone.
pub(super) const WHO: &str = "who";

/// The order of a number, of the bike that is looked at.
pub(super) fn load(
    garage: &Garage,
    state: &AppState,
    visit: &Visit,
    headers: &HeaderMap,
    id: i64,
) -> Result<Loaded, Response> {
    let bike = visit.bike()?.clone();
    let name = bike.name.clone();
    Loaded::of(garage, bike, state.clock().now().datetime(), who(headers), id).map_err(|why| match why {
        StoreError::NoSuchBench { id } => {
            let text = format!("There is no work order {id} of {name}. The open ones are listed under Jobs.");
            Fault::not_found(text).into_response()
        }
        why => Fault::broken(&why).into_response(),
    })
}

/// The order laid out, or the page that says why it cannot be.
pub(super) fn lay_out(loaded: &Loaded, visit: &Visit) -> Result<Laid, Response> {
    loaded.desk().lay_out().map_err(|gap| cannot(visit, &gap))
}

/// Writes lines with what follows from them.
pub(super) fn write(
    loaded: &Loaded,
    garage: &mut Garage,
    state: &AppState,
    posted: &Posted,
    lines: NewLines,
) -> Result<(), Response> {
    let post = Post { now: state.clock().now().timestamp(), key: Some(posted.key()) };
    loaded.write(garage, &post, lines).map(drop).map_err(|why| not_written(&why))
}

/// A store's refusal as an answer.
pub(super) fn not_written(why: &StoreError) -> Response {
    match why {
        StoreError::Meanwhile { .. } => {
            Fault::new(StatusCode::CONFLICT, "Changed meanwhile", why.to_string()).into_response()
        }
        why => Fault::of_store(why).into_response(),
    }
}

/// The page of an order that cannot be laid out any more.
pub(super) fn cannot(visit: &Visit, gap: &Gap) -> Response {
    let text = maud::html! { p { (gap.text) } @if !gap.how_to.is_empty() { p { "How to find it: " (gap.how_to) } } };
    visit.refuse(StatusCode::UNPROCESSABLE_ENTITY, "This order cannot be planned", &text)
}

/// Who is at this phone, by its cookie.
fn who(headers: &HeaderMap) -> Option<String> {
    let word = cookie(headers, WHO)?;
    let digit = |at: usize| u8::from_str_radix(word.get(at..at + 2)?, 16).ok();
    let bytes: Option<Vec<u8>> = (0..word.len()).step_by(2).map(digit).collect();
    String::from_utf8(bytes?).ok().filter(|name| (1..=60).contains(&name.chars().count()))
}

/// The cookie of a name; an empty name takes it away.
pub(super) fn who_cookie(name: &str) -> String {
    let word: String = name.bytes().map(|byte| format!("{byte:02x}")).collect();
    let age = if word.is_empty() { "; Max-Age=0" } else { "" };
    format!("{WHO}={word}; HttpOnly; SameSite=Strict; Path=/{age}")
}
