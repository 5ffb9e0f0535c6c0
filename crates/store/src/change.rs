//! What was done and when: changes, the keys that make a double post one change, undo, history.

use jiff::Timestamp;
use rusqlite::{OptionalExtension as _, Transaction, TransactionBehavior, named_params};
use upkeep::bike::{Value, field};

use crate::{Result, Store, StoreError, bikes, mark, rides, value};

/// The number of a change.
pub type ChangeId = i64;

/// Who asks and when: the time, and the key of the form or request.
#[derive(Debug, Clone, Copy)]
pub struct Post<'a> {
    /// The present time; the store has no clock.
    pub now: Timestamp,
    /// The key that the form or request carries; the same key twice is one change.
    pub key: Option<&'a str>,
}

impl Post<'_> {
    /// A post without key.
    #[must_use]
    pub const fn at(now: Timestamp) -> Self {
        Self { now, key: None }
    }
}

/// What a write did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Done {
    /// The change; `None` if there was nothing to change.
    pub change: Option<ChangeId>,
    /// Whether it was done by an earlier post with the same key, and not again now.
    pub again: bool,
}

/// One figure of a bike's history.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// The change that brought it.
    pub change: ChangeId,
    /// When.
    pub at: Timestamp,
    /// The field.
    pub field: &'static str,
    /// The value; `None` took the field off the sheet.
    pub value: Option<Value>,
    /// Where it stands or how it was measured.
    pub source: Option<String>,
    /// Whether the change is undone.
    pub undone: bool,
}

impl Store {
    /// Writes in one transaction what `write` appends to a new change, unless the key was used before.
    pub(crate) fn once(
        &mut self,
        post: &Post<'_>,
        what: &str,
        request: &str,
        write: impl FnOnce(&Transaction<'_>, &mut Appender<'_>) -> Result<()>,
    ) -> Result<Done> {
        let request = mark(format!("{what}\n{request}").as_bytes());
        let db = self.db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        if let Some(done) = earlier(&db, post, &request)? {
            return Ok(done);
        }
        let mut appender = Appender { db: &db, now: post.now, what, undoes: None, change: None };
        write(&db, &mut appender)?;
        let change = appender.change;
        if let Some(key) = post.key {
            db.prepare_cached("INSERT INTO form_key (key, request, change, at) VALUES (?1, ?2, ?3, ?4)")?.execute((
                key,
                &request,
                change,
                post.now.to_string(),
            ))?;
        }
        db.commit()?;
        Ok(Done { change, again: false })
    }

    /// Undoes a change; undoing the undo brings it back. The sheets must fit together afterwards.
    ///
    /// # Errors
    /// No such change, undone already, or a sheet would no longer fit together.
    pub fn undo(&mut self, change: ChangeId, post: &Post<'_>) -> Result<Done> {
        self.once(post, "undo", &change.to_string(), |db, appender| {
            let known: Option<i64> =
                db.query_row("SELECT id FROM change WHERE id = ?1", [change], |row| row.get(0)).optional()?;
            known.ok_or(StoreError::NoSuchChange { id: change })?;
            let by: Option<i64> =
                db.query_row("SELECT id FROM change WHERE undoes = ?1", [change], |row| row.get(0)).optional()?;
            if let Some(by) = by {
                return Err(StoreError::UndoneAlready { id: change, by });
            }
            appender.undoes = Some(change);
            appender.change()?;
            bikes::all_fit(db)?;
            rides::each_file_once(db)
        })
    }

    /// The history of a bike's sheet, newest first.
    ///
    /// # Errors
    /// No such bike, or a damaged row.
    pub fn history(&self, bike: &str) -> Result<Vec<Fact>> {
        bikes::must_exist(&self.db, bike)?;
        let mut rows = self.db.prepare_cached(
            "SELECT fact.id, fact.change, change.at, fact.field, fact.value, fact.source, live.id IS NULL
             FROM fact JOIN change ON change.id = fact.change LEFT JOIN live ON live.id = fact.change
             WHERE fact.bike = ?1 ORDER BY fact.id DESC",
        )?;
        let mut rows = rows.query([bike])?;
        let mut facts = Vec::new();
        while let Some(row) = rows.next()? {
            let id: i64 = row.get(0)?;
            let (value, name) = value_of(row, id, 3, 4)?;
            let at = time(row.get_ref(2)?.as_str().unwrap_or_default(), "change", row.get(1)?)?;
            facts.push(Fact { change: row.get(1)?, at, field: name, value, source: row.get(5)?, undone: row.get(6)? });
        }
        Ok(facts)
    }

    /// The number of the newest change, 0 before the first: whoever has seen it has seen all of the record.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn revision(&self) -> Result<ChangeId> {
        let newest: Option<ChangeId> =
            self.db.prepare_cached("SELECT max(id) FROM change")?.query_row([], |row| row.get(0))?;
        Ok(newest.unwrap_or_default())
    }

    /// When a key came first; `None` if it never did. What comes again is meant as of that time.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn first_came(&self, key: &str) -> Result<Option<Timestamp>> {
        let at: Option<String> = self
            .db
            .prepare_cached("SELECT at FROM form_key WHERE key = ?1")?
            .query_row([key], |row| row.get(0))
            .optional()?;
        Ok(at.and_then(|at| at.parse().ok()))
    }

    /// Forgets the keys of forms that are older than a time; the changes stay.
    ///
    /// # Errors
    /// The store cannot be written.
    pub fn forget_keys(&mut self, before: Timestamp) -> Result<usize> {
        // Times are compared as times: their texts have no fixed number of decimals.
        let all: Vec<(String, String)> = self
            .db
            .prepare("SELECT key, at FROM form_key")?
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<rusqlite::Result<_>>()?;
        let mut forgotten = 0;
        let db = self.db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        for (key, at) in all {
            if at.parse::<Timestamp>().is_ok_and(|at| at < before) {
                forgotten += db.execute("DELETE FROM form_key WHERE key = ?1", [key])?;
            }
        }
        db.commit()?;
        Ok(forgotten)
    }
}

/// Appends to one change, which is made with the first thing appended.
pub(crate) struct Appender<'a> {
    db: &'a Transaction<'a>,
    now: Timestamp,
    what: &'a str,
    undoes: Option<ChangeId>,
    change: Option<ChangeId>,
}

impl Appender<'_> {
    /// The number of the change.
    pub(crate) fn change(&mut self) -> Result<ChangeId> {
        if let Some(change) = self.change {
            return Ok(change);
        }
        self.db
            .prepare_cached("INSERT INTO change (at, what, undoes) VALUES (:at, :what, :undoes)")?
            .execute(named_params! {":at": self.now.to_string(), ":what": self.what, ":undoes": self.undoes})?;
        let change = self.db.last_insert_rowid();
        self.change = Some(change);
        Ok(change)
    }
}

/// What an earlier post with the same key did.
fn earlier(db: &Transaction<'_>, post: &Post<'_>, request: &str) -> Result<Option<Done>> {
    let Some(key) = post.key else { return Ok(None) };
    if key.is_empty() || key.chars().count() > 200 {
        return Err(StoreError::Key);
    }
    let found: Option<(String, Option<ChangeId>)> = db
        .prepare_cached("SELECT request, change FROM form_key WHERE key = ?1")?
        .query_row([key], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    match found {
        None => Ok(None),
        Some((first, change)) if first == request => Ok(Some(Done { change, again: true })),
        Some(_) => Err(StoreError::KeyReused),
    }
}

/// The value and field of a row of facts, checked.
pub(crate) fn value_of(
    row: &rusqlite::Row<'_>,
    id: i64,
    field_at: usize,
    value_at: usize,
) -> Result<(Option<Value>, &'static str)> {
    let name = row.get_ref(field_at)?.as_str().unwrap_or_default();
    let field = field(name).ok_or_else(|| StoreError::row("fact", id, "its field is not known"))?;
    let column = row.get_ref(value_at)?;
    if column == rusqlite::types::ValueRef::Null {
        return Ok((None, field.name));
    }
    let value = value::from_column(field, column);
    let value = value.ok_or_else(|| StoreError::row("fact", id, &format!("its value is none of {}", field.name)))?;
    Ok((Some(value), field.name))
}

/// A stored time, checked.
pub(crate) fn time(text: &str, table: &str, id: i64) -> Result<Timestamp> {
    text.parse().map_err(|_| StoreError::row(table, id, "its time is none"))
}
