//! What an order is shown from, read out of the record in one go; and lines written back.
//!
//! [`AtOrder`] is a request for an order, [`ToOrder`] a form sent to one: every handler of an order takes one of them.

use std::sync::MutexGuard;

use advice::Gap;
use advice::bench::Laid;
use axum::extract::{FromRequest, FromRequestParts, Path, Request};
use axum::http::request::Parts;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse as _, Redirect, Response};
use store::{NewLines, Post, StoreError};

use crate::garage::Garage;
use crate::serve::{AppState, Fault, Posted, Visit, cookie};
use crate::workbench::Loaded;

/// Name of the cookie that says who is at this phone.
pub(super) const WHO: &str = "who";

/// A request for the order of its address, of the bike that is looked at.
pub(super) struct AtOrder {
    pub(super) state: AppState,
    pub(super) visit: Visit,
    pub(super) id: i64,
    who: Option<String>,
}

impl FromRequestParts<AppState> for AtOrder {
    type Rejection = Response;

    async fn from_request_parts(parts: &mut Parts, state: &AppState) -> Result<Self, Response> {
        let Path(id) = Path::<i64>::from_request_parts(parts, state).await.map_err(|why| why.into_response())?;
        let visit = Visit::from_request_parts(parts, state).await?;
        Ok(Self { state: state.clone(), visit, id, who: who(&parts.headers) })
    }
}

impl AtOrder {
    /// The order as the record has it now.
    pub(super) fn load(&self) -> Result<Loaded, Response> {
        self.load_from(&self.state.garage())
    }

    /// The same from a garage that is held already.
    pub(super) fn load_from(&self, garage: &Garage) -> Result<Loaded, Response> {
        let bike = self.visit.bike()?.clone();
        let name = bike.name.clone();
        let now = self.state.clock().now().datetime();
        Loaded::of(garage, bike, now, self.who.clone(), self.id).map_err(|why| match why {
            StoreError::NoSuchBench { id } => {
                let text = format!("There is no work order {id} of {name}. The open ones are listed under Jobs.");
                Fault::not_found(text).into()
            }
            why => Fault::from(why).into(),
        })
    }
}

/// A form sent to an order.
pub(super) struct ToOrder {
    pub(super) at: AtOrder,
    pub(super) posted: Posted,
}

impl FromRequest<AppState> for ToOrder {
    type Rejection = Response;

    async fn from_request(request: Request, state: &AppState) -> Result<Self, Response> {
        let (mut parts, body) = request.into_parts();
        let at = AtOrder::from_request_parts(&mut parts, state).await?;
        let posted = Posted::from_request(Request::from_parts(parts, body), state).await?;
        Ok(Self { at, posted })
    }
}

impl ToOrder {
    /// Answers the form once, however often it comes: with the order held, so that nobody writes between.
    pub(super) async fn once(self, answer: impl FnOnce(Held<'_>) -> Result<Response, Response>) -> Response {
        let save = async {
            let garage = self.at.state.writing();
            let loaded = self.at.load_from(&garage);
            let held = loaded.map(|loaded| Held { to: &self, garage, loaded });
            held.and_then(answer).unwrap_or_else(|refused| refused)
        };
        self.at.state.once().run(&self.posted, save).await
    }
}

/// An order that a form was sent to, held until it is let go or the answer is made.
pub(super) struct Held<'a> {
    to: &'a ToOrder,
    garage: MutexGuard<'a, Garage>,
    pub(super) loaded: Loaded,
}

impl<'a> Held<'a> {
    pub(super) fn visit(&self) -> &'a Visit {
        &self.to.at.visit
    }

    pub(super) fn posted(&self) -> &'a Posted {
        &self.to.posted
    }

    pub(super) fn post(&self) -> Post<'a> {
        self.to.posted.at(&self.to.at.state.clock().now())
    }

    pub(super) fn garage(&mut self) -> &mut Garage {
        &mut self.garage
    }

    pub(super) fn lay_out(&self) -> Result<Laid, Response> {
        lay_out(&self.loaded, self.visit())
    }

    /// Lets the record go: what follows only shows.
    pub(super) fn let_go(self) -> Loaded {
        self.loaded
    }

    /// Writes lines with what follows from them, then leads on to a page under the order's address.
    pub(super) fn write(mut self, lines: NewLines, then: &str) -> Result<Response, Response> {
        let post = self.post();
        self.loaded.write(&mut self.garage, &post, lines).map_err(not_written)?;
        Ok(self.lead(then))
    }

    /// The way to a page under the order's address.
    pub(super) fn lead(&self, then: &str) -> Response {
        Redirect::to(&format!("/jobs/order/{}{then}", self.to.at.id)).into_response()
    }
}

/// The order laid out, or the page that says why it cannot be.
pub(super) fn lay_out(loaded: &Loaded, visit: &Visit) -> Result<Laid, Response> {
    loaded.desk().lay_out().map_err(|gap| cannot(visit, &gap))
}

/// A store's refusal of what was to be written.
pub(super) fn not_written(why: StoreError) -> Fault {
    match why {
        StoreError::Meanwhile { .. } => Fault::new(StatusCode::CONFLICT, "Changed meanwhile", why.to_string()),
        why => why.into(),
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
