//! What the record asks of a database: rows appended in one transaction, rows read back. All else is built on it.

use rusqlite::ToSql;
use rusqlite::types::{FromSql, ValueRef};

use crate::Result;

/// What stands in one row to be appended: each column's name and value.
pub type Columns<'r> = [(&'r str, &'r dyn ToSql)];

/// A database that can keep the record.
///
/// A value is one of five kinds: nothing, a whole number, a number, a text, bytes. Statements are those that every
/// engine knows; what is given to them stands as `?1`, `?2`, … in them.
pub trait Engine: Sized + 'static {
    /// One row of an answer.
    type Row<'r>: Row;

    /// Reads every row of an answer.
    ///
    /// # Errors
    /// The database cannot answer, or `read` refuses a row.
    fn rows<T>(&self, sql: &str, given: &[&dyn ToSql], read: impl FnMut(&Self::Row<'_>) -> Result<T>)
    -> Result<Vec<T>>;

    /// Reads every row of a table that hangs on one of these rows of another, in whatever order.
    ///
    /// # Errors
    /// As [`Engine::rows`].
    fn rows_beside<T>(
        &self,
        table: &str,
        column: &str,
        numbers: &[i64],
        read: impl FnMut(&Self::Row<'_>) -> Result<T>,
    ) -> Result<Vec<T>>;

    /// Reads in one view of the record: what others write meanwhile is not seen.
    ///
    /// # Errors
    /// What `read` says, or the database.
    fn in_one_view<T>(&self, read: impl FnOnce(&Self) -> Result<T>) -> Result<T>;

    /// Runs a statement that answers nothing; gives the number of rows that it touched.
    ///
    /// # Errors
    /// The database refuses it.
    fn run(&self, sql: &str, given: &[&dyn ToSql]) -> Result<usize>;

    /// Appends a row under the next number of its table; gives the number.
    ///
    /// # Errors
    /// The database refuses it.
    fn numbered(&self, table: &str, row: &Columns<'_>) -> Result<i64>;

    /// Does in one transaction, alone among writers of this record, what `write` does; it is on the disk before this
    /// answers. A refusal takes all of it back.
    ///
    /// # Errors
    /// What `write` refuses, or the database.
    fn at_once<T>(&mut self, write: impl FnOnce(&Self) -> Result<T>) -> Result<T>;

    /// The columns of a table, in the order of its definition.
    ///
    /// # Errors
    /// The database cannot answer.
    fn columns(&self, table: &str) -> Result<Vec<Column>>;

    /// What the database itself finds wrong with what it keeps.
    ///
    /// # Errors
    /// The database cannot answer.
    fn faults(&self) -> Result<Vec<String>>;

    /// Reads the first row of an answer; `None` if there is none.
    ///
    /// # Errors
    /// As [`Engine::rows`].
    fn first<T>(
        &self,
        sql: &str,
        given: &[&dyn ToSql],
        read: impl FnMut(&Self::Row<'_>) -> Result<T>,
    ) -> Result<Option<T>> {
        Ok(self.rows(sql, given, read)?.into_iter().next())
    }

    /// Appends a row that has no number of its own.
    ///
    /// # Errors
    /// The database refuses it.
    fn append(&self, table: &str, row: &Columns<'_>) -> Result<()> {
        let given: Vec<&dyn ToSql> = row.iter().map(|(_, value)| *value).collect();
        self.run(&insertion(table, row), &given).map(drop)
    }
}

/// One row of an answer, read column by column.
pub trait Row {
    /// A column, by its place from 0.
    ///
    /// # Errors
    /// There is no such column.
    fn cell(&self, at: usize) -> Result<ValueRef<'_>>;

    /// A column as a value of the program.
    ///
    /// # Errors
    /// It is none.
    fn get<T: FromSql>(&self, at: usize) -> Result<T>;
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its name.
    pub name: String,
    /// Whether it holds bytes.
    pub bytes: bool,
    /// Whether it alone tells the rows apart, and by its order which came first.
    pub key: bool,
}

/// The statement that appends a row.
pub(crate) fn insertion(table: &str, row: &Columns<'_>) -> String {
    let mut sql = format!("INSERT INTO {table} (");
    let mut places = String::new();
    for (at, (name, _)) in row.iter().enumerate() {
        if at > 0 {
            sql.push_str(", ");
            places.push_str(", ");
        }
        sql.push_str(name);
        places.push('?');
        places.push_str(&(at + 1).to_string());
    }
    sql.push_str(") VALUES (");
    sql.push_str(&places);
    sql.push(')');
    sql
}
