//! The house rules as code: rooms, arrows, openings, lengths, words.

use std::fs;
use std::path::{Path, PathBuf};

/// The corridor, left to right; `checks` looks at `figures`, only the binary looks at `checks`.
const CORRIDOR: [&str; 8] = ["measure", "drive", "ride", "upkeep", "figures", "advice", "store", "tightspot"];
/// Rooms that touch nothing.
const PURE: [&str; 6] = ["measure", "drive", "ride", "upkeep", "figures", "advice"];
/// What a pure room never says: files, network, clock, environment, randomness, printing.
const EFFECTS: [&str; 10] = [
    "std::fs",
    "std::net",
    "std::env",
    "std::process",
    "SystemTime",
    "Instant::now",
    "std::thread::sleep",
    "rand::",
    "rusqlite",
    "axum",
];
/// A file holds one idea; past this it holds two.
const LONGEST_FILE: usize = 450;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("folder").map(|entry| entry.expect("entry").path()) {
        if entry.is_dir() {
            rust_files(&entry, found);
        } else if entry.extension().is_some_and(|end| end == "rs") {
            found.push(entry);
        }
    }
}

fn files_of(room: &str) -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    rust_files(&root().join("crates").join(room), &mut found);
    found.into_iter().map(|path| (path.clone(), fs::read_to_string(&path).expect("text"))).collect()
}

fn all_files() -> Vec<(PathBuf, String)> {
    CORRIDOR.iter().flat_map(|room| files_of(room)).collect()
}

#[test]
fn every_file_says_what_lives_in_it() {
    let silent: Vec<_> =
        all_files().into_iter().filter(|(_, text)| !text.starts_with("//!")).map(|(path, _)| path).collect();
    assert!(silent.is_empty(), "{silent:?}");
}

#[test]
fn no_file_grows_past_one_idea() {
    let long: Vec<_> = all_files()
        .into_iter()
        .map(|(path, text)| (path, text.lines().count()))
        .filter(|(_, lines)| *lines > LONGEST_FILE)
        .collect();
    assert!(long.is_empty(), "{long:?}");
}

#[test]
fn pure_rooms_touch_nothing() {
    for room in PURE {
        for (path, text) in
            files_of(room).into_iter().filter(|(path, _)| path.components().any(|part| part.as_os_str() == "src"))
        {
            let code = text.split("#[cfg(test)]").next().unwrap_or_default();
            for effect in EFFECTS {
                let said = code.lines().any(|line| !line.trim_start().starts_with("//") && line.contains(effect));
                assert!(!said, "{} says {effect}", path.display());
            }
        }
    }
}

#[test]
fn arrows_go_left_to_right_only() {
    for (place, room) in CORRIDOR.iter().enumerate() {
        let manifest = fs::read_to_string(root().join("crates").join(room).join("Cargo.toml")).expect("manifest");
        let needs = manifest.split("[dev-dependencies]").next().unwrap_or_default();
        for line in needs.lines() {
            let name = line.split(['.', ' ', '=']).next().unwrap_or_default();
            if let Some(other) = CORRIDOR.iter().position(|known| *known == name) {
                assert!(other < place, "{room} looks right, at {name}");
            }
            assert!(name != "checks" || *room == "tightspot", "{room} looks at checks");
        }
    }
}

#[test]
fn sql_stays_in_the_store_and_markup_at_the_edge() {
    for room in PURE {
        for (path, text) in files_of(room) {
            assert!(!text.contains("SELECT ") && !text.contains("INSERT INTO"), "{} speaks SQL", path.display());
            assert!(!text.contains("<div") && !text.contains("<svg"), "{} speaks HTML", path.display());
        }
    }
}

#[test]
fn no_test_is_left_out_and_nothing_is_left_open() {
    let marks = [concat!("#[ig", "nore"), concat!("TO", "DO"), concat!("FIX", "ME")];
    for (path, text) in all_files() {
        for mark in marks {
            assert!(!text.contains(mark), "{} holds {mark}", path.display());
        }
    }
}

#[test]
fn file_names_are_nouns_of_the_house() {
    let vague = ["utils", "util", "helpers", "helper", "common", "misc", "types", "manager", "service", "core"];
    for (path, _) in all_files() {
        let stem = path.file_stem().and_then(|stem| stem.to_str()).unwrap_or_default();
        assert!(!vague.contains(&stem), "{} is a vague name", path.display());
    }
}

#[test]
fn rejected_words_do_not_return() {
    let rejected = ["sprocket size", "chain stretch", "freeplay", "free play"];
    for (path, text) in all_files() {
        let low = text.to_lowercase();
        for word in rejected {
            assert!(!low.contains(word), "{} says \"{word}\": see docs/words.md", path.display());
        }
    }
}
