//! What was done and when: changes, the keys that make a double post one change, undo, history.

use jiff::Timestamp;
use upkeep::bike::{Value, field};

use crate::{Columns, Engine, Result, Row, Store, StoreError, bikes, mark, rides, value};

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

impl<E: Engine> Store<E> {
    /// Writes in one transaction what `write` appends to a new change, unless the key was used before.
    pub(crate) fn once(
        &mut self,
        post: &Post<'_>,
        what: &str,
        request: &str,
        write: impl FnOnce(&mut Appender<'_, E>) -> Result<()>,
    ) -> Result<Done> {
        let request = mark(format!("{what}\n{request}").as_bytes());
        self.db.at_once(|db| {
            if let Some(done) = earlier(db, post, &request)? {
                return Ok(done);
            }
            let mut to = Appender { db, now: post.now, what, undoes: None, change: None };
            write(&mut to)?;
            let change = to.change;
            if let Some(key) = post.key {
                let at = post.now.to_string();
                db.append("form_key", &[("key", &key), ("request", &request), ("change", &change), ("at", &at)])?;
            }
            Ok(Done { change, again: false })
        })
    }

    /// Undoes a change; undoing the undo brings it back. The sheets must fit together afterwards.
    ///
    /// # Errors
    /// No such change, undone already, or a sheet would no longer fit together.
    pub fn undo(&mut self, change: ChangeId, post: &Post<'_>) -> Result<Done> {
        self.once(post, "undo", &change.to_string(), |to| {
            let one = |sql: &str| to.db.first(sql, &[&change], |row| row.get::<ChangeId>(0));
            one("SELECT id FROM change WHERE id = ?1")?.ok_or(StoreError::NoSuchChange { id: change })?;
            if let Some(by) = one("SELECT id FROM change WHERE undoes = ?1")? {
                return Err(StoreError::UndoneAlready { id: change, by });
            }
            to.undoes = Some(change);
            to.change()?;
            bikes::all_fit(to.db)?;
            rides::each_file_once(to.db)
        })
    }

    /// The history of a bike's sheet, newest first.
    ///
    /// # Errors
    /// No such bike, or a damaged row.
    pub fn history(&self, bike: &str) -> Result<Vec<Fact>> {
        bikes::must_exist(&self.db, bike)?;
        self.db.rows(
            "SELECT fact.id, fact.change, change.at, fact.field, fact.value, fact.source, live.id IS NULL
             FROM fact JOIN change ON change.id = fact.change LEFT JOIN live ON live.id = fact.change
             WHERE fact.bike = ?1 ORDER BY fact.id DESC",
            &[&bike],
            |row| {
                let (value, name) = value_of(row, row.get(0)?, 3, 4)?;
                let at = time(row.cell(2)?.as_str().unwrap_or_default(), "change", row.get(1)?)?;
                let (change, source, undone) = (row.get(1)?, row.get(5)?, row.get(6)?);
                Ok(Fact { change, at, field: name, value, source, undone })
            },
        )
    }

    /// The number of the newest change, 0 before the first: whoever has seen it has seen all of the record.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn revision(&self) -> Result<ChangeId> {
        let newest = self.db.first("SELECT max(id) FROM change", &[], |row| row.get::<Option<ChangeId>>(0))?;
        Ok(newest.flatten().unwrap_or_default())
    }

    /// Whether all that was changed since a revision is written down about bikes: readings, work, orders, the shelf, the
    /// sheet. Then no ride came, no bike, no setting, and nothing was taken back or brought back.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn only_recorded_since(&self, revision: ChangeId) -> Result<bool> {
        let other = self.db.first(
            "SELECT 1 FROM change WHERE id > ?1 AND (what <> 'record' OR undoes IS NOT NULL) LIMIT 1",
            &[&revision],
            |_| Ok(()),
        )?;
        Ok(other.is_none())
    }

    /// When a key came first; `None` if it never did. What comes again is meant as of that time.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn first_came(&self, key: &str) -> Result<Option<Timestamp>> {
        let at = self.db.first("SELECT at FROM form_key WHERE key = ?1", &[&key], |row| row.get::<String>(0))?;
        Ok(at.and_then(|at| at.parse().ok()))
    }

    /// Forgets the keys of forms that are older than a time; the changes stay.
    ///
    /// # Errors
    /// The store cannot be written.
    pub fn forget_keys(&mut self, before: Timestamp) -> Result<usize> {
        // Times are compared as times: their texts have no fixed number of decimals.
        let all: Vec<(String, String)> =
            self.db.rows("SELECT key, at FROM form_key", &[], |row| Ok((row.get(0)?, row.get(1)?)))?;
        self.db.at_once(|db| {
            let mut forgotten = 0;
            for (key, at) in all {
                if at.parse::<Timestamp>().is_ok_and(|at| at < before) {
                    forgotten += db.run("DELETE FROM form_key WHERE key = ?1", &[&key])?;
                }
            }
            Ok(forgotten)
        })
    }
}

/// Appends to one change, which is made with the first thing appended. Nothing else appends.
pub(crate) struct Appender<'a, E> {
    /// What is there, this change included.
    pub(crate) db: &'a E,
    now: Timestamp,
    what: &'a str,
    undoes: Option<ChangeId>,
    change: Option<ChangeId>,
}

impl<E: Engine> Appender<'_, E> {
    /// The number of the change.
    pub(crate) fn change(&mut self) -> Result<ChangeId> {
        if let Some(change) = self.change {
            return Ok(change);
        }
        let at = self.now.to_string();
        let change = self.db.numbered("change", &[("at", &at), ("what", &self.what), ("undoes", &self.undoes)])?;
        self.change = Some(change);
        Ok(change)
    }

    /// Appends a row that hangs on the change; gives its number.
    pub(crate) fn put(&mut self, table: &str, row: &Columns<'_>) -> Result<i64> {
        let change = self.change()?;
        let mut all: Vec<(&str, &dyn rusqlite::ToSql)> = Vec::with_capacity(row.len() + 1);
        all.push(("change", &change));
        all.extend_from_slice(row);
        self.db.numbered(table, &all)
    }

    /// Appends a row that hangs on another row.
    pub(crate) fn beside(&mut self, table: &str, row: &Columns<'_>) -> Result<()> {
        self.db.append(table, row)
    }
}

/// What an earlier post with the same key did.
fn earlier(db: &impl Engine, post: &Post<'_>, request: &str) -> Result<Option<Done>> {
    let Some(key) = post.key else { return Ok(None) };
    if key.is_empty() || key.chars().count() > 200 {
        return Err(StoreError::Key);
    }
    let found: Option<(String, Option<ChangeId>)> =
        db.first("SELECT request, change FROM form_key WHERE key = ?1", &[&key], |row| Ok((row.get(0)?, row.get(1)?)))?;
    match found {
        None => Ok(None),
        Some((first, change)) if first == request => Ok(Some(Done { change, again: true })),
        Some(_) => Err(StoreError::KeyReused),
    }
}

/// The value and field of a row of facts, checked.
pub(crate) fn value_of(
    row: &impl Row,
    id: i64,
    field_at: usize,
    value_at: usize,
) -> Result<(Option<Value>, &'static str)> {
    let field = field(row.cell(field_at)?.as_str().unwrap_or_default())
        .ok_or_else(|| StoreError::row("fact", id, "its field is not known"))?;
    let column = row.cell(value_at)?;
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
