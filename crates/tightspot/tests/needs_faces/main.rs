//! The record's needs through both faces: the same example by the command and by the pages, each on a store file of its
//! own, the words read from what a person sees. Given values and wanted answers stand in `checks/needs/examples.json`.

mod faces;
mod first_day;
mod kept;
mod table;

use faces::Bench;
use kept::{KEPT, Kept};
use table::{NEEDS, Need};

/// The steps of a need by its commands: what is printed last, errors included.
fn by_command(need: &Need) -> String {
    let bench = Bench::new(&format!("cli-{}", need.case));
    let mut last = String::new();
    for step in need.commands {
        last = bench.said(&step.split(' ').collect::<Vec<_>>());
    }
    last
}

/// The words of a command: blanks part them, an underscore stands for one.
fn parted(command: &str) -> Vec<String> {
    let in_words = |word: &str| if word.ends_with("_EUR") { word.replace('_', " ") } else { word.to_owned() };
    kept::on_these_days(command).split(' ').map(in_words).collect()
}

/// What the command and the page say on one store file that holds the record of a need.
fn on_one_record(need: &Kept) -> [(&'static str, String); 2] {
    let bench = Bench::new(&format!("kept-{}", need.case));
    let say = |command: &str| {
        let words = parted(command);
        bench.said(&words.iter().map(String::as_str).collect::<Vec<_>>())
    };
    for command in need.commands {
        let said = say(command);
        assert!(!said.starts_with("tightspot: "), "{}: {command}: {said}", need.case);
    }
    [("command", say(need.command)), ("page", bench.serve().read(need.page))]
}

/// The same by the pages: each step a form, the page that it leads to read as text.
fn by_pages(need: &Need) -> String {
    let bench = Bench::new(&format!("web-{}", need.case));
    let server = bench.serve();
    let mut last = String::new();
    for (path, fields) in need.forms {
        last = server.send(path, fields);
    }
    last
}

/// What is wrong with a need: a value that its example does not give, or words that a face does not say.
fn faults(case: &str, given: &[&str], words: &[&str], faces: [(&str, String); 2]) -> Vec<String> {
    let examples = table::examples();
    let example = examples.iter().find(|one| one["case"] == case).expect(case)["given"].to_string();
    for value in given {
        assert!(example.contains(value), "{case}: {value} is not what the example gives: {example}");
    }
    assert!(!words.is_empty(), "{case} is empty");
    let mut faults = Vec::new();
    for (face, said) in faces {
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        let missing = words.iter().filter(|words| !said.contains(**words));
        faults.extend(missing.map(|words| format!("{case} by {face}: \"{words}\" is not in: {said}")));
    }
    faults
}

#[test]
fn every_need_of_the_record_is_answered_alike_by_command_and_by_page() {
    let look = |need: &Need| {
        assert!(!need.commands.is_empty() && !need.forms.is_empty(), "{} is empty", need.case);
        faults(need.case, need.given, need.words, [("command", by_command(need)), ("page", by_pages(need))])
    };
    let faults: Vec<String> = NEEDS.iter().flat_map(look).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
}

#[test]
fn every_need_that_asks_a_record_is_answered_alike_by_command_and_by_page_of_one_file() {
    let look = |need: &Kept| faults(need.case, need.given, need.words, on_one_record(need));
    let faults: Vec<String> = KEPT.iter().flat_map(look).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
}
