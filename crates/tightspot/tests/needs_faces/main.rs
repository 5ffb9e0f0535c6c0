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

#[test]
fn every_need_of_the_record_is_answered_alike_by_command_and_by_page() {
    let examples = table::examples();
    let mut faults = Vec::new();
    for need in NEEDS {
        let example = examples.iter().find(|one| one["case"] == need.case).expect(need.case);
        assert!(
            !need.words.is_empty() && !need.commands.is_empty() && !need.forms.is_empty(),
            "{} is empty",
            need.case
        );
        let given = example["given"].to_string();
        for value in need.given {
            assert!(given.contains(value), "{}: {value} is not what the example gives: {given}", need.case);
        }
        for (face, said) in [("command", by_command(need)), ("page", by_pages(need))] {
            let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
            faults.extend(
                need.words
                    .iter()
                    .filter(|words| !said.contains(**words))
                    .map(|words| format!("{} by {face}: \"{words}\" is not in: {said}", need.case)),
            );
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
}

#[test]
fn every_need_that_asks_a_record_is_answered_alike_by_command_and_by_page_of_one_file() {
    let examples = table::examples();
    let mut faults = Vec::new();
    for need in KEPT {
        let example = examples.iter().find(|one| one["case"] == need.case).expect(need.case);
        let given = example["given"].to_string();
        for value in need.given {
            assert!(given.contains(value), "{}: {value} is not what the example gives: {given}", need.case);
        }
        assert!(!need.words.is_empty(), "{} is empty", need.case);
        for (face, said) in on_one_record(need) {
            let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
            faults.extend(
                need.words
                    .iter()
                    .filter(|words| !said.contains(**words))
                    .map(|words| format!("{} by {face}: \"{words}\" is not in: {said}", need.case)),
            );
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
}
