//! Rides: what a list shows, and the track packed beside it.

use std::io::{Read as _, Write as _};

use flate2::Compression;
use flate2::read::ZlibDecoder;
use flate2::write::ZlibEncoder;
use jiff::Timestamp;
use jiff::civil::{Date, DateTime};

use crate::change::{Appender, time};
use crate::{ChangeId, Done, Engine, Fitted, NewEntry, Post, Result, Row, Store, StoreError, bikes, log, mark};

/// The number of a ride.
pub type RideId = i64;

/// What a ride's file says about time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TrackClass {
    /// Every point has its time.
    Timed,
    /// Some points have none.
    PartlyTimed,
    /// A line on the map.
    GeometryOnly,
}

impl TrackClass {
    const ALL: [Self; 3] = [Self::Timed, Self::PartlyTimed, Self::GeometryOnly];

    /// The word, as the figure `ride.track` answers it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Timed => "timed",
            Self::PartlyTimed => "partly timed",
            Self::GeometryOnly => "geometry only",
        }
    }

    /// The class of a word; `None` for a word that is none.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|class| class.word() == word)
    }
}

/// What can seem odd on a ride.
pub const ODD: [&str; 5] = ["slap", "clunk", "skip", "leak", "other"];

/// What is known of a ride; everything but its name and day may be unknown.
#[derive(Debug, Clone, PartialEq)]
pub struct NewRide {
    /// What the rider calls it.
    pub name: String,
    /// The day on which it began, as the rider counts it.
    pub day: Date,
    /// The time at which it began.
    pub began: Option<Timestamp>,
    /// Hours that count towards service, by meter or by the rider.
    pub hours_h: Option<f64>,
    /// The ground, in the rider's word.
    pub ground: Option<String>,
    /// Whether it was wet.
    pub wet: Option<bool>,
    /// Anything worth keeping.
    pub note: Option<String>,
    /// What seemed odd, a word of [`ODD`].
    pub odd: Option<String>,
    /// When it was over by the rider's clock; noon of its day where nobody said.
    pub over: Option<DateTime>,
    /// What the track says about time.
    pub class: Option<TrackClass>,
    /// Distance of the track.
    pub distance_m: Option<f64>,
    /// Time in motion.
    pub moving_s: Option<f64>,
    /// Time at rest.
    pub stopped_s: Option<f64>,
    /// Points of the track.
    pub points: Option<u32>,
    /// Name of the file it came from.
    pub source_name: Option<String>,
    /// Mark of that file's bytes ([`mark`]).
    pub source_mark: Option<String>,
    /// What was fitted on it.
    pub fitted: Option<Fitted>,
}

impl NewRide {
    /// A ride of which only name and day are known.
    #[must_use]
    pub fn new(name: impl Into<String>, day: Date) -> Self {
        Self {
            name: name.into(),
            day,
            began: None,
            hours_h: None,
            ground: None,
            wet: None,
            note: None,
            odd: None,
            over: None,
            class: None,
            distance_m: None,
            moving_s: None,
            stopped_s: None,
            points: None,
            source_name: None,
            source_mark: None,
            fitted: None,
        }
    }

    /// The same ride with the file that it came from.
    #[must_use]
    pub fn from_file(self, name: impl Into<String>, bytes: &[u8]) -> Self {
        Self { source_name: Some(name.into()), source_mark: Some(mark(bytes)), ..self }
    }

    fn check(&self) -> Result<()> {
        self.fitted.map_or(Ok(()), Fitted::check)?;
        let fault =
            |field, given: &dyn ToString, possible| Err(StoreError::Ride { field, given: given.to_string(), possible });
        let texts = [
            ("name", Some(&self.name), 200, "1 to 200 characters"),
            ("ground", self.ground.as_ref(), 200, "1 to 200 characters, or nothing"),
            ("note", self.note.as_ref(), 2000, "1 to 2000 characters, or nothing"),
            ("source_name", self.source_name.as_ref(), 300, "1 to 300 characters, or nothing"),
            ("source_mark", self.source_mark.as_ref(), 100, "1 to 100 characters, or nothing"),
        ];
        for (field, text, limit, possible) in texts {
            // SQLite counts a text's length up to its first NUL, so that one is refused here.
            if let Some(text) = text
                && (!(1..=limit).contains(&text.chars().count()) || text.contains('\0'))
            {
                return fault(field, &format_args!("\"{}\"", text.chars().take(60).collect::<String>()), possible);
            }
        }
        let numbers = [
            ("hours_h", self.hours_h, 100.0, "0 to 100 h"),
            ("distance_m", self.distance_m, 1e7, "0 to 10 000 000 m"),
            ("moving_s", self.moving_s, 1e7, "0 to 10 000 000 s"),
            ("stopped_s", self.stopped_s, 1e7, "0 to 10 000 000 s"),
        ];
        for (field, number, most, possible) in numbers {
            if let Some(number) = number
                && !(0.0..=most).contains(&number)
            {
                return fault(field, &number, possible);
            }
        }
        if let Some(odd) = self.odd.as_deref()
            && !ODD.contains(&odd)
        {
            return fault("odd", &format_args!("\"{odd}\""), "slap, clunk, skip, leak, other, or nothing");
        }
        if let Some(over) = self.over
            && over.date() < self.day
        {
            return fault("over", &over, "a time of the ride's day or later");
        }
        if !(0..=9999).contains(&self.day.year()) {
            return fault("day", &self.day, "a date of the years 0 to 9999");
        }
        Ok(())
    }
}

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

/// The track packed, with its length before packing.
fn pack(track: &[u8]) -> Result<(Vec<u8>, i64)> {
    let too_large = |_| StoreError::Ride { field: "track", given: "too large".to_owned(), possible: "up to 512 MiB" };
    if track.len() > LONGEST_TRACK {
        return Err(too_large(()));
    }
    let mut encoder = ZlibEncoder::new(Vec::with_capacity(track.len() / 4), Compression::default());
    let packed = encoder.write_all(track).and_then(|()| encoder.finish()).map_err(|_| too_large(()))?;
    Ok((packed, i64::try_from(track.len()).map_err(|_| too_large(()))?))
}

/// The longest track kept.
const LONGEST_TRACK: usize = 512 << 20;

fn unpack(packed: &[u8], bytes: i64, id: RideId) -> Result<Vec<u8>> {
    let bad = || StoreError::row("ride_track", id, "its track does not unpack to what was stored");
    let bytes = usize::try_from(bytes).ok().filter(|bytes| *bytes <= LONGEST_TRACK).ok_or_else(bad)?;
    let mut track = Vec::with_capacity(bytes);
    // One byte more than stored is enough to see that it is wrong, however large it would unpack.
    ZlibDecoder::new(packed).take(bytes as u64 + 1).read_to_end(&mut track).map_err(|_| bad())?;
    if track.len() == bytes { Ok(track) } else { Err(bad()) }
}
