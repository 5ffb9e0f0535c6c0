//! What a tick means: what must be read, given or reasoned first, and the lines that it writes.
//!
//! Page, command and paper all come through here, so that none of them lets through what another one stops.

use measure::bounds::{bike, workshop as bounds};
use measure::shown::{self, Units};
use measure::{Bound, entry};
use upkeep::job::Act;
use upkeep::job::bench::{Answer, Blocker, Outcome, What, judge};
use upkeep::job::handbook::{Hold, HoldKind, Severity};
use upkeep::job::{SheetStep, ShownHold};

use super::step::{in_a_row, out_of_turn};
use super::{Desk, Laid, figure};
use crate::words::written;

/// What was typed for one stop point.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TypedHold {
    /// The number, `yes`, `no`, or the answer chosen.
    pub value: String,
    /// Whether a number passes, where only the rider can say: `yes` or `no`.
    pub passes: String,
    /// Why it is right although it is off, or why it is let go.
    pub reason: String,
    /// Whether it is let go.
    pub waived: bool,
}

/// What was typed for a step.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TypedStep {
    /// The step.
    pub step: String,
    /// Stops that were read.
    pub read: Vec<String>,
    /// Stop points by name.
    pub holds: Vec<(String, TypedHold)>,
    /// Why it is done out of turn.
    pub reason: String,
    /// Hours of the threadlocker, off its label.
    pub cure_h: String,
}

/// One thing that keeps a step from being taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trouble {
    /// The field at fault, as forms name it.
    pub field: String,
    /// What is wrong and what to do.
    pub text: String,
}

fn trouble(field: impl Into<String>, text: impl Into<String>) -> Trouble {
    Trouble { field: field.into(), text: text.into() }
}

/// The field of a stop's reading.
#[must_use]
pub fn read_field(caution: &str) -> String {
    format!("read-{caution}")
}

/// The field of a stop point's value.
#[must_use]
pub fn value_field(hold: &str) -> String {
    format!("value-{hold}")
}

/// The field of whether a number passes.
#[must_use]
pub fn passes_field(hold: &str) -> String {
    format!("passes-{hold}")
}

/// The field of a stop point's reason.
#[must_use]
pub fn reason_field(hold: &str) -> String {
    format!("reason-{hold}")
}

/// The field of letting a stop point go.
#[must_use]
pub fn waive_field(hold: &str) -> String {
    format!("waive-{hold}")
}

/// The lines of a step: ticked where every stop point passes or its "no" brings a job; else held open.
///
/// # Errors
/// Everything that keeps it from being taken, each with its field.
pub fn take(desk: &Desk<'_>, laid: &Laid, typed: &TypedStep) -> Result<Vec<What>, Vec<Trouble>> {
    let mut to_come = laid.sheet.steps.iter().enumerate().skip(laid.done());
    let Some((at, step)) = to_come.find(|(_, step)| step.token == typed.step) else {
        let text = format!("{} is not among the steps to come. It may be done already; look at the list.", typed.step);
        return Err(vec![trouble("step", text)]);
    };
    let mut troubles = Vec::new();
    let mut what = reading(desk, laid, at, typed, &mut troubles);
    let reason = turn(desk, laid, typed, &mut troubles);
    what.extend(cure(typed, &mut troubles));
    let answers: Vec<Answer> =
        step.holds.iter().filter_map(|shown| answer(desk, shown, typed, &mut troubles)).collect();
    if !troubles.is_empty() {
        return Err(troubles);
    }
    what.extend(follows(desk, laid, step, reason, answers).map_err(|trouble| vec![trouble])?);
    match desk.bench.with(desk.now, desk.who, &what).stand(desk.handbook) {
        Ok(_) => Ok(what),
        Err(fault) => {
            let text = format!("From there no order leads to the end. {}", crate::plan::gap(fault).text);
            Err(vec![trouble("reason", text)])
        }
    }
}

/// Stops to be read: each that was not read in this sitting must be ticked off.
fn reading(desk: &Desk<'_>, laid: &Laid, at: usize, typed: &TypedStep, troubles: &mut Vec<Trouble>) -> Vec<What> {
    let mut read = Vec::new();
    for caution in desk.unread(laid, at) {
        if typed.read.contains(&caution.id) {
            read.push(What::Read(caution.id.clone()));
        } else {
            let text = format!("Read the stop first, then tick it: {}.", caution.hazard);
            troubles.push(trouble(read_field(&caution.id), text));
        }
    }
    read
}

/// The reason of a step out of turn, where it is.
fn turn(desk: &Desk<'_>, laid: &Laid, typed: &TypedStep, troubles: &mut Vec<Trouble>) -> Option<String> {
    let act: Act = laid.stand.order.act(&typed.step)?;
    let found = laid.stand.against(act);
    if found.is_empty() {
        return None;
    }
    let words = out_of_turn(desk, laid, &typed.step);
    if found.contains(&Blocker::Already) {
        troubles.push(trouble("step", "It is so already. Look at the list: somebody may have ticked it meanwhile."));
        return None;
    }
    let reason = typed.reason.trim();
    if reason.is_empty() {
        let text = format!("Out of turn, {}. Do that first, or give the reason for going on.", in_a_row(&words));
        troubles.push(trouble("reason", text));
    }
    (!reason.is_empty()).then(|| shortened(reason))
}

fn cure(typed: &TypedStep, troubles: &mut Vec<Trouble>) -> Option<What> {
    if typed.cure_h.trim().is_empty() {
        return None;
    }
    match entry::number(&typed.cure_h, &bounds::CURE) {
        Ok(hours) => Some(What::Cure { hours: hours.value }),
        Err(fault) => {
            troubles.push(trouble("cure_h", format!("Cure: {fault}")));
            None
        }
    }
}

/// The answer to a stop point, or what is wrong with it.
fn answer(desk: &Desk<'_>, shown: &ShownHold<'_>, typed: &TypedStep, troubles: &mut Vec<Trouble>) -> Option<Answer> {
    let hold = shown.hold;
    if let Some(figure) = shown.waits_for {
        let text = format!(
            "STOP: the manual's figure is missing: {}. Enter it with document and page first; nothing stands in for it.",
            figure.text
        );
        troubles.push(trouble(value_field(&hold.id), text));
        return None;
    }
    let empty = TypedHold::default();
    let given = typed.holds.iter().find(|(id, _)| *id == hold.id).map_or(&empty, |(_, given)| given);
    let found = match hold.kind {
        HoldKind::YesNo => yes_no(hold, given),
        HoldKind::Choice => chosen(shown, given),
        HoldKind::Number | HoldKind::Torque | HoldKind::TorqueSet => number(desk, hold, given),
    };
    match found.and_then(|answer| let_go(hold, given, answer)) {
        Ok(answer) => Some(answer),
        Err(wrong) => {
            troubles.push(wrong);
            None
        }
    }
}

fn plain(hold: &Hold, typed: &str, outcome: Outcome) -> Answer {
    Answer {
        hold: hold.id.clone(),
        typed: typed.to_owned(),
        number: None,
        unit: String::new(),
        outcome,
        reason: None,
        against: None,
    }
}

fn yes_no(hold: &Hold, given: &TypedHold) -> Result<Answer, Trouble> {
    let accept = hold.accept.as_deref().unwrap_or("yes");
    match given.value.trim() {
        word @ ("yes" | "no") => Ok(plain(hold, word, if word == accept { Outcome::Passed } else { Outcome::Failed })),
        _ => Err(trouble(value_field(&hold.id), format!("Answer yes or no: {}.", hold.prompt))),
    }
}

fn chosen(shown: &ShownHold<'_>, given: &TypedHold) -> Result<Answer, Trouble> {
    let typed = given.value.trim();
    if typed == "none" {
        return Ok(plain(shown.hold, "none of these", Outcome::Failed));
    }
    // A command may name the answer by its first words.
    let mut fits = shown.accept.iter().filter(|accept| !typed.is_empty() && accept.starts_with(typed));
    match (fits.next(), fits.next()) {
        (Some(accept), None) => Ok(plain(shown.hold, accept, Outcome::Passed)),
        _ => {
            let text = format!("Choose one: {}; or none of these.", shown.accept.join("; "));
            Err(trouble(value_field(&shown.hold.id), text))
        }
    }
}

fn number(desk: &Desk<'_>, hold: &Hold, given: &TypedHold) -> Result<Answer, Trouble> {
    let field = value_field(&hold.id);
    let bound = bound_of(hold.unit.as_deref().unwrap_or("N·m"));
    if given.value.trim().is_empty() {
        let text =
            format!("Nothing is given: {}. Type its number, {}.", hold.prompt.trim_end_matches('.'), bound.range());
        return Err(trouble(&field, text));
    }
    let value = entry::number(&given.value, bound).map_err(|fault| trouble(&field, fault.to_string()))?.value;
    let answer =
        Answer { number: Some(value), unit: bound.unit.to_owned(), ..plain(hold, given.value.trim(), Outcome::Passed) };
    let Some(limit) = figure::limit(desk, hold) else {
        let outcome = match given.passes.trim() {
            "yes" => Outcome::Passed,
            "no" => Outcome::Failed,
            _ => {
                let text = format!("Say whether it passes: {}.", hold.prompt);
                return Err(trouble(passes_field(&hold.id), text));
            }
        };
        return Ok(Answer { outcome, ..answer });
    };
    let answer = Answer { outcome: judge(&limit, value), against: as_kept(desk, hold), ..answer };
    if answer.outcome != Outcome::Confirmed {
        return Ok(answer);
    }
    let reason = given.reason.trim();
    if reason.is_empty() {
        let text = format!(
            "{} is more than a tenth off {}. Read it again; if it is right, give the reason.",
            written(value, bound.unit),
            limit.words
        );
        return Err(trouble(reason_field(&hold.id), text));
    }
    Ok(Answer { reason: Some(shortened(reason)), ..answer })
}

/// What does not pass may be let go where safety does not hang on it: with a reason, or as mere advice.
fn let_go(hold: &Hold, given: &TypedHold, answer: Answer) -> Result<Answer, Trouble> {
    if answer.outcome != Outcome::Failed {
        return Ok(answer);
    }
    let reason = given.reason.trim();
    match hold.severity {
        // A look that is only advice still brings its job; without one it is noted and let go.
        Severity::Advice if hold.on_fail.is_none() || given.waived => {
            Ok(Answer { outcome: Outcome::Waived, reason: (!reason.is_empty()).then(|| shortened(reason)), ..answer })
        }
        Severity::Engine if given.waived && reason.is_empty() => {
            Err(trouble(reason_field(&hold.id), "Let go only with a reason, which stays in the record."))
        }
        Severity::Engine if given.waived => {
            Ok(Answer { outcome: Outcome::Waived, reason: Some(shortened(reason)), ..answer })
        }
        Severity::Safety if given.waived => {
            Err(trouble(waive_field(&hold.id), "Safety hangs on it: it cannot be let go. Put it right first."))
        }
        _ => Ok(answer),
    }
}

/// What follows from the answers.
fn follows(
    desk: &Desk<'_>,
    laid: &Laid,
    step: &SheetStep<'_>,
    reason: Option<String>,
    answers: Vec<Answer>,
) -> Result<Vec<What>, Trouble> {
    let failed: Vec<&ShownHold<'_>> = step
        .holds
        .iter()
        .filter(|shown| answers.iter().any(|one| one.hold == shown.hold.id && one.outcome == Outcome::Failed))
        .collect();
    let mut brought = Vec::new();
    let mut again = Vec::new();
    let mut stays = false;
    for shown in &failed {
        let fail = shown.hold.on_fail.clone().unwrap_or_default();
        match &fail.job {
            Some(job) if is_in(desk, laid, job) => {}
            Some(job) => brought.push((job.clone(), format!("{}: no", shown.hold.prompt))),
            None => stays = true,
        }
        again.extend(fail.redo.iter().map(|op| format!("do:{op}")));
    }
    let token = step.token.clone();
    let first = if stays { What::Held { step: token, answers } } else { What::Ticked { step: token, reason, answers } };
    let mut what = vec![first];
    for (job, why) in brought {
        let after = desk.bench.with(desk.now, desk.who, &what);
        let more = after.taking_in(desk.handbook, &job, &shortened(&why));
        let more = more.map_err(|fault| trouble("step", crate::plan::gap(fault).text))?;
        what.extend(more);
    }
    let ticks = desk.bench.ticks();
    let done = |step: &String| ticks.iter().any(|(_, known, _)| known == step);
    let why = format!("{} did not pass", step.title);
    // From the last one back, so that what was done last is taken back first.
    what.extend(again.into_iter().rev().filter(done).map(|step| What::Unticked { step, reason: why.clone() }));
    Ok(what)
}

/// Whether a job is in the order, by itself or contained in another one.
fn is_in(desk: &Desk<'_>, laid: &Laid, job: &str) -> bool {
    laid.stand.order.jobs.iter().any(|known| {
        *known == job
            || desk.handbook.job(known).is_some_and(|file| file.job.covers.iter().any(|covered| covered == job))
    })
}

/// The limit as it is written into the record: in the units kept, whatever the rider reads in today.
fn as_kept(desk: &Desk<'_>, hold: &Hold) -> Option<String> {
    shown::in_units(Units::Metric, || figure::limit(desk, hold)).map(|limit| limit.words)
}

/// The bound that a captured number is read with.
#[must_use]
pub fn bound_of(unit: &str) -> &'static Bound {
    match unit {
        "mm" => &bounds::CAPTURED_LENGTH,
        "kPa" => &bounds::CAPTURED_PRESSURE,
        "mL" => &bounds::CAPTURED_VOLUME,
        "links" => &bounds::CAPTURED_LINKS,
        _ => &bike::TORQUE,
    }
}

fn shortened(text: &str) -> String {
    text.chars().take(1000).collect()
}

/// The lines that take a tick back.
///
/// # Errors
/// It is not ticked, no reason is given, or the bike cannot be brought to the end from there.
pub fn untick(desk: &Desk<'_>, step: &str, reason: &str) -> Result<Vec<What>, Vec<Trouble>> {
    if !desk.bench.ticks().iter().any(|(_, known, _)| *known == step) {
        return Err(vec![trouble("step", format!("{step} is not ticked."))]);
    }
    if reason.trim().is_empty() {
        return Err(vec![trouble("reason", "Say why it counts as not done; the reason stays in the record.")]);
    }
    let what = vec![What::Unticked { step: step.to_owned(), reason: shortened(reason.trim()) }];
    match desk.bench.with(desk.now, desk.who, &what).stand(desk.handbook) {
        Ok(_) => Ok(what),
        Err(fault) => Err(vec![trouble("step", format!("It cannot be taken back: {}", crate::plan::gap(fault).text))]),
    }
}

/// The lines that bring a job in.
///
/// # Errors
/// There is no such job, it is in already, or it cannot come in from here.
pub fn add(desk: &Desk<'_>, laid: &Laid, job: &str) -> Result<Vec<What>, Vec<Trouble>> {
    if desk.handbook.job(job).is_none() {
        return Err(vec![trouble("job", format!("job \"{job}\" is not in the library."))]);
    }
    if is_in(desk, laid, job) {
        return Err(vec![trouble("job", format!("{job} is in the order already."))]);
    }
    let what = desk.bench.taking_in(desk.handbook, job, "while it is open anyway");
    what.map_err(|fault| vec![trouble("job", crate::plan::gap(fault).text)])
}
