//! Bikes and their sheets: the latest live fact of each field.

use jiff::Timestamp;
use upkeep::bike::{self, Bike, Change, Fault};

use crate::change::{Appender, time, value_of};
use crate::{ChangeId, Done, Engine, Post, Result, Row, Store, StoreError, value};

/// A bike as a list shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Whether its figures are invented.
    pub invented: bool,
}

/// A bike that was taken off the list; its facts are all there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Removed {
    /// Its id.
    pub id: String,
    /// The name that it had last.
    pub name: String,
    /// The change that took it off; undoing that brings it back.
    pub change: ChangeId,
    /// When.
    pub at: Timestamp,
}

impl<E: Engine> Store<E> {
    /// The bikes that were taken off the list, the last one first.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn removed_bikes(&self) -> Result<Vec<Removed>> {
        self.db.rows(
            "SELECT bike.id, last.change, change.at,
                 (SELECT name FROM title JOIN live ON live.id = title.change
                  WHERE title.bike = bike.id AND name IS NOT NULL ORDER BY title.id DESC LIMIT 1)
             FROM bike JOIN title AS last ON last.id =
                 (SELECT max(title.id) FROM title JOIN live ON live.id = title.change WHERE title.bike = bike.id)
             JOIN change ON change.id = last.change
             WHERE last.name IS NULL ORDER BY last.id DESC",
            &[],
            |row| {
                let change = row.get(1)?;
                let at = time(&row.get::<String>(2)?, "change", change)?;
                let name = row.get::<Option<String>>(3)?.unwrap_or_default();
                Ok(Removed { id: row.get(0)?, name, change, at })
            },
        )
    }

    /// The bikes, in the order in which they came.
    ///
    /// # Errors
    /// The store cannot be read.
    pub fn bikes(&self) -> Result<Vec<Listed>> {
        listed(&self.db)
    }

    /// A bike with its current sheet.
    ///
    /// # Errors
    /// No such bike, or a damaged row.
    pub fn bike(&self, id: &str) -> Result<Bike> {
        read(&self.db, id)
    }

    /// Makes the stored bike equal to this one: appends what differs, takes off what it does not have.
    ///
    /// # Errors
    /// The store cannot be written.
    pub fn put_bike(&mut self, bike: &Bike, post: &Post<'_>) -> Result<Done> {
        bike::check_id(&bike.id)
            .and_then(|()| bike::check_name(&bike.name))
            .map_err(|fault| StoreError::Faults(vec![fault]))?;
        self.once(post, "bike", &bike.to_toml(), |to| {
            let there = to.db.first("SELECT 1 FROM bike WHERE id = ?1", &[&bike.id], |_| Ok(()))?;
            if there.is_none() {
                to.beside("bike", &[("id", &bike.id)])?;
            }
            if title(to.db, &bike.id)?.as_ref() != Some(&(bike.name.clone(), bike.invented)) {
                put_title(to, &bike.id, Some(&bike.name), bike.invented)?;
            }
            let mut before =
                Bike::new(&bike.id, &bike.name, bike.invented).map_err(|fault| StoreError::Faults(vec![fault]))?;
            before.change(&facts(to.db, &bike.id)?).map_err(|faults| unfit(&bike.id, &faults))?;
            append(to, &bike.id, &difference(&before, bike))?;
            fits(to.db, &bike.id)
        })
    }

    /// Changes fields of a bike's sheet, all or none. What stands there already is not written again.
    ///
    /// # Errors
    /// No such bike, or every fault of the sheet.
    pub fn set_fields(&mut self, id: &str, changes: &[Change], post: &Post<'_>) -> Result<Done> {
        self.once(post, "sheet", &format!("{id}\n{changes:?}"), |to| apply(to, id, changes))
    }

    /// Changes one field of a bike's sheet.
    ///
    /// # Errors
    /// As [`Store::set_fields`].
    pub fn set_field(&mut self, id: &str, change: Change, post: &Post<'_>) -> Result<Done> {
        self.set_fields(id, &[change], post)
    }

    /// Calls a bike by another name.
    ///
    /// # Errors
    /// No such bike, or the name is none.
    pub fn rename_bike(&mut self, id: &str, name: &str, post: &Post<'_>) -> Result<Done> {
        bike::check_name(name).map_err(|fault| StoreError::Faults(vec![fault]))?;
        self.once(post, "bike", &format!("{id}\n{name}"), |to| {
            let (before, invented) = must_exist(to.db, id)?;
            if before == name { Ok(()) } else { put_title(to, id, Some(name), invented) }
        })
    }

    /// Takes a bike off the list; its facts stay, and undoing the change brings it back.
    ///
    /// # Errors
    /// No such bike.
    pub fn remove_bike(&mut self, id: &str, post: &Post<'_>) -> Result<Done> {
        self.once(post, "bike", &format!("{id}\nremoved"), |to| {
            let (_, invented) = must_exist(to.db, id)?;
            put_title(to, id, None, invented)
        })
    }
}

/// Appends changes of a sheet to a change, all or none.
pub(crate) fn apply(to: &mut Appender<'_, impl Engine>, id: &str, changes: &[Change]) -> Result<()> {
    let before = read(to.db, id)?;
    let mut after = before.clone();
    after.change(changes).map_err(StoreError::Faults)?;
    append(to, id, &difference(&before, &after))?;
    fits(to.db, id)
}

fn listed(db: &impl Engine) -> Result<Vec<Listed>> {
    db.rows(
        "SELECT bike.id, last.name, last.invented FROM bike JOIN title AS last ON last.id =
             (SELECT max(title.id) FROM title JOIN live ON live.id = title.change WHERE title.bike = bike.id)
         WHERE last.name IS NOT NULL ORDER BY bike.rowid",
        &[],
        |row| Ok(Listed { id: row.get(0)?, name: row.get(1)?, invented: row.get(2)? }),
    )
}

/// The name of a bike and whether it is invented; `None` if it is not on the list.
fn title(db: &impl Engine, id: &str) -> Result<Option<(String, bool)>> {
    let found: Option<(Option<String>, bool)> = db.first(
        "SELECT name, invented FROM title JOIN live ON live.id = title.change
         WHERE bike = ?1 ORDER BY title.id DESC LIMIT 1",
        &[&id],
        |row| Ok((row.get(0)?, row.get(1)?)),
    )?;
    Ok(found.and_then(|(name, invented)| Some((name?, invented))))
}

/// As [`title`], or the refusal that names the bikes there are.
pub(crate) fn must_exist(db: &impl Engine, id: &str) -> Result<(String, bool)> {
    match title(db, id)? {
        Some(found) => Ok(found),
        None => {
            let known = listed(db)?.into_iter().map(|bike| bike.id).collect();
            Err(StoreError::NoSuchBike { id: id.to_owned(), known })
        }
    }
}

/// Reads a bike; every value is checked by itself and against the others.
pub(crate) fn read(db: &impl Engine, id: &str) -> Result<Bike> {
    let (name, invented) = must_exist(db, id)?;
    let mut bike = Bike::new(id, name, invented).map_err(|fault| unfit(id, &[fault]))?;
    bike.change(&facts(db, id)?).map_err(|faults| unfit(id, &faults))?;
    Ok(bike)
}

/// The latest live fact of each field.
fn facts(db: &impl Engine, id: &str) -> Result<Vec<Change>> {
    db.rows(
        // Field by field from its latest fact backwards: the length of the history costs nothing.
        "SELECT id, field, value, source FROM fact WHERE value IS NOT NULL AND id IN
             (SELECT (SELECT one.id FROM fact AS one WHERE one.bike = ?1 AND one.field = bound.field
                      AND EXISTS (SELECT 1 FROM live WHERE live.id = one.change) ORDER BY one.id DESC LIMIT 1)
              FROM bound)",
        &[&id],
        |row| {
            let (value, field) = value_of(row, row.get(0)?, 1, 2)?;
            Ok(Change { field: field.to_owned(), value, source: row.get(3)? })
        },
    )
}

fn unfit(id: &str, faults: &[Fault]) -> StoreError {
    let all: Vec<_> = faults.iter().map(ToString::to_string).collect();
    StoreError::Damaged { what: format!("the sheet of {id} does not fit together: {}", all.join(" ")) }
}

/// What makes the one sheet into the other.
fn difference(before: &Bike, after: &Bike) -> Vec<Change> {
    let put = after.entries().filter(|(field, entry)| before.get(field.name) != Some(entry)).map(|(field, entry)| {
        Change { field: field.name.to_owned(), value: Some(entry.value.clone()), source: entry.source.clone() }
    });
    let gone = before.entries().filter(|(field, _)| after.get(field.name).is_none()).map(|(field, _)| Change {
        field: field.name.to_owned(),
        value: None,
        source: None,
    });
    put.chain(gone).collect()
}

fn append(to: &mut Appender<'_, impl Engine>, id: &str, changes: &[Change]) -> Result<()> {
    for change in changes {
        let column = change.value.as_ref().map(value::column);
        to.put("fact", &[("bike", &id), ("field", &change.field), ("value", &column), ("source", &change.source)])?;
    }
    Ok(())
}

fn put_title(to: &mut Appender<'_, impl Engine>, id: &str, name: Option<&str>, invented: bool) -> Result<()> {
    to.put("title", &[("bike", &id), ("name", &name), ("invented", &invented)]).map(drop)
}

/// Reads back what was just written, before it is committed.
fn fits(db: &impl Engine, id: &str) -> Result<()> {
    read(db, id).map(drop)
}

/// Reads back every bike after an undo; what no longer fits is the undo's fault, not the store's.
pub(crate) fn all_fit(db: &impl Engine) -> Result<()> {
    for bike in listed(db)? {
        let mut empty =
            Bike::new(&bike.id, &bike.name, bike.invented).map_err(|fault| StoreError::Faults(vec![fault]))?;
        empty.change(&facts(db, &bike.id)?).map_err(StoreError::Faults)?;
    }
    Ok(())
}
