//! Plans of small made-up libraries against a walk over everything that can be done, rule by rule.

mod made;

use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};

use made::{job, owned, plain, rests};
use proptest::prelude::*;
use proptest::sample::{Index, select, subsequence};
use upkeep::job::{
    Act, Library, Literal, Need, Operation, Order, OrderFault, Progress, State, least_access, plan, plan_from,
};

const STATES: [&str; 3] = ["s0", "s1", "s2"];
const OPS: [&str; 5] = ["o0", "o1", "o2", "o3", "o4"];

/// Minutes of access, minutes that findings wait, kits picked up, jobs gone over to.
type Cost = [u64; 4];

/// Where a walk stands.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
struct At<'l> {
    open: Vec<usize>,
    done: Vec<usize>,
    kit: &'l str,
    job: &'l str,
}

impl<'l> At<'l> {
    fn holds(&self, need: &Need) -> bool {
        need.open.iter().all(|state| self.open.contains(state))
            && !need.shut.iter().any(|state| self.open.contains(state))
            && (!need.all_shut || self.open.is_empty())
    }

    fn did(&self, ops: &[usize]) -> bool {
        ops.iter().all(|op| self.done.contains(op))
    }

    /// Whether the rules let a step be made.
    fn lets(&self, order: &Order<'l>, act: Act) -> bool {
        match act {
            Act::Open(state) => {
                let sealed = self.done.iter().any(|op| order.ops[*op].finishes.contains(&state));
                let wants = &order.states[state];
                !self.open.contains(&state) && !sealed && self.holds(&wants.needs) && self.did(&wants.open_after)
            }
            Act::Close(state) => {
                let carries = self.open.iter().any(|other| order.states[*other].needs.open.contains(&state));
                self.open.contains(&state) && !carries && self.holds(&order.states[state].close_needs)
            }
            Act::Do(op) => {
                let wants = &order.ops[op];
                let finishes = wants.finishes.iter().all(|state| !self.open.contains(state));
                !self.done.contains(&op) && self.holds(&wants.needs) && finishes && self.did(&wants.after)
            }
        }
    }

    fn after(&self, order: &Order<'l>, act: Act) -> (Self, Cost) {
        let (mut next, mut cost) = (self.clone(), [0; 4]);
        match act {
            Act::Open(state) => {
                next.open.push(state);
                cost[0] = order.states[state].source.open_min.into();
            }
            Act::Close(state) => {
                next.open.retain(|open| *open != state);
                cost[0] = order.states[state].source.close_min.into();
            }
            Act::Do(op) => {
                next.done.push(op);
                let finds = |op: &usize| order.ops[*op].source.finds;
                let waiting = (0..order.ops.len()).filter(finds).filter(|op| !next.done.contains(op)).count();
                if !finds(&op) {
                    cost[1] = u64::from(order.ops[op].source.minutes) * waiting as u64;
                }
                if let Some(job) = order.ops[op].label().filter(|job| *job != self.job) {
                    (next.job, cost[3]) = (job, 1);
                }
            }
        }
        let kit = order.kit(act);
        if !kit.is_empty() && kit != self.kit {
            (next.kit, cost[2]) = (kit, 1);
        }
        next.open.sort_unstable();
        next.done.sort_unstable();
        (next, cost)
    }

    fn is_end(&self, order: &Order<'_>) -> bool {
        self.open.is_empty() && self.done.len() == order.ops.len()
    }
}

fn acts(order: &Order<'_>) -> Vec<Act> {
    let states = (0..order.states.len()).flat_map(|state| [Act::Open(state), Act::Close(state)]);
    states.chain((0..order.ops.len()).map(Act::Do)).collect()
}

fn sum(one: Cost, other: Cost) -> Cost {
    std::array::from_fn(|part| one[part] + other[part])
}

/// The least cost of any way to the end, nothing left out; `None` if there is no way.
fn walked<'l>(order: &Order<'l>, from: &At<'l>) -> Option<Cost> {
    let mut best = HashMap::from([(from.clone(), [0; 4])]);
    let mut queue = BinaryHeap::from([Reverse(([0; 4], from.clone()))]);
    while let Some(Reverse((cost, at))) = queue.pop() {
        if at.is_end(order) {
            return Some(cost);
        }
        if best[&at] < cost {
            continue;
        }
        for act in acts(order).into_iter().filter(|act| at.lets(order, *act)) {
            let (next, more) = at.after(order, act);
            let total = sum(cost, more);
            if best.get(&next).is_none_or(|known| total < *known) {
                best.insert(next.clone(), total);
                queue.push(Reverse((total, next)));
            }
        }
    }
    None
}

/// Plays steps by the rules; the cost, if all could be made and lead to the end.
fn played<'l>(order: &Order<'l>, from: &At<'l>, steps: &[Act]) -> Option<Cost> {
    let (mut at, mut cost) = (from.clone(), [0; 4]);
    for act in steps {
        if !at.lets(order, *act) {
            return None;
        }
        let (next, more) = at.after(order, *act);
        (at, cost) = (next, sum(cost, more));
    }
    at.is_end(order).then_some(cost)
}

fn of(cost: upkeep::job::Cost) -> Cost {
    [cost.access_min, cost.find_wait_min, cost.kit_changes.into(), cost.job_switches.into()]
}

fn kit() -> impl Strategy<Value = String> {
    select(vec!["", "a", "b"]).prop_map(str::to_owned)
}

fn state(number: usize) -> impl Strategy<Value = State> {
    let below = subsequence(STATES[..number].to_vec(), 0..=number);
    let others = prop::collection::vec(prop::option::weighted(0.1, any::<bool>()), 3);
    let shut = prop::collection::vec(prop::bool::weighted(0.1), 3);
    let minutes = (0..4_u32, 0..4_u32);
    (below, others, shut, minutes, kit(), subsequence(OPS.to_vec(), 0..=1)).prop_map(
        move |(below, close, shut, (open_min, close_min), kit, after)| {
            let mut needs: Vec<Literal> = below.iter().map(|state| Literal::of(state)).collect();
            let other = |at: &usize| *at != number;
            needs.extend(
                (0..3)
                    .filter(other)
                    .filter(|at| shut[*at] && !below.contains(&STATES[*at]))
                    .map(|at| Literal::Shut(STATES[at].to_owned())),
            );
            let close_needs = (0..3).filter(other).filter_map(|at| {
                close[at].map(|open| {
                    if open { Literal::Open(STATES[at].to_owned()) } else { Literal::Shut(STATES[at].to_owned()) }
                })
            });
            State {
                id: STATES[number].to_owned(),
                open_min,
                close_min,
                needs,
                close_needs: close_needs.collect(),
                open_after: owned(&after),
                kit,
                parts: Vec::new(),
                on_fail: Vec::new(),
            }
        },
    )
}

fn operation(number: usize) -> impl Strategy<Value = Operation> {
    let needs = prop::collection::vec(prop::option::weighted(0.5, prop::bool::weighted(0.65)), 3);
    let rare = || prop::option::weighted(0.15, select(STATES.to_vec()));
    let marks = (prop::bool::weighted(0.1), prop::bool::weighted(0.1), prop::bool::weighted(0.3));
    (needs, subsequence(OPS[..number].to_vec(), 0..=number.min(1)), 0..4_u32, kit(), rare(), rare(), marks).prop_map(
        move |(needs, after, minutes, kit, opens, finishes, (bare, rides, finds))| {
            let mut needs: Vec<Literal> = (0..3)
                .filter_map(|at| {
                    needs[at].map(|open| {
                        if open { Literal::Open(STATES[at].to_owned()) } else { Literal::Shut(STATES[at].to_owned()) }
                    })
                })
                .collect();
            if bare && opens.is_none() {
                needs = vec![Literal::AllShut];
            }
            Operation {
                id: OPS[number].to_owned(),
                needs,
                after: owned(&after),
                minutes,
                kit,
                opens: opens.into_iter().map(str::to_owned).collect(),
                finishes: finishes.into_iter().map(str::to_owned).collect(),
                when: None,
                rides,
                finds,
                on_fail: Vec::new(),
            }
        },
    )
}

fn library() -> impl Strategy<Value = Library> {
    let states = (state(0), state(1), state(2));
    let ops = (operation(0), operation(1), operation(2), operation(3), operation(4));
    let jobs = (subsequence(OPS.to_vec(), 1..=3), subsequence(OPS.to_vec(), 1..=3));
    (states, ops, jobs).prop_map(|(states, ops, jobs)| Library {
        states: vec![states.0, states.1, states.2],
        shared: vec![ops.0, ops.1, ops.2, ops.3, ops.4],
        jobs: vec![job("j0", &jobs.0), job("j1", &jobs.1)],
        ..Library::default()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    #[test]
    fn no_way_at_all_is_cheaper_than_the_plan_and_none_is_said_where_there_is_none(library in library()) {
        let order = Order::build(&library, &["j0", "j1"], &[]);
        prop_assume!(!matches!(order, Err(OrderFault::Cycle(_))));
        let order = order.unwrap();
        let want = walked(&order, &At::default());
        match plan(&order) {
            Ok(plan) => {
                prop_assert!(plan.proven);
                prop_assert_eq!(Some(of(plan.cost)), want);
                prop_assert_eq!(played(&order, &At::default(), &plan.steps), want);
                prop_assert_eq!(least_access(&order).ok(), want.map(|cost| cost[0]));
            }
            Err(fault) => prop_assert!(want.is_none() && matches!(fault, OrderFault::Infeasible { .. }), "{fault:?} {want:?}"),
        }
    }

    #[test]
    fn from_wherever_a_walk_has_come_no_way_to_the_end_is_cheaper(
        library in library(), picks in prop::collection::vec(any::<Index>(), 1..7),
    ) {
        let order = Order::build(&library, &["j0", "j1"], &[]);
        prop_assume!(!matches!(order, Err(OrderFault::Cycle(_))));
        let order = order.unwrap();
        let mut at = At::default();
        for pick in picks {
            let possible: Vec<Act> = acts(&order).into_iter().filter(|act| at.lets(&order, *act)).collect();
            if !possible.is_empty() {
                at = at.after(&order, *pick.get(&possible)).0;
            }
        }
        let progress = Progress { open: at.open.clone(), done: at.done.clone(), kit: at.kit, job: at.job };
        let want = walked(&order, &at);
        match plan_from(&order, &progress) {
            Ok(plan) => {
                prop_assert_eq!(Some(of(plan.cost)), want);
                prop_assert_eq!(played(&order, &at, &plan.steps), want);
            }
            Err(fault) => prop_assert!(want.is_none() && matches!(fault, OrderFault::Infeasible { .. }), "{fault:?} {want:?}"),
        }
    }
}

fn alone(states: Vec<State>, ops: Vec<Operation>) -> Library {
    let names: Vec<String> = ops.iter().map(|op| op.id.clone()).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    Library { states, shared: ops, jobs: vec![job("j", &names)], ..Library::default() }
}

fn blocked(library: &Library) -> Vec<(String, Vec<String>)> {
    let order = Order::build(library, &["j"], &[]).expect("an order");
    match plan(&order) {
        Err(OrderFault::Infeasible { blocked }) => blocked,
        other => unreachable!("{other:?}"),
    }
}

fn told(op: &str, why: &[&str]) -> (String, Vec<String>) {
    (op.to_owned(), owned(why))
}

#[test]
fn what_can_never_be_done_is_named_with_all_that_it_waits_for() {
    let states = || vec![rests("a", &[]), rests("b", &[])];
    assert_eq!(blocked(&alone(states(), vec![plain("o", &["a", "!a"])])), [told("o", &["a open", "a shut"])]);
    assert_eq!(blocked(&alone(states(), vec![plain("o", &["a", "!*"])])), [told("o", &["a open", "everything shut"])]);
    // The next one of the job waits for it; the one before it does not.
    let three = vec![plain("first", &[]), plain("mid", &["a", "!a"]), plain("next", &["b"])];
    let both = [told("mid", &["a open", "a shut"]), told("next", &["b open", "mid done"])];
    assert_eq!(blocked(&alone(states(), three)), both);
}

#[test]
fn what_cannot_be_shut_again_is_named_as_such() {
    let mut stuck = rests("a", &[]);
    stuck.close_needs = vec![Literal::of("!a")];
    assert_eq!(blocked(&alone(vec![stuck], vec![plain("o", &["a"])])), [told("a", &["cannot be shut again"])]);
}

#[test]
fn of_two_that_shut_each_other_out_the_one_left_over_is_named() {
    let sealing = |id: &str, needs: &str, seals: &str| Operation { finishes: owned(&[seals]), ..plain(id, &[needs]) };
    let library = Library {
        states: vec![rests("a", &[]), rests("b", &[])],
        shared: vec![sealing("one", "a", "b"), sealing("two", "b", "a")],
        jobs: vec![job("j", &["one"]), job("k", &["two"])],
        ..Library::default()
    };
    let order = Order::build(&library, &["j", "k"], &[]).unwrap();
    let Err(OrderFault::Infeasible { blocked }) = plan(&order) else { panic!("there is no way") };
    let left = [told("one", &["a open"]), told("two", &["b open"])];
    // Each must come after the work in what it seals: neither can ever be first.
    assert!(blocked == left || blocked.len() == 1 && left.contains(&blocked[0]), "{blocked:?}");
}

#[test]
fn an_order_of_many_operations_or_many_states_or_both_is_planned_and_one_of_too_many_is_said_to_be() {
    let names: Vec<String> = (0..1100).map(|number| format!("n{number:04}")).collect();
    let tower = |count: usize| -> Vec<State> {
        (0..count)
            .map(|at| {
                rests(&names[at], &names[at.saturating_sub(1)..at].iter().map(String::as_str).collect::<Vec<_>>())
            })
            .collect()
    };
    for (ops, states) in
        [(63, 1), (64, 64), (65, 1), (70, 70), (1, 65), (1, 130), (257, 1), (2, 300), (1024, 1), (1, 1024)]
    {
        let top = names[states - 1].as_str();
        let work = names[..ops].iter().map(|name| plain(&format!("o{name}"), &[top])).collect();
        let library = alone(tower(states), work);
        let order = Order::build(&library, &["j"], &[]).unwrap();
        assert_eq!((order.ops.len(), order.states.len()), (ops, states));
        let plan = plan(&order).unwrap();
        assert_eq!(plan.cost.access_min, 3 * states as u64, "{ops} {states}");
        assert_eq!(played(&order, &At::default(), &plan.steps), Some(of(plan.cost)), "{ops} {states}");
    }
    for (ops, states) in [(1025, 1), (1, 1025)] {
        let top = names[states - 1].as_str();
        let work = names[..ops].iter().map(|name| plain(&format!("o{name}"), &[top])).collect();
        let library = alone(tower(states), work);
        let order = Order::build(&library, &["j"], &[]).unwrap();
        assert_eq!(plan(&order), Err(OrderFault::TooLarge), "{ops} {states}");
        assert_eq!(least_access(&order), Err(OrderFault::TooLarge), "{ops} {states}");
    }
}
