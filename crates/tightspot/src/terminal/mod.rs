//! Prints a view at the terminal: 80 columns, plain words, colour only where somebody reads it there.

mod look;
mod table;

use std::io::{self, Write};

use advice::{Block, Fact, Reason};

pub(crate) use look::Look;

/// The line length that everything keeps.
const WIDTH: usize = 80;

/// Prints blocks in reading order.
pub(crate) fn print(out: &mut dyn Write, blocks: &[Block<'_>], look: Look) -> io::Result<()> {
    for block in blocks {
        match block {
            Block::Heading(words) => writeln!(out, "\n{}", look.strong(words))?,
            Block::Verdict(verdict, words, sentence) => {
                writeln!(out, "{}", look.verdict(*verdict, words))?;
                wrapped(out, "", sentence)?;
            }
            Block::Reasons(reasons) => reasons.iter().try_for_each(|reason| print_reason(out, reason, look))?,
            Block::Facts(facts) => facts.iter().try_for_each(|fact| print_fact(out, fact, look))?,
            Block::Table(table) if table.rows.is_empty() => {}
            Block::Table(table) => table::print(out, table, look)?,
            Block::Text(words) => wrapped(out, "", words)?,
            Block::List(items) => items.iter().try_for_each(|item| wrapped(out, "- ", item))?,
        }
    }
    print_sources(out, blocks, look)
}

/// Prints the same blocks as tab-separated records, one a line: kind, name, text, number.
pub(crate) fn print_plain(out: &mut dyn Write, blocks: &[Block<'_>]) -> io::Result<()> {
    for block in blocks {
        match block {
            Block::Heading(words) => writeln!(out, "heading\t{words}")?,
            Block::Verdict(verdict, _, sentence) => writeln!(out, "verdict\t{}\t{sentence}", verdict.code())?,
            Block::Reasons(reasons) => {
                for reason in *reasons {
                    writeln!(out, "reason\t{}\t{}", reason.verdict.code(), reason.text)?;
                }
            }
            Block::Facts(facts) => {
                for fact in *facts {
                    let value = fact.value.map(|value| value.to_string()).unwrap_or_default();
                    writeln!(out, "fact\t{}\t{}\t{value}", fact.key, fact.text)?;
                }
            }
            Block::Table(table) => table::print_plain(out, table)?,
            Block::Text(words) => writeln!(out, "text\t{words}")?,
            Block::List(items) => items.iter().try_for_each(|item| writeln!(out, "item\t{item}"))?,
        }
    }
    Ok(())
}

fn print_reason(out: &mut dyn Write, reason: &Reason, look: Look) -> io::Result<()> {
    let mark = look.mark(reason.verdict);
    wrapped(out, &format!("{mark} "), &reason.text)?;
    match &reason.clear {
        Some(clear) => wrapped(out, "  → ", &format!("{}, about {} min", clear.act, clear.minutes_min)),
        None => Ok(()),
    }
}

fn print_fact(out: &mut dyn Write, fact: &Fact, look: Look) -> io::Result<()> {
    writeln!(out, "{}: {}", fact.label, look.strong(&fact.text))?;
    let mut words = fact.reason.clone();
    for (lead, more) in [("Sure: ", &fact.certainty), ("Changes with: ", &fact.changes)] {
        if !more.is_empty() {
            words.push_str(if words.is_empty() { "" } else { ". " });
            words.push_str(lead);
            words.push_str(more);
        }
    }
    if words.is_empty() { Ok(()) } else { wrapped(out, "    ", &format!("{words}.")) }
}

/// Names the figures behind what was printed, each once, with its sources.
fn print_sources(out: &mut dyn Write, blocks: &[Block<'_>], look: Look) -> io::Result<()> {
    let mut figures: Vec<&str> = Vec::new();
    for block in blocks {
        let Block::Facts(facts) = block else { continue };
        for fact in facts.iter().filter(|fact| !fact.figure.is_empty()) {
            if !figures.contains(&fact.figure) {
                figures.push(fact.figure);
            }
        }
    }
    if figures.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n{}", look.strong("Says who?"))?;
    figures.iter().try_for_each(|figure| wrapped(out, "  ", &crate::sources::of(figure)))
}

/// Writes a sentence within the width; later lines stand under the first word.
pub(crate) fn wrapped(out: &mut dyn Write, lead: &str, words: &str) -> io::Result<()> {
    let indent = lead.chars().count();
    let mut line = lead.to_owned();
    let mut length = indent;
    let mut empty = true;
    for word in words.split_whitespace() {
        let size = word.chars().count();
        if !empty && length + 1 + size > WIDTH {
            writeln!(out, "{line}")?;
            line = " ".repeat(indent);
            length = indent;
            empty = true;
        }
        if !empty {
            line.push(' ');
            length += 1;
        }
        line.push_str(word);
        length += size;
        empty = false;
    }
    writeln!(out, "{line}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_longer_than_the_terminal() {
        let mut out = Vec::new();
        wrapped(&mut out, "- ", &"words that go on ".repeat(20)).expect("writes");
        let text = String::from_utf8(out).expect("text");
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH));
        assert!(text.lines().skip(1).all(|line| line.starts_with("  ")));
    }
}
