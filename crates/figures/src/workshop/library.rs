//! The `library` field: the planning part of a job library, read from JSON.

use serde_json::Value;
use upkeep::job::{
    Choice, Job, JobOp, Library, LibraryFault, Literal, OnFail, Operation, Part as Spare, State, Variant, When,
};

use super::json::Part;
use crate::Refusal;

const FIELD: &str = "library";
const TOP: [&str; 6] = ["states", "finishers", "shared_ops", "variants", "choices", "jobs"];
const STATE: [&str; 9] =
    ["id", "open_min", "close_min", "needs", "close_needs", "open_after", "kit", "parts", "on_fail"];
const OWN: [&str; 9] = ["id", "needs", "after", "min", "kit", "when", "stage", "finds", "on_fail"];
const COMMON: [&str; 11] =
    ["id", "needs", "after", "min", "kit", "when", "stage", "finds", "on_fail", "finishes", "opens"];

/// A library that holds together.
pub(super) fn read(value: &Value) -> Result<Library, Refusal> {
    let top = Part::of(FIELD, FIELD.to_owned(), value, &TOP)?;
    let library = Library {
        states: top.parts("states", &STATE, |part| state(&part))?,
        finishers: top.parts("finishers", &COMMON, |part| operation(&part))?,
        shared: top.parts("shared_ops", &COMMON, |part| operation(&part))?,
        variants: top.parts("variants", &["key", "value", "state", "needs"], |part| variant(&part))?,
        choices: top.parts("choices", &["key", "values", "default"], |part| choice(&part))?,
        jobs: top.parts("jobs", &["id", "covers", "ops", "parts", "consumables"], |part| job(&part))?,
    };
    library.check().map_err(|fault| refused(&fault))?;
    Ok(library)
}

/// A fault of the library in words.
pub(super) fn refused(fault: &LibraryFault) -> Refusal {
    let (code, why) = match fault {
        LibraryFault::SameId { kind, id } => {
            ("same_id", format!("library: {kind} \"{id}\" is there twice. Give each its own id."))
        }
        LibraryFault::Dangling { owner, field, target } => (
            "dangling",
            format!("library: {field} of \"{owner}\" names \"{target}\", which is not there. Add it or name another."),
        ),
    };
    Refusal::new(FIELD, code, why)
}

fn literals(part: &Part<'_>, key: &str) -> Result<Vec<Literal>, Refusal> {
    Ok(part.texts(key)?.iter().map(|word| Literal::of(word)).collect())
}

fn state(part: &Part<'_>) -> Result<State, Refusal> {
    Ok(State {
        id: part.text("id")?.to_owned(),
        open_min: part.whole("open_min")?,
        close_min: part.whole("close_min")?,
        needs: literals(part, "needs")?,
        close_needs: literals(part, "close_needs")?,
        open_after: part.texts("open_after")?,
        kit: part.opt_text("kit")?.unwrap_or_default().to_owned(),
        parts: spares(part)?,
        on_fail: fails(part)?,
    })
}

fn operation(part: &Part<'_>) -> Result<Operation, Refusal> {
    let stage = part.opt_text("stage")?;
    if stage.is_some_and(|stage| stage != "ride") {
        return Err(part.refuse("no_such_word", "stage is not \"ride\". Leave it out or say ride."));
    }
    Ok(Operation {
        id: part.text("id")?.to_owned(),
        needs: literals(part, "needs")?,
        after: part.texts("after")?,
        minutes: part.whole("min")?,
        kit: part.opt_text("kit")?.unwrap_or_default().to_owned(),
        opens: part.texts("opens")?,
        finishes: part.texts("finishes")?,
        when: when(part)?,
        rides: stage.is_some(),
        finds: !part.texts("finds")?.is_empty(),
        on_fail: fails(part)?,
    })
}

fn when(part: &Part<'_>) -> Result<Option<When>, Refusal> {
    let Some(word) = part.opt_text("when")? else { return Ok(None) };
    match word.split_once(':') {
        Some((key, value)) => Ok(Some(When { key: key.to_owned(), value: value.to_owned() })),
        None => Err(part.refuse("not_readable", "when is not key:value.")),
    }
}

fn spares(part: &Part<'_>) -> Result<Vec<Spare>, Refusal> {
    part.parts("parts", &["role", "qty", "optional"], |spare| {
        Ok(Spare { role: spare.text("role")?.to_owned(), qty: spare.whole("qty")?, optional: spare.flag("optional")? })
    })
}

fn fails(part: &Part<'_>) -> Result<Vec<OnFail>, Refusal> {
    part.parts("on_fail", &["hold", "job", "parts"], |fail| {
        Ok(OnFail {
            hold: fail.text("hold")?.to_owned(),
            job: fail.opt_text("job")?.map(str::to_owned),
            parts: fail.texts("parts")?,
        })
    })
}

fn variant(part: &Part<'_>) -> Result<Variant, Refusal> {
    Ok(Variant {
        key: part.text("key")?.to_owned(),
        value: part.text("value")?.to_owned(),
        state: part.text("state")?.to_owned(),
        needs: literals(part, "needs")?,
    })
}

fn choice(part: &Part<'_>) -> Result<Choice, Refusal> {
    Ok(Choice {
        key: part.text("key")?.to_owned(),
        values: part.texts("values")?,
        default: part.opt_text("default")?.map(str::to_owned),
    })
}

fn job(part: &Part<'_>) -> Result<Job, Refusal> {
    let known: Vec<_> = OWN.into_iter().chain(["use"]).collect();
    Ok(Job {
        id: part.text("id")?.to_owned(),
        covers: part.texts("covers")?,
        ops: part.parts("ops", &known, |op| line(&op))?,
        parts: spares(part)?,
        consumables: part.texts("consumables")?,
    })
}

fn line(part: &Part<'_>) -> Result<JobOp, Refusal> {
    let Some(id) = part.opt_text("use")? else { return operation(part).map(JobOp::Own) };
    match OWN.into_iter().find(|key| *key != "when" && part.has(key)) {
        Some(key) => Err(part.refuse("one_form_only", &format!("use and {key} exclude each other."))),
        None => Ok(JobOp::Use { id: id.to_owned(), when: when(part)? }),
    }
}
