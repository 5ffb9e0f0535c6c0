//! `tightspot bike` as a person runs it: what is printed where, and with which status.

use std::process::Command;

use crate::shed::{Shed, shipped};

/// With the thin second bike of the demo.
fn with_sorrel(name: &str) -> Shed {
    let shed = Shed::empty(name);
    shed.done(&["bike", "import", &sheet("sorrel-250")]);
    shed
}

fn sheet(name: &str) -> String {
    shipped(&format!("bikes/{name}.toml"))
}

#[test]
fn an_empty_store_says_how_to_begin() {
    let bench = Shed::empty("bike-empty");
    let list = bench.run(&["bike", "list"]);
    assert_eq!((list.status, list.out.as_str()), (Some(0), ""));
    assert!(list.err.contains("bike import"));
    let show = bench.run(&["bike", "show"]);
    assert_eq!((show.status, show.out.as_str()), (Some(1), ""));
}

#[test]
fn a_file_is_tried_taken_shown_and_written_again_byte_for_byte() {
    let bench = Shed::empty("bike-import");
    let tried = bench.run(&["bike", "import", &sheet("alder-350"), "--dry-run"]);
    assert_eq!(tried.status, Some(0), "{}", tried.err);
    assert!(tried.out.contains("links: not known → 118") && tried.out.contains("--dry-run"));
    assert_eq!(bench.run(&["bike", "list", "--plain"]).out, "");
    assert_eq!(bench.run(&["bike", "import", &sheet("alder-350")]).status, Some(0));
    assert_eq!(bench.run(&["bike", "list", "--plain"]).out, "alder-350\tAlder 350\ttrue\t60\n");
    let show = bench.run(&["bike", "show"]);
    assert!(show.out.contains("Alder 350 (alder-350) (invented figures)"));
    assert!(show.out.contains("slack_mm_min                  82 mm  (invented sheet, page 1)"), "{}", show.out);
    let first = bench.run(&["bike", "export", "alder-350"]).out;
    let again = bench.run_with(&["bike", "import", "-"], &first);
    assert!(again.out.contains("Nothing changes"), "{}{}", again.out, again.err);
    let file = bench.file("alder.toml");
    assert_eq!(bench.run(&["bike", "export", "alder-350", "-o", &file]).status, Some(0));
    assert_eq!(std::fs::read_to_string(&file).unwrap(), first);
    let twice = bench.run(&["bike", "export", "alder-350", "-o", &file]);
    assert_eq!(twice.status, Some(1));
    assert!(twice.err.contains("Name another file"));
}

#[test]
fn figures_are_set_with_units_and_source_and_taken_back() {
    let bench = with_sorrel("bike-set");
    let args =
        ["bike", "set", "sorrel-250", "front_teeth=14", "rear_axle_torque_nm=74 lbf ft", "--source", "manual, p. 88"];
    let set = bench.run(&args);
    assert_eq!(set.status, Some(0), "{}", set.err);
    assert!(set.out.contains("front_teeth: 13 → 14 (manual, p. 88)"), "{}", set.out);
    assert!(set.err.contains("rear_axle_torque_nm = 100.3 N·m"));
    let change = set.out.rsplit_once("bike undo ").unwrap().1.trim().to_owned();
    let plain = bench.run(&["bike", "show", "--plain"]).out;
    assert!(plain.contains("front_teeth\t14\t\tmanual, p. 88\n"), "{plain}");
    assert_eq!(bench.run(&["bike", "undo", &change]).status, Some(0));
    let after = bench.run(&["bike", "show", "--plain"]).out;
    assert!(after.contains("front_teeth\t13\t\t\n") && !after.contains("rear_axle_torque_nm"), "{after}");
    let history = bench.run(&["bike", "history", "--plain"]).out;
    assert!(history.lines().next().unwrap().ends_with("undone"), "{history}");
    let twice = bench.run(&["bike", "undo", &change]);
    assert_eq!(twice.status, Some(1));
    assert!(twice.err.contains("undone already"));
}

#[test]
fn a_figure_said_again_keeps_its_source_and_one_left_empty_is_taken_off() {
    let bench = with_sorrel("bike-again");
    bench.run(&["bike", "set", "sorrel-250", "links=114", "--source", "counted"]);
    let same = bench.run(&["bike", "set", "sorrel-250", "links=114"]);
    assert!(same.out.contains("Nothing changes"), "{}", same.out);
    let off = bench.run(&["bike", "set", "links=", "name=Old red"]);
    assert!(off.out.contains("links: 114 (counted) → not known") && off.out.contains("name: Sorrel 250 → Old red"));
    let json: serde_json::Value = serde_json::from_str(&bench.run(&["bike", "show", "--json"]).out).unwrap();
    assert_eq!(json["name"], "Old red");
    assert!(json["fields"].get("links").is_none());
    assert_eq!(json["fields"]["primary"], serde_json::json!([25, 71]));
}

#[test]
fn what_is_typed_wrong_is_named_with_what_is_possible_and_changes_nothing() {
    let bench = with_sorrel("bike-faults");
    let before = bench.run(&["bike", "export", "sorrel-250"]).out;
    for (figure, wanted) in [
        ("front_teeth=140", "8 to 25"),
        ("front_teth=14", "Did you mean front_teeth"),
        ("front_teeth", "FIELD=VALUE"),
        ("arm_mm=3 fingers", "mm, cm, m, in"),
        ("arm_mm=12,", "digits after it"),
        ("joint=glue", "clip, rivet or endless"),
        ("slot_min_mm=610", "slot_max_mm is 606"),
        ("lo_rpm=1.800", "slip_rpm is 2400"),
    ] {
        let said = bench.run(&["bike", "set", "sorrel-250", figure]);
        assert_eq!((said.status, said.out.as_str()), (Some(2), ""), "{figure}");
        let name = figure.split('=').next().unwrap();
        assert!(said.err.contains(name) && said.err.contains(wanted), "{figure}: {}", said.err);
    }
    let two = bench.run(&["bike", "set", "sorrel-250", "front_teeth=140", "links=7"]);
    assert_eq!(two.err.lines().count(), 2, "{}", two.err);
    let unknown = bench.run(&["bike", "set", "no-bike", "links=114"]);
    assert_eq!(unknown.status, Some(2));
    assert!(unknown.err.contains("There are: sorrel-250."));
    assert_eq!(bench.run(&["bike", "export", "sorrel-250"]).out, before);
}

#[test]
fn a_faulty_file_is_refused_with_every_line_at_fault() {
    let bench = Shed::empty("bike-file-faults");
    let text = "schema = 1\n[bike]\nid = 'x'\nname = 'X'\n[drive]\nfront_teeth = 2\nlinks = 118.5\ncolour = 'red'\n";
    let said = bench.run_with(&["bike", "import", "-"], text);
    assert_eq!((said.status, said.out.as_str()), (Some(1), ""));
    for line in ["line 6: front_teeth", "line 7: links", "line 8: colour"] {
        assert!(said.err.contains(line), "{}", said.err);
    }
    assert_eq!(bench.run(&["bike", "import", &bench.file("none.toml")]).status, Some(1));
    assert_eq!(bench.run(&["bike", "list", "--plain"]).out, "");
}

#[test]
fn the_demo_is_thrown_away_and_says_that_it_is_invented() {
    let run = |args: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_tightspot")).arg("--demo").args(args).output().unwrap();
        (output.status.code(), String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap())
    };
    let (status, out, _) = run(&["bike", "list"]);
    assert_eq!(status, Some(0));
    assert_eq!(out.matches("(invented figures)").count(), 2, "{out}");
    assert_eq!(run(&["bike", "set", "alder-350", "front_teeth=13"]).0, Some(0));
    assert!(run(&["bike", "show", "alder-350", "--plain"]).1.contains("front_teeth\t14\t"));
    let (status, _, err) = run(&["bike", "show", "no-bike"]);
    assert_eq!(status, Some(2));
    assert!(err.contains("alder-350, sorrel-250"), "{err}");
}

#[test]
fn the_store_lies_in_the_data_folder_unless_a_file_is_named() {
    let bench = Shed::empty("bike-place");
    let output = Command::new(env!("CARGO_BIN_EXE_tightspot"))
        .args(["bike", "import", &sheet("sorrel-250")])
        .env("XDG_DATA_HOME", &bench.folder)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert!(bench.folder.join("tightspot").join("record.tightspot").is_file());
}

#[test]
fn a_file_that_is_no_store_is_left_as_it_is() {
    let bench = Shed::empty("bike-no-store");
    std::fs::write(bench.folder.join("bikes.db"), "a shopping list, not a database, long enough to be read as one\n")
        .unwrap();
    let said = bench.run(&["bike", "list"]);
    assert_eq!(said.status, Some(1));
    assert!(said.err.contains("is no store of this tool"), "{}", said.err);
    assert!(std::fs::read_to_string(bench.folder.join("bikes.db")).unwrap().starts_with("a shopping list"));
}

#[test]
fn several_bikes_are_added_chosen_named_and_taken_off_with_a_way_back() {
    let bench = Shed::empty("bike-garage");
    bench.done(&["bike", "import", &sheet("alder-350")]);
    assert!(bench.done(&["bike", "add", "sorrel-2", "Sorrel", "--dry-run"]).contains("Nothing is written"));
    assert!(!bench.done(&["bike", "list"]).contains("sorrel-2"));
    bench.done(&["bike", "add", "sorrel-2", "Sorrel"]);
    // Two bikes and none named: asked back, until one is chosen.
    assert!(bench.why_not(&["bike", "show"]).contains("tightspot bike choose ID"));
    bench.done(&["bike", "choose", "sorrel-2"]);
    assert!(bench.done(&["bike", "show"]).starts_with("Sorrel (sorrel-2)"));
    assert!(bench.done(&["bike", "show", "alder-350"]).starts_with("Alder 350"));
    assert!(
        bench.done(&["bike", "rename", "sorrel-2", "The red one", "--dry-run"]).contains("name: Sorrel → The red one")
    );
    bench.done(&["bike", "rename", "sorrel-2", "The red one"]);
    assert!(bench.done(&["bike", "list"]).contains("The red one"));
    // Taking off is asked back where somebody could answer, and needs --yes where nobody can.
    assert!(bench.done(&["bike", "remove", "alder-350", "--dry-run"]).contains("Nothing is written"));
    assert!(bench.why_not(&["bike", "remove", "alder-350"]).contains("--yes"));
    let before = bench.done(&["bike", "show", "alder-350", "--json"]);
    bench.done(&["bike", "remove", "alder-350", "--yes"]);
    assert!(bench.why_not(&["bike", "show", "alder-350"]).contains("no bike"));
    let removed: serde_json::Value = serde_json::from_str(&bench.done(&["bike", "removed", "--json"])).expect("JSON");
    assert_eq!(removed[0]["id"], "alder-350");
    bench.done(&["bike", "undo", &removed[0]["change"].to_string()]);
    assert_eq!(bench.done(&["bike", "show", "alder-350", "--json"]), before);
    assert!(bench.done(&["bike", "removed"]).contains("No bike was taken off"));
}

#[test]
fn k8_causes_are_told_only_when_they_are_asked_for_and_never_among_answers() {
    let bench = Shed::empty("bike-causes");
    bench.done(&["bike", "import", &sheet("alder-350")]);
    let plain = bench.run(&["bike", "list"]);
    let asked = bench.run(&["--debug", "bike", "list"]);
    assert_eq!(asked.out, plain.out, "answers are the same");
    assert_eq!(plain.err, "");
    for words in ["debug: tightspot ", "debug: store: ", "debug: units = mm (default)", "debug: ended well after "] {
        assert!(asked.err.contains(words), "{words}: {}", asked.err);
    }
    // A folder is no store: the file system's own reason is behind the sentence.
    let file = bench.file("");
    let broken = |args: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tightspot"));
        let done = command.args(["--store", &file]).args(args).output().expect("it runs");
        assert!(!done.status.success());
        String::from_utf8(done.stderr).expect("text")
    };
    assert!(!broken(&["bike", "list"]).contains("debug"), "no trace unless asked for");
    let told = broken(&["--debug", "bike", "list"]);
    assert!(told.contains("tightspot: debug: ") && told.contains("debug: ended not well"), "{told}");
}
