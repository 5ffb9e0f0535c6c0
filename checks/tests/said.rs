//! What figures say beside their numbers: notices and refusals, over rows and over each field left out or made wrong.
//!
//! The numbers are the rows' own affair; here stands, as text, which sentence comes when.

use std::collections::{BTreeMap, BTreeSet};

use checks::carried::Carried;
use checks::rows::Row;
use figures::{NoTracks, ask};
use serde_json::{Map, Value, json};

/// Rows of a figure whose fields are made wrong one by one.
const TURNED: usize = 2;
/// Rows of a figure whose notices are read; the others say the same.
const READ: usize = 60;

fn said(figure: &str, given: &Map<String, Value>) -> String {
    match ask(figure, given, &NoTracks) {
        Ok(answer) => {
            let notices: Vec<String> =
                answer.notices.iter().map(|notice| format!("\n      {}: {}", notice.code, notice.text)).collect();
            format!("answers {}{}", answer.values().keys().cloned().collect::<Vec<_>>().join(" "), notices.concat())
        }
        Err(refusal) => format!("refuses {} {}: {}", refusal.field, refusal.code, refusal.text),
    }
}

/// Wrong values for a field, by what stood there.
fn wrong(value: &Value) -> Vec<Value> {
    match value {
        Value::Number(_) => vec![json!("x"), json!(-1e9), json!(1e12), json!(0), json!(2.5), json!(true)],
        Value::String(_) => vec![json!("x"), json!(1), json!("")],
        Value::Bool(flag) => vec![json!(!flag), json!("x")],
        Value::Array(items) => {
            let mut list = vec![json!([]), json!({}), json!(1), json!(items[..items.len().min(1)])];
            list.push(json!(items.iter().chain([&json!("x")]).collect::<Vec<_>>()));
            list
        }
        _ => vec![json!(1), json!([])],
    }
}

/// Each field left out, made wrong, and one more that nobody knows; of lists and objects the first member too.
fn turned(given: &Map<String, Value>) -> Vec<(String, Map<String, Value>)> {
    let mut all = vec![("with another field".to_owned(), with(given, "nobody_knows", json!(1)))];
    for (field, value) in given {
        let mut without = given.clone();
        without.remove(field);
        all.push((format!("without {field}"), without));
        for wrong in wrong(value) {
            all.push((format!("{field} = {}", short(&wrong)), with(given, field, wrong)));
        }
        let Some(inner) = value.as_object().or_else(|| value.as_array()?.first()?.as_object()) else { continue };
        for (name, inside) in inner {
            for wrong in wrong(inside).into_iter().map(Some).chain([None]) {
                let mut changed = inner.clone();
                changed.remove(name);
                let told = wrong.as_ref().map_or_else(|| "left out".to_owned(), short);
                changed.extend(wrong.map(|wrong| (name.clone(), wrong)));
                let mut value = value.clone();
                match &mut value {
                    Value::Array(items) => items[0] = Value::Object(changed),
                    other => *other = Value::Object(changed),
                }
                all.push((format!("{field}.{name} = {told}"), with(given, field, value)));
            }
        }
    }
    all
}

fn with(given: &Map<String, Value>, field: &str, value: Value) -> Map<String, Value> {
    let mut given = given.clone();
    given.insert(field.to_owned(), value);
    given
}

fn short(value: &Value) -> String {
    value.to_string().chars().take(30).collect()
}

fn by_figure(carried: &Carried) -> BTreeMap<String, Vec<Row>> {
    let mut all: BTreeMap<String, Vec<Row>> = BTreeMap::new();
    for (_, rows) in carried.rows("").expect("every file is read") {
        for row in rows {
            all.entry(row.figure.clone()).or_default().push(row);
        }
    }
    all
}

#[test]
fn what_a_figure_says_beside_its_numbers() {
    let carried = Carried::unpack().expect("unpacks");
    let mut text = String::new();
    for (figure, rows) in by_figure(&carried) {
        text.push_str(&format!("=== {figure}\n"));
        let light = |row: &&Row| serde_json::to_string(&row.given).is_ok_and(|given| given.len() < 4000);
        let mut known = BTreeSet::new();
        for row in rows.iter().filter(light).take(READ) {
            let said = said(&figure, &row.given);
            if known.insert(said.clone()) {
                text.push_str(&format!("  {}: {said}\n", row.case));
            }
        }
        let answered = rows.iter().filter(light).filter(|row| row.want_refused.is_none());
        for row in answered.take(TURNED) {
            for (how, given) in turned(&row.given) {
                let said = said(&figure, &given);
                if known.insert(said.clone()) {
                    text.push_str(&format!("  {how}: {said}\n"));
                }
            }
        }
    }
    insta::with_settings!({ omit_expression => true }, { insta::assert_snapshot!("said", text) });
}
