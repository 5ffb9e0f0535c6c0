//! From a track's text to what is kept and asked of it: smoothed, on a grid of one second, without places.

use advice::demand::Ride;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use ride::profile::{self, Blob, Keep, Profile, Tuning};
use ride::track::{self, Class, Limits};
use store::{NewRide, TrackClass};

/// Seconds between two kept samples.
const STEP_S: f64 = 1.0;

/// A track that was read and smoothed.
pub(crate) struct Recorded {
    profile: Profile,
    grid: Profile,
    points: usize,
    notes: Vec<String>,
}

impl Recorded {
    /// Reads a GPX document.
    ///
    /// # Errors
    /// A sentence: what is wrong with the document, or that it says nothing about speed.
    pub(crate) fn read(text: &str) -> Result<Self, String> {
        let track = track::read(text, &Limits::USUAL).map_err(|fault| fault.to_string())?;
        let profile = profile::smooth(&track, &Tuning::USUAL);
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
        Ok(Self { points: track.points(), profile, grid, notes })
    }

    /// What is worth knowing about the reading.
    pub(crate) fn notes(&self) -> &[String] {
        &self.notes
    }

    /// The ride as the answers need it.
    pub(crate) fn ride(&self, name: &str, made: bool) -> Ride {
        Ride {
            name: name.to_owned(),
            speed_mps: self.grid.parts.iter().flat_map(|part| part.speed_mps.iter().copied()).collect(),
            moving_s: self.profile.moving_and_stopped_s().0,
            distance_m: self.profile.distance().m(),
            made,
        }
    }

    /// The ride as it is kept: its summary, and the blob of motion without places.
    pub(crate) fn kept(&self, name: &str, now: Timestamp) -> (NewRide, Vec<u8>) {
        let began = self.profile.start.and_then(|start| Timestamp::from_second(start.unix()).ok());
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
        (ride, Blob::of(&self.grid, STEP_S, Keep::Motion).encode())
    }
}

/// A kept ride as the answers need it.
///
/// # Errors
/// A sentence, if the blob is damaged.
pub(crate) fn kept_ride(about: &NewRide, blob: &[u8]) -> Result<Ride, String> {
    let blob = Blob::decode(blob).map_err(|fault| fault.to_string())?;
    Ok(Ride {
        name: about.name.clone(),
        speed_mps: blob.legs.iter().flat_map(|leg| leg.speed_mps.iter().map(|speed| f64::from(*speed))).collect(),
        moving_s: about.moving_s.unwrap_or_default(),
        distance_m: about.distance_m.unwrap_or_default(),
        made: about.name.contains("(made)"),
    })
}
