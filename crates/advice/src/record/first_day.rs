//! The first day of a bike bought used: its hours known as a range, one reading; an honest range, and what narrows it.

use serde::Serialize;
use serde_json::Value;
use upkeep::record::{ElongationReading, Entry, Role};

use super::elongation::{self, ElongationView};
use super::forecast::words;
use super::next::coming_h;
use super::used::{self, End, Span, between};
use super::{Record, given};
use crate::ask::{Gap, Given, ask, with};
use crate::block::Block;
use crate::fact::{Cell, Column, Fact, Table};
use crate::verdict::{self, Reason, Verdict};
use crate::words::{number, pct};

/// Hours within which a seller who kept a log knows them. The tool's own.
const KNOWN_WITHIN_H: f64 = 10.0;

/// The figure behind it.
const FIGURE: &str = "wear.first_day";

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
    /// The range as it is kept, where it is.
    pub kept: Option<Span>,
}

/// A range of hours at a reading, and how it is told.
struct Asked<'s> {
    /// Hours of the chain when its length was read.
    hours: [f64; 2],
    /// Hours ridden since that reading.
    since_h: f64,
    /// The range as it is kept.
    kept: Option<&'s Span>,
}

impl Asked<'_> {
    /// The range in words, as of now.
    fn words(&self) -> String {
        self.kept.map_or_else(|| between(self.hours), Span::words)
    }
}

/// Answers for a chain that has between `low_h` and `high_h` hours, by the last length reading of the record.
///
/// # Errors
/// The range is none, or no chain within it reads so.
pub fn view(record: &Record<'_>, low_h: f64, high_h: f64) -> Result<FirstDayView, Gap> {
    let asked = Asked { hours: [low_h, high_h], since_h: 0.0, kept: None };
    match elongation::of_this_chain(record).last() {
        Some(last) => before_ride(record, &asked.words(), answered(record, *last, &asked)?),
        None => Ok(unread(&asked)),
    }
}

/// Answers for the range that is kept; `None` where none stands for this chain.
///
/// # Errors
/// As [`view`].
pub fn stored(record: &Record<'_>) -> Result<Option<FirstDayView>, Gap> {
    let Some(view) = alone(record)? else { return Ok(None) };
    let hours = view.kept.as_ref().map_or_else(String::new, Span::words);
    before_ride(record, &hours, view).map(Some)
}

/// The answer for the range that is kept, whatever is ridden next.
pub(crate) fn alone(record: &Record<'_>) -> Result<Option<FirstDayView>, Gap> {
    let Some(span) = used::of(record, Role::Chain)? else { return Ok(None) };
    let Some((entry, reading)) = elongation::of_this_chain(record).last().copied() else {
        return Ok(Some(unread(&Asked { hours: span.now_h, since_h: 0.0, kept: Some(&span) })));
    };
    let since_h = record.since_h(entry.at).unwrap_or_default();
    let asked = Asked { hours: span.at(record, entry.at)?, since_h, kept: Some(&span) };
    answered(record, (entry, reading), &asked).map(Some)
}

/// The same with the next ride, said as it is where the ride is decided, so that the two never seem to disagree.
fn before_ride(record: &Record<'_>, hours: &str, mut view: FirstDayView) -> Result<FirstDayView, Gap> {
    if view.chance_over.is_none() {
        return Ok(view);
    }
    if outlived(record)? {
        view.notes.push("The chain's own readings say more by now: other places go by them, not by this range.".into());
        return Ok(view);
    }
    let ride = for_ride(record, hours, view.left_h, false);
    if view.reasons.iter().all(|reason| reason.text != ride.text) {
        view.reasons.push(ride);
        verdict::worst_first(&mut view.reasons);
        view.verdict = verdict::of(&view.reasons);
    }
    Ok(view)
}

/// What the kept range makes of the next ride: its worst end decides. `None` where the chain's own readings speak
/// without it, or where its length was never read rightly.
pub(crate) fn of_ride(record: &Record<'_>) -> Result<Option<Reason>, Gap> {
    let Some(view) = alone(record)?.filter(|view| view.chance_over.is_some()) else { return Ok(None) };
    if outlived(record)? {
        return Ok(None);
    }
    let hours = view.kept.as_ref().map_or_else(String::new, |span| format!("{} ({})", span.words(), span.because()));
    let too_wide = view.reasons.iter().any(|reason| reason.verdict == Verdict::Unknown && reason.figure == FIGURE);
    Ok(Some(for_ride(record, &hours, view.left_h, too_wide)))
}

/// Whether the chain's own readings have come to say more than any range.
fn outlived(record: &Record<'_>) -> Result<bool, Gap> {
    Ok(record.forecast()?.verdict == Verdict::Ready)
}

/// The worst end of what is left, against the next ride; what is too wide to plan by says so there, too.
fn for_ride(record: &Record<'_>, hours: &str, left_h: [Option<f64>; 3], too_wide: bool) -> Reason {
    let range = words(left_h);
    let (least, ride) = (left_h[0].unwrap_or_default(), coming_h(record));
    let act = "Ask the seller for the hours, or measure again after some rides";
    if left_h[2].is_some_and(|most| most <= 0.0) {
        let text = format!("With {hours} on it this chain is past its limit whatever its hours are.");
        Reason::new(Verdict::Stop, FIGURE, text).cleared_by("Change chain and what has worn with it", 180)
    } else if least <= ride {
        let text = format!(
            "With {hours} on it this chain has {range} left: at the worst end {} h, the ride takes {} h.",
            number(least, 0),
            number(ride, 1)
        );
        Reason::new(Verdict::Care, FIGURE, text).cleared_at("drive/first-day", act, 5)
    } else {
        let wide = if too_wide { "too wide to plan by, yet " } else { "" };
        let text =
            format!("With {hours} on it this chain has {range} left, 9 of 10: {wide}the worst end outlasts the ride.");
        Reason::new(Verdict::Ready, FIGURE, text).cleared_at("drive/first-day", act, 5)
    }
}

fn answered(
    record: &Record<'_>,
    (entry, reading): (&Entry, &ElongationReading),
    about: &Asked<'_>,
) -> Result<FirstDayView, Gap> {
    let read = elongation::view(record.bike, reading)?;
    if read.bad {
        return Ok(FirstDayView { reasons: read.reasons.clone(), verdict: read.verdict, ..unread(about) });
    }
    let asked = asked(&read, about.hours);
    let answer = ask(FIGURE, &asked)?;
    let left_h = left(&answer, about.since_h);
    let mut reasons: Vec<Reason> = read.reasons.clone();
    reasons.push(judged(&answer, left_h, about));
    verdict::worst_first(&mut reasons);
    let sentence = format!(
        "{} on it, {} ± {} % read {}: {} left to {} %.",
        about.words(),
        number(read.worst_pct, 2),
        number(read.worst_u95_pct, 2),
        record.age(entry.at),
        words(left_h),
        number(read.limit.limit_pct, 1)
    );
    Ok(FirstDayView {
        verdict: verdict::of(&reasons),
        sentence,
        reasons,
        chance_over: answer.get("chance_over"),
        facts: facts(&answer, left_h, about),
        narrows: narrows(&asked, &read, about, left_h),
        notes: answer.notices.iter().map(|notice| notice.text.clone()).collect(),
        left_h,
        kept: about.kept.cloned(),
    })
}

fn asked(read: &ElongationView, [low_h, high_h]: [f64; 2]) -> Given {
    given([
        ("elongation_pct", Value::from(read.worst_pct)),
        ("limit_pct", Value::from(read.limit.limit_pct)),
        ("hours_low_h", Value::from(low_h)),
        ("hours_high_h", Value::from(high_h)),
        ("u_pct", Value::from(read.worst_u_pct)),
    ])
}

/// Hours left now: those at the reading less what was ridden since.
fn left(answer: &figures::Answer, since_h: f64) -> [Option<f64>; 3] {
    ["left_low_h", "left_median_h", "left_high_h"].map(|key| answer.get(key).map(|left| (left - since_h).max(0.0)))
}

/// Without a reading nobody can say more than the range itself.
fn unread(about: &Asked<'_>) -> FirstDayView {
    let hours = about.words();
    let said = about.kept.map_or_else(String::new, |span| format!(" ({})", span.because()));
    let text = format!("{hours} on this chain{said}, and its length was never read: what is left is not known.");
    let reason = Reason::new(Verdict::Unknown, "", text.clone()).cleared_at(
        "drive/measure/elongation",
        "Measure 20 pitches at 3 places",
        5,
    );
    FirstDayView {
        verdict: Verdict::Unknown,
        sentence: text,
        reasons: vec![reason],
        left_h: [None; 3],
        chance_over: None,
        facts: Vec::new(),
        narrows: narrowing(),
        notes: Vec::new(),
        kept: about.kept.cloned(),
    }
}

fn judged(answer: &figures::Answer, left_h: [Option<f64>; 3], about: &Asked<'_>) -> Reason {
    let range = words(left_h);
    let hours = about.words();
    match answer.at("verdict").and_then(Value::as_str) {
        Some("over") => Reason::new(
            Verdict::Stop,
            FIGURE,
            format!("With {hours} on it this chain is past its limit whatever its hours are."),
        )
        .cleared_by("Change chain and what has worn with it", 180),
        Some("known") => Reason::new(
            Verdict::Ready,
            FIGURE,
            format!("With {hours} on it {range} are left: narrow enough to plan by."),
        ),
        _ => {
            Reason::new(Verdict::Unknown, FIGURE, format!("With {hours} on it {range} are left: too wide to plan by."))
                .cleared_by("Ride some hours and measure again", 5)
        }
    }
}

fn facts(answer: &figures::Answer, left_h: [Option<f64>; 3], about: &Asked<'_>) -> Vec<Fact> {
    let get = |key: &str| answer.get(key);
    let range = words(left_h).trim_end_matches(',').to_owned();
    let now = about.kept.map_or(about.hours, |span| span.now_h);
    let ends = [("if_low_median_h", End::Low), ("if_high_median_h", End::High)].map(|(key, end)| {
        let left = get(key).map(|left| (left - about.since_h).max(0.0));
        let left = left.map_or_else(|| "no bound".to_owned(), |left| format!("{} h", number(left, 0)));
        format!("{left} if it has {} h", number(used::pick(now, end), 0))
    });
    let over = get("chance_over").unwrap_or_default();
    let mut facts = vec![
        Fact { value: left_h[1], ..Fact::unknown("left_median_h", "Hours left", range) }
            .because(format!("{}; {}", ends[0], ends[1]))
            .sure("9 of 10, if wear goes on as the tool assumes it")
            .unless("the chain's true hours; a second reading after some rides")
            .says(FIGURE),
        Fact::new("chance_over", "Chance that it is past its limit now", pct(100.0 * over), over)
            .because("one reading with its error, and how chains of such hours wear")
            .sure("the wear of your ground is not in it yet")
            .says(FIGURE),
    ];
    facts.extend(about.kept.map(|span| span.fact("chain_hours_h", "Hours of this chain")));
    facts
}

/// The same question with one thing known better: what the range would then be.
fn narrows(asked: &Given, read: &ElongationView, about: &Asked<'_>, left_h: [Option<f64>; 3]) -> Table {
    let [low_h, high_h] = about.hours;
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
        if let Ok(answer) = ask(FIGURE, &asked) {
            row(what, minutes, left(&answer, about.since_h));
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
