//! The switch between millimetres and inches: a choice kept in a cookie, without script.

use axum::http::header::{HeaderValue, SET_COOKIE};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::post;
use measure::shown::Units;

use super::access::own_path;
use crate::serve::{Page, Posted, UNITS_COOKIE};

/// This slice's form target.
pub(crate) const PAGES: &[Page] = &[Page::target("/units", || post(choose))];

/// Keeps the choice for a year and goes back to where the switch was used.
async fn choose(posted: Posted) -> Response {
    let units = Units::named(posted.text("units")).unwrap_or_default();
    let mut response = Redirect::to(own_path(posted.text("back"))).into_response();
    let cookie = format!("{UNITS_COOKIE}={}; HttpOnly; SameSite=Strict; Path=/; Max-Age=31536000", units.word());
    if let Ok(cookie) = HeaderValue::from_str(&cookie) {
        response.headers_mut().append(SET_COOKIE, cookie);
    }
    response
}
