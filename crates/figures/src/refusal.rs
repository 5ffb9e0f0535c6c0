//! A refusal names the field, what was given, what is possible and what to do.

use measure::Bound;
use serde_json::Value;

/// Why a figure gives no answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// The field at fault (`bike.mass_kg` inside an object; `line`, `figure` for the question itself).
    pub field: String,
    /// A stable word for programs: `unknown_field`, `missing`, `wrong_type`, `out_of_range`, `no_such_word`, or the figure's own.
    pub code: &'static str,
    /// The sentence for a person.
    pub text: String,
}

impl Refusal {
    /// A refusal of a figure's own, with its sentence.
    #[must_use]
    pub fn new(field: impl Into<String>, code: &'static str, text: impl Into<String>) -> Self {
        Self { field: field.into(), code, text: text.into() }
    }

    /// The field is not given and there is no default.
    #[must_use]
    pub fn missing(field: &str) -> Self {
        Self::new(field, "missing", format!("{field} is missing. Give it, or ask for a figure that does not need it."))
    }

    /// The field is not one of this figure's; those that are stand behind it.
    #[must_use]
    pub fn unknown_field(field: &str, known: &[&str]) -> Self {
        let named = if field.is_empty() { "\"\"" } else { field };
        Self::new(field, "unknown_field", format!("{named} is not a field here. Possible: {}.", known.join(", ")))
    }

    /// The value is of another kind than the field takes.
    #[must_use]
    pub fn wrong_type(field: &str, given: &Value, wanted: &str) -> Self {
        Self::new(field, "wrong_type", format!("{field} is {}; {wanted} is wanted.", shown(given)))
    }

    /// The number lies outside its bound.
    #[must_use]
    pub fn out_of_range(field: &str, given: f64, bound: &Bound) -> Self {
        Self::new(
            field,
            "out_of_range",
            format!(
                "{field} is {given}; {} is possible ({}). Check the figure and its unit.",
                bound.range(),
                bound.word
            ),
        )
    }

    /// The word is not in the list.
    #[must_use]
    pub fn no_such_word(field: &str, given: &str, words: &[&str]) -> Self {
        Self::new(field, "no_such_word", format!("{field} is \"{given}\"; possible: {}.", words.join(", ")))
    }

    /// There is no figure of that name.
    #[must_use]
    pub fn unknown_figure(name: &str) -> Self {
        Self::new(
            "figure",
            "unknown_figure",
            format!("\"{name}\" is no figure. `tightspot figures --list` names them all."),
        )
    }
}

/// A given value, short enough to stand in a sentence.
pub(crate) fn shown(value: &Value) -> String {
    let text = value.to_string();
    if text.chars().count() > 60 { format!("{}…", text.chars().take(60).collect::<String>()) } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_shown_as_it_stands_and_cut_after_sixty_letters() {
        assert_eq!(shown(&serde_json::json!({"a": [1.5, "é"]})), r#"{"a":[1.5,"é"]}"#);
        let of = |length: usize| shown(&Value::from("é".repeat(length)));
        assert_eq!(of(58), format!("\"{}\"", "é".repeat(58)));
        assert_eq!(of(59), format!("\"{}…", "é".repeat(59)));
        assert_eq!(of(500), of(59));
    }
}
