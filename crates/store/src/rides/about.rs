//! What is known of a ride, and what is possible of it.

use jiff::Timestamp;
use jiff::civil::{Date, DateTime};

use crate::{Fitted, Result, StoreError, mark};

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

    pub(super) fn check(&self) -> Result<()> {
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
