//! Whole flows by a program alone: work without an order, sets, the shelf, an order from its beginning to its end.

use axum::Router;
use axum::http::{Method, StatusCode};
use serde_json::{Value, json};

use super::{send, value};
use crate::serve::driven::{Told, demo_server, wait};

/// What is answered where an answer must come.
async fn get(server: &Router, path: &str) -> Value {
    let told = super::get(server, path).await;
    assert_eq!(told.status, StatusCode::OK, "{path}: {}", told.body);
    value(&told)
}

async fn post(server: &Router, path: &str, headers: &[(&str, &str)], body: &Value) -> Told {
    send(server, Method::POST, path, headers, &body.to_string()).await
}

async fn done(server: &Router, path: &str, body: Value) -> Value {
    let told = post(server, path, &[], &body).await;
    assert_eq!(told.status, StatusCode::CREATED, "{path} {body}: {}", told.body);
    value(&told)
}

async fn refused(server: &Router, path: &str, body: Value, pointer: &str) {
    let told = post(server, path, &[], &body).await;
    assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{path} {body}: {}", told.body);
    assert_eq!(told.header("content-type"), "application/problem+json");
    let problem = value(&told);
    let pointers: Vec<&str> =
        problem["errors"].as_array().into_iter().flatten().filter_map(|one| one["pointer"].as_str()).collect();
    assert!(pointer.is_empty() || pointers.contains(&pointer), "{path} {body}: {}", told.body);
}

const BIKE: &str = "bike=sorrel-250";

#[test]
fn work_is_written_down_only_with_what_its_safety_hangs_on() {
    wait(async {
        let (server, path) = (demo_server(), format!("/api/v1/entries/work?{BIKE}"));
        refused(&server, &path, json!({"job": "rear-tyre"}), "/checks").await;
        refused(&server, &path, json!({"job": "no such job"}), "/job").await;
        let loose = json!({"job": "rear-tyre", "checks": [
            {"check": "brake", "answer": "not-firm"}, {"check": "axle", "answer": "set", "torque_nm": 90}]});
        refused(&server, &path, loose, "/checks").await;
        refused(&server, &path, json!({"job": "rear-tyre", "checks": [{"check": "brake"}]}), "").await;
        let good = json!({"job": "rear-tyre", "checks": [
            {"check": "brake", "answer": "firm"}, {"check": "axle", "answer": "set", "torque_nm": 90}]});
        let told = done(&server, &path, good).await;
        assert_eq!(told["entries"].as_array().map(Vec::len), Some(3));
        done(&server, &path, json!({"job": "gearbox-oil", "state": "begun"})).await;
        let open = get(&server, &format!("/api/v1/entries?{BIKE}&limit=1")).await;
        assert!(open["items"][0]["words"].as_str().is_some_and(|words| words.contains("begun")), "{open}");
    });
}

#[test]
fn a_fastener_that_is_set_takes_the_same_figure_of_the_sheet_as_by_command() {
    wait(async {
        let (server, path) = (demo_server(), "/api/v1/bikes/sorrel-250");
        let check = json!({"check": "front-retainer", "answer": "set"});
        refused(&server, &format!("/api/v1/entries/check?{BIKE}"), check.clone(), "").await;
        let seen = super::get(&server, path).await.header("etag").to_owned();
        let plate =
            json!({"sheet": {"retainer_plate_torque_nm": {"value": 9.5, "source": "manual, p. 3"}}}).to_string();
        let told = send(&server, Method::PATCH, path, &[("if-match", &seen)], &plate).await;
        assert_eq!(told.status, StatusCode::OK, "{}", told.body);
        let kept = done(&server, &format!("/api/v1/entries/check?{BIKE}"), check).await;
        let entry = get(&server, &format!("/api/v1/entries/{}", kept["entries"][0])).await;
        assert_eq!(entry["figures"]["torque_nm"], 9.5);
    });
}

#[test]
fn a_range_of_hours_is_kept_by_a_program_and_answered_from() {
    wait(async {
        let server = demo_server();
        let day = format!("/api/v1/drive/first-day?{BIKE}");
        let none = super::get(&server, &day).await;
        assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", none.body);
        let path = format!("/api/v1/entries/used?{BIKE}");
        refused(&server, &path, json!({"low_h": 80, "high_h": 40}), "/high_h").await;
        let kept = done(&server, &path, json!({"whose": "chain", "low_h": 40, "high_h": 80})).await;
        let told = get(&server, &day).await;
        assert_eq!(told["kept"]["said_h"], json!([40.0, 80.0]));
        let undo = kept["undo"].as_str().expect("a way back").to_owned();
        let undone = send(&server, Method::POST, &undo, &[], "").await;
        assert_eq!(undone.status, StatusCode::OK, "{}", undone.body);
        let none = super::get(&server, &day).await;
        assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY);
    });
}

#[test]
fn sets_are_kept_put_on_taken_off_and_forgotten() {
    wait(async {
        let server = demo_server();
        let at = |what: &str| format!("/api/v1/{what}?{BIKE}");
        done(&server, &at("entries/meter"), json!({"shows_h": 500})).await;
        let part = |role: &str, name: &str, count: u32| json!({"role": role, "name": name, "count": count});
        for (role, name, count) in [("chain", "dry chain", 114), ("front", "dry front", 13), ("rear", "dry rear", 49)] {
            done(&server, &at("entries/part"), part(role, name, count)).await;
        }
        for (role, name, count) in [("chain", "mud chain", 114), ("front", "mud front", 13), ("rear", "mud rear", 49)] {
            done(&server, &at("entries/kept"), part(role, name, count)).await;
        }
        let shelf = get(&server, &at("drive/shelf")).await.to_string();
        assert!(shelf.contains("mud chain"), "{shelf}");
        let mistyped = json!({"role": "chain", "name": "mud chian", "gone": true});
        refused(&server, &at("entries/kept"), mistyped, "/name").await;
        refused(&server, &at("sets"), json!({"set": "mud", "chain": "no such chain"}), "/chain").await;
        done(&server, &at("sets"), json!({"set": "dry"})).await;
        let mud = json!({"set": "mud", "chain": "mud chain", "front": "mud front", "rear": "mud rear"});
        done(&server, &at("sets"), mud).await;
        refused(&server, &at("sets/on"), json!({"set": "sand"}), "").await;
        let confirmed = json!([{"check": "joint", "answer": "closed-end-leads"}]);
        done(&server, &at("sets/on"), json!({"set": "mud", "checks": confirmed})).await;
        let sets = get(&server, &at("drive/sets")).await;
        let on: Vec<&Value> = sets["sets"].as_array().expect("sets").iter().filter(|set| set["on"] == true).collect();
        assert_eq!(on.iter().map(|set| set["name"].as_str()).collect::<Vec<_>>(), [Some("mud")]);
        let off = done(&server, &at("sets/off"), json!({"meter_h": 501})).await;
        assert!(off["entries"].as_array().is_some_and(|all| all.len() > 3), "{off}");
        done(&server, &at("sets/forget"), json!({"set": "dry"})).await;
        refused(&server, &at("sets/forget"), json!({"set": "dry"}), "/set").await;
    });
}

#[test]
fn pieces_prices_and_delivery_are_noted() {
    wait(async {
        let (server, path) = (demo_server(), format!("/api/v1/parts/note?{BIKE}"));
        done(&server, &path, json!({"role": "chain", "event": "counted", "qty": 1, "lead_d": 9})).await;
        done(&server, &path, json!({"role": "chain", "price_minor": 8950, "currency": "EUR"})).await;
        refused(&server, &path, json!({"role": "chain"}), "/qty").await;
        refused(&server, &path, json!({"role": "chain", "event": "taken", "qty": 3}), "/qty").await;
        refused(&server, &path, json!({"role": "chain", "price_minor": 8950}), "/currency").await;
        refused(&server, &path, json!({"role": "chain", "use_by": "soon"}), "/use_by").await;
    });
}

/// What an order answers a write with that has seen it.
async fn act(server: &Router, order: &str, what: &str, body: Value) -> Told {
    let seen = super::get(server, order).await.header("etag").to_owned();
    let blind = post(server, &format!("{order}/{what}"), &[], &body).await;
    assert_eq!(blind.status, StatusCode::PRECONDITION_REQUIRED, "{what}: {}", blind.body);
    post(server, &format!("{order}/{what}"), &[("if-match", &seen)], &body).await
}

#[test]
fn an_order_is_begun_grown_stopped_given_up_and_opened_again() {
    wait(async {
        let server = demo_server();
        let start = format!("/api/v1/orders?{BIKE}");
        refused(&server, &start, json!({"jobs": ["no such job"]}), "").await;
        refused(&server, &start, json!({"jobs": "gearbox-oil"}), "/jobs").await;
        refused(&server, &start, json!({}), "/jobs").await;
        let key = [("idempotency-key", "begin-1")];
        let first = post(&server, &start, &key, &json!({"jobs": ["gearbox-oil"]})).await;
        assert_eq!(first.status, StatusCode::CREATED, "{}", first.body);
        let order = first.header("location").to_owned();
        assert!(!first.header("etag").is_empty() && order.starts_with("/api/v1/orders/"));
        let again = post(&server, &start, &key, &json!({"jobs": ["gearbox-oil"]})).await;
        assert_eq!((again.status, again.header("location")), (StatusCode::CREATED, order.as_str()), "begun once");
        assert!(get(&server, &format!("{order}/offers")).await["items"].is_array());
        let added = act(&server, &order, "add", json!({"job": "chain-clean"})).await;
        let known = act(&server, &order, "add", json!({"job": "no such job"})).await;
        assert_eq!(known.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", added.body);
        let paused = act(&server, &order, "pause", json!({"who": "Ann"})).await;
        assert_eq!(paused.status, StatusCode::OK, "{}", paused.body);
        let figure = json!({"figure": "no such figure", "value": "1", "source": "manual, p. 1"});
        assert_eq!(act(&server, &order, "figure", figure).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        let dropped = act(&server, &order, "drop", json!({})).await;
        assert_eq!(dropped.status, StatusCode::OK, "{}", dropped.body);
        assert_eq!(get(&server, &order).await["end"], "dropped");
        for what in ["pause", "drop", "add"] {
            let body = if what == "add" { json!({"job": "rear-tyre"}) } else { json!({}) };
            assert_eq!(act(&server, &order, what, body).await.status, StatusCode::UNPROCESSABLE_ENTITY, "{what}");
        }
        assert_eq!(act(&server, &order, "reopen", json!({})).await.status, StatusCode::OK);
        assert_eq!(get(&server, &order).await["end"], "open");
    });
}

#[test]
fn the_choices_of_the_demo_are_answered_and_a_stop_is_overridden_only_where_one_stands() {
    wait(async {
        let server = demo_server();
        for path in ["drive/replace", "drive/next", "drive/through?hours_h=3", "drive/order?lead_d=9", "drive/shelf"] {
            get(&server, &format!("/api/v1/{path}")).await;
        }
        let ready = get(&server, "/api/v1/ready").await;
        let waiver = post(&server, "/api/v1/entries/waiver", &[], &json!({"reason": "home, 300 m"})).await;
        let wanted = if ready["verdict"] == "STOP" { StatusCode::CREATED } else { StatusCode::UNPROCESSABLE_ENTITY };
        assert_eq!(waiver.status, wanted, "{}", waiver.body);
    });
}
