//! The choices as a browser meets them, over the demo's garage.

use axum::http::StatusCode;

use crate::serve::driven::{Told, demo_server, fetch, wait};

fn page(path: &str) -> Told {
    wait(async { fetch(&demo_server(), path).await })
}

fn says(path: &str, words: &[&str]) {
    let told = page(path);
    assert_eq!(told.status, StatusCode::OK, "{path}");
    let text = told.text();
    for word in words {
        assert!(text.contains(word), "{path} does not say {word}");
    }
}

#[test]
fn a_sprocket_on_the_shelf_decides_the_demos_choice() {
    says(
        "/drive/replace",
        &["New chain and front sprocket from the shelf now", "spare from set A", "Lives assumed by the tool"],
    );
    says("/drive/replace?rear_teeth=51", &["rear sprocket from the shelf now", "bought used"]);
}

#[test]
fn what_is_measured_next_and_what_is_ordered_by_when_are_told() {
    says("/drive/next", &["Measure slack: without it there is no verdict"]);
    says("/parts/order?lead_d=9", &["2026-09-17", "Too late by post", "spare from set A"]);
}

#[test]
fn a_ride_has_its_chance_and_mud_is_not_more_than_all_of_it() {
    says(
        "/drive/through?hours_h=3&mud_h=1,5&slack_mm=84",
        &["that chain and slack last through 3.0 h", "Turn back after half"],
    );
    let told = page("/drive/through?hours_h=2&mud_h=3");
    assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(told.body.contains("<title>Error:") && told.body.contains("more than the hours in all"));
}

#[test]
fn what_cannot_be_read_stays_with_its_fault() {
    for (path, kept) in [
        ("/drive/replace?chain_price=cheap", "value=\"cheap\""),
        ("/drive/replace?rear_life_h=-3", "value=\"-3\""),
        ("/parts/order?lead_d=soon", "value=\"soon\""),
    ] {
        let Told { status, body, .. } = page(path);
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
        assert!(body.contains("<title>Error:") && body.contains(kept) && body.contains("aria-invalid"), "{path}");
    }
}
