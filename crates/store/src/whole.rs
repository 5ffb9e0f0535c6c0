//! The whole store as one document, readable elsewhere: every table, every row, and back into an empty store.
//!
//! One row a line, so that two documents can be laid side by side. Keys of forms are left out: they are forgotten anyway.

use std::fmt::Write as _;

use rusqlite::types::{Value as Column, ValueRef};
use rusqlite::{Connection, Transaction, TransactionBehavior};
use serde_json::{Map, Value as Json};

use crate::{Result, Store, StoreError, schema};

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

impl Store {
    /// Everything as one JSON document, the same bytes for the same record.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn export(&self) -> Result<String> {
        let mut text = format!("{{\"format\": \"{FORMAT}\", \"schema_version\": {},\n\"tables\": {{", schema::NEWEST);
        for (at, table) in TABLES.iter().enumerate() {
            let lead = if at == 0 { "" } else { "," };
            // Writing into a text cannot fail.
            let _ = write!(text, "{lead}\n\"{table}\": [");
            for (at, row) in rows(&self.db, table)?.iter().enumerate() {
                let lead = if at == 0 { "" } else { "," };
                let _ = write!(text, "{lead}\n{}", Json::from(row.clone()));
            }
            text.push(']');
        }
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
        let db = self.db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        if db.query_row("SELECT EXISTS (SELECT 1 FROM change)", [], |row| row.get::<_, bool>(0))? {
            return Err(StoreError::NotEmpty);
        }
        for table in TABLES {
            let rows = tables.get(table).and_then(Json::as_array).map_or(&[][..], Vec::as_slice);
            for (at, row) in rows.iter().enumerate() {
                insert(&db, table, row).map_err(|why| bad(format!("row {} of {table}: {why}", at + 1)))?;
            }
        }
        db.commit()?;
        Ok(())
    }

    /// Every table as comma-separated values.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn sheets(&self) -> Result<Vec<Sheet>> {
        let shown = TABLES.iter().filter(|table| **table != "ride_track");
        shown
            .map(|name| {
                let columns = columns(&self.db, name)?;
                let mut text =
                    columns.iter().map(|column| cell(&Json::from(column.0.as_str()))).collect::<Vec<_>>().join(",");
                text.push_str("\r\n");
                for row in rows(&self.db, name)? {
                    let cells: Vec<String> =
                        columns.iter().map(|(column, _)| cell(row.get(column).unwrap_or(&Json::Null))).collect();
                    text.push_str(&cells.join(","));
                    text.push_str("\r\n");
                }
                Ok(Sheet { name, text })
            })
            .collect()
    }
}

/// Names of a table's columns, and whether each holds bytes.
fn columns(db: &Connection, table: &str) -> Result<Vec<(String, bool)>> {
    let mut query = db.prepare_cached("SELECT name, type = 'BLOB' FROM pragma_table_info(?1) ORDER BY cid")?;
    Ok(query.query_map([table], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<rusqlite::Result<_>>()?)
}

/// Every row of a table, in the order in which they came.
fn rows(db: &Connection, table: &str) -> Result<Vec<Map<String, Json>>> {
    let columns = columns(db, table)?;
    let mut query = db.prepare_cached(&format!("SELECT * FROM {table} ORDER BY rowid"))?;
    let mut found = query.query([])?;
    let mut all = Vec::new();
    while let Some(row) = found.next()? {
        let mut one = Map::new();
        for (at, (name, _)) in columns.iter().enumerate() {
            let value = match row.get_ref(at)? {
                ValueRef::Null => continue,
                ValueRef::Integer(number) => Json::from(number),
                ValueRef::Real(number) => Json::from(number),
                ValueRef::Text(text) => Json::from(String::from_utf8_lossy(text)),
                ValueRef::Blob(bytes) => Json::from(hex(bytes)),
            };
            one.insert(name.clone(), value);
        }
        all.push(one);
    }
    Ok(all)
}

fn insert(db: &Transaction<'_>, table: &str, row: &Json) -> std::result::Result<(), String> {
    let row = row.as_object().ok_or("it is no row")?;
    let columns = columns(db, table).map_err(|why| why.to_string())?;
    if let Some(unknown) = row.keys().find(|name| !columns.iter().any(|(known, _)| known == *name)) {
        return Err(format!("{unknown} is not known"));
    }
    let values: Vec<Column> =
        columns.iter().map(|(name, bytes)| column(row.get(name), *bytes)).collect::<std::result::Result<_, _>>()?;
    let places: Vec<String> = (1..=values.len()).map(|at| format!("?{at}")).collect();
    let sql = format!("INSERT INTO {table} VALUES ({})", places.join(", "));
    let mut insert = db.prepare_cached(&sql).map_err(|_| "it cannot be stored".to_owned())?;
    insert.execute(rusqlite::params_from_iter(values)).map(drop).map_err(|_| "a value is not possible".to_owned())
}

fn column(value: Option<&Json>, bytes: bool) -> std::result::Result<Column, String> {
    Ok(match value {
        None | Some(Json::Null) => Column::Null,
        Some(Json::String(text)) if bytes => Column::Blob(unhex(text).ok_or("its bytes are none")?),
        Some(Json::String(text)) => Column::Text(text.clone()),
        Some(Json::Bool(_) | Json::Array(_) | Json::Object(_)) => return Err("a value is none of a column".to_owned()),
        Some(Json::Number(number)) => match number.as_i64() {
            Some(whole) => Column::Integer(whole),
            None => Column::Real(number.as_f64().ok_or("a number is too large")?),
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
