//! Before buying, for programs: what is thought of, in the words of the form.

use advice::buying::{self, Asked, What};
use figures::Field;
use measure::bounds::{self, record};
use serde_json::Value;
use upkeep::bike::{self, Kind};

use super::places::{Asking, BIKE, FRONT, LINKS, REAR, told};
use super::refusal::{refused, store};
use crate::choosing::JOINTS;
use crate::serve::Fault;
use crate::shopping::Stock;

const WHAT: [&str; What::WORDS.len()] = {
    let (mut words, mut at) = ([""; What::WORDS.len()], 0);
    while at < words.len() {
        words[at] = What::WORDS[at].0;
        at += 1;
    }
    words
};
/// Prices by name, in the order of chain, front and rear.
const PRICES: [&str; 3] = ["chain_price_minor", "front_price_minor", "rear_price_minor"];

const fn price(name: &'static str) -> Field {
    Field::whole(name, &record::PRICE).optional("not known").meaning("in minor units of the currency")
}

/// What may be asked.
pub(super) const FIELDS: &[Field] = &[
    BIKE,
    Field::word("what", &WHAT),
    FRONT,
    REAR,
    LINKS,
    Field::text("size").optional("not known").meaning("the number stamped on it, such as 520"),
    Field::number("pitch_mm", &bounds::PITCH).optional("not measured").meaning("where it has no number"),
    Field::number("inner_width_mm", &bounds::bike::INNER_WIDTH).optional("not measured"),
    Field::flag("sealed").optional("not said"),
    Field::word("joint", &JOINTS).optional("not said"),
    Field::number("outer_width_mm", &bounds::bike::CHAIN_WIDTH)
        .optional("not measured")
        .meaning("over the pin ends of the connecting link"),
    price(PRICES[0]),
    price(PRICES[1]),
    price(PRICES[2]),
    Field::text("currency").optional("none").meaning("three capital letters; goes with the prices"),
    Field::whole("lead_d", &record::LEAD).optional("not known"),
];

/// The answer.
pub(super) fn view(asking: &Asking<'_>) -> Result<Value, Fault> {
    let asked = asked(asking)?;
    let stock = Stock::of(asking.garage, asking.bike, asking.now).map_err(|why| store(&why))?;
    told(buying::view(&asking.record()?, &stock.shelf, &asked))
}

fn asked(asking: &Asking<'_>) -> Result<Asked, Fault> {
    let given = &asking.given;
    let what = given.opt_text("what").and_then(What::of).unwrap_or(What::Chain);
    let text = |name: &str| given.opt_text(name).map(str::to_owned);
    let size = text("size");
    if let (Some(size), Some(Kind::Word(names))) = (&size, bike::field("size").map(|field| field.kind))
        && !names.contains(&size.as_str())
    {
        let known = format!("size is \"{size}\"; possible: {}.", names.join(", "));
        return Err(refused("size", "no_such_word", &known));
    }
    Ok(Asked {
        front_teeth: given.opt_whole("front_teeth"),
        rear_teeth: given.opt_whole("rear_teeth"),
        links: given.opt_whole("links"),
        size,
        pitch_mm: given.opt("pitch_mm"),
        inner_width_mm: given.opt("inner_width_mm"),
        sealed: given.has("sealed").then(|| given.flag_or("sealed", false)),
        joint: text("joint"),
        outer_width_mm: given.opt("outer_width_mm"),
        price_minor: prices(asking)?,
        lead_d: given.opt_whole("lead_d").and_then(|days| u16::try_from(days).ok()),
        ..Asked::of(what)
    })
}

fn prices(asking: &Asking<'_>) -> Result<[Option<(i64, String)>; 3], Fault> {
    let minor = PRICES.map(|name| asking.given.opt_whole(name));
    let currency = asking.given.opt_text("currency");
    match currency {
        None if minor.iter().any(Option::is_some) => {
            Err(refused("currency", "missing", "currency: a price needs one, such as EUR."))
        }
        Some(code) if upkeep::money::Currency::of(code).is_none() => {
            let text = format!("currency is \"{code}\"; three capital letters are wanted, such as EUR.");
            Err(refused("currency", "not_possible", &text))
        }
        _ => Ok(minor.map(|minor| Some((i64::from(minor?), currency?.to_owned())))),
    }
}
