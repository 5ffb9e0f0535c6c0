//! What was read off a bike and done with it: one head a fact, one table a kind; corrections point at what they correct.

use jiff::civil::DateTime;
use upkeep::bike;
use upkeep::record::{self, Entry, Fact, Log};

use crate::change::{Appender, time};
use crate::{ChangeId, Done, Engine, Post, Result, Ride, Row, Store, StoreError, bikes};

mod kinds;

use kinds::Kind;

/// A fact to be written down.
#[derive(Debug, Clone, PartialEq)]
pub struct NewEntry {
    /// When it was so, by the rider's clock.
    pub at: DateTime,
    /// The fact.
    pub fact: Fact,
    /// The entry that this one corrects.
    pub corrects: Option<i64>,
    /// Anything worth keeping.
    pub note: Option<String>,
}

impl NewEntry {
    /// A fact at a time.
    #[must_use]
    pub const fn new(at: DateTime, fact: Fact) -> Self {
        Self { at, fact, corrects: None, note: None }
    }
}

/// A fact as the history shows it, whether it still stands or not.
#[derive(Debug, Clone, PartialEq)]
pub struct Noted {
    /// The entry.
    pub entry: Entry,
    /// When it was written down.
    pub written: jiff::Timestamp,
    /// Whether its change is undone.
    pub undone: bool,
    /// The standing entry that corrects it.
    pub corrected_by: Option<i64>,
}

impl<E: Engine> Store<E> {
    /// Writes facts of a bike down, in one change.
    ///
    /// # Errors
    /// No such bike, a correction of something else, a time that is none, or the store cannot be written.
    pub fn note(&mut self, bike: &str, entries: &[NewEntry], post: &Post<'_>) -> Result<Done> {
        self.once(post, "record", &format!("{bike}\n{entries:?}"), |to| {
            bikes::must_exist(to.db, bike)?;
            append(to, bike, entries)
        })
    }

    /// The same with what follows for the bike's sheet, in one change: undone as one.
    ///
    /// # Errors
    /// As [`Store::note`], and every fault of the sheet.
    pub fn note_on_sheet(
        &mut self,
        bike: &str,
        entries: &[NewEntry],
        sheet: &[bike::Change],
        post: &Post<'_>,
    ) -> Result<Done> {
        self.once(post, "record", &format!("{bike}\n{entries:?}\n{sheet:?}"), |to| {
            bikes::apply(to, bike, sheet)?;
            append(to, bike, entries)
        })
    }

    /// What is recorded of a bike and stands.
    ///
    /// # Errors
    /// No such bike, or a damaged row.
    pub fn log(&self, bike: &str) -> Result<Log> {
        Ok(log_of(&self.noted(bike)?, &self.rides(bike)?))
    }

    /// Everything that was ever written down of a bike, in the order of its times: undone and corrected too.
    ///
    /// # Errors
    /// No such bike, or a damaged row.
    pub fn noted(&self, bike: &str) -> Result<Vec<Noted>> {
        bikes::must_exist(&self.db, bike)?;
        let heads = self.db.rows(
            "SELECT entry.id, entry.change, entry.kind, entry.at, entry.corrects, entry.note, change.at,
                 live.id IS NULL,
                 (SELECT max(later.id) FROM entry AS later JOIN live ON live.id = later.change
                  WHERE later.corrects = entry.id)
             FROM entry JOIN change ON change.id = entry.change LEFT JOIN live ON live.id = entry.change
             WHERE entry.bike = ?1 ORDER BY entry.at, entry.id",
            &[&bike],
            |row| head(row),
        )?;
        let mut facts = kinds::read(&self.db, heads.iter().map(|head| (head.kind, head.id)))?;
        heads.into_iter().map(|head| head.with(&mut facts)).collect()
    }
}

/// What stands, of what was written down and ridden.
#[must_use]
pub fn log_of(noted: &[Noted], rides: &[Ride]) -> Log {
    let standing = noted.iter().filter(|noted| !noted.undone).map(|noted| noted.entry.clone());
    let rides = rides.iter().map(|ride| record::Ride {
        id: ride.id,
        at: ride.about.over.unwrap_or_else(|| ride.about.day.at(12, 0, 0, 0)),
        name: ride.about.name.clone(),
        hours_h: ride.about.hours_h,
        ground: ride.about.ground.clone(),
        wet: ride.about.wet,
        odd: ride.about.odd.clone(),
    });
    Log::new(standing.collect(), rides.collect())
}

/// Appends facts to a change.
pub(crate) fn append(to: &mut Appender<'_, impl Engine>, bike: &str, entries: &[NewEntry]) -> Result<()> {
    for new in entries {
        check(to.db, bike, new)?;
        let entry = to.put(
            "entry",
            &[
                ("bike", &bike),
                ("kind", &new.fact.kind()),
                ("at", &clock_text(new.at)),
                ("corrects", &new.corrects),
                ("note", &new.note),
            ],
        )?;
        kinds::insert(to, entry, &new.fact)?;
    }
    Ok(())
}

fn check(db: &impl Engine, bike: &str, new: &NewEntry) -> Result<()> {
    let fault = |field, given: String, possible| Err(StoreError::Entry { field, given, possible });
    if !(0..=9999).contains(&new.at.year()) {
        return fault("at", new.at.to_string(), "a time of the years 0 to 9999");
    }
    if let Some(note) = &new.note
        && (!(1..=2000).contains(&note.chars().count()) || note.contains('\0'))
    {
        return fault("note", "empty or too long".to_owned(), "1 to 2000 characters, or nothing");
    }
    let Some(corrects) = new.corrects else { return Ok(()) };
    let found = db.first(
        "SELECT 1 FROM entry JOIN live ON live.id = entry.change
         WHERE entry.id = ?1 AND entry.bike = ?2 AND entry.kind = ?3",
        &[&corrects, &bike, &new.fact.kind()],
        |_| Ok(()),
    )?;
    if found.is_some() {
        return Ok(());
    }
    fault("corrects", corrects.to_string(), "the number of a standing entry of this bike and of the same kind")
}

/// A time of the rider's clock as the store keeps it.
pub(crate) fn clock_text(at: DateTime) -> String {
    at.strftime("%Y-%m-%dT%H:%M:%S").to_string()
}

/// What is known of an entry but its fact, which stands in the table of its kind.
struct Head {
    id: i64,
    change: ChangeId,
    kind: Kind,
    at: DateTime,
    corrects: Option<i64>,
    note: Option<String>,
    written: jiff::Timestamp,
    undone: bool,
    corrected_by: Option<i64>,
}

impl Head {
    fn with(self, facts: &mut kinds::Facts) -> Result<Noted> {
        let Self { id, change, kind, at, corrects, note, written, undone, corrected_by } = self;
        let fact = facts.remove(&(kind, id));
        let fact = fact.ok_or_else(|| StoreError::row("entry", id, "the reading itself is not there"))?;
        Ok(Noted { entry: Entry { id, change, at, corrects, note, fact }, written, undone, corrected_by })
    }
}

fn head(row: &impl Row) -> Result<Head> {
    let id: i64 = row.get(0)?;
    let bad = |why: &str| StoreError::row("entry", id, why);
    let change = row.get(1)?;
    Ok(Head {
        id,
        change,
        kind: Kind::of(row.cell(2)?.as_str().unwrap_or_default()).ok_or_else(|| bad("its kind is not known"))?,
        at: row.get::<String>(3)?.parse().map_err(|_| bad("its time is none"))?,
        corrects: row.get(4)?,
        note: row.get(5)?,
        written: time(&row.get::<String>(6)?, "change", change)?,
        undone: row.get(7)?,
        corrected_by: row.get(8)?,
    })
}
