//! Work written down without an order, and riding against a stop: the same refusals for command and program.

use advice::decision::DecisionView;
use advice::{Verdict, ready};
use upkeep::bike::Fault;
use upkeep::record::{Check, Fact, Outcome, Waiver, Work, WorkState};

/// Work with what was looked at; done only where everything that safety hangs on is confirmed.
///
/// # Errors
/// The steps that are open, or a check that stops, a sentence each.
pub(crate) fn facts(work: Work, checks: Vec<Check>) -> Result<Vec<Fact>, Vec<String>> {
    if work.state() == WorkState::Done {
        closes(&work, &checks)?;
    }
    Ok([Fact::Work(work)].into_iter().chain(checks.into_iter().map(Fact::Check)).collect())
}

fn closes(work: &Work, checks: &[Check]) -> Result<(), Vec<String>> {
    let open: Vec<String> = ready::wanted_after(work.job())
        .into_iter()
        .filter(|(names, _)| !checks.iter().any(|check| names.contains(&check.kind().name)))
        .map(|(names, what)| format!("{}: not confirmed: {what}. Add --check {}=…", names.join(" or "), names[0]))
        .collect();
    if !open.is_empty() {
        return Err([format!("{} is not closed; these steps are open:", work.job())].into_iter().chain(open).collect());
    }
    let bad = checks.iter().filter(|check| check.outcome() == Outcome::Stop);
    let bad: Vec<String> = bad
        .map(|check| format!("{}: {} does not close a job. Put it right first.", check.kind().name, check.answer()))
        .collect();
    if bad.is_empty() { Ok(()) } else { Err(bad) }
}

/// The reason for riding against a stop, with what stood against it.
///
/// # Errors
/// Nothing says stop, or the reason is none.
pub(crate) fn against_stop(view: &DecisionView, reason: &str) -> Result<Fact, Fault> {
    if view.verdict != Verdict::Stop {
        let words = view.verdict.words();
        let text = format!("against-stop: nothing says stop ({words}); a reason is kept only where one does.");
        return Err(Fault::new("reason", "no_stop", text));
    }
    let stops = view.reasons.iter().filter(|one| one.verdict == Verdict::Stop).map(|one| one.text.as_str());
    let against: String = stops.collect::<Vec<_>>().join(" ").chars().take(4000).collect();
    Waiver::new(reason.to_owned(), against).map(Fact::Waiver)
}
