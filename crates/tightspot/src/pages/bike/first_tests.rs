//! The first figures as a browser meets them: many at once, in the rider's own spelling, or none.

use axum::Router;
use axum::http::StatusCode;

use crate::garage::Garage;
use crate::serve::driven::{Told, fetch, fetch_with, of_garage, post, server, wait};

/// A garage with nothing in it but a bike made by its page; the cookie that looks at it.
async fn made(name: &str) -> (Router, Told) {
    let server = of_garage(Garage::demo_in(Some(crate::demo_record::DemoState::Empty)).expect("an empty demo"));
    let page = fetch(&server, "/bike").await;
    let told = post(&server, "/bike/new", &page, &format!("name={name}&id=")).await;
    assert_eq!(told.status, StatusCode::SEE_OTHER, "{}", told.text());
    (server, told)
}

#[test]
fn a_bike_without_a_short_name_gets_one_from_its_name() {
    wait(async {
        let (server, told) = made("Meine+Gelbe+300!").await;
        let cookies: Vec<&str> =
            told.headers.get_all("set-cookie").iter().filter_map(|cookie| cookie.to_str().ok()).collect();
        assert!(cookies.iter().any(|cookie| cookie.starts_with("bike=meine-gelbe-300;")), "{cookies:?}");
        // A second one of the same name is another bike.
        let page = fetch(&server, "/bike").await;
        let told = post(&server, "/bike/new", &page, "name=Meine+Gelbe+300&id=").await;
        assert_eq!(told.status, StatusCode::SEE_OTHER, "{}", told.text());
        let list = fetch(&server, "/bike").await.text();
        assert_eq!(list.matches("Look at Meine Gelbe 300").count(), 1, "{list}");
        // A name without a letter of the kind is asked for its short name.
        let page = fetch(&server, "/bike").await;
        let told = post(&server, "/bike/new", &page, "name=%C3%84%C3%96&id=").await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", told.text());
    });
}

#[test]
fn the_first_figures_go_on_together_and_are_taken_back_together() {
    wait(async {
        let (server, _) = made("Gelbe").await;
        let sheet = fetch(&server, "/bike").await;
        assert!(sheet.body.contains("href=\"/bike/first\""), "{}", sheet.text());
        let page = fetch(&server, "/bike/first").await;
        let typed = "bike=gelbe&front_teeth=13&rear_teeth=49&links=112&pitch_mm=5%2F8+in&arm_mm=57%2C2+cm&gears=2%2C15%3B+1%2C65&source=tape";
        let told = post(&server, "/bike/first", &page, typed).await;
        assert!(told.header("location").starts_with("/bike?saved="), "{}", told.text());
        let text = fetch(&server, told.header("location")).await.text();
        for words in ["Saved: 6 figures.", "15.875 mm", "572 mm (tape)", "2.15 · 1.65"] {
            assert!(text.contains(words), "{words}: {text}");
        }
        // Sent as it stands, nothing changes.
        let page = fetch(&server, "/bike/first").await;
        let was = "bike=gelbe&front_teeth=13&was-front_teeth=13";
        let told = post(&server, "/bike/first", &page, was).await;
        assert_eq!(told.header("location"), "/bike?same=1");
    });
}

#[test]
fn one_fault_among_the_first_figures_saves_none_and_keeps_them_all() {
    wait(async {
        let (server, _) = made("Gelbe").await;
        let page = fetch(&server, "/bike/first").await;
        let typed = "bike=gelbe&front_teeth=13%2C5&rear_teeth=49&slot_min_mm=620&slot_max_mm=592";
        let told = post(&server, "/bike/first", &page, typed).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            told.body.contains("id=\"front_teeth-fault\"") && told.body.contains("value=\"49\""),
            "{}",
            told.text()
        );
        assert!(told.body.contains("<title>Error:"), "{}", told.body);
        // What only the whole sheet can see is told at its fields, too.
        let told = post(&server, "/bike/first", &page, &typed.replace("%2C5", "")).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", told.text());
        assert!(told.text().contains("Arm length at the rear stop is 592"), "{}", told.text());
        assert!(fetch(&server, "/bike").await.text().contains("0 of "), "nothing was saved");
    });
}

#[test]
fn what_a_second_window_changed_meanwhile_is_not_overwritten_unseen() {
    wait(async {
        let server = server();
        let mine = fetch(&server, "/bike/first").await;
        let theirs = fetch(&server, "/bike/first").await;
        let told = post(&server, "/bike/first", &theirs, "bike=alder-350&links=116&was-links=118").await;
        assert_eq!(told.status, StatusCode::SEE_OTHER, "{}", told.text());
        let told = post(&server, "/bike/first", &mine, "bike=alder-350&links=120&was-links=118").await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(told.text().contains("it says 116 now, you typed 120"), "{}", told.text());
        let other = fetch_with(&server, "/bike/first", &[("cookie", "bike=sorrel-250")]).await;
        let told = post(&server, "/bike/first", &other, "bike=sorrel-250&links=116").await;
        assert!(told.text().contains("opened for another bike"), "{}", told.text());
    });
}
