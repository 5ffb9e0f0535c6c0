//! `job.in_there`: what could be done while the bike is apart anyway.

use serde_json::{Value, json};
use upkeep::job::{Offer, in_there};

use super::asked::{Asked, CHOICES, JOBS, LIBRARY, refused, unknown_job};
use super::json::texts;
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "job.in_there",
    says: "Jobs that cost little access while other work is done anyway.",
    given: &[
        JOBS,
        CHOICES,
        Field::nested("candidates").optional("every job of the library").meaning("list of job ids"),
        LIBRARY,
    ],
    answer: &[(
        "offers",
        "job, extra_access_min, extra_work_min, saved_access_min against doing it alone; least extra access first",
    )],
    formula: "extra = access with the job − access without; saved = access of the job alone − extra; offered if saved > 0",
    sources: &["work-order", "job-library"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let named = given.raw("candidates").map(|value| texts("candidates", value)).transpose()?;
    let asked = Asked::of(given)?;
    asked.order(&asked.jobs)?;
    let all = || asked.library.jobs.iter().map(|job| job.id.as_str()).collect();
    let candidates: Vec<&str> = named.clone().unwrap_or_else(all);
    if let Some(unknown) = candidates.iter().find(|id| asked.library.job(id).is_none()) {
        return Err(unknown_job("candidates", unknown));
    }
    let found = in_there(&asked.library, &asked.jobs, &asked.choices, &candidates).map_err(|fault| refused(&fault))?;
    if let (Some(_), Some(job)) = (named, found.undecided.first()) {
        // Its own order says which choice is missing.
        asked.order(&[job])?;
    }
    let offers: Vec<_> = found.offers.iter().map(worded).collect();
    Ok(Answer::new().json("offers", offers).notice_if(!found.undecided.is_empty(), "undecided", || {
        format!(
            "Left out, since a choice has no answer: {}. Answer it to have them looked at.",
            found.undecided.join(", ")
        )
    }))
}

fn worded(offer: &Offer<'_>) -> Value {
    json!({"job": offer.job, "extra_access_min": offer.extra_access_min, "extra_work_min": offer.extra_work_min,
        "saved_access_min": offer.saved_access_min})
}
