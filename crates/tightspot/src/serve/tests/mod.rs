//! The server as a stranger, a program and a browser meet it: real router, no socket.
//!
//! Layout: `guard` who is kept out · `answers` what comes back · `forms` what is sent · here how to ask, header by header.

mod answers;
mod forms;
mod guard;

use axum::Router;
use axum::body::Body;
use axum::http::{Method, Request, StatusCode};
use axum::routing::{get, post};

use super::driven::{HOST, Told, answered as send, fetch, wait};
use super::{AppState, Clock, Page, Reach, Site, app};
use crate::garage::Garage;
use crate::pages;

async fn broken() -> StatusCode {
    panic!("the secret path /home/rider/bike.db")
}

fn server() -> Router {
    let mut all = pages::all();
    all.push(Page::new("/broken", "Broken", || get(broken)));
    all.push(Page::target("/bare", || post(|| async { StatusCode::NO_CONTENT })));
    app::app(AppState::new(Garage::demo().expect("the demo"), Clock::System, Reach::here(4717), Site::new(all)))
}

fn asking(method: Method, path: &str, headers: &[(&str, &str)], body: &str) -> Request<Body> {
    let mut request = Request::builder().method(method).uri(path);
    for (name, value) in headers {
        request = request.header(*name, *value);
    }
    request.body(Body::from(body.to_owned())).expect("a request")
}

/// A page's form, sent from its own page.
async fn post_form(server: &Router, path: &str, session: &str, fields: &str) -> Told {
    let headers = [
        ("host", HOST),
        ("sec-fetch-site", "same-origin"),
        ("content-type", "application/x-www-form-urlencoded"),
        ("cookie", session),
    ];
    send(server, asking(Method::POST, path, &headers, fields)).await
}
