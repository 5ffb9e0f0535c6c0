//! Who vouches for each figure: its rows by standing, whose values they are, and why nobody outside can where none does.

use std::collections::{BTreeMap, BTreeSet};

use figures::Figure;

use crate::carried::Carried;
use crate::ledger::{Standings, outside_pct};

/// Figures that no published or library row holds, each with the reason: `figure,why`.
static OUTSIDE: &str = include_str!("../outside.csv");

/// Standings that are other people's values.
const OTHERS: [&str; 2] = ["published", "library"];

/// What stands behind one figure.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Witness {
    /// How many rows, by standing.
    pub standings: Standings,
    /// How many rows each source vouches for, by standing and the source's words.
    pub sources: BTreeMap<(String, String), usize>,
}

impl Witness {
    /// Whether a published or library row is among them.
    #[must_use]
    pub fn is_outside(&self) -> bool {
        OTHERS.iter().any(|standing| self.standings.contains_key(*standing))
    }
}

/// Every figure that a row asks, with what stands behind it.
///
/// # Errors
/// A sentence naming the check file that cannot be read.
pub fn all(carried: &Carried) -> Result<BTreeMap<String, Witness>, String> {
    let mut all: BTreeMap<String, Witness> = BTreeMap::new();
    for row in carried.rows("")?.into_iter().flat_map(|(_, rows)| rows) {
        let witness = all.entry(row.figure).or_default();
        *witness.standings.entry(row.standing.clone()).or_default() += 1;
        *witness.sources.entry((row.standing, row.source)).or_default() += 1;
    }
    Ok(all)
}

/// Why a figure has no outside row, by figure.
///
/// # Errors
/// A line without a figure or a reason, or a figure named twice.
pub fn reasons() -> Result<BTreeMap<String, String>, String> {
    let mut reasons = BTreeMap::new();
    for record in csv::Reader::from_reader(OUTSIDE.as_bytes()).records() {
        let record = record.map_err(|why| format!("outside.csv: {why}"))?;
        let (Some(figure), Some(why)) = (record.get(0), record.get(1).filter(|why| !why.trim().is_empty())) else {
            return Err(format!("outside.csv: a line without figure and reason: {record:?}"));
        };
        if reasons.insert(figure.to_owned(), why.to_owned()).is_some() {
            return Err(format!("outside.csv: {figure} stands there twice"));
        }
    }
    Ok(reasons)
}

/// The page `docs/sources.md`: every figure, its formula, what it cites and who vouches for it.
///
/// # Errors
/// What [`all`] and [`reasons`] refuse.
pub fn page(carried: &Carried) -> Result<String, String> {
    let (witnesses, reasons) = (all(carried)?, reasons()?);
    let mut out = String::from(HEAD);
    let mut room = "";
    for figure in figures::all() {
        let domain = figure.name.split('.').next().unwrap_or_default();
        if domain != room {
            room = domain;
            out.push_str(&format!("\n## {domain}\n"));
        }
        let none = Witness::default();
        let witness = witnesses.get(figure.name).unwrap_or(&none);
        entry(&mut out, figure, witness, reasons.get(figure.name).map(String::as_str));
    }
    Ok(out)
}

const HEAD: &str = "\
# Sources

Generated from the figures and their check rows by `WRITE=1 cargo test -p checks --test witness`; a test fails when it is stale.
For each figure: what it says, its formula, what it cites, and whose values its rows hold it against.
*Published* and *library* are other people's values; *derived* is a second method of our own; *practice* and *memory* prove nothing.
";

fn entry(out: &mut String, figure: &Figure, witness: &Witness, reason: Option<&str>) {
    out.push_str(&format!("\n### {}\n\n{}\n\n- Formula: {}\n", figure.name, figure.says, figure.formula));
    let cited: BTreeSet<_> =
        figure.sources.iter().filter_map(|id| measure::source(id)).map(|source| source.words).collect();
    cited.iter().for_each(|words| out.push_str(&format!("- Cites: {words}\n")));
    let rows: usize = witness.standings.values().sum();
    out.push_str(&format!("- {rows} rows, {:.0} % of them other people's values:\n", outside_pct(&witness.standings)));
    for ((standing, source), count) in &witness.sources {
        out.push_str(&format!("  - {count} {standing}: {source}\n"));
    }
    if let Some(reason) = reason {
        out.push_str(&format!("- Why no published or library row: {reason}.\n"));
    }
}
