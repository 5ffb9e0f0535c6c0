//! Plans are judged by the five rules, and their cost by trying every step there is on small orders.

use std::collections::{BTreeMap, BTreeSet};

use checks::carried::Carried;
use checks::replay::{Bench, Place, Spent};
use figures::{NoTracks, line};
use serde_json::{Value, json};

fn asked(given: &Value) -> Value {
    line::answer(&json!({"figure": "job.order", "given": given}).to_string(), 1, &NoTracks)
}

fn plan(answer: &Value) -> Vec<&str> {
    answer["plan"].as_array().expect("a plan").iter().filter_map(Value::as_str).collect()
}

fn said(answer: &Value) -> Spent {
    let number = |key: &str| answer[key].as_u64().expect("a count");
    Spent {
        access_min: number("access_min"),
        find_wait_min: number("find_wait_min"),
        kit_changes: number("kit_changes"),
        job_switches: number("job_switches"),
    }
}

/// Questions of the carried rows that have an order.
fn orders() -> Vec<(String, Value)> {
    let carried = Carried::unpack().expect("unpacks");
    let files = carried.rows("workshop/order").expect("reads");
    let rows = files.into_iter().flat_map(|(_, rows)| rows).filter(|row| row.want_refused.is_none());
    rows.map(|row| (row.case, Value::Object(row.given))).collect()
}

#[test]
fn every_plan_of_the_rows_keeps_the_rules_and_costs_what_it_says() {
    let orders = orders();
    assert!(orders.len() > 20);
    for (case, given) in orders {
        let line = asked(&given);
        let answer = &line["answer"];
        let spent = Bench::of(&given).expect("an order").replay(plan(answer));
        assert_eq!(spent, Ok(said(answer)), "{case}");
        assert_eq!(answer["proven"], true, "{case}");
    }
}

#[test]
fn a_step_left_out_doubled_or_moved_to_the_front_is_told() {
    for (case, given) in orders() {
        let line = asked(&given);
        let steps = plan(&line["answer"]);
        let bench = Bench::of(&given).expect("an order");
        for number in 0..steps.len() {
            let mut without = steps.clone();
            let step = without.remove(number);
            assert!(bench.replay(without).is_err(), "{case}: without {step}");
            let mut twice = steps.clone();
            twice.insert(number, step);
            assert!(bench.replay(twice).is_err(), "{case}: {step} twice");
        }
        if let Some(last) = steps.last().filter(|last| last.starts_with("close:")) {
            assert!(bench.replay(std::iter::once(*last).chain(steps.iter().copied())).is_err(), "{case}");
        }
    }
}

/// The least cost over every step that the rules allow; `None` if the work can never end.
fn exhaustive(bench: &Bench) -> Option<Spent> {
    let tokens = bench.tokens();
    let start = Place::default();
    let mut known = BTreeMap::from([(start.clone(), Spent::default())]);
    let mut queue = BTreeSet::from([(Spent::default(), start)]);
    while let Some((spent, place)) = queue.pop_first() {
        if bench.is_done(&place) {
            return Some(spent);
        }
        for token in &tokens {
            let mut next = place.clone();
            let Ok(step) = bench.step(&mut next, token) else { continue };
            let total = spent.and(step);
            if known.get(&next).is_none_or(|before| total < *before) {
                known.insert(next.clone(), total);
                queue.insert((total, next));
            }
        }
    }
    None
}

/// Numbers that look thrown, the same on every run.
struct Dice(u64);

impl Dice {
    fn below(&mut self, end: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) % end
    }

    fn chance(&mut self, pct: u64) -> bool {
        self.below(100) < pct
    }

    fn kit(&mut self) -> &'static str {
        ["", "A", "B"][usize::from(self.chance(60)) + usize::from(self.chance(30))]
    }

    fn literals(&mut self, states: u64, open_pct: u64) -> Vec<String> {
        if self.chance(4) {
            return vec!["!*".to_owned()];
        }
        let mut literals = Vec::new();
        for state in 0..states {
            if self.chance(open_pct) {
                literals.push(format!("s{state}"));
            } else if self.chance(15) {
                literals.push(format!("!s{state}"));
            }
        }
        literals
    }

    fn op(&mut self, id: &str, states: u64, open_pct: u64) -> Value {
        let finds = if self.chance(30) { json!(["x"]) } else { json!([]) };
        json!({"id": id, "needs": self.literals(states, open_pct), "min": self.below(5), "kit": self.kit(), "finds": finds})
    }

    /// A small library whose rules cross each other.
    fn library(&mut self) -> Value {
        let states = 1 + self.below(3);
        let ops = 1 + self.below(5);
        let entry = |dice: &mut Self, number: u64| {
            let below = (0..number).filter(|_| dice.chance(30)).map(|below| format!("s{below}"));
            let mut needs: Vec<_> = below.collect();
            let shut = (0..states).filter(|other| *other != number && dice.chance(12)).map(|other| format!("s{other}"));
            let mut close: Vec<_> =
                shut.filter(|other| !needs.contains(other)).map(|other| format!("!{other}")).collect();
            let other = format!("s{}", dice.below(states));
            if other != format!("s{number}") && !needs.contains(&other) {
                if dice.chance(6) {
                    needs.push(format!("!{other}"));
                } else if dice.chance(6) {
                    close.push(other);
                }
            }
            let after = if dice.chance(15) { vec![format!("o{}", dice.below(ops))] } else { Vec::new() };
            json!({"id": format!("s{number}"), "open_min": dice.below(5), "close_min": dice.below(5), "needs": needs,
                "close_needs": close, "open_after": after, "kit": dice.kit()})
        };
        let states_list: Vec<_> = (0..states).map(|number| entry(self, number)).collect();
        let mut jobs = [Vec::new(), Vec::new()];
        for number in 0..ops {
            let mut op = self.op(&format!("o{number}"), states, 35);
            if number > 0 && self.chance(25) {
                op["after"] = json!([format!("o{}", self.below(number))]);
            }
            if self.chance(6) {
                op["stage"] = json!("ride");
            }
            jobs[usize::from(self.chance(50))].push(op);
        }
        let mut shared = self.op("shared", states, 25);
        shared["opens"] = if self.chance(40) { json!([format!("s{}", self.below(states))]) } else { json!([]) };
        let mut finisher = self.op("finisher", states, 15);
        finisher["finishes"] = json!([format!("s{}", self.below(states))]);
        if self.chance(50) {
            jobs[0].push(json!({"use": "shared"}));
            jobs[1].insert(0, json!({"use": "shared"}));
        }
        let [first, second] = jobs;
        json!({"states": states_list, "shared_ops": [shared], "finishers": [finisher],
            "jobs": [{"id": "j0", "ops": first}, {"id": "j1", "ops": second}]})
    }
}

#[test]
fn no_sequence_of_allowed_steps_is_cheaper_than_the_plan() {
    let mut dice = Dice(0x9E37_79B9_7F4A_7C15);
    let (mut planned, mut impossible) = (0, 0);
    for turn in 0..3000 {
        let given = json!({"jobs": ["j0", "j1"], "library": dice.library()});
        let bench = Bench::of(&given).expect("an order");
        let line = asked(&given);
        match exhaustive(&bench) {
            Some(least) => {
                let answer = &line["answer"];
                assert!(answer.is_object(), "{turn}: {line} for {given}");
                assert_eq!(bench.replay(plan(answer)), Ok(least), "{turn}: {given}");
                assert_eq!(said(answer), least, "{turn}: {given}");
                planned += 1;
            }
            None => {
                assert_eq!(line["refused"]["field"], "jobs", "{turn}: {line} for {given}");
                impossible += 1;
            }
        }
    }
    assert!(planned > 1000 && impossible > 250, "{planned} planned, {impossible} impossible");
}
