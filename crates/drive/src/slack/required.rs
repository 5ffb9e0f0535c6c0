//! What must be read at the measuring place so that a margin is left at the tightest place; what a reading leaves there.
//!
//! Link count and wear drop out: what counts is how much more chain the loop takes at the tightest place than where
//! the reading is taken (the demand of the travel).

use measure::{Angle, Length};

use super::fault::Fault;
use super::free::{self, MID};
use super::layout::{Layout, Run};
use super::swing::Swing;
use super::tightest::{Tightest, tightest};

/// A surplus as slack at mid lower run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LowerSlack {
    /// The slack; `None` where the taut run rests on the slider, so that the free kind cannot be read.
    pub slack: Option<Length>,
    /// Whether the pushed-in run meets the slider before it is taut, so that a reading comes out short.
    pub cut_off: bool,
}

/// The slack at mid lower run that a surplus gives at an arm angle; none where there is no surplus.
#[must_use]
pub fn lower_slack(layout: &Layout, arm: Angle, surplus: Length) -> LowerSlack {
    if surplus.mm() <= 0.0 {
        return LowerSlack { slack: Some(Length::ZERO), cut_off: false };
    }
    if layout.rests(arm, Run::Lower) {
        return LowerSlack { slack: None, cut_off: true };
    }
    let slack = free::slack(layout.span(arm), surplus, MID);
    LowerSlack { slack: Some(slack), cut_off: layout.cut_off(arm, Run::Lower, MID, slack * 0.5) }
}

/// The surplus that a reading at a station of the lower run tells.
///
/// # Errors
/// The taut run rests on the slider there.
pub fn lower_surplus(layout: &Layout, arm: Angle, slack: Length, station: f64) -> Result<Length, Fault> {
    if layout.rests(arm, Run::Lower) {
        return Err(Fault::Rests);
    }
    Ok(free::surplus(layout.span(arm), slack, station))
}

/// What the travel takes and what must therefore be read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Required {
    /// The tightest place of the travel.
    pub tightest: Tightest,
    /// Surplus that the travel takes between measuring place and tightest place.
    pub demand: Length,
    /// Surplus wanted at the measuring place.
    pub surplus: Length,
    /// The same as slack there.
    pub slack: LowerSlack,
    /// Slack of the margin at the tightest place.
    pub margin_slack: LowerSlack,
}

/// The requirement at a measuring place.
///
/// # Formula
/// `e_req = margin + max over the travel of L_taut - L_taut(measuring place)`, `F_req = √(2 a e_req + e_req²)`
///
/// # Source
/// geometry
#[must_use]
pub fn required(layout: &Layout, swing: &Swing, arm: Angle, margin: Length) -> Required {
    let tightest = tightest(layout, swing);
    let demand = (tightest.length - layout.taut_length(arm)).max(Length::ZERO);
    let surplus = margin + demand;
    Required {
        tightest,
        demand,
        surplus,
        slack: lower_slack(layout, arm, surplus),
        margin_slack: lower_slack(layout, tightest.arm, margin),
    }
}

/// A reading with its error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Total movement at mid lower run.
    pub slack: Length,
    /// Error of one reading, both ways; `None` = not said.
    pub error: Option<Length>,
}

/// What a reading leaves at the tightest place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Left {
    /// Surplus left; not above 0 = taut before it.
    pub surplus: Length,
    /// The lowest and the highest that the reading's error allows.
    pub band: Option<(Length, Length)>,
}

/// What is left once the demand is taken from a reading.
///
/// The low end of a reading stops at 0: less than no slack cannot be read.
#[must_use]
pub fn left(span: Length, demand: Length, reading: &Reading) -> Left {
    let after = |slack: Length| free::surplus(span, slack.max(Length::ZERO), MID) - demand;
    Left {
        surplus: after(reading.slack),
        band: reading.error.map(|error| (after(reading.slack - error), after(reading.slack + error))),
    }
}

/// What a reading means for riding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Margin kept.
    Ready,
    /// Chain left at the tightest place, but less than the margin, or perhaps none.
    Care,
    /// Taut before the tightest place.
    Stop,
}

impl Left {
    /// The verdict against a margin.
    #[must_use]
    pub fn verdict(&self, margin: Length) -> Verdict {
        let perhaps_none = self.band.is_some_and(|(low, _)| low.mm() <= 0.0);
        if self.surplus.mm() <= 0.0 {
            Verdict::Stop
        } else if self.surplus < margin || perhaps_none {
            Verdict::Care
        } else {
            Verdict::Ready
        }
    }
}

/// The requirement from two readings instead of a tape measure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Calibrated {
    /// Surplus that the travel takes between the two places.
    pub demand: Length,
    /// Surplus wanted at the stand.
    pub surplus: Length,
    /// The same as slack.
    pub slack: Length,
    /// Slack of the margin in line.
    pub margin_slack: Length,
}

/// Two readings of one chain, axle untouched: on the stand and in line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandAndLine {
    /// Straight run on the stand.
    pub stand_span: Length,
    /// Straight run in line.
    pub line_span: Length,
    /// Slack on the stand.
    pub stand_slack: Length,
    /// Slack in line.
    pub line_slack: Length,
}

/// The requirement on the stand from the two readings.
///
/// # Formula
/// `demand = e(F_stand) - e(F_line)`, each on its own straight run.
///
/// # Errors
/// More surplus in line than on the stand: the two were exchanged, or the axle was moved between them.
pub fn calibrated(read: &StandAndLine, margin: Length) -> Result<Calibrated, Fault> {
    let line = free::surplus(read.line_span, read.line_slack, MID);
    let demand = free::surplus(read.stand_span, read.stand_slack, MID) - line;
    if demand.mm() < 0.0 {
        return Err(Fault::TooShort { surplus: demand });
    }
    let surplus = demand + margin;
    Ok(Calibrated {
        demand,
        surplus,
        slack: free::slack(read.stand_span, surplus, MID),
        margin_slack: free::slack(read.line_span, margin, MID),
    })
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn the_slider_takes_a_millimetre_of_the_demand() {
        let (swing, margin) = (sample::swing(), Length::from_mm(1.0));
        let needs = |layout: &Layout| required(layout, &swing, swing.extension, margin).demand.mm();
        let (with, without) = (needs(&sample::layout()), needs(&sample::layout().without_slider()));
        assert!((without - with - 1.016).abs() < 1e-3, "{with} {without}");
    }

    #[test]
    fn a_run_on_the_slider_gives_no_reading() {
        let arm = Angle::from_deg(-4.0);
        let layout = sample::layout();
        assert!(lower_slack(&layout, arm, Length::from_mm(2.0)).slack.is_none());
        assert_eq!(lower_surplus(&layout, arm, Length::from_mm(40.0), MID), Err(Fault::Rests));
        assert_eq!(lower_slack(&layout, arm, Length::ZERO).slack, Some(Length::ZERO));
    }

    #[test]
    fn two_readings_that_say_the_same_demand_nothing_and_exchanged_ones_are_refused() {
        let mm = Length::from_mm;
        let read = |stand: f64, line: f64| StandAndLine {
            stand_span: mm(680.0),
            line_span: mm(680.0),
            stand_slack: mm(stand),
            line_slack: mm(line),
        };
        let same = calibrated(&read(40.0, 40.0), mm(1.0)).expect("nothing is demanded");
        assert_eq!((same.demand, same.surplus, same.slack), (Length::ZERO, mm(1.0), same.margin_slack));
        assert!(matches!(calibrated(&read(39.9, 40.0), mm(1.0)), Err(Fault::TooShort { .. })));
    }

    #[test]
    fn a_surplus_of_nothing_is_no_slack_and_a_margin_just_kept_is_ready() {
        let layout = sample::layout();
        let arm = Angle::from_deg(7.5);
        for none in [0.0, -2.0] {
            let read = lower_slack(&layout, arm, Length::from_mm(none));
            assert_eq!(read, LowerSlack { slack: Some(Length::ZERO), cut_off: false });
        }
        let left = |surplus: f64, band: Option<(Length, Length)>| Left { surplus: Length::from_mm(surplus), band };
        let margin = Length::from_mm(0.3);
        assert_eq!(left(0.3, None).verdict(margin), Verdict::Ready);
        assert_eq!(left(0.3 - 1e-12, None).verdict(margin), Verdict::Care);
        assert_eq!(left(1e-12, None).verdict(margin), Verdict::Care);
        assert_eq!(left(0.0, None).verdict(Length::ZERO), Verdict::Stop);
    }

    #[test]
    fn a_reading_that_may_be_taut_is_care() {
        let left = |low: f64, surplus: f64| Left {
            surplus: Length::from_mm(surplus),
            band: Some((Length::from_mm(low), Length::from_mm(9.0))),
        };
        let margin = Length::from_mm(0.3);
        assert_eq!(left(0.1, 0.5).verdict(margin), Verdict::Ready);
        assert_eq!(left(0.0, 0.5).verdict(margin), Verdict::Care);
        assert_eq!(left(0.1, 0.2).verdict(margin), Verdict::Care);
        assert_eq!(left(-0.5, 0.0).verdict(margin), Verdict::Stop);
    }
}
