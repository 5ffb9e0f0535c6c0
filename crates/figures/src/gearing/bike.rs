//! The bike as figures take it: ratios, wheel, engine and masses, checked as a whole whatever of it is used.

use drive::engine::{Curve, CurveFault};
use drive::gearing::{Gearbox, GearboxFault, Pair, Ratio};
use measure::Bound;
use measure::bounds::{ROLLOUT, gearing as bounds};
use serde_json::Value;

use super::counts;
use crate::field::Need;
use crate::{Field, Given, Refusal};

/// Ratio of the primary drive.
pub(crate) const PRIMARY: Field =
    Field::any("primary").meaning("driven over driver, 0.5 to 10, or [driver, driven] teeth 5 to 120, then exact");
/// Ratios of the gears.
pub(crate) const GEARS: Field = Field::nested("gears").meaning(
    "1 to 8, from first to top, strictly falling; each driven over driver, 0.2 to 8, or [driver, driven] teeth",
);
/// Rollout of the loaded rear wheel.
pub(crate) const ROLLOUT_M: Field =
    Field::number("rollout_m", &ROLLOUT).meaning("metres per turn of the loaded rear wheel");
/// The fitted front sprocket.
pub(crate) const FRONT_TEETH: Field = Field::whole("front_teeth", &bounds::FRONT);
/// The fitted rear sprocket.
pub(crate) const REAR_TEETH: Field = Field::whole("rear_teeth", &bounds::REAR);
/// Wheel slip.
pub(crate) const SLIP: Field = Field::number("slip", &bounds::SLIP).optional("0");
/// Factor on torque.
pub(crate) const POWER_FACTOR: Field =
    Field::number("power_factor", &bounds::POWER_FACTOR).optional("1").meaning("air.power answers it");
/// Density of air.
pub(crate) const DENSITY: Field =
    Field::number("density_kgm3", &bounds::DENSITY).optional("1.2").meaning("air.density answers it");
/// Default of [`DENSITY`].
pub(crate) const DENSITY_DEFAULT: f64 = 1.2;

const fn rpm(name: &'static str) -> Field {
    Field::number(name, &bounds::ENGINE_RPM).optional("none")
}

const fn real(name: &'static str, bound: &'static Bound) -> Field {
    Field::number(name, bound).optional("none")
}

/// How many members a bike has.
const MEMBERS: usize = 22;

/// Every member of a bike; primary, gears and rollout always needed.
const BIKE: [Field; MEMBERS] = [
    PRIMARY,
    GEARS,
    ROLLOUT_M,
    Field::nested("curve").optional("thrust is off").meaning("at least 3 points [rpm, Nm], rpm rising"),
    rpm("idle_rpm"),
    rpm("slip_rpm").meaning("clutch fully out from here"),
    rpm("lo_rpm").meaning("comfort band from"),
    rpm("hi_rpm").meaning("comfort band to"),
    rpm("max_rpm").meaning("limiter"),
    rpm("hard_rpm").meaning("never beyond"),
    real("mass_kg", &bounds::MASS),
    real("j_front_kgm2", &bounds::WHEEL_INERTIA),
    real("j_rear_kgm2", &bounds::WHEEL_INERTIA),
    real("j_engine_kgm2", &bounds::ENGINE_INERTIA),
    real("cda_m2", &bounds::CDA),
    real("eta", &bounds::ETA),
    real("wheelbase_m", &bounds::WHEELBASE),
    real("cg_from_front_m", &bounds::CG),
    real("cg_height_m", &bounds::CG),
    real("aero_height_m", &bounds::AERO_HEIGHT),
    FRONT_TEETH.optional("none"),
    REAR_TEETH.optional("none"),
];

/// Engine speeds that rise in this order.
const RISING: [&str; 6] = ["idle_rpm", "slip_rpm", "lo_rpm", "hi_rpm", "max_rpm", "hard_rpm"];

/// The members of a bike with those that a figure needs made required. A name that is no member does not compile.
pub(crate) const fn needing(names: &[&str]) -> [Field; MEMBERS] {
    let mut members = BIKE;
    let mut n = 0;
    while n < names.len() {
        let mut at = 0;
        while !same(members[at].name, names[n]) {
            at += 1;
        }
        members[at] = Field { need: Need::Required, ..members[at] };
        n += 1;
    }
    members
}

const fn same(a: &str, b: &str) -> bool {
    let (a, b) = (a.as_bytes(), b.as_bytes());
    let mut at = 0;
    while at < a.len() && at < b.len() && a[at] == b[at] {
        at += 1;
    }
    at == a.len() && at == b.len()
}

/// A ratio given as a number or as `[driver, driven]` teeth.
pub(crate) fn ratio(name: &str, value: &Value, bound: &Bound) -> Result<Ratio, Refusal> {
    let wanted = "a ratio, driven over driver, or [driver, driven] teeth";
    let unfit = || counts::unfit(name, value, wanted);
    let ratio = match value {
        Value::Number(number) => {
            let real = number.as_f64().ok_or_else(unfit)?;
            if !bound.holds(real) {
                return Err(counts::outside(name, real, bound));
            }
            Ratio::of_decimal(real)
        }
        Value::Array(teeth) => {
            let [driver, driven] = teeth.as_slice() else { return Err(unfit()) };
            let teeth = |value: &Value| counts::count(name, value, &bounds::MESH_TEETH).map(u64::from);
            Ratio::of_teeth(teeth(driver)?, teeth(driven)?)
        }
        _ => None,
    }
    .ok_or_else(unfit)?;
    if bound.holds(ratio.value()) { Ok(ratio) } else { Err(counts::outside(name, ratio.value(), bound)) }
}

/// Primary drive and gears of an object that has them as members.
pub(crate) fn gearbox(given: &Given<'_>) -> Result<Gearbox, Refusal> {
    let raw = |name: &str| given.raw(name).ok_or_else(|| Refusal::missing(&given.name(name)));
    let primary = ratio(&given.name("primary"), raw("primary")?, &bounds::PRIMARY)?;
    let name = given.name("gears");
    let list = counts::items(&name, raw("gears")?, "a list of ratios")?;
    #[expect(clippy::cast_precision_loss, reason = "a count in a sentence")]
    let number = list.len() as f64;
    if !bounds::GEARS.holds(number) {
        return Err(Refusal::out_of_range(&name, number, &bounds::GEARS));
    }
    let gears = list.iter().map(|item| ratio(&name, item, &bounds::GEAR)).collect::<Result<Vec<_>, _>>()?;
    Gearbox::new(primary, gears).map_err(|fault| match fault {
        GearboxFault::Empty => Refusal::out_of_range(&name, number, &bounds::GEARS),
        GearboxFault::DoesNotFall(gear) => Refusal::new(
            name.clone(),
            "does_not_fall",
            format!(
                "{name}: gear {gear} is not taller than gear {}. Give the ratios from first to top, strictly falling.",
                gear - 1
            ),
        ),
    })
}

/// The points of an engine curve, `[rpm, torque or power]`.
fn points(name: &str, value: &Value) -> Result<Vec<[f64; 2]>, Refusal> {
    let wanted = "a list of points [rpm, value]";
    counts::items(name, value, wanted)?
        .iter()
        .map(|point| match point.as_array().map(Vec::as_slice) {
            Some([rpm, value]) => {
                Ok([counts::real(name, rpm, &bounds::ENGINE_RPM)?, counts::real(name, value, &bounds::CURVE_VALUE)?])
            }
            _ => Err(counts::unfit(name, point, "a point [rpm, value]")),
        })
        .collect()
}

fn curve_fault(name: &str, count: usize, fault: CurveFault) -> Refusal {
    let text = match fault {
        CurveFault::TooFew => {
            format!("{name} has {count} points; {} or more are needed. Add points.", bounds::CURVE_POINTS)
        }
        CurveFault::DoesNotRise(at) => {
            format!("{name}: the engine speed of point {at} does not rise above the one before. Sort the points.")
        }
        CurveFault::PowerAtRest => {
            format!("{name} begins at 0 rpm, where power tells no torque. Begin above 0 rpm, or give torque as curve.")
        }
    };
    Refusal::new(name, "no_curve", text)
}

/// A torque curve, if given.
pub(crate) fn curve(given: &Given<'_>, name: &str) -> Result<Option<Curve>, Refusal> {
    read_curve(given, name, Curve::new)
}

/// A torque curve from power points, if given.
pub(crate) fn power_curve(given: &Given<'_>, name: &str) -> Result<Option<Curve>, Refusal> {
    read_curve(given, name, |points| Curve::from_power(&points))
}

fn read_curve(
    given: &Given<'_>,
    name: &str,
    make: impl Fn(Vec<[f64; 2]>) -> Result<Curve, CurveFault>,
) -> Result<Option<Curve>, Refusal> {
    let Some(value) = given.raw(name) else { return Ok(None) };
    let name = given.name(name);
    let points = points(&name, value)?;
    let count = points.len();
    make(points).map(Some).map_err(|fault| curve_fault(&name, count, fault))
}

/// A pair given as two fields.
pub(crate) fn pair(given: &Given<'_>, front: &str, rear: &str) -> Result<Pair, Refusal> {
    Ok(Pair { front: given.teeth(front)?, rear: given.teeth(rear)? })
}

/// A bike, checked.
pub(crate) struct Bike<'a> {
    given: Given<'a>,
    /// Primary drive and gears.
    pub(crate) gearbox: Gearbox,
    /// Rollout, m.
    pub(crate) rollout_m: f64,
    curve: Option<Curve>,
}

impl<'a> Bike<'a> {
    /// The bike of a field; `prefix` is the field's name with a dot.
    pub(crate) fn of(given: &Given<'a>, field: &str, prefix: &'a str) -> Result<Self, Refusal> {
        let given = given.object(field, prefix)?;
        let gearbox = gearbox(&given)?;
        let curve = curve(&given, "curve")?;
        in_order(&given)?;
        Ok(Self { given, gearbox, rollout_m: given.num("rollout_m")?, curve })
    }

    /// A member that must be there.
    pub(crate) fn num(&self, name: &str) -> Result<f64, Refusal> {
        self.given.num(name)
    }

    /// A member, if given.
    pub(crate) fn opt(&self, name: &str) -> Option<f64> {
        self.given.opt(name)
    }

    /// The engine's curve.
    pub(crate) fn curve(&self) -> Result<&Curve, Refusal> {
        self.curve.as_ref().ok_or_else(|| Refusal::missing(&self.given.name("curve")))
    }

    /// The fitted pair.
    pub(crate) fn pair(&self) -> Result<Pair, Refusal> {
        pair(&self.given, "front_teeth", "rear_teeth")
    }
}

/// Engine speeds rise from idle to never-beyond, as far as they are given.
fn in_order(given: &Given<'_>) -> Result<(), Refusal> {
    let speeds: Vec<(&str, f64)> = RISING.iter().filter_map(|name| Some((*name, given.opt(name)?))).collect();
    match speeds.windows(2).find(|two| two[0].1 >= two[1].1) {
        Some(two) => Err(not_above(&given.name(two[1].0), two[1].1, two[0].0, two[0].1)),
        None => Ok(()),
    }
}

/// The refusal of an engine speed that must lie above another one.
pub(crate) fn not_above(name: &str, value: f64, below: &str, least: f64) -> Refusal {
    let text = format!("{name} is {value}; it must lie above {below}, which is {least}. Check both figures.");
    Refusal::new(name, "out_of_order", text)
}
