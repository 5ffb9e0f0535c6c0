//! The bytes of a file as text: by its byte order mark, else by the encoding that its XML declaration names.

use std::fmt;

/// Why bytes are no text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unreadable {
    /// The bytes do not fit the encoding.
    Broken {
        /// The encoding, as the file says it, or UTF-8.
        encoding: String,
    },
    /// An encoding that is not read here.
    Unknown {
        /// The encoding, as the file says it.
        encoding: String,
    },
}

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Broken { encoding } => {
                write!(f, "its bytes are no {encoding} text; export it again, in UTF-8 if you are asked")
            }
            Self::Unknown { encoding } => write!(
                f,
                "its encoding is {encoding}; UTF-8, UTF-16, US-ASCII and ISO-8859-1 are possible. Export it in UTF-8"
            ),
        }
    }
}

impl std::error::Error for Unreadable {}

/// The text of a file.
///
/// # Errors
/// An encoding that is not read, or bytes that do not fit it; nothing is replaced.
pub fn decoded(bytes: Vec<u8>) -> Result<String, Unreadable> {
    if let Some(rest) = bytes.strip_prefix(&[0xff, 0xfe]) {
        return utf16(rest, u16::from_le_bytes);
    }
    if let Some(rest) = bytes.strip_prefix(&[0xfe, 0xff]) {
        return utf16(rest, u16::from_be_bytes);
    }
    let encoding = named(&bytes).unwrap_or_else(|| "UTF-8".to_owned());
    match encoding.to_ascii_uppercase().as_str() {
        // Every byte of it is the character of the same number.
        "ISO-8859-1" | "ISO8859-1" | "LATIN1" | "LATIN-1" => Ok(bytes.into_iter().map(char::from).collect()),
        "UTF-8" | "UTF8" | "US-ASCII" | "ASCII" => {
            String::from_utf8(bytes).map_err(|_| Unreadable::Broken { encoding })
        }
        // Another name on bytes that are plain ASCII changes nothing.
        _ if bytes.is_ascii() => String::from_utf8(bytes).map_err(|_| Unreadable::Broken { encoding }),
        _ => Err(Unreadable::Unknown { encoding }),
    }
}

/// The encoding in `<?xml version="1.0" encoding="…"?>`, if there is one.
fn named(bytes: &[u8]) -> Option<String> {
    let head = bytes.get(..bytes.len().min(200))?;
    let declaration = head.strip_prefix(b"<?xml")?;
    let end = declaration.windows(2).position(|pair| pair == b"?>")?;
    let declaration = std::str::from_utf8(declaration.get(..end)?).ok()?;
    let (_, value) = declaration.split_once("encoding")?;
    let value = value.trim_start().strip_prefix('=')?.trim_start();
    let quote = value.chars().next().filter(|c| matches!(c, '"' | '\''))?;
    value.get(1..)?.split_once(quote).map(|(name, _)| name.to_owned())
}

fn utf16(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> Result<String, Unreadable> {
    let broken = || Unreadable::Broken { encoding: "UTF-16".to_owned() };
    let (pairs, rest) = bytes.as_chunks::<2>();
    if !rest.is_empty() {
        return Err(broken());
    }
    char::decode_utf16(pairs.iter().map(|pair| unit(*pair))).collect::<Result<_, _>>().map_err(|_| broken())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_declared_encoding_is_obeyed() {
        let latin = b"<?xml version='1.0' encoding='ISO-8859-1'?><gpx><name>\xe9</name></gpx>".to_vec();
        assert!(decoded(latin).expect("reads").contains('\u{e9}'));
        let bare = b"<gpx><name>\xe9</name></gpx>".to_vec();
        assert!(matches!(decoded(bare), Err(Unreadable::Broken { .. })));
        let odd = b"<?xml version='1.0' encoding='KOI8-R'?><gpx>\xe9</gpx>".to_vec();
        assert!(matches!(decoded(odd), Err(Unreadable::Unknown { .. })));
    }

    #[test]
    fn a_byte_order_mark_tells_the_wide_encodings() {
        let wide: Vec<u8> = "\u{feff}<gpx/>".encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert_eq!(decoded(wide).as_deref(), Ok("<gpx/>"));
        let wide: Vec<u8> = "\u{feff}<gpx/>".encode_utf16().flat_map(u16::to_be_bytes).collect();
        assert_eq!(decoded(wide).as_deref(), Ok("<gpx/>"));
    }
}
