//! Sets as a browser meets them.

use axum::Router;
use axum::http::StatusCode;

use crate::serve::driven::{Told, fetch, post, server, wait};

async fn sent(server: &Router, from: &str, to: &str, fields: &str) -> Told {
    let form = fetch(server, from).await;
    let sent = post(server, to, &form, fields).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
    fetch(server, sent.header("location")).await
}

#[test]
fn a_set_is_kept_and_kept_no_longer_with_a_way_back() {
    wait(async {
        let server = server();
        let fields = "set=main&chain=set+B&front=set+B&rear=set+B+steel";
        let page = sent(&server, "/drive/sets/keep", "/drive/sets/keep", fields).await;
        let text = page.text();
        assert!(text.contains("Saved.") && text.contains("main") && text.contains("on the bike"), "{text}");
        let gone = sent(&server, "/drive/sets", "/drive/sets/forget", "set=main").await;
        assert!(gone.text().contains("No set is kept yet"), "{}", gone.text());
        assert!(gone.body.contains("/history/undo"));
    });
}

#[test]
fn a_name_that_is_none_is_told_at_its_field_and_what_was_chosen_is_kept() {
    wait(async {
        let server = server();
        let form = fetch(&server, "/drive/sets/keep").await;
        let told = post(&server, "/drive/sets/keep", &form, "set=&chain=set+B&front=-&rear=set+B+steel").await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(told.body.contains("<title>Error: ") && told.body.contains("href=\"#set\""), "{}", told.body);
        assert!(told.body.contains("<option value=\"-\" selected>"), "{}", told.body);
    });
}

#[test]
fn while_an_order_is_open_no_set_is_changed_beside_it() {
    wait(async {
        // The demo stands with a work order open.
        let server = server();
        let page = fetch(&server, "/drive/sets/on?off=yes").await;
        assert!(page.text().contains("Work order") && page.text().contains("is open"), "{}", page.text());
        assert!(!page.body.contains("It is off"));
    });
}

#[test]
fn nothing_chosen_confirms_nothing() {
    wait(async {
        let server = server();
        let form = fetch(&server, "/drive/sets/confirm").await;
        let told = post(&server, "/drive/sets/confirm", &form, "joint=").await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(told.text().contains("Nothing is confirmed"), "{}", told.text());
        let page =
            sent(&server, "/drive/sets/confirm", "/drive/sets/confirm", "joint=joint%3Driveted&brake=brake%3Dfirm")
                .await;
        assert!(page.text().contains("Saved."), "{}", page.text());
        // A fastener cannot be confirmed without the manual's figure.
        let form = fetch(&server, "/drive/sets/confirm").await;
        assert!(form.text().contains("The manual's figure is missing"), "{}", form.text());
        let told = post(&server, "/drive/sets/confirm", &form, "axle=axle%3Dset").await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
    });
}
