//! Sittings at the bench: which cautions still count as read, and how long each step took.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::DateTime;

use super::{Bench, Line, What};

/// Hours of pause after which a stop is read again.
///
/// # Source
/// practice.
const LONG_PAUSE_H: f64 = 4.0;
/// Minutes below which two ticks were made in one go: the time between them says nothing.
const IN_ONE_GO_MIN: f64 = 0.2;

impl Bench {
    /// The stops that a person has read in this sitting: a pause of more than four hours ends it for everybody.
    #[must_use]
    pub fn read_by(&self, who: Option<&str>, now: DateTime) -> BTreeSet<&str> {
        let mut read: BTreeSet<(Option<&str>, &str)> = BTreeSet::new();
        let mut last = self.at;
        for line in &self.lines {
            if hours(last, line.at) > LONG_PAUSE_H {
                read.clear();
            }
            last = line.at;
            if let What::Read(caution) = &line.what {
                read.insert((line.who.as_deref(), caution));
            }
        }
        if hours(last, now) > LONG_PAUSE_H {
            read.clear();
        }
        read.into_iter().filter(|(reader, _)| *reader == who).map(|(_, caution)| caution).collect()
    }

    /// Minutes that each step took: from the line before to its tick, within one sitting, not from paper.
    #[must_use]
    pub fn minutes(&self) -> Vec<(&str, f64)> {
        let stands: BTreeSet<i64> = self.ticks().iter().map(|(line, ..)| line.id).collect();
        let befores = std::iter::once(self.at).chain(self.lines.iter().map(|line| line.at));
        let timed = |(before, line): (DateTime, &'_ Line)| {
            let took = hours(before, line.at) * 60.0;
            let counts = stands.contains(&line.id) && !line.paper && took <= LONG_PAUSE_H * 60.0;
            (counts && took >= IN_ONE_GO_MIN).then_some(took)
        };
        befores
            .zip(&self.lines)
            .filter_map(|(before, line)| match &line.what {
                What::Ticked { step, .. } => Some((step.as_str(), timed((before, line))?)),
                _ => None,
            })
            .collect()
    }
}

/// The minutes of every order together, by step.
#[must_use]
pub fn logged(orders: &[Bench]) -> BTreeMap<&str, Vec<f64>> {
    let mut all: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for (step, minutes) in orders.iter().flat_map(Bench::minutes) {
        all.entry(step).or_default().push(minutes);
    }
    all
}

fn hours(from: DateTime, to: DateTime) -> f64 {
    to.duration_since(from).as_secs_f64() / 3600.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> DateTime {
        text.parse().expect("a time")
    }

    fn order(lines: &[(&str, Option<&str>, What)]) -> Bench {
        let line = |(id, (when, who, what)): (i64, &(&str, Option<&str>, What))| Line {
            id,
            change: id,
            at: at(when),
            who: who.map(str::to_owned),
            paper: false,
            what: what.clone(),
        };
        Bench {
            id: 1,
            at: at("2026-09-24T17:00"),
            jobs: vec!["final-drive-set".to_owned()],
            choices: Vec::new(),
            setup: [14, 48, 118],
            lines: (1..).zip(lines).map(line).collect(),
        }
    }

    fn read(caution: &str) -> What {
        What::Read(caution.to_owned())
    }

    fn tick(step: &str) -> What {
        What::Ticked { step: step.to_owned(), reason: None, answers: Vec::new() }
    }

    #[test]
    fn a_stop_is_read_again_after_a_long_pause_and_by_another_person() {
        let order =
            order(&[("2026-09-24T17:01", None, read("pinch")), ("2026-09-24T20:00", None, tick("open:guard-off"))]);
        assert!(order.read_by(None, at("2026-09-24T23:59")).contains("pinch"));
        assert!(order.read_by(None, at("2026-09-25T00:01")).is_empty());
        assert!(order.read_by(Some("Ann"), at("2026-09-24T20:01")).is_empty());
    }

    #[test]
    fn the_minutes_of_every_order_stand_together_under_their_step() {
        let first = order(&[
            ("2026-09-24T17:05", None, tick("open:guard-off")),
            ("2026-09-24T17:15", None, tick("do:crack-axle-nut")),
        ]);
        let second = order(&[("2026-09-24T17:08", None, tick("open:guard-off"))]);
        let wanted = [("do:crack-axle-nut", vec![10.0]), ("open:guard-off", vec![5.0, 8.0])];
        assert_eq!(logged(&[first, second]), BTreeMap::from(wanted));
        assert!(logged(&[]).is_empty() && logged(&[order(&[])]).is_empty());
    }

    #[test]
    fn a_step_takes_from_the_line_before_it_and_a_night_between_is_no_work() {
        let order = order(&[
            ("2026-09-24T17:05", None, tick("open:guard-off")),
            ("2026-09-24T17:05:04", None, tick("do:crack-axle-nut")),
            ("2026-09-25T09:00", None, What::Paused),
            ("2026-09-25T09:08", None, tick("open:on-stand")),
            ("2026-09-25T19:08", None, tick("do:measure-drivetrain")),
        ]);
        assert_eq!(order.minutes(), [("open:guard-off", 5.0), ("open:on-stand", 8.0)]);
    }

    #[test]
    fn four_hours_are_one_sitting_and_a_second_more_is_none() {
        let one = order(&[("2026-09-24T17:00", None, read("pinch"))]);
        assert!(one.read_by(None, at("2026-09-24T21:00")).contains("pinch"));
        assert!(one.read_by(None, at("2026-09-24T21:00:01")).is_empty());
        let two = |second: &str| order(&[("2026-09-24T17:00", None, read("pinch")), (second, None, read("eyes"))]);
        let read =
            |order: &Bench, now: &str| order.read_by(None, at(now)).into_iter().map(str::to_owned).collect::<Vec<_>>();
        assert_eq!(read(&two("2026-09-24T21:00"), "2026-09-24T21:01"), ["eyes", "pinch"]);
        assert_eq!(read(&two("2026-09-24T21:00:01"), "2026-09-24T21:01"), ["eyes"]);
    }

    #[test]
    fn a_step_is_timed_from_twelve_seconds_to_four_hours_while_its_tick_stands_and_not_from_paper() {
        let minutes = |when: &str| {
            let order = order(&[(when, None, tick("do:x"))]);
            order.minutes().first().map(|(_, minutes)| *minutes)
        };
        assert!(minutes("2026-09-24T17:00:12").is_some_and(|minutes| (minutes - 0.2).abs() < 1e-12));
        assert_eq!(minutes("2026-09-24T17:00:11"), None);
        assert_eq!((minutes("2026-09-24T21:00"), minutes("2026-09-24T21:00:01")), (Some(240.0), None));
        let back = What::Unticked { step: "do:x".to_owned(), reason: "why".to_owned() };
        let taken = order(&[("2026-09-24T17:10", None, tick("do:x")), ("2026-09-24T17:20", None, back)]);
        assert!(taken.minutes().is_empty());
        let mut paper = order(&[("2026-09-24T17:10", None, tick("do:x"))]);
        paper.lines[0].paper = true;
        assert!(paper.minutes().is_empty());
    }
}
