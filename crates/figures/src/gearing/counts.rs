//! Numbers in lists: pairs of sprockets, sprockets with links. Whatever is wrong inside a list is refused
//! under the list's own name.

use drive::gearing::{Pair, Triple};
use measure::bounds::gearing::{DRIVE_LINKS, FRONT, REAR};
use measure::{Bound, Links};
use serde_json::Value;

use crate::Refusal;

/// A number inside a list lies outside its bound.
pub(crate) fn outside(name: &str, value: f64, bound: &Bound) -> Refusal {
    let text = format!("{name}: {value} is given; {} is possible ({}). Correct it.", bound.range(), bound.word);
    Refusal::new(name, "out_of_range", text)
}

/// Something inside a list is of another kind than it takes.
pub(crate) fn unfit(name: &str, value: &Value, wanted: &str) -> Refusal {
    let text = format!("{name}: {} is given; {wanted} is wanted.", crate::refusal::shown(value));
    Refusal::new(name, "wrong_type", text)
}

/// A number inside a bound.
pub(crate) fn real(name: &str, value: &Value, bound: &Bound) -> Result<f64, Refusal> {
    let real = value.as_f64().ok_or_else(|| unfit(name, value, "a number"))?;
    if bound.holds(real) { Ok(real) } else { Err(outside(name, real, bound)) }
}

/// A whole number inside a bound; 14 and 14.0 are both whole.
pub(crate) fn count(name: &str, value: &Value, bound: &Bound) -> Result<u16, Refusal> {
    let real = value.as_f64().filter(|real| real.fract() == 0.0);
    let Some(real) = real else { return Err(unfit(name, value, "a whole number")) };
    if !bound.holds(real) {
        return Err(outside(name, real, bound));
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole and inside its bound")]
    Ok(real as u16)
}

/// The items of a list that must be one.
pub(crate) fn items<'v>(name: &str, value: &'v Value, wanted: &str) -> Result<&'v [Value], Refusal> {
    value.as_array().map(Vec::as_slice).ok_or_else(|| Refusal::wrong_type(name, value, wanted))
}

/// A list of whole numbers inside one bound.
pub(crate) fn counts(name: &str, value: &Value, bound: &Bound) -> Result<Vec<u16>, Refusal> {
    items(name, value, "a list of whole numbers")?.iter().map(|item| count(name, item, bound)).collect()
}

/// `[front, rear]`.
pub(crate) fn pair(name: &str, value: &Value) -> Result<Pair, Refusal> {
    let wanted = "[front teeth, rear teeth]";
    let [front, rear] = items(name, value, wanted)? else { return Err(unfit(name, value, wanted)) };
    made(name, value, Pair::of(count(name, front, &FRONT)?, count(name, rear, &REAR)?))
}

/// `[front, rear, links]`.
pub(crate) fn triple(name: &str, value: &Value) -> Result<Triple, Refusal> {
    let wanted = "[front teeth, rear teeth, links]";
    let [front, rear, links] = items(name, value, wanted)? else {
        return Err(unfit(name, value, wanted));
    };
    let pair = Pair::of(count(name, front, &FRONT)?, count(name, rear, &REAR)?);
    let links = Links::new(count(name, links, &DRIVE_LINKS)?);
    made(name, value, pair.zip(links).map(|(pair, links)| Triple { pair, links }))
}

/// The bounds here lie inside those of the quantities; should that ever change, the value is refused, not bent.
fn made<T>(name: &str, value: &Value, made: Option<T>) -> Result<T, Refusal> {
    made.ok_or_else(|| Refusal::wrong_type(name, value, "teeth and links that a chain drive can have"))
}

/// A pair as the trade writes it: 14/48.
pub(crate) fn shown(pair: Pair) -> String {
    format!("{}/{}", pair.front.count(), pair.rear.count())
}

/// A pair as figures answer it: `[14, 48]`.
pub(crate) fn listed(pair: Pair) -> Value {
    Value::from(vec![pair.front.count(), pair.rear.count()])
}
