//! A work order by its commands: begun, refused, ticked, failed, taken back, closed into the record; own jobs.

use std::path::Path;
use std::process::Command;

use crate::shed::{Shed, squeezed};

fn write(folder: &Path, name: &str, text: &str) {
    std::fs::write(folder.join(name), text).expect("a file");
}

#[test]
fn an_open_order_is_printed_under_its_own_numbers_with_what_the_manual_says() {
    let bench = Shed::new("order-paper");
    bench.done(&["job", "start", "valve-clearance"]);
    bench.done(&["job", "figure", "valve-clearance", "0.10", "--to", "0.15", "--source", "manual, p. 40"]);
    let sheet = bench.folder.join("order.pdf");
    let out = sheet.to_str().expect("a name");
    bench.done(&["job", "sheet", "--order", "1", "--out", out]);
    let told = Command::new("pdftotext").args(["-raw", out, "-"]).output().expect("pdftotext");
    let text = squeezed(&String::from_utf8(told.stdout).expect("text"));
    for words in ["0.1 to 0.15 mm", "manual, p. 40"] {
        assert!(text.contains(words), "{words}: {text}");
    }
    bench.refused(&["job", "sheet", "--order", "9", "--out", out], 1, &["9"]);
    bench.refused(&["job", "sheet", "--order", "1", "--job", "gearbox-oil", "--out", out], 2, &["--order"]);
}

#[test]
fn an_order_is_begun_ticked_out_of_turn_taken_back_and_not_closed_half_done() {
    let bench = Shed::new("order-half");
    bench.refused(&["job", "step"], 1, &["No work order is open", "job start"]);
    let begun = bench.json(&["job", "start", "final-drive-set"]);
    assert_eq!((begun["id"].as_i64(), begun["end"].as_str()), (Some(1), Some("open")));
    let step = bench.json(&["job", "step"]);
    assert_eq!((step["step"]["number"].as_u64(), step["next"].as_bool()), (Some(1), Some(true)));
    bench.refused(&["job", "tick"], 2, &["--read ", "Read the stop first"]);
    let next = bench.json(&["job", "tick", "--read", "all"]);
    assert_eq!(next["step"]["number"].as_u64(), Some(2));
    bench.refused(
        &["job", "tick", "open:on-stand", "--read", "all"],
        2,
        &["reason: Out of turn, first: crack axle nut"],
    );
    bench.done(&["job", "tick", "open:on-stand", "--read", "all", "--reason", "nut cracked yesterday"]);
    bench.refused(&["job", "tick", "open:on-stand", "--read", "all"], 2, &["so already"]);
    bench.refused(&["job", "untick", "2", "--reason", " "], 2, &["Say why"]);
    let back = bench.json(&["job", "untick", "open:on-stand", "--reason", "it rocked"]);
    assert_eq!(back["step"]["number"].as_u64(), Some(2));
    bench.refused(&["job", "close"], 1, &["Order 1 is not closed", "safety hangs on it: Pump the rear brake"]);
    bench.refused(&["job", "give-up"], 1, &["front sprocket guard off"]);
    bench.done(&["job", "stop"]);
    let told = bench.json(&["job", "show"]);
    assert_eq!(told["done"].as_u64(), Some(1));
    assert!(told["clock"]["left_min"][0].as_f64() < told["clock"]["left_min"][2].as_f64());
    let ready = bench.json(&["ready"]);
    assert_eq!(ready["verdict"], "STOP", "an open order takes the drive apart");
}

#[test]
fn a_small_order_goes_into_the_record_and_a_no_brings_its_job() {
    let bench = Shed::new("order-small");
    bench.done(&["job", "start", "rear-wheel-bearings"]);
    bench.refused(&["job", "start", "no-such-job"], 2, &["not in the library"]);
    let offers = bench.json(&["job", "offers"]);
    let offers = offers.as_array().expect("a list");
    assert!(!offers.is_empty() && offers.iter().all(|one| one["saved_min"].as_f64() > Some(0.0)), "{offers:?}");
    let mut held = false;
    for _ in 0..60 {
        let step = bench.run(&["--json", "job", "step"]);
        if step.status != Some(0) {
            break;
        }
        let step: serde_json::Value = serde_json::from_str(&step.out).expect("JSON");
        if step["missing"][0]["figure"] == "rear-axle-torque" {
            held = true;
            bench.refused(&["job", "tick", "--read", "all"], 2, &["STOP: the manual's figure is missing"]);
            bench.refused(&["job", "figure", "rear-axle-torque", "100", "--source", " "], 2, &["document and page"]);
            bench.done(&["job", "figure", "rear-axle-torque", "100", "--source", "manual, p. 12"]);
            continue;
        }
        if let Some(figure) = step["missing"][0]["figure"].as_str() {
            bench.done(&["job", "figure", figure, "12", "--source", "manual, p. 13"]);
            continue;
        }
        let mut args: Vec<String> = ["job", "tick", "--read", "all"].map(str::to_owned).to_vec();
        for blank in step["blanks"].as_array().expect("blanks") {
            let hold = blank["hold"].as_str().expect("a name");
            let value = match (blank["kind"].as_str(), hold) {
                (Some("yes-no"), _) => "yes",
                (Some("choice"), _) => blank["choices"][0].as_str().expect("an answer"),
                (_, "slack" | "slack-after-torque") => "85",
                (_, "rear-axle-torque") => "100",
                _ => "12",
            };
            args.extend([
                "--value".to_owned(),
                format!("{hold}={value}"),
                "--passes".to_owned(),
                format!("{hold}=yes"),
            ]);
        }
        bench.done(&args.iter().map(String::as_str).collect::<Vec<_>>());
    }
    assert!(held, "the axle's torque was never asked for");
    bench.done(&["job", "close", "--meter", "12.5"]);
    bench.refused(&["job", "close"], 1, &["No work order is open"]);
    let history = bench.done(&["drive", "history"]);
    for said in ["Replace rear wheel bearings", "axle", "brake"] {
        assert!(history.contains(said), "{said} is not in {history}");
    }
    bench.done(&["job", "start", "gearbox-oil"]);
    let orders = bench.done(&["--plain", "job", "orders"]);
    assert!(orders.contains("closed") && orders.contains("open"), "{orders}");
}

#[test]
fn own_jobs_are_laid_over_the_carried_ones_and_faults_are_told_with_file_and_line() {
    let bench = Shed::new("order-own");
    let job = r#"schema = 1
[job]
id = "wash-and-look"
title = "Wash and look over"
group = "whole bike"
purpose = "See what a ride has done."
skill = 1
triggers = [{ kind = "event", text = "after a wet ride" }]
interval = { basis = "mine" }
time = { low_min = 20, high_min = 40, basis = "mine" }
[[op]]
id = "wash-it"
do = "Wash it with the Bucket from www.my-shed.com, not with a jet."
min = 20
kit = "clean"
cautions = ["cold-fingers"]
"#;
    let caution = "schema = 1\n[[caution]]\nid = \"cold-fingers\"\nhazard = \"numb fingers\"\nlevel = \"stop\"\napplies = []\ntext = \"Warm up first.\"\nbasis = \"mine\"\n";
    let folder = bench.folder.join("tightspot/jobs");
    std::fs::create_dir_all(&folder).expect("a folder");
    let path = folder.display().to_string();
    write(&folder, "wash.toml", job);
    bench.refused(&["job", "check", &path], 1, &["wash.toml:", "cold-fingers"]);
    write(&folder, "cautions.toml", caution);
    assert!(bench.done(&["job", "check", &path]).contains("holds"));
    // The folder beside the settings is taken without being named; so is the one that is named.
    assert!(bench.done(&["job", "list"]).contains("wash-and-look"));
    bench.done(&["job", "start", "wash-and-look"]);
    let step = bench.json(&["job", "step"]);
    assert_eq!(step["unread"][0]["hazard"], "numb fingers");
    bench.done(&["job", "tick", "--read", "all"]);
    bench.done(&["job", "close"]);
    write(&folder, "wash.toml", &job.replace("min = 20\nkit", "minutes = 20\nkit"));
    bench.refused(&["job", "list"], 1, &["wash.toml:"]);
    // Without the folder the record is still read whole.
    std::fs::remove_dir_all(&folder).expect("gone");
    assert!(bench.done(&["drive", "history"]).contains("wash-and-look"));
}
