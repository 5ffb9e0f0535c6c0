//! The drive by its latest readings: slack, tight spot, wear, the axle's place. A reading that no longer holds is none.

use serde_json::Value;
use upkeep::record::{AxleReading, ElongationReading, Entry, Fact as Noted, SlackKind, SlackReading, SlackState};

use super::fitted;
use crate::ask::{Gap, ask, from_sheet, with};
use crate::fit::CARE_ROOM_MM;
use crate::record::elongation::{self, fell, of_this_chain};
use crate::record::slack::{self as tight, TightSpotView};
use crate::record::{Record, days_between, first_day};
use crate::sheet_band;
use crate::slack::{self, Read};
use crate::verdict::{Reason, Verdict};
use crate::words::{mm, number, quantity};

/// Hours after which a length reading no longer speaks for the chain. The tool's own.
const FRESH_H: f64 = 20.0;
/// The same in days, where no hours are recorded.
const FRESH_D: i32 = 60;

/// What the latest readings say of the drive.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drive {
    /// Slack that still holds, as free slack at mid-run on the stand.
    pub slack_mm: Option<f64>,
    /// How uneven it was.
    pub tight_spot: Option<TightSpotView>,
    /// Elongation at the worst place.
    pub worst_pct: Option<f64>,
    /// Room of the axle to the rear stop.
    pub room_mm: Option<f64>,
    /// Both sides of the axle as read.
    pub axle: Option<AxleReading>,
    /// Why the drive is not ready, and why it is.
    pub reasons: Vec<Reason>,
}

impl Drive {
    /// The drive of a record, with slack that was just read if any.
    #[must_use]
    pub fn of(record: &Record<'_>, slack_mm: Option<f64>) -> Self {
        let mut drive = Self::default();
        drive.axle(record);
        match slack_mm {
            None => drive.slack(record),
            Some(slack_mm) => {
                if let Err(gap) = drive.judge_mid(record, slack_mm, "read now") {
                    drive.reasons.push(unknown("Slack", &gap));
                }
            }
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
            self.reasons.push(unknown("Slack", &gap));
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
        let setup = fitted(record)?;
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
        let setup = fitted(record)?;
        let read = Read { slack_mm: Some(slack_mm), ..Read::default() };
        let (judged, place) = match slack::judged(record.bike, setup, read) {
            // Without the geometry the sheet's own band still speaks.
            Err(gap) if gap.missing => {
                let reasons = sheet_band::alone(record.bike, SlackKind::Free, slack_mm).ok_or(gap)?;
                self.reasons.extend(reasons.iter().map(|reason| aged(reason, age)));
                return Ok(());
            }
            other => other?,
        };
        self.reasons.extend(judged.iter().map(|reason| aged(reason, age)));
        if self.room_mm.is_none() {
            let close = place.reasons.iter().filter(|reason| reason.verdict > Verdict::Ready);
            self.reasons.extend(close.cloned());
        }
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
            Err(gap) => self.reasons.push(unknown("Wear", &gap)),
        }
        match first_day::of_ride(record) {
            Ok(reason) => self.reasons.extend(reason),
            Err(gap) => self.reasons.push(unknown("Hours left", &gap)),
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
        self.axle = Some(axle);
        let middle = f64::midpoint(axle.left_mm(), axle.right_mm());
        let age = record.age(entry.at);
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
        match aligned(record, axle) {
            Ok(reason) => self.reasons.extend(reason.map(|reason| aged(&reason, &age))),
            Err(gap) => self.reasons.push(unknown("Alignment", &gap)),
        }
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

fn aligned(record: &Record<'_>, axle: AxleReading) -> Result<Option<Reason>, Gap> {
    let given = from_sheet(record.bike, &["track_mm", "sprocket_y_mm", "thread_pitch_mm"]);
    if !given.contains_key("track_mm") {
        return Ok(None);
    }
    let answer = ask("slack.alignment", &with(with(given, "left_mm", axle.left_mm()), "right_mm", axle.right_mm()))?;
    let get = |key: &str| answer.get(key).unwrap_or_default();
    let text = format!(
        "Wheel {}° off straight: left and right differ by {}, allowed {}.",
        number(get("skew_deg").abs(), 2),
        mm((axle.left_mm() - axle.right_mm()).abs()),
        quantity(get("allowed_mm"), "mm", 2)
    );
    let outside = answer.at("verdict").and_then(Value::as_str) == Some("outside");
    Ok(outside.then(|| Reason::new(Verdict::Care, "slack.alignment", text).cleared_by("Straighten the wheel", 10)))
}

/// A reason with the age of the reading behind it.
fn aged(reason: &Reason, age: &str) -> Reason {
    let text = reason.text.strip_suffix('.').unwrap_or(&reason.text);
    Reason { text: format!("{text} ({age})."), ..reason.clone() }
}

fn unknown(part: &str, gap: &Gap) -> Reason {
    let reason = Reason::new(Verdict::Unknown, gap.figure, format!("{part} not known. {}", gap.text));
    if gap.how_to.is_empty() { reason } else { reason.cleared_by(gap.how_to.clone(), 5) }
}
