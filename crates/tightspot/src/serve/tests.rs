//! The server as a stranger, a program and a browser meet it: real router, no socket.

use std::future::Future;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, Method, Request, StatusCode};
use axum::routing::{get, post};
use tower::ServiceExt as _;

use super::{AppState, Clock, Page, Site, app};
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
    app::app(AppState::new(Garage::demo().expect("the demo"), Clock::System, 4717, Site::new(all)))
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

#[test]
fn only_our_own_names_are_answered_to() {
    wait(async {
        let server = server();
        let hosts: &[(&[&str], StatusCode)] = &[
            (&[HOST], StatusCode::OK),
            (&["localhost:4717"], StatusCode::OK),
            (&["LOCALHOST:4717"], StatusCode::OK),
            (&["[::1]:4717"], StatusCode::OK),
            (&[], StatusCode::MISDIRECTED_REQUEST),
            (&[HOST, HOST], StatusCode::MISDIRECTED_REQUEST),
            (&["127.0.0.1.:4717"], StatusCode::MISDIRECTED_REQUEST),
            (&["localhost.:4717"], StatusCode::MISDIRECTED_REQUEST),
            (&["127.0.0.1"], StatusCode::MISDIRECTED_REQUEST),
            (&["127.0.0.1:4718"], StatusCode::MISDIRECTED_REQUEST),
            (&["evil.example:4717"], StatusCode::MISDIRECTED_REQUEST),
            (&[""], StatusCode::MISDIRECTED_REQUEST),
        ];
        for (names, want) in hosts {
            let headers: Vec<(&str, &str)> = names.iter().map(|name| ("host", *name)).collect();
            for path in ["/pages", "/api/v1/figures", "/no/such/page"] {
                let told = send(&server, asking(Method::GET, path, &headers, "")).await;
                let want =
                    if *want == StatusCode::OK && path == "/no/such/page" { StatusCode::NOT_FOUND } else { *want };
                assert_eq!(told.status, want, "{names:?} {path}");
            }
        }
        let target = send(&server, asking(Method::GET, "http://evil.example/pages", &[("host", HOST)], "")).await;
        assert_eq!(target.status, StatusCode::MISDIRECTED_REQUEST);
    });
}

#[test]
fn a_change_comes_from_our_own_pages_or_not_at_all() {
    wait(async {
        let server = server();
        let json = ("content-type", "application/json");
        let own = ("origin", "http://127.0.0.1:4717");
        let cases: &[(&str, &[(&str, &str)], bool)] = &[
            ("/bare", &[("sec-fetch-site", "same-origin")], true),
            ("/bare", &[("sec-fetch-site", "none")], true),
            ("/bare", &[("sec-fetch-site", "cross-site"), own], false),
            ("/bare", &[("sec-fetch-site", "same-site"), own], false),
            ("/bare", &[own], true),
            ("/bare", &[("origin", "http://localhost:4717")], true),
            ("/bare", &[("origin", "null")], false),
            ("/bare", &[("origin", "http://127.0.0.1:9999")], false),
            ("/bare", &[("origin", "https://127.0.0.1:4717")], false),
            ("/bare", &[("origin", "http://evil.example")], false),
            ("/bare", &[], false),
            ("/bare", &[json], false),
            ("/api/v1/figures/slack.alignment", &[json], true),
            ("/api/v1/figures/slack.alignment", &[("content-type", "text/plain")], false),
            ("/api/v1/figures/slack.alignment", &[json, ("origin", "http://evil.example")], false),
            ("/api/v1/figures/slack.alignment", &[json, ("sec-fetch-site", "cross-site")], false),
        ];
        for (path, headers, passes) in cases {
            let headers: Vec<(&str, &str)> = [("host", HOST)].into_iter().chain(headers.iter().copied()).collect();
            let told = send(&server, asking(Method::POST, path, &headers, "{}")).await;
            assert_eq!(told.status != StatusCode::FORBIDDEN, *passes, "{path} {headers:?}: {}", told.status);
            assert!(told.header("access-control-allow-origin").is_empty());
        }
    });
}

#[test]
fn every_answer_carries_the_headers_of_safety() {
    wait(async {
        let server = server();
        let style = super::assets::style();
        for path in ["/pages", "/kit", "/nowhere", "/api/v1/figures", "/api/nowhere", "/broken", "/favicon.ico", &style]
        {
            let told = fetch(&server, path).await;
            assert!(told.header("content-security-policy").starts_with("default-src 'none';"), "{path}");
            for part in ["form-action 'self'", "frame-ancestors 'none'", "base-uri 'none'"] {
                assert!(told.header("content-security-policy").contains(part), "{path}");
            }
            assert!(!told.header("content-security-policy").contains("unsafe"));
            assert_eq!(told.header("x-content-type-options"), "nosniff", "{path}");
            assert_eq!(told.header("referrer-policy"), "same-origin", "{path}");
            assert_eq!(told.header("cross-origin-opener-policy"), "same-origin", "{path}");
            let kind = told.header("content-type");
            assert!(!kind.is_empty(), "{path}");
            assert!(!kind.starts_with("text/") || kind.contains("charset=utf-8"), "{path}: {kind}");
        }
    });
}

#[test]
fn refusals_are_pages_for_people_and_problems_for_programs() {
    wait(async {
        let server = server();
        let own = [("host", HOST), ("sec-fetch-site", "same-origin")];
        let json = [("host", HOST), ("content-type", "application/json")];
        let large = "x".repeat(1 << 21);
        let cases = [
            (asking(Method::GET, "/nowhere", &own, ""), 404),
            (asking(Method::GET, "/figures/slack.nonsense", &own, ""), 404),
            (asking(Method::PUT, "/pages", &own, ""), 405),
            (asking(Method::TRACE, "/pages", &own, ""), 405),
            (asking(Method::POST, "/theme", &own, "theme=dark"), 415),
            (asking(Method::GET, "/broken", &own, ""), 500),
            (asking(Method::GET, "/api/v1/nowhere", &own, ""), 404),
            (asking(Method::POST, "/api/v1/figures/no.such", &json, "{}"), 404),
            (asking(Method::GET, "/api/v1/figures/slack.alignment", &own, ""), 405),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &json, "{"), 400),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &json, "{} {}"), 400),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &json, "{},\"id\":{}"), 400),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &json, "[]"), 422),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &json, "{}"), 422),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &json, &large), 413),
            (asking(Method::POST, "/api/v1/figures/slack.alignment", &own, "{}"), 415),
        ];
        for (request, want) in cases {
            let (name, api) =
                (format!("{} {}", request.method(), request.uri()), request.uri().path().starts_with("/api"));
            let told = send(&server, request).await;
            assert_eq!(told.status.as_u16(), want, "{name}: {}", told.body);
            assert_eq!(want == 405, !told.header("allow").is_empty(), "{name}");
            assert!(!told.body.contains("rider") && !told.body.contains("panic"), "{name}");
            if api {
                assert_eq!(told.header("content-type"), "application/problem+json", "{name}");
                let problem: serde_json::Value = serde_json::from_str(&told.body).expect(&name);
                assert_eq!(problem["status"], want, "{name}");
                for member in ["type", "title", "detail", "instance"] {
                    assert!(problem[member].as_str().is_some_and(|text| !text.is_empty()), "{name}: {member}");
                }
            } else {
                assert!(told.body.contains("<h1>") && told.body.contains("All pages"), "{name}");
            }
        }
    });
}

#[test]
fn a_refused_field_is_pointed_at() {
    wait(async {
        let server = server();
        let json = [("host", HOST), ("content-type", "application/json; charset=utf-8")];
        let path = "/api/v1/figures/slack.alignment";
        let given = r#"{"left_mm": 600, "right_mm": 600, "track_mm": 9000}"#;
        let told = send(&server, asking(Method::POST, path, &json, given)).await;
        let problem: serde_json::Value = serde_json::from_str(&told.body).expect("json");
        assert_eq!(problem["errors"][0]["pointer"], "/track_mm");
        assert_eq!(problem["errors"][0]["code"], "out_of_range");
        let twice = r#"{"left_mm": 600, "left_mm": 601, "right_mm": 600, "track_mm": 200}"#;
        let told = send(&server, asking(Method::POST, path, &json, twice)).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", told.body);
    });
}

#[test]
fn the_api_answers_with_the_digits_of_the_command() {
    wait(async {
        let server = server();
        let json = [("host", HOST), ("content-type", "application/json")];
        let given = r#"{"left_mm": 601.3, "right_mm": 600, "track_mm": 221.7}"#;
        let told = send(&server, asking(Method::POST, "/api/v1/figures/slack.alignment", &json, given)).await;
        assert_eq!(told.status, StatusCode::OK, "{}", told.body);
        let line = format!(r#"{{"figure":"slack.alignment","given":{given}}}"#);
        let mut line = figures::line::answer(&line, 1, &figures::NoTracks);
        line.as_object_mut().map(|line| line.shift_remove("id"));
        assert_eq!(told.body, line.to_string());
    });
}

#[test]
fn head_is_get_without_its_body() {
    wait(async {
        let server = server();
        for path in ["/pages", "/api/v1/figures", "/nowhere", "/api/nowhere"] {
            let got = fetch(&server, path).await;
            let head = send(&server, asking(Method::HEAD, path, &[("host", HOST)], "")).await;
            assert_eq!(head.status, got.status, "{path}");
            assert_eq!(head.header("content-type"), got.header("content-type"), "{path}");
            assert!(head.body.is_empty() && !got.body.is_empty(), "{path}");
        }
    });
}

#[test]
fn documents_have_a_tag_and_are_not_sent_twice() {
    wait(async {
        let server = server();
        for path in ["/api/v1/figures", "/api/v1/openapi.json", "/api/v1/routes"] {
            let tag = fetch(&server, path).await.header("etag").to_owned();
            for known in [tag.clone(), format!("W/{tag}"), format!("\"other\", {tag}"), "*".to_owned()] {
                let headers = [("host", HOST), ("if-none-match", known.as_str())];
                let told = send(&server, asking(Method::GET, path, &headers, "")).await;
                assert_eq!(told.status, StatusCode::NOT_MODIFIED, "{path} {known}");
                assert!(told.body.is_empty());
            }
        }
    });
}

#[test]
fn large_answers_are_compressed_and_small_ones_are_not() {
    wait(async {
        let server = server();
        let zipped = [("host", HOST), ("accept-encoding", "gzip")];
        let page = send(&server, asking(Method::GET, "/kit", &zipped, "")).await;
        assert_eq!(page.header("content-encoding"), "gzip");
        let icon = send(&server, asking(Method::GET, "/favicon.ico", &zipped, "")).await;
        assert_eq!(icon.header("content-encoding"), "");
    });
}

#[test]
fn files_are_kept_for_good_under_names_of_their_content() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/pages").await.body;
        for address in [super::assets::style(), super::assets::script(), super::assets::icon()] {
            assert!(page.contains(&address), "{address}");
            let file = fetch(&server, &address).await;
            assert_eq!(file.status, StatusCode::OK);
            assert!(file.header("cache-control").contains("immutable"));
        }
        assert_eq!(fetch(&server, "/assets/frame.0.css").await.status, StatusCode::NOT_FOUND);
        assert_eq!(fetch(&server, "/assets/..%2fCargo.toml").await.status, StatusCode::NOT_FOUND);
    });
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

#[test]
fn a_form_sent_twice_is_answered_once() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/kit").await;
        let session = page.session();
        let keys = format!("form_token={}&form_key={}", page.hidden("form_token"), page.hidden("form_key"));
        let first = post_form(&server, "/kit", &session, &format!("{keys}&slack_mm=85")).await;
        assert_eq!((first.status, first.header("location")), (StatusCode::SEE_OTHER, "/kit?saved=1"));
        let again = post_form(&server, "/kit", &session, &format!("{keys}&slack_mm=85")).await;
        assert_eq!((again.status, again.header("location")), (StatusCode::SEE_OTHER, "/kit?saved=1"));
        let other = post_form(&server, "/kit", &session, &format!("{keys}&slack_mm=86")).await;
        assert_eq!(other.status, StatusCode::UNPROCESSABLE_ENTITY);
    });
}

#[test]
fn a_fault_is_told_and_what_was_typed_is_kept() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/kit").await;
        let keys = format!("form_token={}&form_key={}", page.hidden("form_token"), page.hidden("form_key"));
        let fields = format!("{keys}&slack_mm=850&stand=ground&note=%3Cb%3Emuddy%3C/b%3E");
        let told = post_form(&server, "/kit", &page.session(), &fields).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(told.body.contains("<title>Error: "));
        assert!(told.body.contains("value=\"850\"") && told.body.contains("&lt;b&gt;muddy"));
        assert!(told.body.contains("href=\"#slack_mm\"") && told.body.contains("aria-invalid=\"true\""));
        // The same form, put right, goes through: a refused post uses no key up.
        let right = post_form(&server, "/kit", &page.session(), &format!("{keys}&slack_mm=85")).await;
        assert_eq!(right.status, StatusCode::SEE_OTHER);
    });
}

#[test]
fn a_form_from_before_a_restart_keeps_its_text_and_asks_once_more() {
    wait(async {
        let page = fetch(&server(), "/kit").await;
        let keys = format!("form_token={}&form_key={}", page.hidden("form_token"), page.hidden("form_key"));
        let server = server();
        let told = post_form(&server, "/kit", &page.session(), &format!("{keys}&slack_mm=85&note=two+lines")).await;
        assert_eq!(told.status, StatusCode::FORBIDDEN);
        assert!(told.body.contains("name=\"slack_mm\" value=\"85\"") && told.body.contains("two lines"));
        let keys = format!("form_token={}&form_key={}", told.hidden("form_token"), told.hidden("form_key"));
        let again = post_form(&server, "/kit", &told.session(), &format!("{keys}&slack_mm=85&note=two+lines")).await;
        assert_eq!(again.status, StatusCode::SEE_OTHER);
    });
}

#[test]
fn a_stranger_without_the_token_changes_nothing() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/kit").await;
        let other = fetch(&server, "/kit").await;
        for (session, fields) in [
            (page.session(), "slack_mm=85".to_owned()),
            (page.session(), format!("form_key=1&form_token={}&slack_mm=85", other.hidden("form_token"))),
            (page.session(), format!("form_token={}&slack_mm=85", page.hidden("form_token"))),
            (String::new(), format!("form_key=1&form_token={}&slack_mm=85", page.hidden("form_token"))),
        ] {
            let told = post_form(&server, "/kit", &session, &fields).await;
            assert_eq!(told.status, StatusCode::FORBIDDEN, "{fields}");
        }
    });
}

#[test]
fn the_theme_is_kept_without_script() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/pages").await;
        assert!(page.header("set-cookie").contains("HttpOnly; SameSite=Strict; Path=/"));
        let keys = format!("form_token={}&form_key={}", page.hidden("form_token"), page.hidden("form_key"));
        let told = post_form(&server, "/theme", &page.session(), &format!("{keys}&theme=dark&back=/figures?x=1")).await;
        assert_eq!((told.status, told.header("location")), (StatusCode::SEE_OTHER, "/figures?x=1"));
        let cookie = told.header("set-cookie").split(';').next().expect("a cookie").to_owned();
        let dark = send(&server, asking(Method::GET, "/pages", &[("host", HOST), ("cookie", &cookie)], "")).await;
        assert!(dark.body.contains("data-theme=\"dark\""));
    });
}

#[test]
fn one_part_is_answered_alone_where_it_is_asked_for() {
    wait(async {
        let server = server();
        let headers = [("host", HOST), ("x-part", "answer")];
        let path = "/figures/slack.alignment?left_mm=600&right_mm=601&track_mm=220";
        let part = send(&server, asking(Method::GET, path, &headers, "")).await;
        assert!(part.body.starts_with("<div id=\"answer\""), "{}", part.body);
        assert!(part.headers.get_all("vary").iter().any(|names| names == "x-part, cookie"));
        assert!(fetch(&server, path).await.body.contains(&part.body));
    });
}

#[test]
fn every_page_of_the_list_can_be_visited() {
    wait(async {
        let server = server();
        let routes: serde_json::Value =
            serde_json::from_str(&fetch(&server, "/api/v1/routes").await.body).expect("json");
        let pages = routes["pages"].as_array().expect("pages").iter().filter(|page| page["path"] != "/broken");
        let visits: Vec<&str> = pages
            .flat_map(|page| page["visits"].as_array().expect("visits"))
            .filter_map(|visit| visit.as_str())
            .collect();
        assert!(visits.len() > 10);
        for visit in visits {
            let told = fetch(&server, visit).await;
            assert!(matches!(told.status.as_u16(), 200 | 422), "{visit}: {}", told.status);
            assert!(told.body.starts_with("<!DOCTYPE html>"), "{visit}");
            assert!(!told.body.contains(" style=") && !told.body.contains(" onclick="), "{visit}");
        }
    });
}
