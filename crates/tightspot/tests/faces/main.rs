//! One answer, many faces: what the command prints, the page shows, the API gives and the sheet prints is the same to the
//! last digit, in whichever units it is read.

mod serving;
mod sheet;
mod units;

use serde_json::Value;

use crate::serving::{DEMO, QUESTIONS, Serving, command, facts, words};

#[test]
fn k11_ten_figures_and_more_are_the_same_to_the_last_digit_on_page_command_and_api() {
    let served = Serving::start(&DEMO);
    let (mut compared, mut different) = (0, Vec::new());
    for (args, page, api) in QUESTIONS {
        let by_command: Value = serde_json::from_str(&command(&DEMO, args, &["--json"])).expect("JSON");
        let by_api: Value = serde_json::from_str(&served.get(api)).expect("JSON");
        assert_eq!(by_command, by_api, "{api} differs from {args:?}");
        let (page, printed) = (words(&served.get(page)), command(&DEMO, args, &[]));
        let printed = printed.split_whitespace().collect::<Vec<_>>().join(" ");
        let plain = command(&DEMO, args, &["--plain"]);
        let mut all = Vec::new();
        facts(&by_command, &mut all);
        for (text, number) in all {
            if !printed.contains(text) {
                continue;
            }
            compared += 1;
            if !page.contains(text) {
                different.push(format!("{args:?}: \"{text}\" is not on the page"));
            }
            if !plain.contains(&number.to_string()) && !plain.contains(text) {
                different.push(format!("{args:?}: {number} is not among the plain records"));
            }
        }
    }
    assert!(different.is_empty(), "{different:#?}");
    assert!(compared >= 10, "only {compared} figures were compared");
}

#[test]
fn k11_whole_answers_are_the_same_by_command_and_by_api() {
    let served = Serving::start(&DEMO);
    let pairs: [(&[&str], &str); 10] = [
        (&["ready"], "/api/v1/ready"),
        (&["ready", "--slack", "85", "--pair", "14/50"], "/api/v1/ready?slack_mm=85&front_teeth=14&rear_teeth=50"),
        (&["gearing", "map"], "/api/v1/gearing/map"),
        (&["job", "plan", "--pair", "13/48"], "/api/v1/jobs/plan?front_teeth=13"),
        (&["parts"], "/api/v1/parts"),
        (&["parts", "--pair", "13/48"], "/api/v1/parts?front_teeth=13"),
        (
            &["parts", "--job", "final-drive-set", "--by", "2026-10-10"],
            "/api/v1/parts?job=final-drive-set&by=2026-10-10",
        ),
        (
            &[
                "parts",
                "check",
                "chain",
                "--links",
                "120",
                "--size",
                "520",
                "--outer-width",
                "24",
                "--chain-price",
                "92 EUR",
            ],
            "/api/v1/parts/check?what=chain&front_teeth=14&rear_teeth=48&links=120&size=520&outer_width_mm=24\
             &chain_price_minor=9200&currency=EUR",
        ),
        (&["drive", "forecast"], "/api/v1/drive/forecast"),
        (&["drive", "history"], "/api/v1/drive/history"),
    ];
    for (args, api) in pairs {
        let by_command: Value = serde_json::from_str(&command(&DEMO, args, &["--json"])).expect("JSON");
        let by_api: Value = serde_json::from_str(&served.get(api)).expect("JSON");
        assert_eq!(by_command, by_api, "{api} differs from {args:?}");
    }
}

#[test]
fn the_list_of_figures_is_one_by_command_and_by_api() {
    let served = Serving::start(&DEMO);
    assert_eq!(command(&DEMO, &["figures", "--list"], &["--json"]).trim_end(), served.get("/api/v1/figures"));
}
