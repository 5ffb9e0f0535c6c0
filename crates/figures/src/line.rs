//! One JSON line in, one JSON line out. A bad line never stops the rest; nothing in it is repaired.

use std::cell::RefCell;
use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error as _, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value, json};

use crate::{Answer, Refusal, Tracks, ask};

/// Answers one line. `number` (from 1) stands for an absent `id`.
#[must_use]
pub fn answer(line: &str, number: usize, tracks: &dyn Tracks) -> Value {
    let question = match read(line) {
        Ok(question) => question,
        Err(refusal) => return worded(&json!(number), &Value::Null, Err(refusal)),
    };
    let id = question.get("id").cloned().unwrap_or_else(|| json!(number));
    let name = question.get("figure").cloned().unwrap_or(Value::Null);
    worded(&id, &name, put(&question, tracks))
}

/// An answer or refusal as the contract words it.
#[must_use]
pub fn worded(id: &Value, figure: &Value, outcome: Result<Answer, Refusal>) -> Value {
    match outcome {
        Ok(answer) => {
            let notices: Vec<_> =
                answer.notices.iter().map(|notice| json!({"code": notice.code, "text": notice.text})).collect();
            json!({"id": id, "figure": figure, "answer": answer.values(), "notices": notices, "sources": answer.sources})
        }
        Err(refusal) => {
            json!({"id": id, "figure": figure,
                "refused": {"field": refusal.field, "code": refusal.code, "text": refusal.text}})
        }
    }
}

fn put(question: &Map<String, Value>, tracks: &dyn Tracks) -> Result<Answer, Refusal> {
    if let Some(key) = question.keys().find(|key| !["id", "figure", "given"].contains(&key.as_str())) {
        return Err(Refusal::unknown_field(key, &["id", "figure", "given"]));
    }
    let name = match question.get("figure") {
        Some(Value::String(name)) => name,
        Some(other) => return Err(Refusal::wrong_type("figure", other, "the name of a figure")),
        None => return Err(Refusal::missing("figure")),
    };
    if crate::named(name).is_none() {
        return Err(Refusal::unknown_figure(name));
    }
    match question.get("given") {
        Some(Value::Object(given)) => ask(name, given, tracks),
        Some(other) => Err(Refusal::wrong_type("given", other, "an object")),
        None => ask(name, &Map::new(), tracks),
    }
}

/// Reads a line as one JSON object.
///
/// # Errors
/// Field `line` if it is none; the key's name if one is given twice.
pub fn read(line: &str) -> Result<Map<String, Value>, Refusal> {
    let value = match parse(line) {
        Ok(value) => value,
        Err(Fault::Twice(key)) => {
            let name = if key.is_empty() { "A field without a name" } else { key.as_str() };
            let text = format!("{name} is given twice. Give it once.");
            return Err(Refusal::new(key, "given_twice", text));
        }
        Err(Fault::Broken(why)) => {
            // A bare NaN or Infinity is no JSON; as text it is refused under its own field, which helps more.
            let quoted = quote_bare(line);
            match (quoted != line).then(|| parse(&quoted)) {
                Some(Ok(value)) => value,
                _ => return Err(Refusal::new("line", "no_json", format!("line is no JSON object: {why}."))),
            }
        }
    };
    match value {
        Value::Object(map) => Ok(map),
        other => Err(Refusal::wrong_type("line", &other, "a JSON object")),
    }
}

enum Fault {
    Twice(String),
    Broken(String),
}

fn parse(text: &str) -> Result<Value, Fault> {
    let twice = RefCell::new(None);
    let mut source = serde_json::Deserializer::from_str(text);
    let value = Once(&twice).deserialize(&mut source).and_then(|value| source.end().map(|()| value));
    match (twice.into_inner(), value) {
        (Some(key), _) => Err(Fault::Twice(key)),
        (None, Ok(value)) => Ok(value),
        (None, Err(why)) => Err(Fault::Broken(why.to_string())),
    }
}

/// Puts bare words and numbers beyond a double outside strings in quotes.
fn quote_bare(line: &str) -> String {
    let (mut out, mut token, mut in_string, mut escaped) = (String::new(), String::new(), false, false);
    let flush = |token: &mut String, out: &mut String| {
        let odd = matches!(token.as_str(), "NaN" | "Infinity" | "-Infinity" | "nan" | "inf" | "-inf")
            || token.parse::<f64>().is_ok_and(f64::is_infinite);
        if odd {
            out.push('"');
            out.push_str(token);
            out.push('"');
        } else {
            out.push_str(token);
        }
        token.clear();
    };
    for c in line.chars() {
        if in_string {
            out.push(c);
            in_string = escaped || c != '"';
            escaped = !escaped && c == '\\';
        } else if c.is_alphanumeric() || matches!(c, '-' | '+' | '.') {
            token.push(c);
        } else {
            flush(&mut token, &mut out);
            out.push(c);
            in_string = c == '"';
        }
    }
    flush(&mut token, &mut out);
    out
}

/// Builds a value and notes the first key that is given twice in one object.
struct Once<'a>(&'a RefCell<Option<String>>);

impl<'de> DeserializeSeed<'de> for Once<'_> {
    type Value = Value;
    fn deserialize<D: Deserializer<'de>>(self, source: D) -> Result<Value, D::Error> {
        source.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Once<'_> {
    type Value = Value;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }
    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }
    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(Value::from(value))
    }
    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(Value::from(value))
    }
    fn visit_f64<E>(self, value: f64) -> Result<Value, E> {
        Ok(Value::from(value))
    }
    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(Value::from(value))
    }
    fn visit_string<E>(self, value: String) -> Result<Value, E> {
        Ok(Value::from(value))
    }
    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Value, A::Error> {
        let mut all = Vec::new();
        while let Some(item) = items.next_element_seed(Once(self.0))? {
            all.push(item);
        }
        Ok(Value::Array(all))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Value, A::Error> {
        let mut all = Map::new();
        while let Some(key) = members.next_key::<String>()? {
            if all.contains_key(&key) {
                self.0.borrow_mut().get_or_insert(key);
                return Err(A::Error::custom("a key is given twice"));
            }
            let value = members.next_value_seed(Once(self.0))?;
            all.insert(key, value);
        }
        Ok(Value::Object(all))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::NoTracks;

    fn refused(line: &str) -> String {
        answer(line, 7, &NoTracks)["refused"]["field"].as_str().unwrap_or_default().to_owned()
    }

    #[test]
    fn a_line_that_is_no_object_is_refused_as_line() {
        assert_eq!(refused("chain.centre"), "line");
        assert_eq!(refused("[1]"), "line");
        assert_eq!(answer("{", 7, &NoTracks)["id"], json!(7));
    }

    #[test]
    fn a_key_given_twice_is_refused_by_name() {
        assert_eq!(refused(r#"{"figure":"x.y","given":{"links":1,"links":2}}"#), "links");
    }

    /// Found by fuzzing: what isn't said twice under a name is said twice under none.
    #[test]
    fn a_key_without_a_name_given_twice_is_refused_in_words() {
        let said = answer(r#"{"figure":"x.y","given":{"":990,""te":75}}"#, 1, &NoTracks);
        assert_eq!(said["refused"]["code"], "given_twice");
        assert_eq!(said["refused"]["text"], "A field without a name is given twice. Give it once.");
    }

    #[test]
    fn only_what_stands_outside_of_strings_is_put_in_quotes() {
        assert_eq!(
            quote_bare(r#"{"a":NaN,"b":-Infinity,"c":1e999,"d":1.5}"#),
            r#"{"a":"NaN","b":"-Infinity","c":"1e999","d":1.5}"#
        );
        for string in [r#"{"a":"x NaN y"}"#, r#"{"a":"said \" NaN, twice \\"}"#, r#"{"a":"\\\"inf "}"#] {
            assert_eq!(quote_bare(string), string);
        }
        assert_eq!(quote_bare(r#"{"a":"ends \\",inf}"#), r#"{"a":"ends \\","inf"}"#);
    }

    #[test]
    fn an_unknown_figure_is_refused_as_figure() {
        assert_eq!(refused(r#"{"figure":"x.y","given":{}}"#), "figure");
        assert_eq!(refused(r#"{"given":{}}"#), "figure");
    }

    #[test]
    fn a_field_without_a_name_is_refused_in_words_that_show_it() {
        let said = answer(r#"{"figure":"torque.from_preload","given":{"":0.7}}"#, 1, &NoTracks);
        let text = said["refused"]["text"].as_str().unwrap_or_default();
        assert!(text.starts_with("\"\" is not a field here."), "{said}");
    }

    #[test]
    fn bare_nan_reaches_its_own_field() {
        assert_eq!(quote_bare(r#"{"a":NaN,"b":"NaN","c":1e999}"#), r#"{"a":"NaN","b":"NaN","c":"1e999"}"#);
    }

    #[test]
    fn a_bare_nan_is_refused_under_its_own_field() {
        let line = r#"{"figure":"chain.centre","given":{"pitch_mm":NaN,"links":118,"front_teeth":14,"rear_teeth":48}}"#;
        assert_eq!(refused(line), "pitch_mm");
        assert_eq!(refused(&line.replace("NaN", "-Infinity")), "pitch_mm");
    }

    #[test]
    fn a_line_is_read_with_every_kind_of_value_as_it_stands() {
        let read = read(r#"{"a":1.5,"b":-2,"c":3,"d":true,"e":null,"f":"x \u00e9","g":[0.25,{"h":-1e-3}],"i":{}}"#);
        let mut all = Map::new();
        for (key, value) in [
            ("a", Value::from(1.5)),
            ("b", Value::from(-2)),
            ("c", Value::from(3)),
            ("d", Value::Bool(true)),
            ("e", Value::Null),
            ("f", Value::from("x é")),
            (
                "g",
                Value::Array(vec![
                    Value::from(0.25),
                    Value::Object(Map::from_iter([("h".into(), Value::from(-1e-3))])),
                ]),
            ),
            ("i", Value::Object(Map::new())),
        ] {
            all.insert(key.to_owned(), value);
        }
        assert_eq!(read.map_err(|refusal| refusal.text), Ok(all));
    }

    #[test]
    fn only_the_bare_words_for_no_number_and_numbers_beyond_a_double_are_put_in_quotes() {
        for word in ["NaN", "Infinity", "-Infinity", "nan", "inf", "-inf", "1e309", "-1e309"] {
            assert_eq!(quote_bare(&format!("[{word}]")), format!("[\"{word}\"]"));
        }
        for word in ["true", "null", "1e308", "-0.5", "1E+5", "x", "nano"] {
            assert_eq!(quote_bare(&format!("[{word}]")), format!("[{word}]"));
        }
    }
}
