//! Stored rides: brought in, listed, read back; what is known of one is `about`, its track `track`.

mod about;
mod track;

use crate::change::{Appender, time};
use crate::{ChangeId, Done, Engine, Fitted, NewEntry, Post, Result, Row, Store, StoreError, bikes, log, mark};

pub use about::{NewRide, ODD, TrackClass};
use track::{pack, unpack};

/// The number of a ride.
pub type RideId = i64;

/// A stored ride.
#[derive(Debug, Clone, PartialEq)]
pub struct Ride {
    /// Its number.
    pub id: RideId,
    /// The change that brought it; undoing that takes the ride back.
    pub change: ChangeId,
    /// The bike.
    pub bike: String,
    /// Whether a track is kept with it.
    pub has_track: bool,
    /// What is known of it.
    pub about: NewRide,
}

/// What became of a ride that was brought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AddedRide {
    /// It is stored.
    New(RideId),
    /// The same file is there already, or the same form was sent twice; nothing was written.
    AlreadyThere {
        /// The stored ride.
        ride: RideId,
        /// The bike it was stored for.
        bike: String,
    },
}

impl<E: Engine> Store<E> {
    /// Stores a ride, and its track packed, if there is one. A file that is there already is told, not stored twice.
    ///
    /// # Errors
    /// No such bike, a part of the ride that is not possible, or the store cannot be written.
    pub fn add_ride(&mut self, bike: &str, ride: &NewRide, track: Option<&[u8]>, post: &Post<'_>) -> Result<AddedRide> {
        self.log_ride(bike, ride, track, &[], post)
    }

    /// Stores a ride with what was read off the bike afterwards, all in one change.
    ///
    /// # Errors
    /// As [`Store::add_ride`] and [`Store::note`].
    pub fn log_ride(
        &mut self,
        bike: &str,
        ride: &NewRide,
        track: Option<&[u8]>,
        entries: &[NewEntry],
        post: &Post<'_>,
    ) -> Result<AddedRide> {
        ride.check()?;
        let packed = track.map(pack).transpose()?;
        let mut request = format!("{bike}\n{ride:?}\n{}", track.map(mark).unwrap_or_default());
        if !entries.is_empty() {
            request = format!("{request}\n{entries:?}");
        }
        let mut found = None;
        let done = self.once(post, "ride", &request, |to| {
            bikes::must_exist(to.db, bike)?;
            if let Some(source_mark) = &ride.source_mark {
                found = same_file(to.db, source_mark)?;
            }
            match found {
                Some(_) => Ok(()),
                None => {
                    insert(to, bike, ride, packed.as_ref())?;
                    log::append(to, bike, entries)
                }
            }
        })?;
        match found {
            Some((ride, bike)) => Ok(AddedRide::AlreadyThere { ride, bike }),
            None => self.brought(done, ride),
        }
    }

    /// The ride that a change brought.
    fn brought(&self, done: Done, about: &NewRide) -> Result<AddedRide> {
        if let Some(change) = done.change {
            let brought = self.db.first("SELECT id, bike FROM ride WHERE change = ?1", &[&change], |row| {
                Ok((row.get(0)?, row.get(1)?))
            })?;
            let (ride, bike) =
                brought.ok_or_else(|| StoreError::Damaged { what: format!("change {change} brought no ride") })?;
            return Ok(if done.again { AddedRide::AlreadyThere { ride, bike } } else { AddedRide::New(ride) });
        }
        // The first post of this key found its file already there.
        match about.source_mark.as_deref().map(|source_mark| same_file(&self.db, source_mark)).transpose()?.flatten() {
            Some((ride, bike)) => Ok(AddedRide::AlreadyThere { ride, bike }),
            None => Err(StoreError::KeyReused),
        }
    }

    /// The rides of a bike, newest first.
    ///
    /// # Errors
    /// No such bike, or a damaged row.
    pub fn rides(&self, bike: &str) -> Result<Vec<Ride>> {
        bikes::must_exist(&self.db, bike)?;
        let sql = format!("{} WHERE ride.bike = ?1 ORDER BY ride.day DESC, ride.id DESC", select(Live::Only));
        self.db.rows(&sql, &[&bike], |row| read(row))
    }

    /// One ride.
    ///
    /// # Errors
    /// No such ride, or a damaged row.
    pub fn ride(&self, id: RideId) -> Result<Ride> {
        let sql = format!("{} WHERE ride.id = ?1", select(Live::Only));
        self.db.first(&sql, &[&id], |row| read(row))?.ok_or(StoreError::NoSuchRide { id })
    }

    /// The track of a ride, unpacked; `None` if none is kept.
    ///
    /// # Errors
    /// No such ride, or the track is damaged.
    pub fn ride_track(&self, id: RideId) -> Result<Option<Vec<u8>>> {
        self.ride(id)?;
        let packed: Option<(Vec<u8>, i64)> =
            self.db.first("SELECT packed, bytes FROM ride_track WHERE ride = ?1", &[&id], |row| {
                Ok((row.get(0)?, row.get(1)?))
            })?;
        packed.map(|(packed, bytes)| unpack(&packed, bytes, id)).transpose()
    }
}

/// Which rides a question is about.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Live {
    /// Those that stand.
    Only,
    /// Those taken out too.
    OrNot,
}

/// The rides; what follows chooses among them.
pub(crate) fn select(live: Live) -> String {
    let join = if live == Live::Only { "JOIN" } else { "LEFT JOIN" };
    format!(
        "SELECT ride.id, ride.change, ride.bike, ride.name, day, began, hours_h, ground, wet, note, class,
     distance_m, moving_s, stopped_s, points, source_name, source_mark, ride_track.ride IS NOT NULL, odd, over,
     front_teeth, rear_teeth, links
     FROM ride {join} live ON live.id = ride.change LEFT JOIN ride_track ON ride_track.ride = ride.id
     LEFT JOIN ride_fitted ON ride_fitted.ride = ride.id"
    )
}

/// The live ride of a file's mark, and its bike.
fn same_file(db: &impl Engine, source_mark: &str) -> Result<Option<(RideId, String)>> {
    db.first(
        "SELECT ride.id, ride.bike FROM ride JOIN live ON live.id = ride.change WHERE source_mark = ?1",
        &[&source_mark],
        |row| Ok((row.get(0)?, row.get(1)?)),
    )
}

/// Refuses to bring a ride back while its file is stored again.
pub(crate) fn each_file_once(db: &impl Engine) -> Result<()> {
    let twice: Option<String> = db.first(
        "SELECT max(ride.name) FROM ride JOIN live ON live.id = ride.change WHERE source_mark IS NOT NULL
         GROUP BY source_mark HAVING count(*) > 1",
        &[],
        |row| row.get(0),
    )?;
    match twice {
        None => Ok(()),
        Some(name) => Err(StoreError::Ride {
            field: "source_mark",
            given: format!("that of \"{name}\", whose file was stored again meanwhile"),
            possible: "each file once; undo the newer one first",
        }),
    }
}

fn insert(
    to: &mut Appender<'_, impl Engine>,
    bike: &str,
    ride: &NewRide,
    track: Option<&(Vec<u8>, i64)>,
) -> Result<()> {
    let id = to.put(
        "ride",
        &[
            ("bike", &bike),
            ("name", &ride.name),
            ("day", &ride.day.to_string()),
            ("began", &ride.began.map(|began| began.to_string())),
            ("hours_h", &ride.hours_h),
            ("ground", &ride.ground),
            ("wet", &ride.wet),
            ("note", &ride.note),
            ("class", &ride.class.map(TrackClass::word)),
            ("distance_m", &ride.distance_m),
            ("moving_s", &ride.moving_s),
            ("stopped_s", &ride.stopped_s),
            ("points", &ride.points),
            ("source_name", &ride.source_name),
            ("source_mark", &ride.source_mark),
            ("odd", &ride.odd),
            ("over", &ride.over.map(log::clock_text)),
        ],
    )?;
    ride.fitted.map_or(Ok(()), |fitted| fitted.insert(to, id))?;
    if let Some((packed, bytes)) = track {
        to.beside("ride_track", &[("ride", &id), ("bytes", bytes), ("packed", packed)])?;
    }
    Ok(())
}

pub(crate) fn read(row: &impl Row) -> Result<Ride> {
    let id: RideId = row.get(0)?;
    let bad = |why: &str| StoreError::row("ride", id, why);
    let class = match row.get::<Option<String>>(10)? {
        Some(word) => Some(TrackClass::of(&word).ok_or_else(|| bad("its class is no word of it"))?),
        None => None,
    };
    let began = row.get::<Option<String>>(5)?.map(|text| time(&text, "ride", id)).transpose()?;
    let about = NewRide {
        name: row.get(3)?,
        day: row.get::<String>(4)?.parse().map_err(|_| bad("its day is none"))?,
        began,
        hours_h: row.get(6)?,
        ground: row.get(7)?,
        wet: row.get(8)?,
        note: row.get(9)?,
        class,
        distance_m: row.get(11)?,
        moving_s: row.get(12)?,
        stopped_s: row.get(13)?,
        points: row.get(14)?,
        source_name: row.get(15)?,
        source_mark: row.get(16)?,
        odd: row.get(18)?,
        over: row
            .get::<Option<String>>(19)?
            .map(|text| text.parse().map_err(|_| bad("its end is no time")))
            .transpose()?,
        fitted: Fitted::read(row, 20)?,
    };
    about.check().map_err(|why| bad(&why.to_string()))?;
    Ok(Ride { id, change: row.get(1)?, bike: row.get(2)?, has_track: row.get(17)?, about })
}
