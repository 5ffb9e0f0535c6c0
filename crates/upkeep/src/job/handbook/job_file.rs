//! The file of one job, as it is written. Empty lists may be left out.

use serde::Deserialize;

use super::entry::{ConsumableEntry, FigureEntry, JobLine, PartEntry};

/// When a job comes round.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Trigger {
    /// Hours, measure, look or event.
    pub kind: String,
    /// What is met.
    pub text: String,
}

/// Hours between two times of a job.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Interval {
    /// From and to, in engine hours; none where condition decides.
    pub hours: Option<[f64; 2]>,
    /// What this rests on.
    pub basis: String,
    /// What shifts it.
    pub note: Option<String>,
}

/// How long a job takes alone.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TimeRange {
    /// At best.
    pub low_min: u32,
    /// With trouble.
    pub high_min: u32,
    /// What this rests on.
    pub basis: String,
}

/// A job's own words.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JobEntry {
    /// Its name.
    pub id: String,
    /// As a person reads it.
    pub title: String,
    /// Its group.
    pub group: String,
    /// What it is for.
    pub purpose: String,
    /// Skill it asks for, 1 to 5.
    pub skill: u8,
    /// What brings it on.
    pub triggers: Vec<Trigger>,
    /// Hours between two times.
    pub interval: Interval,
    /// How long it takes alone.
    pub time: TimeRange,
    /// Jobs contained in it.
    #[serde(default)]
    pub covers: Vec<String>,
    /// Jobs worth a thought beside it.
    #[serde(default)]
    pub consider_with: Vec<String>,
}

/// What is due some hours after a job.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FollowUp {
    /// From and to, in engine hours.
    pub after_hours: [f64; 2],
    /// What is looked at.
    pub text: String,
    /// What this rests on.
    pub basis: String,
}

/// The file of one job.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JobFile {
    /// Version of the form.
    pub schema: u32,
    /// Its own words.
    pub job: JobEntry,
    /// Figures that it asks for.
    #[serde(default)]
    pub figure: Vec<FigureEntry>,
    /// Parts.
    #[serde(default)]
    pub part: Vec<PartEntry>,
    /// Consumables.
    #[serde(default)]
    pub consumable: Vec<ConsumableEntry>,
    /// What is done, in order.
    pub op: Vec<JobLine>,
    /// What is due afterwards.
    #[serde(default)]
    pub follow_up: Vec<FollowUp>,
}
