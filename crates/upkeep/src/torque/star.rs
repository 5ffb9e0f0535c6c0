//! The order in which the bolts of a circle are tightened, and the passes. Rows of bolts (covers) do not live here.

/// The star order of `bolts` in a circle, numbered clockwise from 1.
///
/// # Formula
/// star(1) = 0; odd n: k·⌊n/2⌋ mod n for k = 0…n−1; even n: for each i of star(n/2): i, i + n/2. Own rule; it gives the
/// published cross patterns of 8 and 12 bolts.
///
/// # Source
/// star-order.
#[must_use]
pub fn star_order(bolts: u32) -> Vec<u32> {
    from_zero(bolts).into_iter().map(|bolt| bolt + 1).collect()
}

fn from_zero(bolts: u32) -> Vec<u32> {
    match bolts {
        0 => Vec::new(),
        1 => vec![0],
        odd if odd % 2 == 1 => (0..odd).map(|turn| turn * (odd / 2) % odd).collect(),
        even => from_zero(even / 2).into_iter().flat_map(|bolt| [bolt, bolt + even / 2]).collect(),
    }
}

/// One round over all bolts.
#[derive(Debug, Clone, PartialEq)]
pub struct Pass {
    /// Share of the final torque; 0 is snug by hand.
    pub pct: f64,
    /// Which bolt after which, clockwise from 1.
    pub order: Vec<u32>,
}

/// The passes: by hand, the stages in star order, then one round clockwise at the final torque until nothing moves.
#[must_use]
pub fn passes(bolts: u32, stages_pct: &[f64]) -> Vec<Pass> {
    let star = star_order(bolts);
    let stages = std::iter::once(0.0).chain(stages_pct.iter().copied());
    let mut rounds: Vec<_> = stages.map(|pct| Pass { pct, order: star.clone() }).collect();
    rounds.push(Pass { pct: 100.0, order: (1..=bolts).collect() });
    rounds
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_bolt_comes_once() {
        for bolts in 1..=36 {
            let mut order = star_order(bolts);
            order.sort_unstable();
            assert_eq!(order, (1..=bolts).collect::<Vec<_>>());
        }
    }

    #[test]
    fn the_second_bolt_of_an_even_circle_lies_opposite() {
        for bolts in (2..=36).step_by(2) {
            assert_eq!(star_order(bolts)[1], bolts / 2 + 1);
        }
    }

    #[test]
    fn the_last_round_goes_clockwise_at_the_full_torque() {
        let rounds = passes(6, &[30.0, 70.0, 100.0]);
        assert_eq!(rounds.len(), 5);
        assert!(rounds.last().is_some_and(|last| last.order == [1, 2, 3, 4, 5, 6] && last.pct >= 100.0));
    }
}
