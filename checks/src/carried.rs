//! The rows and tracks that travel in the binary.

use std::collections::BTreeMap;
use std::io::Read;

use figures::Tracks;
use flate2::read::DeflateDecoder;

use crate::rows::{self, Row};

static PACKED: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/carried.deflate"));

/// The accepted gaps: `file,case,reason`; case `*` is the whole file.
pub static GAPS: &str = include_str!("../gaps.csv");

/// Every carried file by its path relative to the checks folder.
#[derive(Debug, Clone, Default)]
pub struct Carried(BTreeMap<String, String>);

impl Carried {
    /// Unpacks what the binary carries.
    ///
    /// # Errors
    /// A sentence, if the blob is damaged.
    pub fn unpack() -> Result<Self, String> {
        let mut bytes = Vec::new();
        DeflateDecoder::new(PACKED)
            .read_to_end(&mut bytes)
            .map_err(|why| format!("the carried rows are damaged: {why}"))?;
        let mut rest = bytes.as_slice();
        let mut files = BTreeMap::new();
        while !rest.is_empty() {
            let name = part(&mut rest)?;
            files.insert(name, part(&mut rest)?);
        }
        Ok(Self(files))
    }

    /// The check files, path and text, in order.
    pub fn checks(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().filter(|(path, _)| !path.starts_with("..")).map(|(path, text)| (path.as_str(), text.as_str()))
    }

    /// The rows whose file or figure is named like `filter`, file by file.
    ///
    /// # Errors
    /// A sentence naming the file that cannot be read or holds nothing.
    pub fn rows(&self, filter: &str) -> Result<Vec<(&str, Vec<Row>)>, String> {
        let mut files = Vec::new();
        for (path, text) in self.checks() {
            let mut rows = rows::read(path, text)?;
            if !path.contains(filter) {
                rows.retain(|row| row.figure.contains(filter));
            }
            if !rows.is_empty() {
                files.push((path, rows));
            }
        }
        Ok(files)
    }
}

fn part(rest: &mut &[u8]) -> Result<String, String> {
    let broken = || "the carried rows are damaged: cut short".to_owned();
    let (len, after) = rest.split_first_chunk::<4>().ok_or_else(broken)?;
    let len = usize::try_from(u32::from_le_bytes(*len)).map_err(|_| broken())?;
    let (bytes, after) = after.split_at_checked(len).ok_or_else(broken)?;
    *rest = after;
    String::from_utf8(bytes.to_vec()).map_err(|_| broken())
}

/// A track named in a row of a file in `checks/<domain>/` is relative to that folder.
impl Tracks for Carried {
    fn text(&self, name: &str) -> Result<String, String> {
        let path = name.strip_prefix("../").unwrap_or(name);
        self.0.get(path).cloned().ok_or_else(|| "no such file".to_owned())
    }
}
