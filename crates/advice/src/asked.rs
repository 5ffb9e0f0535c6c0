//! What rides say about the pairs: by replay where the sheet has what it needs, else from the speeds alone.

use upkeep::bike::Bike;

use crate::ask::Gap;
use crate::candidate::{self, Candidate};
use crate::demand::{self, Demand, Ride};
use crate::fact::{Column, Fact, Table};
use crate::fit::Slot;
use crate::proposal::{self, Proposal};
use crate::replay::{self, Replay};
use crate::rides::{self, Rides};
use crate::shelf::Shelf;
use crate::{Setup, Verdict};

/// What rides say about the pairs.
pub(crate) struct Asked {
    pub(crate) replay: Option<Replay>,
    pub(crate) demands: Vec<Demand>,
    pub(crate) facts: Vec<Fact>,
    pub(crate) table: Table,
    pub(crate) candidates: Vec<Candidate>,
    pub(crate) ride_table: Table,
    pub(crate) proposal: Option<Proposal>,
}

impl Default for Asked {
    fn default() -> Self {
        Self {
            replay: None,
            demands: Vec::new(),
            facts: Vec::new(),
            table: demand::shares(&[]),
            candidates: Vec::new(),
            ride_table: Table::new("rides", "The rides behind the answer", vec![Column::words("ride", "Ride")]),
            proposal: None,
        }
    }
}

impl Asked {
    /// By replay if the sheet has what it needs, else from the speeds alone, saying so.
    pub(crate) fn of(
        bike: &Bike,
        rides: &Rides<'_>,
        fitted: Setup,
        slot: Option<&Slot>,
        shelf: &Shelf,
        notes: &mut Vec<String>,
    ) -> Result<Self, Gap> {
        let Some(joined) = rides.joined() else {
            notes.push("Every ride given has the weight 0: none counts.".to_owned());
            return Ok(Self::default());
        };
        let setups = slot.map_or_else(|| vec![fitted], |slot| candidate::set(fitted, slot));
        match replay::of(bike, rides, &setups) {
            Ok(replay) => Self::replayed(bike, (rides, &joined), fitted, replay, shelf, notes),
            Err(gap) => {
                notes.push(format!("No replay, so thrust and shifting are left out: {}", gap.text));
                if rides.all.len() > 1 {
                    notes.push("Without a replay weights do not count: the rides are laid end to end.".to_owned());
                }
                let demands = compare(bike, &joined, fitted, slot)?;
                let facts = demands.first().map(|first| demand::facts(first, &joined)).unwrap_or_default();
                let proposal = proposal::propose(&demands, fitted);
                Ok(Self { table: demand::shares(&demands), demands, facts, proposal, ..Self::default() })
            }
        }
    }

    fn replayed(
        bike: &Bike,
        (rides, joined): (&Rides<'_>, &Ride),
        fitted: Setup,
        replay: Replay,
        shelf: &Shelf,
        notes: &mut Vec<String>,
    ) -> Result<Self, Gap> {
        let demands = vec![demand::of(bike, joined, fitted)?];
        let facts = demand::facts(&demands[0], joined);
        let proposal = replay::propose(&replay, fitted, shelf);
        let proposed = proposal.as_ref().map(|proposal| proposal.setup);
        let candidates = candidate::pick(bike, &replay, (fitted, proposed), shelf);
        notes.push(format!(
            "Ground assumed: {}. Rolling and grip are handbook values for other tyres, good to a factor of two.",
            rides.grounds()
        ));
        notes.push(replay.weights.clone());
        let mut asked =
            Self { table: replay::table(&candidates), proposal, candidates, demands, facts, ..Self::default() };
        if rides.all.len() > 1 {
            asked.ride_table = rides::table(bike, rides, &replay.share_pct, fitted)?;
            if let Some(fastest) = rides.all.get(replay.fastest as usize) {
                notes.push(format!(
                    "Of these rides \"{}\" leaves the least headroom and decides it.",
                    fastest.ride.name
                ));
            }
        }
        asked.replay = Some(replay);
        Ok(asked)
    }
}

/// The fitted pair, then every pair around it that could be fitted on the present chain.
fn compare(bike: &Bike, ride: &Ride, fitted: Setup, slot: Option<&Slot>) -> Result<Vec<Demand>, Gap> {
    let mut all = vec![demand::of(bike, ride, fitted)?];
    for front in fitted.front_teeth.saturating_sub(1)..=fitted.front_teeth + 1 {
        for rear in fitted.rear_teeth.saturating_sub(3)..=fitted.rear_teeth + 3 {
            let other = fitted.pair(front, rear);
            let usable = slot.is_none_or(|slot| slot.place(other).is_ok_and(|place| place.verdict < Verdict::Unknown));
            if !other.same_pair(fitted) && usable {
                all.push(demand::of(bike, ride, other)?);
            }
        }
    }
    Ok(all)
}
