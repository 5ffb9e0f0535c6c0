//! The engine for many riders: one PostgreSQL database, a connection, and the rider whose record it is turned to.
//!
//! The server itself keeps one rider's rows from another (row-level security): no statement here names the rider.

mod cell;
mod definition;

use std::cell::{Cell as Flag, RefCell};
use std::collections::HashMap;

use postgres::types::ToSql as Given;
use postgres::{Client, NoTls, Statement};
use rusqlite::ToSql;
use rusqlite::types::{FromSql, Value, ValueRef};

use crate::engine::{Column, Columns, Engine, Row};
use crate::{Result, Store, StoreError, schema};

/// One open connection, turned to one rider.
pub struct Postgres {
    client: RefCell<Client>,
    known: RefCell<Known>,
    /// Whether a statement failed since the transaction began: the server then takes none of it.
    failed: Flag<bool>,
    rider: i64,
}

impl std::fmt::Debug for Postgres {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Postgres").field("rider", &self.rider).finish_non_exhaustive()
    }
}

/// What the connection has asked before.
#[derive(Default)]
struct Known {
    statements: HashMap<String, Statement>,
    columns: HashMap<String, Vec<Column>>,
}

impl Store<Postgres> {
    /// Opens the record of a rider on a server; makes the tables if there are none, and the rider if it is a new one.
    ///
    /// The address is that of libpq (`host=/run/postgresql user=club dbname=club`). The way to the server is not
    /// encrypted by this: a socket, the machine itself, or a tunnel.
    ///
    /// # Errors
    /// The server cannot be reached, its tables are of another version, or its user could read past the lines between
    /// riders.
    pub fn on_server(address: &str, rider: &str) -> Result<Self> {
        let client = RefCell::new(Client::connect(address, NoTls)?);
        let db = Postgres { client, known: RefCell::default(), failed: Flag::new(false), rider: 0 };
        db.ready()?;
        let mut store = Self { db };
        store.turn_to(rider)?;
        Ok(store)
    }

    /// Turns the connection to another rider's record: a service keeps a few connections for all of them.
    ///
    /// # Errors
    /// The server does not answer.
    pub fn turn_to(&mut self, rider: &str) -> Result<()> {
        let turn = "SELECT id, set_config('tightspot.rider', id::text, false) FROM rider WHERE name = ?1";
        let turned = |db: &Postgres| db.first(turn, &[&rider], |row| row.get::<i64>(0));
        let id = match turned(&self.db)? {
            Some(id) => id,
            None => {
                self.db.run("INSERT INTO rider (name) VALUES (?1) ON CONFLICT DO NOTHING", &[&rider])?;
                turned(&self.db)?.unwrap_or_default()
            }
        };
        self.db.rider = id;
        Ok(())
    }

    /// What the database takes on the server's disk, all riders together, in bytes.
    ///
    /// # Errors
    /// The server does not answer.
    pub fn bytes(&self) -> Result<i64> {
        let bytes = self.db.first("SELECT pg_database_size(current_database())", &[], |row| row.get(0))?;
        Ok(bytes.unwrap_or_default())
    }
}

impl Postgres {
    /// Durability before speed, and the tables of this version.
    fn ready(&self) -> Result<()> {
        let client = &mut *self.client.borrow_mut();
        let sees_all = "SELECT rolsuper OR rolbypassrls FROM pg_roles WHERE rolname = current_user";
        if client.query_one(sees_all, &[])?.try_get(0)? {
            return Err(StoreError::SeesAll);
        }
        client.batch_execute(
            "SET synchronous_commit = on; SET lock_timeout = '5s'; SET client_min_messages = warning;
             SET search_path = tightspot",
        )?;
        let mut first = client.transaction()?;
        // Two that open an empty database at once make its tables one after the other.
        first.batch_execute("SELECT pg_advisory_xact_lock(1414088520)")?;
        let there: bool = first.query_one("SELECT to_regclass('tightspot.version') IS NOT NULL", &[])?.try_get(0)?;
        if !there {
            first.batch_execute(&definition::definition()?)?;
        }
        let found: i64 = first.query_one("SELECT number FROM version", &[])?.try_get(0)?;
        first.commit()?;
        if found == i64::from(schema::NEWEST) {
            Ok(())
        } else {
            Err(StoreError::OtherTables { found, known: schema::NEWEST })
        }
    }

    /// Prepares a statement once for each connection.
    fn statement(&self, sql: &str) -> Result<Statement> {
        if let Some(statement) = self.known.borrow().statements.get(sql) {
            return Ok(statement.clone());
        }
        let statement = self.client.borrow_mut().prepare(&sql.replace('?', "$"))?;
        self.known.borrow_mut().statements.insert(sql.to_owned(), statement.clone());
        Ok(statement)
    }

    /// Asks a prepared statement; what comes back is whole before anything else is asked.
    fn ask(&self, sql: &str, given: &[&(dyn Given + Sync)]) -> Result<Vec<Answer>> {
        let asked = || -> Result<Vec<Answer>> {
            let statement = self.statement(sql)?;
            let rows = self.client.borrow_mut().query(&statement, given)?;
            rows.iter().map(cell::read).collect()
        };
        asked().inspect_err(|_| self.failed.set(true))
    }
}

/// One row of an answer.
#[derive(Debug)]
pub struct Answer(Vec<Value>);

impl Row for Answer {
    fn cell(&self, at: usize) -> Result<ValueRef<'_>> {
        let value = self.0.get(at).ok_or_else(|| StoreError::Damaged { what: format!("column {at} is not there") })?;
        Ok(value.into())
    }

    fn get<T: FromSql>(&self, at: usize) -> Result<T> {
        T::column_result(self.cell(at)?).map_err(|why| StoreError::Other { code: 0, source: why.into() })
    }
}

impl Engine for Postgres {
    type Row<'r> = Answer;

    fn rows<T>(&self, sql: &str, given: &[&dyn ToSql], read: impl FnMut(&Answer) -> Result<T>) -> Result<Vec<T>> {
        let cells = cell::cells(given)?;
        self.ask(sql, &cell::given(&cells))?.iter().map(read).collect()
    }

    fn rows_beside<T>(
        &self,
        table: &str,
        column: &str,
        numbers: &[i64],
        read: impl FnMut(&Answer) -> Result<T>,
    ) -> Result<Vec<T>> {
        // All in one question: the way to the server costs more than the look.
        let sql = format!("SELECT * FROM {table} WHERE {column} = ANY (?1)");
        self.ask(&sql, &[&numbers])?.iter().map(read).collect()
    }

    fn in_one_view<T>(&self, read: impl FnOnce(&Self) -> Result<T>) -> Result<T> {
        // Nothing is written in it, so that it may end as one that is taken back.
        let open = Open(self);
        open.0.client.borrow_mut().batch_execute("BEGIN ISOLATION LEVEL REPEATABLE READ, READ ONLY")?;
        read(open.0)
    }

    fn run(&self, sql: &str, given: &[&dyn ToSql]) -> Result<usize> {
        let cells = cell::cells(given)?;
        let asked = || -> Result<u64> {
            let statement = self.statement(sql)?;
            Ok(self.client.borrow_mut().execute(&statement, &cell::given(&cells))?)
        };
        let touched = asked().inspect_err(|_| self.failed.set(true))?;
        Ok(usize::try_from(touched).unwrap_or(usize::MAX))
    }

    fn numbered(&self, table: &str, row: &Columns<'_>) -> Result<i64> {
        // Nothing is ever deleted and a rider has one writer at a time, so that the next number is one more than the last.
        let mut names = String::from("id");
        let mut places = format!("(SELECT coalesce(max(id), 0) + 1 FROM {table})");
        for (at, (name, _)) in row.iter().enumerate() {
            names.push_str(", ");
            names.push_str(name);
            places.push_str(&format!(", ?{}", at + 1));
        }
        let sql = format!("INSERT INTO {table} ({names}) VALUES ({places}) RETURNING id");
        let given: Vec<&dyn ToSql> = row.iter().map(|(_, value)| *value).collect();
        let number: Option<i64> = self.first(&sql, &given, |row| row.get(0))?;
        number.ok_or_else(|| StoreError::Damaged { what: format!("a row of {table} has no number") })
    }

    fn at_once<T>(&mut self, write: impl FnOnce(&Self) -> Result<T>) -> Result<T> {
        let begin = format!("BEGIN; SELECT id FROM rider WHERE id = {} FOR UPDATE", self.rider);
        let open = Open(self);
        open.0.failed.set(false);
        open.0.client.borrow_mut().batch_execute(&begin)?;
        let done = write(open.0)?;
        if open.0.failed.get() {
            // To commit now would be answered like a success, and keep nothing.
            return Err(StoreError::Damaged { what: "a statement failed and was passed over".to_owned() });
        }
        open.0.client.borrow_mut().batch_execute("COMMIT")?;
        std::mem::forget(open);
        Ok(done)
    }

    fn columns(&self, table: &str) -> Result<Vec<Column>> {
        if let Some(columns) = self.known.borrow().columns.get(table) {
            return Ok(columns.clone());
        }
        // The last columns are this engine's own: whose row it is, and in which order rows without a number came.
        let sql = "SELECT attname::text, atttypid = 'bytea'::regtype, attname = (
                 SELECT attname FROM pg_index JOIN pg_attribute AS one ON one.attrelid = indrelid AND one.attnum = indkey[1]
                 WHERE indrelid = ?1::text::regclass AND indisprimary AND indnatts = 2 AND atttypid = 'bigint'::regtype)
             FROM pg_attribute WHERE attrelid = ?1::text::regclass AND attnum > 0 AND NOT attisdropped
                 AND attname NOT IN ('rider', 'rowid')
             ORDER BY attnum";
        let columns = self.rows(sql, &[&table], |row| {
            let key: Option<bool> = row.get(2)?;
            Ok(Column { name: row.get(0)?, bytes: row.get(1)?, key: key == Some(true) })
        })?;
        self.known.borrow_mut().columns.insert(table.to_owned(), columns.clone());
        Ok(columns)
    }

    fn faults(&self) -> Result<Vec<String>> {
        let mut said = Vec::new();
        let off: String = self.first("SELECT current_setting('fsync')", &[], |row| row.get(0))?.unwrap_or_default();
        if off != "on" {
            said.push("the server does not wait for its disk (fsync is off)".to_owned());
        }
        let unguarded: Vec<String> = self.rows(
            "SELECT relname::text FROM pg_class WHERE relnamespace = 'tightspot'::regnamespace AND relkind = 'r'
                 AND relname NOT IN ('version', 'bound', 'rider') AND NOT (relrowsecurity AND relforcerowsecurity)
             UNION SELECT conname::text FROM pg_constraint
             WHERE connamespace = 'tightspot'::regnamespace AND NOT convalidated
             UNION SELECT tgname::text FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid
             WHERE relnamespace = 'tightspot'::regnamespace AND tgenabled = 'D'",
            &[],
            |row| row.get(0),
        )?;
        said.extend(unguarded.into_iter().map(|what| format!("the guard of {what} is off")));
        Ok(said)
    }
}

/// An open transaction, taken back unless it came to its end, also when what is done in it panics.
struct Open<'a>(&'a Postgres);

impl Drop for Open<'_> {
    fn drop(&mut self) {
        // A connection that is lost has taken it back already.
        let _ = self.0.client.borrow_mut().batch_execute("ROLLBACK");
    }
}

impl From<postgres::Error> for StoreError {
    fn from(source: postgres::Error) -> Self {
        let Some(state) = source.code() else {
            let lost = std::error::Error::source(&source).is_some_and(<dyn std::error::Error>::is::<std::io::Error>);
            return if lost || source.is_closed() { Self::Gone } else { Self::Refused(source.into()) };
        };
        match state.code() {
            // A lock that was not let go in time, or two that waited for each other.
            "55P03" | "40P01" | "40001" => Self::Busy,
            "53100" => Self::Full,
            "25006" => Self::ReadOnly,
            "57P01" | "57P02" | "57P03" | "53300" => Self::Gone,
            "XX001" | "XX002" => Self::Damaged { what: "the database contradicts itself".to_owned() },
            code if code.starts_with("22") || code.starts_with("23") || code == "P0001" => Self::Refused(source.into()),
            _ => Self::Other { code: 0, source: source.into() },
        }
    }
}
