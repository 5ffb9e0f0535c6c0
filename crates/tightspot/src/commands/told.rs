//! What the program says of itself: settings with their origin, completions for a shell, manual pages.

use std::fs;
use std::io::{self, Write as _};
use std::path::Path;

use advice::Block;
use advice::fact::{Cell, Column, Table};
use clap::CommandFactory as _;

use super::show;
use crate::args::{Args, CompletionsArgs, ManArgs, Place};
use crate::help;
use crate::problem::Problem;
use crate::settings::Holding;

/// Every setting with its value and where that comes from.
pub(super) fn settings(place: &Place, holding: &[Holding]) -> Result<(), Problem> {
    let columns = vec![
        Column::words("name", "Setting"),
        Column::words("value", "Value"),
        Column::words("origin", "From"),
        Column::words("means", "What it is"),
        Column::words("variable", "In the environment"),
    ];
    let mut table = Table::new("settings", "Settings and where each comes from", columns);
    for one in holding {
        let words = [one.known.name, &one.value, &one.origin.to_string(), one.known.means, one.known.variable];
        table.rows.push(words.map(Cell::words).to_vec());
    }
    show(place, &table, &[Block::Table(&table)])
}

/// The completions of a shell, on standard output.
pub(super) fn completions(args: &CompletionsArgs) -> Result<(), Problem> {
    let mut text = Vec::new();
    clap_complete::generate(args.shell, &mut Args::command(), "tightspot", &mut text);
    io::stdout().lock().write_all(&text)?;
    Ok(())
}

/// The manual page of the whole, or one page a command in a folder.
pub(super) fn man(args: &ManArgs) -> Result<(), Problem> {
    let mut command = help::command();
    // Names and versions go down to the commands below only once it is built.
    command.build();
    match &args.folder {
        None => {
            let mut text = Vec::new();
            clap_mangen::Man::new(command).render(&mut text)?;
            io::stdout().lock().write_all(&text)?;
        }
        Some(folder) => {
            fs::create_dir_all(folder).map_err(|why| Problem::failed(format!("{}: {why}.", folder.display())))?;
            let count = pages(folder, &command, "tightspot")?;
            writeln!(io::stdout().lock(), "Written: {count} manual pages in {}.", folder.display())?;
        }
    }
    Ok(())
}

/// Writes a command's page and those below it; says how many.
fn pages(folder: &Path, command: &clap::Command, name: &str) -> Result<usize, Problem> {
    let mut text = Vec::new();
    clap_mangen::Man::new(command.clone()).title(name.to_uppercase()).render(&mut text)?;
    let file = folder.join(format!("{name}.1"));
    fs::write(&file, text).map_err(|why| Problem::failed(format!("{}: {why}.", file.display())))?;
    let below = command.get_subcommands().filter(|below| below.get_name() != "help");
    below
        .map(|below| pages(folder, below, &format!("{name}-{}", below.get_name())))
        .sum::<Result<usize, _>>()
        .map(|count| count + 1)
}
