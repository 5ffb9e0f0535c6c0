//! Jobs that are due: by the sheet's interval, by the library's range since they were done last, by the first hour.

use serde::Serialize;
use upkeep::job::handbook::Handbook;

use crate::record::{Record, due};
use crate::words::number;

/// A job that is due, and why.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DueJob {
    /// Its name.
    pub job: String,
    /// As a person reads it.
    pub title: String,
    /// Why.
    pub why: String,
}

/// The jobs that are due now or within the next ride that is planned.
///
/// # Holds when
/// A job that was never recorded is not guessed at: nothing is known of it. The library's hours are a range without
/// source; the oil interval is the sheet's own.
#[must_use]
pub fn jobs(record: &Record<'_>, handbook: &Handbook) -> Vec<DueJob> {
    let ride_h = record.planned_h().unwrap_or_default();
    let mut found: Vec<DueJob> = Vec::new();
    let mut add = |job: &str, why: String| {
        if let Some(file) = handbook.job(job).filter(|_| !found.iter().any(|known| known.job == job)) {
            found.push(DueJob { job: job.to_owned(), title: file.job.title.clone(), why });
        }
    };
    for one in due::all(record).unwrap_or_default() {
        if let (Some(job), Some(_)) = (one.job, &one.reason) {
            add(job, one.when);
        }
    }
    for file in handbook.jobs() {
        let Some([low, high]) = file.job.interval.hours else { continue };
        let since = record.log.last_done(&file.job.id).and_then(|entry| record.since_h(entry.at));
        let Some(since) = since.filter(|since| since + ride_h >= high) else { continue };
        let why = format!(
            "{} h since it was done; {} to {} h ({})",
            number(since, 1),
            number(low, 0),
            number(high, 0),
            file.job.interval.basis
        );
        add(&file.job.id, why);
    }
    found
}
