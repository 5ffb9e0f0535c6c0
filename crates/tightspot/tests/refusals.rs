//! What a person reads when a command is asked wrongly: every typed option × what fingers do. One gallery, reviewed.

use std::fmt::Write as _;
use std::process::Command;

/// Empty, wrong type, negative, huge, another unit, half-finished, with an exponent, read two ways.
const TYPED: [&str; 8] = ["", "abc", "-5", "999999", "5 kg", "12,", "1e3", "1,250"];

/// Runs the demo and gives exit status and what stood on standard error.
fn run(args: &[&str]) -> (i32, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_tightspot")).arg("--demo").args(args).output().expect("runs");
    (output.status.code().unwrap_or(-1), String::from_utf8_lossy(&output.stderr).into_owned())
}

fn gallery(title: &str, typed: &[&str], args: impl Fn(&str) -> Vec<String>) -> String {
    let mut lines = format!("{title}\n");
    for text in typed {
        let args = args(text);
        let (status, said) = run(&args.iter().map(String::as_str).collect::<Vec<_>>());
        assert!(status == 0 || status == 1 || status == 2, "{title} {text}: {status} {said}");
        assert!(!said.contains("panicked"), "{title} {text}: {said}");
        assert!((status == 0) == said.is_empty(), "{title} {text}: {status} {said}");
        let said = if said.is_empty() { "taken\n".to_owned() } else { said };
        let _ = write!(lines, "  {text:<10}[{status}] {}", said.replace('\n', "\n                ").trim_end());
        lines.push('\n');
    }
    lines
}

fn words(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_owned()).collect()
}

#[test]
fn every_option_refuses_in_words_that_say_what_to_do() {
    let mut all = String::new();
    all += &gallery(
        "gearing fit --pair",
        &["", "14", "14-50", "14/", "/50", "14/abc", "140/50", "14/50/3", "13/49"],
        |text| words(&["gearing", "fit", &format!("--pair={text}")]),
    );
    all += &gallery("gearing fit --links", &TYPED, |text| words(&["gearing", "fit", &format!("--links={text}")]));
    all += &gallery("gearing fit --links (odd)", &["117"], |text| words(&["gearing", "fit", "--links", text]));
    all += &gallery("drive slack --reading", &TYPED, |text| words(&["drive", "slack", &format!("--reading={text}")]));
    all += &gallery("drive slack --left, with --right 605", &TYPED, |text| {
        words(&["drive", "slack", &format!("--left={text}"), "--right", "605"])
    });
    all += &gallery("ready --slack", &TYPED, |text| words(&["ready", &format!("--slack={text}")]));
    all += &gallery("ready --slack (fingers)", &["3 fingers"], |text| words(&["ready", "--slack", text]));
    all += &gallery("gearing --ground", &["abc", "trail"], |text| words(&["gearing", "--ground", text]));
    all += &gallery("gearing --ride", &["no such ride"], |text| words(&["gearing", "--ride", text]));
    all += &gallery("job plan --job", &["", "abc"], |text| words(&["job", "plan", &format!("--job={text}")]));
    all += &gallery("job plan --choice", &["abc", "front-retention=glue", "colour=red"], |text| {
        words(&["job", "plan", "--job", "final-drive-set", "--choice", text])
    });
    all += &gallery("--bike", &["abc"], |text| words(&["ready", "--bike", text]));
    insta::assert_snapshot!("refusals", all);
}
