//! The pairs worth showing, at most five, each through fit and slack before it is called usable, with its parts.

use serde::Serialize;
use upkeep::bike::Bike;

use crate::ask::Gap;
use crate::fact::{Cell, Column, Table};
use crate::fit::{Place, Slot};
use crate::replay::{Replay, Replayed};
use crate::shelf::{self, Needed, Shelf};
use crate::slack;
use crate::words::mm;
use crate::{Reason, Setup, Verdict, verdict};

/// Front teeth tried on each side of the fitted one.
pub(crate) const FRONTS: u32 = 2;
/// Rear teeth tried on each side of the fitted one.
pub(crate) const REARS: u32 = 8;

/// One pair worth showing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Candidate {
    /// Why it is shown: "fitted now", "best", "best with 14 in front".
    pub roles: Vec<String>,
    /// The replay of it.
    pub replayed: Replayed,
    /// Where the axle lands; none if the slot is not on the sheet.
    pub place: Option<Place>,
    /// The slack reading to set with it, mm; none if the swingarm is not on the sheet.
    pub slack_mm: Option<f64>,
    /// The worst of fit and slack: only READY and CARE are usable.
    pub verdict: Verdict,
    /// Why, worst first.
    pub reasons: Vec<Reason>,
    /// The parts that a change to it needs.
    pub parts: Vec<Needed>,
    /// Smallest or largest ratio of the set: nothing further out was compared.
    pub at_edge: bool,
}

/// Every pair around the fitted one that some even chain puts between the stops; what is fitted comes first.
#[must_use]
pub fn set(fitted: Setup, slot: &Slot) -> Vec<Setup> {
    let mut all = vec![fitted];
    for front in fitted.front_teeth.saturating_sub(FRONTS)..=fitted.front_teeth + FRONTS {
        for rear in fitted.rear_teeth.saturating_sub(REARS)..=fitted.rear_teeth + REARS {
            let pair = fitted.pair(front, rear);
            if pair.same_pair(fitted) {
                continue;
            }
            let usable = |setup: &Setup| slot.place(*setup).is_ok_and(|place| place.verdict < Verdict::Unknown);
            let other_chains =
                || slot.even_links(pair).unwrap_or_default().into_iter().map(|links| pair.with_links(links));
            if let Some(setup) = Some(pair).filter(usable).or_else(|| other_chains().find(usable)) {
                all.push(setup);
            }
        }
    }
    all
}

/// Pairs shown at most.
const MOST: usize = 5;

/// Picks the fitted pair, the proposed one, the best, the best with the present front, with the present rear, on the
/// present chain: at most five.
#[must_use]
pub fn pick(bike: &Bike, replay: &Replay, (fitted, proposed): (Setup, Option<Setup>), shelf: &Shelf) -> Vec<Candidate> {
    let find = |fits: &dyn Fn(Setup) -> bool| replay.pairs.iter().find(|pair| fits(pair.setup));
    let other = |setup: Setup| !setup.same_pair(fitted);
    let picks = [
        ("fitted now".to_owned(), find(&|setup| setup.same_pair(fitted))),
        ("proposed".to_owned(), proposed.filter(|setup| other(*setup)).and_then(|setup| find(&|one| one == setup))),
        ("best".to_owned(), find(&|_| true)),
        (
            format!("best with {} in front", fitted.front_teeth),
            find(&|setup| setup.front_teeth == fitted.front_teeth && other(setup)),
        ),
        (
            format!("best with {} behind", fitted.rear_teeth),
            find(&|setup| setup.rear_teeth == fitted.rear_teeth && other(setup)),
        ),
        (
            format!("best on the chain of {} links", fitted.links),
            find(&|setup| setup.links == fitted.links && other(setup)),
        ),
    ];
    let slot = Slot::of(bike);
    let mut shown: Vec<Candidate> = Vec::new();
    for (role, pick) in picks {
        let Some(pick) = pick else { continue };
        let full = shown.len() == MOST;
        match shown.iter_mut().find(|candidate| candidate.replayed.setup == pick.setup) {
            Some(known) => known.roles.push(role),
            None if full => {}
            None => shown.push(judged(bike, slot.as_ref(), (role, pick), (replay, fitted), shelf)),
        }
    }
    shown
}

fn judged(
    bike: &Bike,
    slot: Result<&Slot, &Gap>,
    (role, pick): (String, &Replayed),
    (replay, fitted): (&Replay, Setup),
    shelf: &Shelf,
) -> Candidate {
    let setup = pick.setup;
    let mut reasons = Vec::new();
    let place = match slot.map_err(Clone::clone).and_then(|slot| slot.place(setup)) {
        Ok(place) => {
            reasons.extend(place.reasons.iter().cloned());
            Some(place)
        }
        Err(gap) => {
            reasons.push(gap.reason("Fit"));
            None
        }
    };
    // Where it does not fit, no slack can be set.
    let settable = place.as_ref().is_none_or(|place| place.verdict < Verdict::Unknown);
    let slack_mm = match settable.then(|| slack::setting(bike, setup)) {
        None => None,
        Some(Ok(setting)) => {
            reasons.extend(setting.reasons);
            Some(setting.target_mm)
        }
        Some(Err(gap)) => {
            reasons.push(gap.reason("Slack"));
            None
        }
    };
    verdict::worst_first(&mut reasons);
    reasons.dedup();
    let end = |better: fn(f64, f64) -> bool| {
        replay.pairs.iter().all(|other| other.setup == setup || better(ratio(setup), ratio(other.setup)))
    };
    Candidate {
        roles: vec![role],
        verdict: verdict::of(&reasons),
        reasons,
        place,
        slack_mm,
        parts: shelf::needed(fitted, setup, shelf),
        at_edge: end(|own, other| own <= other) || end(|own, other| own >= other),
        replayed: pick.clone(),
    }
}

fn ratio(setup: Setup) -> f64 {
    f64::from(setup.rear_teeth) / f64::from(setup.front_teeth)
}

/// What fitting each of them takes.
#[must_use]
pub fn table(candidates: &[Candidate]) -> Table {
    let columns = vec![
        Column::words("pair", "Pair"),
        Column::words("roles", "Shown as"),
        Column::words("parts", "Parts"),
        Column::words("fit", "Fit and slack"),
        Column::of("left_mm", "Left to rear stop", "mm"),
        Column::of("slack_mm", "Slack to set", "mm"),
    ];
    let mut table = Table::new("candidates", "What fitting each of them takes", columns);
    table.rows.extend(candidates.iter().map(|candidate| {
        let reason = candidate.reasons.first().map(|reason| format!(": {}", reason.text)).unwrap_or_default();
        let edge = if candidate.at_edge { ", at the edge of the set" } else { "" };
        vec![
            Cell::words(candidate.replayed.setup.pair_words()),
            Cell::words(format!("{}{edge}", candidate.roles.join(", "))),
            Cell::words(shelf::words(&candidate.parts)),
            Cell::words(format!("{}{reason}", candidate.verdict.fit_words())),
            Cell::maybe_of(candidate.place.as_ref().map(|place| place.left_mm), "mm", 1),
            Cell::maybe_of(candidate.slack_mm, "mm", 1),
        ]
    }));
    table
}

/// What fitting the proposed pair takes, in a sentence.
#[must_use]
pub fn words(candidate: &Candidate) -> String {
    let parts = shelf::words(&candidate.parts);
    let place = candidate.place.as_ref();
    let left = place.map(|place| format!(", {} left to the rear stop", mm(place.left_mm))).unwrap_or_default();
    let slack = candidate.slack_mm.map(|slack| format!(", slack to {}", mm(slack))).unwrap_or_default();
    format!("It takes {parts}; {}{left}{slack}.", candidate.verdict.fit_words().to_lowercase())
}
