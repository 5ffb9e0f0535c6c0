//! Judges one answer against one row.

use serde_json::{Map, Value};

use crate::rows::Row;

/// Rounding that no tolerance needs to name.
const ROUNDING: f64 = 1e-12;

/// What is wrong with an answer line, in a few words; `None` where the row holds.
#[must_use]
pub fn miss(row: &Row, line: &Value) -> Option<String> {
    let refused = line.get("refused");
    match (&row.want_refused, refused) {
        (Some(_), None) => Some("not refused".to_owned()),
        (Some(field), Some(refused)) => {
            let named = refused["field"].as_str().unwrap_or_default();
            (field != "*" && field != named).then(|| format!("refused naming {named}, want {field}"))
        }
        (None, Some(refused)) => Some(format!("refused: {refused}")),
        (None, None) => row.want.iter().find_map(|(path, want)| {
            let segments: Vec<&str> = path.split('.').collect();
            differs(dig(&line["answer"], &segments), want, row, &segments)
        }),
    }
}

fn dig<'v>(value: &'v Value, path: &[&str]) -> &'v Value {
    path.iter().fold(value, |value, part| match value {
        Value::Array(items) => part.parse::<usize>().ok().and_then(|n| items.get(n)).unwrap_or(&Value::Null),
        other => other.get(part).unwrap_or(&Value::Null),
    })
}

fn differs(got: &Value, want: &Value, row: &Row, path: &[&str]) -> Option<String> {
    let name = path.join(".");
    let unlike = || Some(format!("{name}: want {want}, got {got}"));
    match (want, got) {
        (Value::Number(_), Value::Number(_)) => {
            let (got, want) = (got.as_f64()?, want.as_f64()?);
            let limit = limit(row, path, want);
            let holds = (got - want).abs() <= limit + ROUNDING * want.abs().max(1.0);
            (!holds).then(|| format!("{name}: want {want}, got {got}, allowed {limit:e}"))
        }
        (Value::Array(wants), Value::Array(gots)) if wants.len() == gots.len() => {
            if let Some(allowed) = rms_limit(row, path) {
                return rms_miss(wants, gots, allowed, &name);
            }
            wants.iter().zip(gots).enumerate().find_map(|(n, (want, got))| {
                let index = n.to_string();
                let inner: Vec<&str> = path.iter().copied().chain([index.as_str()]).collect();
                differs(got, want, row, &inner)
            })
        }
        (Value::Array(wants), Value::Array(gots)) => {
            Some(format!("{name}: want {} items, got {}", wants.len(), gots.len()))
        }
        (Value::Object(wants), Value::Object(gots)) => wants.iter().find_map(|(key, want)| {
            let inner: Vec<&str> = path.iter().copied().chain([key.as_str()]).collect();
            differs(gots.get(key).unwrap_or(&Value::Null), want, row, &inner)
        }),
        _ if want == got => None,
        _ => unlike(),
    }
}

/// The allowed difference at a path: the longest key that covers it, `*` standing for any segment.
fn limit(row: &Row, path: &[&str], want: f64) -> f64 {
    let tol = pick(&row.tol, path);
    let rel = tol.and_then(|tol| tol.get("rel")).or_else(|| pick(&row.rtol, path)).and_then(Value::as_f64);
    let abs = tol.and_then(|tol| if tol.is_object() { tol.get("abs") } else { Some(tol) }).and_then(Value::as_f64);
    abs.unwrap_or(0.0).max(rel.unwrap_or(0.0) * want.abs())
}

fn pick<'v>(keys: &'v Map<String, Value>, path: &[&str]) -> Option<&'v Value> {
    let covers = |key: &str| {
        let parts: Vec<&str> = key.split('.').collect();
        let fits = parts.len() <= path.len() && parts.iter().zip(path).all(|(key, part)| *key == "*" || key == part);
        fits.then_some(parts.len())
    };
    keys.iter()
        .filter_map(|(key, value)| covers(key).map(|len| (len, value)))
        .max_by_key(|(len, _)| *len)
        .map(|found| found.1)
}

fn rms_limit(row: &Row, path: &[&str]) -> Option<f64> {
    row.tol.get(&path.join(".")).and_then(|tol| tol.get("rms")).and_then(Value::as_f64)
}

fn rms_miss(wants: &[Value], gots: &[Value], allowed: f64, name: &str) -> Option<String> {
    let mut squares = Vec::new();
    for (want, got) in wants.iter().zip(gots) {
        let Some(want) = want.as_f64() else { continue };
        let Some(got) = got.as_f64() else { return Some(format!("{name}: want {want}, got {got}")) };
        squares.push((got - want).powi(2));
    }
    #[expect(clippy::cast_precision_loss, reason = "lists of far fewer than 2^52 items")]
    let rms = (squares.iter().sum::<f64>() / squares.len().max(1) as f64).sqrt();
    (rms > allowed).then(|| format!("{name}: rms {rms:e}, allowed {allowed:e}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn row(want: Value, tol: Value) -> Row {
        let case = json!([{"case": "one", "figure": "a.b", "given": {}, "want": want, "tol": tol}]);
        crate::rows::read("a/b.json", &case.to_string()).expect("reads").remove(0)
    }

    #[test]
    fn a_number_outside_its_tolerance_misses() {
        let row = row(json!({"x": 1.0}), json!({"x": 0.1}));
        assert!(miss(&row, &json!({"answer": {"x": 1.09}})).is_none());
        assert!(miss(&row, &json!({"answer": {"x": 1.11}})).is_some());
        assert!(miss(&row, &json!({"answer": {"x": null}})).is_some());
        assert!(miss(&row, &json!({"answer": {}})).is_some());
    }

    #[test]
    fn a_star_covers_every_item_and_the_longer_key_wins() {
        let row = row(json!({"list": [{"a": 1.0}, {"a": 2.0}]}), json!({"list": 0.5, "list.*.a": 0.01}));
        assert!(miss(&row, &json!({"answer": {"list": [{"a": 1.005}, {"a": 2.0}]}})).is_none());
        assert!(miss(&row, &json!({"answer": {"list": [{"a": 1.4}, {"a": 2.0}]}})).is_some());
    }

    #[test]
    fn an_answer_where_a_refusal_is_wanted_misses() {
        let row = row(json!({"refused": "links"}), json!({}));
        assert!(miss(&row, &json!({"answer": {}})).is_some());
        assert!(miss(&row, &json!({"refused": {"field": "teeth"}})).is_some());
        assert!(miss(&row, &json!({"refused": {"field": "links"}})).is_none());
    }
}
