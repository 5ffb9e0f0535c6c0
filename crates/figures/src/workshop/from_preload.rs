//! `torque.from_preload`: the torque that reaches a preload.

use measure::bounds::workshop as bounds;
use measure::{Force, Torque};
use upkeep::torque::{Friction, PropertyClass, Tightening, nut_factor_torque, yield_limited_preload};

use super::bolt;
use crate::{Answer, Field, Figure, Given, Refusal};

const PRELOADS: [&str; 3] = ["preload_n", "proof_share", "yield_share"];
const FRICTION: [&str; 3] = ["friction_thread", "friction_head", "head_contact_mm"];

pub(super) const FIGURE: Figure = Figure {
    name: "torque.from_preload",
    says: "Torque that reaches a preload, and where it goes.",
    given: &[
        Field::number("preload_n", &bounds::PRELOAD).optional("one of the three"),
        Field::number("proof_share", &bounds::SHARE).optional("one of the three").meaning("of the proof load"),
        Field::number("yield_share", &bounds::SHARE)
            .optional("one of the three")
            .meaning("of the yield strength, torsion counted; with friction only"),
        bolt::CLASS.optional("with a share it must be given"),
        Field::number("friction_thread", &bounds::FRICTION).optional("this pair or nut_factor"),
        Field::number("friction_head", &bounds::FRICTION).optional("this pair or nut_factor"),
        bolt::CONTACT.optional("with the friction pair it must be given"),
        Field::number("nut_factor", &bounds::NUT_FACTOR).optional("this or the friction pair"),
        bolt::DIAMETER,
        bolt::PITCH,
        bolt::RUNNING,
    ],
    answer: &[
        ("preload_n", "preload"),
        ("torque_nm", "torque, running torque in it"),
        ("nut_factor", "friction pair: torque without running torque over preload and diameter"),
        ("loosening_nm", "friction pair: torque that loosens it"),
        ("stretch_pct", "friction pair: share that stretches the bolt"),
        ("thread_pct", "friction pair: share that rubs in the thread"),
        ("head_pct", "friction pair: share that rubs under the head"),
    ],
    formula: "T = F (P/2π + μG d2/(2 cos 30°) + μK D/2) + running, or T = K d F + running; \
              F given, share × proof load, or As share Rp / √(1 + 3 (1.5 d2/d0 (P/(π d2) + μG/cos 30°))²)",
    sources: &["vdi-2230", "iso-898-1", "iso-thread"],
    ask,
};

enum Form {
    Pair(Friction),
    Factor(f64),
}

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let given_preloads: Vec<_> = PRELOADS.into_iter().filter(|name| given.has(name)).collect();
    if let [first, second, ..] = given_preloads.as_slice() {
        return Err(bolt::one_form_only(second, first));
    }
    let Some(&kind) = given_preloads.first() else {
        return Err(Refusal::new(
            "preload_n",
            "missing",
            "preload_n is missing. Give it, or proof_share or yield_share with property_class.",
        ));
    };
    let class = bolt::opt_class(given)?;
    if kind != "preload_n" && class.is_none() {
        return Err(Refusal::missing("property_class"));
    }
    let form = form(given, kind)?;
    let preload = preload(given, kind, &form)?;
    let answer = answer(given, preload, &form)?;
    let Some((_, strength)) = class else { return Ok(answer) };
    // The class may stand beside a plain preload, and the size of the thread need not be known for a nut factor.
    let Ok(thread) = bolt::thread(given) else {
        let diameter_mm = given.mm("diameter_mm")?.mm();
        return Ok(answer.notice(
            "proof_not_known",
            format!(
                "The thread of {diameter_mm} mm has no coarse pitch: whether this preload is above its proof load is not \
                 known. Give thread_pitch_mm."
            ),
        ));
    };
    let proof = PropertyClass::load(&thread, strength.proof_mpa);
    Ok(answer.notice_if(preload > proof, "above_proof", || {
        format!(
            "Preload {:.0} N is above the proof load of {:.0} N: the bolt would stretch for good.",
            preload.n(),
            proof.n()
        )
    }))
}

fn form(given: &Given<'_>, kind: &str) -> Result<Form, Refusal> {
    let of_pair = FRICTION.into_iter().find(|name| given.has(name));
    match (of_pair, given.opt("nut_factor")) {
        (Some(of_pair), Some(_)) => Err(bolt::one_form_only("nut_factor", of_pair)),
        (None, Some(_)) if kind == "yield_share" => Err(bolt::one_form_only("nut_factor", "yield_share")),
        (None, Some(factor)) => Ok(Form::Factor(factor)),
        (None, None) => Err(Refusal::new(
            "friction_thread",
            "missing",
            "friction_thread is missing and is never guessed. Give friction of thread and head with \
             head_contact_mm, or nut_factor.",
        )),
        (Some(_), None) => Ok(Form::Pair(Friction {
            thread: given.num("friction_thread")?,
            head: given.num("friction_head")?,
            contact: bolt::contact(given)?,
        })),
    }
}

fn preload(given: &Given<'_>, kind: &str, form: &Form) -> Result<Force, Refusal> {
    let share = given.num(kind)?;
    if kind == "preload_n" {
        return given.newton(kind);
    }
    let (_, strength) = bolt::class(given)?;
    let thread = bolt::thread(given)?;
    Ok(match form {
        Form::Pair(friction) if kind == "yield_share" => {
            yield_limited_preload(&thread, strength.yield_mpa, share, friction.thread)
        }
        _ => PropertyClass::load(&thread, strength.proof_mpa) * share,
    })
}

fn answer(given: &Given<'_>, preload: Force, form: &Form) -> Result<Answer, Refusal> {
    let running = Torque::from_nm(given.num_or("running_nm", 0.0));
    let answer = Answer::new().num("preload_n", preload.n());
    match form {
        Form::Factor(factor) => {
            if given.has("thread_pitch_mm") {
                bolt::thread(given)?;
            }
            let torque = nut_factor_torque(preload, given.mm("diameter_mm")?, *factor, running);
            Ok(answer.num("torque_nm", torque.nm()))
        }
        Form::Pair(friction) => {
            let tightening = Tightening::to(preload, &bolt::thread(given)?, friction, running);
            Ok(answer
                .num("torque_nm", tightening.torque.nm())
                .num("nut_factor", tightening.nut_factor)
                .num("loosening_nm", tightening.loosening.nm())
                .num("stretch_pct", tightening.stretch_pct)
                .num("thread_pct", tightening.thread_pct)
                .num("head_pct", tightening.head_pct))
        }
    }
}
