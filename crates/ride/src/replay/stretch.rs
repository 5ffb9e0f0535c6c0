//! One stretch of a ride: gears, engine speed and thrust in reserve, pair by pair.

use drive::gearing::Pair;

use super::compare::{Question, demanded};
use super::gears::{Asked, Model, Scratch};
use super::legs::{MOVING_MPS, Motion, legs};
use super::machine::{Geared, MOST_GEARS};
use crate::quantile::{quantile, real};

/// One pair on the stretch.
#[derive(Debug, Clone, PartialEq)]
pub struct OnStretch {
    /// The pair.
    pub pair: Pair,
    /// Share of the time in each gear, percent.
    pub gear_pct: Vec<f64>,
    /// The gear of most of the time, from 0; the lower of equal ones.
    pub main_gear: usize,
    /// Median engine speed as the wheel turns it, rpm.
    pub rpm_median: f64,
    /// Least thrust in reserve, N; negative is missing.
    pub reserve_min_n: f64,
    /// When it was least, first time, s.
    pub reserve_min_at_s: f64,
    /// Median thrust in reserve, N.
    pub reserve_median_n: f64,
    /// Gear steps inside.
    pub shifts: u32,
    /// Share of the time below the clutch's engine speed, percent.
    pub slip_pct: f64,
    /// Share of the time beyond the limiter, percent.
    pub over_pct: f64,
}

/// The pairs on a stretch, in the order asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// Pair by pair.
    pub pairs: Vec<OnStretch>,
    /// Time under way inside, s.
    pub moving_s: f64,
    /// Distance under way inside, m.
    pub distance_m: f64,
}

/// Replays the ride and looks at the samples from `from_s` to `to_s`, both included; `None` where nothing moves there.
///
/// # Formula
/// Reserve: thrust at `max(n, n_slip)` in the gear chosen, less what the ground uses of the demand (not below 0).
#[must_use]
pub fn stretch(question: &Question<'_>, from_s: f64, to_s: f64) -> Option<Stretch> {
    let Motion { t_s, speed_mps, .. } = question.motion;
    let inside = |at: usize| (from_s..=to_s).contains(&t_s[at]);
    // The gears of a leg do not depend on the mark, and those of other legs do not show.
    let legs: Vec<_> =
        legs(t_s, speed_mps, question.riding.step_s).into_iter().filter(|leg| leg.clone().any(inside)).collect();
    if legs.is_empty() {
        return None;
    }
    let used_n = demanded(question).used_n;
    let model = Model::new(question.machine, question.riding, question.weights);
    let (mut asked, mut scratch) = (Asked::default(), Scratch::default());
    let mut looks: Vec<(Geared, Look)> =
        question.pairs.iter().map(|pair| (model.geared(*pair), Look::default())).collect();
    for leg in &legs {
        model.ask(&speed_mps[leg.clone()], &used_n[leg.clone()], &mut asked);
        for (geared, look) in &mut looks {
            model.solve(&asked, geared, &mut scratch);
            let mut before = None;
            for (k, at) in leg.clone().enumerate().filter(|(_, at)| inside(*at)) {
                let gear = scratch.path[k];
                look.shifts += before.map_or(0, |before: u8| u32::from(gear.abs_diff(before)));
                before = Some(gear);
                let gear = usize::from(gear);
                let wheel_rpm = asked.wheel_rpm[k];
                look.gears[gear] += 1;
                look.rpm.push(wheel_rpm * geared.totals[gear]);
                look.at_s.push(t_s[at]);
                look.reserve_n.push(model.available_n(geared, gear, wheel_rpm) - used_n[at].max(0.0));
            }
        }
    }
    let moving: Vec<f64> =
        (0..speed_mps.len()).filter(|at| inside(*at) && speed_mps[*at] >= MOVING_MPS).map(|at| speed_mps[at]).collect();
    Some(Stretch {
        pairs: question
            .pairs
            .iter()
            .zip(looks)
            .map(|(pair, (geared, look))| look.seen(question, *pair, geared.count))
            .collect(),
        moving_s: real(moving.len()) * question.riding.step_s,
        distance_m: moving.iter().sum::<f64>() * question.riding.step_s,
    })
}

/// What one pair showed inside the stretch.
#[derive(Debug, Default)]
struct Look {
    gears: [u32; MOST_GEARS],
    rpm: Vec<f64>,
    at_s: Vec<f64>,
    reserve_n: Vec<f64>,
    shifts: u32,
}

impl Look {
    fn seen(mut self, question: &Question<'_>, pair: Pair, count: usize) -> OnStretch {
        let samples = real(self.rpm.len());
        let revs = &question.machine.revs;
        let share =
            |holds: &dyn Fn(f64) -> bool| 100.0 * real(self.rpm.iter().filter(|rpm| holds(**rpm)).count()) / samples;
        let (slip_pct, over_pct) = (share(&|rpm| rpm < revs.slip_rpm), share(&|rpm| rpm > revs.max_rpm));
        let gear_pct = self.gears[..count].iter().map(|gear| 100.0 * f64::from(*gear) / samples).collect();
        let main_gear = (0..count).fold(0, |main, gear| if self.gears[gear] > self.gears[main] { gear } else { main });
        let least = (0..self.reserve_n.len())
            .fold(0, |least, at| if self.reserve_n[at] < self.reserve_n[least] { at } else { least });
        OnStretch {
            pair,
            gear_pct,
            main_gear,
            reserve_min_n: self.reserve_n[least],
            reserve_min_at_s: self.at_s[least],
            rpm_median: quantile(&mut self.rpm, 0.5).unwrap_or(0.0),
            reserve_median_n: quantile(&mut self.reserve_n, 0.5).unwrap_or(0.0),
            shifts: self.shifts,
            slip_pct,
            over_pct,
        }
    }
}
