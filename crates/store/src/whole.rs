//! The whole store as one document, readable elsewhere: every table, every row, and back into an empty store.
//!
//! One row a line, so that two documents can be laid side by side. Keys of forms are left out: they are forgotten anyway.

use std::fmt::Write as _;

use rusqlite::ToSql;
use rusqlite::types::{Value, ValueRef};
use serde_json::{Map, Value as Json};

use crate::{Column, Engine, Result, Row as _, Store, StoreError, schema};

/// The tables, each after those that it points at.
pub(crate) const TABLES: [&str; 26] = [
    "change",
    "bike",
    "title",
    "fact",
    "setting",
    "ride",
    "ride_track",
    "ride_fitted",
    "entry",
    "meter",
    "slack",
    "elongation",
    "axle",
    "part",
    "work",
    "looked",
    "planned",
    "waiver",
    "kept",
    "kept_set",
    "used",
    "bench",
    "bench_line",
    "bench_answer",
    "manual",
    "supply",
];

/// What every document says of itself.
pub(crate) const FORMAT: &str = "tightspot record";
/// The schema from which on a document's tables are those of today.
const OLDEST: u32 = 4;

/// One table as comma-separated values.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// The table.
    pub name: &'static str,
    /// Its text: UTF-8, CRLF, a row of heads.
    pub text: String,
}

impl<E: Engine> Store<E> {
    /// Everything as one JSON document, the same bytes for the same record.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn export(&self) -> Result<String> {
        let mut text = format!("{{\"format\": \"{FORMAT}\", \"schema_version\": {},\n\"tables\": {{", schema::NEWEST);
        // Of a change that came in between two tables one half would be told, and such a document is refused.
        self.db.in_one_view(|db| {
            for (at, table) in TABLES.iter().enumerate() {
                let lead = if at == 0 { "" } else { "," };
                // Writing into a text cannot fail.
                let _ = write!(text, "{lead}\n\"{table}\": [");
                for (at, row) in rows(db, table)?.into_iter().enumerate() {
                    let lead = if at == 0 { "" } else { "," };
                    let _ = write!(text, "{lead}\n{}", Json::from(row));
                }
                text.push(']');
            }
            Ok(())
        })?;
        text.push_str("\n}}\n");
        Ok(text)
    }

    /// Reads such a document into a store in which nothing is yet; all of it or nothing.
    ///
    /// # Errors
    /// It is no such document, a newer one, does not fit together, or the store is not empty.
    pub fn import(&mut self, text: &str) -> Result<()> {
        let bad = |what: String| StoreError::Document { what };
        let document: Json = serde_json::from_str(text).map_err(|why| bad(format!("it is no JSON ({why})")))?;
        if document["format"] != FORMAT {
            return Err(bad("it is no record of this tool".to_owned()));
        }
        match document["schema_version"].as_u64() {
            Some(version) if (u64::from(OLDEST)..=u64::from(schema::NEWEST)).contains(&version) => {}
            Some(version) => {
                return Err(bad(format!("it has schema {version}; this version reads {}", schema::NEWEST)));
            }
            None => return Err(bad("its schema_version is missing".to_owned())),
        }
        let tables = document["tables"].as_object().ok_or_else(|| bad("its tables are missing".to_owned()))?;
        if let Some(unknown) = tables.keys().find(|name| !TABLES.contains(&name.as_str())) {
            return Err(bad(format!("the table {unknown} is not known")));
        }
        self.db.at_once(|db| {
            if db.first("SELECT id FROM change LIMIT 1", &[], |_| Ok(()))?.is_some() {
                return Err(StoreError::NotEmpty);
            }
            for table in TABLES {
                let columns = db.columns(table)?;
                let rows = tables.get(table).and_then(Json::as_array).map_or(&[][..], Vec::as_slice);
                for (at, row) in rows.iter().enumerate() {
                    insert(db, table, &columns, row).map_err(|why| bad(format!("row {} of {table}: {why}", at + 1)))?;
                }
            }
            Ok(())
        })
    }

    /// Every table as comma-separated values.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn sheets(&self) -> Result<Vec<Sheet>> {
        let shown = TABLES.iter().filter(|table| **table != "ride_track");
        self.db.in_one_view(|db| shown.map(|name| Ok(Sheet { name, text: sheet(db, name)? })).collect())
    }
}

/// A table as comma-separated values under a row of heads.
fn sheet(db: &impl Engine, table: &str) -> Result<String> {
    let columns = db.columns(table)?;
    let line = |cells: Vec<String>| cells.join(",") + "\r\n";
    let mut text = line(columns.iter().map(|column| column.name.clone()).collect());
    for row in rows(db, table)? {
        text += &line(columns.iter().map(|column| cell(row.get(&column.name).unwrap_or(&Json::Null))).collect());
    }
    Ok(text)
}

/// Every row of a table, in the order in which they came.
fn rows(db: &impl Engine, table: &str) -> Result<Vec<Map<String, Json>>> {
    let columns = db.columns(table)?;
    let names: Vec<&str> = columns.iter().map(|column| column.name.as_str()).collect();
    let order = columns.iter().find(|column| column.key).map_or("rowid", |column| &column.name);
    let sql = format!("SELECT {} FROM {table} ORDER BY {order}", names.join(", "));
    db.rows(&sql, &[], |row| {
        let mut one = Map::new();
        for (at, name) in names.iter().enumerate() {
            let value = match row.cell(at)? {
                ValueRef::Null => continue,
                ValueRef::Integer(number) => Json::from(number),
                ValueRef::Real(number) => Json::from(number),
                ValueRef::Text(text) => Json::from(String::from_utf8_lossy(text)),
                ValueRef::Blob(bytes) => Json::from(hex(bytes)),
            };
            one.insert((*name).to_owned(), value);
        }
        Ok(one)
    })
}

fn insert(db: &impl Engine, table: &str, columns: &[Column], row: &Json) -> std::result::Result<(), String> {
    let row = row.as_object().ok_or("it is no row")?;
    if let Some(unknown) = row.keys().find(|name| !columns.iter().any(|known| known.name == **name)) {
        return Err(format!("{unknown} is not known"));
    }
    let values: Vec<Value> = columns
        .iter()
        .map(|column| value(row.get(&column.name), column.bytes))
        .collect::<std::result::Result<_, _>>()?;
    let row: Vec<(&str, &dyn ToSql)> =
        columns.iter().zip(&values).map(|(column, value)| (column.name.as_str(), value as &dyn ToSql)).collect();
    db.append(table, &row).map_err(|_| "a value is not possible".to_owned())
}

fn value(given: Option<&Json>, bytes: bool) -> std::result::Result<Value, String> {
    Ok(match given {
        None | Some(Json::Null) => Value::Null,
        Some(Json::String(text)) if bytes => Value::Blob(unhex(text).ok_or("its bytes are none")?),
        Some(Json::String(text)) => Value::Text(text.clone()),
        Some(Json::Bool(_) | Json::Array(_) | Json::Object(_)) => return Err("a value is none of a column".to_owned()),
        Some(Json::Number(number)) => match number.as_i64() {
            Some(whole) => Value::Integer(whole),
            None => Value::Real(number.as_f64().ok_or("a number is too large")?),
        },
    })
}

fn hex(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(2 * bytes.len());
    for byte in bytes {
        let _ = write!(text, "{byte:02x}");
    }
    text
}

fn unhex(text: &str) -> Option<Vec<u8>> {
    let digits: Option<Vec<u8>> = text.chars().map(|digit| digit.to_digit(16)?.try_into().ok()).collect();
    let digits = digits.filter(|digits| digits.len().is_multiple_of(2))?;
    Some(digits.chunks_exact(2).map(|pair| pair[0] << 4 | pair[1]).collect())
}

/// A cell: quoted where it must be, and a text that a spreadsheet would run begins with an apostrophe.
fn cell(value: &Json) -> String {
    let text = match value {
        Json::Null => return String::new(),
        Json::String(text) if text.starts_with(['=', '+', '-', '@', '\t', '\r']) => format!("'{text}"),
        Json::String(text) => text.clone(),
        other => other.to_string(),
    };
    if text.contains([',', '"', '\r', '\n']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}
