//! Rides and gearing as a person runs them: a season brought in with bad files in it, and what is asked of it then.

use std::path::Path;
use std::process::{Command, Stdio};

use crate::shed::{Said, Shed, shipped, squeezed};

/// Puts a file into the folder of a test.
fn put(bench: &Shed, name: &str, text: &str) -> String {
    let file = bench.file(name);
    std::fs::create_dir_all(Path::new(&file).parent().expect("a folder")).expect("a folder");
    std::fs::write(&file, text).expect("written");
    file
}

fn out(said: &Said) -> String {
    squeezed(&said.out)
}

fn err(said: &Said) -> String {
    squeezed(&said.err)
}

/// A logger's table along a meridian: 400 s at a speed that swings.
fn table() -> String {
    let mut text = "time,lat,lon,ele_m,speed_kmh,rpm\n".to_owned();
    let mut lat = 47.0;
    for second in 0..400_u32 {
        let speed_mps = 9.0 + 5.0 * (f64::from(second) / 20.0).sin();
        lat += speed_mps / 111_194.0;
        let (minute, rest) = (second / 60, second % 60);
        text.push_str(&format!("2026-05-02T08:{minute:02}:{rest:02}Z,{lat:.7},8.0,400,{:.2},5000\n", speed_mps * 3.6));
    }
    text
}

#[test]
fn a_season_is_brought_in_past_its_bad_files_which_are_named_with_their_line() {
    let bench = Shed::new("rides-season");
    for name in ["synthetic_single_track", "synthetic_single_track_clean", "bike_coast_a"] {
        put(
            &bench,
            &format!("season/{name}.gpx"),
            &std::fs::read_to_string(shipped(&format!("gpx/{name}.gpx"))).expect("it is shipped"),
        );
    }
    put(&bench, "season/b_untimed.gpx", "<gpx><trk><trkseg><trkpt lat='1' lon='1'/></trkseg></trk></gpx>");
    put(&bench, "season/c_no_track.gpx", "\n\n<html></html>");
    put(&bench, "season/d_table.csv", &table());
    put(&bench, "season/e_bad.csv", "time,lat,lon\n2026-05-02T08:00:00Z,x,8\n");
    put(&bench, "season/notes.txt", "not a track");
    let folder = &bench.file("season");
    let dry = bench.run(&["ride", "import", folder, "--dry-run"]);
    assert!(out(&dry).contains("4 of 7 would be kept, 0 there already, 3 bad."), "{}", out(&dry));
    assert_eq!(out(&bench.run(&["--plain", "ride", "list"])).matches("row").count(), 0);
    let said = bench.run(&["ride", "import", folder, "--ground", "trail", "--pair", "13/48"]);
    assert_eq!(said.status, Some(1), "bad files are told by the status");
    assert!(out(&said).contains("4 of 7 kept, 0 there already, 3 bad."), "{}", out(&said));
    let errors = err(&said);
    assert!(errors.contains("b_untimed.gpx: the track has no usable times"), "{errors}");
    assert!(errors.contains("c_no_track.gpx: line 3"), "{errors}");
    assert!(errors.contains("e_bad.csv: line 2, column lat"), "{errors}");
    assert!(!errors.contains("of 7:") && !errors.contains('\u{1b}'), "no progress where nobody looks: {errors}");
    let list = out(&bench.run(&["--plain", "ride", "list"]));
    assert_eq!(list.matches("trail").count(), 4, "{list}");
    assert_eq!(list.matches("13/48 on 118").count(), 4, "{list}");
    let again = bench.run(&["ride", "import", folder]);
    assert!(out(&again).contains("0 of 7 kept, 4 there already, 3 bad."), "{}", out(&again));
}

#[test]
fn stored_rides_are_weighed_and_those_of_another_ground_left_out() {
    let bench = Shed::new("rides-weighed");
    let track = shipped("gpx/synthetic_single_track.gpx");
    assert!(bench.run(&["ride", "import", &track, "--name", "woods", "--ground", "trail"]).status == Some(0));
    let table = put(&bench, "log.csv", &table());
    assert!(bench.run(&["ride", "import", &table, "--name", "lane", "--ground", "gravel"]).status == Some(0));
    let both = bench.run(&["--json", "gearing", "--ride", "woods:3", "--ride", "lane"]);
    assert!(both.status == Some(0), "{}", err(&both));
    let view: serde_json::Value = serde_json::from_str(&both.out).expect("JSON");
    let shares = view["replay"]["share_pct"].as_array().expect("shares");
    assert!(shares.len() == 2 && shares[0].as_f64() > Some(80.0), "{shares:?}");
    assert!(view["candidates"].as_array().is_some_and(|all| (1..=5).contains(&all.len())));
    let gravel = bench.run(&["--json", "gearing", "--all", "--ground", "gravel", "--half-life", "60"]);
    let view: serde_json::Value = serde_json::from_str(&gravel.out).expect("JSON");
    assert_eq!(view["replay"]["share_pct"].as_array().map(Vec::len), Some(1));
    let none = bench.run(&["gearing", "--all", "--ground", "mud"]);
    assert!(none.status == Some(1) && err(&none).contains("No stored ride on that ground"), "{}", err(&none));
    let wrong = bench.run(&["gearing", "--ride", "woods:-2"]);
    assert!(wrong.status == Some(2) && err(&wrong).contains("0 to 1000"), "{}", err(&wrong));
    let unknown = bench.run(&["gearing", "--ride", "nowhere:2"]);
    assert!(unknown.status == Some(2) && err(&unknown).contains("woods"), "{}", err(&unknown));
}

#[test]
fn each_part_of_the_gearing_question_answers_or_says_what_is_missing() {
    let bench = Shed::new("rides-parts");
    let track = shipped("gpx/synthetic_single_track.gpx");
    let stretch = bench.run(&[
        "gearing",
        "stretch",
        "--ride",
        &track,
        "--from",
        "4:20",
        "--to",
        "7:05",
        "--pairs",
        "13/48,14/50",
    ]);
    let words = out(&stretch);
    assert!(words.contains("4:20 to 7:05") && words.contains("13/48") && words.contains("14/50"), "{words}");
    let backward = bench.run(&["gearing", "stretch", "--ride", &track, "--from", "7:05", "--to", "4:20"]);
    assert_eq!(backward.status, Some(2));
    let time = bench.run(&["gearing", "stretch", "--ride", &track, "--from", "4.2", "--to", "7:05"]);
    assert!(time.status == Some(2) && err(&time).contains("minutes:seconds"), "{}", err(&time));
    let wish = bench.run(&["gearing", "wish", "--crawl", "12"]);
    assert!(out(&wish).contains("Change to"), "{}", out(&wish));
    let kit = bench.run(&["gearing", "kit", "--ride", &track, "--shelf", "13,50"]);
    assert!(out(&kit).contains("Fewest pieces for 1 ride:"), "{}", out(&kit));
    let swap = bench.run(&["gearing", "swap", "--pair", "13/48"]);
    assert!(out(&swap).contains("pull +7.7 %") && out(&swap).contains("27.7°"), "{}", out(&swap));
    let like = bench.run(&["gearing", "like", "alder-350"]);
    assert!(like.status == Some(2) && err(&like).contains("the bike itself"), "{}", err(&like));
    let outcome = bench.run(&["gearing", "outcome"]);
    assert!(outcome.status == Some(1) && err(&outcome).contains("Import rides"), "{}", err(&outcome));
}

#[test]
fn a_change_of_pair_is_judged_from_stored_rides_and_too_few_say_so() {
    let bench = Shed::new("rides-outcome");
    let clean = shipped("gpx/synthetic_single_track_clean.gpx");
    assert!(
        bench.run(&["ride", "import", &clean, "--name", "before", "--ground", "trail", "--pair", "14/48"]).status
            == Some(0)
    );
    let table = put(&bench, "log.csv", &table());
    assert!(
        bench.run(&["ride", "import", &table, "--name", "after", "--ground", "trail", "--pair", "13/48"]).status
            == Some(0)
    );
    let said = bench.run(&["gearing", "outcome", "--old", "14/48", "--new", "13/48"]);
    let words = out(&said);
    assert!(said.status == Some(0) && words.contains("Cannot say"), "{words} {}", err(&said));
    assert!(words.contains("1 ride before and 1 ride after"), "{words}");
}

#[test]
fn ctrl_c_ends_an_import_between_two_files_and_keeps_what_is_done() {
    let bench = Shed::new("rides-interrupt");
    let track = std::fs::read_to_string(shipped("gpx/bike_coast_a.gpx")).expect("it is shipped");
    for n in 0..60 {
        // Another comment makes another file of it: the same file would be told, not stored.
        put(&bench, &format!("season/r{n:02}.gpx"), &track.replace("</gpx>", &format!("<!-- {n} --></gpx>")));
    }
    let mut command = bench.command("bikes.db");
    command.args(["ride", "import", &bench.file("season")]).stdout(Stdio::piped()).stderr(Stdio::piped());
    let child = command.spawn().expect("it starts");
    std::thread::sleep(std::time::Duration::from_millis(700));
    let killed = Command::new("kill").args(["-INT", &child.id().to_string()]).status().expect("kill runs");
    let said: Said = child.wait_with_output().expect("it ends").into();
    let kept = out(&bench.run(&["--plain", "ride", "list"])).matches("row rides").count();
    assert!(said.status.is_some(), "it ends by itself, not by the signal");
    assert!(out(&said).contains(&format!("{kept} of 60 kept")), "{}", out(&said));
    if killed.success() && kept < 60 {
        assert_eq!(said.status, Some(1));
        assert!(err(&said).contains(&format!("{} files were not read", 60 - kept)), "{}", err(&said));
    }
}
