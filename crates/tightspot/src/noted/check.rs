//! What was looked at, as it was typed → checks: a fastener that is set takes the sheet's figure where none is typed.

use advice::ready;
use measure::bounds::record as bounds;
use upkeep::bike::{Bike, Fault};
use upkeep::record::{CHECKS, Check, CheckKind, Outcome};

use crate::asked::{Door, Faulty};

/// `name=answer` or `name=answer:torque`.
///
/// # Errors
/// No such check or answer, or a fastener without its figure.
pub(crate) fn one(bike: &Bike, text: &str) -> Result<Check, Vec<Faulty>> {
    let fault = |text: String| vec![Faulty { field: "check", text }];
    let Some((name, answer)) = text.split_once('=') else {
        return Err(fault(format!("check: \"{text}\" has no answer; write NAME=ANSWER, such as brake=firm.")));
    };
    let (answer, torque) = answer.split_once(':').map_or((answer, None), |(answer, torque)| (answer, Some(torque)));
    let mut door = Door::of_command();
    let typed = door.number("torque_nm", torque, &bounds::TORQUE);
    if !door.faults.is_empty() {
        return Err(door.faults);
    }
    made(bike, name.trim(), answer.trim(), typed).map_err(|why| fault(why.text))
}

/// A check by its name and answer; a fastener that is set takes the sheet's figure where none is given.
///
/// # Errors
/// No such check or answer, or a fastener without its figure.
pub(crate) fn made(bike: &Bike, name: &str, answer: &str, torque_nm: Option<f64>) -> Result<Check, Fault> {
    let kind = CheckKind::named(name)?;
    let set = kind.answers.first().is_some_and(|(good, _)| *good == answer);
    Check::new(kind.name, answer, torque_nm.or_else(|| torque_of(bike, kind).filter(|_| set)))
}

/// The sheet's figure for a fastener.
fn torque_of(bike: &Bike, kind: &CheckKind) -> Option<f64> {
    let plate = (kind.name == "front-retainer").then(|| bike.number("retainer_plate_torque_nm")).flatten();
    kind.torque_field.and_then(|field| bike.number(field)).or(plate)
}

/// One thing that safety hangs on after a job: what is asked, and the good answers that can be given now.
pub(crate) struct Asked {
    /// The field's name.
    pub(crate) name: &'static str,
    /// What is asked.
    pub(crate) what: &'static str,
    /// What can be typed, and its words.
    pub(crate) answers: Vec<(String, String)>,
    /// The fields of the sheet whose figure is missing for an answer.
    pub(crate) missing: Vec<&'static str>,
}

/// Everything that safety hangs on after a job.
pub(crate) fn after(bike: &Bike, job: &str) -> Vec<Asked> {
    let asked = |(names, what): (&'static [&'static str], &'static str)| {
        let kinds = || CHECKS.iter().filter(|kind| names.contains(&kind.name));
        let known = |kind: &&CheckKind| kind.torque_field.is_none() || torque_of(bike, kind).is_some();
        let good = |kind: &'static CheckKind| {
            let answers = kind.answers.iter().filter(|(_, outcome)| *outcome == Outcome::Good);
            answers.map(|(word, _)| (format!("{}={word}", kind.name), word.replace('-', " ")))
        };
        Asked {
            name: names.first().copied().unwrap_or_default(),
            what,
            answers: kinds().filter(known).flat_map(good).collect(),
            missing: kinds().filter(|kind| !known(kind)).filter_map(|kind| kind.torque_field).collect(),
        }
    };
    ready::wanted_after(job).into_iter().map(asked).collect()
}
