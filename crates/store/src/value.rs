//! One value of a sheet: in a column of the store, and as JSON in the shape that figures take.

use rusqlite::types::{Value as Column, ValueRef};
use serde_json::Value as Json;
use upkeep::bike::{BikeField, Kind, Ratio, Value};

/// The value as JSON, in the shape of a figure's `given`: `14`, `15.875`, `"clip"`, `[25,71]`, `[[2000.0,17.0],…]`.
#[must_use]
pub fn json(value: &Value) -> Json {
    match value {
        Value::Number(number) => Json::from(*number),
        Value::Whole(count) => Json::from(*count),
        Value::Word(text) | Value::Text(text) => Json::from(text.as_str()),
        Value::Flag(flag) => Json::from(*flag),
        Value::Ratio(one) => ratio(*one),
        Value::Ratios(ratios) => ratios.iter().map(|one| ratio(*one)).collect(),
        Value::Curve(points) => points.iter().map(|[rpm, torque]| Json::from(vec![*rpm, *torque])).collect(),
    }
}

/// The value of JSON for a field, checked; `None` if it is none of the field's.
#[must_use]
pub fn from_json(field: &BikeField, given: &Json) -> Option<Value> {
    let value = match field.kind {
        Kind::Number(_) => Value::Number(given.as_f64()?),
        Kind::Whole(_) => Value::Whole(whole(given)?),
        Kind::Word(_) => Value::Word(given.as_str()?.to_owned()),
        Kind::Text => Value::Text(given.as_str()?.to_owned()),
        Kind::Flag => Value::Flag(given.as_bool()?),
        Kind::Ratio(_) => Value::Ratio(as_ratio(given)?),
        Kind::Ratios(_) => Value::Ratios(given.as_array()?.iter().map(as_ratio).collect::<Option<_>>()?),
        Kind::Curve => Value::Curve(given.as_array()?.iter().map(as_point).collect::<Option<_>>()?),
    };
    field.check(&value).is_ok().then_some(value)
}

fn ratio(ratio: Ratio) -> Json {
    match ratio {
        Ratio::Number(number) => Json::from(number),
        Ratio::Teeth { driver, driven } => Json::from(vec![driver, driven]),
    }
}

fn as_ratio(given: &Json) -> Option<Ratio> {
    match given {
        Json::Array(pair) => {
            let [driver, driven] = pair.as_slice() else { return None };
            Some(Ratio::Teeth { driver: whole(driver)?, driven: whole(driven)? })
        }
        number => number.as_f64().map(Ratio::Number),
    }
}

fn as_point(given: &Json) -> Option<[f64; 2]> {
    let [rpm, torque] = given.as_array()?.as_slice() else { return None };
    Some([rpm.as_f64()?, torque.as_f64()?])
}

fn whole(given: &Json) -> Option<u32> {
    given.as_u64().and_then(|count| u32::try_from(count).ok())
}

/// The value as a column: numbers as numbers, everything else as JSON text.
pub(crate) fn column(value: &Value) -> Column {
    match value {
        Value::Number(number) | Value::Ratio(Ratio::Number(number)) => Column::Real(*number),
        Value::Whole(count) => Column::Integer(i64::from(*count)),
        other => Column::Text(json(other).to_string()),
    }
}

/// The value of a column for a field, checked; `None` if it is none of the field's.
pub(crate) fn from_column(field: &BikeField, column: ValueRef<'_>) -> Option<Value> {
    match column {
        ValueRef::Real(number) => from_json(field, &Json::from(number)),
        ValueRef::Integer(count) => from_json(field, &Json::from(count)),
        ValueRef::Text(text) => from_json(field, &serde_json::from_slice(text).ok()?),
        ValueRef::Null | ValueRef::Blob(_) => None,
    }
}
