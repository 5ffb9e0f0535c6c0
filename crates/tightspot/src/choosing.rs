//! What is asked of the choices about parts and rides, parsed at the door: the same for a command's options and a form.

use advice::record::{replace, through};
use advice::{Gap, Setup};
use measure::bounds::{record, wear};
use upkeep::bike::Bike;

use crate::asked::{Door, fitted};

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
    let fitted = fitted(bike)?;
    let setup = match text("pair") {
        Some(pair) => door.setup(fitted, Some(pair), text("links")),
        None => door.teeth(fitted, text("front_teeth"), text("rear_teeth"), text("links")),
    };
    Ok(replace::Asked {
        price_minor: PRICES.map(|field| door.money(field, text(field))),
        life_h: LIVES.map(|field| door.number(field, text(field), &wear::PART_LIFE)),
        labour_minor: door.money("labour", text("labour")),
        trail_minor: door.money("trail", text("trail")),
        wanted: Some(setup).filter(|setup: &Setup| *setup != fitted),
    })
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

/// Days of delivery.
pub(crate) fn lead(door: &mut Door, text: Option<&str>) -> Option<u16> {
    let days = text.filter(|text| !text.trim().is_empty())?;
    door.whole("lead_d", days, &record::LEAD).and_then(|days| u16::try_from(days).ok())
}
