//! The whole answer in one go: can I ride, with which pair, will it fit, how much slack.
//!
//! Each part stands on its own: where a fact is missing that part says which and how to find it, the others answer.

use serde::Serialize;
use upkeep::bike::Bike;

use crate::Setup;
use crate::ask::Gap;
use crate::block::Block;
use crate::demand::Ride;
use crate::fit::{self, FitView};
use crate::gearing::{self, GearingView};
use crate::ground::Ground;
use crate::plan::{self, PlanView, Wish};
use crate::ready::{self, ReadyView};
use crate::record::Record;
use crate::slack::{self, Read, SlackView};
use crate::verdict::{self, Reason, Verdict};
use crate::words::mm;

/// A part of the answer, or what is missing for it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Part<T> {
    /// It is answered.
    Known(T),
    /// A fact is missing or impossible.
    NotKnown(Gap),
}

impl<T> Part<T> {
    fn of(answer: Result<T, Gap>) -> Self {
        answer.map_or_else(Self::NotKnown, Self::Known)
    }

    /// The answer, if it is known.
    pub const fn known(&self) -> Option<&T> {
        match self {
            Self::Known(answer) => Some(answer),
            Self::NotKnown(_) => None,
        }
    }
}

/// The whole answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DecisionView {
    /// The bike's name.
    pub bike: String,
    /// Whether its figures are invented.
    pub invented: bool,
    /// What is fitted.
    pub fitted: Setup,
    /// The setup that the answer is about: asked for, proposed, or fitted.
    pub setup: Setup,
    /// The worst of all parts.
    pub verdict: Verdict,
    /// The answer in a sentence.
    pub sentence: String,
    /// Why, worst first.
    pub reasons: Vec<Reason>,
    /// Which pair.
    pub gearing: Part<GearingView>,
    /// Will that setup fit.
    pub fit: Part<FitView>,
    /// How the slack stands now, on what is fitted.
    pub slack: Part<SlackView>,
    /// How to set it for the other setup; none if nothing changes.
    pub next_slack: Option<Part<SlackView>>,
    /// What to do.
    pub plan: Part<PlanView>,
    /// What the record says of the bike as it stands; absent where none was looked at.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub record: Option<ReadyView>,
}

/// What rests on the sheet and the question alone, whatever is read and recorded meanwhile.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    fitted: Setup,
    setup: Setup,
    gearing: Part<GearingView>,
    fit: Part<FitView>,
    next_slack: Option<Part<SlackView>>,
    plan: Part<PlanView>,
}

impl Standing {
    /// For the bike, a setup wanted and a ride on like ground.
    ///
    /// # Errors
    /// The sheet does not even have sprockets and links.
    pub fn of(bike: &Bike, wanted: Option<Setup>, ride: Option<&Ride>, ground: Ground) -> Result<Self, Gap> {
        let fitted = Setup::fitted(bike)?;
        let gearing = Part::of(gearing::view(bike, ride, ground));
        let proposed = gearing.known().and_then(|view| view.proposal.as_ref()).map(|proposal| proposal.setup);
        let setup = wanted.or(proposed).unwrap_or(fitted);
        Ok(Self {
            fitted,
            setup,
            gearing,
            fit: Part::of(fit::view(bike, setup)),
            // A reading belongs to what is fitted; of another setup only the place to set is known.
            next_slack: (setup != fitted).then(|| Part::of(slack::view(bike, setup, Read::default()))),
            plan: Part::of(plan::view(bike, setup, &Wish::default())),
        })
    }

    /// The whole answer with what was read; `against` says what speaks for or against riding what is fitted.
    fn read(self, bike: &Bike, read: Read, against: impl FnOnce(&Part<SlackView>) -> Vec<Reason>) -> DecisionView {
        let Self { fitted, setup, gearing, fit, next_slack, plan } = self;
        let slack = Part::of(slack::view(bike, fitted, read));
        let mut reasons = against(&slack);
        verdict::worst_first(&mut reasons);
        DecisionView {
            bike: bike.name.clone(),
            invented: bike.invented,
            verdict: verdict::of(&reasons),
            sentence: sentence(fitted, setup, &gearing, next_slack.as_ref().unwrap_or(&slack)),
            reasons,
            fitted,
            setup,
            gearing,
            fit,
            slack,
            next_slack,
            plan,
            record: None,
        }
    }
}

/// The same with what is recorded: the latest slack reading stands where none is typed, and all that the record has
/// against riding is among the reasons.
///
/// # Errors
/// As [`view`].
pub fn with_record(
    record: &Record<'_>,
    wanted: Option<Setup>,
    ride: Option<&Ride>,
    ground: Ground,
    read: Read,
) -> Result<DecisionView, Gap> {
    Ok(on_record(record, Standing::of(record.bike, wanted, ride, ground)?, read))
}

/// The same from what was already worked out for the record's bike.
#[must_use]
pub fn on_record(record: &Record<'_>, standing: Standing, read: Read) -> DecisionView {
    let ready = ready::with_read(record, read);
    let read = Read { slack_mm: read.slack_mm.or(ready.slack_mm), ..read };
    let view = standing.read(record.bike, read, |_| ready.reasons.clone());
    DecisionView { record: Some(ready), ..view }
}

/// Answers for the bike, a setup wanted, a ride on like ground and what was read.
///
/// # Errors
/// The sheet does not even have sprockets and links.
pub fn view(
    bike: &Bike,
    wanted: Option<Setup>,
    ride: Option<&Ride>,
    ground: Ground,
    read: Read,
) -> Result<DecisionView, Gap> {
    let standing = Standing::of(bike, wanted, ride, ground)?;
    Ok(standing.read(bike, read, |slack| reasons(bike, slack)))
}

/// What speaks for or against riding what is fitted, as it stands.
fn reasons(bike: &Bike, slack: &Part<SlackView>) -> Vec<Reason> {
    let mut reasons = fit::against(bike);
    match slack {
        Part::Known(view) => reasons.extend(view.reasons.iter().cloned()),
        Part::NotKnown(gap) => reasons.push(gap.reason("Slack")),
    }
    reasons.dedup();
    reasons
}

fn sentence(fitted: Setup, setup: Setup, gearing: &Part<GearingView>, slack: &Part<SlackView>) -> String {
    let pair = match gearing.known().and_then(|view| view.proposal.as_ref()) {
        Some(proposal) if proposal.setup == setup => proposal.headline.clone(),
        _ if setup == fitted => format!("{fitted}, as fitted."),
        _ => format!("{setup} instead of {fitted}."),
    };
    match slack.known() {
        Some(view) => format!("{pair} Set its slack to {}.", mm(view.target_mm)),
        None => pair,
    }
}

/// A part that is not known, in reading order.
fn gap_blocks(heading: &'static str, gap: &Gap) -> Vec<Block<'static>> {
    let mut blocks =
        vec![Block::Heading(heading), Block::Verdict(Verdict::Unknown, Verdict::Unknown.words(), gap.text.clone())];
    if !gap.how_to.is_empty() {
        blocks.push(Block::Text(gap.how_to.clone()));
    }
    blocks
}

impl DecisionView {
    /// The view in reading order: the answer first, then its parts.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let mut blocks = Vec::new();
        if self.invented {
            blocks.push(Block::Text(format!("{} is an invented bike: its figures are nobody's.", self.bike)));
        }
        blocks.push(Block::Verdict(self.verdict, self.verdict.words(), self.sentence.clone()));
        blocks.push(Block::Reasons(&self.reasons));
        if let Some(record) = &self.record {
            blocks.extend(record.known());
        }
        match &self.gearing {
            Part::Known(view) => blocks.extend(view.brief()),
            Part::NotKnown(gap) => blocks.extend(gap_blocks("Which pair?", gap)),
        }
        match &self.fit {
            Part::Known(view) => blocks.extend(view.brief()),
            Part::NotKnown(gap) => blocks.extend(gap_blocks("Will it fit?", gap)),
        }
        match &self.slack {
            Part::Known(view) => blocks.extend(view.brief()),
            Part::NotKnown(gap) => blocks.extend(gap_blocks("How much slack?", gap)),
        }
        if let Some(Part::Known(next)) = &self.next_slack {
            blocks.push(Block::Text(format!("With {} instead:", next.place.setup)));
            blocks.push(Block::Facts(next.facts.get(..4).unwrap_or(&next.facts)));
        }
        match &self.plan {
            Part::Known(view) => blocks.extend(view.brief()),
            Part::NotKnown(gap) => blocks.extend(gap_blocks("What do I do?", gap)),
        }
        blocks
    }
}
