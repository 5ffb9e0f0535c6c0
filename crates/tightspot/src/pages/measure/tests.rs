//! Measuring as a browser meets it.

use axum::Router;
use axum::http::StatusCode;

use crate::serve::driven::{Told, fetch, post, server, wait};

/// A form filled in and sent; the page that it leads to.
async fn measured(server: &Router, path: &str, fields: &str) -> Told {
    let form = fetch(server, path).await;
    let sent = post(server, path.split('?').next().expect("a path"), &form, fields).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
    fetch(server, sent.header("location")).await
}

fn says(page: &Told, all: &[&str]) {
    let text = page.text();
    for words in all {
        assert!(text.contains(words), "{words}: {text}");
    }
}

#[test]
fn slack_is_judged_at_its_tightest_place_with_turns_to_the_band() {
    wait(async {
        let server = server();
        let page = measured(
            &server,
            "/drive/measure/slack",
            "slack_1=72&slack_2=73&slack_3=72,5&slack_4=73&kind=free&step_links=12",
        )
        .await;
        says(
            &page,
            &[
                "Not ready",
                "below the sheet's stop figure",
                "Set slack at reading",
                "Turn the adjusters",
                "tightest",
                "Saved.",
            ],
        );
    });
}

#[test]
fn readings_typed_in_inches_are_kept_as_what_they_are_in_millimetres() {
    wait(async {
        let server = server();
        let inches = "unit.slack_1=in&unit.slack_2=in&unit.slack_3=in&unit.slack_4=in&kind=free";
        let fields = format!("slack_1=3.35&slack_2=3+3/8&slack_3=86+mm&slack_4=3,4&{inches}");
        let page = measured(&server, "/drive/measure/slack", &fields).await;
        // 3.35 in is 85.09 mm, 3 3/8 in is 85.725 mm, 3.4 in is 86.36 mm.
        says(&page, &["85.1", "85.7", "86.0", "86.4"]);
        let refused = post(&server, "/drive/measure/slack", &page, "slack_1=99&unit.slack_1=in&kind=free").await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        // What was typed is kept with what it means, also for whoever reads in millimetres.
        assert!(refused.body.contains("value=\"99 in\""), "{}", refused.body);
    });
}

#[test]
fn twelve_places_tell_the_cause() {
    wait(async {
        let server = server();
        let values = [84, 83, 86, 90, 94, 97, 97, 95, 90, 86, 83, 84];
        let mut fields = String::from("places=12&kind=free&step_links=12");
        for (at, value) in (1..).zip(values) {
            fields.push_str(&format!("&slack_{at}={value}"));
        }
        let page = measured(&server, "/drive/measure/slack?places=12", &fields).await;
        says(&page, &["Not ready", "Tight spot", "the chain's own loop", "2 and 11"]);
    });
}

#[test]
fn a_taut_chain_is_kept_and_stops_the_ride() {
    wait(async {
        let server = server();
        let page = measured(&server, "/drive/measure/slack", "slack_1=0&kind=free").await;
        says(&page, &["Not ready", "No slack at all"]);
        assert!(fetch(&server, "/").await.text().contains("No slack at all"));
    });
}

#[test]
fn a_gap_is_not_turned_into_the_sheets_free_kind() {
    wait(async {
        let server = server();
        let page = measured(&server, "/drive/measure/slack", "slack_1=35&kind=gap").await;
        says(&page, &["Not known", "never turned into it"]);
    });
}

#[test]
fn a_miscounted_length_says_so_and_measuring_again_takes_its_place() {
    wait(async {
        let server = server();
        let bad = measured(&server, "/drive/measure/elongation", "pitches=20&length_1=301,9&instrument=rule").await;
        says(&bad, &["Not ready", "looks like 19 pitches"]);
        assert!(fetch(&server, "/").await.text().contains("cannot be right"));
        let rest = bad.body.split("instead_of=").nth(1).expect("a way to measure again");
        let entry = rest.split('"').next().expect("a number").to_owned();
        let again = format!("/drive/measure/elongation?instead_of={entry}");
        let fields =
            format!("instead_of={entry}&pitches=20&length_1=319,4&length_2=320,9&length_3=319,8&instrument=rule");
        let good = measured(&server, &again, &fields).await;
        says(&good, &["Ready with care", "1.07", "± 0.", "Place 2 of 3"]);
        says(&fetch(&server, &format!("/drive/reading/{entry}")).await, &["was measured again"]);
        assert!(!fetch(&server, "/").await.text().contains("cannot be right"));
    });
}

#[test]
fn a_reading_struck_out_stays_visible_and_counts_for_nothing() {
    wait(async {
        let server = server();
        let page = measured(&server, "/drive/measure/slack", "slack_1=0&kind=free").await;
        let rest = page.body.split("name=\"change\" value=\"").nth(1).expect("a button");
        let change = rest.split('"').next().expect("a number");
        post(&server, "/history/undo", &page, &format!("change={change}&want=undone")).await;
        let rest = page.body.split("instead_of=").nth(1).expect("its number");
        let entry = rest.split('"').next().expect("a number");
        says(&fetch(&server, &format!("/drive/reading/{entry}")).await, &["is struck out", "Bring it back"]);
        assert!(!fetch(&server, "/").await.text().contains("No slack at all"));
    });
}

#[test]
fn the_axle_the_teeth_and_the_meter_are_read_too() {
    wait(async {
        let server = server();
        says(
            &measured(&server, "/drive/measure/alignment", "left_mm=605,1&right_mm=606,1").await,
            &["Ready with care", "Wheel"],
        );
        says(&measured(&server, "/drive/measure/teeth", "front-teeth=hooked").await, &["Not ready", "hooked"]);
        let form = fetch(&server, "/drive/measure/meter").await;
        let back = post(&server, "/drive/measure/meter", &form, "hours=2").await;
        assert_eq!(back.status, StatusCode::UNPROCESSABLE_ENTITY);
        says(&back, &["it showed 75.1 h", "now 2 h is given", "Swapped or a typo?"]);
        let form = fetch(&server, "/drive/measure/meter").await;
        let sent = post(&server, "/drive/measure/meter", &form, "swapped=yes&old=75.1&new=0").await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
        says(&fetch(&server, sent.header("location")).await, &["meter changed"]);
    });
}

#[test]
fn what_is_no_number_is_told_at_its_field_and_kept() {
    wait(async {
        let server = server();
        for (path, fields, field, typed) in [
            ("slack", "slack_1=85&slack_2=3+fingers&kind=free", "slack_2", "3 fingers"),
            ("elongation", "pitches=20&length_1=319,4&length_2=&length_3=319.4&instrument=rule", "length_2", "319,4"),
            ("alignment", "left_mm=605,1&right_mm=", "right_mm", "605,1"),
            ("slack", "slack_1=85&at=2999-01-01&kind=free", "at", "2999-01-01"),
        ] {
            let path = format!("/drive/measure/{path}");
            let told = post(&server, &path, &fetch(&server, &path).await, fields).await;
            assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields}");
            assert!(
                told.body.contains("<title>Error:") && told.body.contains(&format!("id=\"{field}-fault\"")),
                "{fields}: {}",
                told.body
            );
            assert!(told.body.contains(&format!("value=\"{typed}\"")), "{fields}: typed text is lost");
        }
    });
}

/// Six readings of the demo's first bike.
const ALONG: &str = "travel_1=0&slack_1=88,8&travel_2=50&slack_2=69,5&travel_3=100&slack_3=52&travel_4=150&slack_4=41,3\
                     &travel_5=200&slack_5=45,1&travel_6=240&slack_6=55,9";

#[test]
fn readings_along_the_travel_tell_the_countershaft_and_the_sheet_keeps_it() {
    wait(async {
        let server = server();
        let asked = format!("/drive/geometry?{ALONG}");
        let page = fetch(&server, &asked).await;
        says(&page, &["77.2 ± 4.2", "86.7 ± 1.7", "Between 85.1 and 88.4 mm", "fitted from 6 readings on 20"]);
        assert!(page.body.contains("value=\"88,8\""), "what was typed stays");
        says(&page, &["Stop the engine"]);
        let sent = post(&server, "/drive/geometry", &page, &format!("bike=alder-350&{ALONG}")).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
        let sheet = fetch(&server, sent.header("location").split('#').next().expect("a path")).await;
        says(&sheet, &["77.24", "fitted from 6 readings on 20", "Undo"]);
    });
}

#[test]
fn readings_along_the_travel_that_tell_nothing_are_refused_at_their_field_and_nothing_is_kept() {
    wait(async {
        let server = server();
        let half = fetch(&server, "/drive/geometry?travel_1=0&slack_1=two+fingers&travel_2=5").await;
        assert_eq!(half.status, StatusCode::UNPROCESSABLE_ENTITY);
        says(&half, &["Error:", "two fingers", "Only the other half of the reading is given"]);
        let few = "travel_1=0&slack_1=88,8&travel_2=50&slack_2=69,5";
        let page = fetch(&server, &format!("/drive/geometry?{few}")).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        says(&page, &["need readings at 3 or more", "Take one at 300 mm next"]);
        let empty = fetch(&server, "/drive/geometry").await;
        let sent =
            post(&server, "/drive/geometry", &fetch(&server, &format!("/drive/geometry?{ALONG}")).await, few).await;
        assert_eq!((empty.status, sent.status), (StatusCode::OK, StatusCode::UNPROCESSABLE_ENTITY));
        assert!(!fetch(&server, "/bike").await.text().contains("fitted from"));
    });
}
