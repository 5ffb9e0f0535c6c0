//! What is asked of the choices about parts and rides, parsed at the door: the same for a command's options and a form.

use advice::buying::{self, What};
use advice::record::{replace, through};
use advice::{Gap, Setup};
use measure::bounds::{self, record, wear};
use upkeep::bike::{self, Bike, Kind};

use crate::asked::{Door, Faulty};

/// Fields of the prices, in the order of chain, front and rear.
pub(crate) const PRICES: [&str; 3] = ["chain_price", "front_price", "rear_price"];
/// Fields of the lives, in the same order.
pub(crate) const LIVES: [&str; 3] = ["chain_life_h", "front_life_h", "rear_life_h"];

/// What is weighed about the set.
///
/// # Errors
/// The sheet lacks a count of what is fitted.
pub(crate) fn replace<'t>(
    door: &mut Door,
    bike: &Bike,
    text: impl Fn(&str) -> Option<&'t str>,
) -> Result<replace::Asked, Gap> {
    let fitted = Setup::fitted(bike)?;
    let setup = setup(door, fitted, &text);
    Ok(replace::Asked {
        price_minor: PRICES.map(|field| door.money(field, text(field))),
        life_h: LIVES.map(|field| door.number(field, text(field), &wear::PART_LIFE)),
        labour_minor: door.money("labour", text("labour")),
        trail_minor: door.money("trail", text("trail")),
        wanted: Some(setup).filter(|setup: &Setup| *setup != fitted),
    })
}

/// The setup afterwards: a pair in one word as a command has it, else each count as a form does.
fn setup<'t>(door: &mut Door, fitted: Setup, text: &impl Fn(&str) -> Option<&'t str>) -> Setup {
    match text("pair").filter(|pair| !pair.trim().is_empty()) {
        Some(pair) => door.setup(fitted, Some(pair), text("links")),
        None => door.teeth(fitted, text("front_teeth"), text("rear_teeth"), text("links")),
    }
}

/// The coming ride.
pub(crate) fn through<'t>(door: &mut Door, text: impl Fn(&str) -> Option<&'t str>) -> through::Asked {
    through::Asked {
        hours_h: door.number("hours_h", text("hours_h"), &record::RIDE),
        mud_h: door.number("mud_h", text("mud_h"), &wear::HOURS_NEAR),
        sand_h: door.number("sand_h", text("sand_h"), &wear::HOURS_NEAR),
        slack_mm: door.number("slack_mm", text("slack_mm"), &record::SLACK),
    }
}

/// Ways in which a chain is closed.
pub(crate) const JOINTS: [&str; 3] = ["clip", "rivet", "endless"];

/// What is thought of buying; none where nothing is said yet.
///
/// # Errors
/// The sheet lacks a count of what is fitted.
pub(crate) fn buying<'t>(
    door: &mut Door,
    bike: &Bike,
    text: impl Fn(&str) -> Option<&'t str>,
) -> Result<Option<buying::Asked>, Gap> {
    let said = |field: &str| text(field).map(str::trim).filter(|text| !text.is_empty());
    let words: Vec<&str> = What::WORDS.iter().map(|(word, ..)| *word).collect();
    let Some(what) = one_of(door, "what", said("what"), &words).and_then(|word| What::of(&word)) else {
        return Ok(None);
    };
    let setup = setup(door, Setup::fitted(bike)?, &text);
    let sizes = match bike::field("size").map(|field| field.kind) {
        Some(Kind::Word(names)) => names,
        _ => &[],
    };
    let sealed = one_of(door, "sealed", said("sealed"), &["yes", "no"]);
    Ok(Some(buying::Asked {
        front_teeth: Some(setup.front_teeth),
        rear_teeth: Some(setup.rear_teeth),
        links: said("links").map(|_| setup.links),
        size: one_of(door, "size", said("size"), sizes),
        pitch_mm: door.number("pitch_mm", text("pitch_mm"), &bounds::PITCH),
        inner_width_mm: door.number("inner_width_mm", text("inner_width_mm"), &bounds::bike::INNER_WIDTH),
        sealed: sealed.map(|word| word == "yes"),
        joint: one_of(door, "joint", said("joint"), &JOINTS),
        outer_width_mm: door.number("outer_width_mm", text("outer_width_mm"), &bounds::bike::CHAIN_WIDTH),
        price_minor: PRICES.map(|field| door.money(field, text(field))),
        lead_d: lead(door, text("lead_d")),
        ..buying::Asked::of(what)
    }))
}

/// One of a few words, if one was typed.
fn one_of(door: &mut Door, field: &'static str, typed: Option<&str>, words: &[&str]) -> Option<String> {
    let typed = typed?;
    if let Some(word) = words.iter().find(|word| word.eq_ignore_ascii_case(typed)) {
        return Some((*word).to_owned());
    }
    let text = format!("{field}: \"{typed}\" is none; possible: {}.", words.join(", "));
    door.faults.push(Faulty { field, text });
    None
}

/// Days of delivery.
pub(crate) fn lead(door: &mut Door, text: Option<&str>) -> Option<u16> {
    let days = text.filter(|text| !text.trim().is_empty())?;
    door.whole("lead_d", days, &record::LEAD).and_then(|days| u16::try_from(days).ok())
}
