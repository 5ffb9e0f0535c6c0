//! The record by its commands, as a person runs them: what is kept, what is refused, what is taken back.

use std::process::Command;

use crate::shed::{Said, Shed, shipped};

fn demo(args: &[&str]) -> Said {
    Command::new(env!("CARGO_BIN_EXE_tightspot")).arg("--demo").args(args).output().expect("it runs").into()
}

#[test]
fn a_ride_is_logged_in_four_facts_and_the_next_one_remembers_two() {
    let bench = Shed::new("record-log");
    let first = bench.json(&["ride", "log", "--hours", "2:45", "--ground", "bog", "--wet", "--odd", "clunk"]);
    assert_eq!(first["answer"]["hours_h"], 2.75);
    assert!(first["answer"]["reasons"].to_string().contains("clunk"), "{first}");
    let second = bench.done(&["ride", "log", "--hours", "2,75"]);
    assert!(second.contains("Total hours: 5.5 h") && second.contains("bog, wet"), "{second}");
    assert!(second.contains("drive measure elongation"), "{second}");
    bench.refused(&["ride", "log", "--hours", "14"], 2, &["--yes"]);
    bench.refused(&["ride", "log", "--hours", "2", "--odd", "bang"], 2, &["odd", "slap, clunk"]);
    bench.refused(&["ride", "log", "--hours", "3 fingers"], 2, &["hours"]);
    bench.refused(&["ride", "log", "--hours", "2", "--at", "2999-01-01"], 2, &["still to come"]);
    let change = first["change"].to_string();
    bench.done(&["bike", "undo", &change]);
    assert_eq!(bench.json(&["ride", "log", "--hours", "1"])["answer"]["hours_h"], 3.75);
}

#[test]
fn a_meter_that_goes_back_is_refused_unless_it_was_changed() {
    let bench = Shed::new("record-meter");
    bench.done(&["drive", "meter", "213.8", "--at", "2026-01-02"]);
    bench.refused(&["drive", "meter", "2.0", "--at", "2026-01-03"], 2, &["211.8", "--swap"]);
    bench.done(&["drive", "meter", "--swap", "213.8", "0", "--at", "2026-01-03"]);
    let after = bench.json(&["drive", "meter", "3,1", "--at", "2026-01-04"]);
    assert!((after["answer"]["hours_h"].as_f64().expect("hours") - 216.9).abs() < 1e-9, "{after}");
    bench.refused(&["drive", "meter", "2.0", "--at", "2026-01-05"], 2, &["1.1", "--swap"]);
    bench.refused(&["drive", "meter", "200000"], 2, &["hours", "100000"]);
}

#[test]
fn readings_are_kept_judged_and_corrected() {
    let bench = Shed::new("record-measure");
    let args = ["drive", "measure", "slack", "84", "83", "86", "90", "94", "97", "97", "95", "90", "86", "83", "84"];
    let slack = bench.json(&[&args[..], &["--step-links", "12"]].concat());
    assert_eq!(slack["answer"]["tight_spot"]["cause"], "chain");
    assert_eq!(slack["answer"]["tight_spot"]["tightest_at"], serde_json::json!([2, 11]));
    bench.refused(&["drive", "measure", "slack", "3 fingers"], 2, &["slack_mm", "mm"]);
    bench.refused(&["drive", "measure", "slack", "85", "--state", "hung"], 2, &["stand"]);
    let worn =
        bench.done(&["drive", "measure", "elongation", "319.4", "320,9", "319.8", "--error", "0.5", "--step", "0.1"]);
    assert!(worn.contains("within reading error") && worn.contains("48 pitches"), "{worn}");
    let miscount = bench.done(&["drive", "measure", "elongation", "301.9"]);
    assert!(miscount.contains("looks like 19 pitches (0.09 %)"), "{miscount}");
    let history = bench.done(&["drive", "history", "--plain"]);
    let entry = history
        .lines()
        .find(|line| line.contains("301.9"))
        .and_then(|line| line.rsplit('\t').next())
        .expect("its number");
    bench.done(&["drive", "measure", "elongation", "318.1", "--corrects", entry]);
    let after = bench.done(&["drive", "history"]);
    assert!(!after.contains("301.9") && after.contains("318.1"), "{after}");
    bench.refused(&["drive", "measure", "alignment", "605", "605", "--corrects", entry], 2, &["corrects"]);
    let axle = bench.done(&["drive", "measure", "alignment", "605.1", "606.1"]);
    assert!(axle.contains("0.25°"), "{axle}");
}

#[test]
fn a_job_closes_only_with_what_its_safety_hangs_on() {
    let bench = Shed::new("record-job");
    bench.done(&["job", "begin", "rear-tyre"]);
    let ready = bench.done(&["ready"]);
    assert!(ready.contains("a job is open."), "{ready}");
    bench.refused(&["job", "done", "rear-tyre", "--check", "axle=set:100"], 1, &["brake", "not confirmed"]);
    bench.refused(
        &["job", "done", "rear-tyre", "--check", "axle=set", "--check", "brake=firm"],
        2,
        &["torque_nm", "rear_axle_torque_nm"],
    );
    bench.refused(&["job", "done", "rear-tyre", "--check", "axle=set:100", "--check", "brake=not-firm"], 1, &["brake"]);
    bench.refused(&["job", "done", "rear-tire"], 2, &["rear-tyre"]);
    bench.done(&["bike", "set", "rear_axle_torque_nm=100", "--source", "manual, p. 7"]);
    let done = bench.done(&["job", "done", "rear-tyre", "--check", "axle=set", "--check", "brake=firm"]);
    assert!(!done.contains("Not ready"), "{done}");
    assert!(bench.done(&["ready"]).contains("No slack reading since"), "slack is read again");
    bench.done(&["job", "check", "bearings=play-felt"]);
    let status = |args: &[&str]| bench.run(args).status;
    assert_eq!(status(&["ready", "--verdict-exit"]), Some(11));
    let waived = bench.done(&["ready", "--against-stop", "300 m to the van"]);
    assert!(waived.contains("Not ready") && waived.contains("300 m to the van"), "{waived}");
    assert!(bench.done(&["drive", "history"]).contains("ridden against a stop: 300 m to the van"));
}

#[test]
fn without_a_stop_there_is_nothing_to_ride_against() {
    let bench = Shed::new("record-waiver");
    bench.refused(&["ready", "--against-stop", "why not"], 2, &["against-stop"]);
    assert_eq!(bench.run(&["ready", "--verdict-exit"]).status, Some(12));
}

/// Rides and notes tell where somebody is, and when nobody is at home.
fn only_its_owner_reads(path: &str) {
    let rights = std::fs::metadata(path).expect("it is there").permissions();
    assert_eq!(std::os::unix::fs::PermissionsExt::mode(&rights) & 0o077, 0, "{path} is open to others");
}

#[test]
fn a_document_that_finds_no_room_leaves_no_half_of_itself_behind() {
    let bench = Shed::new("record-no-room");
    for track in ["bike_coast_a", "synthetic_single_track"] {
        bench.done(&["ride", "import", &shipped(&format!("gpx/{track}.gpx"))]);
    }
    assert!(bench.done(&["export"]).len() > 64 << 10, "it finds room");
    let file = bench.file("record.json");
    let line = "trap '' XFSZ; ulimit -f 64; exec \"$@\"";
    let mut command = Command::new("bash");
    command.args(["-c", line, "bash", env!("CARGO_BIN_EXE_tightspot"), "--store", &bench.file("bikes.db")]);
    let said: Said = command.args(["export", &file]).output().expect("it runs").into();
    assert!(said.status == Some(1) && said.err.contains("record.json"), "{}", said.err);
    assert!(!std::path::Path::new(&file).exists(), "half of it is there");
    bench.done(&["export", &file]);
}

#[test]
fn what_others_wrote_into_a_record_steers_no_terminal() {
    let bench = Shed::new("record-steered");
    bench.done(&["ride", "log", "--hours", "2", "--ground", "bog\u{1b}[2J\u{7}", "--name", "a\tb\nc"]);
    for args in [&["ride", "list"][..], &["ride", "list", "--plain"], &["ready"]] {
        let told = bench.done(args);
        assert!(!told.contains('\u{1b}') && !told.contains('\u{7}'), "{args:?}: {told:?}");
    }
    let plain = bench.done(&["ride", "list", "--plain"]);
    assert!(plain.contains("row\trides\ta b c\t"), "{plain:?}");
}

#[test]
fn the_record_leaves_whole_and_comes_back_byte_for_byte() {
    let bench = Shed::new("record-whole");
    bench.done(&["ride", "log", "--hours", "2.5", "--ground", "=SUM(A1)", "--meter", "142.3"]);
    bench.done(&["drive", "fitted", "chain", "set C", "--count", "118", "--price", "92,50 EUR"]);
    bench.refused(&["drive", "fitted", "chain", "set C", "--count", "59"], 2, &["59 × 2 = 118"]);
    let first = bench.done(&["export"]);
    let file = bench.file("record.json");
    bench.done(&["export", &file]);
    assert_eq!(std::fs::read_to_string(&file).expect("written"), first);
    only_its_owner_reads(&file);
    bench.refused(&["export", &file], 1, &["Name another file"]);
    assert_eq!(bench.run_in("new.db", &["import", &file, "--dry-run"]).status, Some(0));
    assert_eq!(bench.run_in("new.db", &["import", &file]).status, Some(0));
    assert_eq!(bench.run_in("new.db", &["export"]).out, first);
    assert_eq!(bench.run_in("new.db", &["import", &file]).status, Some(1));
    let folder = bench.file("tables");
    bench.done(&["export", "--csv", &folder]);
    let rides = std::fs::read_to_string(format!("{folder}/ride.csv")).expect("a table");
    only_its_owner_reads(&folder);
    only_its_owner_reads(&format!("{folder}/ride.csv"));
    assert!(rides.contains(",'=SUM(A1),"), "{rides}");
    assert!(bench.done(&["doctor"]).contains("every row was read back"));
}

#[test]
fn a_copy_is_checked_and_put_back_and_the_store_before_it_is_kept() {
    let bench = Shed::new("record-copy");
    bench.done(&["ride", "log", "--hours", "2.5"]);
    let (copy, before) = (bench.file("copy.db"), bench.done(&["export"]));
    bench.done(&["backup", &copy]);
    bench.refused(&["backup", &copy], 1, &["Name another file"]);
    bench.done(&["ride", "log", "--hours", "9"]);
    assert!(bench.done(&["restore", &copy, "--dry-run"]).contains("Nothing was changed"));
    assert_ne!(bench.done(&["export"]), before);
    let restored = bench.done(&["restore", &copy, "--yes"]);
    assert!(restored.contains("bikes.db.before-restore-1"), "{restored}");
    assert_eq!(bench.done(&["export"]), before);
    std::fs::write(&copy, "a note of something else altogether, longer than a head").expect("written");
    bench.refused(&["restore", &copy], 1, &["is no store of this tool"]);
    assert_eq!(bench.done(&["export"]), before);
}

#[test]
fn the_demo_stands_with_its_chain_off_before_an_event() {
    let said = demo(&["ready", "--json"]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    let view: serde_json::Value = serde_json::from_str(&said.out).expect("JSON");
    assert_eq!(view["record"]["verdict"], "STOP");
    let hours = view["record"]["hours_h"].as_f64().expect("hours");
    assert!((hours - 288.9).abs() < 1e-6, "{hours}");
    let reasons = view["record"]["reasons"].to_string();
    for words in ["a job is open.", "Oil due during the ride: 0.9 h left of 15 h", "at the limit within reading error"]
    {
        assert!(reasons.contains(words), "{words}: {reasons}");
    }
    assert_eq!(view["record"]["next"]["in_d"], 2);
    let forecast: serde_json::Value = serde_json::from_str(&demo(&["drive", "forecast", "--json"]).out).expect("JSON");
    let rate = forecast["forecast"]["rate_pct_per_h"].as_f64().expect("a rate");
    assert!((0.008..0.011).contains(&rate), "{rate}");
    let thin = demo(&["--bike", "sorrel-250", "ready", "--verdict-exit"]);
    assert_eq!(thin.status, Some(12), "{}{}", thin.out, thin.err);
    let season = demo(&["ride", "season", "--from", "2025-10-01", "--json"]);
    let season: serde_json::Value = serde_json::from_str(&season.out).expect("JSON");
    assert_eq!(season["at_least"], false, "{season}");
}

#[test]
fn readings_along_the_travel_go_on_the_sheet_with_their_source_and_come_off_again() {
    let bench = Shed::new("record-geometry");
    let read = ["drive", "geometry", "--at", "0=88,8", "--at", "50=69,5", "--at", "100=52", "--at", "150=41,3"];
    let six = [&read[..], &["--at", "200=45,1", "--at", "240=55,9"]].concat();
    let view = bench.json(&six);
    assert_eq!(view["told"][0]["field"], "countershaft_x_mm");
    assert!(view["facts"][0]["text"].as_str().expect("words").contains(" ± "));
    assert!(!bench.done(&["bike", "show"]).contains("fitted from"), "asking keeps nothing");
    let kept = bench.done(&[&six[..], &["--keep"]].concat());
    assert!(kept.contains("tightspot bike undo"), "{kept}");
    assert!(bench.done(&["bike", "show"]).contains("fitted from 6 readings on "));
    let change = kept.split("change ").nth(1).and_then(|rest| rest.split('.').next()).expect("a number").to_owned();
    bench.done(&["bike", "undo", &change]);
    assert!(!bench.done(&["bike", "show"]).contains("fitted from"));
    bench.refused(&["drive", "geometry", "--at", "50"], 2, &["\"50\" is no reading", "50=72,5"]);
    bench.refused(&["drive", "geometry", "--at", "0=88,8", "--at", "50=69,5"], 2, &["3 or more", "300 mm next"]);
}
