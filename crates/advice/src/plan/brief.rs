//! Steps and warnings in short: one imperative line for paper and for a glance from the bike, by the step's name in the plan.

const LINES: &str = include_str!("../../../../data/brief.txt");

/// The short text of a step; empty where there is none, then the full text stands.
pub(super) fn of(token: &str) -> &'static str {
    lines().find(|(known, _)| *known == token).map_or("", |(_, text)| text)
}

/// A warning in short; empty where there is none, then the full text stands.
pub(super) fn of_caution(id: &str) -> &'static str {
    lines().find(|(known, _)| known.strip_prefix("caution:") == Some(id)).map_or("", |(_, text)| text)
}

fn lines() -> impl Iterator<Item = (&'static str, &'static str)> {
    let real = LINES.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty());
    real.filter_map(|line| line.split_once(" = "))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use upkeep::job::handbook::{Level, shipped};

    use super::*;

    #[test]
    fn each_short_text_belongs_to_a_step_of_the_library_and_stands_once() {
        let mut seen = BTreeSet::new();
        for (token, text) in lines() {
            let (verb, id) = token.split_once(':').expect("a verb");
            let known = match verb {
                "do" => shipped().op(id).is_some(),
                "open" | "close" => shipped().state(id).is_some(),
                "caution" => shipped().caution(id).is_some_and(|caution| caution.level != Level::Stop),
                _ => false,
            };
            assert!(known, "{token} is no step");
            assert!(seen.insert(token), "{token} stands twice");
            assert!((10..=260).contains(&text.chars().count()), "{token}: {} letters", text.chars().count());
        }
        let real = LINES.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty()).count();
        assert_eq!(seen.len(), real, "every line is a token and a text");
    }
}
