//! Fields that the torque figures share, and the bolt that they make.

use measure::Length;
use measure::bounds::workshop as bounds;
use upkeep::torque::{PropertyClass, Strength, Thread, ThreadFault};

use crate::{Field, Given, Refusal};

/// Nominal thread diameter.
pub(super) const DIAMETER: Field = Field::number("diameter_mm", &bounds::THREAD_DIAMETER).meaning("nominal");
/// Thread pitch, coarse if left out.
pub(super) const PITCH: Field = Field::number("thread_pitch_mm", &bounds::THREAD_PITCH)
    .optional("coarse pitch")
    .meaning("up to 0.3 of the diameter");
/// The number on the bolt head.
pub(super) const CLASS: Field = Field::number("property_class", &bounds::PROPERTY_CLASS)
    .meaning("the number on the head: 4.6 4.8 5.6 5.8 6.8 8.8 9.8 10.9 12.9");
/// Mean friction diameter under head or nut.
pub(super) const CONTACT: Field = Field::number("head_contact_mm", &bounds::HEAD_CONTACT)
    .meaning("mean friction diameter under head or nut: above diameter_mm, up to 3 times of it");
/// Torque of a self-locking nut before it seats.
pub(super) const RUNNING: Field = Field::number("running_nm", &bounds::RUNNING_TORQUE)
    .optional("0")
    .meaning("torque that turns a self-locking nut before it seats");

/// The thread that was given.
pub(super) fn thread(given: &Given<'_>) -> Result<Thread, Refusal> {
    let diameter = given.mm("diameter_mm")?;
    Thread::new(diameter, given.opt("thread_pitch_mm").map(Length::from_mm)).map_err(|fault| match fault {
        ThreadFault::NoCoarsePitch => Refusal::new(
            "thread_pitch_mm",
            "no_coarse_pitch",
            format!(
                "thread_pitch_mm is missing and the coarse series has no {} mm. Measure the pitch over ten threads \
                 and give it.",
                diameter.mm()
            ),
        ),
        ThreadFault::PitchTooLarge { most } => Refusal::new(
            "thread_pitch_mm",
            "too_large",
            format!(
                "thread_pitch_mm is {}; above 0 up to {} is possible on {} mm. Check diameter and pitch.",
                given.num_or("thread_pitch_mm", 0.0),
                most.mm(),
                diameter.mm()
            ),
        ),
    })
}

/// The class that was given and its strengths at the given diameter; `None` if no class is given.
pub(super) fn opt_class(given: &Given<'_>) -> Result<Option<(PropertyClass, Strength)>, Refusal> {
    let Some(mark) = given.opt("property_class") else { return Ok(None) };
    let refuse = |code, why: String| Refusal::new("property_class", code, why);
    let class = PropertyClass::of(mark).ok_or_else(|| {
        let marks: Vec<_> = PropertyClass::ALL.iter().map(|class| class.mark().to_string()).collect();
        refuse(
            "no_such_class",
            format!("property_class is {mark}; possible: {}. Read it off the head.", marks.join(", ")),
        )
    })?;
    let diameter = given.mm("diameter_mm")?;
    let strength = class.strength(diameter).ok_or_else(|| {
        refuse(
            "class_too_large",
            format!("property_class is {mark}, made up to 16 mm; diameter_mm is {}. Check the mark.", diameter.mm()),
        )
    })?;
    Ok(Some((class, strength)))
}

/// The class that must be given and its strengths.
pub(super) fn class(given: &Given<'_>) -> Result<(PropertyClass, Strength), Refusal> {
    opt_class(given)?.ok_or_else(|| Refusal::missing("property_class"))
}

/// The mean friction diameter that must be given, held against the diameter.
pub(super) fn contact(given: &Given<'_>) -> Result<Length, Refusal> {
    let (contact, diameter) = (given.mm("head_contact_mm")?, given.mm("diameter_mm")?);
    if contact > diameter && contact <= diameter * 3.0 {
        return Ok(contact);
    }
    Err(Refusal::new(
        "head_contact_mm",
        "out_of_range",
        format!(
            "head_contact_mm is {}; above {} up to {} mm is possible: half of bearing face plus clearance hole.",
            contact.mm(),
            diameter.mm(),
            diameter.mm() * 3.0
        ),
    ))
}

/// A second field for the same thing was given.
pub(super) fn one_form_only(field: &str, other: &str) -> Refusal {
    Refusal::new(field, "one_form_only", format!("{field} and {other} exclude each other. Give one of them."))
}
