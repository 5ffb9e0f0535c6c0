//! The drive by its latest readings: slack, tight spot, wear, the axle's place. A reading that no longer holds is none.

use upkeep::record::{ElongationReading, Entry, Fact as Noted, SlackKind, SlackReading, SlackState};

use crate::Setup;
use crate::alignment;
use crate::ask::Gap;
use crate::fit::CARE_ROOM_MM;
use crate::record::elongation::{self, fell, of_this_chain};
use crate::record::slack::{self as tight, TightSpotView};
use crate::record::{Record, days_between, first_day};
use crate::sheet_band;
use crate::slack::{self, Read};
use crate::verdict::{Reason, Verdict};
use crate::words::{mm, number};

/// Hours after which a length reading no longer speaks for the chain. The tool's own.
const FRESH_H: f64 = 20.0;
/// The same in days, where no hours are recorded.
const FRESH_D: i32 = 60;

/// The age of what was typed with the question.
const READ_NOW: &str = "read now";

/// Slack that was read last and still holds, as free slack at mid-run on the stand, with its age in words.
#[must_use]
pub fn standing_slack(record: &Record<'_>) -> Option<(f64, String)> {
    let (entry, reading) = valid_slack(record)?;
    let free = reading.kind() == SlackKind::Free && reading.state() == SlackState::Stand;
    let slack_mm =
        free.then(|| tight::comparable(record.bike, Setup::fitted(record.bike).ok()?, reading).ok()).flatten()?;
    Some((slack_mm, record.age(entry.at)))
}

/// What the latest readings say of the drive.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Drive {
    /// Slack that still holds, as free slack at mid-run on the stand.
    pub(super) slack_mm: Option<f64>,
    /// How uneven it was.
    pub(super) tight_spot: Option<TightSpotView>,
    /// Elongation at the worst place.
    pub(super) worst_pct: Option<f64>,
    /// Room of the axle to the rear stop.
    pub(super) room_mm: Option<f64>,
    /// Why the drive is not ready, and why it is.
    pub(super) reasons: Vec<Reason>,
}

impl Drive {
    /// The drive of a record, with what was just read instead of what is recorded.
    pub(super) fn of(record: &Record<'_>, read: Read) -> Self {
        let mut drive = Self::default();
        match read.sides_mm() {
            Some(sides_mm) => drive.sides(record, sides_mm, READ_NOW),
            None => drive.axle(record),
        }
        match read.slack_mm {
            Some(slack_mm) => {
                if let Err(gap) = drive.judge_mid(record, slack_mm, READ_NOW) {
                    drive.reasons.push(gap.reason("Slack"));
                }
            }
            None => drive.slack(record),
        }
        drive.wear(record);
        drive
    }

    fn slack(&mut self, record: &Record<'_>) {
        let Some((entry, reading)) = valid_slack(record) else {
            let text = match record.log.slack_moved() {
                Some(moved) => format!(
                    "No slack reading since the drive was last moved on {} ({}).",
                    moved.at.date(),
                    record.age(moved.at)
                ),
                None => "No slack reading recorded.".to_owned(),
            };
            self.reasons.push(Reason::new(Verdict::Unknown, "", text).cleared_at(
                "drive/measure/slack",
                "Measure slack",
                3,
            ));
            return;
        };
        let age = record.age(entry.at);
        if let Err(gap) = self.judge_slack(record, reading, &age) {
            self.reasons.push(gap.reason("Slack"));
        }
    }

    fn judge_slack(&mut self, record: &Record<'_>, reading: &SlackReading, age: &str) -> Result<(), Gap> {
        let on_stand = reading.state() == SlackState::Stand;
        if reading.is_taut() {
            self.slack_mm = (on_stand && reading.kind() == SlackKind::Free).then_some(0.0);
            self.reasons.push(aged(&sheet_band::taut(), age));
            return Ok(());
        }
        if reading.kind() == SlackKind::Gap
            && on_stand
            && let Some(reasons) = sheet_band::alone(record.bike, SlackKind::Gap, reading.tightest_mm())
        {
            self.reasons.extend(reasons.iter().map(|reason| aged(reason, age)));
            return Ok(());
        }
        let setup = Setup::fitted(record.bike)?;
        let slack_mm = tight::comparable(record.bike, setup, reading)?;
        match tight::view(record.bike, setup, reading) {
            Ok(spot) => {
                self.reasons.extend(spot.reasons.iter().map(|reason| aged(reason, age)));
                self.tight_spot = Some(spot);
            }
            Err(gap) if gap.missing => {}
            Err(gap) => return Err(gap),
        }
        self.judge_mid(record, slack_mm, age)
    }

    fn judge_mid(&mut self, record: &Record<'_>, slack_mm: f64, age: &str) -> Result<(), Gap> {
        self.slack_mm = Some(slack_mm);
        let setup = Setup::fitted(record.bike)?;
        let read = Read { slack_mm: Some(slack_mm), ..Read::default() };
        let judged = match slack::judged(record.bike, setup, read) {
            // Without the geometry the sheet's own band still speaks.
            Err(gap) if gap.missing => {
                let reasons = sheet_band::alone(record.bike, SlackKind::Free, slack_mm).ok_or(gap)?;
                self.reasons.extend(reasons.iter().map(|reason| aged(reason, age)));
                return Ok(());
            }
            other => other?,
        };
        self.reasons.extend(judged.iter().map(|reason| aged(reason, age)));
        Ok(())
    }

    fn wear(&mut self, record: &Record<'_>) {
        let readings = of_this_chain(record);
        let Some(((entry, reading), before)) = readings.split_last() else {
            let kept = first_day::alone(record).ok().flatten();
            let text = kept.map_or_else(|| "No length reading of this chain.".to_owned(), |view| view.sentence);
            self.reasons.push(Reason::new(Verdict::Unknown, "", text).cleared_at(
                "drive/measure/elongation",
                "Measure 20 pitches at 3 places",
                5,
            ));
            return;
        };
        match judged(record, entry, reading, before.last()) {
            Ok((worst, reasons)) => {
                self.worst_pct = Some(worst);
                self.reasons.extend(reasons);
            }
            Err(gap) => self.reasons.push(gap.reason("Wear")),
        }
        match first_day::of_ride(record) {
            Ok(reason) => self.reasons.extend(reason),
            Err(gap) => self.reasons.push(gap.reason("Hours left")),
        }
    }

    fn axle(&mut self, record: &Record<'_>) {
        let pick = |fact: &Noted| if let Noted::Axle(axle) = fact { Some(*axle) } else { None };
        let moved = record.log.slack_moved().map(|entry| (entry.at, entry.id));
        let Some((entry, axle)) =
            record.last(pick).filter(|(entry, _)| moved.is_none_or(|moved| (entry.at, entry.id) > moved))
        else {
            return;
        };
        self.sides(record, [axle.left_mm(), axle.right_mm()], &record.age(entry.at));
    }

    /// Both sides of the axle: room to each stop, and whether the wheel stands straight.
    fn sides(&mut self, record: &Record<'_>, [left_mm, right_mm]: [f64; 2], age: &str) {
        let middle = f64::midpoint(left_mm, right_mm);
        if let (Some(front), Some(rear)) = (record.bike.number("slot_min_mm"), record.bike.number("slot_max_mm")) {
            self.room_mm = Some(rear - middle);
            for (room, stop) in [(rear - middle, "rear"), (middle - front, "front")] {
                if room < CARE_ROOM_MM {
                    let text =
                        format!("Axle {} from the {stop} stop, care under {} ({age}).", mm(room), mm(CARE_ROOM_MM));
                    self.reasons.push(Reason::new(Verdict::Care, "", text));
                }
            }
        }
        let straight = alignment::reason(record.bike, [left_mm, right_mm]);
        self.reasons.extend(straight.map(|reason| aged(&reason, age)));
    }
}

/// The last slack reading, if nothing moved the drive since.
pub(crate) fn valid_slack<'r>(record: &'r Record<'_>) -> Option<(&'r Entry, &'r SlackReading)> {
    let moved = record.log.slack_moved().map(|entry| (entry.at, entry.id));
    let pick = |fact: &'r Noted| if let Noted::Slack(slack) = fact { Some(slack) } else { None };
    let last = record.log.of(pick).next_back()?;
    moved.is_none_or(|moved| (last.0.at, last.0.id) > moved).then_some(last)
}

fn judged(
    record: &Record<'_>,
    entry: &Entry,
    reading: &ElongationReading,
    before: Option<&(&Entry, &ElongationReading)>,
) -> Result<(f64, Vec<Reason>), Gap> {
    let view = elongation::view(record.bike, reading)?;
    let before = before.map(|(_, reading)| elongation::view(record.bike, reading)).transpose()?;
    let fall = before.and_then(|before| fell(&before, &view));
    let age = record.age(entry.at);
    let mut reasons: Vec<Reason> = view.reasons.iter().map(|reason| aged(reason, &age)).collect();
    reasons.extend(fall);
    let old = match record.since_h(entry.at) {
        Some(hours) if hours > FRESH_H => Some(format!("{} h", number(hours, 1))),
        None if days_between(entry.at, record.now) > FRESH_D => {
            Some(format!("{} days", days_between(entry.at, record.now)))
        }
        _ => None,
    };
    if let Some(old) = old {
        let text =
            format!("The last length reading of the chain is {old} old; it speaks for {} h.", number(FRESH_H, 0));
        reasons.push(Reason::new(Verdict::Unknown, "", text).cleared_at(
            "drive/measure/elongation",
            "Measure 20 pitches at 3 places",
            5,
        ));
    }
    Ok((view.worst_pct, reasons))
}

/// A reason with the age of the reading behind it.
fn aged(reason: &Reason, age: &str) -> Reason {
    let text = reason.text.strip_suffix('.').unwrap_or(&reason.text);
    Reason { text: format!("{text} ({age})."), ..reason.clone() }
}
