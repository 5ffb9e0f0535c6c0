//! What stands inside a list or object: checked by the same declarations as a figure's own fields, every fault
//! refused under the name of the outer field.

use std::collections::BTreeSet;

use measure::Bound;
use serde_json::Value;

use crate::{Field, Given, NoTracks, Refusal};

/// The members of one item, checked.
pub(super) fn item<'a>(outer: &str, value: &'a Value, fields: &'static [Field]) -> Result<Given<'a>, Refusal> {
    let map = value.as_object().ok_or_else(|| Refusal::wrong_type(outer, value, "a list of objects"))?;
    Given::check(fields, map, &NoTracks).map_err(|fault| under(outer, fault))
}

/// The items of a list, each checked; refused if it is no list.
pub(super) fn items<'a>(given: &Given<'a>, outer: &str, fields: &'static [Field]) -> Result<Vec<Given<'a>>, Refusal> {
    list(given, outer)?.iter().map(|value| item(outer, value, fields)).collect()
}

/// A list field that may not be an object; empty if left out.
pub(super) fn list<'a>(given: &Given<'a>, outer: &str) -> Result<&'a [Value], Refusal> {
    match given.raw(outer) {
        None => Ok(&[]),
        Some(Value::Array(items)) => Ok(items),
        Some(other) => Err(Refusal::wrong_type(outer, other, "a list")),
    }
}

/// A fault found inside, told under the outer field's name.
pub(super) fn under(outer: &str, fault: Refusal) -> Refusal {
    Refusal::new(outer, fault.code, format!("{outer}: {}", fault.text))
}

/// A number inside a bound, found in a list.
pub(super) fn number(outer: &str, value: &Value, bound: &Bound) -> Result<f64, Refusal> {
    let real = value.as_f64().ok_or_else(|| Refusal::wrong_type(outer, value, "a number"))?;
    if bound.holds(real) { Ok(real) } else { Err(Refusal::out_of_range(outer, real, bound)) }
}

/// A list of numbers inside a bound, found in a list.
pub(super) fn numbers(outer: &str, value: &Value, bound: &Bound) -> Result<Vec<f64>, Refusal> {
    let items = value.as_array().ok_or_else(|| Refusal::wrong_type(outer, value, "a list of numbers"))?;
    items.iter().map(|item| number(outer, item, bound)).collect()
}

/// An object of numbers inside a bound, in the order given.
pub(super) fn named_numbers<'a>(
    given: &Given<'a>,
    outer: &str,
    bound: &Bound,
) -> Result<Option<Vec<(&'a str, f64)>>, Refusal> {
    let Some(value) = given.raw(outer) else { return Ok(None) };
    let map = value.as_object().ok_or_else(|| Refusal::wrong_type(outer, value, "an object of numbers"))?;
    map.iter()
        .map(|(name, value)| Ok((name.as_str(), number(outer, value, bound)?)))
        .collect::<Result<_, _>>()
        .map(Some)
}

/// A list of names, none twice.
pub(super) fn names<'a>(given: &Given<'a>, outer: &str) -> Result<Vec<&'a str>, Refusal> {
    let names: Vec<&str> = list(given, outer)?
        .iter()
        .map(|value| value.as_str().ok_or_else(|| Refusal::wrong_type(outer, value, "a name")))
        .collect::<Result<_, _>>()?;
    no_name_twice(outer, names.iter().copied())?;
    Ok(names)
}

/// Refuses a list whose names are not all different.
pub(super) fn no_name_twice<'a>(outer: &str, names: impl Iterator<Item = &'a str>) -> Result<(), Refusal> {
    let mut seen = BTreeSet::new();
    for name in names {
        if !seen.insert(name) {
            return Err(Refusal::new(
                outer,
                "name_twice",
                format!("{outer}: \"{name}\" stands there twice. Give each name once."),
            ));
        }
    }
    Ok(())
}

/// Refuses a list that has not as many items as another.
pub(super) fn as_many(field: &str, count: usize, other: &str, wanted: usize) -> Result<(), Refusal> {
    if count == wanted {
        return Ok(());
    }
    Err(Refusal::new(
        field,
        "other_length",
        format!("{field} has {count} items; {other} has {wanted}. Give one for each."),
    ))
}

/// Refuses a list without any item.
pub(super) fn some(field: &str, count: usize, what: &str) -> Result<(), Refusal> {
    if count > 0 {
        return Ok(());
    }
    Err(Refusal::new(field, "empty", format!("{field} is empty; at least one {what} is wanted.")))
}

/// Refuses a list of more items than are reckoned with, so that no question takes for ever.
pub(super) fn at_most(field: &str, count: usize, most: usize) -> Result<(), Refusal> {
    if count <= most {
        return Ok(());
    }
    Err(Refusal::new(field, "too_many", format!("{field} has {count} items; at most {most} are taken. Give fewer.")))
}
