//! The lists before and after the steps: jobs, parts, tools, missing figures, what is due later.

use std::collections::BTreeSet;

use super::super::demand::{Kit, Line, demand};
use super::super::fault::OrderFault;
use super::super::handbook::{ChoiceEntry, FigureEntry, FollowUp, JobEntry, KitEntry, PartEntry};
use super::steps::{Desk, SheetStep};

/// A job of the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SheetJob<'h> {
    /// Its own words.
    pub job: &'h JobEntry,
    /// Whether it asks for more skill than the rider has stated: then a workshop is advised.
    pub above_skill: bool,
}

/// A part to have at hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetPart<'h> {
    /// Role, quantity, whether the jobs can do without, and which jobs.
    pub line: Line<'h>,
    /// What it must be, and the kinds to choose from.
    pub part: Option<&'h PartEntry>,
}

/// A kit and the steps that use it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToolKit<'h> {
    /// What is in it.
    pub kit: &'h KitEntry,
    /// Numbers of the steps.
    pub steps: Vec<usize>,
}

/// A figure of the manual that the bike sheet does not hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MissingFigure<'h> {
    /// What it is.
    pub figure: &'h FigureEntry,
    /// Numbers of the steps that ask for it.
    pub steps: Vec<usize>,
}

/// What is due some hours after the work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DueLater<'h> {
    /// The job that it belongs to.
    pub job: &'h JobEntry,
    /// When, and what is looked at.
    pub follow_up: &'h FollowUp,
}

impl<'h> Desk<'_, 'h> {
    pub(super) fn jobs(&self) -> Vec<SheetJob<'h>> {
        let entry = |id: &&str| {
            let job = &self.handbook.job(id)?.job;
            Some(SheetJob { job, above_skill: self.known.skill.is_some_and(|skill| job.skill > skill) })
        };
        self.order.jobs.iter().filter_map(entry).collect()
    }

    /// Choices that the steps or their cautions turned on.
    pub(super) fn choices(&self) -> Vec<(&'h ChoiceEntry, &'h str)> {
        let states = self.order.states.iter().filter_map(|state| self.handbook.state(&state.source.id));
        let ops = self.order.ops.iter().filter_map(|op| self.handbook.op(&op.source.id));
        let named = states.flat_map(|state| &state.cautions).chain(ops.flat_map(|op| &op.cautions));
        let cautions = named.filter_map(|id| self.handbook.caution(id)?.when.as_deref()?.split_once(':'));
        let keys: BTreeSet<_> = cautions.map(|(key, _)| key).chain(self.order.turns_on.iter().copied()).collect();
        let choices = self.handbook.access().choice.iter().filter(|choice| keys.contains(choice.key.as_str()));
        choices.filter_map(|choice| Some((choice, self.chosen.answer(&choice.key)?))).collect()
    }

    /// Parts with what they must be, and consumables.
    pub(super) fn shelf(&self) -> Result<(Vec<SheetPart<'h>>, Vec<&'h str>), OrderFault> {
        let answers = self.handbook.access().choice.iter();
        let answers: Vec<_> =
            answers.filter_map(|choice| Some((choice.key.as_str(), self.chosen.answer(&choice.key)?))).collect();
        let demand = demand(self.handbook.library(), &self.order.jobs, &answers, Kit::Full)?;
        let parts = demand.lines.into_iter().map(|line| SheetPart { part: self.part(line.role), line }).collect();
        Ok((parts, demand.consumables.into_iter().map(|consumable| consumable.role).collect()))
    }

    /// The part of a role as this order's own jobs and states have it.
    fn part(&self, role: &str) -> Option<&'h PartEntry> {
        let jobs = self.order.jobs.iter().filter_map(|id| self.handbook.job(id)).flat_map(|file| &file.part);
        let states = self.order.states.iter().filter_map(|state| self.handbook.state(&state.source.id));
        jobs.chain(states.flat_map(|state| &state.part)).find(|part| part.role == role)
    }

    pub(super) fn due_later(&self) -> Vec<DueLater<'h>> {
        let files = self.order.jobs.iter().filter_map(|id| self.handbook.job(id));
        files.flat_map(|file| file.follow_up.iter().map(|follow_up| DueLater { job: &file.job, follow_up })).collect()
    }
}

/// Kits in the order of their first use.
pub(super) fn tools<'h>(steps: &[SheetStep<'h>]) -> Vec<ToolKit<'h>> {
    let mut tools: Vec<ToolKit<'h>> = Vec::new();
    for step in steps {
        let Some(kit) = step.kit else { continue };
        match tools.iter_mut().find(|known| known.kit.id == kit.id) {
            Some(known) => known.steps.push(step.number),
            None => tools.push(ToolKit { kit, steps: vec![step.number] }),
        }
    }
    tools
}

/// Figures not known, in the order of their first use.
pub(super) fn missing<'h>(steps: &[SheetStep<'h>]) -> Vec<MissingFigure<'h>> {
    let mut missing: Vec<MissingFigure<'h>> = Vec::new();
    for step in steps {
        for asked in step.figures.iter().filter(|asked| !asked.known) {
            match missing.iter_mut().find(|known| known.figure.id == asked.figure.id) {
                Some(known) => known.steps.push(step.number),
                None => missing.push(MissingFigure { figure: asked.figure, steps: vec![step.number] }),
            }
        }
    }
    missing
}
