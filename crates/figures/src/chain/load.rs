//! `chain.pull` and `chain.strength`: pull in the taut run, and how the chain's strength stands to it.

use drive::chain::load::{Load, centrifugal, pull as pull_of, static_factor};
use drive::chain::motion::chain_speed;
use drive::chain::size::SIZES;
use measure::{Force, Length, Mass, Power, Speed, Standing, bounds};

use super::pair::PITCH;
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const PULL: Figure = Figure {
    name: "chain.pull",
    says: "Pull in the taut run from torque, power or wheel thrust.",
    given: &[
        PITCH,
        Field::whole("teeth", &bounds::TEETH).meaning("of the sprocket that is loaded; the rear one with thrust_n"),
        Field::number("torque_nm", &bounds::chain::TORQUE)
            .optional("exactly one of torque_nm, power_kw, thrust_n")
            .meaning("at the sprocket"),
        Field::number("power_kw", &bounds::chain::POWER).optional("exactly one of them, with rpm"),
        Field::number("thrust_n", &bounds::chain::THRUST).optional("exactly one of them, with rollout_m"),
        Field::number("rpm", &bounds::RPM).optional("none").meaning("of the sprocket"),
        Field::number("rollout_m", &bounds::ROLLOUT).optional("none"),
    ],
    answer: &[
        ("pull_n", "mean over one tooth, N"),
        ("pull_low_n", "over the largest lever, N"),
        ("pull_high_n", "over the smallest lever, N"),
        ("speed_mps", "mean chain speed, m/s; with rpm"),
    ],
    formula: "F = 2π T/(z p), from T/r to T/(r cos(π/z)); T = P/(2π n) or X U/2π; v = z p n/60",
    sources: &["free-body", "machine-textbook"],
    ask: pull,
};

fn pull(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (pitch, teeth) = (given.mm("pitch_mm")?, given.teeth("teeth")?);
    let pull = pull_of(pitch, teeth, load(given)?);
    Ok(Answer::new()
        .num("pull_n", pull.mean.n())
        .num("pull_low_n", pull.low.n())
        .num("pull_high_n", pull.high.n())
        .num_if("speed_mps", given.opt("rpm").map(|rpm| chain_speed(pitch, teeth, rpm).mps())))
}

const LOADS: [&str; 3] = ["torque_nm", "power_kw", "thrust_n"];

fn load(given: &Given<'_>) -> Result<Load, Refusal> {
    let named: Vec<_> = LOADS.into_iter().filter(|name| given.has(name)).collect();
    match named[..] {
        ["torque_nm"] => Ok(Load::Torque(given.nm("torque_nm")?)),
        ["power_kw"] => Ok(Load::Power(Power::from_kw(given.num("power_kw")?), partner(given, "rpm", "power_kw")?)),
        ["thrust_n"] => {
            let rollout = Length::from_m(partner(given, "rollout_m", "thrust_n")?);
            Ok(Load::Thrust(given.newton("thrust_n")?, rollout))
        }
        [] => Err(Refusal::new(
            "torque_nm",
            "missing",
            "torque_nm is missing, and so are power_kw and thrust_n. Give exactly one of them.",
        )),
        [first, second, ..] => Err(Refusal::new(
            second,
            "one_of_several",
            format!(
                "{second} is given beside {first}; exactly one of {} is possible. Leave the others out.",
                LOADS.join(", ")
            ),
        )),
        [other] => Err(Refusal::missing(other)),
    }
}

fn partner(given: &Given<'_>, name: &str, of: &str) -> Result<f64, Refusal> {
    given.opt(name).ok_or_else(|| {
        Refusal::new(name, "missing", format!("{name} is missing: {of} alone gives no pull. Give {name} too."))
    })
}

pub(super) const STRENGTH: Figure = Figure {
    name: "chain.strength",
    says: "How often a chain's tensile strength holds a pull: to compare chains, no permission.",
    given: &[
        Field::number("pull_n", &bounds::chain::PULL),
        Field::number("tensile_kn", &bounds::chain::TENSILE).meaning("minimum, from the chain's own data"),
        Field::number("mass_kg_per_m", &bounds::chain::MASS_PER_LENGTH).optional("with speed_mps, or neither"),
        Field::number("speed_mps", &bounds::chain::CHAIN_SPEED).optional("with mass_kg_per_m, or neither"),
        Field::number("shock_factor", &bounds::chain::SHOCK).optional("1"),
    ],
    answer: &[
        ("static_factor", "tensile strength over load"),
        ("centrifugal_n", "tension from the chain's own mass at speed, N; 0 without mass and speed"),
    ],
    formula: "n = Q/(Ks F + q v²)",
    sources: &["machine-textbook", "free-body", "chain-load-guides"],
    ask: strength,
};

/// Never load a chain above half of its tensile strength, even once.
///
/// # Source
/// `chain-load-guides`.
const EVER: f64 = 2.0;
/// Continuous pull of industrial drives stays below a sixth.
///
/// # Source
/// `chain-load-guides`.
const INDUSTRIAL: f64 = 6.0;

fn strength(given: &Given<'_>) -> Result<Answer, Refusal> {
    let (pull, tensile) = (given.newton("pull_n")?, given.num("tensile_kn")?);
    let shock = given.num_or("shock_factor", 1.0);
    let tension = match (given.opt("mass_kg_per_m"), given.opt("speed_mps")) {
        (Some(mass), Some(speed)) => centrifugal(Mass::from_kg(mass), Speed::from_mps(speed)),
        (None, None) => Force::ZERO,
        (Some(_), None) => return Err(Refusal::missing("speed_mps")),
        (None, Some(_)) => return Err(Refusal::missing("mass_kg_per_m")),
    };
    let factor = static_factor(Force::from_n(tensile * 1000.0), pull, shock, tension);
    let answer = Answer::new().num("static_factor", factor).num("centrifugal_n", tension.n());
    Ok(answer
        .notice_if(factor < EVER, "half_of_tensile", || {
            format!("static_factor is {factor:.2}: the load passes half of tensile_kn {tensile}, too much even once.")
        })
        .notice_if(factor < INDUSTRIAL, "below_industrial", || {
            format!(
                "static_factor is {factor:.2}, below the 6 of continuous industrial drives; \
                 off-road chains run so and wear accordingly."
            )
        })
        .notice_if(from_memory(tensile), "unverified_tensile", || {
            format!("tensile_kn {tensile} is the size table's figure, typical and unverified. The chain's own data beats it.")
        }))
}

/// Whether a strength is one of the table's remembered ones.
fn from_memory(tensile_kn: f64) -> bool {
    SIZES.iter().any(|size| size.tensile_standing == Standing::Memory && (size.tensile_kn - tensile_kn).abs() < 1e-9)
}
