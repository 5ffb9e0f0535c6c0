//! One visit to a page: who asks, in which theme, for the whole page or one part of it.

use std::sync::Arc;

use axum::extract::FromRequestParts;
use axum::http::header::{HeaderMap, HeaderValue, SET_COOKIE};
use axum::http::request::Parts;
use axum::http::{StatusCode, Uri};
use axum::response::{IntoResponse as _, Response};
use maud::{Markup, html};

use super::fault::Told;
use super::posted::{KEY, TOKEN};
use super::session::{Session, cookie, random_word};
use super::{AppState, Fault};
use crate::frame::{self, Chrome, Head, Theme};
use upkeep::bike::Bike;

/// What a page handler needs to answer in the frame.
pub(crate) struct Visit {
    session: Session,
    set_cookie: Option<HeaderValue>,
    theme: Theme,
    part: Option<String>,
    address: String,
    bike: Option<Arc<Bike>>,
    form_key: String,
    notice: Option<&'static str>,
    signed_in: bool,
    closed: bool,
    read_only: bool,
}

/// Marks a request for a page that is shown to a helper: to read, with nothing to press.
#[derive(Clone)]
pub(crate) struct ReadOnly {
    /// The bike it is shown of.
    pub(crate) bike: String,
}

/// What stands on every page where whoever is on the network can read along.
const NOT_ENCRYPTED: &str = "Not encrypted: whoever is on this network can read along.";

impl Visit {
    /// Reads a visit from a request.
    ///
    /// # Errors
    /// The system has no randomness to give.
    pub(crate) fn of(state: &AppState, headers: &HeaderMap, uri: &Uri) -> Result<Self, getrandom::Error> {
        let session = state.sessions().of(headers)?;
        let signed_in = state.gate().asks() && state.sessions().is_signed_in(headers);
        let closed = state.gate().asks() && !signed_in;
        let set_cookie = session.fresh.then(|| HeaderValue::from_str(&state.sessions().set_cookie(&session)).ok());
        Ok(Self {
            set_cookie: set_cookie.flatten(),
            session,
            theme: Theme::of(cookie(headers, Theme::COOKIE)),
            part: headers.get("x-part").and_then(|part| part.to_str().ok()).map(str::to_owned),
            address: uri.path_and_query().map_or_else(|| "/".to_owned(), ToString::to_string),
            // Whoever is not signed in does not learn what stands in the garage.
            bike: if closed { None } else { bike_of(state, headers) },
            form_key: random_word()?,
            notice: (state.gate().asks() && !state.gate().secure()).then_some(NOT_ENCRYPTED),
            signed_in,
            closed,
            read_only: false,
        })
    }

    /// The same visit by a helper: of the bike that is shown, without a session.
    fn of_helper(self, state: &AppState, shown: &ReadOnly) -> Self {
        let bike = state.garage().store().bike(&shown.bike).ok().map(Arc::new);
        Self { bike, set_cookie: None, closed: false, read_only: true, ..self }
    }

    /// The session's cookie value.
    pub(crate) fn session_id(&self) -> &str {
        &self.session.id
    }

    /// Whether only the part of this id is asked for; then [`Visit::fragment`] may answer it alone.
    pub(crate) fn wants(&self, id: &str) -> bool {
        self.part.as_deref() == Some(id)
    }

    /// The token that our forms carry.
    pub(crate) fn token(&self) -> &str {
        &self.session.token
    }

    /// The hidden fields that every posting form must hold.
    pub(crate) fn form_key(&self) -> Markup {
        html! {
            input type="hidden" name=(TOKEN) value=(self.token());
            input type="hidden" name=(KEY) value=(self.form_key);
        }
    }

    /// The same for one of several forms of a page: whoever goes back to it and sends another one sends nothing twice.
    pub(crate) fn form_key_of(&self, form: &str) -> Markup {
        html! {
            input type="hidden" name=(TOKEN) value=(self.token());
            input type="hidden" name=(KEY) value={ (self.form_key) "-" (form) };
        }
    }

    /// A page in the frame.
    pub(crate) fn show(&self, head: Head<'_>, main: &Markup) -> Response {
        self.answer(StatusCode::OK, head, main)
    }

    /// A form shown again with its faults: status 422, title beginning with "Error:".
    pub(crate) fn show_faults(&self, head: Head<'_>, main: &Markup) -> Response {
        self.answer(StatusCode::UNPROCESSABLE_ENTITY, Head { faults: true, ..head }, main)
    }

    /// A page that refuses: its title is also its heading.
    pub(crate) fn refuse(&self, status: StatusCode, title: &str, text: &Markup) -> Response {
        let main = html! { h1 { (title) } (text) p { a href="/pages" { "All pages" } } };
        self.answer(status, Head::titled(title), &main)
    }

    /// The bike that the rider looks at.
    ///
    /// # Errors
    /// There is none yet: the page that says how to bring one in.
    #[expect(clippy::result_large_err, reason = "the other way out is a whole page, answered once a visit")]
    pub(crate) fn bike(&self) -> Result<&Bike, Response> {
        self.bike.as_deref().ok_or_else(|| {
            let text = html! {
                p { "Every answer rests on what you know of your bike. Give it a name, then put on its figures: what a tape and the chain tell you is enough for fit and slack." }
                p { a class="button primary" href="/bike" { "Make a bike" } }
                p { "Or look around first with the invented bikes: start the program with " code { "--demo" } "." }
            };
            self.refuse(StatusCode::NOT_FOUND, "Begin with your bike", &text)
        })
    }

    /// The bike's name for the header, with a word where its figures are invented.
    fn bike_words(&self) -> String {
        match &self.bike {
            Some(bike) if bike.invented => format!("{} (invented)", bike.name),
            Some(bike) => bike.name.clone(),
            None if self.closed => "A garage".to_owned(),
            None => "No bike yet".to_owned(),
        }
    }

    /// One part alone, as the script asked for it.
    pub(crate) fn fragment(&self, part: Markup) -> Response {
        self.sign(part.into_response())
    }

    fn answer(&self, status: StatusCode, head: Head<'_>, main: &Markup) -> Response {
        let chrome = Chrome {
            head,
            theme: self.theme,
            address: &self.address,
            bike: &self.bike_words(),
            form_key: &self.form_key(),
            units_key: &self.form_key_of("units"),
            notice: self.notice,
            signed_in: self.signed_in,
            read_only: self.read_only,
        };
        let mut response = (status, frame::page(&chrome, main)).into_response();
        response.extensions_mut().insert(Told);
        self.sign(response)
    }

    fn sign(&self, mut response: Response) -> Response {
        if let Some(cookie) = &self.set_cookie {
            response.headers_mut().append(SET_COOKIE, cookie.clone());
        }
        response
    }
}

/// Name of the cookie with the bike last chosen.
pub(crate) const BIKE_COOKIE: &str = "bike";

/// The bike last chosen in this browser, else the one chosen for all, else the first one.
fn bike_of(state: &AppState, headers: &HeaderMap) -> Option<Arc<Bike>> {
    let garage = state.garage();
    let chosen = cookie(headers, BIKE_COOKIE).and_then(|id| garage.sheet_of(id).ok());
    chosen.or_else(|| garage.looked_at().ok().flatten())
}

impl FromRequestParts<AppState> for Visit {
    type Rejection = Response;

    async fn from_request_parts(parts: &mut Parts, state: &AppState) -> Result<Self, Response> {
        let visit = Self::of(state, &parts.headers, &parts.uri);
        let visit = visit.map_err(|cause| Fault::broken(&cause).into_response())?;
        Ok(match parts.extensions.get::<ReadOnly>() {
            Some(shown) => visit.of_helper(state, shown),
            None => visit,
        })
    }
}
