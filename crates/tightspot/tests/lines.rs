//! The conventions, line by line: each with the tests that hold it, or the reason why it is not held. The page is made
//! from `checks/lines.csv`; a named test that is not there fails, and so does a page that is stale.
//!
//! To write the page anew: `WRITE_LINES=1 cargo test -p tightspot --test lines`

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// One line of the conventions.
struct Line {
    id: String,
    how: String,
    words: String,
    tests: Vec<String>,
    held: String,
    reason: String,
}

/// The cells of a line of CSV.
fn cells(line: &str) -> Vec<String> {
    let (mut all, mut cell, mut quoted) = (Vec::new(), String::new(), false);
    let mut letters = line.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => cell.extend(letters.next()),
            '"' => quoted = !quoted,
            ',' if !quoted => all.push(std::mem::take(&mut cell)),
            other => cell.push(other),
        }
    }
    all.push(cell);
    all
}

fn lines() -> Vec<Line> {
    let text = fs::read_to_string(root().join("checks/lines.csv")).expect("the lines");
    let read = |line: &str| {
        let [id, how, words, tests, held, reason] = cells(line).try_into().expect(line);
        let tests = tests.split('|').filter(|test| !test.is_empty()).map(str::to_owned).collect();
        Line { id, how, words, tests, held, reason }
    };
    text.lines().skip(1).map(read).collect()
}

/// Every source in which a test may stand.
fn sources(folder: &Path, found: &mut String) {
    for entry in fs::read_dir(folder).expect("a folder").flatten() {
        let path = entry.path();
        let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
        if path.is_dir() && !path.ends_with("node_modules") && !path.ends_with("target") {
            sources(&path, found);
        } else if matches!(ending, "rs" | "mjs" | "py") && !path.ends_with("tests/lines.rs") {
            found.push_str(&fs::read_to_string(&path).unwrap_or_default());
        }
    }
}

#[test]
fn every_test_that_is_named_is_there() {
    let mut all = String::new();
    for folder in ["crates", "e2e", "checks"] {
        sources(&root().join(folder), &mut all);
    }
    for line in lines() {
        for test in &line.tests {
            // A test of the record runs on each engine.
            let rust = ["()", "<E: Trial>()"].iter().any(|rest| all.contains(&format!("fn {test}{rest}")));
            let browser = test.contains(' ') && all.contains(test.as_str());
            assert!(rust || browser, "{}: there is no test \"{test}\"", line.id);
        }
    }
}

#[test]
fn every_line_is_there_once_and_says_whether_it_is_held() {
    let lines = lines();
    let wanted = [("a", 22), ("f", 13), ("g", 12), ("c", 7), ("k", 12), ("h", 8), ("d", 8), ("s", 12)];
    let ids: Vec<String> =
        wanted.iter().flat_map(|(group, count)| (1..=*count).map(move |number| format!("{group}{number}"))).collect();
    let found: Vec<&str> = lines.iter().map(|line| line.id.as_str()).collect();
    assert_eq!(found, ids);
    for line in &lines {
        match line.held.as_str() {
            "yes" => assert!(!line.tests.is_empty(), "{} is held by nothing", line.id),
            "part" => assert!(!line.tests.is_empty() && !line.reason.is_empty(), "{}: what is left?", line.id),
            "no" => assert!(line.tests.is_empty() && !line.reason.is_empty(), "{}: why not?", line.id),
            other => panic!("{}: held is {other}", line.id),
        }
    }
}

/// The page of all lines.
fn page() -> String {
    let lines = lines();
    let count = |held: &str| lines.iter().filter(|line| line.held == held).count();
    let mut page = format!(
        "# Lines\n\nThe conventions that every face keeps, and the tests that hold them. Made from `checks/lines.csv` by\n\
         `WRITE_LINES=1 cargo test -p tightspot --test lines`; a test that is named and not there fails.\n\n\
         {} lines: {} held, {} in part, {} not.\n\n| line | says | how | held | tests, or why not |\n|---|---|---|---|---|\n",
        lines.len(),
        count("yes"),
        count("part"),
        count("no"),
    );
    for line in &lines {
        let tests: Vec<String> = line.tests.iter().map(|test| format!("`` {test} ``")).collect();
        let more = [tests.join("<br>"), line.reason.clone()].into_iter().filter(|one| !one.is_empty());
        let more = more.collect::<Vec<_>>().join("<br>");
        page.push_str(&format!("| {} | {} | {} | {} | {more} |\n", line.id, line.words, line.how, line.held));
    }
    page
}

#[test]
fn the_page_is_as_the_lines_are() {
    let place = root().join("docs/lines.md");
    if std::env::var_os("WRITE_LINES").is_some() {
        fs::write(&place, page()).expect("written");
    }
    assert!(fs::read_to_string(&place).is_ok_and(|kept| kept == page()), "docs/lines.md is stale: WRITE_LINES=1");
}
