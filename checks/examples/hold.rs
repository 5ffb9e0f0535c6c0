//! Holds the check rows whose file matches a word against the figures and prints every miss:
//! `cargo run -p checks --example hold -- slack/required`.
#![expect(clippy::print_stdout, reason = "a tool for the terminal")]

fn main() -> Result<(), String> {
    let filter = std::env::args().nth(1).unwrap_or_default();
    let carried = checks::carried::Carried::unpack()?;
    let tallies = checks::ledger::run(&carried, &filter)?;
    for (path, tally) in &tallies {
        for miss in &tally.missed {
            println!("{path} {miss}");
        }
        for healed in &tally.healed {
            println!("{path} {healed}: listed as a gap, but holds");
        }
    }
    println!("{}", checks::ledger::text(&tallies));
    Ok(())
}
