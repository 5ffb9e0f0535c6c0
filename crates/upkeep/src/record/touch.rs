//! What a job takes apart, read off the library: so that a reading knows whether it is still true afterwards.

use std::collections::BTreeSet;

use crate::job::handbook::in_use;
use crate::job::{JobOp, Library, Literal, Operation};

/// What a job takes apart, whatever its choices: the careful reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Touched {
    /// The rear wheel comes out.
    pub rear_wheel: bool,
    /// The chain is parted.
    pub chain: bool,
    /// The front sprocket comes off.
    pub front_sprocket: bool,
    /// The rear sprocket comes off.
    pub rear_sprocket: bool,
    /// The axle is moved to set slack.
    pub slack: bool,
    /// A brake is opened or its parts are taken off.
    pub brake: bool,
    /// The rear brake is.
    pub rear_brake: bool,
}

impl Touched {
    /// The careful reading of work of which nothing is known.
    const EVERYTHING: Self = Self {
        rear_wheel: true,
        chain: true,
        front_sprocket: true,
        rear_sprocket: true,
        slack: true,
        brake: true,
        rear_brake: true,
    };

    /// Whether a slack reading from before is no longer true.
    #[must_use]
    pub(super) const fn moves_slack(self) -> bool {
        self.rear_wheel || self.chain || self.front_sprocket || self.rear_sprocket || self.slack
    }

    /// Whether the bike cannot be ridden while it is open.
    #[must_use]
    pub const fn takes_drive_apart(self) -> bool {
        self.rear_wheel || self.chain || self.front_sprocket || self.rear_sprocket
    }

    /// Whether it is best ridden once at walking pace before it counts.
    #[must_use]
    pub const fn wants_shakedown(self) -> bool {
        self.moves_slack() || self.brake
    }
}

/// What a job takes apart; one that the library does not have may have touched everything.
#[must_use]
pub fn touched(job: &str) -> Touched {
    let library = in_use().library();
    if library.job(job).is_none() {
        return Touched::EVERYTHING;
    }
    let ops = operations(library, job);
    let mut states = BTreeSet::new();
    for op in &ops {
        for state in op.needs.iter().filter_map(Literal::open) {
            opened(library, state, &mut states);
        }
    }
    let state = |name: &str| states.contains(name);
    let does = |name: &str| ops.iter().any(|op| op.id == name);
    Touched {
        rear_wheel: state("rear-wheel-out"),
        chain: state("chain-open"),
        front_sprocket: state("front-sprocket-off"),
        rear_sprocket: does("rear-sprocket-swap"),
        slack: does("chain-slack-set") || job == "chain-slack",
        brake: job.starts_with("brake-") || state("rear-caliper-hung") || state("front-caliper-off"),
        rear_brake: state("rear-caliper-hung") || does("rear-swap-pads") || does("flush-rear"),
    }
}

/// What is done in a job, its covered jobs included.
fn operations<'l>(library: &'l Library, job: &str) -> Vec<&'l Operation> {
    let Some(job) = library.job(job) else { return Vec::new() };
    let mut all: Vec<&Operation> = job
        .ops
        .iter()
        .filter_map(|op| match op {
            JobOp::Own(op) => Some(op),
            JobOp::Use { id, .. } => library.common().find(|op| op.id == *id),
        })
        .collect();
    // A job that covers itself would be a fault of the library, found when it is read.
    all.extend(
        job.covers.iter().filter(|covered| **covered != job.id).flat_map(|covered| operations(library, covered)),
    );
    all
}

fn opened(library: &Library, state: &str, found: &mut BTreeSet<String>) {
    if !found.insert(state.to_owned()) {
        return;
    }
    let needs = library.state(state).into_iter().flat_map(|state| &state.needs);
    needs.filter_map(Literal::open).for_each(|need| opened(library, need, found));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_takes_everything_apart_and_an_oil_change_nothing() {
        let set = touched("final-drive-set");
        assert!(set.rear_wheel && set.chain && set.front_sprocket && set.rear_sprocket && set.wants_shakedown());
        assert_eq!(touched("gearbox-oil"), Touched::default());
        assert_eq!(touched("no such job"), Touched::EVERYTHING);
    }

    #[test]
    fn a_tyre_brings_the_wheel_out_and_setting_slack_does_not() {
        assert!(touched("rear-tyre").rear_wheel && !touched("rear-tyre").chain);
        let slack = touched("chain-slack");
        assert!(slack.moves_slack() && !slack.takes_drive_apart());
        assert!(touched("chain-cut-join").chain);
        assert!(touched("brake-pads-rear").wants_shakedown() && touched("brake-pads-rear").rear_brake);
        assert!(touched("brake-fluid").rear_brake && !touched("brake-pads-front").rear_brake);
    }

    #[test]
    fn fork_legs_take_the_front_calliper_off_and_leave_the_rear_brake_alone() {
        let fork = touched("fork-oil-seals");
        assert!(fork.brake && !fork.rear_brake && !fork.chain && !fork.rear_wheel);
        assert!(!touched("coolant").brake && !touched("rear-sprocket-only").brake);
        assert!(touched("brake-pads-front").brake && touched("brake-pads-rear").brake && touched("brake-fluid").brake);
    }
}
