//! What comes before what in every plan: predecessors, what precedes an opening before the work in that state, that work before its
//! finishers, and all that follows from these.

use super::bits::Bits;
use super::problem::Problem;

/// For each operation all that comes before it; `None` where the order bites its own tail, so that no plan exists.
pub(super) fn before<const N: usize>(problem: &Problem<N>) -> Option<Vec<Bits<N>>> {
    let ops = &problem.ops;
    let mut before: Vec<_> = ops
        .iter()
        .map(|op| op.rests.iter().fold(op.after, |before, state| before.or(problem.states[state].after)))
        .collect();
    for (late, set) in before.iter_mut().enumerate() {
        let sealed = ops[late].finishes;
        let work = (0..ops.len()).filter(|early| *early != late && ops[*early].rests.meets(sealed));
        *set = set.or(Bits::of(work));
    }
    close(&mut before);
    let bitten = (0..before.len()).any(|op| before[op].has(op));
    (!bitten).then_some(before)
}

/// Adds what follows: what comes before something that comes before.
fn close<const N: usize>(before: &mut [Bits<N>]) {
    for middle in 0..before.len() {
        let through = before[middle];
        for set in before.iter_mut().filter(|set| set.has(middle)) {
            *set = set.or(through);
        }
    }
}
