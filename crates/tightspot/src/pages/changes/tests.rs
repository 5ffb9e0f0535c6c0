//! Changes as a browser meets them.

use axum::http::StatusCode;

use crate::serve::driven::{fetch, fetch_with, post, server, wait};

/// The number of the change in a saved message's button.
fn change_of(page: &str) -> String {
    let rest = page.split("name=\"change\" value=\"").nth(1).expect("a button");
    rest.split('"').next().expect("a number").to_owned()
}

#[test]
fn a_ride_is_taken_back_and_brought_again_from_its_own_button() {
    wait(async {
        let server = server();
        let form = fetch(&server, "/rides/log").await;
        let sent = post(&server, "/rides/log", &form, "at=2026-09-24&hours=1,5&ground=bog&wet=wet&odd=clunk").await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
        let page = fetch(&server, sent.header("location")).await;
        assert!(
            page.text().contains("Saved.") && page.text().contains("1.50 h, bog, wet, odd: clunk"),
            "{}",
            page.text()
        );
        let change = change_of(&page.body);
        let out = post(&server, "/history/undo", &page, &format!("change={change}&want=undone")).await;
        assert_eq!(out.header("location"), format!("/history?undone={change}"));
        let list = fetch(&server, out.header("location")).await;
        assert!(
            list.text().contains(&format!("Change {change} is taken back.")) && list.body.contains("<s>"),
            "{}",
            list.text()
        );
        assert_eq!(fetch(&server, sent.header("location")).await.status, StatusCode::NOT_FOUND);
        let again = post(&server, "/history/undo", &list, &format!("change={change}&want=stands")).await;
        assert_eq!(again.header("location"), format!("/history?again={change}"));
        assert_eq!(fetch(&server, sent.header("location")).await.status, StatusCode::OK);
    });
}

#[test]
fn a_change_of_another_bike_is_none_here() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/history").await;
        let change = change_of(&page.body);
        let other = fetch_with(&server, "/history", &[("cookie", "bike=sorrel-250")]).await;
        assert!(!other.body.contains(&format!("change-{change}\"")), "the other bike lists it");
        for nothing in ["change=999999&want=undone", "change=x&want=undone"] {
            let told = post(&server, "/history/undo", &page, nothing).await;
            assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{nothing}");
            assert!(told.text().contains("Nothing was changed"));
        }
        let told = post(&server, "/rides/undo", &page, "change=1").await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "a change that is no ride's: {}", told.text());
    });
}
