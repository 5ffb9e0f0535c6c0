//! A page shown to a helper: by a link that cannot be guessed, for a while, to read only.

use std::time::Duration;

use axum::body::Body;
use axum::extract::{Path, State};
use axum::http::header::{CACHE_CONTROL, COOKIE, HeaderMap, HeaderValue, SET_COOKIE};
use axum::http::{Request, StatusCode};
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use tower::ServiceExt as _;

use crate::frame::Theme;
use crate::frame::field::{Field, select};
use crate::serve::{AppState, Fault, Posted, ReadOnly, Visit};

/// Where the pages stand that a helper may be shown.
const PLACES: [&str; 4] = ["/jobs", "/parts", "/drive", "/gearing"];
/// How long a link is good, in hours.
const HOURS: [(&str, &str); 3] = [("4", "4 hours"), ("24", "1 day"), ("168", "1 week")];

fn may_be_shown(page: &str) -> bool {
    let path = page.split(['?', '#']).next().unwrap_or_default();
    let below = |place: &str| path.strip_prefix(place).is_some_and(|rest| rest.is_empty() || rest.starts_with('/'));
    PLACES.iter().any(|place| below(place)) && page.bytes().all(|byte| byte.is_ascii_graphic()) && page.len() <= 500
}

/// The links there are, and the form for another one.
pub(super) fn part(state: &AppState, visit: &Visit, page: &str) -> Markup {
    let now = state.clock().now();
    let titles: Vec<(&str, &str)> = state
        .site()
        .pages()
        .iter()
        .filter(|page| !page.title.is_empty() && may_be_shown(page.path) && !page.path.contains('{'))
        .map(|page| (page.path, page.title))
        .collect();
    let own = may_be_shown(page) && !titles.iter().any(|(path, _)| *path == page);
    let options: Vec<(&str, &str)> = own.then_some((page, page)).into_iter().chain(titles).collect();
    html! {
        h2 { "Links for a helper" }
        p { "Whoever has the link sees one page of this bike, can change nothing and goes nowhere else." }
        ul class="list" {
            @for (number, link) in state.gate().helpers.all(state.moment()) {
                li {
                    p {
                        a href={ "/help/" (link.token) } { (state.address()) "/help/" (link.token) } br;
                        (link.page) ", until "
                        (link.until.wall.to_zoned_datetime(now.time_zone().clone()).strftime("%Y-%m-%d %H:%M").to_string())
                    }
                    form method="post" action="/access/helper/end" {
                        (visit.form_key_of(&format!("help-{number}")))
                        input type="hidden" name="number" value=(number);
                        button type="submit" class="button small" { "End this link" span class="unseen" { ": number " (number) } }
                    }
                }
            }
        }
        form method="post" action="/access/helper" {
            (visit.form_key_of("help"))
            (select(&Field::text("page", "Page to show").value(page), &options))
            (select(&Field::text("hours", "Good for").value("24"), &HOURS))
            button type="submit" class="button" { "Make a link" }
        }
    }
}

/// `POST /access/helper`.
pub(super) async fn make(State(state): State<AppState>, visit: Visit, posted: Posted) -> Result<Response, Response> {
    let bike = &visit.bike()?.id;
    let page = posted.text("page");
    let hours =
        HOURS.iter().find(|(hours, _)| *hours == posted.text("hours")).and_then(|(hours, _)| hours.parse::<u64>().ok());
    let (true, Some(hours)) = (may_be_shown(page), hours) else {
        let text = format!("A page under {} can be shown, for 4, 24 or 168 hours.", PLACES.join(", "));
        return Err(Fault::new(StatusCode::UNPROCESSABLE_ENTITY, "This page is not shown to a helper", text).into());
    };
    let until = state.moment().later(Duration::from_secs(hours * 60 * 60)).map_err(|cause| Fault::broken(&cause))?;
    state.gate().helpers.make(page, bike, until).map_err(|cause| Fault::broken(&cause))?;
    Ok(Redirect::to("/access").into_response())
}

/// `POST /access/helper/end`.
pub(super) async fn end(State(state): State<AppState>, posted: Posted) -> Response {
    if let Ok(number) = posted.text("number").parse() {
        state.gate().helpers.end(number);
    }
    Redirect::to("/access").into_response()
}

/// `GET /help/{token}`: the page itself, asked of the pages' own router without any session.
pub(super) async fn show(State(state): State<AppState>, Path(token): Path<String>, headers: HeaderMap) -> Response {
    let Some(link) = state.gate().helpers.good(&token, state.moment()) else {
        let text = "It was ended, or its time is over. Ask the bike's owner for another one.";
        return Fault::new(StatusCode::NOT_FOUND, "This link is not good any more", text).into_response();
    };
    let Ok(mut request) = Request::builder().uri(&link.page).body(Body::empty()) else {
        return Fault::not_found("The page of this link is none.").into_response();
    };
    request.extensions_mut().insert(ReadOnly { bike: link.bike });
    let theme = crate::serve::cookie(&headers, Theme::COOKIE).map(|theme| format!("{}={theme}", Theme::COOKIE));
    if let Some(theme) = theme.and_then(|theme| HeaderValue::from_str(&theme).ok()) {
        request.headers_mut().insert(COOKIE, theme);
    }
    let Ok(mut response) = state.site().router().with_state(state.clone()).oneshot(request).await;
    response.headers_mut().remove(SET_COOKIE);
    response.headers_mut().insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    response
}
