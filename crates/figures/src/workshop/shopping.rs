//! `job.shopping`: what to buy for an order, what it may cost, and when it can be there.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value, json};
use upkeep::job::{Consumable, Day, Demand, Kit, Line, MightNeed, day, days_later, demand};

use super::asked::{Asked, CHOICES, JOBS, LIBRARY, refused};
use super::json::is_exact;
use super::prices::{Chance, Price, chances, prices, stock};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "job.shopping",
    says: "Parts and consumables of an order, what they may cost and when they can be there.",
    given: &[
        JOBS,
        CHOICES,
        Field::word("kit", &["minimal", "full"]).meaning("minimal leaves out what a job can do without"),
        Field::nested("stock").optional("nothing").meaning("object, role to whole number"),
        Field::nested("prices").optional("none").meaning("list of role, low_minor, high_minor, currency, lead_d"),
        Field::nested("chances").optional("none").meaning("list of hold, low_pct, high_pct: the rider's own estimate"),
        Field::text("today").optional("no ready_date").meaning("YYYY-MM-DD"),
        LIBRARY,
    ],
    answer: &[
        ("lines", "role, qty, to_buy, optional, for: one line for each role, largest quantity of any job"),
        ("consumables", "role, for"),
        ("might_need", "parts that a failed stop point would bring: role, qty, to_buy, hold, job, chances, lead_d"),
        ("totals", "currency to low_minor and high_minor, over what is to buy; never two currencies in one sum"),
        ("unpriced", "roles to buy without price"),
        ("at_least", "whether something to buy has no price"),
        ("lead_d", "longest delivery known; 0 if none"),
        ("lead_unknown", "roles to buy without delivery time"),
        ("ready_date", "with today: today and lead_d"),
    ],
    formula: "quantity of a role = the most that one job or opened state asks for; total = Σ to_buy × price, whole minor units",
    sources: &["job-library", "iso-4217"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let asked = Asked::of(given)?;
    let kit = if given.text("kit")? == "full" { Kit::Full } else { Kit::Minimal };
    let (stock, prices, chances) = (stock(given)?, prices(given)?, chances(given)?);
    let today = given.opt_text("today").map(today).transpose()?;
    let demand = demand(&asked.library, &asked.jobs, &asked.choices, kit).map_err(|fault| refused(&fault))?;
    let roles: BTreeSet<_> =
        demand.lines.iter().map(|line| line.role).chain(demand.might_need.iter().map(|might| might.role)).collect();
    known("prices", "unknown_role", prices.keys().copied(), &roles)?;
    known("chances", "unknown_hold", chances.keys().copied(), &demand.holds)?;
    let list = List { stock, prices, chances };
    list.answer(&demand, today)
}

fn today(text: &str) -> Result<Day, Refusal> {
    day(text).ok_or_else(|| {
        Refusal::new("today", "no_such_date", format!("today is \"{text}\", which is no day. Give it as 2026-03-02."))
    })
}

fn known<'v>(
    field: &'static str,
    code: &'static str,
    names: impl Iterator<Item = &'v str>,
    all: &BTreeSet<&str>,
) -> Result<(), Refusal> {
    let mut names = names;
    names.find(|name| !all.contains(name)).map_or(Ok(()), |name| {
        let possible: Vec<_> = all.iter().copied().collect();
        Err(Refusal::new(
            field,
            code,
            format!("{field}: \"{name}\" is not part of this order. Possible: {}.", possible.join(", ")),
        ))
    })
}

struct List<'v> {
    stock: BTreeMap<&'v str, u32>,
    prices: BTreeMap<&'v str, Price<'v>>,
    chances: BTreeMap<&'v str, Chance>,
}

impl List<'_> {
    fn answer(&self, demand: &Demand<'_>, today: Option<Day>) -> Result<Answer, Refusal> {
        let to_buy: Vec<_> = demand.lines.iter().filter(|line| self.to_buy(line.role, line.qty) > 0).collect();
        let price = |line: &&&Line<'_>| self.prices.get(line.role);
        let unpriced: Vec<_> = to_buy.iter().filter(|line| price(line).is_none()).map(|line| line.role).collect();
        let unknown = |line: &&&Line<'_>| price(line).is_none_or(|price| price.lead_d.is_none());
        let lead_unknown: Vec<_> = to_buy.iter().filter(unknown).map(|line| line.role).collect();
        let lead_d = to_buy.iter().filter_map(|line| self.prices.get(line.role)?.lead_d).max().unwrap_or(0);
        let totals = self.totals(&to_buy)?;
        let at_least = format!("{} lines without price: the totals are at least this.", unpriced.len());
        let later = format!("Delivery time unknown: {}.", lead_unknown.join(", "));
        let answer = Answer::new()
            .json("lines", demand.lines.iter().map(|line| self.line(line)).collect::<Vec<_>>())
            .json("consumables", demand.consumables.iter().map(consumable).collect::<Vec<_>>())
            .json("might_need", demand.might_need.iter().map(|might| self.might(might)).collect::<Vec<_>>())
            .json("totals", totals)
            .flag("at_least", !unpriced.is_empty())
            .notice_if(!unpriced.is_empty(), "at_least", || at_least)
            .json("unpriced", unpriced)
            .json("lead_d", lead_d)
            .notice_if(!lead_unknown.is_empty(), "lead_unknown", || later)
            .json("lead_unknown", lead_unknown);
        let Some(today) = today else { return Ok(answer) };
        let ready = days_later(today, lead_d).ok_or_else(|| {
            Refusal::new("prices", "too_long", format!("prices: lead_d of {lead_d} days runs past the calendar."))
        })?;
        Ok(answer.text("ready_date", ready.to_string()))
    }

    fn to_buy(&self, role: &str, qty: u32) -> u32 {
        qty.saturating_sub(self.stock.get(role).copied().unwrap_or(0))
    }

    fn totals(&self, to_buy: &[&Line<'_>]) -> Result<Value, Refusal> {
        let mut totals: BTreeMap<&str, [u64; 2]> = BTreeMap::new();
        for line in to_buy {
            let Some(price) = self.prices.get(line.role) else { continue };
            let count = u64::from(self.to_buy(line.role, line.qty));
            let total = totals.entry(price.currency.code()).or_default();
            for (total, each) in total.iter_mut().zip([price.low_minor, price.high_minor]) {
                let sum = each.checked_mul(count).and_then(|more| total.checked_add(more));
                *total = sum.filter(|sum| is_exact(*sum)).ok_or_else(|| {
                    Refusal::new("prices", "too_large", "prices: a total is beyond what can be kept exactly.")
                })?;
            }
        }
        let words = totals
            .into_iter()
            .map(|(code, [low, high])| (code.to_owned(), json!({"low_minor": low, "high_minor": high})));
        Ok(Value::Object(words.collect()))
    }

    fn line(&self, line: &Line<'_>) -> Value {
        json!({"role": line.role, "qty": line.qty, "to_buy": self.to_buy(line.role, line.qty),
            "optional": line.optional, "for": line.jobs})
    }

    fn might(&self, might: &MightNeed<'_>) -> Value {
        let mut words = Map::new();
        words.insert("role".to_owned(), Value::from(might.role));
        words.insert("qty".to_owned(), Value::from(might.qty));
        words.insert("to_buy".to_owned(), Value::from(self.to_buy(might.role, might.qty)));
        words.insert("hold".to_owned(), Value::from(might.hold));
        if let Some(job) = might.job {
            words.insert("job".to_owned(), Value::from(job));
        }
        if let Some(chance) = self.chances.get(might.hold) {
            words.insert("chance_low_pct".to_owned(), chance.low_pct.clone());
            words.insert("chance_high_pct".to_owned(), chance.high_pct.clone());
        }
        if let Some(lead_d) = self.prices.get(might.role).and_then(|price| price.lead_d) {
            words.insert("lead_d".to_owned(), Value::from(lead_d));
        }
        Value::Object(words)
    }
}

fn consumable(consumable: &Consumable<'_>) -> Value {
    json!({"role": consumable.role, "for": consumable.jobs})
}
