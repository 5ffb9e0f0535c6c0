//! The switches at the foot of every page, theme and units: each choice is kept in a cookie, without script.

use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::post;
use measure::shown::Units;

use super::access::own_path;
use crate::frame::Theme;
use crate::serve::{Page, Posted, UNITS_COOKIE, keeping};

/// This slice's form targets.
pub(crate) const PAGES: &[Page] =
    &[Page::target("/theme", || post(choose_theme)), Page::target("/units", || post(choose_units))];

async fn choose_theme(posted: Posted) -> Response {
    chosen(&posted, Theme::COOKIE, Theme::of(Some(posted.text("theme"))).word())
}

async fn choose_units(posted: Posted) -> Response {
    chosen(&posted, UNITS_COOKIE, Units::named(posted.text("units")).unwrap_or_default().word())
}

/// Keeps a choice and goes back to where the switch was used.
fn chosen(posted: &Posted, cookie: &str, word: &str) -> Response {
    keeping(Redirect::to(own_path(posted.text("back"))).into_response(), cookie, word)
}
