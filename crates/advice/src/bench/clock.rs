//! When the work is done, as a range from the rider's own times, and the safest place to stop before then.

use jiff::Span;
use jiff::civil::DateTime;
use serde::Serialize;
use upkeep::job::{Act, Minutes};

use super::{Desk, Laid, state};
use crate::words::{count, list, lower, number};

/// Minutes looked ahead for a place to stop where nobody said until when.
const AHEAD_MIN: f64 = 120.0;
/// Days beyond which a time of day alone says nothing.
const DAY_MIN: f64 = 24.0 * 60.0;

/// A place to stop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stop {
    /// The number of the step after which to stop; zero for here and now.
    pub after: usize,
    /// About when that is.
    pub at: String,
    /// What is then open on the bike.
    pub open: Vec<String>,
}

/// The clock of an order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClockView {
    /// Minutes still to go: low, middle, high.
    pub left_min: [f64; 3],
    /// When it is done at best.
    pub done_from: String,
    /// When it is done with trouble.
    pub done_to: String,
    /// How many of the steps to come are timed by the rider's own times.
    pub own_times: usize,
    /// How many there are.
    pub steps: usize,
    /// What stopping right here leaves open.
    pub here: Stop,
    /// The safest place to stop; none where here is the safest.
    pub safest: Option<Stop>,
}

/// The clock, with the time until which the rider wants to work if that was said.
#[must_use]
pub fn view(desk: &Desk<'_>, laid: &Laid, until: Option<DateTime>) -> ClockView {
    let rest = &laid.sheet.steps[laid.done().min(laid.sheet.steps.len())..];
    let left: Minutes = rest.iter().map(|step| step.minutes).sum();
    let times = upkeep::job::bench::logged(desk.before);
    let own = rest.iter().filter(|step| times.get(step.token.as_str()).is_some_and(|times| times.len() >= 3)).count();
    let (here, safest) = stops(desk, laid, until);
    ClockView {
        left_min: [left.low_min, left.mid_min, left.high_min],
        done_from: clock(desk.now, left.low_min),
        done_to: clock(desk.now, left.high_min),
        own_times: own,
        steps: rest.len(),
        here,
        safest,
    }
}

/// Here, and the place with the least open on the bike within the time; of several the last one.
fn stops(desk: &Desk<'_>, laid: &Laid, until: Option<DateTime>) -> (Stop, Option<Stop>) {
    let window = until.map_or(AHEAD_MIN, |until| until.duration_since(desk.now).as_secs_f64() / 60.0);
    let mut open = laid.stand.progress.open.clone();
    let stop = |after: usize, minutes: f64, open: &[usize]| Stop {
        after,
        at: clock(desk.now, minutes),
        open: open.iter().map(|index| state(desk, laid, *index)).collect(),
    };
    let here = stop(laid.done(), 0.0, &open);
    let (mut best, mut least) = (None, weight(laid, &open));
    let mut minutes = 0.0;
    for (act, step) in laid.stand.rest.steps.iter().zip(laid.sheet.steps.iter().skip(laid.done())) {
        minutes += step.minutes.mid_min;
        if minutes > window {
            break;
        }
        match act {
            Act::Open(index) => open.push(*index),
            Act::Close(index) => open.retain(|known| known != index),
            Act::Do(_) => {}
        }
        let now = weight(laid, &open);
        if now <= least && step.number < laid.sheet.steps.len() {
            (best, least) = (Some(stop(step.number, minutes, &open)), now);
        }
    }
    (here, best)
}

/// How much is open: a bike that merely stands on its stand is as good as whole.
fn weight(laid: &Laid, open: &[usize]) -> usize {
    let is_stand =
        |index: &&usize| laid.stand.order.states.get(**index).is_some_and(|state| state.source.id == "on-stand");
    2 * open.len() - open.iter().filter(is_stand).count()
}

/// The time so many minutes on; with the day where it is another one.
fn clock(now: DateTime, minutes: f64) -> String {
    #[expect(clippy::cast_possible_truncation, reason = "minutes of work, bounded by the plan")]
    let span = Span::new().minutes(minutes.round() as i64);
    let Ok(at) = now.checked_add(span) else { return "later than can be said".to_owned() };
    if minutes < DAY_MIN && at.date() == now.date() {
        at.strftime("%H:%M").to_string()
    } else {
        at.strftime("%a %H:%M").to_string()
    }
}

impl ClockView {
    /// The clock in sentences.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let [low, _, high] = self.left_min;
        let own = if self.own_times > 0 {
            format!("{} of {} timed by your own log", self.own_times, count(self.steps, "step"))
        } else {
            "estimates: common practice, no source, until your own times stand beside them".to_owned()
        };
        let mut lines = vec![format!(
            "Done between {} and {} ({} to {} min; {own}).",
            self.done_from,
            self.done_to,
            number(low, 0),
            number(high, 0)
        )];
        lines.push(format!("Stopping here leaves {}.", left(&self.here.open)));
        if let Some(stop) = &self.safest {
            lines.push(format!(
                "Safest place to stop: after step {}, about {}; it leaves {}.",
                stop.after,
                stop.at,
                left(&stop.open)
            ));
        }
        lines
    }
}

fn left(open: &[String]) -> String {
    if open.is_empty() {
        return "nothing open".to_owned();
    }
    list(&open.iter().map(|one| lower(one)).collect::<Vec<_>>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_is_said_with_its_day_once_it_is_another_one() {
        let now = jiff::civil::date(2026, 5, 2).at(22, 30, 0, 0);
        for (minutes, said) in [
            (0.0, "22:30"),
            (0.4, "22:30"),
            (0.6, "22:31"),
            (89.0, "23:59"),
            (90.0, "Sun 00:00"),
            (1439.0, "Sun 22:29"),
            (1440.0, "Sun 22:30"),
            (10_080.0, "Sat 22:30"),
        ] {
            assert_eq!(clock(now, minutes), said, "{minutes} min on");
        }
    }
}
