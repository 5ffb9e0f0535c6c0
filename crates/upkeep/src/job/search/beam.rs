//! The search for a good order where the best one is out of reach: step by step, only the most promising nodes go on.

use super::best_first::{Outlooks, Visits};
use super::moves::worthwhile;
use super::problem::{Node, Problem};
use crate::job::order::Act;
use crate::job::plan::Cost;

/// Steps of a good plan; `None` if every way that was kept ends blind.
pub(crate) fn beam<const N: usize>(problem: &Problem<N>, start: Node<N>, width: usize) -> Option<Vec<Act>> {
    let mut outlooks = Outlooks::of(problem);
    let mut visits = Visits::from(start);
    let mut layer = vec![0];
    let mut best: Option<(Cost, usize)> = None;
    let mut steps = Vec::new();
    while !layer.is_empty() {
        let mut next: Vec<(Cost, usize)> = Vec::new();
        for place in layer {
            let (node, cost) = visits.at(place);
            if problem.is_finished(&node) {
                best = Some(best.map_or((cost, place), |known| known.min((cost, place))));
                continue;
            }
            worthwhile(problem, outlooks.after(node.done), &node, &mut steps);
            for act in steps.iter().copied() {
                let (after, total) = (problem.step(&node, act), cost + problem.cost(&node, act));
                if let Some(place) = visits.meet(after, total, (place, act)) {
                    next.push((total + outlooks.least(&after), place));
                }
            }
        }
        next.retain(|(hoped, _)| best.is_none_or(|(cost, _)| *hoped < cost));
        next.sort_unstable();
        next.dedup_by_key(|(_, place)| *place);
        next.truncate(width);
        layer = next.into_iter().map(|(_, place)| place).collect();
    }
    best.map(|(_, place)| visits.way_to(place))
}
