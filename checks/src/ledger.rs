//! Counts what holds: per file and per standing. Gaps are rows of `gaps.csv`, each with its reason.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Display;

use serde_json::{Value, json};

use crate::carried::{Carried, GAPS};
use crate::compare;
use crate::rows::Row;

/// How many rows hold, by standing.
pub type Standings = BTreeMap<String, usize>;

/// The outcome of one file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Tally {
    /// Rows that hold, by figure and standing.
    pub held: BTreeMap<String, Standings>,
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
        self.held.values().flat_map(Standings::values).sum()
    }

    /// The rows that hold, by standing, over all figures of the file.
    #[must_use]
    pub fn standings(&self) -> Standings {
        let mut sums = Standings::new();
        self.held.values().for_each(|held| add(&mut sums, held));
        sums
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

/// Holds every carried row whose file or figure is named like `filter` against the figures.
///
/// # Errors
/// A file that cannot be read, holds no row, or no file at all.
pub fn run(carried: &Carried, filter: &str) -> Result<BTreeMap<String, Tally>, String> {
    let gaps = gaps(GAPS)?;
    let files = carried.rows(filter)?;
    if files.is_empty() {
        return Err(format!("no check file or figure is named like \"{filter}\""));
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
            None => {
                *tally.held.entry(row.figure.clone()).or_default().entry(row.standing.clone()).or_default() += 1;
            }
            Some(_) if gap => tally.gaps += 1,
            Some(why) => tally.missed.push(format!("{}: {why} [{}; {}]", row.case, row.source, row.at)),
        }
    }
    if whole_file && tally.gaps == 0 {
        tally.healed.push("*".to_owned());
    }
    tally
}

/// The ledger as text: one line a file, then the sums; then one line a figure, so that no large file hides a thin one.
#[must_use]
pub fn text(tallies: &BTreeMap<String, Tally>) -> String {
    let mut out = line("file", "held", "gaps", "by standing");
    let mut sums = Standings::new();
    for (path, tally) in tallies {
        let standings = tally.standings();
        out.push_str(&line(path, tally.held_rows(), tally.gaps, &words(&standings)));
        add(&mut sums, &standings);
    }
    let (held, gaps) = (sums.values().sum::<usize>(), tallies.values().map(|tally| tally.gaps).sum::<usize>());
    out.push_str(&line("all", held, gaps, &words(&sums)));
    out.push('\n');
    out.push_str(&line("figure", "held", "proof", "by standing"));
    for (figure, standings) in by_figure(tallies) {
        let held = standings.values().sum::<usize>();
        out.push_str(&line(&figure, held, format!("{:.0} %", outside_pct(&standings)), &words(&standings)));
    }
    out
}

/// Rows that hold, figure by figure over all files.
#[must_use]
pub fn by_figure(tallies: &BTreeMap<String, Tally>) -> BTreeMap<String, Standings> {
    let mut all: BTreeMap<String, Standings> = BTreeMap::new();
    for (figure, held) in tallies.values().flat_map(|tally| &tally.held) {
        add(all.entry(figure.clone()).or_default(), held);
    }
    all
}

/// The share of rows that are other people's values: published, or computed by a general-purpose library.
#[must_use]
pub fn outside_pct(standings: &Standings) -> f64 {
    let count = |word: &str| standings.get(word).copied().unwrap_or_default();
    let (outside, all) = (count("published") + count("library"), standings.values().sum::<usize>());
    let per_mille = (outside * 1000).checked_div(all).unwrap_or_default();
    f64::from(u32::try_from(per_mille).unwrap_or(u32::MAX)) / 10.0
}

fn add(sums: &mut Standings, more: &Standings) {
    for (standing, rows) in more {
        *sums.entry(standing.clone()).or_default() += rows;
    }
}

fn line(name: &str, held: impl Display, other: impl Display, words: &str) -> String {
    format!("{name:<34} {held:>5}  {other:>5}  {words}\n")
}

fn words(standings: &Standings) -> String {
    standings.iter().map(|(standing, rows)| format!("{standing} {rows}")).collect::<Vec<_>>().join(" · ")
}
