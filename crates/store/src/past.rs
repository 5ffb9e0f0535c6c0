//! Every change that touched a bike, newest first: what it brought, what undid it. Nothing of it is ever deleted.

use std::collections::BTreeMap;

use jiff::Timestamp;

use crate::change::time;
use crate::rides::{Live, read as read_ride, select};
use crate::{ChangeId, Engine, Fact, Kept, Noted, Result, Ride, Row as _, Store, bikes};

/// One change and what it brought to a bike.
#[derive(Debug, Clone, PartialEq)]
pub struct Past {
    /// Its number.
    pub id: ChangeId,
    /// When it was made.
    pub at: Timestamp,
    /// What kind of change: bike, sheet, ride, record, undo, …
    pub what: String,
    /// The change that it undoes.
    pub undoes: Option<ChangeId>,
    /// The change that undid it.
    pub undone_by: Option<ChangeId>,
    /// Whether it stands: undone and brought back counts as standing.
    pub stands: bool,
    /// Figures of the sheet.
    pub facts: Vec<Fact>,
    /// Facts of the record.
    pub noted: Vec<Noted>,
    /// Rides.
    pub rides: Vec<Ride>,
    /// Facts of the shelf.
    pub supplies: Vec<Kept>,
}

impl<E: Engine> Store<E> {
    /// Every change that touched a bike, newest first.
    ///
    /// # Errors
    /// No such bike, or a damaged row.
    pub fn past(&self, bike: &str) -> Result<Vec<Past>> {
        bikes::must_exist(&self.db, bike)?;
        let mut all = self.heads(bike)?;
        for fact in self.history(bike)? {
            if let Some(past) = all.get_mut(&fact.change) {
                past.facts.push(fact);
            }
        }
        for noted in self.noted(bike)? {
            if let Some(past) = all.get_mut(&noted.entry.change) {
                past.noted.push(noted);
            }
        }
        for ride in self.every_ride(bike)? {
            if let Some(past) = all.get_mut(&ride.change) {
                past.rides.push(ride);
            }
        }
        for kept in self.every_supply(bike)? {
            if let Some(past) = all.get_mut(&kept.change) {
                past.supplies.push(kept);
            }
        }
        Ok(all.into_values().rev().collect())
    }

    fn heads(&self, bike: &str) -> Result<BTreeMap<ChangeId, Past>> {
        let all = self.db.rows(
            "WITH RECURSIVE touched (id) AS (
                 SELECT change FROM title WHERE bike = ?1 UNION SELECT change FROM fact WHERE bike = ?1
                 UNION SELECT change FROM entry WHERE bike = ?1 UNION SELECT change FROM ride WHERE bike = ?1
                 UNION SELECT change FROM supply WHERE bike = ?1
                 UNION SELECT change.id FROM change JOIN touched ON change.undoes = touched.id)
             SELECT change.id, change.at, change.what, change.undoes,
                 (SELECT later.id FROM change AS later WHERE later.undoes = change.id), live.id IS NOT NULL
             FROM change JOIN touched ON touched.id = change.id LEFT JOIN live ON live.id = change.id",
            &[&bike],
            |row| {
                let id: ChangeId = row.get(0)?;
                let past = Past {
                    id,
                    at: time(&row.get::<String>(1)?, "change", id)?,
                    what: row.get(2)?,
                    undoes: row.get(3)?,
                    undone_by: row.get(4)?,
                    stands: row.get(5)?,
                    facts: Vec::new(),
                    noted: Vec::new(),
                    rides: Vec::new(),
                    supplies: Vec::new(),
                };
                Ok((id, past))
            },
        )?;
        Ok(all.into_iter().collect())
    }

    /// The rides of a bike, those taken out too.
    fn every_ride(&self, bike: &str) -> Result<Vec<Ride>> {
        let sql = format!("{} WHERE ride.bike = ?1 ORDER BY ride.id", select(Live::OrNot));
        self.db.rows(&sql, &[&bike], |row| read_ride(row))
    }
}
