//! Work orders: begun once, lines appended, each line with what follows from it in one transaction.

use jiff::civil::DateTime;
use rusqlite::{Connection, OptionalExtension as _, Row, Transaction, named_params};
use serde_json::Value as Json;
use upkeep::bike::Change;
use upkeep::job::bench::{Answer, Bench, Line, Manual, Outcome, Said, What};
use upkeep::supply::Supply;

use crate::change::Appender;
use crate::log::{self, NewEntry, clock_text};
use crate::{Done, Post, Result, Store, StoreError, bikes, supply};

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

impl Store {
    /// Begins an order, with the facts that follow from it; gives its number.
    ///
    /// # Errors
    /// No such bike, or the store cannot be written.
    pub fn begin_bench(&mut self, bike: &str, new: &NewBench, facts: &[NewEntry], post: &Post<'_>) -> Result<i64> {
        let request = format!("{bike}\n{new:?}\n{facts:?}");
        let done = self.once(post, "record", &request, |db, appender| {
            bikes::must_exist(db, bike)?;
            insert_bench(db, appender, bike, new)?;
            log::append(db, appender, bike, facts)
        })?;
        let found: Option<i64> =
            self.db.query_row("SELECT id FROM bench WHERE change = ?1", [done.change], |row| row.get(0)).optional()?;
        found.ok_or_else(|| StoreError::Damaged { what: "an order that was begun is not there".to_owned() })
    }

    /// Writes lines under an order, all or none.
    ///
    /// # Errors
    /// No such order, lines that the writer had not seen, or the store cannot be written.
    pub fn write_bench(&mut self, bike: &str, bench: i64, new: &NewLines, post: &Post<'_>) -> Result<Done> {
        // A form sent again is the same form, whenever it comes.
        let request = format!("{bike}\n{bench}\n{:?}", new.what);
        self.once(post, "record", &request, |db, appender| {
            let found = must_be_there(db, bike, bench)?;
            let last = last_line(db, found)?;
            if last != new.seen {
                return Err(StoreError::Meanwhile { bench });
            }
            for what in &new.what {
                insert_line(db, appender, bench, new, what)?;
            }
            bikes::apply(db, appender, bike, &new.sheet)?;
            supply::append(db, appender, bike, new.at, &new.supplies)?;
            log::append(db, appender, bike, &new.facts)
        })
    }

    /// Every order of a bike, oldest first.
    ///
    /// # Errors
    /// No such bike, or a damaged row.
    pub fn benches(&self, bike: &str) -> Result<Vec<Bench>> {
        bikes::must_exist(&self.db, bike)?;
        let mut rows = self.db.prepare_cached(
            "SELECT bench.id, bench.at, jobs, choices, front_teeth, rear_teeth, links
             FROM bench JOIN live ON live.id = bench.change WHERE bike = ?1 ORDER BY bench.id",
        )?;
        let mut rows = rows.query([bike])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.push(read_bench(&self.db, row)?);
        }
        Ok(all)
    }

    /// Puts down what the manual says of a figure.
    ///
    /// # Errors
    /// No such bike, or the store cannot be written.
    pub fn put_manual(&mut self, bike: &str, manual: &Manual, post: &Post<'_>) -> Result<Done> {
        self.once(post, "record", &format!("{bike}\n{manual:?}"), |db, appender| {
            bikes::must_exist(db, bike)?;
            let (low, high, words) = match manual.said() {
                Said::Number { low, high } => (Some(low), Some(high), None),
                Said::Words(words) => (None, None, Some(words)),
            };
            db.prepare_cached(
                "INSERT INTO manual (change, bike, figure, low, high, words, source)
                 VALUES (:change, :bike, :figure, :low, :high, :words, :source)",
            )?
            .execute(named_params! {
                ":change": appender.change()?, ":bike": bike, ":figure": manual.figure(), ":low": low, ":high": high,
                ":words": words, ":source": manual.source(),
            })?;
            Ok(())
        })
    }

    /// What the manual says, the latest of each figure.
    ///
    /// # Errors
    /// No such bike, or a damaged row.
    pub fn manual(&self, bike: &str) -> Result<Vec<Manual>> {
        bikes::must_exist(&self.db, bike)?;
        let mut rows = self.db.prepare_cached(
            "SELECT manual.id, figure, low, high, words, source FROM manual WHERE manual.id IN
                 (SELECT max(manual.id) FROM manual JOIN live ON live.id = manual.change WHERE bike = ?1 GROUP BY figure)
             ORDER BY figure",
        )?;
        let mut rows = rows.query([bike])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            let (low, high): (Option<f64>, Option<f64>) = (row.get(2)?, row.get(3)?);
            let words: Option<String> = row.get(4)?;
            let said = match low.zip(high) {
                Some((low, high)) => Said::Number { low, high },
                None => Said::Words(words.unwrap_or_default()),
            };
            let (figure, source): (String, String) = (row.get(1)?, row.get(5)?);
            let id = row.get(0)?;
            all.push(Manual::new(&figure, said, &source).map_err(|fault| StoreError::row("manual", id, &fault.text))?);
        }
        Ok(all)
    }
}

fn insert_bench(db: &Transaction<'_>, appender: &mut Appender<'_>, bike: &str, new: &NewBench) -> Result<()> {
    let choices: serde_json::Map<String, Json> =
        new.choices.iter().map(|(key, value)| (key.clone(), Json::from(value.as_str()))).collect();
    db.prepare_cached(
        "INSERT INTO bench (change, bike, at, jobs, choices, front_teeth, rear_teeth, links)
         VALUES (:change, :bike, :at, :jobs, :choices, :front, :rear, :links)",
    )?
    .execute(named_params! {
        ":change": appender.change()?, ":bike": bike, ":at": clock_text(new.at),
        ":jobs": Json::from(new.jobs.clone()).to_string(), ":choices": Json::from(choices).to_string(),
        ":front": new.setup[0], ":rear": new.setup[1], ":links": new.setup[2],
    })?;
    Ok(())
}

fn must_be_there(db: &Connection, bike: &str, bench: i64) -> Result<i64> {
    let found: Option<i64> = db
        .prepare_cached(
            "SELECT bench.id FROM bench JOIN live ON live.id = bench.change WHERE bench.id = ?1 AND bike = ?2",
        )?
        .query_row((bench, bike), |row| row.get(0))
        .optional()?;
    found.ok_or(StoreError::NoSuchBench { id: bench })
}

fn last_line(db: &Connection, bench: i64) -> Result<i64> {
    Ok(db
        .prepare_cached(
            "SELECT coalesce(max(bench_line.id), 0) FROM bench_line JOIN live ON live.id = bench_line.change
             WHERE bench = ?1",
        )?
        .query_row([bench], |row| row.get(0))?)
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

fn insert_line(
    db: &Transaction<'_>,
    appender: &mut Appender<'_>,
    bench: i64,
    new: &NewLines,
    what: &What,
) -> Result<()> {
    let (kind, word, reason, hours, answers) = parts(what);
    db.prepare_cached(
        "INSERT INTO bench_line (change, bench, at, who, kind, word, reason, hours_h, paper)
         VALUES (:change, :bench, :at, :who, :kind, :word, :reason, :hours, :paper)",
    )?
    .execute(named_params! {
        ":change": appender.change()?, ":bench": bench, ":at": clock_text(new.at), ":who": new.who, ":kind": kind,
        ":word": word, ":reason": reason, ":hours": hours, ":paper": new.paper,
    })?;
    let line = db.last_insert_rowid();
    for answer in answers {
        db.prepare_cached(
            "INSERT INTO bench_answer (line, hold, typed, number, unit, outcome, reason, against)
             VALUES (:line, :hold, :typed, :number, :unit, :outcome, :reason, :against)",
        )?
        .execute(named_params! {
            ":line": line, ":hold": answer.hold, ":typed": answer.typed, ":number": answer.number,
            ":unit": answer.unit, ":outcome": answer.outcome.word(), ":reason": answer.reason,
            ":against": answer.against,
        })?;
    }
    Ok(())
}

fn read_bench(db: &Connection, row: &Row<'_>) -> Result<Bench> {
    let id: i64 = row.get(0)?;
    let bad = |why: &str| StoreError::row("bench", id, why);
    let jobs: String = row.get(2)?;
    let choices: String = row.get(3)?;
    let choices: serde_json::Map<String, Json> =
        serde_json::from_str(&choices).map_err(|_| bad("its choices are none"))?;
    Ok(Bench {
        id,
        at: row.get::<_, String>(1)?.parse().map_err(|_| bad("its time is none"))?,
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

fn read_lines(db: &Connection, bench: i64) -> Result<Vec<Line>> {
    let mut rows = db.prepare_cached(
        "SELECT bench_line.id, bench_line.change, at, who, kind, word, reason, hours_h, paper FROM
             (SELECT * FROM bench_line WHERE bench = ?1) AS bench_line
         WHERE EXISTS (SELECT 1 FROM live WHERE live.id = bench_line.change) ORDER BY bench_line.id",
    )?;
    let mut rows = rows.query([bench])?;
    let mut lines = Vec::new();
    while let Some(row) = rows.next()? {
        let id: i64 = row.get(0)?;
        let bad = |why: &str| StoreError::row("bench_line", id, why);
        let at = row.get::<_, String>(2)?.parse().map_err(|_| bad("its time is none"))?;
        let (kind, word): (String, String) = (row.get(4)?, row.get(5)?);
        let (reason, hours): (Option<String>, Option<f64>) = (row.get(6)?, row.get(7)?);
        let said = || reason.clone().ok_or_else(|| bad("its reason is missing"));
        let what = match kind.as_str() {
            "read" => What::Read(word),
            "ticked" => What::Ticked { step: word, reason, answers: read_answers(db, id)? },
            "held" => What::Held { step: word, answers: read_answers(db, id)? },
            "unticked" => What::Unticked { step: word, reason: said()? },
            "added" => What::Added { job: word, reason: said()? },
            "paused" => What::Paused,
            "cure" => What::Cure { hours: hours.ok_or_else(|| bad("its hours are missing"))? },
            "closed" => What::Closed,
            "dropped" => What::Dropped,
            _ => return Err(bad("its kind is not known")),
        };
        lines.push(Line { id, change: row.get(1)?, at, who: row.get(3)?, paper: row.get(8)?, what });
    }
    Ok(lines)
}

fn read_answers(db: &Connection, line: i64) -> Result<Vec<Answer>> {
    let mut rows = db.prepare_cached(
        "SELECT hold, typed, number, unit, outcome, reason, against FROM bench_answer WHERE line = ?1 ORDER BY rowid",
    )?;
    let mut rows = rows.query([line])?;
    let mut answers = Vec::new();
    while let Some(row) = rows.next()? {
        let outcome: String = row.get(4)?;
        answers.push(Answer {
            hold: row.get(0)?,
            typed: row.get(1)?,
            number: row.get(2)?,
            unit: row.get(3)?,
            outcome: Outcome::of(&outcome)
                .ok_or_else(|| StoreError::row("bench_answer", line, "its outcome is none"))?,
            reason: row.get(5)?,
            against: row.get(6)?,
        });
    }
    Ok(answers)
}
