//! A ride logged, as a browser meets it.

use axum::http::StatusCode;

use crate::serve::driven::{fetch, post, server, wait};

/// A ride logged from its form; the page that it leads to.
async fn logged(server: &axum::Router, fields: &str) -> crate::serve::driven::Told {
    let form = fetch(server, "/rides/log").await;
    let sent = post(server, "/rides/log", &form, fields).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{fields}: {}", sent.text());
    fetch(server, sent.header("location")).await
}

#[test]
fn the_log_is_preset_as_last_time_and_leads_to_hours_and_what_is_due() {
    wait(async {
        let server = server();
        let form = fetch(&server, "/rides/log").await;
        for preset in ["value=\"rock\" selected", "value=\"wet\" checked"] {
            assert!(form.body.contains(preset), "{preset} is not preset");
        }
        let page = logged(&server, "at=2026-09-24&hours=2:45&ground=rock&wet=dry&odd=slap").await;
        let text = page.text();
        for words in ["291.6 h", "2.75 h, rock, dry, odd: slap", "Inspection: slap", "Saved.", "Undo"] {
            assert!(text.contains(words), "{words}: {text}");
        }
        // 6 h since the chain was measured; with 5 more it is more than 10.
        assert!(!text.contains("measure it?"), "{text}");
        let more = logged(&server, "at=2026-09-25&hours=5&ground=rock&wet=dry&odd=").await;
        assert!(more.text().contains("measure it?") && more.text().contains("Measure chain"), "{}", more.text());
        let again = fetch(&server, "/rides/log").await;
        assert!(again.body.contains("value=\"dry\" checked"), "the last weather is not preset");
    });
}

#[test]
fn a_double_tap_is_one_ride() {
    wait(async {
        let server = server();
        let form = fetch(&server, "/rides/log").await;
        let fields = "at=2026-09-24&hours=2&ground=bog&wet=wet&odd=";
        let first = post(&server, "/rides/log", &form, fields).await;
        let second = post(&server, "/rides/log", &form, fields).await;
        assert_eq!(first.header("location"), second.header("location"));
        assert!(!first.header("location").is_empty());
    });
}

#[test]
fn a_long_ride_and_a_meter_that_went_back_are_asked_back() {
    wait(async {
        let server = server();
        let form = fetch(&server, "/rides/log").await;
        let long = post(&server, "/rides/log", &form, "at=2026-09-24&hours=14&ground=bog&wet=wet&odd=").await;
        assert_eq!(long.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(long.text().contains("14 h is a long ride") && long.body.contains("name=\"long\""), "{}", long.text());
        logged(&server, "at=2026-09-24&hours=14&long=yes&ground=bog&wet=wet&odd=").await;
        let form = fetch(&server, "/rides/log").await;
        let back = post(&server, "/rides/log", &form, "at=2026-09-24&meter=2,5&ground=bog&wet=wet&odd=").await;
        assert_eq!(back.status, StatusCode::UNPROCESSABLE_ENTITY);
        for words in ["it showed 75.1 h", "now 2.5 h is given", "Swapped or a typo?", "Was the meter changed?"] {
            assert!(back.text().contains(words), "{words}: {}", back.text());
        }
        assert!(back.body.contains("value=\"2,5\""), "what was typed is lost");
        let swap = "at=2026-09-24&meter=2,5&swapped=yes&swap_old=89.1&swap_new=0&ground=bog&wet=wet&odd=";
        let page = logged(&server, swap).await;
        assert!(page.text().contains("2.50 h, bog, wet"), "the hours of the new meter: {}", page.text());
    });
}

#[test]
fn the_first_ride_of_a_bike_asks_what_the_meter_showed_before() {
    wait(async {
        let server = server();
        let form = fetch(&server, "/bike").await;
        let made = post(&server, "/bike/new", &form, "id=newt&name=Newt").await;
        assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.text());
        let cookie = [("cookie", "bike=newt")];
        let page = crate::serve::driven::fetch_with(&server, "/rides/log", &cookie).await;
        assert!(page.text().contains("Meter before this ride"), "{}", page.text());
        assert!(!fetch(&server, "/rides/log").await.text().contains("Meter before this ride"));
    });
}
