//! Forms that are sent.

use axum::http::{Method, StatusCode};

use super::{HOST, asking, fetch, post_form, send, server, wait};

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
