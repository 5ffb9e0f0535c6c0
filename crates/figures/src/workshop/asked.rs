//! Jobs, choices and library as the job figures are asked, and their faults in words.

use std::borrow::Cow;

use serde_json::Value;
use upkeep::job::{Library, Order, OrderFault};

use super::json::{texts, wrong};
use super::library;
use crate::{Field, Given, Refusal};

/// The jobs asked for.
pub(super) const JOBS: Field = Field::nested("jobs").meaning("list of job ids, each once; may be empty");
/// The answers to choices.
pub(super) const CHOICES: Field = Field::nested("choices")
    .optional("the defaults")
    .meaning("object, choice to answer; one without default must be given");
/// The job library.
pub(super) const LIBRARY: Field = Field::nested("library")
    .optional("the tool's own job library")
    .meaning("states, finishers, shared_ops, variants, choices, jobs");

/// What was asked, its library checked.
pub(super) struct Asked<'v> {
    pub(super) jobs: Vec<&'v str>,
    pub(super) choices: Vec<(&'v str, &'v str)>,
    pub(super) library: Cow<'static, Library>,
}

impl<'v> Asked<'v> {
    /// Reads the fields; whether the jobs make an order is asked later.
    pub(super) fn of(given: &Given<'v>) -> Result<Self, Refusal> {
        let jobs = given.raw("jobs").map_or_else(|| Err(Refusal::missing("jobs")), |jobs| texts("jobs", jobs))?;
        let choices = given.raw("choices").map_or_else(|| Ok(Vec::new()), choices)?;
        let library = match given.raw("library") {
            Some(value) => Cow::Owned(library::read(value)?),
            None => Cow::Borrowed(upkeep::job::shipped().library()),
        };
        Ok(Self { jobs, choices, library })
    }

    /// The order of some jobs.
    pub(super) fn order(&self, jobs: &[&str]) -> Result<Order<'_>, Refusal> {
        Order::build(&self.library, jobs, &self.choices).map_err(|fault| refused(&fault))
    }
}

fn choices(value: &Value) -> Result<Vec<(&str, &str)>, Refusal> {
    let members = value.as_object().ok_or_else(|| wrong("choices", "choices", value, "an object"))?;
    members
        .iter()
        .map(|(key, value)| match value.as_str() {
            Some(word) => Ok((key.as_str(), word)),
            None => Err(wrong("choices", &format!("choices: {key}"), value, "text")),
        })
        .collect()
}

/// Why the jobs make no order, in words.
pub(super) fn refused(fault: &OrderFault) -> Refusal {
    match fault {
        OrderFault::Library(fault) => library::refused(fault),
        OrderFault::UnknownJob(id) => unknown_job("jobs", id),
        OrderFault::Twice(id) => {
            Refusal::new("jobs", "twice", format!("jobs: \"{id}\" is named twice. Name each job once."))
        }
        OrderFault::UnknownChoice { key, value, possible } => {
            let possible = if possible.is_empty() { "there is no such choice".to_owned() } else { possible.join(", ") };
            Refusal::new("choices", "unknown_choice", format!("choices: {key} is \"{value}\"; possible: {possible}."))
        }
        OrderFault::MissingChoice { key, possible } => Refusal::new(
            "choices",
            "missing_choice",
            format!(
                "choices: {key} must be answered for these jobs and is never guessed; possible: {}.",
                possible.join(", ")
            ),
        ),
        OrderFault::Cycle(ops) => Refusal::new(
            "jobs",
            "cycle",
            format!(
                "jobs: operations wait for each other in a ring: {} and again the first. Leave one of the jobs out.",
                ops.join(", then ")
            ),
        ),
        OrderFault::Infeasible { blocked } => {
            let each: Vec<_> = blocked
                .iter()
                .map(|(op, needs)| if needs.is_empty() { op.clone() } else { format!("{op} ({})", needs.join(", ")) })
                .collect();
            Refusal::new(
                "jobs",
                "infeasible",
                format!(
                    "jobs: no sequence satisfies every need. Never reached: {}. Leave one of the jobs out.",
                    each.join("; ")
                ),
            )
        }
        OrderFault::TooLarge => Refusal::new(
            "jobs",
            "too_large",
            "jobs: no sequence was found for so many operations at once. Leave some of the jobs out.",
        ),
    }
}

/// A job that is not of the library.
pub(super) fn unknown_job(field: &str, id: &str) -> Refusal {
    Refusal::new(field, "unknown_job", format!("{field}: \"{id}\" is no job of the library. Check its id."))
}
