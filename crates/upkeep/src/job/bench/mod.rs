//! A work order on the bench: what was begun, and every line written since, in the order of writing.
//!
//! A line is never changed: a tick is taken back by a later line that says why. Where the work stands, and the way to
//! its end, follow from the lines and are never kept. Words for a person do not live here, nor where lines are kept.

mod judge;
mod manual;
mod rules;
mod sitting;
mod stand;

use jiff::civil::DateTime;

pub use judge::{Limit, Sense, judge, sense};
pub use manual::{Manual, Said};
pub use rules::Blocker;
pub use sitting::logged;
pub use stand::Stand;

/// What became of a stop point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// It passed.
    Passed,
    /// It is off the figure by more than a tenth, and the rider says that it is right, and why.
    Confirmed,
    /// It does not pass and is let go: only what is no matter of safety.
    Waived,
    /// It does not pass.
    Failed,
}

impl Outcome {
    /// Words and outcomes.
    pub const WORDS: &[(&str, Self)] =
        &[("passed", Self::Passed), ("confirmed", Self::Confirmed), ("waived", Self::Waived), ("failed", Self::Failed)];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, known)| *known == self).map_or("", |(word, _)| word)
    }

    /// The outcome of a word.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        Self::WORDS.iter().find(|(known, _)| *known == word).map(|(_, outcome)| *outcome)
    }
}

/// The answer to a stop point.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The stop point.
    pub hold: String,
    /// As it was typed or chosen.
    pub typed: String,
    /// The number in the unit kept, where it is one.
    pub number: Option<f64>,
    /// That unit; empty without one.
    pub unit: String,
    /// What became of it.
    pub outcome: Outcome,
    /// Why it is right although it looks wrong, or why it is let go.
    pub reason: Option<String>,
    /// The figure that it was held against, with its source, as it stood then.
    pub against: Option<String>,
}

/// What a line says.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A caution was read.
    Read(String),
    /// A step is done, with the answers to its stop points.
    Ticked {
        /// The step, as plans write it.
        step: String,
        /// Why it was done out of turn.
        reason: Option<String>,
        /// Answers.
        answers: Vec<Answer>,
    },
    /// A step was tried and is not done: a stop point did not pass.
    Held {
        /// The step.
        step: String,
        /// Answers.
        answers: Vec<Answer>,
    },
    /// A step counts as not done after all.
    Unticked {
        /// The step.
        step: String,
        /// Why.
        reason: String,
    },
    /// A job came into the order.
    Added {
        /// The job.
        job: String,
        /// Why.
        reason: String,
    },
    /// Work stops for now.
    Paused,
    /// Hours that a threadlocker needs, by its own label.
    Cure {
        /// The hours.
        hours: f64,
    },
    /// All is done.
    Closed,
    /// Given up with everything back as it was.
    Dropped,
}

/// One line.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Its number; later lines have higher ones.
    pub id: i64,
    /// The change that brought it.
    pub change: i64,
    /// When, by the rider's clock.
    pub at: DateTime,
    /// Who; none where nobody said.
    pub who: Option<String>,
    /// Whether it was typed in afterwards from paper: its time says nothing about the work.
    pub paper: bool,
    /// What.
    pub what: What,
}

/// A work order.
#[derive(Debug, Clone, PartialEq)]
pub struct Bench {
    /// Its number.
    pub id: i64,
    /// When it was begun.
    pub at: DateTime,
    /// The jobs that it was begun with.
    pub jobs: Vec<String>,
    /// Answers to choices, key and value.
    pub choices: Vec<(String, String)>,
    /// Front teeth, rear teeth and links that shall be there in the end.
    pub setup: [u32; 3],
    /// What was written since.
    pub lines: Vec<Line>,
}

/// How an order ended, or that it has not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// It is open.
    Open,
    /// It is closed: everything is done.
    Closed,
    /// It was given up.
    Dropped,
}

impl Bench {
    /// Whether it is open, closed or given up.
    #[must_use]
    pub fn end(&self) -> End {
        let ended = self.lines.iter().rev().find_map(|line| match line.what {
            What::Closed => Some(End::Closed),
            What::Dropped => Some(End::Dropped),
            _ => None,
        });
        ended.unwrap_or(End::Open)
    }

    /// The jobs, with those that came in since.
    #[must_use]
    pub fn jobs_now(&self) -> Vec<&str> {
        let mut jobs: Vec<&str> = self.jobs.iter().map(String::as_str).collect();
        for line in &self.lines {
            if let What::Added { job, .. } = &line.what
                && !jobs.contains(&job.as_str())
            {
                jobs.push(job);
            }
        }
        jobs
    }

    /// The number of the last line; zero for none.
    #[must_use]
    pub fn last_line(&self) -> i64 {
        self.lines.last().map_or(0, |line| line.id)
    }

    /// The ticks that stand, in the order in which they were made, each with its line and step.
    #[must_use]
    pub fn ticks(&self) -> Vec<(&Line, &str, &[Answer])> {
        let mut ticks: Vec<(&Line, &str, &[Answer])> = Vec::new();
        for line in &self.lines {
            match &line.what {
                What::Ticked { step, answers, .. } => ticks.push((line, step, answers)),
                What::Unticked { step, .. } => {
                    if let Some(at) = ticks.iter().rposition(|(_, known, _)| *known == step) {
                        ticks.remove(at);
                    }
                }
                _ => {}
            }
        }
        ticks
    }

    /// The latest answer to a stop point whose tick stands, or that kept its step from being ticked.
    #[must_use]
    pub fn answer(&self, hold: &str) -> Option<(&Line, &Answer)> {
        self.ticks().into_iter().rev().find_map(|(line, _, answers)| {
            answers.iter().find(|answer| answer.hold == hold).map(|answer| (line, answer))
        })
    }

    /// Until when a threadlocker cures, by the hours that the rider read on its label; none where nobody said.
    #[must_use]
    pub fn cured_at(&self) -> Option<DateTime> {
        let cures = self.lines.iter().filter_map(|line| match line.what {
            What::Cure { hours } => {
                #[expect(clippy::cast_possible_truncation, reason = "hours are bounded to some days")]
                let minutes = (hours * 60.0).round() as i64;
                line.at.checked_add(jiff::Span::new().minutes(minutes)).ok()
            }
            _ => None,
        });
        cures.max()
    }

    /// The same order with more lines, as it would stand if they were written.
    #[must_use]
    pub fn with(&self, at: DateTime, who: Option<&str>, more: &[What]) -> Self {
        let mut after = self.clone();
        let first = self.last_line() + 1;
        after.lines.extend((first..).zip(more).map(|(id, what)| Line {
            id,
            change: 0,
            at,
            who: who.map(str::to_owned),
            paper: false,
            what: what.clone(),
        }));
        after
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> DateTime {
        text.parse().expect("a time")
    }

    fn bench() -> Bench {
        Bench {
            id: 1,
            at: at("2026-09-24T17:00"),
            jobs: vec!["a".to_owned(), "b".to_owned()],
            choices: Vec::new(),
            setup: [14, 48, 118],
            lines: Vec::new(),
        }
    }

    fn answer(hold: &str, typed: &str) -> Answer {
        Answer {
            hold: hold.to_owned(),
            typed: typed.to_owned(),
            number: None,
            unit: String::new(),
            outcome: Outcome::Passed,
            reason: None,
            against: None,
        }
    }

    fn tick(step: &str, answers: &[Answer]) -> What {
        What::Ticked { step: step.to_owned(), reason: None, answers: answers.to_vec() }
    }

    fn untick(step: &str) -> What {
        What::Unticked { step: step.to_owned(), reason: "why".to_owned() }
    }

    fn with(what: &[What]) -> Bench {
        bench().with(at("2026-09-24T18:00"), Some("Ann"), what)
    }

    #[test]
    fn lines_go_on_from_the_last_number_and_say_who_and_when() {
        let more = with(&[What::Paused, What::Closed]).with(at("2026-09-24T19:00"), None, &[What::Dropped]);
        let told: Vec<_> = more.lines.iter().map(|line| (line.id, line.who.as_deref(), line.at.hour())).collect();
        assert_eq!(told, [(1, Some("Ann"), 18), (2, Some("Ann"), 18), (3, None, 19)]);
        assert_eq!((bench().last_line(), more.last_line()), (0, 3));
        assert!(more.lines.iter().all(|line| !line.paper && line.change == 0));
    }

    #[test]
    fn an_order_ends_as_its_last_such_line_says() {
        assert_eq!(with(&[What::Paused]).end(), End::Open);
        assert_eq!(with(&[What::Closed, What::Paused]).end(), End::Closed);
        assert_eq!(with(&[What::Dropped, What::Closed]).end(), End::Closed);
        assert_eq!(with(&[What::Closed, What::Dropped]).end(), End::Dropped);
    }

    #[test]
    fn a_job_comes_into_an_order_once() {
        let added = |job: &str| What::Added { job: job.to_owned(), reason: "found".to_owned() };
        let order = with(&[added("c"), added("a"), added("c"), added("d")]);
        assert_eq!(order.jobs_now(), ["a", "b", "c", "d"]);
    }

    #[test]
    fn a_tick_taken_back_is_the_last_of_its_step_and_takes_its_answers_with_it() {
        let order = with(&[
            tick("do:x", &[answer("h", "first"), answer("g", "other")]),
            tick("do:y", &[]),
            tick("do:x", &[answer("h", "second")]),
            untick("do:z"),
        ]);
        let steps = |order: &Bench| {
            order.ticks().iter().map(|(line, step, _)| (line.id, (*step).to_owned())).collect::<Vec<_>>()
        };
        let named = |all: &[(i64, &str)]| all.iter().map(|(id, step)| (*id, (*step).to_owned())).collect::<Vec<_>>();
        assert_eq!(steps(&order), named(&[(1, "do:x"), (2, "do:y"), (3, "do:x")]));
        let typed =
            |order: &Bench, hold: &str| order.answer(hold).map(|(line, answer)| (line.id, answer.typed.clone()));
        assert_eq!(typed(&order, "h"), Some((3, "second".to_owned())));
        assert_eq!(typed(&order, "g"), Some((1, "other".to_owned())));
        assert_eq!(typed(&order, "f"), None);
        let back = order.with(order.at, None, &[untick("do:x")]);
        assert_eq!(steps(&back), named(&[(1, "do:x"), (2, "do:y")]));
        assert_eq!(typed(&back, "h"), Some((1, "first".to_owned())));
        let held =
            order.with(order.at, None, &[What::Held { step: "do:w".to_owned(), answers: vec![answer("f", "no")] }]);
        assert_eq!(typed(&held, "f"), None);
    }

    #[test]
    fn the_longest_cure_is_waited_for_to_the_minute() {
        assert_eq!(with(&[What::Paused]).cured_at(), None);
        let cure = |hours: f64| What::Cure { hours };
        assert_eq!(with(&[cure(1.51)]).cured_at(), Some(at("2026-09-24T19:31")));
        let later = with(&[cure(24.0)]).with(at("2026-09-25T08:00"), None, &[cure(0.5)]);
        assert_eq!(later.cured_at(), Some(at("2026-09-25T18:00")));
    }
}
