//! A server for the tests of a slice: the real router over the demo's garage, no socket, asked as a browser asks.

use std::future::Future;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::extract::ConnectInfo;
use axum::http::{HeaderMap, Method, Request, StatusCode};
use tower::ServiceExt as _;

use super::gate::Gate;
use super::gate::password::Kept;
use super::{AppState, Clock, Demo, Peer, Reach, Site, app};
use crate::garage::Garage;
use crate::pages;

pub(crate) const HOST: &str = "127.0.0.1:4717";
const EDGE: &str = "edge-of-the-parts";

/// What came back.
pub(crate) struct Told {
    pub(crate) status: StatusCode,
    pub(crate) headers: HeaderMap,
    pub(crate) body: String,
}

impl Told {
    pub(crate) fn header(&self, name: &str) -> &str {
        self.headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or("")
    }

    /// The value of the hidden field of that name.
    pub(crate) fn hidden(&self, name: &str) -> String {
        let rest = self.body.split(&format!("name=\"{name}\" value=\"")).nth(1).expect(name);
        rest.split('"').next().expect("a value").to_owned()
    }

    pub(crate) fn session(&self) -> String {
        self.header("set-cookie").split(';').next().expect("a cookie").to_owned()
    }

    /// The page without its markup, blanks drawn together.
    pub(crate) fn text(&self) -> String {
        let parts = self.body.split('<').map(|part| part.split_once('>').map_or(part, |(_, text)| text));
        parts.collect::<Vec<_>>().join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
    }
}

/// The demo, served in the demo's own moment.
pub(crate) fn demo_server() -> Router {
    Demo::new().expect("the demo").router
}

/// The demo, served.
pub(crate) fn server() -> Router {
    of_garage(Garage::demo().expect("the demo"))
}

/// A garage of one's own, served.
pub(crate) fn of_garage(garage: Garage) -> Router {
    app::app(AppState::new(garage, Clock::System, Reach::here(4717), Site::new(pages::all())))
}

/// The demo, served on the home network under one name besides, with a password.
pub(crate) fn guarded(password: &str, secure: bool) -> Router {
    let gate = Gate::asking(Kept::new(password).expect("a hash")).encrypted(secure);
    let reach = Reach { port: 4717, names: vec!["garage.local".to_owned()], gate };
    app::app(AppState::new(Garage::demo().expect("the demo"), Clock::System, reach, Site::new(pages::all())))
}

/// Any request, as if it came from that address.
pub(crate) async fn send_from(
    server: &Router,
    from: &str,
    method: Method,
    path: &str,
    headers: &[(&str, &str)],
    body: &str,
) -> Told {
    let peer = Peer(Some(from.parse().expect("an address")));
    told(server, Some(peer), method, path, headers, body.as_bytes().to_vec()).await
}

/// Runs a test's asking to its end.
pub(crate) fn wait<T>(future: impl Future<Output = T>) -> T {
    tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime").block_on(future)
}

async fn send(server: &Router, method: Method, path: &str, headers: &[(&str, &str)], body: Vec<u8>) -> Told {
    told(server, None, method, path, headers, body).await
}

async fn told(
    server: &Router,
    peer: Option<Peer>,
    method: Method,
    path: &str,
    headers: &[(&str, &str)],
    body: Vec<u8>,
) -> Told {
    let mut request = Request::builder().method(method).uri(path);
    if !headers.iter().any(|(name, _)| *name == "host") {
        request = request.header("host", HOST);
    }
    if let Some(peer) = peer {
        request = request.extension(ConnectInfo(peer));
    }
    for (name, value) in headers {
        request = request.header(*name, *value);
    }
    answered(server, request.body(Body::from(body)).expect("a request")).await
}

/// What the server answers to a request as it stands.
pub(crate) async fn answered(server: &Router, request: Request<Body>) -> Told {
    let (parts, body) = server.clone().oneshot(request).await.expect("infallible").into_parts();
    let bytes = to_bytes(body, usize::MAX).await.expect("a body");
    Told { status: parts.status, headers: parts.headers, body: String::from_utf8_lossy(&bytes).into_owned() }
}

/// A page as it opens.
pub(crate) async fn fetch(server: &Router, path: &str) -> Told {
    send(server, Method::GET, path, &[], Vec::new()).await
}

/// A page with headers of one's own (a bike's cookie, a part).
pub(crate) async fn fetch_with(server: &Router, path: &str, headers: &[(&str, &str)]) -> Told {
    send(server, Method::GET, path, headers, Vec::new()).await
}

/// A form of a page, sent from it.
pub(crate) async fn post(server: &Router, path: &str, page: &Told, fields: &str) -> Told {
    let body = format!("form_token={}&form_key={}&{fields}", page.hidden("form_token"), page.hidden("form_key"));
    let session = page.session();
    let headers = [
        ("sec-fetch-site", "same-origin"),
        ("content-type", "application/x-www-form-urlencoded"),
        ("cookie", session.as_str()),
    ];
    send(server, Method::POST, path, &headers, body.into_bytes()).await
}

/// A form with a file, sent from its page.
pub(crate) async fn post_file(
    server: &Router,
    path: &str,
    page: &Told,
    fields: &[(&str, &str)],
    file: (&str, &[u8]),
) -> Told {
    post_files(server, path, page, fields, &[file]).await
}

/// A form with several files, sent from its page.
pub(crate) async fn post_files(
    server: &Router,
    path: &str,
    page: &Told,
    fields: &[(&str, &str)],
    files: &[(&str, &[u8])],
) -> Told {
    let (token, key) = (page.hidden("form_token"), page.hidden("form_key"));
    let keys = [("form_token", token.as_str()), ("form_key", key.as_str())];
    let mut body = Vec::new();
    for (name, text) in keys.iter().chain(fields) {
        body.extend(format!("--{EDGE}\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{text}\r\n").bytes());
    }
    for (name, bytes) in files {
        let head = format!(
            "--{EDGE}\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\nContent-Type: application/octet-stream\r\n\r\n"
        );
        body.extend(head.bytes());
        body.extend(*bytes);
        body.extend(b"\r\n");
    }
    body.extend(format!("--{EDGE}--\r\n").bytes());
    let (session, kind) = (page.session(), format!("multipart/form-data; boundary={EDGE}"));
    let headers = [("sec-fetch-site", "same-origin"), ("content-type", kind.as_str()), ("cookie", session.as_str())];
    send(server, Method::POST, path, &headers, body).await
}
