//! Which pair for this ground: what the present pair does, what one tooth changes, and what a ride asks for.

use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;

use crate::ask::{Gap, ask, from_sheet, with};
use crate::asked::Asked;
use crate::candidate::{self, Candidate};
use crate::demand::{Demand, Ride};
use crate::fact::{Cell, Column, Fact, Table};
use crate::fit::Slot;
use crate::ground::Ground;
use crate::proposal::Proposal;
use crate::replay::Replay;
use crate::rides::Rides;
use crate::shelf::Shelf;
use crate::words::{kmh, number, signed_pct};
use crate::{Block, Setup, Verdict};

/// One gear of the present pair.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Gear {
    /// Counted from 1.
    pub gear: u32,
    /// Engine turns for one wheel turn.
    pub total_ratio: f64,
    /// Speed at the lower end of the comfortable rpm, km/h.
    pub from_kmh: f64,
    /// Speed at the limiter, km/h.
    pub to_kmh: f64,
    /// Step to the next gear, %; none in top.
    pub step_pct: Option<f64>,
    /// Speed shared with the next gear, km/h; negative: a hole.
    pub overlap_kmh: Option<f64>,
}

/// What changing to another pair means.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Swap {
    /// The other pair on the present chain.
    pub setup: Setup,
    /// Speed at the same rpm, %.
    pub speed_pct: f64,
    /// Force at the wheel at the same rpm, %.
    pub thrust_pct: f64,
    /// Both spelled out.
    pub words: String,
    /// Pull on the chain at the same engine torque, %.
    pub pull_pct: f64,
    /// Bend of a joint on the front sprocket, before and after, degrees.
    pub bend_deg: [f64; 2],
    /// Whether it fits on the present chain; unknown without a slot on the sheet.
    pub fit: Verdict,
    /// Why, in a sentence; empty where it simply fits.
    pub fit_words: String,
}

/// The whole answer to "what should I run there?".
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GearingView {
    /// What is fitted.
    pub fitted: Setup,
    /// The gears of the fitted pair.
    pub gears: Vec<Gear>,
    /// The same as a table.
    pub gear_table: Table,
    /// Crawl and top of the fitted pair.
    pub facts: Vec<Fact>,
    /// One tooth either way, front and rear.
    pub swaps: Vec<Swap>,
    /// The same as a table.
    pub swap_table: Table,
    /// Pairs of equal or nearly equal ratio.
    pub near: Table,
    /// The ride replayed on every pair that could be fitted; none without a ride, an engine curve and masses.
    pub replay: Option<Replay>,
    /// The ride laid against the pairs worth comparing, the fitted one first.
    pub demands: Vec<Demand>,
    /// Their shares of the gears as a table; by replay where there is one.
    pub share_table: Table,
    /// The ride's own facts.
    pub demand_facts: Vec<Fact>,
    /// The pairs worth showing, at most five; none without a replay.
    pub candidates: Vec<Candidate>,
    /// What fitting each of them takes.
    pub candidate_table: Table,
    /// The rides behind the answer; empty for one ride alone.
    pub ride_table: Table,
    /// What to run; none without a ride.
    pub proposal: Option<Proposal>,
    /// What to know: holes, notices, limits of the answer.
    pub notes: Vec<String>,
}

/// Answers for the fitted pair, with a ride if there is one.
///
/// # Errors
/// The field that is missing or impossible.
pub fn view(bike: &Bike, ride: Option<&Ride>, ground: Ground) -> Result<GearingView, Gap> {
    let rides = ride.map(|ride| Rides::one(ride, ground)).unwrap_or_default();
    over(bike, &rides, &Shelf::default())
}

/// Answers for the fitted pair over several rides, each counted as it is weighed, with what lies on the shelf.
///
/// # Errors
/// The field that is missing or impossible.
pub fn over(bike: &Bike, rides: &Rides<'_>, shelf: &Shelf) -> Result<GearingView, Gap> {
    let fitted = Setup::fitted(bike)?;
    let gears = gears(bike, fitted)?;
    let slot = Slot::of(bike).ok();
    let swaps = swaps(fitted, slot.as_ref())?;
    let mut notes = holes(&gears);
    notes.push(one_front_tooth(fitted)?);
    notes.push(
        "A taller pair never pulls harder in the same gear at the same speed; it only turns the engine slower there."
            .to_owned(),
    );
    let asked = if rides.all.is_empty() {
        notes.push("No ride given: bring a recorded ride (GPX), and the pairs are laid against it.".to_owned());
        Asked::default()
    } else {
        Asked::of(bike, rides, fitted, slot.as_ref(), shelf, &mut notes)?
    };
    Ok(GearingView {
        gear_table: gear_table(&gears, fitted),
        facts: facts(bike, fitted, &gears)?,
        swap_table: swap_table(&swaps, fitted),
        near: near(fitted, slot.as_ref())?,
        share_table: asked.table,
        fitted,
        gears,
        swaps,
        replay: asked.replay,
        demands: asked.demands,
        demand_facts: asked.facts,
        proposal: asked.proposal,
        candidate_table: candidate::table(&asked.candidates),
        candidates: asked.candidates,
        ride_table: asked.ride_table,
        notes,
    })
}

/// The gears of a pair, first gear first.
///
/// # Errors
/// The field that is missing or impossible.
pub fn gears(bike: &Bike, setup: Setup) -> Result<Vec<Gear>, Gap> {
    let sheet = setup.give_pair(from_sheet(bike, &["primary", "gears", "rollout_m", "lo_rpm", "max_rpm"]));
    let at = |rpm: &'static str| -> Result<_, Gap> {
        let rpm = bike.number(rpm).ok_or_else(|| Gap::absent(rpm))?;
        ask("gearing.speeds", &with(sheet.clone(), "rpm", rpm))
    };
    let (low, top) = (at("lo_rpm")?, at("max_rpm")?);
    let count = low.at("gears").and_then(Value::as_array).map_or(0, Vec::len);
    let gear = |n: usize| {
        let read = |answer: &figures::Answer, key: &str| answer.get(&format!("gears.{n}.{key}"));
        Some(Gear {
            gear: u32::try_from(n + 1).ok()?,
            total_ratio: read(&low, "total_ratio")?,
            from_kmh: read(&low, "speed_kmh")?,
            to_kmh: read(&top, "speed_kmh")?,
            step_pct: read(&low, "step_pct"),
            overlap_kmh: read(&low, "overlap_kmh"),
        })
    };
    Ok((0..count).filter_map(gear).collect())
}

/// The gears of a pair as a table.
#[must_use]
pub fn gear_table(gears: &[Gear], fitted: Setup) -> Table {
    let columns = vec![
        Column::words("gear", "Gear"),
        Column::numbers("total_ratio", "Engine turns per wheel turn"),
        Column::of("from_kmh", "From", "km/h"),
        Column::of("to_kmh", "To", "km/h"),
        Column::numbers("step_pct", "Step to next, %"),
        Column::of("overlap_kmh", "Shared with next", "km/h"),
    ];
    let mut table = Table::new(
        "gears",
        format!(
            "Speed in each gear with {}, from the lower end of the comfortable rpm to the limiter",
            fitted.pair_words()
        ),
        columns,
    );
    table.rows.extend(gears.iter().map(|gear| {
        vec![
            Cell { text: gear.gear.to_string(), value: Some(f64::from(gear.gear)) },
            Cell::number(gear.total_ratio, 2),
            Cell::of(gear.from_kmh, "km/h", 1),
            Cell::of(gear.to_kmh, "km/h", 1),
            Cell::maybe(gear.step_pct, 1),
            Cell::maybe_of(gear.overlap_kmh, "km/h", 1),
        ]
    }));
    table
}

/// Crawl and top of a pair.
///
/// # Errors
/// The field that is missing or impossible.
pub fn facts(bike: &Bike, fitted: Setup, gears: &[Gear]) -> Result<Vec<Fact>, Gap> {
    let sheet = setup_sheet(bike, fitted);
    let crawl =
        ask("gearing.speeds", &with(sheet, "rpm", bike.number("max_rpm").ok_or_else(|| Gap::absent("max_rpm"))?))?;
    let mut facts = Vec::new();
    if let Some(slip) = crawl.get("crawl_slip_kmh") {
        facts.push(
            Fact::new("crawl_slip_kmh", "Slowest with the clutch out", kmh(slip), slip)
                .because("first gear at the rpm where the clutch is fully out")
                .sure("exact for the sheet's ratios and rollout")
                .unless("another pair, another clutch-out rpm")
                .says("gearing.speeds"),
        );
    }
    if let Some(top) = gears.last() {
        facts.push(
            Fact::new("top_geared_kmh", "Top gear at the limiter", kmh(top.to_kmh), top.to_kmh)
                .because("what the ratios allow, not what the engine can pull")
                .sure("exact for the sheet's ratios and rollout; a rollout from the tyre's marking is good to 2 %")
                .unless("another pair, a measured rollout")
                .says("gearing.speeds"),
        );
    }
    Ok(facts)
}

fn setup_sheet(bike: &Bike, setup: Setup) -> crate::ask::Given {
    setup.give_pair(from_sheet(bike, &["primary", "gears", "rollout_m", "idle_rpm", "slip_rpm", "lo_rpm", "max_rpm"]))
}

fn holes(gears: &[Gear]) -> Vec<String> {
    gears
        .iter()
        .filter_map(|gear| {
            let hole = gear.overlap_kmh.filter(|overlap| *overlap < 0.0)?;
            Some(format!(
                "Between gear {} and {} lies a hole of {} that no comfortable rpm covers.",
                gear.gear,
                gear.gear + 1,
                kmh(-hole)
            ))
        })
        .collect()
}

/// What one tooth in front, one and two behind change; needs no gearbox.
///
/// # Errors
/// The field that is impossible.
pub fn swaps(fitted: Setup, slot: Option<&Slot>) -> Result<Vec<Swap>, Gap> {
    neighbours(fitted).into_iter().map(|other| swap(fitted, other, slot)).collect()
}

/// One tooth either way in front, one and two behind.
fn neighbours(fitted: Setup) -> Vec<Setup> {
    let Setup { front_teeth: front, rear_teeth: rear, .. } = fitted;
    [(front - 1, rear), (front + 1, rear), (front, rear + 1), (front, rear - 1), (front, rear + 2), (front, rear - 2)]
        .map(|(front, rear)| fitted.pair(front, rear))
        .to_vec()
}

/// What changing from one pair to another means, both ways spelled out.
///
/// # Errors
/// The field that is impossible.
pub fn swap(from: Setup, to: Setup, slot: Option<&Slot>) -> Result<Swap, Gap> {
    let given = from.give_pair(crate::ask::Given::new());
    let given = with(with(given, "new_front_teeth", to.front_teeth), "new_rear_teeth", to.rear_teeth);
    let answer = ask("gearing.swap", &given)?;
    let speed_pct = answer.get("speed_pct").unwrap_or_default();
    let thrust_pct = answer.get("thrust_pct").unwrap_or_default();
    let sense = answer.at("sense").and_then(Value::as_str).unwrap_or_default();
    let equivalent = answer.get("rear_teeth_equivalent");
    let (fit, fit_words) = match slot.map(|slot| slot.place(to)) {
        Some(Ok(place)) => (place.verdict, place.reasons.first().map(|reason| reason.text.clone()).unwrap_or_default()),
        Some(Err(gap)) => (Verdict::Unknown, gap.text),
        None => (Verdict::Unknown, "The slot is not on the bike sheet.".to_owned()),
    };
    Ok(Swap {
        setup: to,
        speed_pct,
        thrust_pct,
        words: swap_words(sense, speed_pct, thrust_pct, equivalent),
        pull_pct: pull(from, to)?,
        bend_deg: [bend(from.front_teeth)?, bend(to.front_teeth)?],
        fit,
        fit_words,
    })
}

/// Pull on the chain at the same engine torque: what the front sprocket alone changes at the wheel, it changes in
/// the chain.
fn pull(from: Setup, to: Setup) -> Result<f64, Gap> {
    let given = from.give_pair(crate::ask::Given::new());
    let given = with(with(given, "new_front_teeth", to.front_teeth), "new_rear_teeth", from.rear_teeth);
    Ok(ask("gearing.swap", &given)?.get("thrust_pct").unwrap_or_default())
}

fn bend(teeth: u32) -> Result<f64, Gap> {
    let answer = ask("chain.ripple", &with(crate::ask::Given::new(), "teeth", teeth))?;
    Ok(answer.get("bend_deg").unwrap_or_default())
}

impl Swap {
    /// What the chain feels of it, in a sentence.
    #[must_use]
    pub fn chain_words(&self) -> String {
        let [before, after] = self.bend_deg.map(|bend| number(bend, 1));
        format!(
            "On the chain: pull {} at the same engine torque, each joint bends {after}° in front against {before}°.",
            signed_pct(self.pull_pct)
        )
    }
}

/// One front tooth in rear teeth, for this pair.
fn one_front_tooth(fitted: Setup) -> Result<String, Gap> {
    let given = fitted.give_pair(crate::ask::Given::new());
    let given = with(with(given, "new_front_teeth", fitted.front_teeth), "new_rear_teeth", fitted.rear_teeth);
    let answer = ask("gearing.swap", &given)?;
    let get = |key: &str| number(answer.get(key).unwrap_or_default().abs(), 2);
    Ok(format!(
        "On {} one front tooth fewer is like {} rear teeth more, one more like {} fewer.",
        fitted.pair_words(),
        get("front_less_one_as_rear"),
        get("front_plus_one_as_rear")
    ))
}

fn swap_words(sense: &str, speed_pct: f64, thrust_pct: f64, equivalent: Option<f64>) -> String {
    if sense == "same" {
        return "same ratio: same speed and force at the same rpm".to_owned();
    }
    let as_rear = equivalent
        .filter(|teeth| teeth.abs() >= 0.05 && (teeth - teeth.round()).abs() > 1e-9)
        .map(|teeth| {
            format!(", like {} rear teeth {}", number(teeth.abs(), 2), if teeth > 0.0 { "more" } else { "fewer" })
        })
        .unwrap_or_default();
    format!(
        "{sense}: {} speed, {} force at the wheel at the same rpm{as_rear}",
        signed_pct(speed_pct),
        signed_pct(thrust_pct)
    )
}

fn swap_table(swaps: &[Swap], fitted: Setup) -> Table {
    let columns = vec![
        Column::words("pair", "Pair"),
        Column::words("fit", "On the fitted chain"),
        Column::words("words", "Means"),
    ];
    let mut table = Table::new("swaps", format!("One or two teeth from {}", fitted.pair_words()), columns);
    table.rows.extend(swaps.iter().map(|swap| {
        let fit = if swap.fit_words.is_empty() {
            swap.fit.fit_words().to_owned()
        } else {
            format!("{}: {}", swap.fit.fit_words(), swap.fit_words)
        };
        vec![Cell::words(swap.setup.pair_words()), Cell::words(fit), Cell::words(swap.words.clone())]
    }));
    table
}

fn near(fitted: Setup, slot: Option<&Slot>) -> Result<Table, Gap> {
    let answer = ask("gearing.equal_pairs", &with(fitted.give_pair(crate::ask::Given::new()), "limit_pct", 1.0))?;
    let columns = vec![
        Column::words("pair", "Pair"),
        Column::numbers("ratio_pct", "Ratio against fitted, %"),
        Column::words("fit", "On the fitted chain"),
    ];
    let mut table = Table::new("near", format!("Pairs within 1 % of {}", fitted.pair_words()), columns);
    let pairs = |key: &str| answer.at(key).and_then(Value::as_array).cloned().unwrap_or_default();
    let equal = pairs("equal").into_iter().map(|pair| (pair, 0.0));
    let near = pairs("near").into_iter().zip(pairs("near_pct").iter().filter_map(Value::as_f64).collect::<Vec<_>>());
    for (pair, off_pct) in equal.chain(near) {
        let teeth = |n: usize| pair.get(n).and_then(Value::as_u64).and_then(|count| u32::try_from(count).ok());
        let (Some(front), Some(rear)) = (teeth(0), teeth(1)) else { continue };
        let other = fitted.pair(front, rear);
        let fit = match slot.map(|slot| slot.place(other)) {
            Some(Ok(place)) => place.verdict.fit_words(),
            _ => Verdict::Unknown.fit_words(),
        };
        table.rows.push(vec![Cell::words(other.pair_words()), Cell::signed(off_pct, 2), Cell::words(fit)]);
    }
    Ok(table)
}

impl GearingView {
    /// The answer with its deciding figures; without a ride, what one tooth changes.
    #[must_use]
    pub fn brief(&self) -> Vec<Block<'_>> {
        let mut blocks = self.blocks();
        if self.proposal.is_some() {
            blocks.retain(|block| !matches!(block, Block::Facts(_)));
        }
        let kept = |table: &Table| match self.proposal {
            Some(_) => table.key == self.share_table.key,
            None => table.key == self.swap_table.key,
        };
        blocks.retain(|block| match block {
            Block::Table(table) => kept(table),
            Block::List(items) => *items != self.notes || self.proposal.is_none(),
            _ => true,
        });
        if self.proposal.is_some() {
            blocks.push(Block::Facts(&self.demand_facts));
        }
        blocks
    }

    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let mut blocks = vec![Block::Heading("Which pair?")];
        if let Some(proposal) = &self.proposal {
            blocks.push(Block::Text(proposal.headline.clone()));
            blocks.push(Block::List(proposal.because.clone()));
            if let Some(proposed) = self.candidates.iter().find(|one| one.replayed.setup == proposal.setup) {
                blocks.push(Block::Text(candidate::words(proposed)));
            }
            if !proposal.as_good.is_empty() {
                blocks.push(Block::Text(format!("As good within 3 %: {}.", proposal.as_good.join(", "))));
            }
            if !proposal.rival.is_empty() {
                blocks.push(Block::Text(format!("Next best: {}.", proposal.rival)));
            }
            blocks.push(Block::Text(format!("How sure: {}.", proposal.certainty)));
            blocks.push(Block::Text(format!("What would change it: {}.", proposal.changes)));
            blocks.push(Block::Facts(&self.demand_facts));
            blocks.push(Block::Table(&self.ride_table));
            blocks.push(Block::Table(&self.share_table));
            blocks.push(Block::Table(&self.candidate_table));
        }
        blocks.push(Block::Facts(&self.facts));
        blocks.push(Block::Table(&self.gear_table));
        blocks.push(Block::Table(&self.swap_table));
        blocks.push(Block::Table(&self.near));
        blocks.push(Block::List(self.notes.clone()));
        blocks
    }
}
