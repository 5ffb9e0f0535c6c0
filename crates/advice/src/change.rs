//! A change of pair in a row of rides: which of them stand before it, which after.

use crate::Setup;
use crate::demand::Ride;

/// The rides on both sides of a change of pair.
#[derive(Debug, Clone, PartialEq)]
pub struct Change<'a> {
    /// The old pair and the new one.
    pub pairs: [Setup; 2],
    /// Rides on the old pair, the latest first.
    pub before: Vec<&'a Ride>,
    /// Rides on the new pair, the earliest first.
    pub after: Vec<&'a Ride>,
}

/// Finds the change in rides that stand in order of time: from `old` to `new`, by default the last one.
///
/// # Errors
/// A sentence, where there is no change to judge.
pub fn find<'a>(rides: &[&'a Ride], old: Option<Setup>, new: Option<Setup>) -> Result<Change<'a>, String> {
    let ridden: Vec<(&'a Ride, Setup)> = rides.iter().filter_map(|ride| Some((*ride, ride.fitted?))).collect();
    let Some(new) = new.or_else(|| ridden.last().map(|(_, pair)| *pair)) else {
        return Err("No stored ride tells which pair was fitted. Import rides with the pair that they were ridden on."
            .to_owned());
    };
    let other = || ridden.iter().rev().find(|(_, pair)| !pair.same_pair(new)).map(|(_, pair)| *pair);
    let Some(old) = old.or_else(other) else {
        return Err(format!("Every stored ride was ridden on {}: there is no change to judge.", new.pair_words()));
    };
    let on = |pair: Setup| move |(ride, own): &(&'a Ride, Setup)| own.same_pair(pair).then_some(*ride);
    let first_new = ridden.iter().position(|(_, pair)| pair.same_pair(new)).unwrap_or(ridden.len());
    let after: Vec<&Ride> = ridden.iter().filter_map(on(new)).collect();
    let mut before: Vec<&Ride> = ridden.iter().take(first_new).filter_map(on(old)).collect();
    before.reverse();
    if before.is_empty() {
        // Both pairs were ridden in turns: every ride on the old one counts.
        before = ridden.iter().filter_map(on(old)).collect();
    }
    Ok(Change { pairs: [old, new], before, after })
}
