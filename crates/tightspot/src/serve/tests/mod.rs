//! The server as a stranger, a program and a browser meet it: real router, no socket.
//!
//! Layout: `guard` who is kept out · `answers` what comes back · `forms` what is sent · here how to ask.

mod answers;
mod forms;
mod guard;

use std::future::Future;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, Method, Request, StatusCode};
use axum::routing::{get, post};
use tower::ServiceExt as _;

use super::{AppState, Clock, Page, Reach, Site, app};
use crate::garage::Garage;
use crate::pages;

const HOST: &str = "127.0.0.1:4717";

/// What came back.
struct Told {
    status: StatusCode,
    headers: HeaderMap,
    body: String,
}

impl Told {
    fn header(&self, name: &str) -> &str {
        self.headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or("")
    }

    /// The value of the hidden field of that name.
    fn hidden(&self, name: &str) -> String {
        let rest = self.body.split(&format!("name=\"{name}\" value=\"")).nth(1).expect(name);
        rest.split('"').next().expect("a value").to_owned()
    }

    fn session(&self) -> String {
        self.header("set-cookie").split(';').next().expect("a cookie").to_owned()
    }
}

async fn broken() -> StatusCode {
    panic!("the secret path /home/rider/bike.db")
}

fn server() -> Router {
    let mut all = pages::all();
    all.push(Page::new("/broken", "Broken", || get(broken)));
    all.push(Page::target("/bare", || post(|| async { StatusCode::NO_CONTENT })));
    app::app(AppState::new(Garage::demo().expect("the demo"), Clock::System, Reach::here(4717), Site::new(all)))
}

fn wait<T>(future: impl Future<Output = T>) -> T {
    tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime").block_on(future)
}

async fn send(server: &Router, request: Request<Body>) -> Told {
    let response = server.clone().oneshot(request).await.expect("infallible");
    let (parts, body) = response.into_parts();
    let bytes = to_bytes(body, usize::MAX).await.expect("a body");
    Told { status: parts.status, headers: parts.headers, body: String::from_utf8_lossy(&bytes).into_owned() }
}

fn asking(method: Method, path: &str, headers: &[(&str, &str)], body: &str) -> Request<Body> {
    let mut request = Request::builder().method(method).uri(path);
    for (name, value) in headers {
        request = request.header(*name, *value);
    }
    request.body(Body::from(body.to_owned())).expect("a request")
}

async fn fetch(server: &Router, path: &str) -> Told {
    send(server, asking(Method::GET, path, &[("host", HOST)], "")).await
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
