//! Ride it or miss it: the chance that chain and slack last through the coming hours and mud, and what raises it most.

use serde::Serialize;
use serde_json::{Value, json};

use super::elongation::Limit;
use super::{Record, forecast};
use crate::Setup;
use crate::ask::{Gap, Given, ask, from_sheet, with};
use crate::block::Block;
use crate::fact::{Cell, Column, Fact, Table};
use crate::fit::{GEOMETRY, need};
use crate::ready;
use crate::slack as set;
use crate::verdict::{Reason, Verdict};
use crate::words::{mm, number};

/// How much faster each ground wears than hard, dry ground, and how sure that is. The tool's own guesses, no source.
const GROUNDS: [(&str, f64, f64); 3] = [("hard", 1.0, 0.1), ("sand", 1.6, 0.3), ("mud", 2.5, 0.3)];
/// How sure is sure.
const SURE: f64 = 0.95;

/// The coming ride; left out, the next one that is planned, on hard ground.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Asked {
    /// Hours in all.
    pub hours_h: Option<f64>,
    /// Hours of them in mud.
    pub mud_h: Option<f64>,
    /// Hours of them in sand.
    pub sand_h: Option<f64>,
    /// Slack now, free kind at mid lower run on the stand; left out, the reading that still holds.
    pub slack_mm: Option<f64>,
}

/// One act, and what the chance is after it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Act {
    /// What is done.
    pub act: String,
    /// About how long it takes.
    pub minutes_min: u32,
    /// The chance after it.
    pub chance: f64,
    /// How much that is more than now.
    pub raises: f64,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ThroughView {
    /// Ready where it lasts surely, stop where it surely does not, care between; unknown without log or slack.
    pub verdict: Verdict,
    /// The answer in a sentence.
    pub sentence: String,
    /// Why.
    pub reasons: Vec<Reason>,
    /// Hours of the ride.
    pub hours_h: f64,
    /// Hours of it in sand and mud.
    pub sand_mud_h: [f64; 2],
    /// Chance that the chain stays within its limit.
    pub chance_limit: f64,
    /// Chance that the slack stays within its margin; `null` without a reading that holds.
    pub chance_slack: Option<f64>,
    /// Chance of both.
    pub chance_both: f64,
    /// Hours of the same mix that last surely; `null`: more than ten times the plan.
    pub sure_h: Option<f64>,
    /// Acts, the one that raises the chance most first.
    pub acts: Vec<Act>,
    /// The figures in words.
    pub facts: Vec<Fact>,
    /// The acts as a table.
    pub act_table: Table,
    /// What it rests on.
    pub notes: Vec<String>,
}

/// The plan as the figure takes it.
#[derive(Debug, Clone, Copy)]
struct Plan {
    /// Hours on hard ground, sand and mud.
    hours: [f64; 3],
    /// Slack now and at most.
    slack: Option<[f64; 2]>,
}

/// Answers for the coming ride.
///
/// # Errors
/// No hours are known, sand and mud are more than all, the sheet lacks a field, or the meter went back.
pub fn view(record: &Record<'_>, asked: &Asked) -> Result<ThroughView, Gap> {
    let hours = hours(record, asked)?;
    let base = base(record)?;
    let mut reasons = Vec::new();
    let now = asked.slack_mm.or_else(|| ready::view(record).slack_mm);
    let margin = now.map(|slack_mm| margin(record, slack_mm)).transpose()?;
    reasons.extend(margin.as_ref().map(|margin| tight(record, margin)).transpose()?.into_iter().flatten());
    let (slack, loose) = match &margin {
        Some(margin) if margin.now_mm <= margin.most_mm => (Some([margin.now_mm, margin.most_mm]), false),
        Some(_) => (None, true),
        None => {
            let text = "No slack reading that still holds: whether the slack lasts is not known.";
            reasons.push(Reason::new(Verdict::Unknown, "", text).cleared_by("Measure slack", 3));
            (None, false)
        }
    };
    let plan = Plan { hours, slack };
    let answer = through(record, &base, plan)?;
    let get = |key: &str| answer.get(key).unwrap_or_default();
    let chance_both = if loose { 0.0 } else { get("chance_both") };
    let from_log = answer.at("basis").and_then(Value::as_str) == Some("log");
    if !from_log {
        let text = "The log does not speak yet (3 readings over 15 h): the chance is the tool's own assumption.";
        reasons.push(Reason::new(Verdict::Unknown, "wear.last_through", text).cleared_by("Measure the chain", 5));
    }
    if let Some(margin) = margin.as_ref().filter(|_| loose) {
        let text =
            format!("Slack is {} now, looser than {} ({}).", mm(margin.now_mm), mm(margin.most_mm), margin.whose);
        reasons.push(Reason::new(Verdict::Care, "", text).cleared_by("Set the slack", 10));
    }
    reasons.push(chance_reason(chance_both, hours));
    let acts = acts(record, &base, plan, margin.as_ref(), chance_both)?;
    crate::verdict::worst_first(&mut reasons);
    let verdict = crate::verdict::of(&reasons);
    let chance_slack = if loose { Some(0.0) } else { answer.get("chance_slack") };
    Ok(ThroughView {
        verdict,
        sentence: sentence(chance_both, hours, &acts),
        hours_h: hours.iter().sum(),
        sand_mud_h: [hours[1], hours[2]],
        chance_limit: get("chance_limit"),
        chance_slack,
        chance_both,
        sure_h: answer.get("sure_h").filter(|_| !loose),
        facts: facts(&answer, record, chance_slack, loose),
        act_table: table(&acts),
        acts,
        notes: notes(&answer, hours),
        reasons,
    })
}

/// Hours on hard ground, sand and mud.
fn hours(record: &Record<'_>, asked: &Asked) -> Result<[f64; 3], Gap> {
    let gap = |text: &str| Gap {
        figure: "wear.last_through",
        field: "hours_h".to_owned(),
        missing: false,
        text: text.to_owned(),
        how_to: String::new(),
    };
    let all = asked.hours_h.or_else(|| record.planned_h());
    let all = all.ok_or_else(|| gap("hours: no ride is planned with its hours. Say how many hours it will be."))?;
    let (mud, sand) = (asked.mud_h.unwrap_or_default(), asked.sand_h.unwrap_or_default());
    if mud + sand > all {
        return Err(gap("hours: sand and mud are more than the hours in all. Give all hours of the ride."));
    }
    Ok([all - mud - sand, sand, mud])
}

/// What the log says of the chain.
fn base(record: &Record<'_>) -> Result<Given, Gap> {
    let points = forecast::points(record)?;
    let limit = Limit::of(record.bike).limit_pct;
    let now = forecast::chain_hours(record)?;
    let since = points.last().zip(now).map_or(0.0, |(last, now)| (now - last.hours_h).max(0.0));
    Ok(with(forecast::log(&points, limit), "since_h", since))
}

/// The slack now, how far it may grow, and who says so.
struct Margin {
    now_mm: f64,
    most_mm: f64,
    least_mm: f64,
    whose: String,
}

fn margin(record: &Record<'_>, now_mm: f64) -> Result<Margin, Gap> {
    let band = set::band(record.bike, Setup::fitted(record.bike)?)?;
    let [least_mm, most_mm] = band.from_to_mm;
    Ok(Margin { now_mm, most_mm, least_mm, whose: band.whose })
}

/// What speaks against slack that is tighter than its band: wear lengthens the chain, but not before the first jump.
fn tight(record: &Record<'_>, margin: &Margin) -> Result<Vec<Reason>, Gap> {
    if margin.now_mm >= margin.least_mm {
        return Ok(Vec::new());
    }
    let read = set::Read { slack_mm: Some(margin.now_mm), ..set::Read::default() };
    let mut reasons = set::judged(record.bike, Setup::fitted(record.bike)?, read)?;
    reasons.retain(|reason| reason.verdict > Verdict::Ready);
    Ok(reasons)
}

fn through(record: &Record<'_>, base: &Given, plan: Plan) -> Result<figures::Answer, Gap> {
    let legs = GROUNDS.iter().zip(plan.hours).filter(|(_, hours)| *hours > 0.0).map(
        |((_, multiplier, spread), hours)| json!({ "hours_h": hours, "multiplier": multiplier, "spread": spread }),
    );
    let mut given = with(with(base.clone(), "legs", legs.collect::<Vec<_>>()), "sure", SURE);
    if let Some([now, most]) = plan.slack {
        let setup = Setup::fitted(record.bike)?;
        let stand =
            with(setup.give_pair(from_sheet(record.bike, &GEOMETRY)), "arm_angle_deg", need(record.bike, "droop_deg")?);
        let span = ask("slack.taut_loop", &stand)?.get("span_mm").unwrap_or_default();
        given = with(with(given, "slack_mm", now), "slack_most_mm", most);
        given = with(with(given, "span_mm", span), "links", setup.links);
        given.extend(from_sheet(record.bike, &["pitch_mm"]));
    }
    ask("wear.last_through", &given)
}

fn chance_reason(chance: f64, hours: [f64; 3]) -> Reason {
    let verdict = if chance >= SURE {
        Verdict::Ready
    } else if chance <= 1.0 - SURE {
        Verdict::Stop
    } else {
        Verdict::Care
    };
    let text = format!("Chain and slack hold through {} with {} %.", words(hours), number(100.0 * chance, 0));
    Reason::new(verdict, "wear.last_through", text)
}

/// What could be done about it, best first.
fn acts(record: &Record<'_>, base: &Given, plan: Plan, margin: Option<&Margin>, now: f64) -> Result<Vec<Act>, Gap> {
    let mut offers: Vec<(String, u32, Plan)> = Vec::new();
    if let Some(margin) = margin {
        let tight = Plan { slack: Some([margin.least_mm, margin.most_mm]), ..plan };
        offers.push((format!("Set the slack to {}, the tight end of its band", mm(margin.least_mm)), 10, tight));
    }
    let [hard, sand, mud] = plan.hours;
    let kept = |hours| Plan { hours, ..plan };
    if mud > 0.0 {
        offers.push(("Keep out of the mud, the same hours".to_owned(), 0, kept([hard + mud, sand, 0.0])));
    }
    if sand > 0.0 {
        offers.push(("Keep out of the sand, the same hours".to_owned(), 0, kept([hard + sand, 0.0, mud])));
    }
    offers.push(("Turn back after half of it".to_owned(), 0, kept(plan.hours.map(|hours| hours / 2.0))));
    // Slack that is too loose already stays so whatever is ridden: only setting it helps.
    let loose = margin.is_some_and(|margin| margin.now_mm > margin.most_mm);
    let mut acts = Vec::new();
    for (act, minutes_min, after) in offers {
        let sets = after.slack != plan.slack;
        let chance =
            if loose && !sets { now } else { through(record, base, after)?.get("chance_both").unwrap_or_default() };
        acts.push(Act { act, minutes_min, chance, raises: chance - now });
    }
    acts.sort_by(|a, b| b.raises.total_cmp(&a.raises));
    Ok(acts)
}

fn sentence(chance: f64, hours: [f64; 3], acts: &[Act]) -> String {
    let lead = format!("{} % that chain and slack last through {}.", number(100.0 * chance, 0), words(hours));
    match acts.first().filter(|act| act.raises >= 0.005) {
        Some(act) => format!("{lead} {} makes it {} %.", act.act, number(100.0 * act.chance, 0)),
        None => format!("{lead} Nothing quick raises it."),
    }
}

/// The hours of a ride with its sand and mud.
fn words([hard, sand, mud]: [f64; 3]) -> String {
    let part = |hours: f64, what: &str| {
        if hours > 0.0 { format!(", {} h of them {what}", number(hours, 1)) } else { String::new() }
    };
    format!("{} h{}{}", number(hard + sand + mud, 1), part(sand, "sand"), part(mud, "mud"))
}

fn facts(answer: &figures::Answer, record: &Record<'_>, chance_slack: Option<f64>, loose: bool) -> Vec<Fact> {
    let get = |key: &str| answer.get(key).unwrap_or_default();
    let percent = |chance: f64| format!("{} %", number(100.0 * chance, 0));
    let limit = Limit::of(record.bike);
    let chain = Fact::new(
        "chance_limit",
        "The chain stays within its limit",
        percent(get("chance_limit")),
        get("chance_limit"),
    )
    .because(format!(
        "{} % now, {} ± {} % at the end, limit {} %",
        number(get("now_pct"), 2),
        number(get("end_pct"), 2),
        number(get("end_sd_pct"), 2),
        number(limit.limit_pct, 1)
    ))
    .says("wear.last_through");
    let slack = match chance_slack {
        Some(chance) => {
            let fact = Fact::new("chance_slack", "The slack stays within its band", percent(chance), chance);
            let because = if loose {
                "it is looser than its band already".to_owned()
            } else {
                format!("it ends at {} on the mean", mm(get("slack_end_mm")))
            };
            fact.because(because).says("wear.last_through")
        }
        None => Fact::unknown("chance_slack", "The slack stays within its band", "not known: measure slack"),
    };
    let sure = match answer.get("sure_h").filter(|_| !loose) {
        Some(hours) => Fact::new("sure_h", "Lasts surely", format!("{} h of such riding", number(hours, 1)), hours),
        None if loose => Fact::unknown("sure_h", "Lasts surely", "no hours before the slack is set"),
        None => Fact::unknown("sure_h", "Lasts surely", "more than ten times the plan"),
    };
    vec![chain, slack, sure.because("19 of 20").says("wear.last_through")]
}

fn table(acts: &[Act]) -> Table {
    let columns = vec![
        Column::words("act", "What"),
        Column::numbers("minutes_min", "Min"),
        Column::numbers("chance_pct", "Then, %"),
        Column::numbers("raises_pct", "More"),
    ];
    let mut table = Table::new("acts", "What raises the chance most", columns);
    table.rows.extend(acts.iter().map(|act| {
        vec![
            Cell::words(act.act.clone()),
            Cell::number(f64::from(act.minutes_min), 0),
            Cell::number(100.0 * act.chance, 0),
            Cell::signed(100.0 * act.raises, 0),
        ]
    }));
    table
}

fn notes(answer: &figures::Answer, hours: [f64; 3]) -> Vec<String> {
    let mut notes: Vec<String> = answer.notices.iter().map(|notice| notice.text.clone()).collect();
    if hours[1] + hours[2] > 0.0 {
        let each: Vec<String> =
            GROUNDS[1..].iter().map(|(word, times, _)| format!("{word} {} times", number(*times, 1))).collect();
        notes.push(format!("Wear against hard, dry ground is the tool's guess, no source: {}.", each.join(", ")));
    }
    notes
}

impl ThroughView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        vec![
            Block::Heading("Ride it or miss it?"),
            Block::Verdict(self.verdict, self.verdict.words(), self.sentence.clone()),
            Block::Reasons(&self.reasons),
            Block::Table(&self.act_table),
            Block::Facts(&self.facts),
            Block::List(self.notes.clone()),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::super::given;
    use super::*;

    #[test]
    fn a_chance_decides_at_either_end_of_how_sure_is_sure() {
        let verdict = |chance: f64| chance_reason(chance, [4.0, 0.0, 0.0]).verdict;
        assert_eq!(
            [0.0, 1.0 - SURE, 0.051, 0.5, 0.949, SURE, 1.0].map(verdict),
            [Verdict::Stop, Verdict::Stop, Verdict::Care, Verdict::Care, Verdict::Care, Verdict::Ready, Verdict::Ready]
        );
    }

    #[test]
    fn an_act_is_named_where_it_raises_the_chance_by_half_a_point() {
        let said = |raises: f64| {
            let act = Act { act: "Do it".into(), minutes_min: 3, chance: 0.5 + raises, raises };
            sentence(0.5, [4.0, 0.0, 0.0], &[act])
        };
        let lead = "50 % that chain and slack last through 4.0 h.";
        assert_eq!(said(0.004), format!("{lead} Nothing quick raises it."));
        assert!(said(0.005).starts_with(&format!("{lead} Do it makes it ")));
        assert_eq!(said(0.25), format!("{lead} Do it makes it 75 %."));
        assert_eq!(sentence(0.5, [4.0, 0.0, 0.0], &[]), format!("{lead} Nothing quick raises it."));
        assert_eq!(words([1.0, 2.0, 3.5]), "6.5 h, 2.0 h of them sand, 3.5 h of them mud");
        assert_eq!(words([1.0, 0.0, 3.0]), "4.0 h, 3.0 h of them mud");
    }

    #[test]
    fn guesses_of_the_ground_are_owned_to_only_where_they_count() {
        let answer = figures::ask(
            "wear.last_through",
            &given([
                ("hours_h", Value::from(Vec::<f64>::new())),
                ("elongation_pct", Value::from(Vec::<f64>::new())),
                ("limit_pct", Value::from(1.0)),
                ("legs", json!([{ "hours_h": 4 }])),
            ]),
            &figures::NoTracks,
        );
        let answer = answer.expect("an answer");
        let owned = |hours: [f64; 3]| notes(&answer, hours).iter().any(|note| note.contains("no source"));
        assert_eq!(
            [[4.0, 0.0, 0.0], [4.0, 0.5, 0.0], [4.0, 0.0, 0.5], [0.0, 1.0, 1.0]].map(owned),
            [false, true, true, true]
        );
        let told = |chance: Option<f64>, loose: bool| -> Vec<(Option<f64>, String)> {
            let bike =
                upkeep::bike::Bike::from_toml(include_str!("../../../../data/bikes/alder-350.toml")).expect("a bike");
            let log = upkeep::record::Log::default();
            let record = Record::new(&bike, &log, jiff::civil::date(2026, 5, 1).at(9, 0, 0, 0));
            facts(&answer, &record, chance, loose).into_iter().map(|fact| (fact.value, fact.text)).collect()
        };
        assert_eq!(told(None, false)[1], (None, "not known: measure slack".to_owned()));
        assert_eq!(told(Some(0.25), false)[1], (Some(0.25), "25 %".to_owned()));
        assert_eq!(told(Some(0.0), true)[2], (None, "no hours before the slack is set".to_owned()));
    }
}
