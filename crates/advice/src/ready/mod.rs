//! Can I ride, and what first: one verdict from the record, each reason with figure, limit, age and what clears it.
//!
//! The worst reason decides and all are listed. What is not known is never ready. Riding against a stop needs a written
//! reason, which stays in the history and changes no verdict.

mod ahead;
mod chain;
mod used;
mod work;

use serde::Serialize;
use upkeep::record::{Fact as Noted, Role};

use crate::ask::Gap;
use crate::bench::{Desk, Laid};
use crate::block::Block;
use crate::fact::{Fact, Table};
use crate::fit;
use crate::record::due::Due;
use crate::record::forecast::ForecastView;
use crate::record::slack::TightSpotView;
use crate::record::used::{Span, of, of_bike};
use crate::record::{Record, due, forecast};
use crate::slack::Read;
use crate::verdict::{self, Reason, Verdict};
use crate::words::{count, mm, number, quantity};

use chain::Drive;

pub use ahead::{AtStep, OpenJob};
pub use chain::standing_slack;
pub(crate) use work::in_words;
pub use work::wanted_after;

/// The next ride or event.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Next {
    /// What it is called.
    pub name: String,
    /// When, by the rider's clock.
    pub at: String,
    /// Days until then.
    pub in_d: i32,
    /// Whether it is an event.
    pub event: bool,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReadyView {
    /// The bike's name.
    pub bike: String,
    /// Whether its figures are invented.
    pub invented: bool,
    /// The worst of all reasons.
    pub verdict: Verdict,
    /// The answer in a sentence.
    pub sentence: String,
    /// The next ride.
    pub next: Option<Next>,
    /// Why, worst first.
    pub reasons: Vec<Reason>,
    /// Total hours; none where they are known as a range only.
    pub hours_h: Option<f64>,
    /// Hours known as a range: of the bike, of its chain and sprockets.
    pub used: Vec<Span>,
    /// The chain in short: slack, elongation with hours left, unevenness, room.
    pub strip: Vec<Fact>,
    /// What is due.
    pub due: Table,
    /// What to order, by its day.
    pub order: Table,
    /// Jobs that are open.
    pub open_jobs: Vec<OpenJob>,
    /// Slack that was read last and still holds, as free slack at mid-run.
    pub slack_mm: Option<f64>,
    /// How uneven it was.
    pub tight_spot: Option<TightSpotView>,
    /// Reasons that somebody wrote for riding against a stop.
    pub waivers: Vec<String>,
}

/// Answers from what is recorded.
#[must_use]
pub fn view(record: &Record<'_>) -> ReadyView {
    with_read(record, Read::default())
}

/// The same with what was just read instead of what is recorded.
#[must_use]
pub fn with_read(record: &Record<'_>, read: Read) -> ReadyView {
    let of_bike = of_bike(record).ok().flatten();
    let hours_h = record.hours().ok().flatten().filter(|_| of_bike.is_none());
    let drive = Drive::of(record, read);
    let (due, orders) = (due::all(record), ahead::on_the_bench(record));
    let reasons = gathered(record, &drive, due.as_deref(), &orders);
    let due = due.unwrap_or_default();
    let next = next(record);
    ReadyView {
        bike: record.bike.name.clone(),
        invented: record.bike.invented,
        verdict: verdict::of(&reasons),
        sentence: sentence(verdict::of(&reasons), &reasons, next.as_ref()),
        next,
        hours_h,
        strip: strip(record, &drive, hours_h, of_bike.as_ref()),
        used: used::spans(record, of_bike),
        due: due::table(&due),
        order: ahead::orders(record),
        open_jobs: ahead::open_jobs(record, &orders),
        slack_mm: drive.slack_mm,
        tight_spot: drive.tight_spot,
        waivers: waivers(record),
        reasons,
    }
}

/// The reasons of the same answer alone, worst first: what is to order, which takes longest, is not asked for.
#[must_use]
pub fn reasons(record: &Record<'_>) -> Vec<Reason> {
    let drive = Drive::of(record, Read::default());
    gathered(record, &drive, due::all(record).as_deref(), &ahead::on_the_bench(record))
}

fn gathered(
    record: &Record<'_>,
    drive: &Drive,
    due: Result<&[Due], &Gap>,
    orders: &[(Desk<'_>, Result<Laid, Gap>)],
) -> Vec<Reason> {
    let mut reasons = Vec::new();
    if let Err(gap) = record.hours() {
        let reason = Reason::new(Verdict::Unknown, "wear.hours", format!("Hours not known. {}", gap.text));
        reasons.push(reason.cleared_at("drive/measure/meter", "Record the change of meter, or correct the reading", 2));
    }
    reasons.extend(fit::against(record.bike));
    reasons.extend(drive.reasons.iter().cloned());
    reasons.extend(work::reasons(record, orders));
    reasons.extend(used::reasons(record));
    match due {
        Ok(due) => reasons.extend(due.iter().filter_map(|due| due.reason.clone())),
        Err(gap) => reasons.push(gap.reason("What is due")),
    }
    reasons.dedup();
    verdict::worst_first(&mut reasons);
    reasons
}

fn next(record: &Record<'_>) -> Option<Next> {
    let entry = record.log.next_planned(record.now)?;
    let Noted::Planned(planned) = &entry.fact else { return None };
    Some(Next {
        name: planned.name().to_owned(),
        at: entry.at.strftime("%Y-%m-%d %H:%M").to_string(),
        in_d: crate::record::days_between(record.now, entry.at),
        event: planned.event(),
    })
}

/// The answer in a sentence: how much is to be cleared, in how many minutes as far as they are known, for which ride.
fn sentence(verdict: Verdict, reasons: &[Reason], next: Option<&Next>) -> String {
    let against: Vec<&Reason> = reasons.iter().filter(|reason| reason.verdict > Verdict::Ready).collect();
    let minutes = against.iter().filter_map(|reason| Some(reason.clear.as_ref()?.minutes_min)).filter(|min| *min > 0);
    let (timed, minutes) = minutes.fold((0, 0), |(timed, sum), minutes| (timed + 1, sum + minutes));
    let about = match timed {
        0 => String::new(),
        timed if timed == against.len() => format!(", about {minutes} min"),
        _ => format!(", {minutes} min or more"),
    };
    let lead = match verdict {
        Verdict::Ready => "Nothing stands against riding.".to_owned(),
        _ => format!("{} to clear{about}.", count(against.len(), "reason")),
    };
    match next {
        Some(next) => format!("{lead} Next: {} {}.", next.name, crate::record::ahead(next.in_d)),
        None => lead,
    }
}

fn strip(record: &Record<'_>, drive: &Drive, hours_h: Option<f64>, of_bike: Option<&Span>) -> Vec<Fact> {
    let unknown = |key, label: &str, what: &str| Fact::unknown(key, label, format!("not known: {what}"));
    let no_hours = || unknown("hours_h", "Hours", "read the meter, or log rides with their hours");
    let hours = hours_h.map_or_else(
        || of_bike.map_or_else(no_hours, |span| span.fact("hours_h", "Hours")),
        |hours| Fact::new("hours_h", "Hours", format!("{} h", number(hours, 1)), hours).says("wear.hours"),
    );
    let slack = drive.slack_mm.map_or_else(
        || unknown("slack_mm", "Slack", "measure it on the stand"),
        |slack| Fact::new("slack_mm", "Slack", mm(slack), slack).says("slack.required"),
    );
    let worst = drive.worst_pct.map_or_else(
        || unknown("elongation_pct", "Chain", "measure its length over 20 pitches at 3 places"),
        |worst| {
            // Of a range one reading says how much is left; without one the log must speak.
            let ranged = of(record, Role::Chain).is_ok_and(|span| span.is_some());
            let told = |view: &ForecastView| view.verdict == Verdict::Ready || (ranged && view.left_h[0].is_some());
            let left = record.forecast().ok().filter(|view| told(view));
            let left = left.map_or_else(String::new, |view| format!(", {} left", forecast::words(view.left_h)));
            let text = format!("{} % at its worst place{}", number(worst, 2), left.replace(", left", " left"));
            Fact::new("elongation_pct", "Chain", text, worst).says("wear.forecast")
        },
    );
    let range = drive.tight_spot.as_ref().and_then(|view| view.axle_range_mm).map_or_else(
        || unknown("axle_range_mm", "Uneven", "read slack at several places of the chain"),
        |range| {
            Fact::new("axle_range_mm", "Uneven", format!("{} at the axle", quantity(range, "mm", 2)), range)
                .says("wear.tight_spot")
        },
    );
    let room = drive.room_mm.map_or_else(
        || unknown("room_mm", "Axle", "measure pivot to axle on both sides"),
        |room| Fact::new("room_mm", "Axle", format!("{} left to the rear stop", mm(room)), room),
    );
    let chain = of(record, Role::Chain).ok().flatten().map(|span| span.fact("chain_hours_h", "Hours of the chain"));
    [hours, slack, worst].into_iter().chain(chain).chain([range, room]).collect()
}

fn waivers(record: &Record<'_>) -> Vec<String> {
    let written = record.log.entries().iter().rev().filter_map(|entry| match &entry.fact {
        Noted::Waiver(waiver) => Some(format!("{}: {}", entry.at.date(), waiver.reason())),
        _ => None,
    });
    written.take(3).collect()
}

impl ReadyView {
    /// The reasons that would have to be overridden: what stands on stop.
    #[must_use]
    pub fn stops(&self) -> String {
        let stops = self.reasons.iter().filter(|reason| reason.verdict == Verdict::Stop);
        stops.map(|reason| reason.text.as_str()).collect::<Vec<_>>().join(" ")
    }

    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let mut blocks = vec![
            Block::Heading("Can I ride?"),
            Block::Verdict(self.verdict, self.verdict.words(), self.sentence.clone()),
            Block::Reasons(&self.reasons),
        ];
        blocks.extend(self.known());
        blocks
    }

    /// What the record says beside the verdict: the chain in short, what is due, what was ridden against a stop.
    #[must_use]
    pub fn known(&self) -> Vec<Block<'_>> {
        let mut blocks = vec![Block::Facts(&self.strip), Block::Table(&self.due), Block::Table(&self.order)];
        let open: Vec<String> =
            self.open_jobs.iter().map(|job| format!("Open since {}: {}", job.since, job.words())).collect();
        if !open.is_empty() {
            blocks.push(Block::List(open));
        }
        if let Some(next) = &self.next {
            blocks.push(Block::Text(format!(
                "Next: {} on {}, {}.",
                next.name,
                next.at,
                crate::record::ahead(next.in_d)
            )));
        }
        if !self.waivers.is_empty() {
            blocks.push(Block::Text("Ridden against a stop, with the rider's own reason:".to_owned()));
            blocks.push(Block::List(self.waivers.clone()));
        }
        blocks
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_are_said_whole_only_where_each_reason_has_its_own() {
        let care = |minutes: u32| Reason::new(Verdict::Care, "", "a reason").cleared_by("do it", minutes);
        let bare = Reason::new(Verdict::Stop, "", "a reason");
        let ready = Reason::new(Verdict::Ready, "", "all well").cleared_by("look again", 5);
        for (reasons, said) in [
            (vec![care(20)], "1 reason to clear, about 20 min."),
            (vec![care(20), care(15), ready.clone()], "2 reasons to clear, about 35 min."),
            (vec![care(20), care(0)], "2 reasons to clear, 20 min or more."),
            (vec![care(20), bare.clone()], "2 reasons to clear, 20 min or more."),
            (vec![care(0), bare], "2 reasons to clear."),
        ] {
            assert_eq!(sentence(Verdict::Stop, &reasons, None), said);
        }
        assert_eq!(sentence(Verdict::Ready, &[ready], None), "Nothing stands against riding.");
    }
}
