//! The drive at the axle's place: its band, the reading to set, what a reading leaves at the tightest place.

use serde_json::Value;
use upkeep::bike::Bike;
use upkeep::record::SlackKind;

use crate::ask::{Gap, Given, ask, from_sheet, with};
use crate::fact::Fact;
use crate::setup::Setup;
use crate::sheet_band;
use crate::slack::{Band, LEAST_MARGIN_MM, MARGIN_MM, READING_ERROR_MM, geometry};
use crate::verdict::{Reason, Verdict};
use crate::words::{mm, number, quantity};

const GAP_FIELDS: [&str; 3] = ["gap_u_mm", "gap_surface_mm", "plate_height_mm"];

/// Width of the tool's own band, upward from what is required. The tool's own.
const OWN_BAND_MM: f64 = 6.0;

/// The geometry at the axle's place, asked once.
pub(crate) struct Stand<'a> {
    bike: &'a Bike,
    setup: Setup,
    geometry: Given,
    pub(crate) ours: figures::Answer,
    /// The reading that leaves the tool's own margin at the tightest place.
    required_mm: f64,
    /// The reading that leaves the least one.
    least_mm: f64,
    /// The reading that leaves nothing.
    taut_mm: f64,
}

impl<'a> Stand<'a> {
    pub(crate) fn of(bike: &'a Bike, setup: Setup, at_mm: f64) -> Result<Self, Gap> {
        let geometry = geometry(bike, setup, at_mm)?;
        let with_gap = |margin_mm: f64| {
            let mut given = with(geometry.clone(), "margin_mm", margin_mm);
            given.extend(from_sheet(bike, &GAP_FIELDS));
            ask("slack.required", &given)
        };
        let ours = with_gap(MARGIN_MM)?;
        let (required_mm, least_mm) = (required(&ours)?, required(&with_gap(LEAST_MARGIN_MM)?)?);
        let taut_mm = required(&with_gap(0.0)?)?;
        Ok(Self { bike, setup, geometry, ours, required_mm, least_mm, taut_mm })
    }

    fn sheet_band(&self) -> Option<[f64; 2]> {
        sheet_band::of(self.bike, SlackKind::Free)
    }

    pub(crate) fn band(&self) -> Band {
        match self.sheet_band() {
            Some(from_to_mm) => Band { from_to_mm, whose: self.whose("slack_mm_min") },
            None => Band {
                from_to_mm: [self.required_mm, self.required_mm + OWN_BAND_MM],
                whose: format!(
                    "the tool's own: {} of chain left at the tightest place, upward {}",
                    mm(MARGIN_MM),
                    quantity(OWN_BAND_MM, "mm", 0)
                ),
            },
        }
    }

    fn whose(&self, field: &str) -> String {
        self.bike
            .get(field)
            .and_then(|entry| entry.source.clone())
            .unwrap_or_else(|| "the bike sheet, no page given".to_owned())
    }

    /// The middle of the sheet's band, unless the geometry asks for more; the low end of the tool's own.
    pub(crate) fn target(&self, band: &Band) -> f64 {
        let [low, high] = band.from_to_mm;
        match self.sheet_band() {
            Some(_) => f64::midpoint(low, high).max(self.least_mm).min(high),
            None => low,
        }
    }

    /// Why that is the reading to set.
    fn target_because(&self, band: &Band, target_mm: f64) -> String {
        let [low, high] = band.from_to_mm;
        let said = format!("the band {} ({})", sheet_band::words(band.from_to_mm), band.whose);
        match self.sheet_band() {
            None => format!("low end of {said}"),
            Some(_) if target_mm > f64::midpoint(low, high) => {
                format!("above the middle of {said}: this geometry asks for {} or more", mm(self.least_mm))
            }
            Some(_) => format!("middle of {said}"),
        }
    }

    /// What a reading makes of the bike.
    pub(crate) fn judge(&self, slack_mm: Option<f64>, travel: Option<&figures::Answer>) -> Vec<Reason> {
        let mut reasons = Vec::new();
        if let Some([low, high]) = self.sheet_band()
            && high < self.least_mm
        {
            let text = format!(
                "The sheet's band {} is tighter than this geometry allows for {} ({}): measure in line once, and read the manual again.",
                sheet_band::words([low, high]),
                self.setup.pair_words(),
                mm(self.least_mm)
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
    pub(crate) fn travel(&self, slack_mm: f64) -> Result<figures::Answer, Gap> {
        let given = with(with(self.geometry.clone(), "margin_mm", self.margin_mm()), "slack_mm", slack_mm);
        ask("slack.required", &with(given, "reading_error_mm", READING_ERROR_MM))
    }

    fn judge_travel(&self, answer: &figures::Answer) -> Reason {
        let left = quantity(answer.get("left_surplus_mm").unwrap_or_default().abs(), "mm", 2);
        let there = answer.get("left_slack_mm").map_or_else(
            || "where the run rests on the slider".to_owned(),
            |slack_mm| format!("{} of slack there", mm(slack_mm)),
        );
        let (verdict, text) = match answer.at("verdict").and_then(Value::as_str) {
            Some("ready") => (Verdict::Ready, format!("{left} of chain left at the tightest place, {there}.")),
            Some("stop") => (
                Verdict::Stop,
                format!(
                    "Taut before the tightest place of the travel: {left} of chain short; {} on the stand is just taut.",
                    mm(self.taut_mm)
                ),
            ),
            _ => (
                Verdict::Care,
                format!(
                    "{left} of chain left at the tightest place ({there}): under the margin of {}, or none within reading error.",
                    mm(self.margin_mm())
                ),
            ),
        };
        let reason = Reason::new(verdict, "slack.required", text);
        if verdict == Verdict::Ready { reason } else { reason.cleared_by("Set the slack", 25) }
    }

    pub(crate) fn facts(&self, band: &Band, target_mm: f64) -> Vec<Fact> {
        let tape = format!(
            "geometry measured by tape is good to about {} of slack; one pair of readings, stand and in line, makes it good to {}",
            quantity(5.0, "mm", 0),
            quantity(1.0, "mm", 0)
        );
        let mut facts = vec![
            Fact::new("target_mm", "Set to", mm(target_mm), target_mm)
                .because(self.target_because(band, target_mm))
                .sure(tape.as_str())
                .unless("other sprockets with the slider touching, another place or kind of reading")
                .says("slack.required"),
            Fact::new(
                "required_slack_mm",
                format!("For {} left at the tightest place", mm(MARGIN_MM)),
                mm(self.required_mm),
                self.required_mm,
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
                mm(self.least_mm),
                self.least_mm,
            )
            .because(format!("the least that survives {} of sprocket run-out", mm(LEAST_MARGIN_MM)))
            .sure(tape.as_str())
            .unless("packed mud, run-out")
            .says("slack.required"),
            Fact::new("just_taut_mm", "Just taut at the tightest place", mm(self.taut_mm), self.taut_mm)
                .because("below this reading the chain stops the suspension")
                .sure(tape.as_str())
                .unless("the swingarm figures")
                .says("slack.required"),
        ];
        facts.extend(self.gap_fact());
        facts.extend(self.tightest_facts());
        facts
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
        let demand_mm = self.ours.get("demand_mm").unwrap_or_default();
        let tightest = self.ours.get("tightest_deg").map_or_else(
            || "every place of the travel takes as much".to_owned(),
            |deg| format!("tightest with the arm at {}° below level", number(deg, 1)),
        );
        let label = format!("Slack there with {} left", mm(MARGIN_MM));
        let slack = match self.ours.get("margin_slack_mm") {
            Some(slack_mm) => Fact::new("margin_slack_mm", label, mm(slack_mm), slack_mm),
            None => Fact::unknown("margin_slack_mm", label, "none to read: the lower run rests on the slider there"),
        };
        vec![
            Fact::new("demand_mm", "Chain that the travel takes", quantity(demand_mm, "mm", 2), demand_mm)
                .because(tightest)
                .sure("from the swingarm figures, slider included if the sheet has it")
                .unless(format!(
                    "countershaft height {} higher: about {} less slack asked for",
                    quantity(2.0, "mm", 0),
                    quantity(6.0, "mm", 0)
                ))
                .says("slack.required"),
            slack
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

    pub(crate) fn notes(&self) -> Vec<String> {
        let mut notes: Vec<String> = self.ours.notices.iter().map(|notice| notice.text.clone()).collect();
        if self.bike.word("slack_kind") == Some("gap") {
            notes.push("The sheet's band is of the gap kind; it is not laid against a free reading.".to_owned());
        }
        notes
    }
}

/// The reading that a margin asks for; a gap where the lower run rests on the slider, so that free slack says nothing.
fn required(answer: &figures::Answer) -> Result<f64, Gap> {
    answer.get("required_slack_mm").ok_or_else(|| Gap {
        figure: "slack.required",
        field: "slack_mm".to_owned(),
        missing: false,
        text:
            "The lower run rests on the slider at full extension, so free slack cannot be read there. Read a gap, and \
               hold it against the manual's own."
                .to_owned(),
        how_to: String::new(),
    })
}
