//! What to buy so that a season's rides can each be geared for, and what the changes cost at the bench.
//!
//! Lives here: the question, its limits and the frontier of answers. The least minutes for one set of parts are
//! found in [`path`].

mod path;

use std::collections::BTreeSet;

use measure::Links;

use super::pair::Pair;
use path::{Board, Parts};

/// A pair with a chain that stays in the slot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Triple {
    /// The sprockets.
    pub pair: Pair,
    /// The chain.
    pub links: Links,
}

impl Triple {
    const fn counts(self) -> [u16; 3] {
        [self.pair.front.count(), self.pair.rear.count(), self.links.count()]
    }
}

/// Minutes of bench work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Change {
    /// Another front sprocket.
    pub front_min: u16,
    /// Another rear sprocket.
    pub rear_min: u16,
    /// Another chain.
    pub links_min: u16,
    /// Once for every change, whatever is changed: slack, alignment, torque.
    pub settle_min: u16,
}

/// One ride: the pairs that are acceptable for it.
pub type Ride = Vec<Pair>;

/// The question.
#[derive(Debug, Clone)]
pub struct Season {
    /// The rides in calendar order.
    pub rides: Vec<Ride>,
    /// What stays in the slot.
    pub fits: Vec<Triple>,
    /// What is on the bike now; it counts as owned.
    pub fitted: Option<Triple>,
    /// Front sprockets at hand.
    pub owned_front: Vec<u16>,
    /// Rear sprockets at hand.
    pub owned_rear: Vec<u16>,
    /// Chains at hand, by their links.
    pub owned_links: Vec<u16>,
    /// How many chains the season may use.
    pub most_chains: usize,
    /// What a change costs.
    pub change: Change,
}

/// Why a season cannot be planned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KitFault {
    /// More parts come into question than every combination of can be tried.
    TooMany {
        /// Front sprockets to buy that come into question.
        fronts: usize,
        /// Rear sprockets to buy that come into question.
        rears: usize,
        /// Link counts that come into question.
        links: usize,
    },
}

/// A set of parts to buy and the plan it allows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kit {
    /// Parts to buy.
    pub pieces: usize,
    /// Front sprockets to buy, rising.
    pub fronts: Vec<u16>,
    /// Rear sprockets to buy, rising.
    pub rears: Vec<u16>,
    /// Link counts that the plan may use, owned ones included, rising.
    pub links: Vec<u16>,
    /// Minutes of all changes.
    pub minutes: u32,
    /// Number of changes.
    pub changes: u32,
    /// Front, rear and links for each ride; `None` where nothing fits.
    pub plan: Vec<Option<[u16; 3]>>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeasonPlan {
    /// From the fewest pieces on, each larger kit only where it saves minutes.
    pub kits: Vec<Kit>,
    /// Rides (from 1) for which no acceptable pair fits.
    pub uncovered: Vec<usize>,
}

/// Most front sprockets to buy, rear sprockets to buy and link counts that are tried in every combination.
pub const MOST: [usize; 3] = [6, 10, 4];

impl Season {
    /// Plans the season.
    ///
    /// # Formula
    /// Every set of link counts (at most `most_chains`), every set of front and rear sprockets to buy, by rising
    /// number of pieces; for each the least total minutes over the rides. A change costs
    /// `settle + front + rear + links`, each only where it differs. Ties: the smaller front, rear, link sets in
    /// order; among plans fewer changes, then the first in order.
    ///
    /// # Holds when
    /// At most 60 rides: a cost counts up to 63 changes beside the minutes.
    ///
    /// # Errors
    /// More parts than [`MOST`].
    pub fn plan(&self) -> Result<SeasonPlan, KitFault> {
        let options: Vec<Vec<[u16; 3]>> = self.rides.iter().map(|pairs| self.options(pairs)).collect();
        let uncovered: Vec<usize> =
            (1..).zip(&options).filter(|(_, all)| all.is_empty()).map(|(ride, _)| ride).collect();
        let parts = self.parts(&options)?;
        let covered: Vec<&Vec<[u16; 3]>> = options.iter().filter(|all| !all.is_empty()).collect();
        if covered.is_empty() {
            return Ok(SeasonPlan { kits: Vec::new(), uncovered });
        }
        let mut board = Board::new(&parts, &covered, self.fitted.map(Triple::counts), self.change);
        let kits = frontier(&parts, &mut board)
            .into_iter()
            .map(|found| {
                let mut plan = board.plan(found.buy).into_iter();
                let plan: Vec<Option<[u16; 3]>> =
                    options.iter().map(|all| if all.is_empty() { None } else { plan.next() }).collect();
                found.kit(&parts, plan, self.fitted.map(Triple::counts))
            })
            .collect();
        Ok(SeasonPlan { kits, uncovered })
    }

    fn options(&self, pairs: &[Pair]) -> Vec<[u16; 3]> {
        rising(self.fits.iter().filter(|fit| pairs.contains(&fit.pair)).map(|fit| fit.counts()))
    }

    fn parts(&self, options: &[Vec<[u16; 3]>]) -> Result<Parts, KitFault> {
        let fitted = self.fitted.map(Triple::counts);
        let owned = [&self.owned_front, &self.owned_rear, &self.owned_links];
        let used = |at: usize| rising(options.iter().flatten().map(|option| option[at]));
        let is_owned =
            |at: usize, count: u16| owned[at].contains(&count) || fitted.is_some_and(|fitted| fitted[at] == count);
        let to_buy = |at: usize| used(at).into_iter().filter(|count| !is_owned(at, *count)).collect::<Vec<u16>>();
        let (fronts, rears, links) = (to_buy(0), to_buy(1), used(2));
        if fronts.len() > MOST[0] || rears.len() > MOST[1] || links.len() > MOST[2] {
            return Err(KitFault::TooMany { fronts: fronts.len(), rears: rears.len(), links: links.len() });
        }
        let chains_to_buy = links.iter().map(|count| !is_owned(2, *count)).collect();
        Ok(Parts { fronts, rears, links, chains_to_buy, most_chains: self.most_chains })
    }
}

/// What is bought, as bits over the parts, and what the season then costs.
#[derive(Debug, Clone, Copy)]
struct Found {
    buy: [u32; 3],
    minutes: u32,
}

impl Found {
    fn kit(self, parts: &Parts, plan: Vec<Option<[u16; 3]>>, fitted: Option<[u16; 3]>) -> Kit {
        let mut last = fitted;
        let mut changes = 0;
        for option in plan.iter().flatten() {
            changes += u32::from(last.is_some_and(|last| last != *option));
            last = Some(*option);
        }
        Kit {
            pieces: parts.pieces(self.buy),
            fronts: picked(&parts.fronts, self.buy[0]),
            rears: picked(&parts.rears, self.buy[1]),
            links: picked(&parts.links, self.buy[2]),
            minutes: self.minutes,
            changes,
            plan,
        }
    }

    /// Less is better: minutes, then the sets in order.
    fn before(self, other: Self, parts: &Parts) -> bool {
        let key = |found: Self| {
            (
                found.minutes,
                picked(&parts.fronts, found.buy[0]),
                picked(&parts.rears, found.buy[1]),
                picked(&parts.links, found.buy[2]),
            )
        };
        self.minutes < other.minutes || (self.minutes == other.minutes && key(self) < key(other))
    }
}

/// Each once, in order.
fn rising<T: Ord>(all: impl Iterator<Item = T>) -> Vec<T> {
    all.collect::<BTreeSet<T>>().into_iter().collect()
}

fn picked(all: &[u16], bits: u32) -> Vec<u16> {
    all.iter().enumerate().filter(|(at, _)| bits >> at & 1 == 1).map(|(_, count)| *count).collect()
}

/// The kits that no smaller kit equals.
fn frontier(parts: &Parts, board: &mut Board<'_>) -> Vec<Found> {
    let sets = parts.link_sets();
    let every = [(1 << parts.fronts.len()) - 1, (1 << parts.rears.len()) - 1];
    let Some(floor) = sets.iter().filter_map(|links| board.minutes([every[0], every[1], *links])).min() else {
        return Vec::new();
    };
    let mut kits: Vec<Found> = Vec::new();
    for pieces in 0..=parts.fronts.len() + parts.rears.len() + parts.links.len() {
        let below = kits.last().map_or(u32::MAX, |kit| kit.minutes);
        if let Some(found) = best_of(parts, board, &sets, every, pieces, below) {
            kits.push(found);
            if found.minutes == floor {
                break;
            }
        }
    }
    kits
}

/// The best kit of exactly so many pieces that costs less than `below` minutes.
fn best_of(
    parts: &Parts,
    board: &mut Board<'_>,
    sets: &[u32],
    every: [u32; 2],
    pieces: usize,
    below: u32,
) -> Option<Found> {
    let mut found: Option<Found> = None;
    for links in sets {
        let Some(sprockets) = pieces.checked_sub(parts.chains_bought(*links)) else { continue };
        for front in 0..=every[0] {
            let Some(rears) = sprockets.checked_sub(front.count_ones() as usize) else { continue };
            for rear in (0..=every[1]).filter(|rear| rear.count_ones() as usize == rears) {
                let buy = [front, rear, *links];
                let useful = |minutes: u32| minutes < below && found.is_none_or(|found| minutes <= found.minutes);
                // What all rears, or all fronts, would allow is a floor: most kits fall here.
                let hopeful = [[front, every[1], *links], [every[0], rear, *links]]
                    .into_iter()
                    .all(|wider| board.minutes(wider).is_some_and(useful));
                let Some(minutes) = hopeful.then(|| board.minutes(buy)).flatten().filter(|minutes| useful(*minutes))
                else {
                    continue;
                };
                let this = Found { buy, minutes };
                if found.is_none_or(|best| this.before(best, parts)) {
                    found = Some(this);
                }
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A season of one ride for each fit, nothing owned.
    fn season(fits: &[[u16; 3]]) -> Season {
        let fits: Vec<Triple> = fits
            .iter()
            .map(|[front, rear, links]| Triple {
                pair: Pair::of(*front, *rear).expect("teeth"),
                links: Links::new(*links).expect("links"),
            })
            .collect();
        Season {
            rides: fits.iter().map(|fit| vec![fit.pair]).collect(),
            fits,
            fitted: None,
            owned_front: vec![],
            owned_rear: vec![],
            owned_links: vec![],
            most_chains: 4,
            change: Change { front_min: 20, rear_min: 30, links_min: 10, settle_min: 5 },
        }
    }

    #[test]
    fn as_many_parts_as_the_limit_are_looked_at_and_one_more_is_refused() {
        let fronts = |count: u16| season(&(0..count).map(|n| [10 + n, 48, 112]).collect::<Vec<_>>()).plan();
        let rears = |count: u16| season(&(0..count).map(|n| [13, 40 + n, 112]).collect::<Vec<_>>()).plan();
        let links = |count: u16| season(&(0..count).map(|n| [13, 48, 108 + 2 * n]).collect::<Vec<_>>()).plan();
        assert!(fronts(6).is_ok() && rears(10).is_ok() && links(4).is_ok());
        assert_eq!(fronts(7), Err(KitFault::TooMany { fronts: 7, rears: 1, links: 1 }));
        assert_eq!(rears(11), Err(KitFault::TooMany { fronts: 1, rears: 11, links: 1 }));
        assert_eq!(links(5), Err(KitFault::TooMany { fronts: 1, rears: 1, links: 5 }));
    }

    #[test]
    fn what_is_owned_or_fitted_is_not_bought_and_counts_for_nothing() {
        let mut season = season(&[[13, 48, 112], [14, 50, 114]]);
        assert_eq!(season.plan().map(|plan| plan.kits[0].pieces), Ok(6));
        season.owned_front = vec![13];
        season.owned_links = vec![114];
        assert_eq!(season.plan().map(|plan| plan.kits[0].pieces), Ok(4));
        season.fitted = season.fits.first().copied();
        let plan = season.plan().expect("few parts");
        let kit = &plan.kits[0];
        assert_eq!((kit.pieces, &kit.fronts, &kit.rears), (2, &vec![14], &vec![50]));
        assert_eq!((kit.minutes, kit.changes), (65, 1));
        assert_eq!(kit.plan, [Some([13, 48, 112]), Some([14, 50, 114])]);
    }

    #[test]
    fn a_ride_that_nothing_fits_is_named_by_its_number() {
        let mut season = season(&[[13, 48, 112]]);
        season.rides.insert(0, vec![Pair::of(12, 40).expect("teeth")]);
        let plan = season.plan().expect("few parts");
        assert_eq!((plan.uncovered, plan.kits[0].plan.clone()), (vec![1], vec![None, Some([13, 48, 112])]));
        season.rides.pop();
        assert_eq!(season.plan(), Ok(SeasonPlan { kits: vec![], uncovered: vec![1] }));
    }

    #[test]
    fn of_sets_as_quick_the_one_with_the_smaller_parts_is_named() {
        let mut season = season(&[[13, 48, 112], [13, 50, 112], [12, 48, 112]]);
        let all = season.rides.concat();
        season.rides = vec![all];
        let plan = season.plan().expect("few parts");
        let kit = &plan.kits[0];
        assert_eq!((kit.pieces, &kit.fronts, &kit.rears, kit.minutes), (3, &vec![12], &vec![48], 0));
        assert_eq!(picked(&[10, 20, 30, 40], 0b1010), [20, 40]);
    }
}
