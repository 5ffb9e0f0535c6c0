//! `tightspot prove`: the outside checks that this binary carries, run on this machine, with their sources.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::process::ExitCode;

use checks::carried::Carried;
use checks::ledger::{self, Tally};
use serde_json::json;

use crate::args::{Place, ProveArgs};
use crate::terminal::{WIDTH, wrapped};

/// Runs the checks; the exit status is 0 only if every row holds or is a listed gap.
pub(crate) fn run(place: &Place, args: &ProveArgs) -> ExitCode {
    match prove(place, args) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(why) => {
            let _ = writeln!(io::stderr(), "prove: {why}");
            ExitCode::FAILURE
        }
    }
}

fn prove(place: &Place, args: &ProveArgs) -> Result<bool, String> {
    let filter = args.filter.as_deref().unwrap_or_default();
    let carried = Carried::unpack()?;
    let tallies = ledger::run(&carried, filter)?;
    let mut out = io::stdout().lock();
    let written =
        if place.json { writeln!(out, "{}", as_json(&tallies)) } else { print(&mut out, &carried, &tallies, args) };
    written.map_err(|why| why.to_string())?;
    Ok(tallies.values().all(Tally::clean))
}

fn print(
    out: &mut dyn Write,
    carried: &Carried,
    tallies: &BTreeMap<String, Tally>,
    args: &ProveArgs,
) -> io::Result<()> {
    if args.rows {
        for (path, rows) in carried.rows(args.filter.as_deref().unwrap_or_default()).unwrap_or_default() {
            for row in rows {
                writeln!(out, "{path} {}: {} — {} ({}; {})", row.case, row.figure, row.source, row.at, row.standing)?;
            }
        }
    }
    for (path, tally) in tallies {
        for miss in &tally.missed {
            writeln!(out, "{path} {miss}")?;
        }
        for healed in &tally.healed {
            writeln!(out, "{path} {healed}: listed as a gap, but holds")?;
        }
    }
    for line in ledger::text(tallies).lines() {
        // The last column is the one that grows; it goes on below itself.
        match line.rfind("  ") {
            Some(at) if line.chars().count() > WIDTH => wrapped(out, &line[..at + 2], &line[at + 2..])?,
            _ => writeln!(out, "{line}")?,
        }
    }
    let words = "published and library rows are other people's values; derived rows a second method of our own; \
                 practice and memory rows prove nothing and are shown apart.";
    wrapped(out, "", words)
}

fn as_json(tallies: &BTreeMap<String, Tally>) -> serde_json::Value {
    let file = |(path, tally): (&String, &Tally)| json!({"file": path, "held": tally.standings(), "by_figure": tally.held, "gaps": tally.gaps, "missed": tally.missed, "healed": tally.healed});
    tallies.iter().map(file).collect()
}
