//! Have I got it, and what to buy by when: the parts of a plan against the shelf, with price, delivery and last day to order.
//!
//! `job.shopping` counts, adds up and dates; this room words it, one line a role. Prices, delivery times and chances are
//! the rider's own; what nobody said stays not known.
//!
//! Layout: `laid` the tables · `said` what is missing, what it costs, when it is there · here the question and the parts.

mod laid;
mod said;

use jiff::civil::Date;
use serde::Serialize;
use serde_json::{Map, Value, json};
use upkeep::bike::Bike;
use upkeep::due::order_by;
use upkeep::job::{Kit, Line, demand, shipped};
use upkeep::supply::{Event, Item, Shelf, Supply};

use crate::Block;
use crate::ask::{Gap, Given, ask, with};
use crate::fact::{Fact, Table};
use crate::money;
use crate::plan::{self, PlanView, Wish};
use crate::setup::Setup;
use crate::verdict::Reason;

/// What a list is made for.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// What lies on the shelf.
    pub shelf: &'a Shelf,
    /// Today.
    pub today: Date,
    /// The day by which the parts must be there.
    pub needed: Option<Date>,
    /// The open work order that it is for, if it is.
    pub order: Option<i64>,
}

/// One part of the work.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Part {
    /// What it is on any bike.
    pub role: String,
    /// What it must be.
    pub spec: String,
    /// How many the work takes.
    pub qty: u64,
    /// How many lie there; none where nobody said.
    pub have: Option<u32>,
    /// How many are on their way.
    pub ordered: u32,
    /// Whether the work may turn out to do without it.
    pub optional: bool,
    /// How many are to buy.
    pub to_buy: u64,
    /// Have, on its way, missing, not counted.
    pub state: &'static str,
    /// The last day to order.
    pub order_by: Option<String>,
}

/// What could be needed once the bike is open.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct InCase {
    /// The stop point that would bring it.
    pub hold: String,
    /// The part.
    pub role: String,
    /// How many.
    pub qty: u64,
}

/// The whole answer to "have I got it?".
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartsView {
    /// What the work is, and by when its parts must be there.
    pub title: String,
    /// The parts.
    pub parts: Vec<Part>,
    /// The parts as a table.
    pub table: Table,
    /// What to know: what is missing, what comes too late, what is past its day.
    pub reasons: Vec<Reason>,
    /// Totals, delivery, ready date.
    pub facts: Vec<Fact>,
    /// What could be needed.
    pub in_case: Vec<InCase>,
    /// The same as a table.
    pub in_case_table: Table,
    /// Consumables against the shelf.
    pub consumables: Table,
    /// What lies there beside this work.
    pub shelf: Table,
    /// Tools by letter.
    pub tools: Vec<String>,
}

/// The parts of a wish against the shelf.
///
/// # Errors
/// It cannot be planned, or its jobs make no list.
pub fn of_wish(bike: &Bike, setup: Setup, wish: &Wish, asked: Asked<'_>) -> Result<PartsView, Gap> {
    view(&plan::to_gather(bike, setup, wish)?, asked)
}

/// The parts of a plan against the shelf.
///
/// # Errors
/// The plan's jobs make no list.
pub fn view(plan: &PlanView, asked: Asked<'_>) -> Result<PartsView, Gap> {
    let answer = ask("job.shopping", &given(plan, asked))?;
    let lines = answer.at("lines").and_then(Value::as_array).cloned().unwrap_or_default();
    let parts: Vec<Part> = lines.iter().map(|line| part(plan, asked, line)).collect();
    let in_case = in_case(&answer);
    Ok(PartsView {
        title: title(plan, asked),
        table: laid::table(&parts, asked),
        reasons: said::reasons(plan, &parts, asked),
        facts: said::facts(&answer, &parts),
        in_case_table: laid::in_case(&in_case, asked),
        in_case,
        consumables: laid::consumables(plan, asked),
        shelf: laid::beside(plan, &parts, asked),
        tools: plan.tools.clone(),
        parts,
    })
}

fn title(plan: &PlanView, asked: Asked<'_>) -> String {
    let order = asked.order.map_or_else(String::new, |order| format!("Work order {order}. "));
    let by = match asked.needed {
        Some(day) => format!("The parts must be there by {day}."),
        None => "No day is set for the work; without one there is no last day to order.".to_owned(),
    };
    format!("{order}{}. {by}", plan.title())
}

/// What the figure is asked: jobs, answers, and what the rider said of each role that it can meet.
fn given(plan: &PlanView, asked: Asked<'_>) -> Given {
    let jobs: Vec<&str> = plan.jobs.iter().map(|(id, _)| id.as_str()).collect();
    let choices: Map<String, Value> = plan.answers.iter().map(|(key, value)| (key.clone(), json!(value))).collect();
    let bare = with(with(with(Given::new(), "jobs", jobs.clone()), "choices", choices), "kit", "full");
    // A price of a role that the list does not have is refused: first see which ones it has.
    let answers: Vec<(&str, &str)> = plan.answers.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
    let Ok(seen) = demand(shipped().library(), &jobs, &answers, Kit::Full) else { return bare };
    let mut stock = Map::new();
    let (mut prices, mut chances) = (Vec::new(), Vec::new());
    let count = |line: &Line<'_>| (u64::from(line.qty), needed(plan, line.role, line.qty.into()));
    for line in &seen.lines {
        let (library, sheet) = count(line);
        let there = there(asked.shelf, line.role).saturating_add(library).saturating_sub(sheet);
        stock.insert(line.role.to_owned(), json!(there));
    }
    for (role, item) in asked.shelf.items() {
        if seen.might_need.iter().any(|might| might.role == role) && !stock.contains_key(role) {
            stock.insert(role.to_owned(), json!(there(asked.shelf, role)));
        }
        // A line that the sheet makes longer than the library counts is not priced in full: then rather not at all.
        let longer = seen.lines.iter().any(|line| {
            let (library, sheet) = count(line);
            line.role == role && there(asked.shelf, role).saturating_add(library) < sheet
        });
        if let Some(price) = priced(role, item).filter(|_| stock.contains_key(role) && !longer) {
            prices.push(price);
        }
        if let Some((low, high)) = item.chance_pct.filter(|_| seen.might_need.iter().any(|might| might.hold == role)) {
            chances.push(json!({"hold": role, "low_pct": low, "high_pct": high}));
        }
    }
    let given = with(with(with(bare, "stock", stock), "prices", prices), "chances", chances);
    with(given, "today", asked.today.to_string())
}

fn text(row: &Value, key: &str) -> String {
    row.get(key).and_then(Value::as_str).unwrap_or_default().to_owned()
}

fn qty(line: &Value) -> u64 {
    line.get("qty").and_then(Value::as_u64).unwrap_or_default()
}

/// How many the work takes: the sheet's own count where it has one, else the library's.
fn needed(plan: &PlanView, role: &str, library: u64) -> u64 {
    plan.quantity(role).unwrap_or(library)
}

/// On the shelf or on its way.
fn there(shelf: &Shelf, role: &str) -> u64 {
    shelf.item(role).map_or(0, |item| u64::from(item.qty.unwrap_or_default()) + u64::from(item.ordered))
}

fn priced(role: &str, item: &Item) -> Option<Value> {
    let (low, high, currency) = item.price.as_ref()?;
    let mut price = json!({"role": role, "low_minor": low, "high_minor": high, "currency": currency});
    if let (Some(days), Some(price)) = (item.lead_d, price.as_object_mut()) {
        price.insert("lead_d".to_owned(), json!(days));
    }
    Some(price)
}

fn part(plan: &PlanView, asked: Asked<'_>, line: &Value) -> Part {
    let role = text(line, "role");
    let item = asked.shelf.item(&role);
    let have = item.and_then(|item| item.qty);
    let ordered = item.map_or(0, |item| item.ordered);
    let qty = needed(plan, &role, qty(line));
    let to_buy = qty.saturating_sub(there(asked.shelf, &role));
    let optional = line.get("optional").and_then(Value::as_bool).unwrap_or_default();
    let state = match (to_buy, have) {
        (0, Some(have)) if u64::from(have) >= qty => "have",
        (0, _) => "on its way",
        (_, None) if ordered == 0 => "not counted",
        _ => "missing",
    };
    let last = asked.needed.zip(item.and_then(|item| item.lead_d)).and_then(|(needed, lead)| order_by(needed, lead));
    Part {
        spec: plan.spec(&role),
        optional,
        order_by: last.filter(|_| to_buy > 0).map(|day| day.to_string()),
        role,
        qty,
        have,
        ordered,
        to_buy,
        state,
    }
}

fn in_case(answer: &figures::Answer) -> Vec<InCase> {
    let rows = answer.at("might_need").and_then(Value::as_array).cloned().unwrap_or_default();
    rows.iter()
        .map(|row| InCase {
            hold: text(row, "hold"),
            role: text(row, "role"),
            qty: row.get("qty").and_then(Value::as_u64).unwrap_or(1),
        })
        .collect()
}

/// One fact of the shelf, in a line.
#[must_use]
pub fn told(fact: &Supply) -> String {
    let what = match fact.event() {
        Event::Put(qty) => format!("{qty} put on the shelf"),
        Event::Taken(qty) => format!("{qty} taken from it"),
        Event::Counted(qty) => format!("{qty} counted on the shelf"),
        Event::Ordered(qty) => format!("{qty} ordered"),
        Event::Received(qty) => format!("{qty} came"),
        Event::Price(low, high, code) => format!("{} each", money::range(*low, *high, code)),
        Event::Lead(days) => format!("{} of delivery", crate::words::count(usize::from(*days), "day")),
        Event::UseBy(day) => format!("use by {day}"),
        Event::Chance(low, high) => format!("your own chance {low} to {high} %"),
    };
    format!("{}: {what}", fact.role())
}

/// What stands of one role, in a line.
#[must_use]
pub fn standing(item: &Item) -> String {
    let mut said = vec![item.qty.map_or_else(|| "not counted".to_owned(), |qty| format!("{qty} on the shelf"))];
    if item.ordered > 0 {
        let on = item.ordered_on.map_or_else(String::new, |day| format!(" on {day}"));
        said.push(format!("{} ordered{on}", item.ordered));
    }
    if let Some((low, high, code)) = &item.price {
        said.push(format!("{} each", money::range(*low, *high, code)));
    }
    said.extend(item.lead_d.map(|days| format!("{} of delivery", crate::words::count(usize::from(days), "day"))));
    said.extend(item.use_by.map(|day| format!("use by {day}")));
    said.extend(item.chance_pct.map(|(low, high)| format!("your own chance {low} to {high} %")));
    said.join(", ")
}

impl PartsView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let mut blocks = vec![
            Block::Heading("Have I got it?"),
            Block::Text(self.title.clone()),
            Block::Reasons(&self.reasons),
            Block::Facts(&self.facts),
            Block::Table(&self.table),
            Block::List(self.parts.iter().map(|part| format!("{}: {}", part.role, part.spec)).collect()),
        ];
        if !self.consumables.rows.is_empty() {
            blocks.push(Block::Table(&self.consumables));
        }
        if !self.in_case.is_empty() {
            blocks.push(Block::Table(&self.in_case_table));
        }
        if !self.shelf.rows.is_empty() {
            blocks.push(Block::Table(&self.shelf));
        }
        blocks.push(Block::Text(format!("Tools: {}.", self.tools.join("; "))));
        blocks
    }
}

#[cfg(test)]
mod tests;
