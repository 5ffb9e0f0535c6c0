//! Work orders: begun once, lines appended, each line with what follows from it in one transaction.

use std::collections::HashMap;

use jiff::civil::DateTime;
use serde_json::Value as Json;
use upkeep::bike::Change;
use upkeep::job::bench::{Answer, Bench, Line, Manual, Outcome, Said, What};
use upkeep::supply::Supply;

use crate::change::Appender;
use crate::log::{self, NewEntry, clock_text};
use crate::{Done, Engine, Post, Result, Row, Store, StoreError, bikes, supply};

/// An order to be begun.
#[derive(Debug, Clone, PartialEq)]
pub struct NewBench {
    /// When, by the rider's clock.
    pub at: DateTime,
    /// Its jobs.
    pub jobs: Vec<String>,
    /// Answers to choices.
    pub choices: Vec<(String, String)>,
    /// Front teeth, rear teeth and links wanted in the end.
    pub setup: [u32; 3],
}

/// Lines to be written under an order, and what follows from them for the record.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct NewLines {
    /// The last line that the writer had seen; another one since is told.
    pub seen: i64,
    /// When each line was so.
    pub at: DateTime,
    /// Who writes.
    pub who: Option<String>,
    /// Whether it is typed in afterwards.
    pub paper: bool,
    /// The lines.
    pub what: Vec<What>,
    /// Facts of the record.
    pub facts: Vec<NewEntry>,
    /// Changes of the sheet.
    pub sheet: Vec<Change>,
    /// Facts of the shelf.
    pub supplies: Vec<Supply>,
}

impl<E: Engine> Store<E> {
    /// Begins an order, with the facts that follow from it; gives its number.
    ///
    /// # Errors
    /// No such bike, or the store cannot be written.
    pub fn begin_bench(&mut self, bike: &str, new: &NewBench, facts: &[NewEntry], post: &Post<'_>) -> Result<i64> {
        let request = format!("{bike}\n{new:?}\n{facts:?}");
        let done = self.once(post, "record", &request, |to| {
            bikes::must_exist(to.db, bike)?;
            insert_bench(to, bike, new)?;
            log::append(to, bike, facts)
        })?;
        let found = self.db.first("SELECT id FROM bench WHERE change = ?1", &[&done.change], |row| row.get(0))?;
        found.ok_or_else(|| StoreError::Damaged { what: "an order that was begun is not there".to_owned() })
    }

    /// Writes lines under an order, all or none.
    ///
    /// # Errors
    /// No such order, lines that the writer had not seen, or the store cannot be written.
    pub fn write_bench(&mut self, bike: &str, bench: i64, new: &NewLines, post: &Post<'_>) -> Result<Done> {
        // A form sent again is the same form, whenever it comes.
        let request = format!("{bike}\n{bench}\n{:?}", new.what);
        self.once(post, "record", &request, |to| {
            let found = must_be_there(to.db, bike, bench)?;
            let last = last_line(to.db, found)?;
            if last != new.seen {
                return Err(StoreError::Meanwhile { bench });
            }
            for what in &new.what {
                insert_line(to, bench, new, what)?;
            }
            bikes::apply(to, bike, &new.sheet)?;
            supply::append(to, bike, new.at, &new.supplies)?;
            log::append(to, bike, &new.facts)
        })
    }

    /// Every order of a bike, oldest first.
    ///
    /// # Errors
    /// No such bike, or a damaged row.
    pub fn benches(&self, bike: &str) -> Result<Vec<Bench>> {
        bikes::must_exist(&self.db, bike)?;
        self.db.rows(
            "SELECT bench.id, bench.at, jobs, choices, front_teeth, rear_teeth, links
             FROM bench JOIN live ON live.id = bench.change WHERE bike = ?1 ORDER BY bench.id",
            &[&bike],
            |row| read_bench(&self.db, row),
        )
    }

    /// Puts down what the manual says of a figure.
    ///
    /// # Errors
    /// No such bike, or the store cannot be written.
    pub fn put_manual(&mut self, bike: &str, manual: &Manual, post: &Post<'_>) -> Result<Done> {
        self.once(post, "record", &format!("{bike}\n{manual:?}"), |to| {
            bikes::must_exist(to.db, bike)?;
            let (low, high, words) = match manual.said() {
                Said::Number { low, high } => (Some(low), Some(high), None),
                Said::Words(words) => (None, None, Some(words)),
            };
            to.put(
                "manual",
                &[
                    ("bike", &bike),
                    ("figure", &manual.figure()),
                    ("low", &low),
                    ("high", &high),
                    ("words", &words),
                    ("source", &manual.source()),
                ],
            )
            .map(drop)
        })
    }

    /// What the manual says, the latest of each figure.
    ///
    /// # Errors
    /// No such bike, or a damaged row.
    pub fn manual(&self, bike: &str) -> Result<Vec<Manual>> {
        bikes::must_exist(&self.db, bike)?;
        self.db.rows(
            "SELECT manual.id, figure, low, high, words, source FROM manual WHERE manual.id IN
                 (SELECT max(manual.id) FROM manual JOIN live ON live.id = manual.change WHERE bike = ?1 GROUP BY figure)
             ORDER BY figure",
            &[&bike],
            |row| {
                let (low, high): (Option<f64>, Option<f64>) = (row.get(2)?, row.get(3)?);
                let words: Option<String> = row.get(4)?;
                let said = match low.zip(high) {
                    Some((low, high)) => Said::Number { low, high },
                    None => Said::Words(words.unwrap_or_default()),
                };
                let (figure, source): (String, String) = (row.get(1)?, row.get(5)?);
                let id = row.get(0)?;
                Manual::new(&figure, said, &source).map_err(|fault| StoreError::row("manual", id, &fault.text))
            },
        )
    }
}

fn insert_bench(to: &mut Appender<'_, impl Engine>, bike: &str, new: &NewBench) -> Result<()> {
    let choices: serde_json::Map<String, Json> =
        new.choices.iter().map(|(key, value)| (key.clone(), Json::from(value.as_str()))).collect();
    let [front, rear, links] = new.setup;
    to.put(
        "bench",
        &[
            ("bike", &bike),
            ("at", &clock_text(new.at)),
            ("jobs", &Json::from(new.jobs.clone()).to_string()),
            ("choices", &Json::from(choices).to_string()),
            ("front_teeth", &front),
            ("rear_teeth", &rear),
            ("links", &links),
        ],
    )
    .map(drop)
}

fn must_be_there(db: &impl Engine, bike: &str, bench: i64) -> Result<i64> {
    let found = db.first(
        "SELECT bench.id FROM bench JOIN live ON live.id = bench.change WHERE bench.id = ?1 AND bike = ?2",
        &[&bench, &bike],
        |row| row.get(0),
    )?;
    found.ok_or(StoreError::NoSuchBench { id: bench })
}

fn last_line(db: &impl Engine, bench: i64) -> Result<i64> {
    let last = db.first(
        "SELECT max(bench_line.id) FROM bench_line JOIN live ON live.id = bench_line.change WHERE bench = ?1",
        &[&bench],
        |row| row.get::<Option<i64>>(0),
    )?;
    Ok(last.flatten().unwrap_or_default())
}

/// Kind, word, reason, hours and answers of a line.
type Parts<'w> = (&'static str, &'w str, Option<&'w str>, Option<f64>, &'w [Answer]);

fn parts(what: &What) -> Parts<'_> {
    match what {
        What::Read(caution) => ("read", caution, None, None, &[]),
        What::Ticked { step, reason, answers } => ("ticked", step, reason.as_deref(), None, answers),
        What::Held { step, answers } => ("held", step, None, None, answers),
        What::Unticked { step, reason } => ("unticked", step, Some(reason), None, &[]),
        What::Added { job, reason } => ("added", job, Some(reason), None, &[]),
        What::Paused => ("paused", "", None, None, &[]),
        What::Cure { hours } => ("cure", "", None, Some(*hours), &[]),
        What::Closed => ("closed", "", None, None, &[]),
        What::Dropped => ("dropped", "", None, None, &[]),
    }
}

fn insert_line(to: &mut Appender<'_, impl Engine>, bench: i64, new: &NewLines, what: &What) -> Result<()> {
    let (kind, word, reason, hours, answers) = parts(what);
    let line = to.put(
        "bench_line",
        &[
            ("bench", &bench),
            ("at", &clock_text(new.at)),
            ("who", &new.who),
            ("kind", &kind),
            ("word", &word),
            ("reason", &reason),
            ("hours_h", &hours),
            ("paper", &new.paper),
        ],
    )?;
    for answer in answers {
        to.beside(
            "bench_answer",
            &[
                ("line", &line),
                ("hold", &answer.hold),
                ("typed", &answer.typed),
                ("number", &answer.number),
                ("unit", &answer.unit),
                ("outcome", &answer.outcome.word()),
                ("reason", &answer.reason),
                ("against", &answer.against),
            ],
        )?;
    }
    Ok(())
}

fn read_bench(db: &impl Engine, row: &impl Row) -> Result<Bench> {
    let id: i64 = row.get(0)?;
    let bad = |why: &str| StoreError::row("bench", id, why);
    let jobs: String = row.get(2)?;
    let choices: String = row.get(3)?;
    let choices: serde_json::Map<String, Json> =
        serde_json::from_str(&choices).map_err(|_| bad("its choices are none"))?;
    Ok(Bench {
        id,
        at: row.get::<String>(1)?.parse().map_err(|_| bad("its time is none"))?,
        jobs: serde_json::from_str(&jobs).map_err(|_| bad("its jobs are none"))?,
        choices: choices
            .into_iter()
            .map(|(key, value)| Some((key, value.as_str()?.to_owned())))
            .collect::<Option<_>>()
            .ok_or_else(|| bad("its choices are none"))?,
        setup: [row.get(4)?, row.get(5)?, row.get(6)?],
        lines: read_lines(db, id)?,
    })
}

fn read_lines(db: &impl Engine, bench: i64) -> Result<Vec<Line>> {
    let mut answers = read_answers(db, bench)?;
    db.rows(
        "SELECT bench_line.id, bench_line.change, at, who, kind, word, reason, hours_h, paper FROM
             (SELECT * FROM bench_line WHERE bench = ?1) AS bench_line
         WHERE EXISTS (SELECT 1 FROM live WHERE live.id = bench_line.change) ORDER BY bench_line.id",
        &[&bench],
        |row| {
            let id: i64 = row.get(0)?;
            read_line(row, id, answers.remove(&id).unwrap_or_default())
        },
    )
}

fn read_line(row: &impl Row, id: i64, answers: Vec<Answer>) -> Result<Line> {
    let bad = |why: &str| StoreError::row("bench_line", id, why);
    let at = row.get::<String>(2)?.parse().map_err(|_| bad("its time is none"))?;
    let (kind, word): (String, String) = (row.get(4)?, row.get(5)?);
    let (reason, hours): (Option<String>, Option<f64>) = (row.get(6)?, row.get(7)?);
    let said = || reason.clone().ok_or_else(|| bad("its reason is missing"));
    let what = match kind.as_str() {
        "read" => What::Read(word),
        "ticked" => What::Ticked { step: word, reason, answers },
        "held" => What::Held { step: word, answers },
        "unticked" => What::Unticked { step: word, reason: said()? },
        "added" => What::Added { job: word, reason: said()? },
        "paused" => What::Paused,
        "cure" => What::Cure { hours: hours.ok_or_else(|| bad("its hours are missing"))? },
        "closed" => What::Closed,
        "dropped" => What::Dropped,
        _ => return Err(bad("its kind is not known")),
    };
    Ok(Line { id, change: row.get(1)?, at, who: row.get(3)?, paper: row.get(8)?, what })
}

/// The answers of an order by the numbers of their lines.
fn read_answers(db: &impl Engine, bench: i64) -> Result<HashMap<i64, Vec<Answer>>> {
    let mut all: HashMap<i64, Vec<Answer>> = HashMap::new();
    db.rows(
        "SELECT hold, typed, number, unit, outcome, reason, against, line FROM bench_answer
         WHERE line IN (SELECT id FROM bench_line WHERE bench = ?1) ORDER BY line, rowid",
        &[&bench],
        |row| {
            let line: i64 = row.get(7)?;
            let outcome: String = row.get(4)?;
            all.entry(line).or_default().push(Answer {
                hold: row.get(0)?,
                typed: row.get(1)?,
                number: row.get(2)?,
                unit: row.get(3)?,
                outcome: Outcome::of(&outcome)
                    .ok_or_else(|| StoreError::row("bench_answer", line, "its outcome is none"))?,
                reason: row.get(5)?,
                against: row.get(6)?,
            });
            Ok(())
        },
    )?;
    Ok(all)
}
