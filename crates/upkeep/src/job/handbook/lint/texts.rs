//! Words of the job files: no link and no proper name, so that no maker or product stands in the library.

use crate::job::handbook::read::{HandbookFault, Source};

const LINKS: [&str; 4] = ["http:", "https:", "www.", ".com"];
/// Keys whose lines hold words for the bench; what a caution rests on may name a public source.
const KEYS: [&str; 13] =
    ["do", "open", "close", "title", "purpose", "text", "spec", "role", "ask", "note", "hazard", "hold", "close_holds"];

/// Lines with a link or a proper name.
pub(super) fn texts(files: &[Source<'_>]) -> Vec<HandbookFault> {
    let lines =
        files.iter().flat_map(|file| (1..).zip(file.text.lines()).map(|(number, line)| (file.name, number, line)));
    lines
        .filter_map(|(file, number, line)| {
            Some(HandbookFault { file: file.to_owned(), line: number, why: fault(line)? })
        })
        .collect()
}

fn fault(line: &str) -> Option<String> {
    let lower = line.to_lowercase();
    if LINKS.iter().any(|link| lower.contains(link)) {
        return Some("a text carries a link".to_owned());
    }
    proper_name(line).map(|name| format!("\"{name}\" looks like a proper name"))
}

/// A word that begins with a capital inside a sentence; what is shouted or a single letter is none.
fn proper_name(line: &str) -> Option<&str> {
    let (key, value) = line.split_once(" = ")?;
    if !KEYS.contains(&key.trim()) {
        return None;
    }
    let mut starts = true;
    for word in value.split_whitespace() {
        let bare = word.trim_matches(|c: char| !c.is_alphanumeric());
        let mut letters = bare.chars();
        let capital = letters.next().is_some_and(char::is_uppercase) && letters.next().is_some_and(char::is_lowercase);
        let opens = word.starts_with(['"', '(', '{', '[']);
        if capital && !starts && !opens {
            return Some(bare);
        }
        let ended = word.trim_end_matches([')', ']', '}', '"', ',']);
        starts = word.ends_with('"') || ended.ends_with(['.', ':', '?', '=', '|', '{']) || ended.is_empty();
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_capital_inside_a_sentence_is_a_name_unless_something_else_explains_it() {
        for (line, name) in [
            ("text = \"Like Anybody does it.\"", Some("Anybody")),
            ("text = \"Turn it. Then look.\"", None),
            ("text = \"Is it so? Then look: Perhaps not.\"", None),
            ("text = \"The NOT shouted, a T piece, an A4 sheet.\"", None),
            ("text = \"see (Perhaps) and [Perhaps] and {Perhaps}\"", None),
            ("text = \"see the (small) Perhaps\"", Some("Perhaps")),
            ("text = \"done.) Then\"", None),
            ("text = \"first, Second\"", Some("Second")),
            ("hold = { id = \"x\", prompt = \"Look\", accept = \"yes | No\" }", None),
            ("  do = \"by Anybody\"", Some("Anybody")),
            ("basis = \"by Anybody\"", None),
            ("# by Anybody", None),
            ("text = \"the 2Stroke and Éclair\"", Some("Éclair")),
        ] {
            assert_eq!(proper_name(line), name, "{line}");
        }
    }

    #[test]
    fn a_link_is_told_wherever_it_stands_with_its_file_and_line() {
        for link in ["http://x", "HTTPS://x", "www.x", "x.com"] {
            let text = format!("schema = 1\nbasis = \"{link}\"\ntext = \"by Anybody\"\n");
            let found = texts(&[Source { name: "one", text: "schema = 1" }, Source { name: "two", text: &text }]);
            let told: Vec<_> =
                found.iter().map(|fault| (fault.file.as_str(), fault.line, fault.why.as_str())).collect();
            assert_eq!(told, [("two", 2, "a text carries a link"), ("two", 3, "\"Anybody\" looks like a proper name")]);
        }
    }
}
