//! Every word of a fact means what it is written for, none is shared, none is empty; what a job touches by its steps.

use std::collections::BTreeSet;
use std::fmt::Debug;

use upkeep::job::bench::Outcome;
use upkeep::job::handbook::shipped;
use upkeep::record::{ROLES, SlackKind, SlackState, Whose, touched};

/// Each word reads back as what it was written for.
fn there_and_back<T: Copy + PartialEq + Debug>(
    words: &[(&str, T)],
    word: impl Fn(T) -> &'static str,
    of: impl Fn(&str) -> Option<T>,
) {
    let mut seen = BTreeSet::new();
    for (known, value) in words {
        assert!(!known.is_empty() && seen.insert(*known), "{known}");
        assert_eq!((word(*value), of(known)), (*known, Some(*value)));
    }
    assert_eq!(of("xyzzy"), None);
}

#[test]
fn words_read_back_as_what_they_were_written_for() {
    there_and_back(SlackState::WORDS, SlackState::word, |word| SlackState::of(word).ok());
    there_and_back(SlackKind::WORDS, SlackKind::word, |word| SlackKind::of(word).ok());
    there_and_back(Whose::WORDS, Whose::word, |word| Whose::of(word).ok());
    there_and_back(ROLES, upkeep::record::Role::word, |word| upkeep::record::Role::of(word).ok());
    let outcomes = [
        ("passed", Outcome::Passed),
        ("confirmed", Outcome::Confirmed),
        ("waived", Outcome::Waived),
        ("failed", Outcome::Failed),
    ];
    there_and_back(&outcomes, Outcome::word, Outcome::of);
}

#[test]
fn what_each_job_touches() {
    let told: Vec<String> =
        shipped().jobs().iter().map(|file| format!("{}: {:?}", file.job.id, touched(&file.job.id))).collect();
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("touched", told.join("\n"));
    });
}
