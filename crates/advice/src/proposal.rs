//! What to run on like ground, from the ride's speeds alone: stay or change, why, what is next best, how sure.
//!
//! Does not live here: thrust, shifting, wear of either pair. The replay has the first two.

use serde::Serialize;

use crate::Setup;
use crate::demand::Demand;
use crate::words::{kmh, number};

/// A pair keeps this much speed over the ride's fast end, or it is not proposed. The tool's own threshold.
pub const LEAST_HEADROOM_PCT: f64 = 5.0;
/// Pairs whose clutch-slip time differs by less than this are as good. The tool's own threshold.
pub const AS_GOOD_PCT: f64 = 1.0;

/// What to run, and why.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Proposal {
    /// The pair proposed; the fitted one means stay.
    pub setup: Setup,
    /// Whether that is the fitted pair.
    pub stay: bool,
    /// The sentence that answers the question.
    pub headline: String,
    /// The differences that decided, in figures.
    pub because: Vec<String>,
    /// Pairs that are as good by the rule in force.
    pub as_good: Vec<String>,
    /// The next best pair and what speaks for it.
    pub rival: String,
    /// How sure it is.
    pub certainty: String,
    /// What would change it.
    pub changes: String,
}

/// How many parts a change takes: one sprocket beats two, the same chain beats a new one.
#[must_use]
pub fn parts_changed(from: Setup, to: Setup) -> u32 {
    u32::from(from.front_teeth != to.front_teeth)
        + u32::from(from.rear_teeth != to.rear_teeth)
        + u32::from(from.links != to.links)
}

/// Proposes the pair that slips the clutch least and keeps the headroom; of those as good, the one with fewest parts
/// changed. This is the form without a replay: it knows speed, not thrust.
#[must_use]
pub fn propose(demands: &[Demand], fitted: Setup) -> Option<Proposal> {
    let present = demands.first()?;
    let keeps = |demand: &&Demand| demand.headroom_pct >= LEAST_HEADROOM_PCT && demand.over_pct <= 1.0;
    let able: Vec<&Demand> = demands.iter().filter(keeps).collect();
    if able.is_empty() {
        return Some(none_keeps_up(demands, fitted));
    }
    let least = able.iter().map(|demand| demand.below_crawl_pct).fold(f64::INFINITY, f64::min);
    let mut good: Vec<&Demand> =
        able.iter().copied().filter(|demand| demand.below_crawl_pct <= least + AS_GOOD_PCT).collect();
    good.sort_by(|a, b| {
        let order = |demand: &Demand| {
            (parts_changed(fitted, demand.setup), demand.setup.front_teeth.abs_diff(fitted.front_teeth))
        };
        order(a).cmp(&order(b)).then(change(a, present).total_cmp(&change(b, present)))
    });
    let best = *good.first()?;
    let rival = good.get(1).copied().or_else(|| able.iter().copied().find(|other| other.setup != best.setup));
    Some(worded(best, present, rival, fitted))
}

/// How far a pair's top lies from the fitted one's: the smaller change is the safer bet.
fn change(demand: &Demand, present: &Demand) -> f64 {
    (demand.top_geared_kmh - present.top_geared_kmh).abs()
}

fn none_keeps_up(demands: &[Demand], fitted: Setup) -> Proposal {
    let fast = demands.first().map_or(0.0, |demand| demand.fast_kmh);
    Proposal {
        setup: fitted,
        stay: true,
        headline: format!(
            "Stay on {}: no pair on this chain keeps {} % over the ride's fast end.",
            fitted.pair_words(),
            number(LEAST_HEADROOM_PCT, 0)
        ),
        because: vec![format!("Fast end of the ride: {}", kmh(fast))],
        as_good: Vec::new(),
        rival: String::new(),
        certainty: "the ride is faster than the pairs compared: widen the set".to_owned(),
        changes: "a longer chain or another front sprocket opens taller pairs".to_owned(),
    }
}

fn worded(best: &Demand, present: &Demand, rival: Option<&Demand>, fitted: Setup) -> Proposal {
    let stay = best.setup.same_pair(fitted);
    let headline = if stay {
        format!("Stay on {}.", fitted.pair_words())
    } else {
        format!("Change to {}, on the chain that is fitted.", best.setup.pair_words())
    };
    let arrow = |label: &str, from: String, to: String| {
        if stay { format!("{label} {from}") } else { format!("{label} {from} → {to}") }
    };
    let first = |demand: &Demand| demand.gear_pct.first().copied().unwrap_or_default();
    let because = vec![
        arrow(
            "clutch slips or engine labours",
            format!("{} % of the time", number(present.below_crawl_pct, 1)),
            format!("{} %", number(best.below_crawl_pct, 1)),
        ),
        arrow("first gear", format!("{} %", number(first(present), 0)), format!("{} %", number(first(best), 0))),
        arrow("top at the limiter", kmh(present.top_geared_kmh), kmh(best.top_geared_kmh)),
        format!("{} % over the ride's fast end of {}", number(best.headroom_pct, 0), kmh(best.fast_kmh)),
    ];
    Proposal {
        setup: best.setup,
        stay,
        headline,
        because,
        as_good: Vec::new(),
        rival: rival.map(|rival| rival_words(rival, best)).unwrap_or_default(),
        certainty: "from speed alone: gears are a rule, thrust and shifting are not in it".to_owned(),
        changes: "a ride on other ground, a fast stretch that this ride does not have, a limit at the top that the fitted gearing set".to_owned(),
    }
}

fn rival_words(rival: &Demand, best: &Demand) -> String {
    format!(
        "{}: clutch slips {} % of the time against {} %, headroom {} % against {} %",
        rival.setup.pair_words(),
        number(rival.below_crawl_pct, 1),
        number(best.below_crawl_pct, 1),
        number(rival.headroom_pct, 0),
        number(best.headroom_pct, 0)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_part_of_another_count_is_one_part_changed() {
        let from = Setup { front_teeth: 14, rear_teeth: 48, links: 118 };
        for bits in 0..8_u32 {
            let [front, rear, links] = [0, 1, 2].map(|at| bits >> at & 1);
            let to = Setup { front_teeth: 14 - front, rear_teeth: 48 + 2 * rear, links: 118 + 2 * links };
            assert_eq!(parts_changed(from, to), bits.count_ones(), "{to}");
            assert_eq!(parts_changed(to, from), bits.count_ones(), "{to}, back");
        }
    }

    const FITTED: Setup = Setup { front_teeth: 14, rear_teeth: 48, links: 118 };

    fn demand(setup: Setup, below_crawl_pct: f64, headroom_pct: f64, over_pct: f64, top_geared_kmh: f64) -> Demand {
        Demand {
            ride: "a ride".into(),
            setup,
            gear_pct: vec![40.0, 60.0],
            below_crawl_pct,
            crawl_kmh: 12.0,
            slow_kmh: 10.0,
            median_kmh: 20.0,
            fast_kmh: 80.0,
            top_geared_kmh,
            headroom_pct,
            over_pct,
            classes: Vec::new(),
        }
    }

    /// What is proposed where the fitted pair slips for a fifth of the time and one other is compared with it.
    fn against(other: Demand) -> Proposal {
        propose(&[demand(FITTED, 20.0, 10.0, 0.0, 110.0), other], FITTED).expect("a proposal")
    }

    #[test]
    fn a_pair_that_just_keeps_its_headroom_and_its_limiter_is_proposed_and_a_slower_one_is_not() {
        let other = FITTED.pair(13, 48);
        for (headroom, over, able) in [(5.0, 1.0, true), (4.9, 0.0, false), (9.0, 1.1, false), (9.0, 0.0, true)] {
            let proposal = against(demand(other, 5.0, headroom, over, 100.0));
            assert_eq!((proposal.setup == other, proposal.stay), (able, !able), "{headroom} {over}");
        }
        let none = propose(&[demand(FITTED, 20.0, 4.0, 0.0, 84.0)], FITTED).expect("a proposal");
        assert!(none.stay && none.headline.contains("no pair on this chain keeps 5 %"), "{}", none.headline);
        assert_eq!(none.because, [format!("Fast end of the ride: {}", kmh(80.0))]);
        assert!(propose(&[], FITTED).is_none());
    }

    #[test]
    fn what_is_as_good_stays_and_the_rival_is_named_with_both_figures() {
        let other = FITTED.pair(13, 48);
        // Within a point of the least the fitted pair is as good, and takes no part.
        for (below, stays) in [(19.0, true), (18.9, false), (20.0, true)] {
            let proposal = against(demand(other, below, 9.0, 0.0, 102.0));
            assert_eq!(proposal.stay, stays, "{below}");
            let (rival, best) = if stays { (other, FITTED) } else { (FITTED, other) };
            assert!(
                proposal.rival.starts_with(&format!("{}: clutch slips ", rival.pair_words())),
                "{}",
                proposal.rival
            );
            assert_eq!(proposal.headline.starts_with("Stay on 14/48"), best == FITTED);
            assert_eq!(proposal.because[0].contains('→'), !stays, "{:?}", proposal.because);
            assert!(proposal.because[1].starts_with("first gear 40 %"), "{:?}", proposal.because);
        }
    }

    #[test]
    fn of_pairs_as_good_the_one_with_fewer_parts_then_the_nearer_front_then_the_nearer_top_is_proposed() {
        let of = |others: &[(Setup, f64)]| {
            let mut all = vec![demand(FITTED, 60.0, 10.0, 0.0, 110.0)];
            all.extend(others.iter().map(|(setup, top)| demand(*setup, 10.0, 10.0, 0.0, *top)));
            propose(&all, FITTED).expect("a proposal").setup
        };
        let (front, both) = (FITTED.pair(13, 48), FITTED.pair(13, 50));
        assert_eq!([of(&[(both, 110.0), (front, 90.0)]), of(&[(front, 90.0), (both, 110.0)])], [front; 2]);
        let (near, far) = (FITTED.pair(13, 48), FITTED.pair(12, 48));
        assert_eq!([of(&[(far, 110.0), (near, 90.0)]), of(&[(near, 90.0), (far, 110.0)])], [near; 2]);
        let (one, two) = (FITTED.pair(14, 50), FITTED.pair(14, 46));
        assert_eq!(
            [of(&[(one, 105.0), (two, 116.0)]), of(&[(two, 116.0), (one, 105.0)])],
            [one; 2],
            "5 below, 6 above"
        );
        assert_eq!(
            [of(&[(one, 103.0), (two, 116.0)]), of(&[(two, 116.0), (one, 103.0)])],
            [two; 2],
            "7 below, 6 above"
        );
    }
}
