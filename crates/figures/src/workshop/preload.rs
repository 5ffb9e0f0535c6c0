//! `torque.preload`: what preload a torque can leave behind.

use measure::Torque;
use measure::bounds::workshop as bounds;
use upkeep::torque::{Band, FrictionBand, nut_factor_preload, nut_factor_preload_u_pct};

use super::bolt;
use crate::{Answer, Field, Figure, Given, Refusal};

/// Error of a wrench whose own figure is not known.
const WRENCH_PCT: f64 = 4.0;
/// Below this share of the proof load a joint may work loose.
const LOOSE_PCT: f64 = 30.0;
const BAND_FIELDS: [&str; 5] = ["friction_low", "friction_high", "head_contact_mm", "wrench_pct", "property_class"];
const FACTOR_FIELDS: [&str; 2] = ["nut_factor_u_pct", "torque_u_pct"];

pub(super) const FIGURE: Figure = Figure {
    name: "torque.preload",
    says: "The preload that a torque can leave behind, from friction and wrench error.",
    given: &[
        Field::number("torque_nm", &bounds::BOLT_TORQUE),
        bolt::DIAMETER,
        bolt::PITCH,
        bolt::RUNNING,
        Field::number("friction_low", &bounds::FRICTION)
            .optional("the band or nut_factor")
            .meaning("of thread and head alike"),
        Field::number("friction_high", &bounds::FRICTION)
            .optional("the band or nut_factor")
            .meaning("of thread and head alike"),
        bolt::CONTACT.optional("with the band it must be given"),
        Field::number("wrench_pct", &bounds::WRENCH_ERROR).optional("4").meaning("error of the wrench, of its reading"),
        bolt::CLASS.optional("no share of the proof load"),
        Field::number("nut_factor", &bounds::NUT_FACTOR).optional("this or the band"),
        Field::number("nut_factor_u_pct", &bounds::UNCERTAINTY)
            .optional("with nut_factor it must be given")
            .meaning("standard uncertainty"),
        Field::number("torque_u_pct", &bounds::UNCERTAINTY)
            .optional("with nut_factor it must be given")
            .meaning("standard uncertainty"),
    ],
    answer: &[
        ("preload_low_n", "band: least preload"),
        ("preload_high_n", "band: largest preload"),
        ("scatter", "band: largest over least"),
        ("proof_low_pct", "band with class: least preload, share of the proof load"),
        ("proof_high_pct", "band with class: largest preload, share of the proof load"),
        ("preload_n", "nut factor: preload"),
        ("uncertainty_pct", "nut factor: standard uncertainty, 1 sigma"),
    ],
    formula: "low = ((1 − w) T − running)/arm(high friction); high = ((1 + w) T − running)/arm(low friction); \
              or F = (T − running)/(K d), u = √((uT T/(T − running))² + uK²)",
    sources: &["vdi-2230", "iso-898-1", "practice"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let band_field = BAND_FIELDS.into_iter().find(|name| given.has(name));
    match (given.opt("nut_factor"), band_field) {
        (Some(_), Some(other)) => Err(bolt::one_form_only("nut_factor", other)),
        (Some(factor), None) => by_factor(given, factor),
        (None, _) => by_band(given),
    }
}

fn running_below(given: &Given<'_>, torque: Torque) -> Result<Torque, Refusal> {
    let running = Torque::from_nm(given.num_or("running_nm", 0.0));
    if running < torque {
        return Ok(running);
    }
    Err(Refusal::new(
        "running_nm",
        "nothing_left",
        format!(
            "running_nm is {}; below {} is possible, else nothing of the torque is left for the preload.",
            running.nm(),
            torque.nm()
        ),
    ))
}

fn by_factor(given: &Given<'_>, factor: f64) -> Result<Answer, Refusal> {
    let (torque, diameter) = (given.nm("torque_nm")?, given.mm("diameter_mm")?);
    let (factor_u, torque_u) = (given.num("nut_factor_u_pct")?, given.num("torque_u_pct")?);
    if given.has("thread_pitch_mm") {
        bolt::thread(given)?;
    }
    let running = running_below(given, torque)?;
    Ok(Answer::new()
        .num("preload_n", nut_factor_preload(torque, diameter, factor, running).n())
        .num("uncertainty_pct", nut_factor_preload_u_pct(torque, running, torque_u, factor_u)))
}

fn by_band(given: &Given<'_>) -> Result<Answer, Refusal> {
    if !given.has("friction_low") {
        return Err(Refusal::new(
            "friction_low",
            "missing",
            "friction_low is missing and friction is never guessed. Give friction_low and friction_high, or nut_factor.",
        ));
    }
    if let Some(name) = FACTOR_FIELDS.into_iter().find(|name| given.has(name)) {
        return Err(bolt::one_form_only(name, "friction_low"));
    }
    let band = friction_band(given)?;
    let (contact, class) = (bolt::contact(given)?, bolt::opt_class(given)?);
    let thread = bolt::thread(given)?;
    let (torque, share) = (given.nm("torque_nm")?, given.num_or("wrench_pct", WRENCH_PCT) / 100.0);
    let running = running_below(given, torque * (1.0 - share))?;
    let preload = Band::of(torque, running, &thread, band.ends(contact), share);
    let answer = Answer::new()
        .num("preload_low_n", preload.low.n())
        .num("preload_high_n", preload.high.n())
        .num("scatter", preload.scatter());
    let Some(proof) = class.and_then(|(class, _)| class.proof_load(&thread)) else { return Ok(answer) };
    let (low, high) = (100.0 * (preload.low / proof), 100.0 * (preload.high / proof));
    Ok(answer
        .num("proof_low_pct", low)
        .num("proof_high_pct", high)
        .notice_if(high > 100.0, "above_proof", || {
            format!("The preload may reach {high:.0} % of the proof load: the bolt may stretch for good.")
        })
        .notice_if(low < LOOSE_PCT, "loose_end", || {
            format!("The preload may be as low as {low:.0} % of the proof load: the joint may work loose.")
        }))
}

fn friction_band(given: &Given<'_>) -> Result<FrictionBand, Refusal> {
    band_of(given.num("friction_low")?, given.num("friction_high")?)
}

/// A band whose high end is not below its low end.
pub(super) fn band_of(low: f64, high: f64) -> Result<FrictionBand, Refusal> {
    if high >= low {
        return Ok(FrictionBand { low, high });
    }
    Err(Refusal::new(
        "friction_high",
        "low_above_high",
        format!("friction_high is {high}, below friction_low {low}. Give the band from low to high."),
    ))
}
