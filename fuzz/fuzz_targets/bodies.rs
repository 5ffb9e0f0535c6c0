//! Any body, of any kind, on every route that takes one. The first line names route and kind (`POST /rides/log form`), the
//! rest is the body; a line that names none chooses one all the same. No panic, no status of ours to blame (5xx), an answer within the limit; a page that was
//! refused keeps its form, a program that was refused gets a problem document.
#![no_main]

use std::cell::RefCell;
use std::time::{Duration, Instant};

use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, Method, Request};
use libfuzzer_sys::fuzz_target;
use tokio::runtime::Runtime;
use tower::ServiceExt as _;

/// After so many bodies the record is made anew: what was taken in doesn't pile up.
const ANEW: usize = 2000;
/// The longest that one may take, in a build that counts every branch.
const LIMIT: Duration = Duration::from_secs(5);
const HOST: &str = "127.0.0.1:4717";
const KINDS: [&str; 4] = ["form", "parts", "json", "text"];

/// A route that takes a body.
struct Route {
    method: Method,
    /// As the router reads it: `POST /jobs/order/{id}/tick`.
    name: String,
    /// The same with what the demo has in place of `{id}`.
    path: String,
}

/// The application with what a browser that looked at it would hold.
struct Served {
    demo: tightspot::Demo,
    runtime: Runtime,
    routes: Vec<Route>,
    cookie: String,
    token: String,
    seen: usize,
}

thread_local! {
    static SERVED: RefCell<Served> = RefCell::new(Served::new());
}

impl Served {
    fn new() -> Self {
        let demo = tightspot::Demo::new().expect("the demo");
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
        let mut served =
            Self { demo, runtime, routes: Vec::new(), cookie: String::new(), token: String::new(), seen: 0 };
        let (headers, page) = served.get("/rides/log");
        served.cookie = told(&headers, "set-cookie").split(';').next().expect("a cookie").to_owned();
        served.token = after(&page, "name=\"form_token\" value=\"").to_owned();
        served.routes = served.all_routes();
        served
    }

    fn ask(&self, request: Request<Body>) -> (u16, HeaderMap, Vec<u8>) {
        self.runtime.block_on(async {
            let answer = self.demo.router.clone().oneshot(request).await.expect("infallible");
            let (parts, body) = answer.into_parts();
            let bytes = to_bytes(body, usize::MAX).await.expect("a body");
            (parts.status.as_u16(), parts.headers, bytes.to_vec())
        })
    }

    fn get(&self, path: &str) -> (HeaderMap, String) {
        let request = Request::get(path).header("host", HOST).header("cookie", &self.cookie);
        let (_, headers, bytes) = self.ask(request.body(Body::empty()).expect("a request"));
        (headers, String::from_utf8(bytes).expect("text"))
    }

    /// Every page that takes a form, every operation of the API that changes or computes something.
    fn all_routes(&self) -> Vec<Route> {
        let (order, entry) = (self.first("/api/v1/orders"), self.first("/api/v1/entries"));
        let route = |method: Method, path: &str| {
            let place = path.replace("{order}", &order).replace("{id}", &order).replace("{entry}", &entry);
            let place = place.replace("{bike}", "alder-350").replace("{change}", "1");
            Route { name: format!("{method} {path}"), path: place, method }
        };
        let mut routes: Vec<Route> = self.demo.paths.iter().map(|path| route(Method::POST, path)).collect();
        routes.retain(|route| self.takes(route));
        let (_, text) = self.get("/api/v1/openapi.json");
        let document: serde_json::Value = serde_json::from_str(&text).expect("the description");
        for (path, operations) in document["paths"].as_object().expect("paths") {
            let methods = [Method::POST, Method::PUT, Method::PATCH].into_iter();
            let described = methods.filter(|method| operations.get(method.as_str().to_lowercase()).is_some());
            routes.extend(described.map(|method| route(method, path)));
        }
        routes
    }

    /// The id of the first thing that a list of the API holds.
    fn first(&self, list: &str) -> String {
        let document: serde_json::Value = serde_json::from_str(&self.get(list).1).expect("a list");
        let first = &document["items"][0];
        let id = first.get("id").or_else(|| first.get("order")).expect("an id");
        id.as_str().map_or_else(|| id.to_string(), str::to_owned)
    }

    fn takes(&self, route: &Route) -> bool {
        let request = Request::post(&route.path).header("host", HOST).header("sec-fetch-site", "same-origin");
        self.ask(request.body(Body::empty()).expect("a request")).0 != 405
    }

    /// The route and the kind of body that a line names, or those that its bytes happen to choose.
    fn choose(&self, line: &str) -> (&Route, &'static str) {
        let sum = line.bytes().fold(7_usize, |sum, byte| sum.wrapping_mul(31).wrapping_add(usize::from(byte)));
        let (what, kind) = line.rsplit_once(' ').unwrap_or((line, ""));
        let named = self.routes.iter().find(|route| route.name == what);
        let kind = KINDS.iter().find(|known| **known == kind).unwrap_or(&KINDS[sum / 997 % KINDS.len()]);
        (named.unwrap_or(&self.routes[sum % self.routes.len()]), kind)
    }

    fn send(&self, route: &Route, kind: &str, body: &[u8]) {
        let request = Request::builder().method(&route.method).uri(&route.path).header("host", HOST);
        let request = request.header("sec-fetch-site", "same-origin").header("cookie", &self.cookie);
        let page = !route.path.starts_with("/api/");
        // A form with its keys gets past the door.
        let (kind, body) = match kind {
            "form" => {
                let keys = format!("form_token={}&form_key={}&", self.token, self.seen);
                ("application/x-www-form-urlencoded", [keys.as_bytes(), body].concat())
            }
            "parts" => ("multipart/form-data; boundary=edge", self.parts(body)),
            "text" => ("text/plain", body.to_vec()),
            _ => ("application/json", body.to_vec()),
        };
        let mut request = request.header("content-type", kind);
        if let Some(tag) = self.seen_as(route) {
            request = request.header("if-match", tag);
        }
        let began = Instant::now();
        let (status, headers, bytes) = self.ask(request.body(Body::from(body)).expect("a request"));
        assert!(status < 500, "{}: {status} {}", route.name, String::from_utf8_lossy(&bytes));
        assert!(began.elapsed() < LIMIT, "{}: {:?}", route.name, began.elapsed());
        if status >= 400 {
            assert!(!bytes.is_empty(), "{}: {status} without a word", route.name);
            let kind = told(&headers, "content-type");
            assert!(page || kind.starts_with("application/problem+json"), "{}: {status} as {kind}", route.name);
        }
    }

    /// The tag of what the route changes, where it asks for one.
    fn seen_as(&self, route: &Route) -> Option<String> {
        let order = route.path.strip_prefix("/api/v1/orders/").and_then(|rest| rest.split('/').next());
        let path = order.map(|order| format!("/api/v1/orders/{order}"));
        let path = path.or_else(|| route.path.starts_with("/api/v1/bikes/").then(|| route.path.clone()))?;
        Some(told(&self.get(&path).0, "etag").to_owned())
    }

    /// The keys as parts before the rest, which may close, break or go on with parts of its own.
    fn parts(&self, body: &[u8]) -> Vec<u8> {
        let part = |name: &str, text: &str| {
            format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{text}\r\n")
        };
        [
            part("form_token", &self.token).as_bytes(),
            part("form_key", &self.seen.to_string()).as_bytes(),
            b"--edge\r\n",
            body,
            b"\r\n--edge--\r\n",
        ]
        .concat()
    }
}

fn told<'a>(headers: &'a HeaderMap, name: &str) -> &'a str {
    headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or("")
}

fn after<'a>(text: &'a str, start: &str) -> &'a str {
    text.split(start).nth(1).and_then(|rest| rest.split('"').next()).expect("the form's token")
}

fuzz_target!(|bytes: &[u8]| {
    let mut halves = bytes.splitn(2, |byte| *byte == b'\n');
    let (line, body) = (halves.next().unwrap_or_default(), halves.next().unwrap_or_default());
    SERVED.with_borrow_mut(|served| {
        served.seen += 1;
        if served.seen % ANEW == 0 {
            *served = Served { seen: served.seen, ..Served::new() };
        }
        let (route, kind) = served.choose(&String::from_utf8_lossy(line));
        served.send(route, kind, body);
    });
});
