//! The gears of one run of seconds under a given demand.

use drive::gearing::Pair;

use super::gears::{Asked, Model, Scratch};
use super::machine::{Machine, Riding, Weights};

/// The gears of a run, second by second.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// The gear of each sample, from 0.
    pub gears: Vec<u8>,
    /// Its engine speed, rpm, as the wheel turns it.
    pub rpm: Vec<f64>,
    /// The cost of the whole run.
    pub cost: f64,
    /// Gear steps.
    pub shifts: u32,
}

/// The gears of least cost for one unbroken run.
///
/// # Shape
/// `speed_mps` (each 0.5 or more) and `used_n` of one length, `riding.step_s` apart.
#[must_use]
pub fn gears(machine: &Machine<'_>, riding: &Riding, pair: Pair, speed_mps: &[f64], used_n: &[f64]) -> Chosen {
    let model = Model::new(*machine, *riding, Weights::OURS);
    let geared = model.geared(pair);
    let (mut asked, mut scratch) = (Asked::default(), Scratch::default());
    model.ask(speed_mps, used_n, &mut asked);
    let cost = model.solve(&asked, &geared, &mut scratch);
    let rpm = scratch
        .path
        .iter()
        .zip(&asked.wheel_rpm)
        .map(|(gear, wheel)| wheel * geared.totals[usize::from(*gear)])
        .collect();
    Chosen { shifts: steps(&scratch.path), gears: scratch.path, rpm, cost }
}

/// Gear steps of a path.
pub(super) fn steps(path: &[u8]) -> u32 {
    path.windows(2).map(|two| u32::from(two[0].abs_diff(two[1]))).sum()
}
