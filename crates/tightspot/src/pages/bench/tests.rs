//! The flow at the bench as a browser walks it: begun, ticked, sent twice, seen from a second phone, closed, in the record.

use axum::Router;
use axum::http::StatusCode;

use crate::serve::driven::{Told, demo_server, fetch, fetch_with, post, server, wait};

/// The step that a page shows, off its form.
pub(super) fn token(page: &Told) -> String {
    page.hidden("step")
}

/// Everything that a careful rider would fill into the form of a page.
pub(super) fn filled(page: &Told) -> String {
    let mut fields = vec![format!("step={}", token(page)), format!("seen={}", page.hidden("seen"))];
    for input in page.body.split("<input ").skip(1) {
        let tag = input.split('>').next().unwrap_or_default();
        let attribute = |name: &str| {
            tag.split(&format!("{name}=\""))
                .nth(1)
                .and_then(|rest| rest.split('"').next())
                .unwrap_or_default()
                .to_owned()
        };
        let (name, value, kind) = (attribute("name"), attribute("value"), attribute("type"));
        let take = match kind.as_str() {
            "checkbox" if name.starts_with("read-") => Some("yes".to_owned()),
            "radio" if name.starts_with("value-") || name.starts_with("passes-") => {
                let known = fields.iter().any(|field| field.starts_with(&format!("{name}=")));
                (!known && value != "no" && value != "none" && !value.starts_with("snap ring")).then_some(value)
            }
            "text" if name.starts_with("value-") => Some(number_for(&name).to_owned()),
            _ => None,
        };
        fields.extend(
            take.map(|value| format!("{name}={}", value.replace(' ', "+").replace(',', "%2C").replace('/', "%2F"))),
        );
    }
    fields.join("&")
}

/// Numbers that the demo's sheet asks for.
fn number_for(name: &str) -> &'static str {
    match name {
        "value-slack" | "value-slack-after-torque" => "85",
        "value-cut-count" => "118",
        "value-rear-axle-torque" => "100",
        "value-rear-sprocket-torque" => "35",
        "value-front-sprocket-nut" => "60",
        _ => "12",
    }
}

/// Gives the manual's figure where a step stops for it.
pub(super) async fn give_figures(server: &Router, page: Told, path: &str) -> Told {
    if !page.body.contains("/figure\"") {
        return page;
    }
    let figure = page.hidden("figure");
    let (field, value) = match figure.as_str() {
        "rear-axle-torque" => ("rear_axle_torque_nm", "100"),
        "rear-sprocket-torque" => ("rear_sprocket_torque_nm", "35"),
        "front-sprocket-nut-torque" => ("front_sprocket_nut_torque_nm", "60"),
        other => panic_at(other),
    };
    let fields = format!("figure={figure}&number={}&{field}={value}&source=manual%2C+p.+12", page.hidden("number"));
    let told = post(server, "/jobs/order/1/figure", &page, &fields).await;
    assert_eq!(told.status, StatusCode::SEE_OTHER, "{}", told.text());
    fetch(server, path).await
}

fn panic_at(what: &str) -> (&'static str, &'static str) {
    unreachable!("no figure was expected to be missing: {what}")
}

pub(super) const ORDER: &str = "/jobs/order/1";

#[test]
fn the_list_leads_to_the_open_order_and_to_what_is_due() {
    wait(async {
        let server = server();
        let told = fetch(&server, "/jobs").await.text();
        assert!(told.contains("On the bench now") && told.contains("Go on: Replace chain"), "{told}");
        assert!(told.contains("Due") && told.contains("gearbox") || told.contains("Gearbox"), "{told}");
    });
}

#[test]
fn a_step_shows_its_number_and_is_not_ticked_before_its_stops_are_read() {
    wait(async {
        let server = server();
        let page = fetch(&server, ORDER).await;
        assert!(page.text().contains("Step 9 of") && page.body.contains("Not rideable now"), "{}", page.text());
        let page = fetch(&server, "/jobs/order/1?step=10").await;
        let fields = format!("step={}&seen={}", token(&page), page.hidden("seen"));
        let told = post(&server, "/jobs/order/1/tick", &page, &fields).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(told.body.contains("<title>Error:") && told.body.contains("Read the stop first"), "{}", told.text());
    });
}

#[test]
fn the_step_that_swaps_the_rear_sprocket_shows_the_crossing_order() {
    wait(async {
        let server = server();
        for number in 9..40 {
            let page = fetch(&server, &format!("/jobs/order/1?step={number}")).await;
            if page.status != StatusCode::OK || token(&page) != "do:rear-sprocket-swap" {
                continue;
            }
            let garage = crate::garage::Garage::demo().expect("the demo");
            let bike = garage.bike(None).expect("a bike");
            let setup = advice::Setup::fitted(&bike).expect("a setup");
            let star = advice::picture::of("crossing-order", &bike, setup).expect("a star");
            let text = page.text();
            assert!(text.contains(&star.title) && text.contains(&star.finding), "{text}");
            assert!(page.body.contains("aria-labelledby=\"crossing-order-title\""), "{}", page.body);
            return;
        }
        unreachable!("the demo's order swaps the rear sprocket");
    });
}

#[test]
fn the_order_on_paper_is_led_to_from_its_page() {
    wait(async {
        let server = server();
        let all = fetch(&server, "/jobs/order/1/steps").await;
        for paper in ["a4", "letter"] {
            let address = format!("/jobs/order/1/sheet.pdf?paper={paper}");
            assert!(all.body.contains(&address), "{}", all.body);
            let sheet = fetch(&server, &address).await;
            assert_eq!(sheet.header("content-type"), "application/pdf");
            assert!(
                sheet.header("content-disposition").contains("order-1-"),
                "{}",
                sheet.header("content-disposition")
            );
        }
        let bad = fetch(&server, "/jobs/order/1/sheet.pdf?paper=a0").await;
        assert_eq!((bad.status, bad.header("location")), (StatusCode::SEE_OTHER, "/jobs/order/1/steps"));
    });
}

#[test]
fn a_tick_sent_twice_is_stored_once_and_a_second_phone_sees_it() {
    wait(async {
        let server = server();
        let page = fetch(&server, ORDER).await;
        let other = fetch(&server, ORDER).await;
        let fields = filled(&page);
        let first = post(&server, "/jobs/order/1/tick", &page, &fields).await;
        assert_eq!(first.status, StatusCode::SEE_OTHER, "{}", first.text());
        let again = post(&server, "/jobs/order/1/tick", &page, &fields).await;
        assert_eq!(again.header("location"), first.header("location"));
        assert!(fetch(&server, ORDER).await.text().contains("Step 10 of"));
        // The second phone still shows the old step: its tick is the same tick.
        let late = post(&server, "/jobs/order/1/tick", &other, &filled(&other)).await;
        assert_eq!(late.status, StatusCode::SEE_OTHER, "{}", late.text());
        assert!(late.header("location").contains("was="), "{}", late.header("location"));
        let now = fetch(&server, late.header("location")).await.text();
        assert!(now.contains("Was ticked meanwhile") && now.contains("Step 10 of"), "{now}");
        let seen = fetch_with(&server, ORDER, &[("x-part", "seen")]).await;
        assert!(seen.body.starts_with("<span id=\"seen\" data-seen="), "{}", seen.body);
    });
}

#[test]
fn a_failed_look_brings_its_job_and_says_so() {
    wait(async {
        let server = server();
        let page = fetch(&server, ORDER).await;
        assert_eq!(token(&page), "do:inspect-guides");
        let fields = filled(&page).replace("passes-slider-left=yes", "passes-slider-left=no");
        let told = post(&server, "/jobs/order/1/tick", &page, &fields).await;
        assert_eq!(told.status, StatusCode::SEE_OTHER, "{}", told.text());
        let all = fetch(&server, "/jobs/order/1/steps").await.text();
        assert!(all.contains("Came in:"), "{all}");
        let told = fetch(&server, "/jobs").await.text();
        assert!(told.contains("guide"), "{told}");
    });
}

#[test]
fn out_of_turn_is_warned_of_and_taking_back_wants_a_reason() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/jobs/order/1?step=30").await;
        assert!(page.text().contains("Out of turn: first:"), "{}", page.text());
        let done = fetch(&server, "/jobs/order/1?step=1").await;
        let told = post(&server, "/jobs/order/1/untick", &done, "step=open%3Aguard-off&number=1&reason=").await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        let back = fetch(&server, "/jobs/order/1?step=8").await;
        let told =
            post(&server, "/jobs/order/1/untick", &back, "step=open%3Achain-open&number=8&reason=still+on").await;
        assert_eq!(told.status, StatusCode::SEE_OTHER, "{}", told.text());
        assert!(fetch(&server, ORDER).await.text().contains("Step 8 of"));
    });
}

#[test]
fn closing_is_refused_by_name_and_giving_up_needs_a_whole_bike() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/jobs/order/1/close").await;
        let text = page.text();
        assert!(text.contains("Not closed") && text.contains("Pump the rear brake until the pedal is firm"), "{text}");
        let told = post(&server, "/jobs/order/1/close", &page, "").await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        let told = post(&server, "/jobs/order/1/drop", &page, "").await;
        assert!(
            told.status == StatusCode::UNPROCESSABLE_ENTITY && told.text().contains("chain parted"),
            "{}",
            told.text()
        );
    });
}

#[test]
fn from_the_middle_to_the_record_the_verdict_follows() {
    wait(async {
        let server = server();
        let first = fetch(&server, "/").await;
        assert!(first.text().contains("Drive apart since") && first.text().contains("step 9 of "), "{}", first.text());
        assert!(first.body.contains("href=\"/jobs/order/1\""), "the first screen leads to the step");
        for _ in 0..60 {
            let page = fetch(&server, ORDER).await;
            if page.status == StatusCode::SEE_OTHER {
                break;
            }
            let page = give_figures(&server, page, ORDER).await;
            let cure = if token(&page) == "do:rear-sprocket-swap" { "&cure_h=24" } else { "" };
            let told = post(&server, "/jobs/order/1/tick", &page, &format!("{}{cure}", filled(&page))).await;
            assert_eq!(told.status, StatusCode::SEE_OTHER, "{}: {}", token(&page), told.text());
        }
        let done = fetch(&server, "/").await.text();
        assert!(done.contains("every step done, order 1 to be closed"), "{done}");
        assert!(
            done.contains("Every step of work order 1 is done") && done.contains("Close the order, 2 min"),
            "{done}"
        );
        let page = fetch(&server, "/jobs/order/1/close").await;
        assert!(page.text().contains("Every step is done"), "{}", page.text());
        let bad = post(&server, "/jobs/order/1/close", &page, "name-0=set+C&price-0=cheap").await;
        assert!(
            bad.status == StatusCode::UNPROCESSABLE_ENTITY && bad.body.contains("value=\"set C\""),
            "{}",
            bad.text()
        );
        let page = fetch(&server, "/jobs/order/1/close").await;
        let told = post(&server, "/jobs/order/1/close", &page, "name-0=set+C&price-0=92+EUR").await;
        assert_eq!(told.status, StatusCode::SEE_OTHER, "{}", told.text());
        let ready = fetch(&server, "/").await.text();
        assert!(!ready.contains("Drive apart since"), "{ready}");
        // Closed, and not to be ridden all the same: what was glued is not cured.
        assert!(ready.contains("Not ready") && ready.contains("Ride not before"), "{ready}");
        assert!(ready.contains("No length reading of this chain") || ready.contains("Measure 20 pitches"), "{ready}");
        let figures = fetch(&server, "/jobs/order/1/figures").await.text();
        assert!(figures.contains("100 N·m") && figures.contains("85 mm"), "{figures}");
        // What went onto the bike does not lie on the shelf any more.
        assert!(fetch(&server, "/parts/note?role=chain").await.text().contains("So far: 0 on the shelf"));
        // Opened again, all of it is taken back.
        let page = fetch(&server, "/jobs/order/1/close").await;
        assert_eq!(post(&server, "/jobs/order/1/reopen", &page, "").await.status, StatusCode::SEE_OTHER);
        assert!(fetch(&server, "/").await.text().contains("Every step of work order 1 is done"));
        assert!(fetch(&server, "/parts/note?role=chain").await.text().contains("So far: 1 on the shelf"));
    });
}

#[test]
fn a_new_order_is_chosen_offered_begun_and_gathered() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/jobs/start?job=final-drive-set").await;
        let text = page.text();
        for offered in ["countershaft", "bearings"] {
            assert!(text.to_lowercase().contains(offered), "{offered} is not offered: {text}");
        }
        assert!(text.contains("min more, saves"), "{text}");
        let told = post(&server, "/jobs/start", &page, "job=final-drive-set&job=countershaft-seal").await;
        assert_eq!(told.status, StatusCode::SEE_OTHER, "{}", told.text());
        assert!(told.header("location").ends_with("/gather"));
        let told = fetch(&server, told.header("location")).await.text();
        assert!(
            told.contains("Have and need") && told.contains("countershaft") && told.contains("threadlocker, medium"),
            "{told}"
        );
        assert!(told.contains("In case") && told.contains("Your own chance"), "{told}");
        assert_eq!(fetch(&server, "/jobs/start?job=none").await.status, StatusCode::UNPROCESSABLE_ENTITY);
    });
}

#[test]
fn what_the_shelf_has_is_ticked_when_gathering_and_what_waiting_costs_is_said_before_anything_is_opened() {
    wait(async {
        let server = demo_server();
        let before = fetch(&server, "/jobs/start?job=countershaft-seal").await.text();
        assert!(before.contains("What it needs") && before.contains("State"), "{before}");
        let told = fetch(&server, "/jobs/order/1/gather").await;
        let ticked = |what: &str| {
            let box_of =
                told.body.split("<input ").find(|input| input.contains(&format!("value=\"{what}\""))).expect(what);
            box_of.split('>').next().is_some_and(|tag| tag.contains("checked"))
        };
        assert!(ticked("chain") && ticked("rear sprocket"));
        assert!(!ticked("connecting link") && !ticked("front sprocket retention"), "one of two is not enough");
        assert!(!ticked("threadlocker, medium"), "past its day");
        let text = told.text();
        for words in ["5 to 15 %", "there on 2026-10-01", "order by 2026-09-25", "past its day"] {
            assert!(text.contains(words), "{words}: {text}");
        }
        let own = fetch(&server, "/jobs/order/1/gather?asked=1&have=connecting+link").await.text();
        assert!(own.contains("Missing: chain;") && !own.contains("Missing: connecting link"), "{own}");
    });
}

#[test]
fn paper_is_typed_in_by_the_numbers_of_the_sheet_all_or_nothing() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/jobs/start?job=rear-tyre").await;
        let begun = post(&server, "/jobs/start", &page, "job=gearbox-oil").await;
        let order = begun.header("location").trim_end_matches("/gather").to_owned();
        let path = format!("{order}/paper");
        let page = fetch(&server, &path).await;
        assert!(page.text().contains("1. ") && page.text().contains("Step 1 done"), "{}", page.text());
        let told = post(&server, &path, &page, "done-1=yes&done-2=yes").await;
        assert!(
            told.status == StatusCode::UNPROCESSABLE_ENTITY && told.text().contains("stops were read"),
            "{}",
            told.text()
        );
        assert!(told.body.contains("name=\"done-1\" value=\"yes\" checked"));
        let page = fetch(&server, &path).await;
        let told = post(&server, &path, &page, "read-all=yes&done-1=yes").await;
        assert_eq!(told.status, StatusCode::SEE_OTHER, "{}", told.text());
        assert!(fetch(&server, &order).await.text().contains("Step 2 of"));
    });
}

#[test]
fn an_order_that_is_not_there_is_said() {
    wait(async {
        let told = fetch(&server(), "/jobs/order/99").await;
        assert_eq!(told.status, StatusCode::NOT_FOUND);
        assert!(told.text().contains("no work order 99"));
    });
}
