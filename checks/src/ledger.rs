//! Counts what holds: per file and per standing. Gaps are rows of `gaps.csv`, each with its reason.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Value, json};

use crate::carried::{Carried, GAPS};
use crate::compare;
use crate::rows::Row;

/// The outcome of one file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Tally {
    /// Rows that hold, by standing.
    pub held: BTreeMap<String, usize>,
    /// Rows listed as gaps that indeed do not hold.
    pub gaps: usize,
    /// Rows that neither hold nor are listed: `case: what is wrong`.
    pub missed: Vec<String>,
    /// Rows listed as gaps that hold: the list must be mended.
    pub healed: Vec<String>,
}

impl Tally {
    /// All rows that hold.
    #[must_use]
    pub fn held_rows(&self) -> usize {
        self.held.values().sum()
    }

    /// Whether nothing is wrong with the file.
    #[must_use]
    pub fn clean(&self) -> bool {
        self.missed.is_empty() && self.healed.is_empty()
    }
}

/// The gap list as pairs of file and case.
///
/// # Errors
/// A line without its three parts or without a reason.
pub fn gaps(text: &str) -> Result<BTreeSet<(String, String)>, String> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader
        .records()
        .map(|record| {
            let record = record.map_err(|why| format!("gaps.csv: {why}"))?;
            match (record.get(0), record.get(1), record.get(2)) {
                (Some(file), Some(case), Some(reason)) if !reason.trim().is_empty() => {
                    Ok((file.to_owned(), case.to_owned()))
                }
                _ => Err(format!("gaps.csv: a line without file, case and reason: {record:?}")),
            }
        })
        .collect()
}

/// Holds every carried row whose file's path contains `filter` against the figures.
///
/// # Errors
/// A file that cannot be read, holds no row, or no file at all.
pub fn run(carried: &Carried, filter: &str) -> Result<BTreeMap<String, Tally>, String> {
    let gaps = gaps(GAPS)?;
    let files = carried.rows(filter)?;
    if files.is_empty() {
        return Err(format!("no check file matches \"{filter}\""));
    }
    let half = files.len().div_ceil(2);
    let parts: Vec<_> = files.chunks(half.max(1)).collect();
    let tallies = std::thread::scope(|scope| {
        let running: Vec<_> = parts.iter().map(|part| scope.spawn(|| part_of(part, &gaps, carried))).collect();
        running.into_iter().map(std::thread::ScopedJoinHandle::join).collect::<Vec<_>>()
    });
    let mut all = BTreeMap::new();
    for tally in tallies {
        all.extend(tally.map_err(|_| "a figure panicked: see the message above".to_owned())?);
    }
    Ok(all)
}

fn part_of(
    files: &[(&str, Vec<Row>)],
    gaps: &BTreeSet<(String, String)>,
    carried: &Carried,
) -> BTreeMap<String, Tally> {
    files.iter().map(|(path, rows)| ((*path).to_owned(), tally(path, rows, gaps, carried))).collect()
}

fn tally(path: &str, rows: &[Row], gaps: &BTreeSet<(String, String)>, carried: &Carried) -> Tally {
    let listed = |case: &str| gaps.contains(&(path.to_owned(), case.to_owned()));
    let whole_file = listed("*");
    let mut tally = Tally::default();
    for row in rows {
        let outcome = figures::ask(&row.figure, &row.given, carried);
        let line = figures::line::worded(&json!(row.case), &Value::Null, outcome);
        let miss = compare::miss(row, &line);
        let gap = whole_file || listed(&row.case);
        match miss {
            None if gap && !whole_file => tally.healed.push(row.case.clone()),
            None => *tally.held.entry(row.standing.clone()).or_default() += 1,
            Some(_) if gap => tally.gaps += 1,
            Some(why) => tally.missed.push(format!("{}: {why} [{}; {}]", row.case, row.source, row.at)),
        }
    }
    if whole_file && tally.gaps == 0 {
        tally.healed.push("*".to_owned());
    }
    tally
}

/// The ledger as text: one line a file, then the sums. A snapshot of it stands in `ledger.txt`.
#[must_use]
pub fn text(tallies: &BTreeMap<String, Tally>) -> String {
    let mut out = String::from("file                                held   gaps  by standing\n");
    let mut sums: BTreeMap<&str, usize> = BTreeMap::new();
    let mut gaps = 0;
    for (path, tally) in tallies {
        let standings: Vec<_> = tally.held.iter().map(|(standing, rows)| format!("{standing} {rows}")).collect();
        out.push_str(&format!("{path:<34} {:>5}  {:>5}  {}\n", tally.held_rows(), tally.gaps, standings.join(" · ")));
        gaps += tally.gaps;
        for (standing, rows) in &tally.held {
            *sums.entry(standing).or_default() += rows;
        }
    }
    let standings: Vec<_> = sums.iter().map(|(standing, rows)| format!("{standing} {rows}")).collect();
    let held: usize = sums.values().sum();
    out.push_str(&format!("{:<34} {held:>5}  {gaps:>5}  {}\n", "all", standings.join(" · ")));
    out
}
