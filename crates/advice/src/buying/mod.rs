//! Before buying: whether it fits this bike, what else must be changed with it, what an hour of it costs.
//!
//! The axle's place is that of the fit, sizes are matched by `chain.match`, what goes with it is the plan's parts list
//! and the decision about the set; nothing is booked here. What is not known stands in the way of a yes.
//!
//! Layout: `size` pitch and inner width · `width` the outer width against guide and case · `along` what goes with
//! it · `worth` money by hour · here the question and the answer.

mod along;
mod size;
mod width;
mod worth;

use jiff::civil::Date;
use serde::Serialize;
use upkeep::bike::{Bike, Change, Value};
use upkeep::due::order_by;
use upkeep::supply::Shelf;

use crate::ask::Gap;
use crate::fact::{Fact, Table};
use crate::fit::{self, FitView};
use crate::record::Record;
use crate::verdict::{self, Reason, Verdict};
use crate::{Block, Setup};

/// What is thought of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum What {
    /// A chain.
    Chain,
    /// A front sprocket.
    Front,
    /// A rear sprocket.
    Rear,
    /// Both sprockets.
    Sprockets,
    /// Chain and both sprockets.
    Set,
}

impl What {
    /// Every one with its word and what a person reads.
    pub const WORDS: [(&'static str, &'static str, Self); 5] = [
        ("chain", "a chain", Self::Chain),
        ("front", "a front sprocket", Self::Front),
        ("rear", "a rear sprocket", Self::Rear),
        ("sprockets", "both sprockets", Self::Sprockets),
        ("set", "chain and both sprockets", Self::Set),
    ];

    /// The one of a word.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        Self::WORDS.iter().find(|(known, ..)| *known == word).map(|(.., what)| *what)
    }

    /// As a person reads it.
    #[must_use]
    pub fn words(self) -> &'static str {
        Self::WORDS.iter().find(|(.., what)| *what == self).map_or("", |(_, words, _)| words)
    }

    /// Whether chain, front and rear are bought.
    #[must_use]
    pub const fn buys(self) -> [bool; 3] {
        [
            matches!(self, Self::Chain | Self::Set),
            matches!(self, Self::Front | Self::Sprockets | Self::Set),
            matches!(self, Self::Rear | Self::Sprockets | Self::Set),
        ]
    }

    /// The jobs that fit it.
    const fn jobs(self) -> &'static [&'static str] {
        match self {
            Self::Chain => &["chain-cut-join"],
            Self::Front => &["front-sprocket-only"],
            Self::Rear => &["rear-sprocket-only"],
            Self::Sprockets => &["front-sprocket-only", "rear-sprocket-only"],
            Self::Set => &["final-drive-set"],
        }
    }
}

/// What the rider says of it; left out, it is not known, and for the counts as fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// What is thought of.
    pub what: What,
    /// Teeth of the front sprocket afterwards.
    pub front_teeth: Option<u32>,
    /// Teeth of the rear sprocket afterwards.
    pub rear_teeth: Option<u32>,
    /// Links of the chain afterwards, before any is cut off.
    pub links: Option<u32>,
    /// The number stamped on it.
    pub size: Option<String>,
    /// Pitch by caliper, where it has no number.
    pub pitch_mm: Option<f64>,
    /// Inner width by caliper, where it has no number.
    pub inner_width_mm: Option<f64>,
    /// Whether the chain has seal rings.
    pub sealed: Option<bool>,
    /// How it is closed: clip, rivet, endless.
    pub joint: Option<String>,
    /// Over the pin ends of the connecting link, the widest place.
    pub outer_width_mm: Option<f64>,
    /// Prices of chain, front and rear.
    pub price_minor: [Option<(i64, String)>; 3],
    /// Days of delivery.
    pub lead_d: Option<u16>,
}

impl Asked {
    /// Nothing said yet but what it is.
    #[must_use]
    pub const fn of(what: What) -> Self {
        Self {
            what,
            front_teeth: None,
            rear_teeth: None,
            links: None,
            size: None,
            pitch_mm: None,
            inner_width_mm: None,
            sealed: None,
            joint: None,
            outer_width_mm: None,
            price_minor: [const { None }; 3],
            lead_d: None,
        }
    }
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BuyView {
    /// What is thought of.
    pub what: What,
    /// What is fitted.
    pub fitted: Setup,
    /// What would be fitted.
    pub setup: Setup,
    /// Whether it fits.
    pub verdict: Verdict,
    /// The same in a sentence.
    pub sentence: String,
    /// Why, worst first.
    pub reasons: Vec<Reason>,
    /// Which link counts the pair takes; empty where the slot is not known.
    pub chain: String,
    /// Axle, clearances, growth, the last day to order.
    pub facts: Vec<Fact>,
    /// What else must be had or changed with it.
    pub along: Table,
    /// Money for each hour, against what ran before.
    pub worth: Table,
    /// What it rests on.
    pub notes: Vec<String>,
}

/// Answers for what a rider thinks of buying.
///
/// # Errors
/// The sheet does not say what is fitted, or something given is impossible.
pub fn view(record: &Record<'_>, shelf: &Shelf, asked: &Asked) -> Result<BuyView, Gap> {
    let bike = record.bike;
    let fitted = Setup::fitted(bike)?;
    let setup = setup(bike, fitted, asked);
    let mut reasons = Vec::new();
    let fit = match fit::view(bike, setup) {
        Ok(view) => Some(view),
        Err(gap) if gap.missing => {
            reasons.push(not_measured(&gap));
            None
        }
        Err(wrong) => return Err(wrong),
    };
    reasons.extend(fit.iter().flat_map(|fit| fit.place.reasons.iter().cloned()));
    reasons.extend(size::reasons(bike, asked)?);
    let (tight, mut facts) = width::judged(bike, asked);
    reasons.extend(tight);
    let mut all: Vec<Fact> = fit.iter().flat_map(|fit| fit.facts.iter().take(4).cloned()).collect();
    all.append(&mut facts);
    all.extend(size::growth(bike, fitted, setup));
    let along = along::of(record, shelf, asked, (fitted, setup), &as_bought(bike, asked)?)?;
    reasons.extend(along.reasons);
    let (late, by) = ordered(record, asked);
    reasons.extend(late);
    all.extend(by);
    verdict::worst_first(&mut reasons);
    let verdict = verdict::of(&reasons);
    Ok(BuyView {
        what: asked.what,
        fitted,
        setup,
        verdict,
        sentence: sentence(asked, fitted, setup, fit.as_ref()),
        reasons,
        chain: fit.map(|fit| fit.chain).unwrap_or_default(),
        facts: all,
        along: along.table,
        worth: worth::table(record, asked)?,
        notes: notes(asked),
    })
}

/// What would be fitted: counts that were not said stay; a chain without a count gets the one that fits.
fn setup(bike: &Bike, fitted: Setup, asked: &Asked) -> Setup {
    let pair =
        fitted.pair(asked.front_teeth.unwrap_or(fitted.front_teeth), asked.rear_teeth.unwrap_or(fitted.rear_teeth));
    let kept = !asked.what.buys()[0];
    let links =
        asked.links.unwrap_or_else(|| if kept { fitted.links } else { count_for(bike, pair.with_links(fitted.links)) });
    pair.with_links(links)
}

/// The link count for a pair: the one given where it fits well, else the first that does, else the first that reaches.
fn count_for(bike: &Bike, setup: Setup) -> u32 {
    let Ok(slot) = fit::Slot::of(bike) else { return setup.links };
    let fits = slot.even_links(setup).unwrap_or_default();
    let well = |links: &&u32| slot.place(setup.with_links(**links)).is_ok_and(|place| place.verdict == Verdict::Ready);
    let all = fits.iter().filter(|links| **links == setup.links).chain(&fits);
    all.clone().find(well).or_else(|| all.clone().next()).copied().unwrap_or(setup.links)
}

/// The sheet as it would be with what is bought.
///
/// # Errors
/// A word that the sheet does not take.
fn as_bought(bike: &Bike, asked: &Asked) -> Result<Bike, Gap> {
    let mut bought = bike.clone();
    if !asked.what.buys()[0] {
        return Ok(bought);
    }
    let said = [("sealed", asked.sealed.map(Value::Flag)), ("joint", asked.joint.clone().map(Value::Word))];
    let put = |(field, value): (&str, Option<Value>)| {
        Some(Change { field: field.to_owned(), value: Some(value?), source: None })
    };
    let changes: Vec<Change> = said.into_iter().filter_map(put).collect();
    let refused = |faults: Vec<upkeep::bike::Fault>| {
        let first = faults.into_iter().next();
        let (field, text) = first.map(|fault| (fault.field, fault.text)).unwrap_or_default();
        Gap { figure: "", field, missing: false, text, how_to: String::new() }
    };
    bought.change(&changes).map_err(refused)?;
    Ok(bought)
}

fn not_measured(gap: &Gap) -> Reason {
    let how = if gap.how_to.is_empty() { "Measure the slot".to_owned() } else { gap.how_to.clone() };
    Reason::new(Verdict::Unknown, gap.figure, format!("Where the axle would land is not known. {}", gap.text))
        .cleared_at("bike", how, 2)
}

fn sentence(asked: &Asked, fitted: Setup, setup: Setup, fit: Option<&FitView>) -> String {
    let what = asked.what.words();
    let change = if setup == fitted { format!("{setup}, as fitted") } else { format!("{fitted} → {setup}") };
    let count = match (asked.what.buys()[0], asked.links, fit) {
        (true, None, Some(_)) => format!(" Order {} links.", setup.links),
        _ => String::new(),
    };
    format!("{}{}: {change}.{count}", what[..1].to_uppercase(), &what[1..])
}

/// The last day to order, and whether it is past.
fn ordered(record: &Record<'_>, asked: &Asked) -> (Option<Reason>, Option<Fact>) {
    let needed = record.log.next_planned(record.now).map(|entry| entry.at.date());
    let Some((needed, lead)) = needed.zip(asked.lead_d) else { return (None, None) };
    let Some(last): Option<Date> = order_by(needed, lead) else { return (None, None) };
    let today = record.now.date();
    let late = (last < today).then(|| {
        let text = format!(
            "By post it comes too late for {needed}: {last} was the last day to order. Borrow, fetch it, or fit it afterwards."
        );
        Reason::new(Verdict::Care, "", text)
    });
    let fact = Fact::unknown("order_by", "Order by", last.to_string())
        .because(format!(
            "{} of delivery before the next planned ride on {needed}",
            crate::words::count(usize::from(lead), "day")
        ))
        .sure("your own delivery time");
    (late, Some(fact))
}

fn notes(asked: &Asked) -> Vec<String> {
    let mut notes = vec!["Nothing is noted by asking: say that it is ordered once it is, and that it came.".to_owned()];
    if !asked.what.buys()[0] {
        notes.push("The figures are those of a new chain; the worn one that is fitted stands further back.".to_owned());
    }
    if asked.what.buys()[0] && asked.sealed == Some(true) {
        notes.push("A sealed chain is cleaned without petrol, brake cleaner or a jet at its rings.".to_owned());
    }
    notes
}

impl BuyView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let mut blocks = vec![
            Block::Heading("Before buying"),
            Block::Verdict(self.verdict, self.verdict.fit_words(), self.sentence.clone()),
            Block::Reasons(&self.reasons),
        ];
        if !self.chain.is_empty() {
            blocks.push(Block::Text(self.chain.clone()));
        }
        if !self.along.rows.is_empty() {
            blocks.push(Block::Table(&self.along));
        }
        blocks.push(Block::Facts(&self.facts));
        if !self.worth.rows.is_empty() {
            blocks.push(Block::Table(&self.worth));
        }
        blocks.push(Block::List(self.notes.clone()));
        blocks
    }
}
