//! What lies on the bench and ahead: jobs that are open, and by which day a worn part must be there.

use jiff::ToSpan as _;
use jiff::civil::DateTime;
use serde::Serialize;
use serde_json::json;
use upkeep::job::bench::{Bench, End};
use upkeep::job::handbook::in_use;
use upkeep::record::Role;

use crate::ask::Gap;
use crate::bench::{Desk, Laid};
use crate::fact::{Cell, Column, Table};
use crate::record::order::{self, Line, OrderView};
use crate::record::replace::Asked;
use crate::record::{Record, due};
use crate::verdict::Verdict;
use crate::words::{lower, number};

/// A date further off than this is no date.
const FAR_D: f64 = 730.0;

/// A job that is open.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OpenJob {
    /// Its name in the library.
    pub job: String,
    /// Its title.
    pub title: String,
    /// The day on which it was begun.
    pub since: String,
    /// Where its work order stands; none where it was begun without one.
    pub at: Option<AtStep>,
}

/// The next step of an open order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct AtStep {
    /// The order.
    pub order: i64,
    /// The step's number; one past the last where all are done.
    pub step: usize,
    /// How many there are.
    pub of: usize,
    /// What it is; empty where all are done.
    pub title: String,
}

impl OpenJob {
    /// The job with where it stands.
    #[must_use]
    pub fn words(&self) -> String {
        match &self.at {
            None => self.title.clone(),
            Some(at) if at.step > at.of => format!("{}: every step done, order {} to be closed", self.title, at.order),
            Some(at) => format!("{}: step {} of {}, {}", self.title, at.step, at.of, at.title),
        }
    }
}

/// The orders that are open, each laid out as it stands; a gap where it can no longer be.
pub(super) fn on_the_bench<'r>(record: &'r Record<'_>) -> Vec<(Desk<'r>, Result<Laid, Gap>)> {
    let open = record.benches.iter().filter(|bench| bench.end() == End::Open);
    // What the manual says changes no step and no number: it is not read for it.
    let desk = |bench: &'r Bench| Desk {
        bike: record.bike,
        manual: &[],
        bench,
        before: &record.benches,
        handbook: in_use(),
        now: record.now,
        who: None,
    };
    open.map(desk).map(|desk| (desk, desk.lay_out())).collect()
}

/// The jobs that are open, oldest first.
pub(super) fn open_jobs(record: &Record<'_>, orders: &[(Desk<'_>, Result<Laid, Gap>)]) -> Vec<OpenJob> {
    let job = |name: &str, since: DateTime| {
        let known = in_use().job(name);
        let order = orders.iter().find(|(desk, _)| desk.bench.jobs_now().contains(&name));
        OpenJob {
            job: name.to_owned(),
            title: known.map_or_else(|| name.to_owned(), |known| known.job.title.clone()),
            since: since.date().to_string(),
            at: order.and_then(|(desk, laid)| Some(at_step(desk.bench, laid.as_ref().ok()?))),
        }
    };
    let mut all: Vec<OpenJob> =
        record.log.open_work().into_iter().map(|(entry, work)| job(work.job(), entry.at)).collect();
    for (desk, _) in orders {
        for name in desk.bench.jobs_now() {
            if !all.iter().any(|known| known.job == name) {
                all.push(job(name, desk.bench.at));
            }
        }
    }
    all
}

/// The next step of an order.
pub(super) fn at_step(bench: &Bench, laid: &Laid) -> AtStep {
    let done = laid.done();
    let title = laid.sheet.steps.get(done).map(|step| lower(&step.title)).unwrap_or_default();
    AtStep { order: bench.id, step: done + 1, of: laid.sheet.steps.len(), title }
}

/// By which day a part must be there, the soonest first: from the chain's hours left and the rider's own habit.
pub(super) fn orders(record: &Record<'_>) -> Table {
    let columns =
        vec![Column::words("part", "Part"), Column::words("by", "Must be there by"), Column::words("why", "Why")];
    let mut table = Table::new("order", "To order, soonest first; the delivery days come off that date", columns);
    let decided = order::view(record, &Asked::default(), None).map(|view| decided(&view)).unwrap_or_default();
    if decided.is_empty() {
        table.rows.extend(chain(record).ok().flatten());
    } else {
        table.rows = decided;
    }
    table
}

/// What the decision about the set orders, as its own page dates it; empty where it dates nothing.
fn decided(view: &OrderView) -> Vec<Vec<Cell>> {
    let mut dated: Vec<(&str, &Line)> =
        view.lines.iter().filter_map(|line| Some((line.needed.as_deref()?, line))).collect();
    dated.sort_by_key(|(day, _)| *day);
    let cells = |(day, line): (&str, &Line)| {
        let why = match (line.now, line.left_h) {
            (true, _) => "new now, by the decision about the set".to_owned(),
            (false, Some(left)) => format!("about {} h left at your habit", number(left, 0)),
            (false, None) => "by your habit".to_owned(),
        };
        [order::name(line.part).to_owned(), day.to_owned(), why].map(Cell::words).to_vec()
    };
    dated.into_iter().map(cells).collect()
}

fn chain(record: &Record<'_>) -> Result<Option<Vec<Cell>>, Gap> {
    let ahead = record.forecast()?;
    let ([Some(low), ..], Verdict::Ready) = (ahead.left_h, ahead.verdict) else { return Ok(None) };
    let Some((mean, count)) = due::ride_h(record) else { return Ok(None) };
    let counter = json!({"kind": "hours", "left": low, "per_ride": mean, "rides_known": count});
    let Some(days) = due::habit(record, counter)?.get("due_low_d").filter(|days| *days < FAR_D) else {
        return Ok(None);
    };
    #[expect(clippy::cast_possible_truncation, reason = "below two years of days")]
    let by = record.now.date().checked_add((days.floor() as i32).days()).ok();
    let name = record.log.fitted(Role::Chain).map_or("chain", |_| "chain, and what is worn with it");
    Ok(by.map(|by| {
        vec![
            Cell::words(name),
            Cell::words(by.to_string()),
            Cell::words(format!(
                "at least {} h left, {} h a ride, {} rides in {} days",
                number(low, 0),
                number(mean, 1),
                due::recent_rides(record),
                due::WINDOW_D
            )),
        ]
    }))
}
