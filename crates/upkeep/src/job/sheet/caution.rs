//! Cautions where they matter: in full at first use, then by title; no more than two full texts on one step.

use std::collections::BTreeSet;

use super::super::chosen::Chosen;
use super::super::handbook::{CautionEntry, Handbook, Level};

/// Full texts on one step.
const FULL_ON_A_STEP: usize = 2;
/// The caution whose sparks must meet no vapour.
const SPARKS: &str = "grinder";
/// The caution of petrol vapour.
const VAPOUR: &str = "fuel-vapour";
/// The caution of a cleaner that must meet no spark and no hot pin.
const SOLVENT: &str = "brake-cleaner";

/// A caution on a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ShownCaution<'h> {
    /// The caution.
    pub caution: &'h CautionEntry,
    /// Whether its text stands here in full.
    pub in_full: bool,
    /// Whether this is the first step that carries it: a stop is acknowledged before it.
    pub first: bool,
}

/// The cautions of one step or state: those it names, and those that its tags bring; without those of another choice.
pub(super) fn carried<'h>(
    handbook: &'h Handbook,
    chosen: &Chosen<'_>,
    names: &[String],
    tags: &[String],
) -> Vec<&'h CautionEntry> {
    let named = names.iter().filter_map(|id| handbook.caution(id));
    let tagged = handbook.cautions().iter().filter(|caution| caution.applies.iter().any(|tag| tags.contains(tag)));
    let mut seen = BTreeSet::new();
    let mut cautions: Vec<_> = named
        .chain(tagged)
        .filter(|caution| holds(chosen, caution))
        .filter(|caution| seen.insert(caution.id.as_str()))
        .collect();
    cautions.sort_by_key(|caution| caution.level);
    cautions
}

/// Whether a caution is not one of another choice.
fn holds(chosen: &Chosen<'_>, caution: &CautionEntry) -> bool {
    caution.when.as_deref().is_none_or(|when| {
        let (key, value) = when.split_once(':').unwrap_or((when, ""));
        chosen.answer(key) == Some(value)
    })
}

/// Which cautions have stood in full so far, and what the step before carried.
#[derive(Debug, Default)]
pub(super) struct Shown<'h> {
    met: BTreeSet<&'h str>,
    in_full: BTreeSet<&'h str>,
    after_sparks: bool,
}

impl<'h> Shown<'h> {
    /// The cautions of a step as they are shown; louder ones come first and get the room.
    pub(super) fn on_step(&mut self, cautions: &[&'h CautionEntry]) -> Vec<ShownCaution<'h>> {
        let mut room = FULL_ON_A_STEP;
        let show = |caution: &&'h CautionEntry| {
            let in_full = room > 0 && !self.in_full.contains(caution.id.as_str());
            if in_full {
                room -= 1;
                self.in_full.insert(&caution.id);
            }
            ShownCaution { caution, in_full, first: self.met.insert(&caution.id) }
        };
        cautions.iter().map(show).collect()
    }

    /// Whether a caution has stood in full.
    pub(super) fn has(&self, caution: &CautionEntry) -> bool {
        self.in_full.contains(caution.id.as_str())
    }

    /// Two cautions that must not meet: sparks with open fuel, solvent on pins just ground.
    pub(super) fn conflict(&mut self, step: &[&'h CautionEntry], open: &[&'h CautionEntry]) -> Option<String> {
        let find = |cautions: &[&'h CautionEntry], id: &str| cautions.iter().copied().find(|caution| caution.id == id);
        let sparks = find(step, SPARKS);
        let after_sparks = std::mem::replace(&mut self.after_sparks, sparks.is_some());
        let join = |one: &CautionEntry, other: &CautionEntry| format!("{} {}", one.text, other.text);
        let vapour = find(open, VAPOUR).or_else(|| find(step, VAPOUR));
        let meets_fuel = sparks.zip(vapour).map(|(sparks, vapour)| join(sparks, vapour));
        let solvent = find(step, SOLVENT).filter(|_| after_sparks || sparks.is_some());
        let meets_solvent = solvent.map(|solvent| {
            format!("Parted by place or time from the grinding: not before the pins are cold. {}", solvent.text)
        });
        meets_fuel.or(meets_solvent)
    }
}

/// Whether a caution must be acknowledged before its step.
pub(super) fn must_be_acknowledged(caution: &CautionEntry) -> bool {
    caution.level == Level::Stop
}
