//! From a track's text to what is kept and asked of it: smoothed, on a grid of one second, without places.

use advice::Setup;
use advice::demand::Ride;
use advice::logged::Log;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use ride::profile::{self, Blob, Keep, Leg, Profile, Tuning};
use ride::track::{self, Class, Limits};
use store::{Fitted, NewRide, TrackClass};

/// Seconds between two kept samples.
const STEP_S: f64 = 1.0;

/// A track that was read and smoothed.
pub(crate) struct Recorded {
    profile: Profile,
    grid: Profile,
    points: usize,
    notes: Vec<String>,
    /// Whether its times are dates.
    dated: bool,
    /// Engine and ground speed of the samples that have both.
    log: Log,
}

impl Recorded {
    /// Reads a GPX document.
    ///
    /// # Errors
    /// A sentence: what is wrong with the document, or that it says nothing about speed.
    pub(crate) fn read(text: &str) -> Result<Self, String> {
        let track = track::read(text, &Limits::USUAL).map_err(|fault| fault.to_string())?;
        Self::of(&track)
    }

    /// Reads a recording by the ending of its file: a logger's table, or a GPX document.
    ///
    /// # Errors
    /// As [`Recorded::read`] and [`Recorded::read_table`].
    pub(crate) fn of_file(name: &str, text: &str) -> Result<Self, String> {
        let table = name.rsplit_once('.').is_some_and(|(_, ending)| ending.eq_ignore_ascii_case("csv"));
        if table { Self::read_table(text) } else { Self::read(text) }
    }

    /// Reads a logger's table with places.
    ///
    /// # Errors
    /// A sentence: line and column that do not fit, or that it has no places.
    pub(crate) fn read_table(text: &str) -> Result<Self, String> {
        let log = track::read_log(text, &Limits::USUAL).map_err(|fault| fault.to_string())?;
        let track = log.track().ok_or(
            "the table has no places (lat, lon), so its speeds cannot be smoothed with the rest. Export it with places",
        )?;
        let mut recorded = Self::of(&track)?;
        if !log.left_out.is_empty() {
            recorded.notes.push(format!("Columns that are not read here: {}.", log.left_out.join(", ")));
        }
        recorded.dated = log.dated;
        for sample in &log.samples {
            if let (Some(rpm), Some(speed)) = (sample.rpm, sample.speed) {
                recorded.log.rpm.push(rpm);
                recorded.log.speed_mps.push(speed.mps());
            }
        }
        Ok(recorded)
    }

    /// Smooths a track and lays it on the grid.
    fn of(track: &track::Track) -> Result<Self, String> {
        let profile = profile::smooth(track, &Tuning::USUAL);
        let grid = profile.on_grid(STEP_S).ok_or("the track spans too long a time to be laid on a grid of seconds")?;
        let mut notes = Vec::new();
        if let Some(cut) = &track.cut {
            notes.push(format!("The file breaks off at line {}: {}. What stands before was read.", cut.line, cut.why));
        }
        if track.points_dropped > 0 {
            notes.push(format!("{} points without a valid position were left out.", track.points_dropped));
        }
        if profile.class == Class::GeometryOnly {
            return Err(
                "the track has no usable times, so it says nothing about speed. Export it with times".to_owned()
            );
        }
        if !profile.grade_known() {
            notes.push("Elevation is not known all along; grades are not used.".to_owned());
        }
        Ok(Self { points: track.points(), profile, grid, notes, dated: true, log: Log::default() })
    }

    /// What is worth knowing about the reading.
    pub(crate) fn notes(&self) -> &[String] {
        &self.notes
    }

    /// What a logger recorded of engine and ground speed; empty for a plain track.
    pub(crate) const fn log(&self) -> &Log {
        &self.log
    }

    /// The ride as the answers need it.
    pub(crate) fn ride(&self, name: &str, made: bool) -> Ride {
        Ride {
            name: name.to_owned(),
            t_s: flat(&self.grid, |part| part.t_s.clone()),
            speed_mps: flat(&self.grid, |part| part.speed_mps.clone()),
            accel_mps2: flat(&self.grid, |part| part.accel_mps2.clone()),
            grade: flat(&self.grid, |part| {
                part.height.as_ref().map_or_else(|| vec![0.0; part.t_s.len()], |height| height.grade.clone())
            }),
            grade_known: self.profile.grade_known(),
            interval_s: interval(self.profile.moving_and_stopped_s(), self.points),
            moving_s: self.profile.moving_and_stopped_s().0,
            distance_m: self.profile.distance().m(),
            made,
            fitted: None,
            day: String::new(),
            ground: String::new(),
            note: String::new(),
        }
    }

    /// The ride as it is kept: its summary, and the blob of motion, with places only where that was asked for.
    pub(crate) fn kept(&self, name: &str, now: Timestamp, keep: Keep) -> (NewRide, Vec<u8>) {
        let began =
            self.profile.start.filter(|_| self.dated).and_then(|start| Timestamp::from_second(start.unix()).ok());
        let day = began.unwrap_or(now).to_zoned_datetime(TimeZone::system()).date();
        let (moving_s, stopped_s) = self.profile.moving_and_stopped_s();
        let ride = NewRide {
            began,
            class: Some(match self.profile.class {
                Class::Timed => TrackClass::Timed,
                Class::PartlyTimed => TrackClass::PartlyTimed,
                Class::GeometryOnly => TrackClass::GeometryOnly,
            }),
            distance_m: Some(self.profile.distance().m()),
            moving_s: Some(moving_s),
            stopped_s: Some(stopped_s),
            points: u32::try_from(self.points).ok(),
            ..NewRide::new(name, day)
        };
        (ride, Blob::of(&self.grid, STEP_S, keep).encode())
    }
}

/// What was fitted on a ride, as the answers take it.
pub(crate) const fn setup_of(fitted: Fitted) -> Setup {
    let Fitted { front_teeth, rear_teeth, links } = fitted;
    Setup { front_teeth, rear_teeth, links }
}

fn flat(profile: &Profile, list: impl Fn(&profile::Part) -> Vec<f64>) -> Vec<f64> {
    profile.parts.iter().flat_map(list).collect()
}

/// The usual time between two recorded points.
fn interval((moving_s, stopped_s): (f64, f64), points: usize) -> f64 {
    let points = u32::try_from(points.max(1)).map_or(f64::MAX, f64::from);
    (moving_s + stopped_s) / points
}

/// A kept ride as the answers need it.
///
/// # Errors
/// A sentence, if the blob is damaged.
pub(crate) fn kept_ride(about: &NewRide, blob: &[u8]) -> Result<Ride, String> {
    let blob = Blob::decode(blob).map_err(|fault| fault.to_string())?;
    let wide = |list: &[f32]| list.iter().map(|number| f64::from(*number)).collect::<Vec<_>>();
    let times = |leg: &Leg| {
        (0_u32..).take(leg.speed_mps.len()).map(|n| leg.begin_s + blob.step_s * f64::from(n)).collect::<Vec<_>>()
    };
    let grades =
        |leg: &Leg| leg.height.as_ref().map_or_else(|| vec![0.0; leg.speed_mps.len()], |height| wide(&height.grade));
    let usual = (about.moving_s.unwrap_or_default(), about.stopped_s.unwrap_or_default());
    Ok(Ride {
        name: about.name.clone(),
        t_s: blob.legs.iter().flat_map(times).collect(),
        speed_mps: blob.legs.iter().flat_map(|leg| wide(&leg.speed_mps)).collect(),
        accel_mps2: blob.legs.iter().flat_map(|leg| wide(&leg.accel_mps2)).collect(),
        grade: blob.legs.iter().flat_map(grades).collect(),
        grade_known: blob.legs.iter().all(|leg| leg.height.is_some()),
        interval_s: interval(usual, about.points.unwrap_or(1) as usize),
        moving_s: about.moving_s.unwrap_or_default(),
        distance_m: about.distance_m.unwrap_or_default(),
        made: about.name.contains("(made)"),
        fitted: about.fitted.map(setup_of),
        day: about.day.to_string(),
        ground: about.ground.clone().unwrap_or_default(),
        note: about.note.clone().unwrap_or_default(),
    })
}
