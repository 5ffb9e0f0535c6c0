//! The steps that are worth taking from a node. What is left out here is never needed for the cheapest plan.

use super::bits::Bits;
use super::outlook::{Outlook, Rules};
use super::problem::{Node, Problem};
use crate::job::order::Act;

/// Fills `steps` with the steps worth taking.
///
/// # Holds when
/// Left out, at no loss:
/// - opening what no remaining work needs; shutting what remaining work needs, unless other work that may come first,
///   or a rule of opening or shutting, wants it (or what it rests on) shut;
/// - a finisher while what it seals must be open once more, for work or for a shutting: a dead end;
/// - all but one step, where an operation changes neither tools nor job: doing it now can only save (exchange of two
///   steps); while findings are due, only a finding is taken so;
/// - other work while a finding can be had: it would make the finding wait.
pub(super) fn worthwhile<const N: usize>(
    problem: &Problem<N>,
    outlook: &Outlook<N>,
    node: &Node<N>,
    steps: &mut Vec<Act>,
) {
    steps.clear();
    let rules = Rules::of(problem, node.open.or(outlook.wanted_open));
    let still_opens = outlook.wanted_open.or(rules.open);
    let can = |number: &usize| {
        let op = &problem.ops[*number];
        node.done.holds(op.after)
            && op.gate.lets(node.open)
            && !op.finishes.meets(node.open)
            && !op.finishes.meets(still_opens)
    };
    let left = problem.all_ops.minus(node.done);
    let able = Bits::of(left.iter().filter(can));
    let looks = able.and(outlook.due);
    let free = if outlook.due.is_empty() { able } else { looks };
    let changes_nothing = |number: &usize| {
        let op = &problem.ops[*number];
        (op.kit == 0 || op.kit == node.kit) && (op.label == 0 || op.label == node.label)
    };
    if let Some(op) = free.iter().find(changes_nothing) {
        steps.push(Act::Do(op));
        return;
    }
    let may_wait =
        |number: &usize| !looks.is_empty() && !problem.ops[*number].finds && problem.ops[*number].minutes > 0;
    steps.extend(able.iter().filter(|op| !may_wait(op)).map(Act::Do));
    turn_states(problem, outlook, node, &rules, steps);
}

fn turn_states<const N: usize>(
    problem: &Problem<N>,
    outlook: &Outlook<N>,
    node: &Node<N>,
    rules: &Rules<N>,
    steps: &mut Vec<Act>,
) {
    let wanted_open = outlook.wanted_open.or(rules.open);
    for (number, state) in problem.states.iter().enumerate() {
        if node.open.has(number) {
            let needed = outlook.wanted_open.has(number) && !outlook.wanted_shut.has(number) && !rules.shut.has(number);
            if !needed && !state.carries.meets(node.open) && state.close.lets(node.open) {
                steps.push(Act::Close(number));
            }
        } else if wanted_open.has(number)
            && state.gate.lets(node.open)
            && node.done.holds(state.after)
            && !outlook.sealed.has(number)
        {
            steps.push(Act::Open(number));
        }
    }
}
