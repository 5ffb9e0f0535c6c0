//! One value on its way to the server and back: the five kinds of value in the server's own types.

use std::error::Error;

use postgres::types::private::BytesMut;
use postgres::types::{IsNull, ToSql as Given, Type, to_sql_checked};
use rusqlite::ToSql;
use rusqlite::types::{ToSqlOutput, Value};
use serde_json::Value as Json;

use super::Answer;
use crate::{Result, StoreError};

/// A value to be given to a statement.
#[derive(Debug)]
pub(super) struct Cell(Value);

/// The values of a statement.
pub(super) fn cells(given: &[&dyn ToSql]) -> Result<Vec<Cell>> {
    given
        .iter()
        .map(|one| match one.to_sql()? {
            ToSqlOutput::Borrowed(value) => {
                Ok(Cell(value.try_into().map_err(|why| StoreError::Refused(Box::new(why)))?))
            }
            ToSqlOutput::Owned(value) => Ok(Cell(value)),
            _ => Err(StoreError::Refused("a value of no kind that is kept".into())),
        })
        .collect()
}

/// The same as the library takes them.
pub(super) fn given(cells: &[Cell]) -> Vec<&(dyn Given + Sync)> {
    cells.iter().map(|cell| cell as &(dyn Given + Sync)).collect()
}

impl Given for Cell {
    fn to_sql(&self, ty: &Type, out: &mut BytesMut) -> std::result::Result<IsNull, Box<dyn Error + Sync + Send>> {
        match (&self.0, ty) {
            (Value::Null, _) => Ok(IsNull::Yes),
            (Value::Integer(whole), &Type::INT8) => Given::to_sql(whole, ty, out),
            (Value::Integer(whole), &Type::INT4) => Given::to_sql(&i32::try_from(*whole)?, ty, out),
            #[expect(clippy::cast_precision_loss, reason = "a whole number in a column of numbers, as in a file")]
            (Value::Integer(whole), &Type::FLOAT8) => Given::to_sql(&(*whole as f64), ty, out),
            (Value::Real(number), &Type::FLOAT8) => Given::to_sql(number, ty, out),
            (Value::Text(text), &Type::TEXT | &Type::VARCHAR | &Type::NAME) => Given::to_sql(&text.as_str(), ty, out),
            (Value::Blob(bytes), &Type::BYTEA) => Given::to_sql(&bytes.as_slice(), ty, out),
            (value, &Type::JSONB) => {
                // The server's own form: a version, then the text.
                out.extend_from_slice(&[1]);
                out.extend_from_slice(json(value)?.as_bytes());
                Ok(IsNull::No)
            }
            (value, ty) => Err(format!("{value:?} is no {ty}").into()),
        }
    }

    fn accepts(_: &Type) -> bool {
        true
    }

    to_sql_checked!();
}

/// A value of any kind as JSON: a number keeps its point, by which it is told from a whole number.
fn json(value: &Value) -> std::result::Result<String, Box<dyn Error + Sync + Send>> {
    match value {
        Value::Integer(whole) => Ok(Json::from(*whole).to_string()),
        Value::Real(number) if number.is_finite() => Ok(Json::from(*number).to_string()),
        Value::Text(text) => Ok(Json::from(text.as_str()).to_string()),
        other => Err(format!("{other:?} cannot be kept").into()),
    }
}

/// A row of the server, whole.
pub(super) fn read(row: &postgres::Row) -> Result<Answer> {
    (0..row.len()).map(|at| value(row, at)).collect::<Result<_>>().map(Answer)
}

fn value(row: &postgres::Row, at: usize) -> Result<Value> {
    let found = match *row.columns()[at].type_() {
        Type::INT8 => row.try_get::<_, Option<i64>>(at)?.map(Value::Integer),
        Type::INT4 => row.try_get::<_, Option<i32>>(at)?.map(|whole| Value::Integer(whole.into())),
        Type::BOOL => row.try_get::<_, Option<bool>>(at)?.map(|yes| Value::Integer(yes.into())),
        Type::FLOAT8 => row.try_get::<_, Option<f64>>(at)?.map(Value::Real),
        Type::TEXT | Type::VARCHAR | Type::NAME => row.try_get::<_, Option<String>>(at)?.map(Value::Text),
        Type::BYTEA => row.try_get::<_, Option<Vec<u8>>>(at)?.map(Value::Blob),
        Type::JSONB => row.try_get::<_, Option<Any>>(at)?.map(|any| any.0),
        Type::VOID => None,
        ref other => return Err(StoreError::Damaged { what: format!("a column holds {other}") }),
    };
    Ok(found.unwrap_or(Value::Null))
}

/// A value of any kind, read back from its JSON.
struct Any(Value);

impl<'a> postgres::types::FromSql<'a> for Any {
    fn from_sql(_: &Type, raw: &'a [u8]) -> std::result::Result<Self, Box<dyn Error + Sync + Send>> {
        let text = raw.strip_prefix(&[1]).ok_or("JSON of another version")?;
        match serde_json::from_slice(text)? {
            Json::String(text) => Ok(Self(Value::Text(text))),
            Json::Number(number) => match number.as_i64() {
                Some(whole) => Ok(Self(Value::Integer(whole))),
                None => Ok(Self(Value::Real(number.as_f64().ok_or("no number")?))),
            },
            other => Err(format!("{other} is no value").into()),
        }
    }

    fn accepts(ty: &Type) -> bool {
        *ty == Type::JSONB
    }
}
