//! The schema of the one document, read off the store's own tables: what the file holds is what the schema says.

use serde_json::{Map, Value as Json, json};

use crate::whole::{FORMAT, TABLES};
use crate::{Result, Store, schema};

impl Store {
    /// JSON Schema 2020-12 of what [`Store::export`] writes: every table and column, its words and ranges.
    ///
    /// # Errors
    /// The database cannot be made.
    pub fn document_schema() -> Result<String> {
        let store = Self::memory()?;
        let mut tables = Map::new();
        for table in TABLES {
            tables.insert(table.to_owned(), json!({ "type": "array", "items": store.row_schema(table)? }));
        }
        let document = json!({
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            "$id": format!("urn:tightspot:record:{}", schema::NEWEST),
            "title": "The whole record of tightspot",
            "description": "One row an object; a column without a value is left out. Lists inside a column are JSON texts, bytes are hexadecimal.",
            "type": "object",
            "required": ["format", "schema_version", "tables"],
            "additionalProperties": false,
            "properties": {
                "format": { "const": FORMAT },
                "schema_version": { "const": schema::NEWEST },
                "tables": { "type": "object", "required": TABLES, "additionalProperties": false, "properties": tables },
            },
        });
        Ok(format!("{document:#}\n"))
    }

    fn row_schema(&self, table: &str) -> Result<Json> {
        let sql: String = self.db.file.query_row(
            "SELECT sql FROM sqlite_schema WHERE type = 'table' AND name = ?1",
            [table],
            |row| row.get(0),
        )?;
        let sql = sql.split_whitespace().collect::<Vec<_>>().join(" ");
        let mut query = self.db.file.prepare("SELECT name, type, \"notnull\" OR pk > 0 FROM pragma_table_info(?1)")?;
        let columns = query
            .query_map([table], |row| Ok((row.get::<_, String>(0)?, row.get::<_, String>(1)?, row.get::<_, bool>(2)?)))?
            .collect::<rusqlite::Result<Vec<_>>>()?;
        let required: Vec<&str> =
            columns.iter().filter(|(.., needed)| *needed).map(|(name, ..)| name.as_str()).collect();
        let properties: Map<String, Json> =
            columns.iter().map(|(name, kind, _)| (name.clone(), Json::Object(column(&sql, name, kind)))).collect();
        Ok(json!({ "type": "object", "required": required, "additionalProperties": false, "properties": properties }))
    }
}

/// What a column holds, by its type and by the check that stands on it alone.
fn column(sql: &str, name: &str, kind: &str) -> Map<String, Json> {
    let mut says = Map::new();
    let mut say = |key: &str, value: Json| drop(says.insert(key.to_owned(), value));
    match kind {
        "INTEGER" => say("type", "integer".into()),
        "REAL" => say("type", "number".into()),
        "BLOB" => {
            say("type", "string".into());
            say("pattern", "^([0-9a-f]{2})*$".into());
        }
        "ANY" => say("type", json!(["number", "string"])),
        _ => say("type", "string".into()),
    }
    if let Some((low, high)) = between(sql, name) {
        say("minimum", low);
        say("maximum", high);
    }
    if let Some(low) = after(sql, &format!("({name} >= ")).and_then(number) {
        say("minimum", low);
    }
    if let Some(rest) = after(sql, &format!("({name} > ")) {
        number(rest).into_iter().for_each(|low| say("exclusiveMinimum", low));
        let most = after(rest, &format!(" AND {name} <= ")).and_then(number);
        most.into_iter().for_each(|high| say("maximum", high));
    }
    if let Some((least, most)) = between(sql, &format!("length({name})")) {
        say("minLength", least);
        say("maxLength", most);
    }
    if let Some(most) = after(sql, &format!("(length({name}) <= ")).and_then(number) {
        say("maxLength", most);
    }
    if let Some(rest) = after(sql, &format!("({name} IN (")) {
        say("enum", words(rest.split(')').next().unwrap_or_default(), kind));
    }
    if let Some(glob) = after(sql, &format!("({name} GLOB '")).and_then(|rest| rest.split('\'').next()) {
        say("pattern", pattern(glob).into());
    }
    says
}

/// What stands behind a piece of text.
fn after<'s>(sql: &'s str, piece: &str) -> Option<&'s str> {
    sql.split_once(piece).map(|(_, rest)| rest)
}

/// Both ends of a range that stands on one column.
fn between(sql: &str, name: &str) -> Option<(Json, Json)> {
    let rest = after(sql, &format!("({name} BETWEEN "))?;
    Some((number(rest)?, number(after(rest, " AND ")?)?))
}

/// The number that a text begins with.
fn number(text: &str) -> Option<Json> {
    let end = text.find(|c: char| !(c.is_ascii_alphanumeric() || matches!(c, '.' | '-'))).unwrap_or(text.len());
    let text = &text[..end];
    text.parse::<i64>().map(Json::from).ok().or_else(|| text.parse::<f64>().map(Json::from).ok())
}

/// The words of a list, or its numbers.
fn words(list: &str, kind: &str) -> Json {
    let each = list.split(',').map(|word| word.trim().trim_matches('\''));
    each.map(|word| if kind == "INTEGER" { number(word).unwrap_or_default() } else { Json::from(word) }).collect()
}

/// A pattern of the database as one that every reader of schemas knows.
pub(crate) fn pattern(glob: &str) -> String {
    format!("^{}$", glob.replace('*', ".*"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_schema_says_the_checks_of_the_file() {
        let schema: Json = serde_json::from_str(&Store::document_schema().unwrap()).unwrap();
        let tables = &schema["properties"]["tables"]["properties"];
        let of = |table: &str, column: &str| tables[table]["items"]["properties"][column].clone();
        assert_eq!(of("meter", "read_h"), json!({"type": "number", "minimum": 0, "maximum": 100_000}));
        assert_eq!(of("ride", "distance_m"), json!({"type": "number", "minimum": 0, "maximum": 1e7}));
        assert_eq!(of("planned", "hours_h"), json!({"type": "number", "exclusiveMinimum": 0, "maximum": 100}));
        assert_eq!(of("part", "role"), json!({"type": "string", "enum": ["chain", "front", "rear", "other"]}));
        assert_eq!(of("planned", "event"), json!({"type": "integer", "enum": [0, 1]}));
        assert_eq!(of("part", "name"), json!({"type": "string", "minLength": 1, "maxLength": 100}));
        assert_eq!(of("part", "currency")["pattern"], "^[A-Z][A-Z][A-Z]$");
        assert_eq!(of("ride_track", "packed")["pattern"], "^([0-9a-f]{2})*$");
        assert!(of("entry", "kind")["enum"].as_array().unwrap().contains(&json!("kept")));
        assert_eq!(tables["part"]["items"]["required"], json!(["entry", "role", "name", "used_h"]));
        for table in TABLES {
            let columns = tables[table]["items"]["properties"].as_object().unwrap().len();
            // A bike is a name alone; all that is known of it stands in other tables.
            assert!(columns >= if table == "bike" { 1 } else { 2 }, "{table}");
        }
    }
}
