//! What a rider is told at the bench: figures with the digits of a wrench, faults at their fields, tries that do not pass.

use axum::Router;
use axum::http::StatusCode;

use super::tests::{ORDER, filled, give_figures, token};
use crate::serve::driven::{Told, fetch, post, server, wait};

#[test]
fn a_band_upside_down_is_told_at_its_field_and_what_was_typed_stays() {
    wait(async {
        let server = server();
        let page = fetch(&server, ORDER).await;
        let given = "figure=chain-slack&number=9&slack_mm_min=193&slack_mm_max=187&source=manual%2C+p.+41";
        let told = post(&server, "/jobs/order/1/figure", &page, given).await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", told.text());
        let text = told.text();
        assert!(text.contains("Most slack is 187 and least slack is 193"), "{text}");
        assert!(told.body.contains("<title>Error:"), "{}", told.body);
    });
}

/// The step of that name and its page.
async fn at_step(server: &Router, name: &str) -> Told {
    for number in 9..40 {
        let page = fetch(server, &format!("/jobs/order/1?step={number}")).await;
        if page.status == StatusCode::OK && token(&page) == name {
            return page;
        }
    }
    unreachable!("the demo's order has {name}")
}

#[test]
fn a_torque_typed_in_another_unit_stands_large_with_the_digits_of_a_wrench() {
    wait(async {
        let server = server();
        let page = at_step(&server, "do:rear-sprocket-swap").await;
        let number = page.hidden("number");
        let given = format!(
            "figure=rear-sprocket-torque&number={number}&rear_sprocket_torque_nm=26+lbf+ft&source=manual%2C+p.+40"
        );
        let told = post(&server, "/jobs/order/1/figure", &page, &given).await;
        assert_eq!(told.status, StatusCode::SEE_OTHER, "{}", told.text());
        let page = at_step(&server, "do:rear-sprocket-swap").await;
        let text = page.text();
        // 26 lbf·ft are 35.25 N·m by the exact factor.
        assert!(page.body.contains("<b>35.3</b>"), "{text}");
        assert!(text.contains("To be: 35.3 N·m (manual, p. 40)") && !text.contains("35.25"), "{text}");
    });
}

#[test]
fn a_try_that_does_not_pass_is_not_called_saved() {
    wait(async {
        let server = server();
        for _ in 0..60 {
            let page = give_figures(&server, fetch(&server, ORDER).await, ORDER).await;
            let is_slack = token(&page) == "do:chain-slack-set";
            let fields =
                if is_slack { filled(&page).replace("value-slack=85", "value-slack=70") } else { filled(&page) };
            let told = post(&server, "/jobs/order/1/tick", &page, &fields).await;
            assert_eq!(told.status, StatusCode::SEE_OTHER, "{}: {}", token(&page), told.text());
            if is_slack {
                let text = fetch(&server, told.header("location")).await.text();
                assert!(text.contains("Tried and stays open: slack 70 mm (does not pass)"), "{text}");
                assert!(!text.contains("Saved:"), "{text}");
                return;
            }
        }
        unreachable!("the demo's order sets the slack");
    });
}

#[test]
fn the_step_that_brings_the_adjusters_to_their_place_says_which() {
    wait(async {
        let server = server();
        let text = at_step(&server, "do:adjusters-forward").await.text();
        let garage = crate::garage::Garage::demo().expect("the demo");
        let bike = garage.bike(None).expect("a bike");
        let setup = advice::Setup::fitted(&bike).expect("a setup");
        let place = advice::fit::Slot::of(&bike).and_then(|slot| slot.place(setup)).expect("a place");
        let words = format!("axle {} from the pivot", advice::words::mm(place.arm_mm));
        assert!(text.contains(&words), "{words} is not in {text}");
    });
}

#[test]
fn a_count_that_cannot_be_stands_open_with_its_fault() {
    wait(async {
        let server = server();
        let told = fetch(&server, "/jobs/start?job=rear-sprocket-only&rear_teeth=47%2C5").await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
        let fold = told.body.split("Another pair or chain").next().unwrap_or_default();
        assert!(fold.ends_with("<details class=\"more\" open><summary>"), "{fold}");
        assert!(!told.text().contains("rear_teeth"), "{}", told.text());
    });
}

#[test]
fn a_plan_of_a_change_leads_to_its_order_with_the_same_pair() {
    wait(async {
        let server = server();
        let plan = fetch(&server, "/jobs/plan?front_teeth=13&rear_teeth=48").await;
        let rest = plan.body.split("href=\"/jobs/start?").nth(1).expect("a way to the order");
        let way = format!("/jobs/start?{}", rest.split('"').next().unwrap_or_default().replace("&amp;", "&"));
        let text = fetch(&server, &way).await.text();
        assert!(text.contains("13/48 on 118 links") && text.contains("Begin this order"), "{way}: {text}");
    });
}

#[test]
fn what_is_ticked_as_at_hand_is_not_listed_as_missing() {
    wait(async {
        let server = server();
        let page = fetch(&server, "/jobs/order/1/gather?asked=1").await;
        assert!(page.text().contains("Missing:"), "{}", page.text());
        let all: Vec<String> = page
            .body
            .split("name=\"have\" value=\"")
            .skip(1)
            .filter_map(|rest| rest.split('"').next())
            .map(|what| format!("have={}", crate::serve::encoded(&what.replace("&amp;", "&"))))
            .collect();
        let page = fetch(&server, &format!("/jobs/order/1/gather?asked=1&{}", all.join("&"))).await.text();
        assert!(page.contains("Everything is at hand.") && !page.contains("taken as missing"), "{page}");
    });
}

#[test]
fn a_step_that_asks_for_the_chains_length_leads_to_the_reading_and_has_its_longest_place_on_the_way_back() {
    wait(async {
        let server = server();
        let form = fetch(&server, "/jobs/start?job=chain-slack").await;
        let begun = post(&server, "/jobs/start", &form, "job=chain-slack").await;
        let order = begun.header("location").trim_end_matches("/gather").to_owned();
        let number = order.rsplit('/').next().expect("a number").to_owned();
        let steps = fetch(&server, &format!("{order}/steps")).await.text();
        let at = steps
            .split("Measure drivetrain")
            .next()
            .and_then(|before| before.trim_end().trim_end_matches('.').rsplit(' ').next());
        let step = format!("{order}?step={}", at.expect("the step"));
        let before = fetch(&server, &step).await;
        let way = format!("/drive/measure/elongation?order={number}&amp;step={}", at.expect("the step"));
        assert!(before.body.contains(&format!("href=\"{way}\"")), "{way}: {}", before.body);
        assert!(before.body.contains("name=\"value-wear-reading\" type=\"text\" value=\"\""), "{}", before.body);
        let reading = fetch(&server, &way.replace("&amp;", "&")).await;
        assert!(reading.body.contains("Back to step"), "{}", reading.text());
        let fields = format!(
            "order={number}&step={}&length_1=319,2&length_2=319,6&length_3=319,4&pitches=20&instrument=rule",
            at.expect("the step")
        );
        let kept = post(&server, "/drive/measure/elongation", &reading, &fields).await;
        assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text());
        let judged = fetch(&server, kept.header("location")).await;
        assert!(judged.body.contains(&format!("href=\"{step}\"")), "{step}: {}", judged.body);
        let after = fetch(&server, &step).await;
        assert!(after.body.contains("name=\"value-wear-reading\" type=\"text\" value=\"319.6\""), "{}", after.body);
    });
}
