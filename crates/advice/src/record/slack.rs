//! What slack read at one place or several says: the tightest place, how uneven it is at the axle, what causes it.

use measure::bounds::wear::{CHAIN_LINKS, FRONT_TEETH, PITCH_READ, REAR_TEETH, SLACK_FREE, SPAN, STATION};
use measure::{Length, Teeth};
use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;
use upkeep::record::{SlackKind, SlackReading, SlackState};
use upkeep::wear::{Run, axle_range};

use super::given;
use crate::Setup;
use crate::ask::{Gap, ask, from_sheet, with};
use crate::block::Block;
use crate::fact::Fact;
use crate::fit::{GEOMETRY, need};
use crate::sheet_band;
use crate::verdict::{self, Reason, Verdict};
use crate::words::{digits, list, mm, quantity, unit};

/// Fewer places than this do not show a tight spot.
const FEW_PLACES: usize = 4;

/// Unevenness at the axle from which a chain asks for care, and from which it is not ridden. The tool's own.
const CARE_MM: f64 = 0.3;
/// See [`CARE_MM`].
const STOP_MM: f64 = 0.8;

/// Slack round the loop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TightSpotView {
    /// The verdict on how uneven it is.
    pub verdict: Verdict,
    /// Why.
    pub reasons: Vec<Reason>,
    /// The tightest reading; slack is set there.
    pub slack_min_mm: f64,
    /// The loosest.
    pub slack_max_mm: f64,
    /// The tightest readings, from 1.
    pub tightest_at: Vec<usize>,
    /// Range of the chain beyond taut; not known from one place.
    pub surplus_range_mm: Option<f64>,
    /// The same at the axle.
    pub axle_range_mm: Option<f64>,
    /// none, wheel, chain, both or unknown.
    pub cause: Option<String>,
    /// Turns of the wheel after which it repeats.
    pub period_turns: Option<f64>,
    /// The figures in words.
    pub facts: Vec<Fact>,
}

/// The geometry on the stand that readings are judged by.
fn stand(bike: &Bike, setup: Setup) -> Result<crate::ask::Given, Gap> {
    let geometry = setup.give_pair(from_sheet(bike, &GEOMETRY));
    Ok(with(geometry, "arm_angle_deg", need(bike, "droop_deg")?))
}

/// A reading as free slack at mid-run on the stand.
///
/// # Errors
/// It was read in another way, which is not converted; or a field of the sheet is missing.
pub fn comparable(bike: &Bike, setup: Setup, reading: &SlackReading) -> Result<f64, Gap> {
    let other = |what: &str| {
        let text = format!(
            "The last slack was read {what}; it is not turned into a free reading at mid lower run on the stand."
        );
        Gap { figure: "slack.free", field: "slack_mm".to_owned(), missing: false, text, how_to: String::new() }
    };
    if reading.kind() == SlackKind::Gap {
        return Err(other("as a gap"));
    }
    if reading.state() != SlackState::Stand {
        return Err(other(&format!("with the bike {}", reading.state().word())));
    }
    let tightest = reading.tightest_mm();
    if (reading.station() - 0.5).abs() < 1e-9 {
        return Ok(tightest);
    }
    let asked = with(with(stand(bike, setup)?, "slack_mm", tightest), "station", reading.station());
    ask("slack.free", &asked)?.get("mid_slack_mm").ok_or_else(|| other("where mid-run cannot be told"))
}

/// Judges how uneven the slack is.
///
/// # Errors
/// A field of the sheet that is missing or impossible.
pub fn view(bike: &Bike, setup: Setup, reading: &SlackReading) -> Result<TightSpotView, Gap> {
    let mut view = TightSpotView {
        verdict: Verdict::Ready,
        reasons: Vec::new(),
        slack_min_mm: reading.tightest_mm(),
        slack_max_mm: reading.slack_mm().iter().copied().fold(0.0, f64::max),
        tightest_at: reading.tightest_at(),
        surplus_range_mm: None,
        axle_range_mm: None,
        cause: None,
        period_turns: None,
        facts: Vec::new(),
    };
    if reading.is_taut() {
        view.reasons.push(sheet_band::taut());
    } else if is_judged(reading) {
        judge(&mut view, bike, setup, reading)?;
    }
    view.facts.insert(0, set_at(&view, reading));
    verdict::worst_first(&mut view.reasons);
    view.verdict = verdict::of(&view.reasons);
    Ok(view)
}

/// The loop of the chain that readings are judged on, looked at once for many of them.
pub(super) struct Loop {
    setup: Setup,
    span_mm: f64,
    pitch_mm: f64,
}

impl Loop {
    /// The loop of a setup on the stand.
    ///
    /// # Errors
    /// A field of the sheet that is missing or impossible.
    pub(super) fn of(bike: &Bike, setup: Setup) -> Result<Self, Gap> {
        let span_mm = ask("slack.taut_loop", &stand(bike, setup)?)?.get("span_mm").unwrap_or_default();
        Ok(Self { setup, span_mm, pitch_mm: need(bike, "pitch_mm")? })
    }

    /// How uneven the slack is at the axle; `None` for a reading that is not judged.
    ///
    /// # Errors
    /// As [`view`].
    pub(super) fn axle_range_mm(&self, reading: &SlackReading) -> Result<Option<f64>, Gap> {
        if !is_judged(reading) {
            return Ok(None);
        }
        match self.plainly(reading) {
            Some(range) => Ok(Some(range)),
            None => Ok(self.tight_spot(reading)?.get("axle_range_mm")),
        }
    }

    /// The figure's own sum; the figure itself is asked where it has something to refuse.
    fn plainly(&self, reading: &SlackReading) -> Option<f64> {
        let Setup { front_teeth, rear_teeth, links } = self.setup;
        let whole = |bound: &measure::Bound, count: u32| bound.holds(f64::from(count));
        let possible = reading.slack_mm().iter().all(|slack| SLACK_FREE.holds(*slack))
            && SPAN.holds(self.span_mm)
            && PITCH_READ.holds(self.pitch_mm)
            && STATION.holds(reading.station())
            && whole(&FRONT_TEETH, front_teeth)
            && whole(&REAR_TEETH, rear_teeth)
            && (reading.at_links().is_none() || whole(&CHAIN_LINKS, links));
        if !possible {
            return None;
        }
        let teeth = |count: u32| Teeth::new(u16::try_from(count).ok()?);
        let run = Run {
            span: Length::from_mm(self.span_mm),
            station: reading.station(),
            pitch: Length::from_mm(self.pitch_mm),
            front: teeth(front_teeth)?,
            rear: teeth(rear_teeth)?,
        };
        let slack: Vec<Length> = reading.slack_mm().iter().copied().map(Length::from_mm).collect();
        Some(axle_range(&slack, &run).mm()).filter(|range| range.is_finite())
    }

    fn tight_spot(&self, reading: &SlackReading) -> Result<figures::Answer, Gap> {
        let asked = given([
            ("slack_mm", Value::from(reading.slack_mm().to_vec())),
            ("span_mm", Value::from(self.span_mm)),
            ("pitch_mm", Value::from(self.pitch_mm)),
            ("station", Value::from(reading.station())),
            ("care_mm", Value::from(CARE_MM)),
            ("stop_mm", Value::from(STOP_MM)),
        ]);
        let mut asked = self.setup.give_pair(asked);
        if let Some(at) = reading.at_links() {
            asked = with(with(asked, "at_links", at.to_vec()), "links", self.setup.links);
        }
        ask("wear.tight_spot", &asked)
    }
}

/// Whether a reading says how uneven the slack is: of several places, free, on the stand, none of them taut.
fn is_judged(reading: &SlackReading) -> bool {
    !reading.is_taut()
        && reading.slack_mm().len() >= 2
        && reading.kind() == SlackKind::Free
        && reading.state() == SlackState::Stand
}

fn judge(view: &mut TightSpotView, bike: &Bike, setup: Setup, reading: &SlackReading) -> Result<(), Gap> {
    let answer = Loop::of(bike, setup)?.tight_spot(reading)?;
    view.surplus_range_mm = answer.get("surplus_range_mm");
    view.axle_range_mm = answer.get("axle_range_mm");
    let cause = answer.at("cause").and_then(Value::as_str).unwrap_or("unknown").to_owned();
    view.period_turns = match cause.as_str() {
        "wheel" => Some(1.0),
        "chain" => Some(f64::from(setup.links) / f64::from(setup.rear_teeth)),
        _ => None,
    };
    let axle = quantity(view.axle_range_mm.unwrap_or_default(), "mm", 2);
    let (care, stop) = (mm(CARE_MM), mm(STOP_MM));
    let causes = because(&cause, reading.at_links().is_some());
    let reason = match answer.at("verdict").and_then(Value::as_str) {
        Some("stop") => Reason::new(
            Verdict::Stop,
            "wear.tight_spot",
            format!("Tight spot: the slack varies by {axle} at the axle round the loop, limit {stop}. {causes}"),
        )
        .cleared_by("Inspect chain, sprockets, hub and bearings", 20),
        Some("care") => Reason::new(
            Verdict::Care,
            "wear.tight_spot",
            format!("Uneven: the slack varies by {axle} at the axle round the loop, care from {care}. {causes}"),
        )
        .cleared_at("drive/measure/slack?places=12", "Find the cause: read 12 places at quarter turns", 10),
        _ => Reason::new(
            Verdict::Ready,
            "wear.tight_spot",
            format!("Slack round the loop is even within {axle} at the axle, care from {care}."),
        ),
    };
    view.reasons.push(reason);
    view.facts.push(
        Fact::new("axle_range_mm", "Uneven by", format!("{axle} at the axle"), view.axle_range_mm.unwrap_or_default())
            .because(format!(
                "{} to {} of slack: never judged in {} of slack, which says little where the chain is loose",
                mm(view.slack_min_mm),
                mm(view.slack_max_mm),
                unit("mm")
            ))
            .sure(format!(
                "care from {} and stop from {stop}, and how many places show what causes it, are the tool's own choice",
                digits(CARE_MM, "mm", 1)
            ))
            .unless("places counted: 12 at quarter turns show wheel or chain")
            .says("wear.tight_spot"),
    );
    view.cause = Some(cause);
    Ok(())
}

fn because(cause: &str, spaced: bool) -> &'static str {
    match cause {
        "wheel" => "It repeats with every turn of the wheel: rear sprocket, hub or bearing.",
        "chain" => "It repeats with the chain's own loop: the chain.",
        "both" => "Both the wheel and the chain show in it.",
        "none" => "No turn of wheel or chain shows in it.",
        _ if spaced => "What causes it these places cannot tell.",
        _ => {
            "What causes it is not told: the links between two places are not said (12 at a quarter turn of 48 teeth)."
        }
    }
}

fn set_at(view: &TightSpotView, reading: &SlackReading) -> Fact {
    let places: Vec<String> = view.tightest_at.iter().map(ToString::to_string).collect();
    let count = reading.slack_mm().len();
    let fact = Fact::new(
        "slack_min_mm",
        "Set slack at reading",
        format!("{} ({})", list(&places), mm(view.slack_min_mm)),
        view.slack_min_mm,
    )
    .because(if count == 1 {
        "the only place that was read".to_owned()
    } else {
        format!("the tightest of {count}; a mean would leave it too tight there")
    });
    if count < FEW_PLACES {
        fact.sure("few places: they tell more the older the chain is")
            .unless("12 readings at quarter turns of the wheel")
    } else {
        fact.sure("as good as the readings").unless("a tighter place between them")
    }
}

impl TightSpotView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        vec![Block::Heading("Is there a tight spot?"), Block::Reasons(&self.reasons), Block::Facts(&self.facts)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_range_alone_is_that_of_the_whole_judgement() {
        let bike = Bike::from_toml(include_str!("../../../../data/bikes/alder-350.toml")).expect("a bike");
        let setup = Setup::fitted(&bike).expect("a setup");
        let round = Loop::of(&bike, setup).expect("a loop");
        let free = |slack_mm: Vec<f64>, at_links| {
            SlackReading::new(slack_mm, at_links, 0.5, SlackState::Stand, SlackKind::Free).expect("a reading")
        };
        let rising = (0..8).map(|place| f64::from(place) * 15.0).collect::<Vec<_>>();
        let uneven = vec![84.0, 80.5, 78.0, 81.0, 86.0, 88.5, 87.0, 83.0];
        let all = [
            free(vec![85.0], None),
            free(vec![85.0, 0.0], None),
            free(vec![85.0, 79.5], None),
            free(uneven.clone(), None),
            free(uneven, Some(rising)),
            SlackReading::new(vec![85.0, 79.0], None, 0.5, SlackState::Rider, SlackKind::Free).expect("a reading"),
        ];
        for reading in &all {
            let whole = view(&bike, setup, reading).map(|view| view.axle_range_mm);
            assert_eq!(round.axle_range_mm(reading), whole, "{reading:?}");
        }
        assert!(all.iter().filter(|reading| round.plainly(reading).is_some()).count() >= 3);
    }

    /// What the figure would refuse is never summed beside it, each of its bounds for itself.
    #[test]
    fn one_thing_out_of_its_bound_is_left_to_the_figure() {
        let bike = Bike::from_toml(include_str!("../../../../data/bikes/alder-350.toml")).expect("a bike");
        let setup = Setup::fitted(&bike).expect("a setup");
        let of = |setup: Setup, span_mm: f64, pitch_mm: f64, at_links: Option<Vec<f64>>| {
            let slack = SlackReading::new(vec![85.0, 80.0, 83.0], at_links, 0.5, SlackState::Stand, SlackKind::Free);
            Loop { setup, span_mm, pitch_mm }.plainly(&slack.expect("a reading")).is_some()
        };
        let at = || Some(vec![0.0, 40.0, 80.0]);
        assert!(of(setup, 620.0, 15.875, None) && of(setup, 620.0, 15.875, at()));
        for span in [0.0, -1.0, 1e9] {
            assert!(!of(setup, span, 15.875, None) && !of(setup, span, 15.875, at()), "a run of {span} mm");
        }
        for pitch in [0.0, -1.0, 1e9] {
            assert!(!of(setup, 620.0, pitch, None), "a pitch of {pitch} mm");
        }
        for wrong in [0, 1, 60_000, 70_000] {
            assert!(!of(Setup { front_teeth: wrong, ..setup }, 620.0, 15.875, None), "{wrong} teeth in front");
            assert!(!of(Setup { rear_teeth: wrong, ..setup }, 620.0, 15.875, None), "{wrong} teeth behind");
            assert!(!of(Setup { links: wrong, ..setup }, 620.0, 15.875, at()), "{wrong} links");
            assert!(of(Setup { links: wrong, ..setup }, 620.0, 15.875, None), "links that nothing is counted along");
        }
    }
}
