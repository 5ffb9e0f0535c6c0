//! The first day of a bike bought used: its hours known as a range, one reading; an honest range, and what narrows it.

use serde::Serialize;
use serde_json::Value;

use super::elongation::{self, ElongationView};
use super::forecast::words;
use super::{Record, given};
use crate::ask::{Gap, Given, ask, with};
use crate::block::Block;
use crate::fact::{Cell, Column, Fact, Table};
use crate::verdict::{self, Reason, Verdict};
use crate::words::{number, pct};

/// Hours within which a seller who kept a log knows them. The tool's own.
const KNOWN_WITHIN_H: f64 = 10.0;

/// What the first day says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FirstDayView {
    /// Ready only where the range is narrow enough to plan by.
    pub verdict: Verdict,
    /// The answer in a sentence.
    pub sentence: String,
    /// Why.
    pub reasons: Vec<Reason>,
    /// Hours left: low, middle, high; `null`: no bound.
    pub left_h: [Option<f64>; 3],
    /// The chance that the chain is past its limit already.
    pub chance_over: Option<f64>,
    /// The figures in words.
    pub facts: Vec<Fact>,
    /// What would narrow the range, the most first.
    pub narrows: Table,
    /// Notices of the figure.
    pub notes: Vec<String>,
}

/// Answers for a chain that has between `low_h` and `high_h` hours, by the last length reading of the record.
///
/// # Errors
/// The range is none, or no chain within it reads so.
pub fn view(record: &Record<'_>, low_h: f64, high_h: f64) -> Result<FirstDayView, Gap> {
    let last = elongation::of_this_chain(record).last().copied();
    let Some((entry, reading)) = last else { return Ok(unread(low_h, high_h)) };
    let read = elongation::view(record.bike, reading)?;
    if read.bad {
        return Ok(FirstDayView { reasons: read.reasons.clone(), verdict: read.verdict, ..unread(low_h, high_h) });
    }
    let asked = asked(&read, low_h, high_h);
    let answer = ask("wear.first_day", &asked)?;
    let left_h = left(&answer);
    let mut reasons: Vec<Reason> = read.reasons.clone();
    reasons.push(judged(&answer, left_h, low_h, high_h));
    verdict::worst_first(&mut reasons);
    let sentence = format!(
        "Between {} and {} h on it, {} ± {} % read {}: {} left to {} %.",
        number(low_h, 0),
        number(high_h, 0),
        number(read.worst_pct, 2),
        number(read.worst_u95_pct, 2),
        record.age(entry.at),
        words(left_h).trim_end_matches(','),
        number(read.limit.limit_pct, 1)
    );
    Ok(FirstDayView {
        verdict: verdict::of(&reasons),
        sentence,
        reasons,
        chance_over: answer.get("chance_over"),
        facts: facts(&answer, left_h, (low_h, high_h)),
        narrows: narrows(&asked, &read, (low_h, high_h), left_h),
        notes: answer.notices.iter().map(|notice| notice.text.clone()).collect(),
        left_h,
    })
}

fn asked(read: &ElongationView, low_h: f64, high_h: f64) -> Given {
    given([
        ("elongation_pct", Value::from(read.worst_pct)),
        ("limit_pct", Value::from(read.limit.limit_pct)),
        ("hours_low_h", Value::from(low_h)),
        ("hours_high_h", Value::from(high_h)),
        ("u_pct", Value::from(read.worst_u_pct)),
    ])
}

fn left(answer: &figures::Answer) -> [Option<f64>; 3] {
    ["left_low_h", "left_median_h", "left_high_h"].map(|key| answer.get(key))
}

/// Without a reading nobody can say more than the range itself.
fn unread(low_h: f64, high_h: f64) -> FirstDayView {
    let text = format!(
        "Between {} and {} h on this chain, and its length was never read: what is left is not known.",
        number(low_h, 0),
        number(high_h, 0)
    );
    let reason = Reason::new(Verdict::Unknown, "", text.clone()).cleared_by("Measure 20 pitches at 3 places", 5);
    FirstDayView {
        verdict: Verdict::Unknown,
        sentence: text,
        reasons: vec![reason],
        left_h: [None; 3],
        chance_over: None,
        facts: Vec::new(),
        narrows: narrowing(),
        notes: Vec::new(),
    }
}

fn judged(answer: &figures::Answer, left_h: [Option<f64>; 3], low_h: f64, high_h: f64) -> Reason {
    let range = words(left_h).trim_end_matches(',').to_owned();
    let hours = format!("{} to {} h", number(low_h, 0), number(high_h, 0));
    match answer.at("verdict").and_then(Value::as_str) {
        Some("over") => Reason::new(
            Verdict::Stop,
            "wear.first_day",
            format!("With {hours} on it this chain is past its limit whatever its hours are."),
        )
        .cleared_by("Change chain and what has worn with it", 180),
        Some("known") => Reason::new(
            Verdict::Ready,
            "wear.first_day",
            format!("With {hours} on it {range} are left: narrow enough to plan by."),
        ),
        _ => Reason::new(
            Verdict::Unknown,
            "wear.first_day",
            format!("With {hours} on it {range} are left: too wide to plan by."),
        )
        .cleared_by("Ride some hours and measure again", 5),
    }
}

fn facts(answer: &figures::Answer, left_h: [Option<f64>; 3], (low_h, high_h): (f64, f64)) -> Vec<Fact> {
    let get = |key: &str| answer.get(key);
    let range = words(left_h).trim_end_matches(',').to_owned();
    let ends = [("if_low_median_h", low_h), ("if_high_median_h", high_h)].map(|(key, hours)| {
        let left = get(key).map_or_else(|| "no bound".to_owned(), |left| format!("{} h", number(left, 0)));
        format!("{left} if it has {} h", number(hours, 0))
    });
    let over = get("chance_over").unwrap_or_default();
    vec![
        Fact { value: left_h[1], ..Fact::unknown("left_median_h", "Hours left", range) }
            .because(format!("{}; {}", ends[0], ends[1]))
            .sure("9 of 10, if wear goes on as the tool assumes it")
            .unless("the chain's true hours; a second reading after some rides")
            .says("wear.first_day"),
        Fact::new("chance_over", "Chance that it is past its limit now", pct(100.0 * over), over)
            .because("one reading with its error, and how chains of such hours wear")
            .sure("the wear of your ground is not in it yet")
            .says("wear.first_day"),
    ]
}

/// The same question with one thing known better: what the range would then be.
fn narrows(asked: &Given, read: &ElongationView, (low_h, high_h): (f64, f64), left_h: [Option<f64>; 3]) -> Table {
    let middle = f64::midpoint(low_h, high_h);
    let half = (KNOWN_WITHIN_H / 2.0).min((high_h - low_h) / 2.0);
    let known = with(with(asked.clone(), "hours_low_h", middle - half), "hours_high_h", middle + half);
    let sharper = with(asked.clone(), "u_pct", read.worst_u_pct / 2.0);
    let both = with(known.clone(), "u_pct", read.worst_u_pct / 2.0);
    let mut table = narrowing();
    let mut row = |what: String, minutes: &str, left: [Option<f64>; 3]| {
        table.rows.push(vec![
            Cell::words(what),
            Cell::words(minutes),
            Cell::words(words(left).trim_end_matches(',').to_owned()),
        ]);
    };
    row("As known now".to_owned(), "–", left_h);
    let cases = [
        (format!("The seller's log: hours within {}, here {}", number(2.0 * half, 0), number(middle, 0)), "5", known),
        ("Twice the pitches, so half the error".to_owned(), "5", sharper),
        ("Both".to_owned(), "10", both),
    ];
    for (what, minutes, asked) in cases {
        if let Ok(answer) = ask("wear.first_day", &asked) {
            row(what, minutes, left(&answer));
        }
    }
    table
}

fn narrowing() -> Table {
    let columns = vec![
        Column::words("what", "What to find out"),
        Column::words("minutes", "Minutes"),
        Column::words("left", "Hours left would then be"),
    ];
    Table::new("narrows", "What would narrow it, the reading being as it is", columns)
}

impl FirstDayView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        vec![
            Block::Heading("What is this chain worth?"),
            Block::Verdict(self.verdict, self.verdict.words(), self.sentence.clone()),
            Block::Reasons(&self.reasons),
            Block::Facts(&self.facts),
            Block::Table(&self.narrows),
            Block::List(self.notes.clone()),
        ]
    }
}
