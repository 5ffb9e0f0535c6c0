//! The switch between light and dark: a choice kept in a cookie, without script.

use axum::http::header::{HeaderValue, SET_COOKIE};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::post;

use super::access::own_path;
use crate::frame::Theme;
use crate::serve::{Page, Posted};

/// This slice's form target.
pub(crate) const PAGES: &[Page] = &[Page::target("/theme", || post(choose))];

/// Keeps the choice for a year and goes back to where the switch was used.
async fn choose(posted: Posted) -> Response {
    let theme = Theme::of(Some(posted.text("theme")));
    let mut response = Redirect::to(own_path(posted.text("back"))).into_response();
    let cookie = format!("{}={}; HttpOnly; SameSite=Strict; Path=/; Max-Age=31536000", Theme::COOKIE, theme.word());
    if let Ok(cookie) = HeaderValue::from_str(&cookie) {
        response.headers_mut().append(SET_COOKIE, cookie);
    }
    response
}
