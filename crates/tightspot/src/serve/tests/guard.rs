//! Who is kept out.

use axum::http::{Method, StatusCode};

use super::{HOST, asking, fetch, post_form, send, server, wait};

/// A path, headers, whether the request passes.
type Case<'a> = (&'a str, &'a [(&'a str, &'a str)], bool);

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
        let told = send(&server, asking(Method::GET, "/pages", &[("host", "evil.example:4717")], "")).await;
        assert!(told.header("set-cookie").is_empty() && !told.body.contains("Alder"), "{}", told.body);
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
        let cases: &[Case<'_>] = &[
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
            ("/api/v1/rides", &[("content-type", "text/plain")], false),
            ("/api/v1/changes/1/undo", &[("content-type", "text/plain")], false),
            ("/api/v1/changes/1/undo", &[], false),
            ("/api/v1/changes/1/undo", &[json, ("origin", "http://evil.example")], false),
            ("/api/v1/figures/slack.alignment", &[json, ("origin", "http://evil.example")], false),
            ("/api/v1/figures/slack.alignment", &[json, ("sec-fetch-site", "cross-site")], false),
        ];
        for (path, headers, passes) in cases {
            let headers: Vec<(&str, &str)> = [("host", HOST)].into_iter().chain(headers.iter().copied()).collect();
            let told = send(&server, asking(Method::POST, path, &headers, "{}")).await;
            // What is no JSON is refused by the API itself, wherever it comes from.
            let refused = [StatusCode::FORBIDDEN, StatusCode::UNSUPPORTED_MEDIA_TYPE].contains(&told.status);
            assert_eq!(!refused, *passes, "{path} {headers:?}: {}", told.status);
            assert!(told.header("access-control-allow-origin").is_empty());
        }
    });
}

#[test]
fn every_answer_carries_the_headers_of_safety() {
    wait(async {
        let server = server();
        let style = crate::serve::assets::style();
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
fn a_stranger_without_the_token_changes_nothing() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/kit").await;
        let other = fetch(&server, "/kit").await;
        for (session, fields) in [
            (page.session(), "slack_mm=85".to_owned()),
            (page.session(), format!("form_key=1&form_token={}&slack_mm=85", other.hidden("form_token"))),
            (page.session(), format!("form_token={}&slack_mm=85", page.hidden("form_token"))),
            (
                page.session(),
                format!("form_key={}&form_token={}&slack_mm=85", "k".repeat(201), page.hidden("form_token")),
            ),
            (String::new(), format!("form_key=1&form_token={}&slack_mm=85", page.hidden("form_token"))),
        ] {
            let told = post_form(&server, "/kit", &session, &fields).await;
            assert_eq!(told.status, StatusCode::FORBIDDEN, "{fields}");
        }
    });
}
