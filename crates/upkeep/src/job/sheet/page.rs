//! The whole sheet.

use super::super::fault::OrderFault;
use super::super::handbook::{CautionEntry, ChoiceEntry};
use super::super::plan::Cost;
use super::CLOSING;
use super::caution::must_be_acknowledged;
use super::lists::{DueLater, MissingFigure, SheetJob, SheetPart, ToolKit, missing, tools};
use super::steps::{Desk, SheetStep, Verb};
use super::time::Minutes;

/// Steps after one another that sit in the same state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Group<'h> {
    /// The state's title; none where nothing has to be open.
    pub title: Option<&'h str>,
    /// Number of the first step.
    pub first: usize,
    /// Number of the last step.
    pub last: usize,
}

/// A bench sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkSheet<'h> {
    /// The jobs, in the order asked for.
    pub jobs: Vec<SheetJob<'h>>,
    /// Choices that steps or cautions turned on, with the answer that holds.
    pub choices: Vec<(&'h ChoiceEntry, &'h str)>,
    /// What the plan costs beside the work.
    pub cost: Cost,
    /// Whether no valid plan costs less; else it is a good order, not proven shortest.
    pub proven: bool,
    /// Opening and shutting.
    pub access: Minutes,
    /// The work itself.
    pub work: Minutes,
    /// All of it.
    pub total: Minutes,
    /// Cautions to be acknowledged, in full, for the top.
    pub stops: Vec<&'h CautionEntry>,
    /// Cautions that no step has room for in full; they stand at the top as well.
    pub more_cautions: Vec<&'h CautionEntry>,
    /// Figures of the manual that the bike sheet does not hold.
    pub missing: Vec<MissingFigure<'h>>,
    /// Tools by kit.
    pub tools: Vec<ToolKit<'h>>,
    /// Parts.
    pub parts: Vec<SheetPart<'h>>,
    /// Consumables.
    pub consumables: Vec<&'h str>,
    /// Steps.
    pub steps: Vec<SheetStep<'h>>,
    /// Steps after one another that sit in the same state.
    pub groups: Vec<Group<'h>>,
    /// What is due some hours later.
    pub due_later: Vec<DueLater<'h>>,
    /// The line at the end.
    pub closing: &'static str,
}

pub(super) fn lay_out<'h>(desk: &Desk<'_, 'h>) -> Result<WorkSheet<'h>, OrderFault> {
    let (parts, consumables) = desk.shelf()?;
    let (steps, shown) = desk.steps();
    let mut cautions: Vec<&CautionEntry> = Vec::new();
    for caution in steps.iter().flat_map(|step| &step.cautions).map(|shown| shown.caution) {
        if !cautions.iter().any(|known| known.id == caution.id) {
            cautions.push(caution);
        }
    }
    let (stops, others): (Vec<_>, Vec<_>) = cautions.into_iter().partition(|caution| must_be_acknowledged(caution));
    let sum = |of: fn(Verb) -> bool| steps.iter().filter(|step| of(step.verb)).map(|step| step.minutes).sum();
    let (access, work): (Minutes, Minutes) = (sum(|verb| verb != Verb::Do), sum(|verb| verb == Verb::Do));
    Ok(WorkSheet {
        jobs: desk.jobs(),
        choices: desk.choices(),
        cost: desk.plan.cost,
        proven: desk.plan.proven,
        access,
        work,
        total: access + work,
        stops,
        more_cautions: others.into_iter().filter(|caution| !shown.has(caution)).collect(),
        missing: missing(&steps),
        tools: tools(&steps),
        parts,
        consumables,
        groups: groups(desk, &steps),
        steps,
        due_later: desk.due_later(),
        closing: CLOSING,
    })
}

fn groups<'h>(desk: &Desk<'_, 'h>, steps: &[SheetStep<'h>]) -> Vec<Group<'h>> {
    let title = |id: &'h str| desk.handbook.state(id).map(|state| state.title.as_str());
    steps
        .chunk_by(|one, next| one.sits_in == next.sits_in)
        .filter_map(|run| {
            let (first, last) = (run.first()?, run.last()?);
            Some(Group { title: first.sits_in.and_then(title), first: first.number, last: last.number })
        })
        .collect()
}
