//! The pages of gearing as a browser meets them, over the demo's garage.

use axum::http::StatusCode;

use crate::serve::driven::{fetch, fetch_with, server, wait};

#[test]
fn the_answer_stands_first_with_its_reasons_and_how_sure_it_is() {
    wait(async {
        let text = fetch(&server(), "/gearing").await.text();
        let place = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words}: {text}"));
        let order = [
            "Change to 12/51, on the chain that is fitted.",
            "clutch-slip time 15.2 % → 5.4 %",
            "As good within 3 %",
            "Next best",
            "How sure: ",
            "What would change it: ",
            "This ride is synthetic",
            "The same figures in a table",
            "What the ride asked",
            "A tooth or two either way",
        ];
        assert!(order.map(place).is_sorted(), "{text}");
    });
}

#[test]
fn another_pair_is_told_in_both_senses_and_against_its_own_slot() {
    wait(async {
        let server = server();
        let text = fetch(&server, "/gearing?front_teeth=13&rear_teeth=48&links=118&ride=none").await.text();
        assert!(
            text.contains(
                "shorter: −7.1 % speed, +7.7 % force at the wheel at the same rpm, like 3.69 rear teeth more."
            ),
            "{text}"
        );
        assert!(text.contains("13/48, from") && text.contains("14/48, from"));
        // First gear at 2600 rpm: 2600 / (3.10 · 2.40 · 48/13) · 2.10 m · 0.06 = 11.93 km/h.
        assert!(text.contains("11.9 km/h"), "{text}");
        let tight = fetch(&server, "/gearing?rear_teeth=53&ride=none").await.text();
        assert!(tight.contains("Does not fit") && tight.contains("short of the front stop"), "{tight}");
    });
}

#[test]
fn an_answer_that_is_kept_is_told_to_each_reader_in_their_own_units() {
    wait(async {
        let server = server();
        let metric = fetch(&server, "/gearing?ride=1").await.text();
        let inches = fetch_with(&server, "/gearing?ride=1", &[("cookie", "units=inch")]).await.text();
        let again = fetch(&server, "/gearing?ride=1").await.text();
        assert!(metric.contains("Left to rear stop, mm") && !metric.contains("Left to rear stop, in"), "{metric}");
        assert!(inches.contains("Left to rear stop, in") && !inches.contains("Left to rear stop, mm"), "{inches}");
        assert_eq!(metric, again);
    });
}

#[test]
fn a_part_alone_is_the_part_of_the_page() {
    wait(async {
        let server = server();
        let path = "/gearing?front_teeth=13&rear_teeth=49&links=118&ride=1&ground=trail";
        let page = fetch(&server, path).await;
        let part = fetch_with(&server, path, &[("x-part", "answer")]).await;
        assert!(part.body.starts_with("<div id=\"answer\""), "{}", part.body);
        assert!(page.body.contains(&part.body));
    });
}

#[test]
fn each_fault_stands_at_its_field_and_in_the_summary_and_the_text_is_kept() {
    wait(async {
        let server = server();
        for (query, field, kept) in [
            ("front_teeth=x", "front_teeth", "value=\"x\""),
            ("front_teeth=13.5", "front_teeth", "value=\"13.5\""),
            ("rear_teeth=-48", "rear_teeth", "value=\"-48\""),
            ("rear_teeth=9999999999999999999", "rear_teeth", "value=\"9999999999999999999\""),
            ("links=118+mm", "links", "value=\"118 mm\""),
            ("links=117", "links", "value=\"117\""),
            ("front_teeth=%3Cb%3E", "front_teeth", "value=\"&lt;b&gt;\""),
            ("ride=99", "ride", "none: the gears alone"),
            ("ride=monday", "ride", "none: the gears alone"),
            ("ground=ice", "ground", "asphalt"),
        ] {
            let told = fetch(&server, &format!("/gearing?{query}")).await;
            assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{query}");
            assert!(told.body.contains("<title>Error: "), "{query}");
            assert!(told.body.contains(&format!("href=\"#{field}\"")), "{query}");
            assert!(told.body.contains(&format!("id=\"{field}-fault\"")), "{query}");
            assert!(told.body.contains(kept), "{query}: {}", told.body);
            assert!(told.body.contains("<details class=\"more\" open"), "{query}: the form is folded");
        }
        let odd = fetch(&server, "/gearing/fit?links=117").await;
        assert_eq!(odd.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(odd.text().contains("Take 116 or 118."), "{}", odd.text());
    });
}

#[test]
fn what_is_left_out_is_what_is_fitted() {
    wait(async {
        let server = server();
        let told = fetch(&server, "/gearing/fit?front_teeth=&rear_teeth=50&links=").await;
        assert_eq!(told.status, StatusCode::OK);
        assert!(told.text().contains("14/50 on 118 links"), "{}", told.text());
        let both = fetch(&server, "/gearing/fit?front_teeth=x&links=y").await;
        assert!(both.body.contains("front_teeth-fault") && both.body.contains("links-fault"));
    });
}

#[test]
fn the_fit_says_which_chain_to_order_and_draws_the_axle_to_scale() {
    wait(async {
        let server = server();
        let told = fetch(&server, "/gearing/fit").await;
        let text = told.text();
        assert!(
            text.contains("14/48 takes 118 links.")
                && text.contains("120 would stand 1.2 mm past the rear stop; cut 2."),
            "{text}"
        );
        // 15.2 mm behind the front stop, to the thousandth in the drawing.
        let axle = told
            .body
            .split("data-id=\"axle\" data-cx=\"-")
            .nth(1)
            .and_then(|rest| rest.split('"').next())
            .expect("an axle");
        let axle: f64 = axle.parse().expect("a number");
        assert!((axle - 15.2).abs() < 0.05, "{axle}");
        let short = fetch(&server, "/gearing/fit?rear_teeth=52").await.text();
        assert!(short.contains("Does not fit") && short.contains("2.2 mm in front of the front stop"), "{short}");
        let care = fetch(&server, "/gearing/fit?rear_teeth=46").await.text();
        assert!(care.contains("used up at 0.66 to 0.90 %"), "{care}");
    });
}

#[test]
fn every_chain_of_the_map_leads_to_its_own_page() {
    wait(async {
        let server = server();
        let map = fetch(&server, "/gearing/map").await;
        assert!(map.body.contains("href=\"/gearing/fit?front_teeth=14&amp;rear_teeth=48&amp;links=118\""));
        assert!(map.text().contains("118 * fitted") || map.body.contains("118*<span"), "the fitted chain has its mark");
        let count = map.body.matches("href=\"/gearing/fit?").count();
        assert!(count > 100, "{count}");
        let wrong = fetch(&server, "/gearing/map?rear_teeth=900").await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    });
}

#[test]
fn what_the_sheet_lacks_is_said_with_how_to_find_it_and_ratios_still_stand() {
    wait(async {
        let told = fetch_with(&server(), "/gearing", &[("cookie", "bike=sorrel-250")]).await;
        let text = told.text();
        assert_eq!(told.status, StatusCode::OK);
        assert!(text.contains("rollout") && text.contains("How to find it: "), "{text}");
        assert!(told.body.contains("href=\"/bike?field=rollout_m#rollout_m\""));
        assert!(text.contains("12/49") && text.contains("force at the wheel"), "{text}");
    });
}
