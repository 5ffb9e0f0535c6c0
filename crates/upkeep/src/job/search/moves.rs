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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::search::Criteria;
    use crate::job::search::outlook::Foresight;
    use crate::job::{Job, JobOp, Library, Literal, Operation, Order, Progress, State};

    fn operation(id: &str, kit: &str, needs: &[&str], finds: bool) -> Operation {
        Operation {
            id: id.to_owned(),
            needs: needs.iter().map(|need| Literal::of(need)).collect(),
            after: Vec::new(),
            minutes: 5,
            kit: kit.to_owned(),
            opens: Vec::new(),
            finishes: Vec::new(),
            when: None,
            rides: false,
            finds,
            on_fail: Vec::new(),
        }
    }

    fn state(id: &str, kit: &str) -> State {
        State {
            id: id.to_owned(),
            open_min: 1,
            close_min: 1,
            needs: Vec::new(),
            close_needs: Vec::new(),
            open_after: Vec::new(),
            kit: kit.to_owned(),
            parts: Vec::new(),
            on_fail: Vec::new(),
        }
    }

    /// Each operation is a job of its own.
    fn library(states: &[State], ops: &[Operation]) -> Library {
        let job = |op: &Operation| Job {
            id: format!("j{}", op.id),
            covers: Vec::new(),
            ops: vec![JobOp::Own(op.clone())],
            parts: Vec::new(),
            consumables: Vec::new(),
        };
        Library { states: states.to_vec(), jobs: ops.iter().map(job).collect(), ..Library::default() }
    }

    /// The steps worth taking, as they are written.
    fn worth(library: &Library, open: &[&str], done: &[&str], kit: &'static str, job: &'static str) -> Vec<String> {
        let jobs: Vec<&str> = library.jobs.iter().map(|job| job.id.as_str()).collect();
        let order = Order::build(library, &jobs, &[]).expect("an order");
        let act = |token: String| order.act(&token).expect("a step");
        let index = |act: Act| match act {
            Act::Open(at) | Act::Close(at) | Act::Do(at) => at,
        };
        let progress = Progress {
            open: open.iter().map(|id| index(act(format!("open:{id}")))).collect(),
            done: done.iter().map(|id| index(act(format!("do:{id}")))).collect(),
            kit,
            job,
        };
        let (problem, node) = Problem::<1>::of(&order, &progress, Criteria::All);
        let outlook = Foresight::of(&problem).after(&problem, node.done);
        let mut steps = vec![Act::Do(63)];
        worthwhile(&problem, &outlook, &node, &mut steps);
        let mut told: Vec<String> = steps.into_iter().map(|act| order.token(act)).collect();
        told.sort();
        told
    }

    #[test]
    fn work_that_changes_neither_tools_nor_job_is_taken_at_once_and_alone() {
        let ops = [operation("a", "x", &[], false), operation("b", "y", &[], false), operation("c", "", &["s"], false)];
        let library = library(&[state("s", "")], &ops);
        assert_eq!(worth(&library, &[], &[], "", ""), ["do:a", "do:b", "open:s"]);
        assert_eq!(worth(&library, &[], &[], "x", "ja"), ["do:a"]);
        assert_eq!(worth(&library, &[], &[], "y", "jb"), ["do:b"]);
        assert_eq!(worth(&library, &[], &[], "x", "jb"), ["do:a", "do:b", "open:s"], "tools or job would change");
        assert_eq!(worth(&library, &["s"], &[], "x", "jc"), ["do:c"], "no tools are no change");
    }

    #[test]
    fn while_a_finding_can_be_had_nothing_makes_it_wait_but_what_takes_no_time() {
        let quick = Operation { minutes: 0, ..operation("q", "w", &[], false) };
        let ops =
            [operation("a", "x", &[], false), operation("f", "y", &[], true), quick, operation("g", "z", &["s"], true)];
        let library = library(&[state("s", "")], &ops);
        assert_eq!(worth(&library, &[], &[], "", ""), ["do:f", "do:q", "open:s"]);
        assert_eq!(worth(&library, &[], &[], "x", "ja"), ["do:f", "do:q", "open:s"], "nothing else is free");
        assert_eq!(worth(&library, &[], &[], "y", "jf"), ["do:f"]);
        // The other finding is not to be had yet: work goes on.
        assert_eq!(worth(&library, &[], &["f"], "", ""), ["do:a", "do:q", "open:s"]);
        assert_eq!(
            worth(&library, &[], &["f"], "x", "ja"),
            ["do:a", "do:q", "open:s"],
            "while one is due only it is free"
        );
        assert_eq!(worth(&library, &["s"], &["f", "g"], "x", "ja"), ["do:a"]);
    }

    #[test]
    fn a_state_is_opened_for_work_alone_and_shut_when_none_wants_it_open_or_some_wants_it_shut() {
        let mut top = state("top", "");
        top.needs = vec![Literal::of("base")];
        let ops = [operation("a", "x", &["top"], false), operation("b", "y", &["!base"], false)];
        let library = library(&[state("base", ""), top], &ops);
        assert_eq!(worth(&library, &[], &[], "", ""), ["do:b", "open:base"]);
        assert_eq!(worth(&library, &["base"], &[], "", ""), ["close:base", "open:top"]);
        assert_eq!(worth(&library, &["base", "top"], &[], "", ""), ["close:top", "do:a"]);
        assert_eq!(worth(&library, &["base", "top"], &["b"], "", ""), ["do:a"]);
        assert_eq!(worth(&library, &["base", "top"], &["a"], "", ""), ["close:top"]);
        assert_eq!(worth(&library, &[], &["a"], "", ""), ["do:b"]);
    }

    #[test]
    fn a_finisher_waits_until_nothing_wants_open_what_it_seals_and_then_nothing_opens_it() {
        let mut library = library(
            &[state("s", ""), state("t", "")],
            &[operation("a", "x", &["s"], false), operation("b", "y", &["t"], false)],
        );
        library.finishers = vec![Operation { finishes: vec!["s".to_owned()], ..operation("seal", "z", &[], false) }];
        assert_eq!(worth(&library, &[], &[], "", ""), ["open:s", "open:t"]);
        assert_eq!(worth(&library, &["s"], &["a"], "", ""), ["close:s", "open:t"]);
        assert_eq!(worth(&library, &[], &["a"], "", ""), ["do:seal", "open:t"]);
        assert_eq!(worth(&library, &[], &["seal"], "", ""), ["open:t"]);
        // A shutting that wants it open keeps it from being sealed.
        library.states[1].close_needs = vec![Literal::of("s")];
        assert_eq!(worth(&library, &["t"], &["a", "b"], "", ""), ["open:s"]);
        assert_eq!(worth(&library, &["s", "t"], &["a", "b"], "", ""), ["close:s", "close:t"]);
    }
}
