//! The first day of a bike bought used, kept by one face and read by the other: page, command, program and document.

use crate::faces::Bench;

/// The words that follow from "forty to eighty", one length reading and three hours ridden since.
const WORDS: [&str; 3] =
    ["43 to 83 h (40 to 80 h said on 2026-05-02, 3.0 h ridden since)", "0.60 ± ", "the worst end outlasts the ride"];

fn squeezed(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn ridden_and_read(bench: &Bench) {
    for command in [
        "bike set oil_interval_h=",
        "ride log --hours 3 --at 2026-05-10",
        "drive measure slack 85 85 85",
        "drive measure elongation 319.4 319.4 319.4 --error 0.05",
    ] {
        let said = bench.said(&command.split(' ').collect::<Vec<_>>());
        assert!(!said.starts_with("tightspot: "), "{command}: {said}");
    }
}

fn says(bench: &Bench, words: &[&str]) {
    let faces = [("command", bench.said(&["ready"])), ("page", bench.serve().read("/"))];
    for (face, said) in faces {
        let said = squeezed(&said);
        for word in words {
            assert!(said.contains(word), "\"{word}\" is not in the {face}: {said}");
        }
    }
}

#[test]
fn a_range_kept_by_the_command_is_read_on_the_page_and_taken_back_again() {
    let bench = Bench::new("used-cli");
    let kept = bench.said(&["drive", "first-day", "40", "80", "--keep", "--at", "2026-05-02"]);
    let change = kept.split("bike undo ").nth(1).and_then(|rest| rest.split_whitespace().next()).expect("a change");
    assert!(squeezed(&kept).contains("40 to 80 h on this chain (40 to 80 h said on 2026-05-02"), "{kept}");
    ridden_and_read(&bench);
    says(&bench, &WORDS);
    let page = squeezed(&bench.serve().read("/drive/first-day"));
    let command = squeezed(&bench.said(&["drive", "first-day"]));
    for word in ["43 to 83 h on it", "What would narrow it", "The seller's log: hours within 10"] {
        assert!(page.contains(word) && command.contains(word), "{word}: {page}\n{command}");
    }
    bench.said(&["bike", "undo", change]);
    assert!(bench.said(&["drive", "first-day"]).contains("No range is kept"), "taken back");
    assert!(!bench.said(&["ready"]).contains("said on 2026-05-02"));
}

#[test]
fn a_range_kept_on_the_page_is_corrected_there_and_read_by_the_command() {
    let bench = Bench::new("used-web");
    ridden_and_read(&bench);
    let asked = "/drive/first-day?low=14&high=18";
    let wrong = squeezed(&bench.serve().send(asked, "low=14&high=18&whose=chain&at=2026-05-02"));
    assert!(wrong.contains("17 to 21 h on it") && wrong.contains("Kept: 14 to 18 h said on 2026-05-02"), "{wrong}");
    let history = bench.said(&["drive", "history"]);
    let line = history.lines().find(|line| line.contains("bought used")).expect("its entry");
    let entry = line.split_whitespace().last().expect("a number");
    let asked = "/drive/first-day?low=40&high=80";
    let right = format!("low=40&high=80&whose=chain&at=2026-05-02&instead_of={entry}");
    bench.serve().send(asked, &right);
    says(&bench, &WORDS);
    assert!(!bench.said(&["drive", "history"]).contains("14 to 18 h"), "corrected");
    assert!(bench.serve().read("/history").contains("14 to 18 h"), "both stay in the history");
}

#[test]
fn what_is_no_range_is_refused_at_its_field_and_nothing_is_kept() {
    let bench = Bench::new("used-wrong");
    let asked = "/drive/first-day?low=40&high=80";
    for (fields, words) in [
        ("low=80&high=40&whose=chain", "40 h lies below 80 h"),
        ("low=40&high=&whose=chain", "upper end is missing"),
        ("low=40&high=80&whose=guide", "is not in the list"),
        ("low=40&high=80&whose=chain&at=2999-01-01", "still to come"),
    ] {
        let said = squeezed(&bench.serve().send(asked, fields));
        assert!(said.contains(words), "{fields}: {said}");
    }
    let said = squeezed(&bench.said(&["drive", "first-day", "80", "40", "--keep"]));
    assert!(said.contains("40 h lies below 80 h"), "{said}");
    assert!(bench.said(&["drive", "first-day"]).contains("No range is kept"));
}
