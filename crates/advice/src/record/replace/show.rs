//! The words of a decision: choices, money, tables.

use serde_json::Value;

use super::{AT_LIMIT, COUPLINGS, Parts, ReplaceView};
use crate::block::Block;
use crate::fact::{Cell, Column, Fact, Table};
use crate::money::{money, units};
use crate::words::{capital, list, number};

/// The parts as they are read.
pub(super) const NAMES: [&str; 3] = ["chain", "front sprocket", "rear sprocket"];

/// A choice such as `new_keep_shelf` in words.
pub(super) fn choice(key: &str) -> String {
    let fates: Vec<String> = key
        .split('_')
        .zip(NAMES)
        .filter_map(|(fate, name)| match fate {
            "new" => Some(format!("new {name}")),
            "shelf" => Some(format!("{name} from the shelf")),
            _ => None,
        })
        .collect();
    if fates.is_empty() { "nothing".to_owned() } else { list(&fates) }
}

/// An action of a range such as `chain_front` in words.
fn action(name: &str) -> String {
    let part = |word: &str| match word {
        "chain" => Some("new chain".to_owned()),
        "front" => Some("new front sprocket".to_owned()),
        "rear" => Some("new rear sprocket".to_owned()),
        _ => None,
    };
    match name {
        "none" => "nothing".to_owned(),
        "all" => "all three new".to_owned(),
        name => list(&name.split('_').filter_map(part).collect::<Vec<_>>()),
    }
}

/// The parts with level, life, price and shelf.
pub(super) fn parts(parts: &Parts) -> Table {
    let columns = vec![
        Column::words("part", "Part"),
        Column::words("level", "Worn, of 7"),
        Column::words("because", "Why"),
        Column::words("life_h", "Lives, h"),
        Column::words("life_because", "Who says so"),
        Column::words("price", "New costs"),
        Column::words("shelf", "On the shelf"),
    ];
    let mut table = Table::new("parts", "The three parts as they are", columns);
    let currency = parts.currency.as_deref().unwrap_or_default();
    table.rows = parts
        .all
        .iter()
        .zip(NAMES)
        .map(|(part, name)| {
            let [low, high] = part.level;
            let level = if low == high { low.to_string() } else { format!("{low} to {high}") };
            let price = part.price_minor.map_or_else(|| "not known".to_owned(), |minor| money(minor, currency));
            let shelf =
                part.shelf.as_ref().map_or_else(|| "–".to_owned(), |one| format!("{}, worn {}", one.name, one.level));
            vec![
                Cell::words(name),
                Cell::words(level),
                Cell::words(part.level_because.clone()),
                Cell::number(part.life_h, 0),
                Cell::words(part.life_because.clone()),
                Cell::words(price),
                Cell::words(shelf),
            ]
        })
        .collect();
    table
}

/// The table of choices before there is one.
pub(super) fn empty() -> Table {
    let lost = |key, word: &str| Column::numbers(key, format!("Lost, {word} coupling"));
    let columns = vec![
        Column::words("choice", "Choice now"),
        lost("lost_weak", "weak"),
        lost("lost_middle", "middle"),
        lost("lost_strong", "strong"),
        Column::words("close", "Against the best"),
    ];
    Table::new("choices", "Money lost in the long run by each choice now", columns)
}

/// Sentence, facts and table of a decision.
pub(super) fn decided(view: &mut ReplaceView) {
    let currency = view.currency.clone().unwrap_or_default();
    let words = |key: &str| capital(&choice(key));
    view.sentence = match (&view.best, &view.safest) {
        (Some(best), _) => format!("{} now: best whether worn parts wear each other weakly or strongly.", words(best)),
        (None, Some(safest)) => {
            let each: Vec<String> =
                view.by_coupling.iter().map(|one| format!("{}: {}", one.word, choice(&one.best))).collect();
            format!(
                "It depends on how strongly worn parts wear each other ({}). {} loses least at worst.",
                each.join("; "),
                words(safest)
            )
        }
        _ => "No choice is allowed.".to_owned(),
    };
    let amount = |lost: f64| Cell { text: bare(lost, &currency), value: Some(lost) };
    view.choice_table.caption = format!("Money lost in the long run by each choice now, {currency}");
    view.choice_table.rows = view
        .choices
        .iter()
        .map(|one| {
            let close = if one.lost_minor.iter().all(|lost| *lost < 0.5) {
                "the best"
            } else if one.close {
                "no real difference"
            } else {
                ""
            };
            let mut row = vec![Cell::words(capital(&one.words))];
            row.extend(one.lost_minor.map(amount));
            row.push(Cell::words(close));
            row
        })
        .collect();
    view.facts = facts(view, &currency);
}

fn facts(view: &ReplaceView, currency: &str) -> Vec<Fact> {
    let Some(middle) = view.by_coupling.get(1) else { return Vec::new() };
    let says = |fact: Fact| fact.says("life.set_policy");
    let [best, single, together] = middle.per_h_minor;
    let per_h = |key, label: &str, minor: f64| {
        let whole = units(minor, currency).unwrap_or(minor);
        says(Fact::new(key, label, format!("{} {currency}/h", number(whole, 2)), whole))
    };
    let mut facts = vec![
        per_h("cost_per_h", "The best policy costs", best)
            .because("parts, your work and being stranded, in the long run"),
        per_h("each_at_limit_per_h", "Each part at its own limit", single)
            .because(format!("{} more than the best", percent(single, best))),
        per_h("all_at_limit_per_h", "All three whenever one is due", together)
            .because(format!("{} more than the best", percent(together, best)))
            .sure("the order of the three is surer than the money: lives and coupling are guesses"),
    ];
    let worth = |key, label: &str, minor: f64| {
        says(Fact::new(key, label, whole(minor, currency), units(minor, currency).unwrap_or(minor)))
    };
    if view.parts_changed_anyway() {
        let fact = worth("change_costs", "The change for the ratio throws away", middle.change_costs_minor);
        facts.push(fact.because("life left in what comes off only for its ratio"));
    }
    if middle.shelf_worth_minor > 0.5 {
        let fact = worth("shelf_worth", "What lies on the shelf is worth", middle.shelf_worth_minor);
        facts.push(fact.because("against having to buy new"));
    }
    for (worth_minor, name) in middle.off_worth_minor.iter().zip(NAMES) {
        let Some(minor) = worth_minor.filter(|minor| *minor > 0.5) else { continue };
        let fact = worth("off_worth", &format!("The {name} that comes off is worth"), minor);
        facts.push(fact.because("keep it on the shelf if it would sell for less"));
    }
    facts
}

/// Sentence of a decision over a range.
pub(super) fn over_range(view: &mut ReplaceView, most: Option<f64>, parts: &Parts) {
    let open: Vec<String> = parts
        .all
        .iter()
        .zip(NAMES)
        .filter(|(part, _)| part.level[0] != part.level[1])
        .map(|(part, name)| format!("{name} ({})", part.level_because))
        .collect();
    let currency = view.currency.clone().unwrap_or_default();
    view.sentence = match (&view.best, &view.safest) {
        (Some(best), _) => format!("{} now, however worn the rest is.", capital(&action(best))),
        (None, Some(safest)) => format!(
            "It depends on how worn it is: {}. Look at the teeth first; without a look {} risks least{}.",
            list(&open),
            action(safest),
            most.map_or_else(String::new, |most| format!(", at most {}", whole(most, &currency)))
        ),
        _ => "No choice is allowed.".to_owned(),
    };
    if parts.all.iter().any(|part| part.shelf.is_some()) {
        view.notes.push("The shelf is left out while a part's wear is not known.".to_owned());
    }
}

/// What is best at the ends of the range.
pub(super) fn ends(ends: &Value) -> Table {
    let columns = vec![
        Column::words("if", "If worn (chain, front, rear of 7)"),
        Column::words("coupling", "Coupling"),
        Column::words("best", "Best"),
    ];
    let mut table = Table::new("choices", "What is best at the ends of what is not known", columns);
    let row = |end: &Value| {
        let level = |name: &str| end[name].as_u64().unwrap_or_default();
        let levels = format!("{}, {}, {}", level("chain_level"), level("front_level"), level("rear_level"));
        let word = COUPLINGS.iter().find(|(_, coupling)| end["coupling"].as_f64() == Some(*coupling));
        let best = end["best"].as_str().map(action).unwrap_or_default();
        vec![Cell::words(levels), Cell::words(word.map_or("", |(word, _)| word)), Cell::words(capital(&best))]
    };
    table.rows = ends.as_array().into_iter().flatten().map(row).collect();
    table
}

fn percent(more: f64, than: f64) -> String {
    format!("{} %", number(100.0 * (more / than - 1.0), 0))
}

/// Minor units as whole money: finer would claim more than the guesses hold.
fn whole(minor: f64, currency: &str) -> String {
    format!("{} {currency}", bare(minor, currency)).trim_end().to_owned()
}

/// The same under a head that says the currency.
fn bare(minor: f64, currency: &str) -> String {
    number(units(minor, currency).unwrap_or(minor), 0)
}

impl ReplaceView {
    fn parts_changed_anyway(&self) -> bool {
        self.choices.iter().all(|choice| !choice.choice.contains("keep_keep"))
            && self.by_coupling.iter().any(|one| one.change_costs_minor > 0.5)
    }

    /// What a part of the set is bought new by the best or safest choice, in the order chain, front, rear.
    #[must_use]
    pub fn bought(&self) -> [bool; 3] {
        let key = self.best.as_ref().or(self.safest.as_ref()).cloned().unwrap_or_default();
        let fates: Vec<&str> = key.split('_').collect();
        if fates.len() == 3 && !self.choices.is_empty() {
            return [0, 1, 2].map(|at| fates[at] == "new");
        }
        ["chain", "front", "rear"].map(|part| key == "all" || fates.contains(&part))
    }

    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let decided = self.best.is_some() || self.safest.is_some();
        let words = if decided { "a decision" } else { self.verdict.words() };
        vec![
            Block::Heading("What is changed together?"),
            Block::Verdict(self.verdict, words, self.sentence.clone()),
            Block::Reasons(&self.reasons),
            Block::Table(&self.choice_table),
            Block::Facts(&self.facts),
            Block::Table(&self.part_table),
            Block::Text(format!(
                "A part counts as at its limit only at level {AT_LIMIT}; money of one job, not of a season."
            )),
            Block::List(self.notes.clone()),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn choices_are_read_as_sentences() {
        assert_eq!(choice("new_keep_shelf"), "new chain and rear sprocket from the shelf");
        assert_eq!(choice("keep_keep_keep"), "nothing");
        assert_eq!(action("chain_front"), "new chain and new front sprocket");
        assert_eq!((whole(1234.0, "EUR"), percent(110.0, 100.0)), ("12 EUR".to_owned(), "10 %".to_owned()));
    }

    #[test]
    fn every_fate_of_every_part_has_its_words_and_every_action_its_parts() {
        let fates = ["keep", "new", "shelf"];
        for (chain, front, rear) in
            fates.iter().flat_map(|one| fates.iter().flat_map(move |two| fates.map(move |three| (*one, *two, three))))
        {
            let said = choice(&format!("{chain}_{front}_{rear}"));
            for (fate, name) in [chain, front, rear].into_iter().zip(NAMES) {
                assert_eq!(said.contains(&format!("new {name}")), fate == "new", "{said}");
                assert_eq!(said.contains(&format!("{name} from the shelf")), fate == "shelf", "{said}");
            }
            assert_eq!(said == "nothing", [chain, front, rear] == ["keep"; 3]);
        }
        for (name, said) in [
            ("none", "nothing"),
            ("all", "all three new"),
            ("chain", "new chain"),
            ("front", "new front sprocket"),
            ("rear", "new rear sprocket"),
            ("front_rear", "new front sprocket and new rear sprocket"),
            ("chain_rear", "new chain and new rear sprocket"),
        ] {
            assert_eq!(action(name), said);
        }
    }
}
