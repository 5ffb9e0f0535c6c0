//! The demo's open work order: set C in the middle of it, chain off, wheel still in; invented like the rest.

use jiff::civil::datetime;
use store::{NewBench, NewLines, Post, Store, StoreError};
use upkeep::job::bench::{Answer, Outcome, What};

/// The bike that it stands on.
const BIKE: &str = "alder-350";

/// Steps done, with minutes since the first one and what was answered.
const DONE: &[(&str, i8, &[Given])] = &[
    ("open:guard-off", 4, &[]),
    ("do:crack-axle-nut", 6, &[]),
    ("do:crack-front-sprocket-nut", 10, &[]),
    ("open:on-stand", 13, &[]),
    (
        "do:measure-drivetrain",
        24,
        &[Given { hold: "wear-reading", typed: "320.9", number: Some(320.9), unit: "mm", outcome: Outcome::Passed }],
    ),
    ("do:lay-up-new-chain", 31, &[Given::yes("link-count")]),
    ("do:chain-width-clear", 35, &[Given::yes("chain-passes")]),
    ("open:chain-open", 46, &[]),
];

/// An answer of the demo.
struct Given {
    hold: &'static str,
    typed: &'static str,
    number: Option<f64>,
    unit: &'static str,
    outcome: Outcome,
}

impl Given {
    const fn yes(hold: &'static str) -> Self {
        Self { hold, typed: "yes", number: None, unit: "", outcome: Outcome::Passed }
    }

    fn answer(&self) -> Answer {
        Answer {
            hold: self.hold.to_owned(),
            typed: self.typed.to_owned(),
            number: self.number,
            unit: self.unit.to_owned(),
            outcome: self.outcome,
            reason: None,
            against: None,
        }
    }
}

/// Puts the order on the bench.
///
/// # Errors
/// Only if the binary itself is damaged.
pub(crate) fn put(store: &mut Store, post: &Post<'_>) -> Result<(), StoreError> {
    let begun = datetime(2026, 9, 24, 17, 0, 0, 0);
    let new = NewBench {
        at: begun,
        jobs: vec!["final-drive-set".to_owned()],
        choices: vec![("front-retention".to_owned(), "nut".to_owned())],
        setup: [14, 48, 118],
    };
    // That the work has begun stands in the demo's record already.
    let id = store.begin_bench(BIKE, &new, &[], post)?;
    for (step, minute, given) in DONE {
        let what =
            What::Ticked { step: (*step).to_owned(), reason: None, answers: given.iter().map(Given::answer).collect() };
        let at = datetime(2026, 9, 24, 17, *minute, 0, 0);
        let seen = store.benches(BIKE)?.iter().find(|bench| bench.id == id).map_or(0, |bench| bench.last_line());
        store.write_bench(BIKE, id, &NewLines { seen, at, what: vec![what], ..NewLines::default() }, post)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use upkeep::job::handbook::shipped;

    use super::*;
    use crate::garage::Garage;

    #[test]
    fn the_demos_order_stands_where_its_rules_allow_chain_off_and_wheel_in() {
        let garage = Garage::demo().expect("the demo");
        let bench = garage.store().benches(BIKE).expect("orders").remove(0);
        let mut walked = upkeep::job::bench::Bench { lines: Vec::new(), ..bench.clone() };
        for line in bench.lines.clone() {
            let What::Ticked { step, .. } = &line.what else { continue };
            let stand = walked.stand(shipped()).expect("it goes on");
            let act = stand.order.act(step).expect("a step of the order");
            assert_eq!(stand.against(act), [], "{step}");
            walked.lines.push(line);
        }
        let stand = bench.stand(shipped()).expect("it goes on");
        let open: Vec<&str> =
            stand.progress.open.iter().map(|open| stand.order.states[*open].source.id.as_str()).collect();
        assert!(open.contains(&"chain-open") && !open.contains(&"rear-wheel-out"), "{open:?}");
    }
}
