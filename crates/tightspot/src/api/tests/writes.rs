//! What programs write: once, seen before it is changed, taken back.

use axum::http::{Method, StatusCode};
use serde_json::json;

use super::{get, send, value};
use crate::serve::driven::{send_from, server, wait};

#[test]
fn h3_a_sheet_is_changed_only_by_whoever_has_seen_it() {
    wait(async {
        let (server, path) = (server(), "/api/v1/bikes/alder-350");
        let seen = get(&server, path).await.header("etag").to_owned();
        assert!(seen.starts_with('"'), "a weak tag: {seen}");
        let body = json!({"sheet": {"front_teeth": {"value": 13, "source": "counted"}}}).to_string();
        let blind = send(&server, Method::PATCH, path, &[], &body).await;
        assert_eq!((blind.status, blind.header("etag")), (StatusCode::PRECONDITION_REQUIRED, seen.as_str()));
        let first = send(&server, Method::PATCH, path, &[("if-match", &seen)], &body).await;
        assert_eq!(first.status, StatusCode::OK, "{}", first.body);
        assert_eq!(value(&first)["sheet"]["front_teeth"], json!({"value": 13, "source": "counted"}));
        let now = first.header("etag").to_owned();
        assert_ne!(now, seen);
        // The second client still holds the first tag.
        for method in [Method::PATCH, Method::PUT, Method::DELETE] {
            let body = json!({"name": "x", "sheet": {}}).to_string();
            let body = if method == Method::PATCH { r#"{"sheet":{"rear_teeth":null}}"#.to_owned() } else { body };
            let stale = send(&server, method, path, &[("if-match", &seen)], &body).await;
            assert_eq!((stale.status, stale.header("etag")), (StatusCode::PRECONDITION_FAILED, now.as_str()));
            assert_eq!(stale.header("content-type"), "application/problem+json");
        }
        assert_eq!(value(&get(&server, path).await)["sheet"]["rear_teeth"]["value"], 48);
        let gone = send(&server, Method::DELETE, path, &[("if-match", &now)], "").await;
        assert_eq!(gone.status, StatusCode::OK);
        assert_eq!(get(&server, path).await.status, StatusCode::NOT_FOUND);
        let undo = value(&gone)["undo"].as_str().expect("a way back").to_owned();
        assert_eq!(send(&server, Method::POST, &undo, &[], "").await.status, StatusCode::OK);
        assert_eq!(get(&server, path).await.header("etag"), now);
    });
}

#[test]
fn h4_the_same_key_with_the_same_body_is_done_once() {
    wait(async {
        let server = server();
        let (path, key) = ("/api/v1/rides?bike=sorrel-250", [("idempotency-key", "a-key-of-mine")]);
        let body = r#"{"hours_h": 2.5, "ground": "loam"}"#;
        let first = send(&server, Method::POST, path, &key, body).await;
        assert_eq!(first.status, StatusCode::CREATED, "{}", first.body);
        assert!(first.header("location").starts_with("/api/v1/rides/"));
        let before = get(&server, path).await.body;
        let again = send(&server, Method::POST, path, &key, body).await;
        assert_eq!((again.status, &again.body), (first.status, &first.body));
        assert_eq!(again.header("location"), first.header("location"));
        assert_eq!(get(&server, path).await.body, before, "it is stored twice");
        let other = send(&server, Method::POST, path, &key, r#"{"hours_h": 2.6}"#).await;
        assert_eq!(other.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(value(&other)["errors"][0]["code"], "key_reused");
        // What was refused uses no key up.
        let late = [("idempotency-key", "another")];
        assert_eq!(send(&server, Method::POST, path, &late, r#"{"hours_h": -1}"#).await.status, 422);
        assert_eq!(send(&server, Method::POST, path, &late, body).await.status, StatusCode::CREATED);
        for bad in ["", "two words", &"x".repeat(101)] {
            let told = send(&server, Method::POST, path, &[("idempotency-key", bad)], body).await;
            assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{bad}");
        }
    });
}

#[test]
fn a_fresh_key_opens_no_way_round_what_is_refused_without_one() {
    wait(async {
        let (server, key) = (server(), [("idempotency-key", "fresh")]);
        let before = get(&server, "/api/v1/bikes/alder-350").await.body;
        let taken = json!({"id": "alder-350", "name": "x"}).to_string();
        let told = send(&server, Method::POST, "/api/v1/bikes", &key, &taken).await;
        assert_eq!((told.status.as_u16(), &value(&told)["errors"][0]["code"]), (422, &json!("taken")), "{}", told.body);
        assert_eq!(get(&server, "/api/v1/bikes/alder-350").await.body, before, "its sheet was written over");
        let back = json!({"shows_h": 1.0}).to_string();
        let told = send(&server, Method::POST, "/api/v1/entries/meter?bike=alder-350", &key, &back).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "the meter went back: {}", told.body);
        let back = json!({"hours_h": 1.0, "meter_h": 1.0}).to_string();
        let told = send(&server, Method::POST, "/api/v1/rides?bike=alder-350", &key, &back).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "the meter went back: {}", told.body);
    });
}

#[test]
fn h6_lists_come_page_by_page_in_one_order() {
    wait(async {
        let server = server();
        for list in ["rides", "entries", "changes"] {
            let whole = value(&get(&server, &format!("/api/v1/{list}?limit=100")).await);
            let (mut seen, mut cursor) = (Vec::new(), String::new());
            for _ in 0..100 {
                let page = value(&get(&server, &format!("/api/v1/{list}?limit=7{cursor}")).await);
                let items = page["items"].as_array().expect("items");
                assert!(items.len() <= 7);
                seen.extend(items.iter().cloned());
                match page["next"].as_str() {
                    Some(next) => cursor = format!("&cursor={next}"),
                    None => break,
                }
            }
            let first = whole["items"].as_array().expect("items");
            assert!(first.len() > 1, "{list}");
            assert_eq!(&seen[..first.len()], first, "{list}");
        }
        for bad in ["limit=0", "limit=101", "limit=x", "cursor=nowhere", "bike=none"] {
            let told = get(&server, &format!("/api/v1/rides?{bad}")).await;
            assert!(matches!(told.status.as_u16(), 404 | 422), "{bad}: {}", told.status);
        }
    });
}

#[test]
fn h7_what_is_not_known_is_refused_with_a_pointer() {
    wait(async {
        let server = server();
        let tag = get(&server, "/api/v1/bikes/alder-350").await.header("etag").to_owned();
        let seen = [("if-match", tag.as_str())];
        let cases = [
            (Method::POST, "/api/v1/rides", r#"{"hours": 2}"#, "/hours"),
            (Method::POST, "/api/v1/entries/slack", r#"{"slack_mm": [85], "stand": true}"#, "/stand"),
            (Method::POST, "/api/v1/bikes", r#"{"id": "x", "name": "X", "color": "red"}"#, "/color"),
            (
                Method::PATCH,
                "/api/v1/bikes/alder-350",
                r#"{"sheet": {"front_tooth": {"value": 13}}}"#,
                "/sheet/front_tooth",
            ),
            (
                Method::PATCH,
                "/api/v1/bikes/alder-350",
                r#"{"sheet": {"front_teeth": {"val": 13}}}"#,
                "/sheet/front_teeth/val",
            ),
            (Method::GET, "/api/v1/ready?slack=85", "", "/slack"),
        ];
        for (method, path, body, pointer) in cases {
            let told = send(&server, method, path, &seen, body).await;
            assert_eq!(told.status, StatusCode::BAD_REQUEST, "{path} {body}: {}", told.body);
            assert_eq!(value(&told)["errors"][0]["pointer"], pointer, "{}", told.body);
        }
    });
}

#[test]
fn h1_a_field_that_is_refused_is_pointed_at() {
    wait(async {
        let server = server();
        let cases = [
            ("/api/v1/rides", json!({"hours_h": 500}), "/hours_h", "out_of_range"),
            ("/api/v1/rides", json!({"at": "tomorrow"}), "/at", "no_time"),
            ("/api/v1/rides", json!({"at": "2999-01-01T00:00:00Z"}), "/at", "no_time"),
            ("/api/v1/rides", json!({"odd": "bang"}), "/odd", "no_such_word"),
            ("/api/v1/entries/slack", json!({}), "/slack_mm", "missing"),
            ("/api/v1/entries/slack", json!({"slack_mm": []}), "/slack_mm", "wrong_list"),
            ("/api/v1/entries/elongation", json!({"length_mm": [["x"]]}), "/length_mm", "wrong_list"),
            (
                "/api/v1/entries/part",
                json!({"role": "chain", "name": "B", "price_minor": 9200}),
                "/currency",
                "missing",
            ),
            ("/api/v1/entries/check", json!({"check": "brakes", "answer": "firm"}), "/check", "no_such_word"),
            ("/api/v1/entries/planned", json!({"at": "2001-01-01T00:00:00Z", "name": "x"}), "/at", "no_time"),
            ("/api/v1/bikes", json!({"id": "No Good", "name": "x"}), "/id", "not_text"),
            ("/api/v1/bikes", json!({"id": "alder-350", "name": "x"}), "/id", "taken"),
        ];
        for (path, body, pointer, code) in cases {
            let told = send(&server, Method::POST, path, &[], &body.to_string()).await;
            assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{path} {body}: {}", told.body);
            let error = &value(&told)["errors"][0];
            assert_eq!(
                (error["pointer"].as_str(), error["code"].as_str()),
                (Some(pointer), Some(code)),
                "{}",
                told.body
            );
        }
    });
}

#[test]
fn h5_reading_is_safe_and_not_sent_twice() {
    wait(async {
        let server = server();
        for path in ["/api/v1/ready", "/api/v1/drive", "/api/v1/rides", "/api/v1/bikes/alder-350", "/api/v1/jobs"] {
            let told = get(&server, path).await;
            let tag = told.header("etag").to_owned();
            assert!(told.status == 200 && tag.starts_with('"'), "{path}: {}", told.body);
            let same = send_from(&server, "127.0.0.1", Method::GET, path, &[("if-none-match", &tag)], "").await;
            assert_eq!((same.status, same.body.as_str()), (StatusCode::NOT_MODIFIED, ""), "{path}");
            let head = send_from(&server, "127.0.0.1", Method::HEAD, path, &[], "").await;
            assert_eq!(
                (head.status, head.header("etag"), head.body.as_str()),
                (told.status, tag.as_str(), ""),
                "{path}"
            );
        }
        let wrong = send(&server, Method::PATCH, "/api/v1/rides", &[], "{}").await;
        assert_eq!((wrong.status.as_u16(), wrong.header("allow").is_empty()), (405, false));
    });
}

#[test]
fn h8_what_is_too_large_or_too_deep_is_a_problem() {
    wait(async {
        let server = server();
        let large = format!("{{\"note\": \"{}\"}}", "x".repeat(2 << 20));
        for key in [vec![], vec![("idempotency-key", "k")]] {
            let told = send(&server, Method::POST, "/api/v1/rides", &key, &large).await;
            assert_eq!(told.status, StatusCode::PAYLOAD_TOO_LARGE);
            assert_eq!(told.header("content-type"), "application/problem+json");
        }
        let deep = format!("{{\"length_mm\": {}{}}}", "[".repeat(5000), "]".repeat(5000));
        assert_eq!(send(&server, Method::POST, "/api/v1/entries/elongation", &[], &deep).await.status, 400);
    });
}

#[test]
fn readings_are_written_beside_the_meter_and_taken_back() {
    wait(async {
        let server = server();
        let body =
            json!({"slack_mm": [84, 83, 86, 90], "step_links": 12, "note": "cold", "at": "2026-09-23T18:00:00Z"});
        let told = send(&server, Method::POST, "/api/v1/entries/slack?bike=alder-350", &[], &body.to_string()).await;
        assert_eq!(told.status, StatusCode::CREATED, "{}", told.body);
        let place = told.header("location").to_owned();
        let entry = value(&get(&server, &place).await);
        assert_eq!(
            (&entry["kind"], &entry["note"], &entry["figures"]["slack_mm"]),
            (&json!("slack"), &json!("cold"), &json!([84.0, 83.0, 86.0, 90.0]))
        );
        assert_eq!(entry["figures"]["at_links"], json!([0.0, 12.0, 24.0, 36.0]));
        let undo = value(&told)["undo"].as_str().expect("a way back").to_owned();
        assert_eq!(send(&server, Method::POST, &undo, &[], "").await.status, StatusCode::OK);
        assert_eq!(value(&get(&server, &place).await)["undone"], true);
        let back = json!({"shows_h": 1.0});
        let told = send(&server, Method::POST, "/api/v1/entries/meter?bike=alder-350", &[], &back.to_string()).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "the meter went back: {}", told.body);
    });
}
