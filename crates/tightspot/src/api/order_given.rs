//! What a program sends about a work order: a step with its answers, a "no", a tick taken back, the end.

use advice::bench::close::{self, FittedPart};
use advice::bench::take::{TypedHold, TypedStep};
use figures::{Field, Given};
use measure::bounds::{record as bounds, workshop};
use serde_json::{Map, Value, json};
use upkeep::record::Part;

use super::given::Members;
use super::kinds::price;
use super::places::{FRONT, LINKS, REAR};
use super::refusal::{faults, refused};
use crate::serve::Fault;

const WHO: Field = Field::text("who").optional("nobody said").meaning("who is at the bench, up to 60 characters");
const READ: Field = Field::nested("read").optional("none").meaning("names of the stops that were read");
const WHY: Field = Field::text("reason").optional("none").meaning("why it is done out of turn, up to 1000 characters");
const CURE: Field =
    Field::number("cure_h", &workshop::CURE).optional("none").meaning("hours of the threadlocker, off its label");

/// What a tick takes.
pub(super) const TICK: &[Field] = &[
    Field::text("step").meaning("the step's name, such as open:on-stand"),
    READ,
    Field::nested("holds").optional("none").meaning("answers by the names of the step's stop points"),
    WHY,
    CURE,
    WHO,
];
/// What a "no" takes.
pub(super) const FAIL: &[Field] = &[
    Field::text("hold").meaning("the stop point that does not pass"),
    Field::text("value").optional("no").meaning("the reading, as it was typed"),
    READ,
    WHO,
];
/// What taking a tick back takes.
pub(super) const UNTICK: &[Field] = &[
    Field::text("step").meaning("the step's name"),
    Field::text("reason").meaning("why it counts as not done; it stays in the record"),
    WHO,
];
/// What beginning takes.
pub(super) const START: &[Field] = &[
    Field::nested("jobs").optional("none").meaning("names of jobs of the library"),
    Field::flag("due").optional("false").meaning("what is recorded as due as well"),
    Field::nested("choices").optional("from the sheet").meaning("answers by the names of the library's choices"),
    FRONT,
    REAR,
    LINKS,
];
/// What bringing a job in takes.
pub(super) const ADD: &[Field] = &[Field::text("job").meaning("the job, by its name in the library"), WHO];
/// What stopping for now, giving up and opening again take.
pub(super) const WHO_ONLY: &[Field] = &[WHO];
/// What a figure of the manual takes.
pub(super) const FIGURE: &[Field] = &[
    Field::text("figure").meaning("its name, as the step says it is missing"),
    Field::text("value").meaning("as it stands in the manual, with its unit where it is another one"),
    Field::text("value_to").optional("as value").meaning("the upper end of a range"),
    Field::text("source").meaning("document and page"),
    WHO,
];
/// What closing takes.
pub(super) const CLOSE: &[Field] = &[
    Field::number("meter_h", &bounds::METER).optional("not read"),
    Field::nested("parts").optional("as the order names them").meaning("one object for each of `fitted`, in its order"),
    WHO,
];

/// The schemas of the members whose inside the declarations leave open.
pub(super) fn inside() -> [(&'static str, Value); 5] {
    let text = || json!({"type": "string", "maxLength": 1000});
    let hold = json!({
        "type": "object",
        "additionalProperties": false,
        "properties": {
            "value": {"type": ["string", "number"], "maxLength": 1000},
            "passes": {"type": "boolean", "description": "where only the rider can say whether a number passes"},
            "reason": text(),
            "waived": {"type": "boolean"},
        },
    });
    let part = json!({
        "type": "object",
        "additionalProperties": false,
        "properties": {
            "name": {"type": "string", "maxLength": 100},
            "used_h": {"type": "number", "minimum": 0, "maximum": 5000},
            "price_minor": {"type": "integer", "minimum": 0, "maximum": 1_000_000_000},
            "currency": {"type": "string", "pattern": "^[A-Z]{3}$"},
        },
    });
    [
        ("read", json!({"type": "array", "items": text()})),
        ("holds", json!({"type": "object", "additionalProperties": hold})),
        ("parts", json!({"type": "array", "items": part})),
        ("jobs", json!({"type": "array", "items": text()})),
        ("choices", json!({"type": "object", "additionalProperties": text()})),
    ]
}

/// Who is at the bench.
pub(super) fn who_of(members: &Members) -> Result<Option<String>, Fault> {
    let Some(Value::String(who)) = members.get("who") else { return Ok(None) };
    let length = who.trim().chars().count();
    if (1..=60).contains(&length) && !who.contains(char::is_control) {
        return Ok(Some(who.trim().to_owned()));
    }
    Err(refused("who", "not_possible", "who: a name of 1 to 60 characters is wanted, or leave it out."))
}

/// The step that was sent.
pub(super) fn step_of(members: &Members) -> Result<TypedStep, Fault> {
    let text = |name: &str| members.get(name).and_then(Value::as_str).unwrap_or_default().to_owned();
    let mut typed = TypedStep {
        step: text("step"),
        reason: text("reason"),
        cure_h: members.get("cure_h").map(ToString::to_string).unwrap_or_default(),
        read: names(members, "read")?,
        holds: Vec::new(),
    };
    let Some(given) = members.get("holds") else { return Ok(typed) };
    let Some(holds) = given.as_object() else {
        return Err(refused("holds", "wrong_type", "holds: an object by the names of stop points is wanted."));
    };
    for (hold, answer) in holds {
        typed.holds.push((hold.clone(), one_hold(hold, answer)?));
    }
    Ok(typed)
}

/// A list of names.
pub(super) fn names(members: &Members, member: &str) -> Result<Vec<String>, Fault> {
    let Some(given) = members.get(member) else { return Ok(Vec::new()) };
    let names = given.as_array().and_then(|all| all.iter().map(|one| one.as_str().map(str::to_owned)).collect());
    names.ok_or_else(|| refused(member, "wrong_list", &format!("{member}: a list of names is wanted.")))
}

/// Answers to choices by their names.
pub(super) fn choices(members: &Members) -> Result<Vec<(String, String)>, Fault> {
    let wrong = || refused("choices", "wrong_type", "choices: an object of words by the names of choices is wanted.");
    let Some(given) = members.get("choices") else { return Ok(Vec::new()) };
    let all = given.as_object().ok_or_else(wrong)?.iter();
    all.map(|(name, word)| Ok((name.clone(), word.as_str().ok_or_else(wrong)?.to_owned()))).collect()
}

fn one_hold(hold: &str, answer: &Value) -> Result<TypedHold, Fault> {
    let wrong = |member: &str, what: &str| {
        refused(&format!("holds.{hold}{member}"), "wrong_type", &format!("{hold}{member}: {what} is wanted."))
    };
    let given = answer.as_object().ok_or_else(|| wrong("", "an object"))?;
    known(given, &format!("holds.{hold}"), &["value", "passes", "reason", "waived"])?;
    let text = |member: &str| match given.get(member) {
        None => Ok(String::new()),
        Some(Value::String(text)) => Ok(text.clone()),
        Some(Value::Number(number)) if member == "value" => Ok(number.to_string()),
        Some(_) => Err(wrong(&format!(".{member}"), "a text")),
    };
    let flag = |member: &str| match given.get(member) {
        None => Ok(None),
        Some(Value::Bool(flag)) => Ok(Some(*flag)),
        Some(_) => Err(wrong(&format!(".{member}"), "true or false")),
    };
    let passes = flag("passes")?.map_or("", |passes| if passes { "yes" } else { "no" });
    Ok(TypedHold {
        value: text("value")?,
        passes: passes.to_owned(),
        reason: text("reason")?,
        waived: flag("waived")?.unwrap_or_default(),
    })
}

fn known(given: &Map<String, Value>, at: &str, members: &[&str]) -> Result<(), Fault> {
    match given.keys().find(|key| !members.contains(&key.as_str())) {
        None => Ok(()),
        Some(other) => {
            let text = format!("{other} is no member here. Possible: {}.", members.join(", "));
            Err(refused(&format!("{at}.{other}"), "unknown_field", &text))
        }
    }
}

/// The parts that went on, as they are called and paid for; what is left out is as the order names it.
pub(super) fn parts(members: &Members, fitted: &[FittedPart]) -> Result<Vec<Part>, Fault> {
    static FIELDS: &[Field] = &[
        Field::text("name").optional("as the order names it"),
        Field::number("used_h", &bounds::USED).optional("0"),
        Field::whole("price_minor", &bounds::PRICE).optional("not known"),
        Field::text("currency").optional("none"),
    ];
    let given = match members.get("parts") {
        None => Vec::new(),
        Some(Value::Array(all)) if all.len() <= fitted.len() => all.clone(),
        Some(_) => {
            let text = format!("parts: a list of up to {} objects is wanted, one for each of `fitted`.", fitted.len());
            return Err(refused("parts", "wrong_list", &text));
        }
    };
    let mut made = Vec::new();
    for (at, part) in fitted.iter().enumerate() {
        let one = match given.get(at) {
            None => Members::new(),
            Some(Value::Object(one)) => one.clone(),
            Some(_) => return Err(refused(&format!("parts.{at}"), "wrong_type", "parts: objects are wanted.")),
        };
        let below =
            |refusal: figures::Refusal| refused(&format!("parts.{at}.{}", refusal.field), refusal.code, &refusal.text);
        let told = Given::check(FIELDS, &one, &figures::NoTracks).map_err(below)?;
        let price = price(&told, &format!("parts.{at}."))?;
        let name = told.opt_text("name").unwrap_or_default();
        let part = close::part(part, name, told.num_or("used_h", 0.0), price);
        made.push(part.map_err(|fault| faults(&format!("/parts/{at}"), &[fault]))?);
    }
    Ok(made)
}
