//! Readings off the chain and the axle, as they were read: lists over the loop, with place, state, kind and instrument.

use measure::bounds::record as bounds;

use super::held;
use crate::bike::Fault;

/// Most places of one reading.
const MOST_PLACES: usize = 120;

/// What kind of slack was read; the two are never turned into one another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SlackKind {
    /// Fully down to fully up, mid lower run.
    Free,
    /// Gap between chain and swingarm at the sheet's place.
    Gap,
}

/// How the bike stood.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SlackState {
    /// Wheel off the ground.
    Stand,
    /// On its wheels.
    Wheels,
    /// With its rider.
    Rider,
    /// With countershaft, pivot and axle in line.
    InLine,
}

impl SlackKind {
    /// Words and kinds.
    pub const WORDS: &[(&str, Self)] = &[("free", Self::Free), ("gap", Self::Gap)];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        super::word_for(Self::WORDS, self)
    }

    /// The kind of a word.
    ///
    /// # Errors
    /// No such word.
    pub fn of(word: &str) -> Result<Self, Fault> {
        super::word_of("kind", word, Self::WORDS)
    }
}

impl SlackState {
    /// Words and states, as the bike sheet says them.
    pub const WORDS: &[(&str, Self)] = &[
        ("stand", Self::Stand),
        ("wheels on the ground", Self::Wheels),
        ("rider on", Self::Rider),
        ("in line", Self::InLine),
    ];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        super::word_for(Self::WORDS, self)
    }

    /// The state of a word.
    ///
    /// # Errors
    /// No such word.
    pub fn of(word: &str) -> Result<Self, Fault> {
        super::word_of("state", word, Self::WORDS)
    }
}

/// Slack at one place or several.
#[derive(Debug, Clone, PartialEq)]
pub struct SlackReading {
    slack_mm: Vec<f64>,
    at_links: Option<Vec<f64>>,
    station: f64,
    state: SlackState,
    kind: SlackKind,
}

impl SlackReading {
    /// A reading: slack at each place, links gone by at each if they were counted, place along the run, state and kind.
    ///
    /// # Errors
    /// No reading, one out of its bounds, or places that do not rise one by one with the readings.
    pub fn new(
        slack_mm: Vec<f64>,
        at_links: Option<Vec<f64>>,
        station: f64,
        state: SlackState,
        kind: SlackKind,
    ) -> Result<Self, Fault> {
        some("slack_mm", slack_mm.len())?;
        slack_mm.iter().try_for_each(|value| held("slack_mm", *value, &bounds::SLACK).map(drop))?;
        if let Some(at) = &at_links {
            at.iter().try_for_each(|value| held("at_links", *value, &bounds::LINKS_PASSED).map(drop))?;
            if at.len() != slack_mm.len() || at.windows(2).any(|pair| pair[1] <= pair[0]) {
                let text = format!(
                    "at_links: {} places for {} readings; one for each, rising, is wanted.",
                    at.len(),
                    slack_mm.len()
                );
                return Err(Fault::new("at_links", "wrong_list", text));
            }
        }
        Ok(Self { slack_mm, at_links, station: held("station", station, &bounds::STATION)?, state, kind })
    }

    /// Slack at each place.
    #[must_use]
    pub fn slack_mm(&self) -> &[f64] {
        &self.slack_mm
    }

    /// Links gone by at each, if they were counted.
    #[must_use]
    pub fn at_links(&self) -> Option<&[f64]> {
        self.at_links.as_deref()
    }

    /// Place along the run.
    #[must_use]
    pub const fn station(&self) -> f64 {
        self.station
    }

    /// How the bike stood.
    #[must_use]
    pub const fn state(&self) -> SlackState {
        self.state
    }

    /// What kind of slack.
    #[must_use]
    pub const fn kind(&self) -> SlackKind {
        self.kind
    }

    /// The tightest reading; slack is set there, never at a mean.
    #[must_use]
    pub fn tightest_mm(&self) -> f64 {
        self.slack_mm.iter().copied().fold(f64::INFINITY, f64::min)
    }

    /// Whether there is a place without any slack.
    #[must_use]
    pub fn is_taut(&self) -> bool {
        self.tightest_mm() <= 0.0
    }

    /// The readings that are tightest, from 1.
    #[must_use]
    pub fn tightest_at(&self) -> Vec<usize> {
        let least = self.tightest_mm();
        self.slack_mm.iter().zip(1..).filter(|(value, _)| **value <= least).map(|(_, at)| at).collect()
    }
}

/// Lengths over some pitches at one place of the chain or several.
#[derive(Debug, Clone, PartialEq)]
pub struct ElongationReading {
    pitches: u32,
    length_mm: Vec<Vec<f64>>,
    maximum_error_mm: f64,
    resolution_mm: f64,
}

impl ElongationReading {
    /// A reading: pitches counted, the lengths read at each place, what the instrument is good for.
    ///
    /// # Errors
    /// No place, an empty one, or a number out of its bounds.
    pub fn new(
        pitches: u32,
        length_mm: Vec<Vec<f64>>,
        maximum_error_mm: f64,
        resolution_mm: f64,
    ) -> Result<Self, Fault> {
        held("pitches", f64::from(pitches), &bounds::PITCHES)?;
        some("length_mm", length_mm.len())?;
        for place in &length_mm {
            some("length_mm", place.len())?;
            place.iter().try_for_each(|value| held("length_mm", *value, &bounds::LENGTH).map(drop))?;
        }
        Ok(Self {
            pitches,
            length_mm,
            maximum_error_mm: held("maximum_error_mm", maximum_error_mm, &bounds::INSTRUMENT_ERROR)?,
            resolution_mm: held("resolution_mm", resolution_mm, &bounds::RESOLUTION)?,
        })
    }

    /// Pitches between the jaws.
    #[must_use]
    pub const fn pitches(&self) -> u32 {
        self.pitches
    }

    /// The lengths at each place.
    #[must_use]
    pub fn length_mm(&self) -> &[Vec<f64>] {
        &self.length_mm
    }

    /// Largest error of the instrument.
    #[must_use]
    pub const fn maximum_error_mm(&self) -> f64 {
        self.maximum_error_mm
    }

    /// Its step.
    #[must_use]
    pub const fn resolution_mm(&self) -> f64 {
        self.resolution_mm
    }
}

/// Pivot to axle on both sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleReading {
    left_mm: f64,
    right_mm: f64,
}

impl AxleReading {
    /// Both sides, larger further back.
    ///
    /// # Errors
    /// A side out of its bounds.
    pub fn new(left_mm: f64, right_mm: f64) -> Result<Self, Fault> {
        Ok(Self {
            left_mm: held("left_mm", left_mm, &bounds::SIDE)?,
            right_mm: held("right_mm", right_mm, &bounds::SIDE)?,
        })
    }

    /// Left.
    #[must_use]
    pub const fn left_mm(&self) -> f64 {
        self.left_mm
    }

    /// Right.
    #[must_use]
    pub const fn right_mm(&self) -> f64 {
        self.right_mm
    }
}

fn some(field: &'static str, count: usize) -> Result<(), Fault> {
    if (1..=MOST_PLACES).contains(&count) {
        return Ok(());
    }
    Err(Fault::new(field, "wrong_list", format!("{field} has {count} readings; 1 to {MOST_PLACES} are possible.")))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slack(list: &[f64]) -> Result<SlackReading, Fault> {
        SlackReading::new(list.to_vec(), None, 0.5, SlackState::Stand, SlackKind::Free)
    }

    #[test]
    fn slack_is_set_at_the_tightest_place_not_at_the_mean() {
        let reading = slack(&[84.0, 83.0, 86.0, 83.0]).expect("possible");
        assert_eq!(reading.tightest_at(), [2, 4]);
        assert!((reading.tightest_mm() - 83.0).abs() < 1e-12);
    }

    #[test]
    fn a_taut_chain_is_a_reading() {
        assert!(slack(&[0.0, 3.0]).is_ok_and(|reading| reading.is_taut()));
        assert!(!slack(&[0.5]).expect("possible").is_taut());
    }

    #[test]
    fn what_is_not_possible_is_no_reading() {
        for wrong in [&[][..], &[-0.1], &[f64::NAN], &[301.0]] {
            assert_eq!(slack(wrong).expect_err("not possible").field, "slack_mm");
        }
        let falling =
            SlackReading::new(vec![80.0, 81.0], Some(vec![12.0, 12.0]), 0.5, SlackState::Stand, SlackKind::Free);
        assert_eq!(falling.expect_err("places rise").field, "at_links");
        assert_eq!(ElongationReading::new(20, vec![vec![]], 0.05, 0.01).expect_err("empty").field, "length_mm");
        assert_eq!(ElongationReading::new(3, vec![vec![50.0]], 0.05, 0.01).expect_err("few").field, "pitches");
    }

    #[test]
    fn a_reading_is_kept_as_it_was_said() {
        let at = Some(vec![0.0, 30.0]);
        let slack = SlackReading::new(vec![84.0, 90.0], at, 0.4, SlackState::Rider, SlackKind::Gap).expect("possible");
        assert_eq!((slack.slack_mm(), slack.at_links()), (&[84.0, 90.0][..], Some(&[0.0, 30.0][..])));
        assert_eq!((slack.station(), slack.state(), slack.kind()), (0.4, SlackState::Rider, SlackKind::Gap));
        let bare = SlackReading::new(vec![84.0], None, 0.4, SlackState::Stand, SlackKind::Free).expect("possible");
        assert_eq!((bare.at_links(), bare.tightest_at()), (None, vec![1]));
        let length = ElongationReading::new(20, vec![vec![318.0, 318.1], vec![319.0]], 0.05, 0.01).expect("possible");
        assert_eq!((length.pitches(), length.maximum_error_mm(), length.resolution_mm()), (20, 0.05, 0.01));
        assert_eq!(length.length_mm(), [vec![318.0, 318.1], vec![319.0]]);
        let axle = AxleReading::new(1.5, 2000.0).expect("possible");
        assert_eq!((axle.left_mm(), axle.right_mm()), (1.5, 2000.0));
    }

    #[test]
    fn every_limit_of_a_reading_is_met_exactly_and_named_past_it() {
        let slack = |list: &[f64], at: Option<&[f64]>, station: f64| {
            SlackReading::new(list.to_vec(), at.map(<[f64]>::to_vec), station, SlackState::Stand, SlackKind::Free)
                .err()
                .map(|fault| (fault.field, fault.code))
        };
        let wrong = |field: &str, code| Some((field.to_owned(), code));
        assert_eq!(slack(&vec![300.0; MOST_PLACES], None, 0.5), None);
        assert_eq!(slack(&vec![300.0; MOST_PLACES + 1], None, 0.5), wrong("slack_mm", "wrong_list"));
        assert_eq!(slack(&[], None, 0.5), wrong("slack_mm", "wrong_list"));
        assert_eq!(slack(&[1.0, 300.1], None, 0.5), wrong("slack_mm", "out_of_range"));
        assert_eq!(slack(&[1.0, 2.0], Some(&[0.0, 1.0]), 0.5), None);
        assert_eq!(slack(&[1.0, 2.0], Some(&[1.0]), 0.5), wrong("at_links", "wrong_list"));
        assert_eq!(slack(&[1.0, 2.0], Some(&[1.0, 2.0, 3.0]), 0.5), wrong("at_links", "wrong_list"));
        assert_eq!(slack(&[1.0, 2.0], Some(&[2.0, 1.0]), 0.5), wrong("at_links", "wrong_list"));
        assert_eq!(slack(&[1.0, 2.0], Some(&[-1.0, 1.0]), 0.5), wrong("at_links", "out_of_range"));
        assert_eq!(slack(&[1.0], None, -0.1), wrong("station", "out_of_range"));
        let length = |pitches: u32, lists: Vec<Vec<f64>>, error: f64, step: f64| {
            ElongationReading::new(pitches, lists, error, step).err().map(|fault| (fault.field, fault.code))
        };
        let one = || vec![vec![318.0]];
        assert_eq!([length(4, one(), 0.05, 0.01), length(200, one(), 0.05, 0.01)], [None, None]);
        assert_eq!(length(201, one(), 0.05, 0.01), wrong("pitches", "out_of_range"));
        assert_eq!(length(20, vec![vec![1.0]; MOST_PLACES], 0.05, 0.01), None);
        assert_eq!(length(20, vec![vec![1.0]; MOST_PLACES + 1], 0.05, 0.01), wrong("length_mm", "wrong_list"));
        assert_eq!(length(20, vec![], 0.05, 0.01), wrong("length_mm", "wrong_list"));
        assert_eq!(length(20, vec![vec![1.0], vec![0.0]], 0.05, 0.01), wrong("length_mm", "out_of_range"));
        assert_eq!(length(20, one(), -1.0, 0.01), wrong("maximum_error_mm", "out_of_range"));
        assert_eq!(length(20, one(), 0.05, -1.0), wrong("resolution_mm", "out_of_range"));
        let side = |left: f64, right: f64| AxleReading::new(left, right).err().map(|fault| fault.field);
        assert_eq!([side(-0.1, 1.0), side(1.0, 2000.1)], [Some("left_mm".to_owned()), Some("right_mm".to_owned())]);
    }
}
