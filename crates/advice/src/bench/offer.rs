//! What is cheap while the bike is open anyway: jobs with the minutes that they add, those that they save, their price.

use serde::Serialize;
use upkeep::job::handbook::Handbook;
use upkeep::job::in_there;
use upkeep::record::{Fact, Log};

use crate::Gap;
use crate::fact::{Cell, Column, Table};
use crate::money::money;
use crate::plan;
use crate::words::number;

/// A job worth a thought.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OfferView {
    /// Its name.
    pub job: String,
    /// As a person reads it.
    pub title: String,
    /// Minutes that it adds, access and work.
    pub extra_min: f64,
    /// Access minutes that it saves against doing it alone later.
    pub saved_min: f64,
    /// What its parts cost the last time, or that no price is recorded.
    pub price: String,
    /// Whether a job of the order names it as worth a thought beside it.
    pub named: bool,
}

/// The offers of an order; those first that its jobs name, then by the minutes that they add.
///
/// # Errors
/// The order itself cannot be planned.
pub fn view(
    handbook: &Handbook,
    jobs: &[&str],
    choices: &[(String, String)],
    log: &Log,
) -> Result<Vec<OfferView>, Gap> {
    let choices: Vec<(&str, &str)> = choices.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
    let all: Vec<&str> = handbook.jobs().iter().map(|file| file.job.id.as_str()).collect();
    let found = in_there(handbook.library(), jobs, &choices, &all).map_err(plan::gap)?;
    let named = |job: &str| {
        let files = jobs.iter().filter_map(|id| handbook.job(id));
        files.flat_map(|file| &file.job.consider_with).any(|known| known == job)
    };
    let mut offers: Vec<OfferView> = found
        .offers
        .iter()
        .filter_map(|offer| {
            let file = handbook.job(offer.job)?;
            Some(OfferView {
                job: offer.job.to_owned(),
                title: file.job.title.clone(),
                extra_min: minutes(offer.extra_access_min + offer.extra_work_min),
                saved_min: minutes(offer.saved_access_min),
                price: price(handbook, offer.job, log),
                named: named(offer.job),
            })
        })
        .collect();
    offers.sort_by(|one, other| {
        other.named.cmp(&one.named).then(one.extra_min.total_cmp(&other.extra_min)).then(one.job.cmp(&other.job))
    });
    Ok(offers)
}

fn minutes(minutes: i64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "minutes of work lie far below 2^53")]
    let minutes = minutes as f64;
    minutes
}

/// What a part of the job cost the last time that one was fitted.
fn price(handbook: &Handbook, job: &str, log: &Log) -> String {
    let roles = handbook.job(job).into_iter().flat_map(|file| &file.part).filter(|part| !part.optional);
    let paid = roles.filter_map(|part| last_paid(&part.role, log));
    let words: Vec<String> = paid.collect();
    if words.is_empty() { "no price recorded".to_owned() } else { words.join(", ") }
}

fn last_paid(role: &str, log: &Log) -> Option<String> {
    let named = role.to_lowercase();
    log.entries().iter().rev().find_map(|entry| match &entry.fact {
        Fact::Part(part) if part.name().to_lowercase().contains(&named) => {
            let (minor, code) = part.price()?;
            Some(format!("{role} {} (paid {})", money(minor, code), entry.at.date()))
        }
        _ => None,
    })
}

/// The offers as a table.
#[must_use]
pub fn table(offers: &[OfferView]) -> Table {
    let columns = vec![
        Column::words("title", "While it is open anyway"),
        Column::numbers("extra_min", "Adds, min"),
        Column::numbers("saved_min", "Saves later, min"),
        Column::words("price", "Parts"),
        Column::words("job", "Job"),
    ];
    let mut table = Table::new("offers", "Cheap while it is open anyway", columns);
    table.rows.extend(offers.iter().map(|offer| {
        vec![
            Cell::words(&offer.title),
            Cell { text: number(offer.extra_min, 0), value: Some(offer.extra_min) },
            Cell { text: number(offer.saved_min, 0), value: Some(offer.saved_min) },
            Cell::words(&offer.price),
            Cell::words(&offer.job),
        ]
    }));
    table
}
