//! The table of fields, section by section, in the order in which a sheet is written and shown.

mod body;
mod drive;
mod gearbox;
mod manual;
mod swingarm;

use super::BikeField;

const PARTS: [&[BikeField]; 5] = [drive::FIELDS, swingarm::FIELDS, gearbox::FIELDS, body::FIELDS, manual::FIELDS];

const COUNT: usize = {
    let (mut count, mut part) = (0, 0);
    while part < PARTS.len() {
        count += PARTS[part].len();
        part += 1;
    }
    count
};

static ALL: [BikeField; COUNT] = {
    let mut all = [PARTS[0][0]; COUNT];
    let (mut count, mut part) = (0, 0);
    while part < PARTS.len() {
        let mut place = 0;
        while place < PARTS[part].len() {
            all[count] = PARTS[part][place];
            count += 1;
            place += 1;
        }
        part += 1;
    }
    all
};

/// Every field of the sheet.
pub static FIELDS: &[BikeField] = &ALL;

/// The field of a name; `None` if there is none.
#[must_use]
pub fn field(name: &str) -> Option<&'static BikeField> {
    FIELDS.iter().find(|field| field.name == name)
}

/// The known field nearest to a mistyped name, if one is near enough to be meant.
#[must_use]
pub fn nearest(name: &str) -> Option<&'static BikeField> {
    let reach = (name.chars().count() / 3).clamp(1, 4);
    let near = FIELDS.iter().map(|field| (steps(name, field.name), field)).min_by_key(|(steps, _)| *steps);
    near.filter(|(steps, _)| *steps <= reach)
        .map(|(_, field)| field)
        .or_else(|| FIELDS.iter().find(|field| name.len() > 2 && field.name.starts_with(name)))
}

/// Single-character edits from one name to another (insert, delete, replace).
fn steps(from: &str, to: &str) -> usize {
    let to: Vec<char> = to.chars().collect();
    let mut row: Vec<usize> = (0..=to.len()).collect();
    for (above, letter) in from.chars().enumerate() {
        let mut corner = row[0];
        row[0] = above + 1;
        for (place, other) in to.iter().enumerate() {
            let replaced = corner + usize::from(letter != *other);
            corner = row[place + 1];
            row[place + 1] = replaced.min(corner + 1).min(row[place] + 1);
        }
    }
    row[to.len()]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bike::Kind;

    #[test]
    fn names_are_unique_and_each_says_what_it_is_and_how_to_get_it() {
        for (place, one) in FIELDS.iter().enumerate() {
            assert!(FIELDS[..place].iter().all(|other| other.name != one.name), "{} twice", one.name);
            assert!(FIELDS[..place].iter().all(|other| other.word != one.word), "two figures are called {}", one.word);
            assert!(
                !one.word.is_empty() && !one.hint.is_empty() && !one.how_to.is_empty(),
                "{} says too little",
                one.name
            );
        }
    }

    #[test]
    fn a_hint_is_at_most_two_short_sentences() {
        for field in FIELDS {
            let sentences = field.hint.matches(". ").count() + 1;
            assert!(sentences <= 2 && field.hint.split_whitespace().count() <= 26, "{}: {}", field.name, field.hint);
        }
    }

    #[test]
    fn the_unit_of_a_name_is_the_unit_of_its_bound() {
        let ends = [("_kg_per_m", "kg/m"), ("_mm", "mm"), ("_m", "m"), ("_deg", "deg"), ("_rpm", "rpm"), ("_kn", "kN")];
        let more = [("_kgm2", "kg·m²"), ("_m2", "m²"), ("_kg", "kg"), ("_nm", "N·m"), ("_h", "h"), ("_pct", "%")];
        for field in FIELDS {
            let Kind::Number(bound) = field.kind else { continue };
            let said =
                ends.iter().chain(&more).find(|(end, _)| field.name.ends_with(end) || field.name.contains("_mm_"));
            let unit = if field.name.contains("_mm_") { "mm" } else { said.map_or("", |(_, unit)| unit) };
            assert_eq!(bound.unit, unit, "{}", field.name);
        }
    }

    #[test]
    fn a_typing_slip_finds_the_field_that_was_meant() {
        assert_eq!(nearest("front_teth").map(|field| field.name), Some("front_teeth"));
        assert_eq!(nearest("rollout").map(|field| field.name), Some("rollout_m"));
        assert!(nearest("colour").is_none());
    }
}
