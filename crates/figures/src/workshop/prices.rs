//! What the rider says beside an order: stock, prices with delivery, chances of a failed stop point.

use std::collections::BTreeMap;

use serde_json::Value;
use upkeep::money::Currency;

use super::json::{Part, wrong};
use super::money::currency;
use crate::given::as_whole;
use crate::{Given, Refusal};

/// What a part may cost, and how long it takes to come.
pub(super) struct Price<'v> {
    pub(super) role: &'v str,
    pub(super) low_minor: u64,
    pub(super) high_minor: u64,
    pub(super) currency: Currency,
    pub(super) lead_d: Option<u32>,
}

/// The rider's own estimate that a stop point fails, as typed.
pub(super) struct Chance {
    pub(super) low_pct: Value,
    pub(super) high_pct: Value,
}

/// What is on the shelf, by role.
pub(super) fn stock<'v>(given: &Given<'v>) -> Result<BTreeMap<&'v str, u32>, Refusal> {
    let Some(value) = given.raw("stock") else { return Ok(BTreeMap::new()) };
    let members = value.as_object().ok_or_else(|| wrong("stock", "stock", value, "an object"))?;
    members
        .iter()
        .map(|(role, count)| match as_whole(count) {
            Some(count) => Ok((role.as_str(), count)),
            None if count.as_f64().is_some_and(|count| count < 0.0) => Err(Refusal::new(
                "stock",
                "negative",
                format!("stock: {role} is {count}; 0 or more is possible. Count what is on the shelf."),
            )),
            None => Err(wrong("stock", &format!("stock: {role}"), count, "a whole number of 0 or more")),
        })
        .collect()
}

/// Prices by role.
pub(super) fn prices<'v>(given: &Given<'v>) -> Result<BTreeMap<&'v str, Price<'v>>, Refusal> {
    keyed(given, "prices", &["role", "low_minor", "high_minor", "currency", "lead_d"], |part| {
        let price = Price {
            role: part.text("role")?,
            low_minor: part.amount("low_minor")?,
            high_minor: part.amount("high_minor")?,
            currency: currency("prices", part.text("currency")?)?,
            lead_d: part.opt_whole("lead_d")?,
        };
        if price.high_minor < price.low_minor {
            let why = format!("low_minor {} is above high_minor {}.", price.low_minor, price.high_minor);
            return Err(part.refuse("low_above_high", &why));
        }
        Ok((price.role, price))
    })
}

/// Chances by stop point.
pub(super) fn chances<'v>(given: &Given<'v>) -> Result<BTreeMap<&'v str, Chance>, Refusal> {
    keyed(given, "chances", &["hold", "low_pct", "high_pct"], |part| {
        let (low, high) = (part.number("low_pct")?, part.number("high_pct")?);
        if low > high {
            return Err(part.refuse("low_above_high", &format!("low_pct {low} is above high_pct {high}.")));
        }
        if low < 0.0 || high > 100.0 {
            return Err(part.refuse("out_of_range", &format!("{low} to {high} is given; 0 to 100 % is possible.")));
        }
        Ok((part.text("hold")?, Chance { low_pct: part.raw("low_pct"), high_pct: part.raw("high_pct") }))
    })
}

/// The objects of a list by the name that each one carries, each name once.
fn keyed<'v, T>(
    given: &Given<'v>,
    field: &'static str,
    known: &[&str],
    read: impl Fn(&Part<'v>) -> Result<(&'v str, T), Refusal>,
) -> Result<BTreeMap<&'v str, T>, Refusal> {
    let mut all = BTreeMap::new();
    let Some(value) = given.raw(field) else { return Ok(all) };
    let items = value.as_array().ok_or_else(|| wrong(field, field, value, "a list"))?;
    for (number, item) in (1..).zip(items) {
        let part = Part::of(field, format!("{field} {number}"), item, known)?;
        let (name, one) = read(&part)?;
        if all.insert(name, one).is_some() {
            return Err(part.refuse("twice", &format!("\"{name}\" is given twice. Give it once.")));
        }
    }
    Ok(all)
}
