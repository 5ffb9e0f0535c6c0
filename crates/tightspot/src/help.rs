//! The command line's help: what it is, examples first, then options. Every command of the first level has examples.

use clap::builder::StyledStr;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Command, CommandFactory as _};

use crate::args::Args;
use crate::terminal::WIDTH;

/// Examples before options; what comes after help brings its own blank line.
const TEMPLATE: &str = "{about}{after-help}\n\n{usage-heading} {usage}\n\n{all-args}";

/// The words of a command, none for the program itself, with lines that show it.
type Example = (&'static [&'static str], &'static [(&'static str, &'static str)]);

/// Examples of commands; the command itself must take each of them.
pub(crate) const EXAMPLES: &[Example] = &[
    (
        &[],
        &[
            ("tightspot --demo ready", "the whole answer for the invented demo bike"),
            ("tightspot --demo gearing fit --pair 14/50", "will that pair fit, and where does the axle land"),
            ("tightspot --demo serve", "the same as pages, on this machine only"),
        ],
    ),
    (
        &["ready"],
        &[
            ("tightspot ready --slack 85", "the whole answer with slack as it was read"),
            ("tightspot ready --verdict-exit", "for scripts: 10 care, 11 stop, 12 not known"),
        ],
    ),
    (
        &["gearing"],
        &[
            ("tightspot gearing --ride sunday", "which pair for that ground"),
            ("tightspot gearing --ride moor.gpx --ride \"Hask loop:2\"", "the second counts twice"),
            ("tightspot gearing --all --ground sand --half-life 60", "all rides on sand, recent ones more"),
            ("tightspot gearing stretch --ride moor.gpx --from 4:20 --to 7:05", "one stretch, pair by pair"),
            ("tightspot gearing fit --pair 14/50", "will it fit, and where does the axle land"),
        ],
    ),
    (
        &["drive"],
        &[
            ("tightspot drive slack --reading 72", "what a reading means, and how far to turn"),
            ("tightspot drive measure elongation 319.4 320.9 319.8", "a chain's length at three places"),
            ("tightspot drive sets keep sand --rear fifty", "chain and sprockets kept as one"),
            ("tightspot drive sets on sand --check joint=closed-end-leads", "put on as one, hours and sheet follow"),
        ],
    ),
    (
        &["job"],
        &[
            ("tightspot job plan --pair 13/48", "what to do, in which order, to which figure"),
            ("tightspot job list", "every job of the library"),
        ],
    ),
    (
        &["ride"],
        &[
            ("tightspot ride log --hours 2:45 --ground bog", "a ride in four facts"),
            ("tightspot ride import sunday.gpx", "a recorded ride, kept without places"),
            ("tightspot ride import season/ --ground trail", "every track of a folder"),
            ("tightspot ride import log.csv --pair 13/50", "a logger's table, ridden on 13/50"),
        ],
    ),
    (
        &["parts"],
        &[
            ("tightspot parts --pair 13/48", "what must be on the bench"),
            ("tightspot parts --job final-drive-set --by 2026-10-10", "have, need, missing, what to order by when"),
            ("tightspot parts check chain --size 520 --sealed yes --outer-width 24", "before buying: does it fit"),
            ("tightspot parts ordered chain 1", "one is on its way"),
            ("tightspot parts say chain --lead 9", "how long it takes to come; --price \"89.50 EUR\" what it costs"),
        ],
    ),
    (
        &["figures"],
        &[
            ("tightspot figures --list", "every figure, its inputs and its sources"),
            ("tightspot figures questions.jsonl", "answers, one line each"),
        ],
    ),
    (
        &["prove"],
        &[
            ("tightspot prove", "every outside check, here and now"),
            ("tightspot prove slack --rows", "the rows of one domain with their sources"),
        ],
    ),
    (&["doctor"], &[("tightspot doctor", "reads every row of the record back")]),
    (
        &["export"],
        &[
            ("tightspot export record.json", "the whole record as one document"),
            ("tightspot export --csv tables", "the same as tables in a new folder"),
        ],
    ),
    (
        &["import"],
        &[
            ("tightspot --store new.tightspot import record.json --dry-run", "what would come"),
            ("tightspot --store new.tightspot import record.json", "the record in an empty store"),
        ],
    ),
    (
        &["bike"],
        &[
            ("tightspot bike import my-bike.toml --dry-run", "what the file would change"),
            ("tightspot bike set my-bike front_teeth=13 --source \"manual, p. 88\"", "a figure and who says so"),
            ("tightspot bike set my-bike \"rear_axle_torque_nm=74 lbf ft\"", "in another unit"),
            ("tightspot bike rename my-bike \"The red one\"", "what it is called"),
            ("tightspot bike remove my-bike --dry-run", "off the list; undo brings it back"),
            ("tightspot --demo bike show alder-350", "the sheet of an invented bike"),
        ],
    ),
    (
        &["serve"],
        &[
            ("tightspot serve", "on this machine only"),
            ("tightspot serve password FILE", "set the password; a pipe does too"),
            ("tightspot serve --bind 192.168.1.5 --tls", "on the home network, encrypted"),
        ],
    ),
    (&["backup"], &[("tightspot backup record.copy", "a whole copy while the store is in use")]),
    (
        &["restore"],
        &[
            ("tightspot restore record.copy --dry-run", "whether the copy is whole"),
            ("tightspot restore record.copy --yes", "back to it; what was there is kept aside"),
        ],
    ),
    (&["config"], &[("tightspot config show", "every setting and where it comes from")]),
    (&["completions"], &[("tightspot completions bash", "write it where your shell looks for completions")]),
    (
        &["man"],
        &[("tightspot man", "the manual page, for man -l -"), ("tightspot man --folder man1", "one page a command")],
    ),
];

/// The whole command line with its examples.
pub(crate) fn command() -> Command {
    let whole = EXAMPLES.iter().fold(Args::command(), |command, (path, lines)| with(command, path, lines));
    numbers_below_zero(examples_first(whole)).term_width(WIDTH)
}

/// Lets every value be a number below zero, so that its own field says what is possible, not the reader of options.
fn numbers_below_zero(command: Command) -> Command {
    command
        .mut_args(|arg| if arg.get_action().takes_values() { arg.allow_negative_numbers(true) } else { arg })
        .mut_subcommands(numbers_below_zero)
}

fn with(command: Command, path: &[&'static str], lines: &[(&str, &str)]) -> Command {
    match path {
        [] => command.after_help(words(lines)),
        [first, rest @ ..] => command.mut_subcommand(first, |below| with(below, rest, lines)),
    }
}

/// One line each; below one another where a line would be longer than what the terminal keeps to.
fn words(lines: &[(&str, &str)]) -> String {
    let wide = lines.iter().map(|(line, _)| line.chars().count()).max().unwrap_or_default();
    let fits = lines.iter().all(|(_, says)| 4 + wide + says.chars().count() <= WIDTH);
    let told =
        lines.iter().map(
            |(line, says)| {
                if fits { format!("\n  {line:<wide$}  {says}") } else { format!("\n  {line}\n      {says}") }
            },
        );
    format!("Examples:{}", told.collect::<String>())
}

/// The help of a command that only groups others, where it was typed alone.
pub(crate) fn of_group(asked: &clap::Error) -> Option<StyledStr> {
    if asked.kind() != ErrorKind::MissingSubcommand {
        return None;
    }
    // The name that it was called by, with the program's own before it.
    let Some(ContextValue::String(path)) = asked.get(ContextKind::InvalidSubcommand) else { return None };
    let mut whole = command();
    whole.build();
    let below = path.split_whitespace().skip(1).try_fold(&mut whole, |above, name| above.find_subcommand_mut(name))?;
    Some(below.render_help())
}

/// Where a command stands that was asked for in another place: `season` for `ride season`.
pub(crate) fn elsewhere(asked: &clap::Error) -> Option<String> {
    let Some(ContextValue::String(name)) = asked.get(ContextKind::InvalidSubcommand) else { return None };
    let places = find(&command(), name);
    (!places.is_empty()).then(|| format!("\nIt is here: {}", places.join(", ")))
}

/// The path of every command of that name, from the program on.
fn find(below: &Command, name: &str) -> Vec<String> {
    let own = (below.get_name() == name).then(String::new);
    let deeper = below.get_subcommands().flat_map(|one| find(one, name)).map(|path| format!(" {path}"));
    own.into_iter().chain(deeper).map(|path| format!("{}{path}", below.get_name())).collect()
}

/// Puts the examples of a command, and of all below it, before its options.
fn examples_first(command: Command) -> Command {
    let names: Vec<String> = command.get_subcommands().map(|below| below.get_name().to_owned()).collect();
    let has = command.get_after_help().is_some();
    let command = names.into_iter().fold(command, |command, name| command.mut_subcommand(name, examples_first));
    if has { command.help_template(TEMPLATE) } else { command }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_example_is_one_that_the_command_takes() {
        for (_, lines) in EXAMPLES {
            for (line, _) in *lines {
                let taken = command().try_get_matches_from(as_a_shell_parts(line));
                assert!(taken.is_ok(), "{line}: {}", taken.unwrap_err());
            }
        }
    }

    /// At spaces, but for those between quotes.
    fn as_a_shell_parts(line: &str) -> Vec<&str> {
        let parts = line.split('"').enumerate();
        parts
            .flat_map(|(place, part)| if place % 2 == 1 { vec![part] } else { part.split_whitespace().collect() })
            .collect()
    }

    #[test]
    fn every_command_of_the_first_level_has_examples_before_its_options() {
        for below in command().get_subcommands() {
            let mut below = below.clone();
            let help = below.render_long_help().to_string();
            let (examples, usage) = (help.find("Examples:"), help.find("Usage:"));
            assert!(examples.is_some() && examples < usage, "{}: {help}", below.get_name());
        }
    }

    #[test]
    fn no_help_has_two_blank_lines_in_a_row_or_a_line_longer_than_eighty_columns() {
        fn all(command: &Command) -> Vec<Command> {
            command.get_subcommands().flat_map(all).chain([command.clone()]).collect()
        }
        let mut whole = command();
        whole.build();
        for mut below in all(&whole) {
            for help in [below.render_help(), below.render_long_help()].map(|help| help.to_string()) {
                assert!(!help.contains("\n\n\n"), "{}: {help}", below.get_name());
                // Usage is one line, however long: it is copied.
                let usage = |line: &str| line.starts_with("Usage:") || line.starts_with("       tightspot ");
                let long: Vec<&str> =
                    help.lines().filter(|line| line.chars().count() > WIDTH && !usage(line)).collect();
                assert!(long.is_empty(), "{}: {long:#?}", below.get_name());
            }
        }
    }

    #[test]
    fn a_command_asked_for_in_another_place_is_told_where_it_stands() {
        let told = |line: &str| command().try_get_matches_from(line.split(' ')).err().and_then(|why| elsewhere(&why));
        assert_eq!(told("tightspot season").as_deref(), Some("\nIt is here: tightspot ride season"));
        let check = told("tightspot drive check").expect("there are two");
        assert!(check.contains("tightspot job check") && check.contains("tightspot parts check"), "{check}");
        assert_eq!(told("tightspot nonsense"), None);
        assert_eq!(told("tightspot ride season"), None);
    }

    #[test]
    fn a_number_below_zero_reaches_the_field_it_was_given_for() {
        for line in
            ["tightspot drive slack --reading -5", "tightspot ride log --hours -1.5", "tightspot --store -1 ready"]
        {
            let taken = command().try_get_matches_from(line.split(' '));
            assert!(taken.is_ok(), "{line}: {}", taken.unwrap_err());
        }
        assert!(command().try_get_matches_from(["tightspot", "ready", "-x"]).is_err());
    }

    #[test]
    fn the_command_line_holds_together() {
        command().debug_assert();
    }
}
