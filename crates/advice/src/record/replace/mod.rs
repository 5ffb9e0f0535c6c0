//! Replace together or singly: what each choice costs in the long run, for this bike's prices, lives and labour.
//!
//! How strongly a worn part wears its mates is the least known input, so three strengths are shown and where they agree.
//! What safety asks for is changed whatever it costs. Prices nobody gave are never invented: then there is no decision.

pub(crate) mod known;
mod show;

use serde::Serialize;
use serde_json::{Map, Value, json};

use super::Record;
use crate::ask::{Gap, Given, with};
use crate::fact::{Fact, Table};
use crate::money::real;
use crate::verdict::{self, Reason, Verdict};
use crate::{Setup, words};

use known::Parts;
pub use known::{AT_LIMIT, Known, OnShelf, PARTS};

/// How strongly worn sprockets wear the chain: weak, middle, strong.
pub const COUPLINGS: [(&str, f64); 3] = [("weak", 0.5), ("middle", 1.0), ("strong", 2.0)];
/// Share of a chain's price under which two choices are no real difference.
const CLOSE: f64 = 0.03;

/// What the rider says beyond the record; left out, the record or the tool's own assumption speaks.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Asked {
    /// Prices of chain, front and rear with their currency.
    pub price_minor: [Option<(i64, String)>; 3],
    /// Lives of chain, front and rear.
    pub life_h: [Option<f64>; 3],
    /// What opening the drive is worth to the rider, whatever is changed.
    pub labour_minor: Option<(i64, String)>,
    /// What being stranded is worth.
    pub trail_minor: Option<(i64, String)>,
    /// Another pair or link count that is wanted anyway.
    pub wanted: Option<Setup>,
}

/// One choice: what happens to each of the three parts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// keep, new or shelf for chain, front and rear, joined by `_`.
    pub choice: String,
    /// The same in words.
    pub words: String,
    /// Money lost in the long run by choosing it now, in minor units, for weak, middle and strong coupling.
    pub lost_minor: [f64; 3],
    /// Whether it is no real difference to the best for all three.
    pub close: bool,
}

/// What one strength of coupling says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Coupling {
    /// weak, middle or strong.
    pub word: &'static str,
    /// Extra wear of a chain on fully worn sprockets.
    pub coupling: f64,
    /// The best choice.
    pub best: String,
    /// Money per riding hour, minor units: the best policy, each part at its limit, all three whenever one is.
    pub per_h_minor: [f64; 3],
    /// What the change for the ratio throws away.
    pub change_costs_minor: f64,
    /// What the shelf is worth.
    pub shelf_worth_minor: f64,
    /// What each part that comes off is worth on the shelf; `null` stays on.
    pub off_worth_minor: [Option<f64>; 3],
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReplaceView {
    /// Ready where there is a decision, stop where safety asks for a part, unknown where something is missing.
    pub verdict: Verdict,
    /// The decision in a sentence.
    pub sentence: String,
    /// The best choice where all couplings agree.
    pub best: Option<String>,
    /// The choice whose largest loss is smallest.
    pub safest: Option<String>,
    /// What is missing, and what safety asks for.
    pub reasons: Vec<Reason>,
    /// The parts as they are.
    pub parts: Vec<Known>,
    /// Every choice that is allowed, best first.
    pub choices: Vec<Choice>,
    /// What each coupling says.
    pub by_coupling: Vec<Coupling>,
    /// The money that everything is counted in.
    pub currency: Option<String>,
    /// The figures in words.
    pub facts: Vec<Fact>,
    /// The parts as a table.
    pub part_table: Table,
    /// The choices as a table.
    pub choice_table: Table,
    /// What it rests on.
    pub notes: Vec<String>,
}

/// Answers for the parts that are fitted.
///
/// # Errors
/// The sheet lacks a count, the meter went back, or something given is impossible.
pub fn view(record: &Record<'_>, asked: &Asked) -> Result<ReplaceView, Gap> {
    answered(record, asked, false)
}

/// The decision alone: what is bought, without what it costs per hour and what comes off is worth.
///
/// # Errors
/// As [`view`].
pub(super) fn decision(record: &Record<'_>, asked: &Asked) -> Result<ReplaceView, Gap> {
    answered(record, asked, true)
}

fn answered(record: &Record<'_>, asked: &Asked, brief: bool) -> Result<ReplaceView, Gap> {
    let parts = Parts::of(record, asked)?;
    let reasons = reasons(&parts);
    let part_table = show::parts(&parts);
    let mut view = ReplaceView {
        verdict: Verdict::Unknown,
        sentence: "No decision: what is missing stands below.".to_owned(),
        best: None,
        safest: None,
        reasons,
        parts: Vec::new(),
        choices: Vec::new(),
        by_coupling: Vec::new(),
        currency: parts.currency.clone(),
        facts: Vec::new(),
        part_table,
        choice_table: show::empty(),
        notes: notes(&parts, asked),
    };
    let ranged = parts.all.iter().any(|part| part.level[0] != part.level[1]);
    if view.reasons.iter().all(|reason| reason.verdict != Verdict::Unknown) {
        let answer = record.ask_once("life.set_policy", &with(given(&parts, asked, ranged), "brief", brief))?;
        if ranged {
            over_range(&mut view, &answer, &parts);
        } else {
            decided(&mut view, &answer, &parts);
            if !brief {
                show::decided(&mut view);
            }
        }
        // What the sentence says already in a rider's words.
        let said = ["part_at_limit", "depends_on_coupling", "depends_on_level", "depends_on_level_or_coupling"];
        let notes = answer.notices.iter().filter(|notice| !said.contains(&notice.code));
        view.notes.extend(notes.map(|notice| notice.text.clone()));
    }
    verdict::worst_first(&mut view.reasons);
    view.verdict = verdict::of(&view.reasons);
    view.parts = parts.all.to_vec();
    Ok(view)
}

/// What is missing for a decision, and what safety asks for.
fn reasons(parts: &Parts) -> Vec<Reason> {
    let mut reasons = Vec::new();
    for part in &parts.all {
        if part.price_minor.is_none() {
            let text =
                format!("No price of a new {}: nothing can be weighed without it.", show::NAMES[index(part.part)]);
            reasons.push(Reason::new(Verdict::Unknown, "life.set_policy", text).cleared_by("Type its price", 1));
        }
        if let Some(why) = &part.must {
            let text = words::capital(&format!("{why}: it is changed, whatever it costs."));
            reasons.push(Reason::new(Verdict::Stop, "", text));
        }
    }
    if parts.other_currency {
        let text = "The prices are in several currencies; none is converted into another.";
        reasons.push(Reason::new(Verdict::Unknown, "", text).cleared_by("Type all prices in one currency", 2));
    }
    reasons
}

fn notes(parts: &Parts, asked: &Asked) -> Vec<String> {
    let mut notes = Vec::new();
    if asked.labour_minor.is_none() {
        notes.push("Your work counts nothing here until you say what opening the drive is worth to you.".to_owned());
    }
    if asked.trail_minor.is_none() {
        notes.push("Being stranded counts nothing here until you say what it is worth to you.".to_owned());
    }
    let assumed: Vec<String> = parts
        .all
        .iter()
        .filter(|part| part.life_because.starts_with("assumed"))
        .map(|part| format!("{} {} h", show::NAMES[index(part.part)], words::number(part.life_h, 0)))
        .collect();
    if !assumed.is_empty() {
        notes.push(format!("Lives assumed by the tool, no source: {}. Type your own.", words::list(&assumed)));
    }
    notes
}

fn index(part: &str) -> usize {
    PARTS.iter().position(|one| *one == part).unwrap_or_default()
}

fn given(parts: &Parts, asked: &Asked, ranged: bool) -> Given {
    let mut given = Given::new();
    let minor = |money: &Option<(i64, String)>| money.as_ref().map_or(0, |(minor, _)| *minor);
    for part in &parts.all {
        let name = part.part;
        given.insert(format!("{name}_life_h"), part.life_h.into());
        given.insert(format!("{name}_price_minor"), part.price_minor.unwrap_or_default().into());
        let [low, high] = if part.must.is_some() { [AT_LIMIT; 2] } else { part.level };
        if low == high {
            given.insert(format!("{name}_level"), low.into());
        } else {
            given.insert(format!("{name}_level_low"), low.into());
            given.insert(format!("{name}_level_high"), high.into());
        }
    }
    given.insert("labour_minor".to_owned(), minor(&asked.labour_minor).into());
    given.insert("trail_minor".to_owned(), minor(&asked.trail_minor).into());
    given.insert("currency".to_owned(), parts.currency.clone().unwrap_or_default().into());
    given.insert("coupling".to_owned(), COUPLINGS.map(|(_, coupling)| coupling).to_vec().into());
    let anyway = parts.all.iter().filter(|part| part.other_count).map(|part| Value::from(part.part));
    given.insert("change_anyway".to_owned(), anyway.collect());
    if !ranged {
        let shelf = parts.all.iter().filter_map(|part| {
            let lies = part.shelf.as_ref()?;
            Some(json!({ "part": part.part, "level": lies.level, "price_minor": lies.sells_minor }))
        });
        given.insert("shelf".to_owned(), shelf.collect());
    }
    given
}

/// Reads the choices of all three couplings.
fn decided(view: &mut ReplaceView, answer: &figures::Answer, parts: &Parts) {
    let rows: Vec<&Map<String, Value>> =
        answer.at("by_coupling").and_then(Value::as_array).into_iter().flatten().filter_map(Value::as_object).collect();
    view.by_coupling = COUPLINGS.iter().zip(&rows).map(|((word, coupling), row)| one(word, *coupling, row)).collect();
    let lost = |row: &Map<String, Value>, key: &str| row.get("choice")?["lost_minor"][key].as_f64();
    let keys = rows.first().and_then(|row| row.get("choice")?["lost_minor"].as_object()).into_iter().flatten();
    let chain = parts.all[0].price_minor.map_or(0.0, real);
    for (key, _) in keys {
        let each: Vec<f64> = rows.iter().filter_map(|row| lost(row, key)).collect();
        let Ok(lost_minor) = <[f64; 3]>::try_from(each) else { continue };
        let close = lost_minor.iter().all(|lost| *lost < CLOSE * chain);
        view.choices.push(Choice { choice: key.clone(), words: show::choice(key), lost_minor, close });
    }
    let most = |choice: &Choice| choice.lost_minor.into_iter().fold(0.0, f64::max);
    view.choices.sort_by(|a, b| most(a).total_cmp(&most(b)));
    view.safest = view.choices.first().map(|choice| choice.choice.clone());
    let first = view.by_coupling.first().map(|one| one.best.clone());
    view.best = first.filter(|best| view.by_coupling.iter().all(|one| one.best == *best));
}

fn one(word: &'static str, coupling: f64, row: &Map<String, Value>) -> Coupling {
    let get = |key: &str| row.get(key).and_then(Value::as_f64).unwrap_or_default();
    let choice = row.get("choice").cloned().unwrap_or_default();
    let of = |key: &str| choice[key].as_f64().unwrap_or_default();
    Coupling {
        word,
        coupling,
        best: choice["best"].as_str().unwrap_or_default().to_owned(),
        per_h_minor: ["cost_per_h_minor", "each_at_limit_per_h_minor", "all_at_limit_per_h_minor"].map(get),
        change_costs_minor: of("change_costs_minor"),
        shelf_worth_minor: of("shelf_worth_minor"),
        off_worth_minor: PARTS.map(|part| choice["off_worth_minor"][part].as_f64()),
    }
}

/// Reads what holds over the whole range of what is not known.
fn over_range(view: &mut ReplaceView, answer: &figures::Answer, parts: &Parts) {
    let range = answer.at("range").cloned().unwrap_or_default();
    let plain = |name: &Value| name.as_str().map(str::to_owned);
    view.best = answer.at("best").and_then(plain);
    view.safest = plain(&range["safest"]);
    let most = range["most_lost_minor"][view.safest.as_deref().unwrap_or_default()].as_f64();
    show::over_range(view, most, parts);
    view.choice_table = show::ends(&range["ends"]);
}
