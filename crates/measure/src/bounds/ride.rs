//! Bounds of recorded rides: places, times, speeds, tunings of the smoothers.

use super::Bound;

/// Latitude, north positive.
pub const LATITUDE: Bound = Bound::from_to("latitude", "°", -90.0, 90.0);
/// Longitude, east positive.
pub const LONGITUDE: Bound = Bound::from_to("longitude", "°", -180.0, 180.0);
/// The fastest hop between two points that is believed.
pub const HOP_CAP: Bound = Bound::from_to("fastest hop believed", "m/s", 5.0, 150.0);
/// The longest pause that stays inside one part.
pub const PAUSE: Bound = Bound::from_to("longest pause inside a part", "s", 1.0, 3600.0);
/// Time of a sample, from any zero.
pub const SAMPLE_TIME: Bound = Bound::from_to("time of a sample", "s", -1e12, 1e12);
/// East or north of an origin.
pub const PLANE: Bound = Bound::from_to("place in the plane", "m", -1e6, 1e6);
/// Elevation above the sea.
pub const ELEVATION: Bound = Bound::from_to("elevation", "m", -500.0, 9000.0);
/// Distance along a way.
pub const WAY: Bound = Bound::from_to("distance along the way", "m", 0.0, 1e7);
/// Ground speed.
pub const GROUND_SPEED: Bound = Bound::from_to("speed", "m/s", 0.0, 150.0);
/// Standard deviation of a recorded position.
pub const POSITION_SIGMA: Bound = Bound::from_to("error of a position", "m", 0.1, 50.0);
/// Density of the jerk.
pub const JERK: Bound = Bound::from_to("density of the jerk", "m²/s⁵", 1e-4, 100.0);
/// Standard deviation of a recorded elevation.
pub const ELEVATION_SIGMA: Bound = Bound::from_to("error of an elevation", "m", 0.1, 100.0);
/// How briskly the grade may change.
pub const GRADE_WANDER: Bound = Bound::from_to("wander of the grade", "1/m", 1e-8, 1.0);
/// Step of the grid on which a profile is answered.
pub const PROFILE_STEP: Bound = Bound::from_to("step of the grid", "s", 0.1, 60.0);
/// Engine speed at the limiter.
pub const LIMITER: Bound = Bound::from_to("engine speed at the limiter", "rpm", 500.0, 25_000.0);
/// A recorded or forecast value of a stretch.
pub const STRETCH_VALUE: Bound = Bound::from_to("value of a stretch", "", -1e6, 1e6);
/// How sure an interval shall be.
pub const INTERVAL: Bound = Bound::from_to("interval", "", 0.5, 0.99);
/// The bin that is judged.
pub const MAIN_BIN: Bound = Bound::from_to("main bin", "", 1.0, 64.0);
/// Speed as a logger says it.
pub const LOGGED_SPEED_KMH: Bound = Bound::from_to("speed", "km/h", 0.0, 540.0);
/// Engine speed as a logger says it; 0 is an engine at rest.
pub const LOGGED_RPM: Bound = super::gearing::ENGINE_RPM;
/// Gear as a logger says it; 0 is neutral.
pub const LOGGED_GEAR: Bound = Bound::from_to("gear", "", 0.0, 8.0);
/// Throttle opening.
pub const THROTTLE: Bound = Bound::from_to("throttle opening", "%", 0.0, 100.0);
/// How far a ratio may lie from a gear's and still be that gear.
pub const GEAR_TOLERANCE: Bound = Bound::from_to("tolerance of a ratio", "%", 0.1, 20.0);
