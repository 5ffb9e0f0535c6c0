//! Values and faults of the sheet as a person reads them: words for names, units behind numbers.

use drive::chain::size::{Series, size};
use store::Fact;
use upkeep::bike::{self, BikeField, Value};

use crate::frame::number::{fixed, short};

/// A fault as it is read at its field: without the names that files and programs use.
pub(in crate::pages) fn sentence(field: &str, text: &str) -> String {
    let text = text.strip_prefix(&format!("{field}: ")).unwrap_or(text);
    let text = match bike::field(field) {
        Some(known) => turned(known, &text.replace(&format!("{} ({})", known.name, known.word), known.word)),
        None => said_once(text),
    };
    capital(&renamed(&text))
}

/// "arm length (arm_mm)" as it reads where nobody types the name.
fn said_once(text: &str) -> String {
    if !text.contains(" (") {
        return text.to_owned();
    }
    let known = bike::FIELDS.iter().map(|field| (format!("{} ({})", field.word, field.name), field.word));
    known
        .fold(text.to_owned(), |text, (both, word)| if text.contains(&both) { text.replace(&both, word) } else { text })
}

/// "joint is glue; possible: …" as it reads beside any word, however long: "glue" is not possible for joint.
fn turned(field: &BikeField, text: &str) -> String {
    let parts = text.strip_prefix(field.word).and_then(|rest| rest.strip_prefix(" is ")?.split_once("; possible: "));
    match parts {
        Some((given, possible)) => format!("\"{given}\" is not possible for {}. Possible: {possible}", field.word),
        None => text.to_owned(),
    }
}

/// Trade names of chains as a rider looks for them: those of motorcycles first, each kind in its own order.
pub(in crate::pages) fn motorcycles_first(names: &[&'static str]) -> Vec<&'static str> {
    let mut names = names.to_vec();
    names.sort_by_key(|name| size(name).is_none_or(|size| size.series != Series::Motorcycle));
    names
}

/// The text with its first letter large.
pub(in crate::pages) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}", first.to_uppercase(), letters.as_str()))
}

/// Every name of a field in its words.
fn renamed(text: &str) -> String {
    let in_name = |letter: char| letter.is_ascii_alphanumeric() || letter == '_';
    let (mut out, mut rest) = (String::with_capacity(text.len()), text);
    while let Some(at) = rest.find(in_name) {
        let length = rest[at..].find(|letter| !in_name(letter)).unwrap_or(rest.len() - at);
        let token = &rest[at..at + length];
        // A name of one word ("links") reads as well as its words do.
        let known = bike::field(token).filter(|_| token.contains('_'));
        out.push_str(&rest[..at]);
        out.push_str(known.map_or(token, |field| field.word));
        rest = &rest[at + length..];
    }
    out.push_str(rest);
    out
}

/// What a fact of the sheet says of a figure, with who says so.
pub(in crate::pages) fn held(field: &BikeField, fact: Option<&Fact>) -> String {
    match fact.and_then(|fact| Some((fact.value.as_ref()?, fact.source.as_deref()))) {
        Some((value, Some(source))) => format!("{} ({source})", shown(field, value)),
        Some((value, None)) => shown(field, value),
        None => "not known".to_owned(),
    }
}

/// A value with its unit, rounded to what can be read or set: `35.3 N·m`, `21.8°`, `clip`.
pub(in crate::pages) fn shown(field: &BikeField, value: &Value) -> String {
    match value {
        Value::Number(number) if read_otherwise(field.unit) => measure::shown::written(*number, field.unit),
        Value::Number(number) => {
            with_unit(&rounded(*number, field.unit), &measure::shown::unit_of(*number, field.unit))
        }
        Value::Curve(_) => value.to_string(),
        _ => with_unit(&value.to_string(), field.unit),
    }
}

/// Whether the rider reads another unit than the one kept.
fn read_otherwise(kept: &str) -> bool {
    measure::shown::unit(kept) != kept
}

fn with_unit(text: &str, unit: &str) -> String {
    match unit {
        "" => text.to_owned(),
        "deg" => format!("{text}°"),
        _ => format!("{text} {unit}"),
    }
}

fn rounded(number: f64, unit: &str) -> String {
    let decimals = match unit {
        "N·m" | "kg" => 1,
        "mm" | "m" => 3,
        "deg" | "%" => 2,
        _ => return short(number),
    };
    let text = fixed(number, decimals);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A value as it stands in its form, to be typed over.
pub(super) fn to_type_over(value: &Value) -> String {
    match value {
        Value::Number(number) => {
            let full = number.to_string();
            // What came from another unit has more digits than anybody wants to see in a field.
            if full.len() <= 9 { full } else { short(*number).replace('−', "-") }
        }
        Value::Curve(points) => {
            points.iter().map(|[rpm, torque]| format!("{rpm} {torque}")).collect::<Vec<_>>().join("\n")
        }
        // Blanks alone, as people type them: six gears have room on a small phone.
        Value::Ratios(_) => value.to_string().replace(" · ", " "),
        _ => value.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field(name: &str) -> &'static BikeField {
        bike::field(name).expect(name)
    }

    #[test]
    fn names_of_files_become_words() {
        assert_eq!(
            sentence(
                "slot_max_mm",
                "slot_max_mm is 590 and slot_min_mm is 600; slot_max_mm must be above slot_min_mm."
            ),
            "Arm length at the rear stop is 590 and arm length at the front stop is 600; arm length at the rear stop \
             must be above arm length at the front stop."
        );
        assert_eq!(
            sentence("joint", "joint (chain joint) is glue; possible: clip."),
            "\"glue\" is not possible for chain joint. Possible: clip."
        );
        assert_eq!(sentence("", "Not on the bike sheet: arm length (arm_mm)."), "Not on the bike sheet: arm length.");
        assert_eq!(sentence("left_mm", "left_mm: \"x\" is no number."), "\"x\" is no number.");
    }

    #[test]
    fn a_rider_finds_the_chains_of_motorcycles_first_and_all_others_after_them() {
        let upkeep::bike::Kind::Word(names) = field("size").kind else { unreachable!("sizes are words") };
        let sorted = motorcycles_first(names);
        assert_eq!(sorted[..6], ["219", "415", "420", "428", "520", "525"]);
        assert!(names.iter().all(|name| sorted.contains(name)) && sorted.len() == names.len());
    }

    #[test]
    fn a_value_is_rounded_to_what_can_be_set() {
        assert_eq!(shown(field("rear_axle_torque_nm"), &Value::Number(35.251_266_656)), "35.3 N·m");
        assert_eq!(shown(field("droop_deg"), &Value::Number(21.8)), "21.8°");
        assert_eq!(shown(field("pitch_mm"), &Value::Number(15.875)), "15.875 mm");
        assert_eq!(shown(field("front_teeth"), &Value::Whole(14)), "14");
        assert_eq!(to_type_over(&Value::Number(605.6)), "605.6");
        assert_eq!(to_type_over(&Value::Number(35.251_266_656_616_4)), "35.2513");
    }
}
