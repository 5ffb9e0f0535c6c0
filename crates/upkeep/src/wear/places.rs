//! Slack at several places of the chain: how uneven it is, and whether wheel or chain causes it.

use drive::chain::pitch_radius;
use drive::slack::free;
use measure::{Length, Links, Teeth};

use super::waves::waves;

/// The run on which slack is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Free run, tangent to tangent.
    pub span: Length,
    /// Place along it, 0–1 from the front.
    pub station: f64,
    /// Chain pitch.
    pub pitch: Length,
    /// Front sprocket.
    pub front: Teeth,
    /// Rear sprocket.
    pub rear: Teeth,
}

impl Run {
    /// Cosine of the angle between the run and the line of the centres.
    ///
    /// # Formula
    /// tan α = (R − r)/a with pitch radii p/(2 sin(π/z))
    fn cosine(&self) -> f64 {
        let a = self.span.mm();
        a / a.hypot(self.pitch.mm() * (pitch_radius(self.rear) - pitch_radius(self.front)))
    }
}

/// Range at the axle from which care and a stop hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleLimits {
    /// Above it: care.
    pub care: Length,
    /// Above it: stop.
    pub stop: Length,
}

/// Where along the chain the slack was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Periods {
    /// Links gone by since the mark, one for each reading, rising.
    pub at_links: Vec<f64>,
    /// Links of the chain.
    pub links: Links,
}

/// Slack readings of the free kind (two or more), and where they were taken if that was noted.
#[derive(Debug, Clone, PartialEq)]
pub struct Places {
    /// Slack at each place.
    pub slack: Vec<Length>,
    /// Where.
    pub periods: Option<Periods>,
}

/// How uneven the drive is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlaceVerdict {
    /// Even enough.
    Even,
    /// Uneven.
    Care,
    /// Too uneven to ride.
    Stop,
}

/// What makes the slack uneven.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// Neither: scatter of the readings.
    Neither,
    /// It repeats with the rear wheel.
    Wheel,
    /// It repeats with the chain.
    Chain,
    /// Both.
    Both,
    /// Cannot be told.
    Unknown,
}

/// What slack at several places says.
#[derive(Debug, Clone, PartialEq)]
pub struct TightSpot {
    /// Least slack.
    pub slack_min: Length,
    /// Most slack.
    pub slack_max: Length,
    /// Least surplus.
    pub surplus_min: Length,
    /// Range of the surplus.
    pub surplus_range: Length,
    /// Range at the axle: the run-out of one sprocket, if that alone caused it.
    pub axle_range: Length,
    /// Index of the tightest place (the first of equals).
    pub tightest: usize,
    /// What follows.
    pub verdict: PlaceVerdict,
    /// Where it comes from.
    pub cause: Cause,
    /// Places were noted but cannot tell wheel from chain.
    pub undecidable: bool,
    /// Size of the wheel's wave in the surplus.
    pub wheel_amplitude: Option<Length>,
    /// Size of the chain's wave in the surplus.
    pub chain_amplitude: Option<Length>,
    /// Information score of each model that could be tried, least is best.
    pub scores: Vec<(Cause, f64)>,
}

/// How uneven slack at several places is at the axle, as [`tight_spot`] judges it.
#[must_use]
pub fn axle_range(slack: &[Length], on: &Run) -> Length {
    let (low, high) = ends(&surpluses(slack, on));
    at_axle(low, high, on)
}

/// Surplus at each place, mm.
fn surpluses(slack: &[Length], on: &Run) -> Vec<f64> {
    slack.iter().map(|&slack| free::surplus(on.span, slack, on.station).mm()).collect()
}

fn at_axle(low: f64, high: f64, on: &Run) -> Length {
    Length::from_mm((high - low) / (2.0 * on.cosine()))
}

/// The least and the most.
fn ends(values: &[f64]) -> (f64, f64) {
    values.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(*value), high.max(*value)))
}

/// Judges slack at several places.
///
/// # Formula
/// Unevenness is judged by the surplus d, since slack goes as its root: range at the axle = (max d − min d)/(2 cos α).
///
/// # Holds when
/// At least two readings, `at_links` as many as readings.
#[must_use]
pub fn tight_spot(places: &Places, on: &Run, limits: AxleLimits) -> TightSpot {
    let surplus = surpluses(&places.slack, on);
    let tightest = first_least(&places.slack);
    let (low, high) = ends(&surplus);
    let axle_range = at_axle(low, high, on);
    let verdict = if axle_range > limits.stop {
        PlaceVerdict::Stop
    } else if axle_range > limits.care {
        PlaceVerdict::Care
    } else {
        PlaceVerdict::Even
    };
    let waves = places.periods.as_ref().map(|periods| waves(&surplus, periods, on.rear));
    let undecidable = matches!(waves, Some(None));
    let waves = waves.flatten().unwrap_or_default();
    TightSpot {
        slack_min: places.slack[tightest],
        slack_max: places.slack.iter().copied().fold(Length::ZERO, Length::max),
        surplus_min: Length::from_mm(low),
        surplus_range: Length::from_mm(high - low),
        axle_range,
        tightest,
        verdict,
        cause: waves.cause,
        undecidable,
        wheel_amplitude: waves.wheel.map(Length::from_mm),
        chain_amplitude: waves.chain.map(Length::from_mm),
        scores: waves.scores,
    }
}

fn first_least(values: &[Length]) -> usize {
    (1..values.len()).fold(0, |best, k| if values[k] < values[best] { k } else { best })
}
