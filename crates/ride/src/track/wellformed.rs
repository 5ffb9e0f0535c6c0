//! What XML asks of a document beyond what the pull parser checks: characters, names, the declaration.
//!
//! A document that breaks one of these breaks off there, as with any other reader that keeps to the standard.

use quick_xml::events::{BytesDecl, BytesStart};

/// The characters that XML 1.0 allows.
pub(super) const fn may_stand(c: char) -> bool {
    matches!(c, '\t' | '\n' | '\r' | ' '..='\u{fffd}' | '\u{10000}'..)
}

/// The XML declaration may only stand at the very beginning and say version, encoding and standalone, in this order.
pub(super) fn declared(declaration: &BytesDecl<'_>, before: usize) -> Result<(), String> {
    if before > 0 {
        return Err(String::from("an XML declaration that is not at the very beginning"));
    }
    let content: &str = declaration;
    let said = BytesStart::from_content(content, "xml".len());
    let said = said.attributes().collect::<Result<Vec<_>, _>>().map_err(|why| why.to_string())?;
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '_' | '-');
    if said.iter().any(|one| !one.value.starts_with(char::is_alphanumeric) || !one.value.chars().all(plain)) {
        return Err(String::from("an XML declaration with an impossible value"));
    }
    match said.iter().map(|one| one.key.as_ref()).collect::<Vec<&str>>().as_slice() {
        ["version"] | ["version", "encoding"] | ["version", "standalone"] | ["version", "encoding", "standalone"] => {
            Ok(())
        }
        _ => Err(String::from("an XML declaration that says something else than version and encoding")),
    }
}

/// Whether a name may stand in XML: a letter or underscore, then letters, digits, point, hyphen, underscore, colon.
pub(super) fn well_named(name: &str) -> Result<(), String> {
    if !name.is_empty() && name.bytes().all(|byte| byte.is_ascii_lowercase()) {
        return Ok(());
    }
    let letter = |c: char| c.is_ascii_alphabetic() || c == '_' || !c.is_ascii();
    let further = |c: char| letter(c) || c.is_ascii_digit() || matches!(c, '.' | '-' | ':');
    if name.starts_with(letter) && name.chars().all(further) {
        return Ok(());
    }
    Err(format!("\"{}\" is no name", name.chars().take(40).collect::<String>()))
}

/// Whether a blank, or the end, follows the closing quote of every attribute of a start tag's inside.
pub(super) fn spaced(inside: &str) -> Result<(), String> {
    let mut quote = None;
    let mut closed = false;
    for byte in inside.bytes() {
        if closed && !byte.is_ascii_whitespace() && byte != b'/' {
            return Err(String::from("two attributes without a blank between them"));
        }
        closed = quote == Some(byte);
        quote = match quote {
            Some(_) if closed => None,
            None if matches!(byte, b'"' | b'\'') => Some(byte),
            same => same,
        };
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_its_own_kind_of_quote_closes_a_value() {
        assert!(spaced(r#"trkpt lat="47.25" lon="it's" /"#).is_ok());
        assert!(spaced(r#"trkpt lat="47.25"lon="11.5""#).is_err());
        assert!(spaced(r#"trkpt lat="it's"lon='11.5'"#).is_err());
    }
}
