//! What lies on the shelf: facts in, facts out. What they add up to is `upkeep::supply`.

use jiff::civil::DateTime;
use upkeep::supply::{Event, Supply};

use crate::change::Appender;
use crate::log::clock_text;
use crate::{Done, Engine, Post, Result, Row, Store, StoreError, bikes};

const SELECT: &str =
    "SELECT supply.id, supply.change, supply.at, role, event, qty, low_minor, high_minor, currency, lead_d,
     use_by, low_pct, high_pct FROM supply";

/// A fact of the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Its change, by which it is undone.
    pub change: i64,
    /// When it was so, by the rider's clock.
    pub at: DateTime,
    /// The fact.
    pub supply: Supply,
}

impl<E: Engine> Store<E> {
    /// Writes facts of a bike's shelf down, in one change.
    ///
    /// # Errors
    /// No such bike, or the store cannot be written.
    pub fn supply(&mut self, bike: &str, at: DateTime, facts: &[Supply], post: &Post<'_>) -> Result<Done> {
        self.once(post, "record", &format!("{bike}\n{facts:?}"), |to| {
            bikes::must_exist(to.db, bike)?;
            append(to, bike, at, facts)
        })
    }

    /// The standing facts of a bike's shelf, in the order of their times.
    ///
    /// # Errors
    /// No such bike, or a damaged row.
    pub fn supplies(&self, bike: &str) -> Result<Vec<Kept>> {
        bikes::must_exist(&self.db, bike)?;
        self.kept(
            &format!("{SELECT} JOIN live ON live.id = supply.change WHERE bike = ?1 ORDER BY supply.at, supply.id"),
            bike,
        )
    }

    /// Every fact of a bike's shelf, those taken back too, in the order in which they were written.
    pub(crate) fn every_supply(&self, bike: &str) -> Result<Vec<Kept>> {
        self.kept(&format!("{SELECT} WHERE bike = ?1 ORDER BY supply.id"), bike)
    }

    fn kept(&self, sql: &str, bike: &str) -> Result<Vec<Kept>> {
        self.db.rows(sql, &[&bike], |row| read(row))
    }
}

/// Writes facts of a bike's shelf down within a change.
pub(crate) fn append(to: &mut Appender<'_, impl Engine>, bike: &str, at: DateTime, facts: &[Supply]) -> Result<()> {
    for fact in facts {
        let event = fact.event();
        let price = if let Event::Price(low, high, currency) = event { Some((low, high, currency)) } else { None };
        let chance = if let Event::Chance(low, high) = event { Some((low, high)) } else { None };
        let lead = if let Event::Lead(days) = event { Some(days) } else { None };
        let use_by = if let Event::UseBy(day) = event { Some(day.to_string()) } else { None };
        to.put(
            "supply",
            &[
                ("bike", &bike),
                ("at", &clock_text(at)),
                ("role", &fact.role()),
                ("event", &word(event)),
                ("qty", &count(event)),
                ("low_minor", &price.map(|price| price.0)),
                ("high_minor", &price.map(|price| price.1)),
                ("currency", &price.map(|price| price.2)),
                ("lead_d", &lead),
                ("use_by", &use_by),
                ("low_pct", &chance.map(|chance| chance.0)),
                ("high_pct", &chance.map(|chance| chance.1)),
            ],
        )?;
    }
    Ok(())
}

const fn word(event: &Event) -> &'static str {
    match event {
        Event::Put(_) => "put",
        Event::Taken(_) => "taken",
        Event::Counted(_) => "counted",
        Event::Ordered(_) => "ordered",
        Event::Received(_) => "received",
        Event::Price(..) => "price",
        Event::Lead(_) => "lead",
        Event::UseBy(_) => "use-by",
        Event::Chance(..) => "chance",
    }
}

const fn count(event: &Event) -> Option<u32> {
    match event {
        Event::Put(count)
        | Event::Taken(count)
        | Event::Counted(count)
        | Event::Ordered(count)
        | Event::Received(count) => Some(*count),
        _ => None,
    }
}

fn read(row: &impl Row) -> Result<Kept> {
    let id: i64 = row.get(0)?;
    let bad = |what: &str| StoreError::row("supply", id, what);
    let at = row.get::<String>(2)?.parse().map_err(|_| bad("its time is none"))?;
    let qty = row.get::<Option<u32>>(5)?.unwrap_or_default();
    let event = match row.get::<String>(4)?.as_str() {
        "put" => Event::Put(qty),
        "taken" => Event::Taken(qty),
        "counted" => Event::Counted(qty),
        "ordered" => Event::Ordered(qty),
        "received" => Event::Received(qty),
        "price" => Event::Price(row.get(6)?, row.get(7)?, row.get(8)?),
        "lead" => Event::Lead(row.get(9)?),
        "use-by" => Event::UseBy(row.get::<String>(10)?.parse().map_err(|_| bad("its day is none"))?),
        "chance" => Event::Chance(row.get(11)?, row.get(12)?),
        _ => return Err(bad("its event is not known")),
    };
    let supply = Supply::new(&row.get::<String>(3)?, event).map_err(|fault| bad(&fault.to_string()))?;
    Ok(Kept { change: row.get(1)?, at, supply })
}
