//! Bounds of gearing, engine, air and replay figures.
//!
//! Narrower than the chain's own bounds where a number outside is a typing slip and not a gearing.

use super::Bound;

/// Teeth of the front sprocket of an off-road motorcycle.
pub const FRONT: Bound = Bound::from_to("front sprocket teeth", "", 8.0, 25.0);
/// Teeth of the rear sprocket of an off-road motorcycle.
pub const REAR: Bound = Bound::from_to("rear sprocket teeth", "", 20.0, 80.0);
/// Links of a motorcycle's final drive chain.
pub const DRIVE_LINKS: Bound = Bound::from_to("links of the drive chain", "", 40.0, 250.0);
/// Ratio of the primary drive, driven over driver.
pub const PRIMARY: Bound = Bound::from_to("primary ratio, driven over driver", "", 0.5, 10.0);
/// Ratio of one gear, driven over driver.
pub const GEAR: Bound = Bound::from_to("gear ratio, driven over driver", "", 0.2, 8.0);
/// Teeth of a wheel inside the engine.
pub const MESH_TEETH: Bound = Bound::from_to("teeth of a gear wheel", "", 5.0, 120.0);
/// The most gears of a box; whoever needs the count as one takes it from here.
pub const MOST_GEARS: usize = 8;
/// How many gears a box has, up to [`MOST_GEARS`].
pub const GEARS: Bound = Bound::from_to("number of gears", "", 1.0, 8.0);
/// Engine speed, standing still included.
pub const ENGINE_RPM: Bound = Bound::from_to("engine speed", "rpm", 0.0, 25_000.0);
/// Torque or power of a point of the engine's curve.
pub const CURVE_VALUE: Bound = Bound::from_to("torque (Nm) or power (kW) of a point", "", 0.0, 500.0);
/// How many points an engine curve needs at least.
pub const CURVE_POINTS: usize = 3;
/// Part of the wheel's turning that is lost in the ground.
pub const SLIP: Bound = Bound::from_to("wheel slip", "", 0.0, 0.5);
/// Factor on the engine's torque for the air of the day.
pub const POWER_FACTOR: Bound = Bound::from_to("power factor", "", 0.3, 1.3);
/// Rise over run of the ground.
pub const GRADE: Bound = Bound::from_to("grade, rise over run", "", -0.7, 0.7);
/// Coefficient of rolling resistance.
pub const CRR: Bound = Bound::from_to("rolling resistance", "", 0.0, 0.5);
/// Coefficient of grip.
pub const MU: Bound = Bound::from_to("grip", "", 0.05, 1.5);
/// Density of air.
pub const DENSITY: Bound = Bound::from_to("air density", "kg/m³", 0.3, 1.6);
/// Ground speed of a moving wheel: below, no gear is asked for.
pub const MOVING_MPS: Bound = Bound::from_to("speed while moving", "m/s", 0.5, 150.0);
/// Ground speed as a rider says it.
pub const SPEED_KMH: Bound = Bound::from_to("speed", "km/h", 0.0, 400.0);
/// The upper end of a speed range.
pub const TOP_KMH: Bound = Bound::from_to("highest speed", "km/h", 1.0, 400.0);
/// Acceleration along the track.
pub const ACCEL: Bound = Bound::from_to("acceleration", "m/s²", -15.0, 15.0);
/// Wheel thrust asked for; negative under braking.
pub const THRUST: Bound = Bound::from_to("wheel thrust", "N", -10_000.0, 10_000.0);
/// How far apart two ratios may be and still be called near.
pub const LIMIT_PCT: Bound = Bound::from_to("limit", "%", 0.0, 20.0);
/// Weight of a gear in a comparison.
pub const WEIGHT: Bound = Bound::from_to("weight of a gear", "", 0.0, 1000.0);
/// Bike ready to ride, with rider.
pub const MASS: Bound = Bound::from_to("mass ready to ride, with rider", "kg", 50.0, 500.0);
/// Moment of inertia of a wheel.
pub const WHEEL_INERTIA: Bound = Bound::from_to("moment of inertia of a wheel", "kg·m²", 0.0, 5.0);
/// Moment of inertia of the engine, at the crankshaft.
pub const ENGINE_INERTIA: Bound = Bound::from_to("moment of inertia of the engine", "kg·m²", 0.0, 0.1);
/// Drag area: drag coefficient times frontal area.
pub const CDA: Bound = Bound::from_to("drag area", "m²", 0.05, 2.0);
/// Share of the engine's work that reaches the wheel.
pub const ETA: Bound = Bound::from_to("efficiency of the drive", "", 0.5, 1.0);
/// Distance of the axles.
pub const WHEELBASE: Bound = Bound::from_to("wheelbase", "m", 0.8, 2.5);
/// Centre of gravity, behind the front axle or above the ground.
pub const CG: Bound = Bound::from_to("place of the centre of gravity", "m", 0.2, 2.0);
/// Height at which the air pushes.
pub const AERO_HEIGHT: Bound = Bound::from_to("height of the drag force", "m", 0.0, 2.0);
/// Height above the sea.
pub const ALTITUDE: Bound = Bound::from_to("height above the sea", "m", -2000.0, 11_000.0);
/// Pressure of the air at the place, not reduced to the sea.
pub const PRESSURE: Bound = Bound::from_to("air pressure at the place", "kPa", 20.0, 115.0);
/// Temperature of the air.
pub const AIR_TEMPERATURE: Bound = Bound::from_to("air temperature", "°C", -60.0, 60.0);
/// Relative humidity.
pub const HUMIDITY: Bound = Bound::from_to("relative humidity", "%", 0.0, 100.0);
/// Time between two samples of a replay.
pub const STEP: Bound = Bound::from_to("time step", "s", 0.1, 10.0);
/// Minutes of bench work.
pub const BENCH_MIN: Bound = Bound::from_to("minutes of work", "min", 0.0, 600.0);
/// How many chains a season may use.
pub const CHAINS: Bound = Bound::from_to("chains used", "", 1.0, 3.0);
/// Runs of a sensitivity study that stay within the band of the best.
pub const RUNS: Bound = Bound::from_to("runs within the band", "", 0.0, 8.0);
/// Time under way.
pub const MOVING_TIME: Bound = Bound::from_to("moving time", "s", 0.0, 1e9);
/// Time between two points of a recording.
pub const INTERVAL: Bound = Bound::from_to("time between points", "s", 0.0, 1e6);
/// How often a ride counts.
pub const RIDE_WEIGHT: Bound = Bound::from_to("weight of a ride", "", 0.0, 1000.0);
/// How long ago a ride was.
pub const RIDE_AGE: Bound = Bound::from_to("age of a ride", "d", 0.0, 36_500.0);
/// The age at which a ride counts half.
pub const HALF_LIFE: Bound = Bound::from_to("age at which a ride counts half", "d", 1.0, 36_500.0);
/// Time under way on a ride that has any.
pub const RIDE_TIME: Bound = Bound::from_to("moving time of a ride", "s", 0.1, 1e9);
/// Distance under way on a ride that has any.
pub const RIDE_KM: Bound = Bound::from_to("distance of a ride", "km", 1e-5, 1e6);
/// A share of time or thrust; a little over 100 is rounding.
pub const SHARE_PCT: Bound = Bound::from_to("share", "%", 0.0, 100.000_001);
/// Thrust asked for on average.
pub const ASKED_N: Bound = Bound::from_to("thrust asked for", "N", 0.0, 100_000.0);
/// A cost, a count a kilometre, or a speed in a replay.
pub const AMOUNT: Bound = Bound::from_to("amount in a replay", "", 0.0, 1e12);
/// Speed at the limiter over the fastest of a ride.
pub const HEADROOM_PCT: Bound = Bound::from_to("headroom", "%", -100.0, 1e9);
/// A count that lies on the shelf: teeth of a sprocket, links of a chain.
pub const SHELF: Bound = Bound::from_to("teeth of a sprocket or links of a chain", "", 8.0, 250.0);
/// A weight of the gear choice.
pub const COST_WEIGHT: Bound = Bound::from_to("weight of the gear choice", "", 0.0, 10_000.0);
/// Missing thrust is weighed against at least this demand.
pub const LEAST_DEMAND: Bound = Bound::from_to("demand that missing thrust is weighed against", "N", 1.0, 10_000.0);
