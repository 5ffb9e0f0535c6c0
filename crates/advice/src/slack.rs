//! To which reading the slack is set, for this pair, so that a margin is left at the tightest place of the travel.
//!
//! The bike sheet's band comes first. Within it `slack.required` with a small margin must not warn; without a band the
//! tool's own margin stands, shown as its own. The two kinds of reading, free and gap, are never turned into one another.

use serde::Serialize;
use upkeep::bike::Bike;

use crate::adjust::{self, Adjust};
use crate::alignment;
use crate::ask::{Gap, Given, from_sheet};
use crate::block::Block;
use crate::drawing::{self, Outline, Spot};
use crate::fact::Fact;
use crate::fit::{GEOMETRY, Place, Slot, need};
use crate::setup::Setup;
use crate::stand::Stand;
use crate::verdict::{self, Reason, Verdict};
use crate::words::mm;

/// Chain beyond taut at the tightest place where the sheet gives no band. The tool's own margin.
pub const MARGIN_MM: f64 = 1.0;
/// The least margin that survives a rear sprocket run-out of 0.3 mm. The tool's own margin within a sheet's band.
pub const LEAST_MARGIN_MM: f64 = 0.3;
/// What a rule read by hand is good for. The tool's own assumption, common practice.
pub const READING_ERROR_MM: f64 = 1.0;

/// What is asked: a setup, and what was read off the bike if anything.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Read {
    /// Slack, free kind, total at mid lower run on the stand.
    pub slack_mm: Option<f64>,
    /// Distance block to reference, left, larger further back.
    pub left_mm: Option<f64>,
    /// The same, right.
    pub right_mm: Option<f64>,
}

impl Read {
    /// Left and right, where both were read.
    #[must_use]
    pub fn sides_mm(self) -> Option<[f64; 2]> {
        self.left_mm.zip(self.right_mm).map(|(left, right)| [left, right])
    }
}

/// The band that the sheet or the tool holds the reading to, free kind on the stand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Band {
    /// Lower and upper end, mm.
    pub from_to_mm: [f64; 2],
    /// Whose it is.
    pub whose: String,
}

/// The whole answer to "how much slack?".
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SlackView {
    /// Where the axle stands for this setup.
    pub place: Place,
    /// What the reading given makes of the bike; without one not known.
    pub verdict: Verdict,
    /// Why.
    pub reasons: Vec<Reason>,
    /// Chain left beyond taut at the tightest place by the reading given, mm; negative: short.
    pub left_surplus_mm: Option<f64>,
    /// Slack left there, mm.
    pub left_slack_mm: Option<f64>,
    /// The reading to set, mm.
    pub target_mm: f64,
    /// The band around it.
    pub band: Band,
    /// The figures in words.
    pub facts: Vec<Fact>,
    /// How far to turn, where a reading is given.
    pub adjust: Option<Adjust>,
    /// The wheel's alignment, in words.
    pub alignment: Vec<Fact>,
    /// Slack through the travel with the reading to set.
    pub curve: Vec<Spot>,
    /// The same with the reading given, if one is.
    pub read_curve: Option<Vec<Spot>>,
    /// The drive to scale at three places of the travel.
    pub outlines: Vec<Outline>,
    /// Notices of the figures, in words.
    pub notes: Vec<String>,
}

/// Answers for one setup and what was read.
///
/// # Errors
/// The field that is missing or impossible.
pub fn view(bike: &Bike, setup: Setup, read: Read) -> Result<SlackView, Gap> {
    let Judged { place, at_mm, stand, band, travel, loose_mm, reasons } = Judged::of(bike, setup, read)?;
    let target_mm = stand.target(&band);
    let adjust = loose_mm.map(|slack_mm| adjust::with_skew(bike, setup, [slack_mm, target_mm], read));
    let (adjust, mut notes) = (adjust.transpose(), stand.notes());
    let adjust = match adjust {
        // The verdict stands without knowing how far to turn.
        Err(gap) if gap.missing => {
            notes.push(format!("How far to turn the adjusters is not known. {} {}", gap.text, gap.how_to));
            None
        }
        other => other?,
    };
    Ok(SlackView {
        verdict: verdict::of(&reasons),
        reasons,
        left_surplus_mm: travel.as_ref().and_then(|answer| answer.get("left_surplus_mm")),
        left_slack_mm: travel.as_ref().and_then(|answer| answer.get("left_slack_mm")),
        target_mm,
        facts: stand.facts(&band, target_mm),
        alignment: alignment::facts(bike, &place, read)?,
        curve: drawing::curve(bike, setup, at_mm, target_mm)?,
        read_curve: loose_mm.map(|slack_mm| drawing::curve(bike, setup, at_mm, slack_mm)).transpose()?,
        outlines: drawing::outlines(bike, setup, at_mm, stand.ours.get("tightest_deg").unwrap_or_default())?,
        notes,
        adjust,
        band,
        place,
    })
}

/// What speaks for or against riding with a reading: no drawing, no turning.
///
/// # Errors
/// The field that is missing or impossible.
pub fn judged(bike: &Bike, setup: Setup, read: Read) -> Result<Vec<Reason>, Gap> {
    Judged::of(bike, setup, read).map(|judged| judged.reasons)
}

/// A setup with what was read, judged.
struct Judged<'a> {
    place: Place,
    /// Where the axle stands.
    at_mm: f64,
    stand: Stand<'a>,
    band: Band,
    travel: Option<figures::Answer>,
    /// The reading, unless it is 0.
    loose_mm: Option<f64>,
    reasons: Vec<Reason>,
}

impl<'a> Judged<'a> {
    fn of(bike: &'a Bike, setup: Setup, read: Read) -> Result<Self, Gap> {
        let place = Slot::of(bike)?.place(setup)?;
        // What is fitted stands where it was set; any other setup stands where it would be set.
        let at_mm = if Setup::fitted(bike) == Ok(setup) { need(bike, "arm_mm")? } else { place.arm_mm };
        let stand = Stand::of(bike, setup, at_mm)?;
        // A chain that reads 0 is past all figures: nothing is computed from it.
        let loose_mm = read.slack_mm.filter(|slack_mm| *slack_mm > 0.0);
        let travel = loose_mm.map(|slack_mm| stand.travel(slack_mm)).transpose()?;
        let mut reasons = stand.judge(read.slack_mm, travel.as_ref());
        reasons.extend(read.sides_mm().and_then(|sides_mm| alignment::reason(bike, sides_mm)));
        verdict::worst_first(&mut reasons);
        Ok(Self { band: stand.band(), place, at_mm, stand, travel, loose_mm, reasons })
    }
}

/// What setting the slack of a setup comes to, before anything was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// The reading to set, mm.
    pub target_mm: f64,
    /// What speaks against it, the chain set to that reading.
    pub reasons: Vec<Reason>,
}

/// The reading to set for one setup, and what speaks against it: no drawing, no reading.
///
/// # Errors
/// The field that is missing or impossible.
pub fn setting(bike: &Bike, setup: Setup) -> Result<Setting, Gap> {
    let stand = stand(bike, setup)?;
    let target_mm = stand.target(&stand.band());
    let travel = stand.travel(target_mm)?;
    let mut reasons = stand.judge(Some(target_mm), Some(&travel));
    reasons.retain(|reason| reason.verdict != Verdict::Ready);
    Ok(Setting { target_mm, reasons })
}

/// The band that a reading of one setup is held to: no drawing, no reading.
///
/// # Errors
/// The field that is missing or impossible.
pub fn band(bike: &Bike, setup: Setup) -> Result<Band, Gap> {
    Ok(stand(bike, setup)?.band())
}

fn stand(bike: &Bike, setup: Setup) -> Result<Stand<'_>, Gap> {
    let at_mm =
        if Setup::fitted(bike) == Ok(setup) { need(bike, "arm_mm")? } else { Slot::of(bike)?.place(setup)?.arm_mm };
    Stand::of(bike, setup, at_mm)
}

/// What the slack figures need with the axle at `at_mm`: the arm's angles stay.
///
/// # Errors
/// The field that is missing.
pub fn geometry(bike: &Bike, setup: Setup, at_mm: f64) -> Result<Given, Gap> {
    let mut given = from_sheet(bike, &GEOMETRY);
    given.extend(crate::fit::swing(bike, need(bike, "arm_mm")?, at_mm));
    Ok(setup.give_pair(given))
}

impl SlackView {
    /// The answer with its deciding figures.
    #[must_use]
    pub fn brief(&self) -> Vec<Block<'_>> {
        let mut blocks = self.blocks();
        blocks.retain(|block| !matches!(block, Block::Facts(_) | Block::List(_)));
        blocks.push(Block::Facts(self.facts.get(..4).unwrap_or(&self.facts)));
        blocks
    }

    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let sentence = format!("Set to {} for {}.", mm(self.target_mm), self.place.setup);
        let mut blocks = vec![
            Block::Heading("How much slack?"),
            Block::Verdict(self.verdict, self.verdict.words(), sentence),
            Block::Reasons(&self.reasons),
        ];
        if let Some(adjust) = &self.adjust {
            blocks.push(Block::Text(adjust.words.clone()));
        }
        blocks.push(Block::Facts(&self.facts));
        blocks.push(Block::Facts(&self.alignment));
        blocks.push(Block::List(self.notes.clone()));
        blocks
    }
}
