//! The whole store looked over: the file's own check, and every row read as if it were shown.

use measure::Edge;
use upkeep::bike::{FIELDS, Kind};

use crate::{Engine, Result, Row as _, Store, StoreError};

/// What was found whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Checked {
    /// Bikes whose sheet reads and fits together.
    pub bikes: usize,
    /// Facts that read, undone ones too.
    pub facts: usize,
    /// Rides that read, with their tracks.
    pub rides: usize,
    /// Readings, work and plans that read, undone ones too.
    pub entries: usize,
}

impl<E: Engine> Store<E> {
    /// Checks the file and re-reads every row.
    ///
    /// # Errors
    /// Damaged, naming everything that is.
    pub fn check(&self) -> Result<Checked> {
        self.db.in_one_view(|_| self.read_all())
    }

    fn read_all(&self) -> Result<Checked> {
        let mut bad = self.db.faults()?;
        bad.extend(self.bound_faults()?);
        let mut found = Checked { bikes: 0, facts: 0, rides: 0, entries: 0 };
        let mut note = |why: StoreError| match why {
            StoreError::Damaged { what } => {
                bad.push(what);
                Ok(())
            }
            other => Err(other),
        };
        for bike in self.bikes()? {
            match self.bike(&bike.id) {
                Ok(_) => found.bikes += 1,
                Err(why) => note(why)?,
            }
            match self.history(&bike.id) {
                Ok(facts) => found.facts += facts.len(),
                Err(why) => note(why)?,
            }
            match self.noted(&bike.id) {
                Ok(noted) => found.entries += noted.len(),
                Err(why) => note(why)?,
            }
            if let Err(why) =
                self.benches(&bike.id).and_then(|_| self.manual(&bike.id)).and_then(|_| self.supplies(&bike.id))
            {
                note(why)?;
            }
            let ids: Vec<i64> = self.db.rows(
                "SELECT ride.id FROM ride JOIN live ON live.id = ride.change WHERE bike = ?1",
                &[&bike.id],
                |row| row.get(0),
            )?;
            for id in ids {
                match self.ride_track(id) {
                    Ok(_) => found.rides += 1,
                    Err(why) => note(why)?,
                }
            }
        }
        if bad.is_empty() { Ok(found) } else { Err(StoreError::Damaged { what: bad.join("; ") }) }
    }

    /// Fields whose bounds in the file are not those of the program.
    pub(crate) fn bound_faults(&self) -> Result<Vec<String>> {
        type Known = (String, String, Option<f64>, Option<f64>, Option<String>);
        let rows: Vec<Known> = self.db.rows("SELECT field, kind, low, high, words FROM bound", &[], |row| {
            Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?, row.get(4)?))
        })?;
        let wanted: Vec<Known> = FIELDS
            .iter()
            .map(|field| {
                let (kind, words) = kind(field.kind);
                let (low, high) = match field.bound().map(|bound| (bound.low, bound.high)) {
                    Some((Edge::At(low), Edge::At(high))) => (Some(low), Some(high)),
                    // An end that does not belong cannot be said in the file, and so is always a difference.
                    Some(_) => (Some(f64::NAN), None),
                    None => (None, None),
                };
                (field.name.to_owned(), kind.to_owned(), low, high, words)
            })
            .collect();
        let differ =
            wanted.iter().filter(|row| !rows.contains(row)).chain(rows.iter().filter(|row| !wanted.contains(row)));
        let mut names: Vec<String> =
            differ.map(|row| format!("the bounds of {} are not the program's", row.0)).collect();
        names.dedup();
        Ok(names)
    }
}

fn kind(kind: Kind) -> (&'static str, Option<String>) {
    let word = match kind {
        Kind::Number(_) => "number",
        Kind::Whole(_) => "whole",
        Kind::Word(_) => "word",
        Kind::Text => "text",
        Kind::Flag => "flag",
        Kind::Ratio(_) => "ratio",
        Kind::Ratios(_) => "ratios",
        Kind::Curve => "curve",
    };
    let words = if let Kind::Word(words) = kind { Some(serde_json::Value::from(words).to_string()) } else { None };
    (word, words)
}
