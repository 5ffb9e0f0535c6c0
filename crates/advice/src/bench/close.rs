//! The end of an order: what is still open by name, and what follows from its answers for the record and the sheet.

use serde::Serialize;
use upkeep::bike::{Change, Value};
use upkeep::job::bench::{Answer, End, Outcome};
use upkeep::job::handbook::Severity;
use upkeep::record::{Check, Fact, Part, Role, SlackKind, SlackReading, SlackState, Work};
use upkeep::supply::{Event, Shelf, Supply};

use super::{Desk, Laid};
use crate::block::Block;
use crate::words::lower;

/// A part that went onto the bike by this order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FittedPart {
    /// What it is: `chain`, `front`, `rear`, `other`.
    pub role: &'static str,
    /// What it is called unless the rider says otherwise.
    pub name: String,
    /// Teeth or links.
    pub count: Option<u32>,
}

/// Whether an order can be closed, and what closing writes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Closing {
    /// The steps that safety hangs on and that are not done, by name.
    pub safety: Vec<String>,
    /// The other steps that are not done.
    pub other: Vec<String>,
    /// Parts that it fitted.
    pub fitted: Vec<FittedPart>,
    /// What is due afterwards.
    pub later: Vec<String>,
    /// Until when a threadlocker cures.
    pub ride_not_before: Option<String>,
}

impl Closing {
    /// Whether nothing stands against it.
    #[must_use]
    pub fn may(&self) -> bool {
        self.safety.is_empty() && self.other.is_empty()
    }

    /// What stands against it, in sentences.
    #[must_use]
    pub fn refusal(&self) -> Vec<String> {
        let safety = self.safety.iter().map(|step| format!("Open, and safety hangs on it: {step}."));
        let other = (!self.other.is_empty()).then(|| format!("Open as well: {}.", self.other.join("; ")));
        safety.chain(other).collect()
    }

    /// The end in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let mut blocks = vec![Block::Heading("Closing the order"), Block::List(self.refusal())];
        let part = |part: &FittedPart| format!("Fitted: {}", part.name);
        blocks.push(Block::List(self.fitted.iter().map(part).collect()));
        blocks.push(Block::List(self.later.clone()));
        blocks.extend(self.ride_not_before.iter().map(|at| Block::Text(format!("Ride not before {at}."))));
        blocks
    }
}

/// The end of an order as it stands.
#[must_use]
pub fn view(desk: &Desk<'_>, laid: &Laid) -> Closing {
    let mut closing = Closing {
        safety: Vec::new(),
        other: Vec::new(),
        fitted: fitted(desk, laid),
        later: laid.sheet.due_later.iter().map(|due| due.follow_up.text.clone()).collect(),
        ride_not_before: desk.bench.cured_at().map(|at| at.strftime("%Y-%m-%d %H:%M").to_string()),
    };
    for step in laid.sheet.steps.iter().skip(laid.done()) {
        let safety = step.holds.iter().find(|shown| shown.hold.severity == Severity::Safety);
        match safety {
            Some(shown) => closing.safety.push(format!("{} ({})", step.title, shown.hold.prompt)),
            None => closing.other.push(step.title.clone()),
        }
    }
    closing
}

/// Parts that the jobs fit for certain, chain and sprockets first; what every opening costs is among them.
fn fitted(desk: &Desk<'_>, laid: &Laid) -> Vec<FittedPart> {
    let setup = desk.setup();
    let certain = laid.sheet.parts.iter().filter(|part| !part.line.optional);
    let mut parts: Vec<FittedPart> = certain
        .map(|part| match part.line.role {
            "chain" => {
                FittedPart { role: "chain", name: format!("chain of {} links", setup.links), count: Some(setup.links) }
            }
            "front sprocket" => FittedPart {
                role: "front",
                name: format!("front sprocket, {} teeth", setup.front_teeth),
                count: Some(setup.front_teeth),
            },
            "rear sprocket" => FittedPart {
                role: "rear",
                name: format!("rear sprocket, {} teeth", setup.rear_teeth),
                count: Some(setup.rear_teeth),
            },
            role => FittedPart { role: "other", name: role.to_owned(), count: None },
        })
        .collect();
    parts.sort_by_key(|part| part.role == "other");
    parts
}

/// The work that begins with an order.
///
/// # Errors
/// A job that is not in the library.
pub fn begun(jobs: &[&str]) -> Result<Vec<Fact>, upkeep::bike::Fault> {
    jobs.iter().map(|job| Work::new(job, "begun").map(Fact::Work)).collect()
}

/// What closing writes into the record: work done, parts, what was confirmed, slack last of all, for it is what stands.
///
/// # Errors
/// A part that is not possible.
pub fn facts(desk: &Desk<'_>, laid: &Laid, parts: Vec<Part>) -> Result<Vec<Fact>, upkeep::bike::Fault> {
    let mut facts: Vec<Fact> =
        desk.bench.jobs_now().iter().map(|job| Work::new(job, "done").map(Fact::Work)).collect::<Result<_, _>>()?;
    facts.extend(parts.into_iter().map(Fact::Part));
    facts.extend(checks(desk).into_iter().map(Fact::Check));
    if laid.stand.order.jobs.contains(&"first-ride-check") {
        facts.push(Fact::Check(Check::new("recheck", "done", None)?));
    }
    facts.extend(slack(desk).map(Fact::Slack));
    Ok(facts)
}

/// The part as the record keeps it.
///
/// # Errors
/// Hours or a price that are not possible.
pub fn part(
    part: &FittedPart,
    name: &str,
    used_h: f64,
    price: Option<(i64, String)>,
) -> Result<Part, upkeep::bike::Fault> {
    let name = if name.trim().is_empty() { part.name.clone() } else { name.trim().to_owned() };
    Part::new(Role::of(part.role)?, name, part.count, used_h, price)
}

/// What the order took off the shelf: as many of each part that it fits for certain as lie there. A spare to carry, such
/// as the second connecting link of a cut chain, leaves it as well: it goes into the pack.
#[must_use]
pub fn taken(laid: &Laid, shelf: &Shelf) -> Vec<Supply> {
    let certain = laid.sheet.parts.iter().filter(|part| !part.line.optional);
    let taken = certain.filter_map(|part| {
        let there = shelf.item(part.line.role)?.qty?;
        let count = part.line.qty.min(there);
        Supply::new(part.line.role, Event::Taken(count)).ok()
    });
    taken.collect()
}

/// What the answers confirm.
fn checks(desk: &Desk<'_>) -> Vec<Check> {
    let passed = |hold: &str| {
        let (_, answer) = desk.bench.answer(hold)?;
        matches!(answer.outcome, Outcome::Passed | Outcome::Confirmed).then_some(answer)
    };
    let torque = |name: &str, answer: &Answer| Check::new(name, "set", answer.number).ok();
    let joint = if desk.bike.word("joint") == Some("rivet") { "riveted" } else { "closed-end-leads" };
    let held = passed("front-sprocket-nut").or_else(|| passed("front-sprocket-plate"));
    let ring = passed("retention-seated").filter(|answer| answer.typed.starts_with("snap ring"));
    let bearings = desk.bench.answer("hub-bearings").and_then(|(_, answer)| match answer.outcome {
        Outcome::Passed => Check::new("bearings", "smooth", None).ok(),
        // Its "no" brought the bearings into the order; closed means they are new.
        Outcome::Failed if desk.bench.jobs_now().contains(&"rear-wheel-bearings") => {
            Check::new("bearings", "smooth", None).ok()
        }
        _ => Check::new("bearings", "play-felt", None).ok(),
    });
    [
        passed("rear-pedal").and_then(|_| Check::new("brake", "firm", None).ok()),
        passed("link-secure").and_then(|_| Check::new("joint", joint, None).ok()),
        passed("rear-axle-torque").and_then(|answer| torque("axle", answer)),
        passed("rear-sprocket-torque").and_then(|answer| torque("rear-fasteners", answer)),
        held.and_then(|answer| torque("front-retainer", answer)),
        ring.and_then(|_| Check::new("front-ring", "seated-full-circle", None).ok()),
        passed("spline-play").and_then(|_| Check::new("splines", "good", None).ok()),
        bearings,
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Slack as it was read last, after the axle was torqued; of the kind and state that the sheet names.
fn slack(desk: &Desk<'_>) -> Option<SlackReading> {
    let (_, answer) = desk.bench.answer("slack-after-torque").or_else(|| desk.bench.answer("slack"))?;
    let kind = desk.bike.word("slack_kind").and_then(|word| SlackKind::of(word).ok()).unwrap_or(SlackKind::Free);
    SlackReading::new(vec![answer.number?], None, 0.5, SlackState::Stand, kind).ok()
}

/// What closing changes on the sheet: the setup that is fitted now.
#[must_use]
pub fn sheet(desk: &Desk<'_>) -> Vec<Change> {
    let [front, rear, links] = desk.bench.setup;
    let changed = |field: &str, count: u32| {
        (desk.bike.whole(field) != Some(count)).then(|| Change {
            field: field.to_owned(),
            value: Some(Value::Whole(count)),
            source: Some(format!("fitted by work order {}", desk.bench.id)),
        })
    };
    [changed("front_teeth", front), changed("rear_teeth", rear), changed("links", links)]
        .into_iter()
        .flatten()
        .collect()
}

/// Whether an order can be given up: nothing is open on the bike.
///
/// # Errors
/// What is open, in words.
pub fn dropping(desk: &Desk<'_>, laid: &Laid) -> Result<(), String> {
    let open: Vec<String> =
        laid.stand.progress.open.iter().map(|index| lower(&super::state(desk, laid, *index))).collect();
    if desk.bench.end() == End::Open && open.is_empty() {
        return Ok(());
    }
    let what = if open.is_empty() { "it is not open any more".to_owned() } else { crate::words::list(&open) };
    Err(format!("Given up only with everything back as it was: {what}."))
}
