//! `wear.next_reading`: which one measurement now is worth its minutes.

use measure::bounds::wear as bounds;
use serde_json::{Map, Value};
use upkeep::wear::{Losses, Quantity, outlook};

use super::process::{log, process};
use super::{forecast, inside, money};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "wear.next_reading",
    says: "Which measurement now lessens the expected loss, or the chance of a wrong verdict, most per minute.",
    given: &[
        Field::nested("quantities").meaning(
            "{name, mean, sd, limit} or {name, log, since_h, until_h} with the forecast's fields in log; early_minor, late_minor: what replacing too early or too late costs",
        ),
        Field::nested("options").meaning("{name, quantity, u, minutes}"),
        Field::word("by", &["money", "wrong"]).optional("money"),
        Field::number("minute_minor", &bounds::MONEY).optional("0").meaning("what a minute is worth"),
        money::CURRENCY.optional("needed with money"),
    ],
    answer: &[
        ("best", "name of the option to take; null: none is worth it"),
        ("by_option", "per option: name, wrong_after, wrong_less, chance_decided, turns_at, lost_after_minor, gain_minor, net_minor, gain_per_min"),
        ("by_quantity", "per quantity: name, mean, sd, chance_over, verdict_now (replace, keep), wrong_now, lost_now_minor"),
    ],
    formula: "sd of the posterior mean tau = c/sqrt(v0 + u^2); replace above limit + s Phi^-1(early/(early + late)); loss by two bivariate normal tails; best = most gain per minute",
    sources: &["wear-process", "wear-guesses"],
    ask,
};

const MEASURED: &[Field] = &[
    Field::text("name"),
    Field::number("mean", &bounds::QUANTITY),
    Field::number("sd", &bounds::SD),
    Field::number("limit", &bounds::QUANTITY),
    EARLY,
    LATE,
];
const LOGGED: &[Field] = &[
    Field::text("name"),
    Field::object("log", forecast::FIELDS),
    Field::number("since_h", &bounds::HOURS_NEAR).optional("0"),
    Field::number("until_h", &bounds::HOURS_NEAR).optional("0"),
    EARLY,
    LATE,
];
const EARLY: Field = Field::number("early_minor", &bounds::MONEY_SOME).optional("needed by money");
const LATE: Field = Field::number("late_minor", &bounds::MONEY_SOME).optional("needed by money");
const OPTION: &[Field] = &[
    Field::text("name"),
    Field::text("quantity"),
    Field::number("u", &bounds::SD),
    Field::number("minutes", &bounds::MINUTES),
];

/// Gain per minute below which a reading is not worth the walk.
const WORTH: f64 = 1e-9;

struct Named<'a> {
    name: &'a str,
    quantity: Quantity,
    losses: Losses,
}

struct Offer<'a> {
    name: &'a str,
    about: &'a Named<'a>,
    u: f64,
    minutes: f64,
}

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let by_money = given.opt_text("by") != Some("wrong");
    if by_money || given.has("minute_minor") || given.has("currency") {
        money::currency(given)?;
    }
    let minute = given.num_or("minute_minor", 0.0);
    let quantities = quantities(given, by_money)?;
    let offers = offers(given, &quantities)?;
    let mut best: Option<(&str, f64)> = None;
    let mut rows = Vec::with_capacity(offers.len());
    for offer in &offers {
        let (row, gain_per_min, worth) = weigh(offer, by_money, minute);
        if worth && best.is_none_or(|(_, most)| gain_per_min > most) {
            best = Some((offer.name, gain_per_min));
        }
        rows.push(row);
    }
    Ok(Answer::new()
        .json("best", best.map_or(Value::Null, |(name, _)| Value::from(name)))
        .json("by_option", rows)
        .json("by_quantity", quantities.iter().map(|named| quantity_row(named, by_money)).collect::<Vec<_>>())
        .notice_if(best.is_none(), "nothing_worth_measuring", || {
            format!("None of {} readings lessens the loss by more than its minutes cost: decide now.", offers.len())
        }))
}

fn weigh(offer: &Offer<'_>, by_money: bool, minute: f64) -> (Value, f64, bool) {
    let quantity = &offer.about.quantity;
    let plain = quantity.after_reading(offer.u, Losses::WRONG);
    let priced = quantity.after_reading(offer.u, offer.about.losses);
    let wrong_less = quantity.without_reading(Losses::WRONG).1 - plain.loss;
    let mut row = Map::new();
    row.insert("name".into(), offer.name.into());
    for (key, value) in [
        ("wrong_after", plain.loss),
        ("wrong_less", wrong_less),
        ("chance_decided", plain.chance_decided),
        ("turns_at", priced.turns_at),
    ] {
        row.insert(key.into(), value.into());
    }
    let (gain, worth) = if by_money {
        let gain = quantity.without_reading(offer.about.losses).1 - priced.loss;
        let net = gain - minute * offer.minutes;
        for (key, value) in [("lost_after_minor", priced.loss), ("gain_minor", gain), ("net_minor", net)] {
            row.insert(key.into(), value.into());
        }
        (gain, net > 0.0)
    } else {
        (wrong_less, true)
    };
    let per_min = gain / offer.minutes;
    row.insert("gain_per_min".into(), per_min.into());
    (Value::Object(row), per_min, worth && per_min > WORTH)
}

fn quantity_row(named: &Named<'_>, by_money: bool) -> Value {
    let quantity = &named.quantity;
    let (replace, loss) = quantity.without_reading(named.losses);
    let mut row = Map::new();
    row.insert("name".into(), named.name.into());
    row.insert("mean".into(), quantity.end.0.into());
    row.insert("sd".into(), quantity.end.1.sqrt().into());
    row.insert("chance_over".into(), quantity.chance_over().into());
    row.insert("verdict_now".into(), if replace { "replace" } else { "keep" }.into());
    row.insert("wrong_now".into(), quantity.without_reading(Losses::WRONG).1.into());
    if by_money {
        row.insert("lost_now_minor".into(), loss.into());
    }
    Value::Object(row)
}

fn quantities<'a>(given: &Given<'a>, by_money: bool) -> Result<Vec<Named<'a>>, Refusal> {
    const NAME: &str = "quantities";
    let list = inside::list(given, NAME)?;
    inside::some(NAME, list.len(), "quantity")?;
    let all: Vec<Named<'a>> = list.iter().map(|value| named(value, by_money)).collect::<Result<_, _>>()?;
    inside::no_name_twice(NAME, all.iter().map(|named| named.name))?;
    Ok(all)
}

fn named(value: &Value, by_money: bool) -> Result<Named<'_>, Refusal> {
    const NAME: &str = "quantities";
    let (logged, measured) = (value.get("log").is_some(), value.get("mean").is_some());
    if logged && measured {
        return Err(Refusal::new(
            NAME,
            "log_and_mean",
            format!("{NAME}: log and mean are both given. Give one of them."),
        ));
    }
    let item = inside::item(NAME, value, if logged { LOGGED } else { MEASURED })?;
    let quantity = if logged { wearing(&item) } else { constant(&item) }.map_err(|fault| inside::under(NAME, fault))?;
    Ok(Named { name: item.text("name")?, quantity, losses: losses(&item, by_money)? })
}

fn constant(item: &Given<'_>) -> Result<Quantity, Refusal> {
    Ok(Quantity::constant(item.num("mean")?, item.num("sd")?, item.num("limit")?))
}

fn wearing(item: &Given<'_>) -> Result<Quantity, Refusal> {
    let inner = item.object("log", "log.")?;
    let log = log(&inner)?;
    if log.u_common_pct != 0.0 {
        let text =
            format!("log.u_common_pct is {}; a common error is not handled here. Leave it out.", log.u_common_pct);
        return Err(Refusal::new("log.u_common_pct", "not_here", text));
    }
    let multiplier = inner.num_or("multiplier", 1.0);
    let hours = |name: &str| item.num_or(name, 0.0) * multiplier;
    let wear = outlook(&process(&inner)?, &log).wear;
    Ok(Quantity::wearing(&wear, hours("since_h"), hours("until_h"), inner.num("limit_pct")?))
}

fn losses(item: &Given<'_>, by_money: bool) -> Result<Losses, Refusal> {
    if !by_money && !item.has("early_minor") && !item.has("late_minor") {
        return Ok(Losses::WRONG);
    }
    let loss = |name: &str| item.num(name).map_err(|fault| inside::under("quantities", fault));
    Ok(Losses { early: loss("early_minor")?, late: loss("late_minor")? })
}

fn offers<'a>(given: &Given<'a>, quantities: &'a [Named<'a>]) -> Result<Vec<Offer<'a>>, Refusal> {
    const NAME: &str = "options";
    let items = inside::items(given, NAME, OPTION)?;
    inside::some(NAME, items.len(), "option")?;
    let offers: Vec<Offer<'a>> = items
        .iter()
        .map(|item| {
            let wanted = item.text("quantity")?;
            let about = quantities.iter().find(|named| named.name == wanted).ok_or_else(|| {
                let known: Vec<_> = quantities.iter().map(|named| named.name).collect();
                let text = format!("{NAME}: \"{wanted}\" is no quantity given; possible: {}.", known.join(", "));
                Refusal::new(NAME, "unknown_quantity", text)
            })?;
            Ok(Offer { name: item.text("name")?, about, u: item.num("u")?, minutes: item.num("minutes")? })
        })
        .collect::<Result<_, Refusal>>()?;
    inside::no_name_twice(NAME, offers.iter().map(|offer| offer.name))?;
    Ok(offers)
}
