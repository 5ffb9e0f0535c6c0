//! Prints a view at the terminal: 80 columns, plain words, colour only where somebody reads it there.

mod look;
mod table;

use std::io::{self, Write};

use advice::{Block, Fact, Reason};

pub(crate) use look::Look;

/// The line length that everything keeps.
pub(crate) const WIDTH: usize = 80;

/// Prints blocks in reading order.
pub(crate) fn print(out: &mut dyn Write, blocks: &[Block<'_>], look: Look) -> io::Result<()> {
    for block in blocks {
        match block {
            Block::Heading(words) => writeln!(out, "\n{}", look.strong(words))?,
            Block::Verdict(verdict, words, sentence) => {
                writeln!(out, "{}", look.verdict(*verdict, words))?;
                wrapped(out, "", sentence)?;
            }
            Block::Reasons(reasons) => reasons.iter().try_for_each(|reason| print_reason(out, reason))?,
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
            Block::Verdict(verdict, _, sentence) => writeln!(out, "verdict\t{}\t{}", verdict.code(), cell(sentence))?,
            Block::Reasons(reasons) => {
                for reason in *reasons {
                    writeln!(out, "reason\t{}\t{}", reason.verdict.code(), cell(&reason.text))?;
                }
            }
            Block::Facts(facts) => {
                for fact in *facts {
                    let value = fact.value.map(|value| value.to_string()).unwrap_or_default();
                    writeln!(out, "fact\t{}\t{}\t{value}", fact.key, cell(&fact.text))?;
                }
            }
            Block::Table(table) => table::print_plain(out, table)?,
            Block::Text(words) => writeln!(out, "text\t{}", cell(words))?,
            Block::List(items) => items.iter().try_for_each(|item| writeln!(out, "item\t{}", cell(item)))?,
        }
    }
    Ok(())
}

/// Printed text without anything that steers a terminal but the codes of our own look: what stands in a record that was
/// brought in, or in the name of a file, may be anybody's.
pub(crate) fn harmless(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(|one: char| one.is_control() && !matches!(one, '\n' | '\t')) {
        let (before, behind) = rest.split_at(at);
        out.push_str(before);
        let own = look::CODES.into_iter().find(|code| behind.starts_with(code));
        out.push_str(own.unwrap_or("\u{fffd}"));
        rest = &behind[own.map_or_else(|| behind.chars().next().map_or(0, char::len_utf8), str::len)..];
    }
    out.push_str(rest);
    out
}

/// A text as one cell of a record: what would part cells or records is a blank in it.
fn cell(text: &str) -> String {
    text.replace(['\t', '\n', '\r'], " ")
}

fn print_reason(out: &mut dyn Write, reason: &Reason) -> io::Result<()> {
    wrapped(out, &format!("{} ", Look::mark(reason.verdict)), &reason.text)?;
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
    wrapped_at(out, lead, lead.chars().count(), words)
}

/// The same with later lines so far in.
pub(crate) fn wrapped_at(out: &mut dyn Write, lead: &str, indent: usize, words: &str) -> io::Result<()> {
    let mut line = lead.to_owned();
    let mut length = lead.chars().count();
    let mut empty = true;
    let mut words = words.split_whitespace().peekable();
    while let Some(word) = words.next() {
        let unit = words.next_if(|next| is_unit_of(word, next));
        let size = word.chars().count() + unit.map_or(0, |unit| 1 + unit.chars().count());
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
        unit.into_iter().for_each(|unit| line.extend([" ", unit]));
        length += size;
        empty = false;
    }
    writeln!(out, "{line}")
}

/// Whether a word is so short and stands behind a number so that it is, as far as a line goes, its unit.
fn is_unit_of(number: &str, next: &str) -> bool {
    number.ends_with(|sign: char| sign.is_ascii_digit()) && next.chars().count() <= 5
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

    #[test]
    fn a_number_stays_on_the_line_of_its_unit() {
        for before in 50..WIDTH {
            let mut out = Vec::new();
            wrapped(&mut out, "", &format!("{} 85.0 mm, then 2 %.", "x".repeat(before))).expect("writes");
            let text = String::from_utf8(out).expect("text");
            assert!(text.contains("85.0 mm,") && text.contains("2 %."), "{text}");
            assert!(text.lines().all(|line| line.chars().count() <= WIDTH), "{text}");
        }
    }

    #[test]
    fn what_others_wrote_steers_no_terminal_and_our_own_look_stays() {
        assert_eq!(harmless("\x1b[1;31m[X] Not ready\x1b[0m\n"), "\x1b[1;31m[X] Not ready\x1b[0m\n");
        assert_eq!(harmless("a\x1b[2Jb\x07\u{9b}31mé\r\n"), "a\u{fffd}[2Jb\u{fffd}\u{fffd}31mé\u{fffd}\n");
        for code in look::CODES {
            assert_eq!(harmless(code), code);
        }
    }

    #[test]
    fn a_record_stays_one_line_whatever_its_texts_hold() {
        let items = vec!["two\nlines\tand a tab".to_owned()];
        let mut out = Vec::new();
        print_plain(&mut out, &[Block::List(items)]).expect("writes");
        assert_eq!(String::from_utf8(out).expect("text"), "item\ttwo lines and a tab\n");
    }
}
