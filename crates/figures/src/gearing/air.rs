//! `air.density` and `air.power`: the air of the day, and what it leaves of the engine's power.

use drive::engine::{Air, AirFault, AirGiven, power_loss};
use measure::bounds::gearing as bounds;

use crate::{Answer, Field, Figure, Given, Refusal};

const GIVEN: &[Field] = &[
    Field::number("altitude_m", &bounds::ALTITUDE).optional("none").meaning("this or pressure_kpa"),
    Field::number("pressure_kpa", &bounds::PRESSURE).optional("that of altitude_m").meaning("at the place"),
    Field::number("temperature_degc", &bounds::AIR_TEMPERATURE).optional("that of altitude_m"),
    Field::number("humidity_pct", &bounds::HUMIDITY).optional("0"),
];

pub(super) const DENSITY: Figure = Figure {
    name: "air.density",
    says: "Pressure, temperature and density of the air, standard or as measured.",
    given: GIVEN,
    answer: &[
        ("pressure_kpa", "pressure at the place"),
        ("temperature_degc", "temperature"),
        ("vapour_kpa", "vapour pressure"),
        ("dry_pressure_kpa", "pressure of the dry air"),
        ("density_kgm3", "density"),
    ],
    formula: "T = 288.15 − 0.0065 H, p = 101.325 (T/288.15)^5.2559, H = R h/(R + h); e by Magnus over water; ρ = (p − e)/(287.05287 T) + e/(461.523 T)",
    sources: &["isa", "magnus"],
    ask: ask_density,
};

fn air(given: &Given<'_>) -> Result<Air, Refusal> {
    let known = AirGiven {
        altitude_m: given.opt("altitude_m"),
        pressure_kpa: given.opt("pressure_kpa"),
        temperature_degc: given.opt("temperature_degc"),
        humidity_pct: given.num_or("humidity_pct", 0.0),
    };
    Air::of(&known).map_err(|fault| match fault {
        AirFault::NoPressure => Refusal::new(
            "pressure_kpa",
            "missing",
            "pressure_kpa is missing, and altitude_m too. Give the height above the sea, or the pressure measured at \
             the place.",
        ),
        AirFault::NoTemperature => Refusal::new(
            "temperature_degc",
            "missing",
            "temperature_degc is missing. A pressure alone tells no temperature: give it, or the height.",
        ),
        AirFault::VapourAbovePressure { vapour_kpa, pressure_kpa } => Refusal::new(
            "humidity_pct",
            "out_of_range",
            format!(
                "humidity_pct is {}: the vapour would press with {vapour_kpa:.2} kPa, more than the air's \
                 {pressure_kpa:.2} kPa. Check humidity, temperature and pressure.",
                known.humidity_pct
            ),
        ),
    })
}

fn ask_density(given: &Given<'_>) -> Result<Answer, Refusal> {
    let air = air(given)?;
    Ok(Answer::new()
        .num("pressure_kpa", air.pressure_kpa())
        .num("temperature_degc", air.temperature_degc())
        .num("vapour_kpa", air.vapour_kpa())
        .num("dry_pressure_kpa", air.dry_pressure_kpa())
        .num("density_kgm3", air.density_kgm3()))
}

pub(super) const POWER: Figure = Figure {
    name: "air.power",
    says: "What the air leaves of the power of a naturally aspirated engine, by two formulae.",
    given: GIVEN,
    answer: &[
        ("dry_pressure_kpa", "pressure of the dry air"),
        ("iso_alpha", "reference power over power here, first formula"),
        ("iso_factor", "its inverse: power here over reference power"),
        ("sae_cf", "reference power over power here, second formula"),
        ("sae_factor", "its inverse"),
        ("power_factor", "the factor that other figures take: sae_factor"),
        ("iso_in_range", "whether iso_alpha lies in 0.93 to 1.07, for which it is stated"),
    ],
    formula: "α = (99/p_d)^1.2 (T/298)^0.6; CF = 1.18 (99/p_d) √(T/298) − 0.18; p_d in kPa, T in K",
    sources: &["power-correction", "isa", "magnus"],
    ask: ask_power,
};

fn ask_power(given: &Given<'_>) -> Result<Answer, Refusal> {
    let air = air(given)?;
    let loss = power_loss(&air);
    Ok(Answer::new()
        .num("dry_pressure_kpa", air.dry_pressure_kpa())
        .num("iso_alpha", loss.iso_alpha)
        .num("iso_factor", 1.0 / loss.iso_alpha)
        .num("sae_cf", loss.sae_cf)
        .num("sae_factor", 1.0 / loss.sae_cf)
        .num("power_factor", 1.0 / loss.sae_cf)
        .flag("iso_in_range", loss.iso_in_range)
        .notice_if(!loss.iso_in_range, "extrapolated", || {
            format!(
                "α is {:.3}, outside 0.93 to 1.07 for which its formula is stated: both factors are extrapolated. A \
                 carburetted engine set for another height loses more.",
                loss.iso_alpha
            )
        }))
}
