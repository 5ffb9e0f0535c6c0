//! Work orders for programs: seen before they are written, done once, taken back, held by a "no", closed only whole.

use axum::Router;
use axum::http::{Method, StatusCode};
use serde_json::{Value, json};

use super::{get, send, value};
use crate::serve::driven::{Told, demo_server, wait};

const ORDER: &str = "/api/v1/orders/1";

async fn post(server: &Router, what: &str, headers: &[(&str, &str)], body: &Value) -> Told {
    send(server, Method::POST, &format!("{ORDER}/{what}"), headers, &body.to_string()).await
}

/// The next step, everything on it read and every stop point answered as it passes.
async fn ready(server: &Router, done: usize) -> Value {
    let step = value(&get(server, &format!("{ORDER}/steps/{}", done + 1)).await);
    let read: Vec<Value> = step["unread"].as_array().expect("stops").iter().map(|one| one["id"].clone()).collect();
    let mut holds = serde_json::Map::new();
    for blank in step["blanks"].as_array().expect("blanks") {
        let answer = match blank["kind"].as_str() {
            Some("yes-no") => json!({"value": "yes"}),
            Some("choice") => json!({"value": blank["choices"][0]}),
            _ => json!({"value": 20, "passes": true, "reason": "typed by a test"}),
        };
        holds.insert(blank["hold"].as_str().expect("a name").to_owned(), answer);
    }
    json!({"step": step["step"]["token"], "read": read, "holds": holds})
}

#[test]
fn h3_an_order_is_written_only_by_whoever_has_seen_its_last_line() {
    wait(async {
        let server = demo_server();
        let listed = value(&get(&server, "/api/v1/orders").await);
        assert_eq!((listed["items"][0]["id"].as_u64(), listed["items"][0]["end"].as_str()), (Some(1), Some("open")));
        let first = get(&server, ORDER).await;
        let (seen, order) = (first.header("etag").to_owned(), value(&first));
        let done = order["done"].as_u64().and_then(|done| usize::try_from(done).ok()).expect("a count");
        let tick = ready(&server, done).await;
        let blind = post(&server, "tick", &[], &tick).await;
        assert_eq!((blind.status, blind.header("etag")), (StatusCode::PRECONDITION_REQUIRED, seen.as_str()));
        let unread = json!({"step": tick["step"]});
        let refused = post(&server, "tick", &[("if-match", &seen)], &unread).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.body);
        assert!(value(&refused)["errors"][0]["pointer"].as_str().is_some_and(|at| at.starts_with('/')));
        let ticked = post(&server, "tick", &[("if-match", &seen), ("idempotency-key", "t1")], &tick).await;
        assert_eq!(ticked.status, StatusCode::OK, "{}", ticked.body);
        assert_eq!(value(&ticked)["done"].as_u64(), order["done"].as_u64().map(|done| done + 1));
        let again = post(&server, "tick", &[("if-match", &seen), ("idempotency-key", "t1")], &tick).await;
        assert_eq!((again.status, again.body.as_str()), (StatusCode::OK, ticked.body.as_str()), "done once");
        let stale = post(&server, "tick", &[("if-match", &seen)], &tick).await;
        assert_eq!(stale.status, StatusCode::PRECONDITION_FAILED);
        assert_ne!(ticked.header("etag"), seen);
    });
}

#[test]
fn a_tick_is_taken_back_with_its_reason_and_a_no_brings_its_job_or_holds_the_step() {
    wait(async {
        let server = demo_server();
        let first = get(&server, ORDER).await;
        let steps = value(&first)["list"].as_array().cloned().expect("steps");
        let last = steps.iter().rev().find(|step| step["done"] == true).expect("one is done");
        let silent = json!({"step": last["token"], "reason": " "});
        let refused = post(&server, "untick", &[("if-match", first.header("etag"))], &silent).await;
        assert_eq!(value(&refused)["errors"][0]["pointer"], "/reason");
        let back = json!({"step": last["token"], "reason": "it was another chain"});
        let taken = post(&server, "untick", &[("if-match", first.header("etag"))], &back).await;
        assert_eq!(taken.status, StatusCode::OK, "{}", taken.body);
        assert_eq!(value(&taken)["done"].as_u64(), value(&first)["done"].as_u64().map(|done| done - 1));
        let unknown = json!({"hold": "no-such-hold"});
        let none = post(&server, "fail", &[("if-match", taken.header("etag"))], &unknown).await;
        assert_eq!(
            (none.status, &value(&none)["errors"][0]["pointer"]),
            (StatusCode::UNPROCESSABLE_ENTITY, &json!("/hold"))
        );
        let mut at = value(&taken)["done"].as_u64().and_then(|done| usize::try_from(done).ok()).expect("a count");
        let mut seen = taken.header("etag").to_owned();
        // Forward to the look at the seal, whose "no" brings its own job.
        loop {
            let tick = ready(&server, at).await;
            if tick["holds"].get("seal-dry").is_some() {
                let no = json!({"hold": "seal-dry", "read": tick["read"]});
                let told = post(&server, "fail", &[("if-match", &seen)], &no).await;
                assert_eq!(told.status, StatusCode::OK, "{}", told.body);
                assert!(value(&told)["jobs"].to_string().contains("countershaft-seal"), "{}", told.body);
                break;
            }
            let told = post(&server, "tick", &[("if-match", &seen)], &tick).await;
            assert_eq!(told.status, StatusCode::OK, "{tick}: {}", told.body);
            (at, seen) = (at + 1, told.header("etag").to_owned());
        }
    });
}

#[test]
fn an_order_with_open_safety_steps_is_not_closed_and_each_is_named() {
    wait(async {
        let server = demo_server();
        let first = get(&server, ORDER).await;
        assert_eq!(value(&first)["may_close"], false);
        let told = post(&server, "close", &[("if-match", first.header("etag"))], &json!({"meter_h": 75.1})).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", told.body);
        let named = value(&told)["errors"].as_array().cloned().expect("errors");
        let safety = named.iter().filter(|error| error["code"] == "open_safety_step").count();
        assert_eq!(safety, value(&first)["open_safety_steps"].as_array().map_or(0, Vec::len));
        assert!(safety > 0 && told.body.contains("rear brake"), "{}", told.body);
        assert_eq!(value(&get(&server, ORDER).await)["end"], "open", "nothing was written");
        for (path, status) in
            [("/api/v1/orders/99", 404), ("/api/v1/orders/x", 422), ("/api/v1/orders/1/steps/999", 404)]
        {
            assert_eq!(get(&server, path).await.status.as_u16(), status, "{path}");
        }
    });
}
