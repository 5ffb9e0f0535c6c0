//! To which reading the slack is set, for this pair, so that a margin is left at the tightest place of the travel.
//!
//! The bike sheet's band comes first. Within it `slack.required` with a small margin must not warn; without a band the
//! tool's own margin stands, shown as its own. The two kinds of reading, free and gap, are never turned into one another.

use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;
use upkeep::record::SlackKind;

use crate::adjust::{self, Adjust};
use crate::alignment;
use crate::ask::{Gap, Given, ask, from_sheet, with};
use crate::block::Block;
use crate::drawing::{self, Outline, Spot};
use crate::fact::Fact;
use crate::fit::{GEOMETRY, Place, Slot, need};
use crate::setup::Setup;
use crate::sheet_band;
use crate::verdict::{self, Reason, Verdict};
use crate::words::{mm, number, quantity, range};

/// Chain beyond taut at the tightest place where the sheet gives no band. The tool's own margin.
pub const MARGIN_MM: f64 = 1.0;
/// The least margin that survives a rear sprocket run-out of 0.3 mm. The tool's own margin within a sheet's band.
pub const LEAST_MARGIN_MM: f64 = 0.3;
/// What a rule read by hand is good for. The tool's own assumption, common practice.
pub const READING_ERROR_MM: f64 = 1.0;
const GAP_FIELDS: [&str; 3] = ["gap_u_mm", "gap_surface_mm", "plate_height_mm"];

/// What is asked: a setup, and what was read off the bike if anything.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Read {
    /// Slack, free kind, total at mid lower run on the stand.
    pub slack_mm: Option<f64>,
    /// Distance block to reference, left, larger further back.
    pub left_mm: Option<f64>,
    /// The same, right.
    pub right_mm: Option<f64>,
}

/// The band that the sheet or the tool holds the reading to, free kind on the stand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Band {
    /// Lower and upper end, mm.
    pub from_to_mm: [f64; 2],
    /// Whose it is.
    pub whose: String,
}

/// The whole answer to "how much slack?".
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SlackView {
    /// Where the axle stands for this setup.
    pub place: Place,
    /// What the reading given makes of the bike; without one not known.
    pub verdict: Verdict,
    /// Why.
    pub reasons: Vec<Reason>,
    /// Chain left beyond taut at the tightest place by the reading given, mm; negative: short.
    pub left_surplus_mm: Option<f64>,
    /// Slack left there, mm.
    pub left_slack_mm: Option<f64>,
    /// The reading to set, mm.
    pub target_mm: f64,
    /// The band around it.
    pub band: Band,
    /// The figures in words.
    pub facts: Vec<Fact>,
    /// How far to turn, where a reading is given.
    pub adjust: Option<Adjust>,
    /// The wheel's alignment, in words.
    pub alignment: Vec<Fact>,
    /// Slack through the travel with the reading to set.
    pub curve: Vec<Spot>,
    /// The same with the reading given, if one is.
    pub read_curve: Option<Vec<Spot>>,
    /// The drive to scale at three places of the travel.
    pub outlines: Vec<Outline>,
    /// Notices of the figures, in words.
    pub notes: Vec<String>,
}

/// Answers for one setup and what was read.
///
/// # Errors
/// The field that is missing or impossible.
pub fn view(bike: &Bike, setup: Setup, read: Read) -> Result<SlackView, Gap> {
    let place = Slot::of(bike)?.place(setup)?;
    // What is fitted stands where it was set; any other setup stands where it would be set.
    let at_mm = if Setup::fitted(bike) == Ok(setup) { need(bike, "arm_mm")? } else { place.arm_mm };
    let stand = Stand::of(bike, setup, at_mm)?;
    let band = stand.band();
    let target_mm = stand.target(&band);
    // A chain that reads 0 is past all figures: nothing is computed from it.
    let loose_mm = read.slack_mm.filter(|slack_mm| *slack_mm > 0.0);
    let travel = loose_mm.map(|slack_mm| stand.travel(slack_mm)).transpose()?;
    let mut reasons = stand.judge(read.slack_mm, travel.as_ref());
    reasons.extend(alignment::reason(bike, &place, read)?);
    verdict::worst_first(&mut reasons);
    let adjust = loose_mm.map(|slack_mm| adjust::with_skew(bike, setup, [slack_mm, target_mm], read));
    let (adjust, mut notes) = (adjust.transpose(), stand.notes());
    let adjust = match adjust {
        // The verdict stands without knowing how far to turn.
        Err(gap) if gap.missing => {
            notes.push(format!("How far to turn the adjusters is not known. {} {}", gap.text, gap.how_to));
            None
        }
        other => other?,
    };
    Ok(SlackView {
        verdict: verdict::of(&reasons),
        reasons,
        left_surplus_mm: travel.as_ref().and_then(|answer| answer.get("left_surplus_mm")),
        left_slack_mm: travel.as_ref().and_then(|answer| answer.get("left_slack_mm")),
        target_mm,
        facts: stand.facts(&band, target_mm)?,
        alignment: alignment::facts(bike, &place, read)?,
        curve: drawing::curve(bike, setup, at_mm, target_mm)?,
        read_curve: loose_mm.map(|slack_mm| drawing::curve(bike, setup, at_mm, slack_mm)).transpose()?,
        outlines: drawing::outlines(bike, setup, at_mm, stand.ours.get("tightest_deg").unwrap_or_default())?,
        notes,
        adjust,
        band,
        place,
    })
}

/// What setting the slack of a setup comes to, before anything was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// The reading to set, mm.
    pub target_mm: f64,
    /// What speaks against it, the chain set to that reading.
    pub reasons: Vec<Reason>,
}

/// The reading to set for one setup, and what speaks against it: no drawing, no reading.
///
/// # Errors
/// The field that is missing or impossible.
pub fn setting(bike: &Bike, setup: Setup) -> Result<Setting, Gap> {
    let at_mm =
        if Setup::fitted(bike) == Ok(setup) { need(bike, "arm_mm")? } else { Slot::of(bike)?.place(setup)?.arm_mm };
    let stand = Stand::of(bike, setup, at_mm)?;
    let target_mm = stand.target(&stand.band());
    let travel = stand.travel(target_mm)?;
    let mut reasons = stand.judge(Some(target_mm), Some(&travel));
    reasons.retain(|reason| reason.verdict != Verdict::Ready);
    Ok(Setting { target_mm, reasons })
}

/// The geometry at the axle's place, asked once.
struct Stand<'a> {
    bike: &'a Bike,
    setup: Setup,
    geometry: Given,
    ours: figures::Answer,
    least: figures::Answer,
    taut: figures::Answer,
}

impl<'a> Stand<'a> {
    fn of(bike: &'a Bike, setup: Setup, at_mm: f64) -> Result<Self, Gap> {
        let geometry = geometry(bike, setup, at_mm)?;
        let with_gap = |margin_mm: f64| {
            let mut given = with(geometry.clone(), "margin_mm", margin_mm);
            given.extend(from_sheet(bike, &GAP_FIELDS));
            ask("slack.required", &given)
        };
        let (ours, least, taut) = (with_gap(MARGIN_MM)?, with_gap(LEAST_MARGIN_MM)?, with_gap(0.0)?);
        Ok(Self { bike, setup, geometry, ours, least, taut })
    }

    fn sheet_band(&self) -> Option<[f64; 2]> {
        sheet_band::of(self.bike, SlackKind::Free)
    }

    fn band(&self) -> Band {
        match self.sheet_band() {
            Some(from_to_mm) => Band { from_to_mm, whose: self.whose("slack_mm_min") },
            None => {
                let required = required(&self.ours);
                Band {
                    from_to_mm: [required, required + 6.0],
                    whose: format!(
                        "the tool's own: {} of chain left at the tightest place, upward {}",
                        mm(MARGIN_MM),
                        quantity(6.0, "mm", 0)
                    ),
                }
            }
        }
    }

    fn whose(&self, field: &str) -> String {
        self.bike
            .get(field)
            .and_then(|entry| entry.source.clone())
            .unwrap_or_else(|| "the bike sheet, no page given".to_owned())
    }

    /// The middle of the sheet's band, unless the geometry asks for more than the band's middle.
    fn target(&self, band: &Band) -> f64 {
        let [low, high] = band.from_to_mm;
        match self.sheet_band() {
            Some(_) => f64::midpoint(low, high).max(required(&self.least)).min(high),
            None => low,
        }
    }

    /// What a reading makes of the bike.
    fn judge(&self, slack_mm: Option<f64>, travel: Option<&figures::Answer>) -> Vec<Reason> {
        let mut reasons = Vec::new();
        if let Some([low, high]) = self.sheet_band()
            && high < required(&self.least)
        {
            let text = format!(
                "The sheet's band {} is tighter than this geometry allows for {} ({}): measure in line once, and read the manual again.",
                range(low, high, "mm", 0),
                self.setup.pair_words(),
                mm(required(&self.least))
            );
            reasons.push(Reason::new(Verdict::Care, "slack.required", text));
        }
        if slack_mm.is_some_and(|slack_mm| slack_mm <= 0.0) {
            reasons.push(sheet_band::taut());
            return reasons;
        }
        let (Some(slack_mm), Some(travel)) = (slack_mm, travel) else {
            reasons.push(
                Reason::new(
                    Verdict::Unknown,
                    "",
                    "No slack reading given: the drive cannot be called right without one.",
                )
                .cleared_by("Measure slack on the stand, mid lower run, at several places of the chain", 3),
            );
            return reasons;
        };
        reasons.extend(sheet_band::against(self.bike, SlackKind::Free, slack_mm));
        reasons.push(self.judge_travel(travel));
        reasons
    }

    /// The margin that a reading is held to: the sheet's band keeps its own, the least one then suffices.
    fn margin_mm(&self) -> f64 {
        if self.sheet_band().is_some() { LEAST_MARGIN_MM } else { MARGIN_MM }
    }

    /// What a reading leaves at the tightest place of the travel.
    fn travel(&self, slack_mm: f64) -> Result<figures::Answer, Gap> {
        let given = with(with(self.geometry.clone(), "margin_mm", self.margin_mm()), "slack_mm", slack_mm);
        ask("slack.required", &with(given, "reading_error_mm", READING_ERROR_MM))
    }

    fn judge_travel(&self, answer: &figures::Answer) -> Reason {
        let left = quantity(answer.get("left_surplus_mm").unwrap_or_default().abs(), "mm", 2);
        let in_line = mm(answer.get("left_slack_mm").unwrap_or_default());
        let (verdict, text) = match answer.at("verdict").and_then(Value::as_str) {
            Some("ready") => {
                (Verdict::Ready, format!("{left} of chain left at the tightest place, {in_line} of slack there."))
            }
            Some("stop") => (
                Verdict::Stop,
                format!(
                    "Taut before the tightest place of the travel: {left} of chain short; {} on the stand is just taut.",
                    mm(required(&self.taut))
                ),
            ),
            _ => (
                Verdict::Care,
                format!(
                    "{left} of chain left at the tightest place ({in_line} of slack there): under the margin of {}, or none within reading error.",
                    mm(self.margin_mm())
                ),
            ),
        };
        let reason = Reason::new(verdict, "slack.required", text);
        if verdict == Verdict::Ready { reason } else { reason.cleared_by("Set the slack", 25) }
    }

    fn facts(&self, band: &Band, target_mm: f64) -> Result<Vec<Fact>, Gap> {
        let [low, high] = band.from_to_mm;
        let tape = format!(
            "geometry measured by tape is good to about {} of slack; one pair of readings, stand and in line, makes it good to {}",
            quantity(5.0, "mm", 0),
            quantity(1.0, "mm", 0)
        );
        let mut facts = vec![
            Fact::new("target_mm", "Set to", mm(target_mm), target_mm)
                .because(format!("middle of the band {} ({})", range(low, high, "mm", 0), band.whose))
                .sure(tape.as_str())
                .unless("other sprockets with the slider touching, another place or kind of reading")
                .says("slack.required"),
            Fact::new(
                "required_slack_mm",
                format!("For {} left at the tightest place", mm(MARGIN_MM)),
                mm(required(&self.ours)),
                required(&self.ours),
            )
            .because(
                "free kind: mid lower run, fully down to fully up, on the stand, at the tightest place of the chain",
            )
            .sure(tape.as_str())
            .unless("the margin, the tool's own")
            .says("slack.required"),
            Fact::new(
                "least_slack_mm",
                format!("For {} left there", mm(LEAST_MARGIN_MM)),
                mm(required(&self.least)),
                required(&self.least),
            )
            .because(format!("the least that survives {} of sprocket run-out", mm(LEAST_MARGIN_MM)))
            .sure(tape.as_str())
            .unless("packed mud, run-out")
            .says("slack.required"),
            Fact::new(
                "just_taut_mm",
                "Just taut at the tightest place",
                mm(required(&self.taut)),
                required(&self.taut),
            )
            .because("below this reading the chain stops the suspension")
            .sure(tape.as_str())
            .unless("the swingarm figures")
            .says("slack.required"),
        ];
        facts.extend(self.gap_fact());
        facts.extend(self.tightest_facts());
        Ok(facts)
    }

    fn gap_fact(&self) -> Option<Fact> {
        let gap_mm = self.ours.get("required_gap_mm")?;
        Some(
            Fact::new("required_gap_mm", "The same as a gap reading", mm(gap_mm), gap_mm)
                .because("gap kind: upper run lifted at the sheet's place on the swingarm, lower run taut, surface to the plates' lower edge")
                .sure("not comparable with a free reading; never convert one into the other")
                .unless("other teeth: the gap changes with the sprockets even at the same margin")
                .says("slack.required"),
        )
    }

    fn tightest_facts(&self) -> Vec<Fact> {
        let get = |key: &str| self.ours.get(key).unwrap_or_default();
        vec![
            Fact::new(
                "demand_mm",
                "Chain that the travel takes",
                quantity(get("demand_mm"), "mm", 2),
                get("demand_mm"),
            )
            .because(format!("tightest with the arm at {}° below level", number(get("tightest_deg"), 1)))
            .sure("from the swingarm figures, slider included if the sheet has it")
            .unless(format!(
                "countershaft height {} higher: about {} less slack asked for",
                quantity(2.0, "mm", 0),
                quantity(6.0, "mm", 0)
            ))
            .says("slack.required"),
            Fact::new(
                "margin_slack_mm",
                format!("Slack there with {} left", mm(MARGIN_MM)),
                mm(get("margin_slack_mm")),
                get("margin_slack_mm"),
            )
            .because(format!(
                "slack goes as the root of the chain left: {} still shows {}",
                mm(0.3),
                quantity(20.0, "mm", 0)
            ))
            .sure("geometry")
            .unless("the margin")
            .says("slack.required"),
        ]
    }

    fn notes(&self) -> Vec<String> {
        let mut notes: Vec<String> = self.ours.notices.iter().map(|notice| notice.text.clone()).collect();
        if self.bike.word("slack_kind") == Some("gap") {
            notes.push("The sheet's band is of the gap kind; it is not laid against a free reading.".to_owned());
        }
        notes
    }
}

/// What the slack figures need with the axle at `at_mm`: the arm's angles stay.
///
/// # Errors
/// The field that is missing.
pub fn geometry(bike: &Bike, setup: Setup, at_mm: f64) -> Result<Given, Gap> {
    let mut given = from_sheet(bike, &GEOMETRY);
    given.extend(crate::fit::swing(bike, need(bike, "arm_mm")?, at_mm));
    Ok(setup.give_pair(given))
}

fn required(answer: &figures::Answer) -> f64 {
    answer.get("required_slack_mm").unwrap_or_default()
}

impl SlackView {
    /// The answer with its deciding figures.
    #[must_use]
    pub fn brief(&self) -> Vec<Block<'_>> {
        let mut blocks = self.blocks();
        blocks.retain(|block| !matches!(block, Block::Facts(_) | Block::List(_)));
        blocks.push(Block::Facts(self.facts.get(..4).unwrap_or(&self.facts)));
        blocks
    }

    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let sentence = format!("Set to {} for {}.", mm(self.target_mm), self.place.setup);
        let mut blocks = vec![
            Block::Heading("How much slack?"),
            Block::Verdict(self.verdict, self.verdict.words(), sentence),
            Block::Reasons(&self.reasons),
        ];
        if let Some(adjust) = &self.adjust {
            blocks.push(Block::Text(adjust.words.clone()));
        }
        blocks.push(Block::Facts(&self.facts));
        blocks.push(Block::Facts(&self.alignment));
        blocks.push(Block::List(self.notes.clone()));
        blocks
    }
}
