//! Will it fit: where the axle lands, what is left each way, when it runs out, and what else could be fitted.
//!
//! `slack.axle_place` decides (slider, surplus margin, slot); `chain.fit` gives the room and the map.

use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;

use crate::ask::{Gap, Given, ask, from_sheet, with};
use crate::fact::{Cell, Column, Fact, Table};
use crate::slack::MARGIN_MM;
use crate::verdict::{self, Reason, Verdict};
use crate::words::{mm, number, quantity};
use crate::{Block, Setup};

/// Under this much room to either stop a fit asks for care. The tool's own threshold.
pub const CARE_ROOM_MM: f64 = 3.0;

/// Fields of the swingarm that figures of the drive ask for.
pub const GEOMETRY: [&str; 8] = [
    "pitch_mm",
    "elongation_pct",
    "countershaft_x_mm",
    "countershaft_z_mm",
    "arm_mm",
    "slider_u_mm",
    "slider_w_mm",
    "slider_radius_mm",
];

/// What one setup does in this bike's slot.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Place {
    /// The setup judged.
    pub setup: Setup,
    /// The verdict on fitting it.
    pub verdict: Verdict,
    /// Taut centre distance countershaft–axle with the axle in line, new chain.
    pub centre_mm: f64,
    /// From the front stop; negative: short of it.
    pub from_front_mm: f64,
    /// Left to the rear stop; negative: past it.
    pub left_mm: f64,
    /// Elongation at which the axle reaches the rear stop: earliest and latest.
    pub runs_out_pct: [f64; 2],
    /// Arm length pivot–axle wanted for the margin at the tightest place.
    pub arm_mm: f64,
    /// From the axle's present place, + back.
    pub shift_mm: f64,
    /// Why, worst first.
    pub reasons: Vec<Reason>,
}

/// Which way a setup misses the slot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Miss {
    /// The chain is too short: it cannot be made longer.
    TooShort,
    /// The chain is too long: it can be cut by link pairs.
    TooLong,
    /// It reaches both ways.
    None,
}

impl Place {
    /// Which way it misses.
    #[must_use]
    pub fn miss(&self) -> Miss {
        if self.from_front_mm < 0.0 {
            Miss::TooShort
        } else if self.left_mm < 0.0 {
            Miss::TooLong
        } else {
            Miss::None
        }
    }
}

/// The two stops as centre distances, asked once for a bike.
#[derive(Debug, Clone, PartialEq)]
pub struct Slot {
    centre_min_mm: f64,
    centre_max_mm: f64,
    limit_pct: Option<f64>,
    chain: Given,
    swingarm: Given,
}

impl Slot {
    /// Reads the slot off the sheet.
    ///
    /// # Errors
    /// The field that is missing or impossible.
    pub fn of(bike: &Bike) -> Result<Self, Gap> {
        let arm_mm = need(bike, "arm_mm")?;
        let (slot_min, slot_max) = (need(bike, "slot_min_mm")?, need(bike, "slot_max_mm")?);
        let centre = |at_mm: f64| -> Result<f64, Gap> {
            let given = swing(bike, arm_mm, at_mm);
            ask("slack.distance", &given).map(|answer| answer.get("longest_mm").unwrap_or_default())
        };
        let mut swingarm = from_sheet(bike, &GEOMETRY);
        swingarm.extend(from_sheet(bike, &["droop_deg", "travel_mm", "slot_min_mm", "slot_max_mm"]));
        Ok(Self {
            centre_min_mm: centre(slot_min)?,
            centre_max_mm: centre(slot_max)?,
            limit_pct: bike.number("limit_pct"),
            chain: from_sheet(bike, &["pitch_mm"]),
            swingarm,
        })
    }

    /// Judges one setup.
    ///
    /// # Errors
    /// The field that is missing or impossible; an odd link count is refused here, this drive has no cranked link.
    pub fn place(&self, setup: Setup) -> Result<Place, Gap> {
        if !setup.links.is_multiple_of(2) {
            return Err(odd_links(setup.links));
        }
        let fit = ask("chain.fit", &self.fit_given(setup, Some(setup.links)))?;
        let at = ask("slack.axle_place", &setup.give(self.swingarm.clone()))?;
        let get = |key: &str| fit.get(&format!("fits.0.{key}")).unwrap_or_default();
        let mut place = Place {
            setup,
            verdict: Verdict::Unknown,
            centre_mm: get("centre_mm"),
            from_front_mm: get("room_front_mm"),
            left_mm: get("room_rear_mm"),
            runs_out_pct: [get("runs_out_pct"), get("runs_out_late_pct")],
            arm_mm: at.get("axle_mm").unwrap_or_default(),
            shift_mm: at.get("shift_mm").unwrap_or_default(),
            reasons: Vec::new(),
        };
        let slot_says = at.at("fit").and_then(Value::as_str).unwrap_or_default().to_owned();
        let rear_room_mm = at.get("room_mm").unwrap_or_default();
        let front_room_mm = place.arm_mm - self.slot_min_mm();
        place.reasons = self.reasons(&place, &slot_says, front_room_mm, rear_room_mm);
        place.verdict = verdict::of(&place.reasons);
        Ok(place)
    }

    /// Every even link count whose axle lies between the stops.
    ///
    /// # Errors
    /// The field that is missing or impossible.
    pub fn even_links(&self, setup: Setup) -> Result<Vec<u32>, Gap> {
        let links = |fit: &Value| whole(fit.get("links")?).filter(|links| links.is_multiple_of(2));
        Ok(self.fits(setup)?.iter().filter_map(links).collect())
    }

    /// Every count whose axle lies between the stops, as `chain.fit` answers it.
    ///
    /// # Errors
    /// The field that is missing or impossible.
    pub fn fits(&self, setup: Setup) -> Result<Vec<Value>, Gap> {
        let answer = ask("chain.fit", &self.fit_given(setup, None))?;
        Ok(answer.at("fits").and_then(Value::as_array).cloned().unwrap_or_default())
    }

    /// How far the axle moves for another tooth, link count or elongation, in words.
    fn moves(&self, setup: Setup, field: &str, to: Value) -> String {
        let shift = ask("chain.axle_shift", &with(setup.give(self.chain.clone()), field, to));
        let shift_mm = shift.ok().and_then(|answer| answer.get("shift_seated_mm"));
        shift_mm.map_or_else(|| "more than is possible".to_owned(), |shift_mm| mm(shift_mm.abs()))
    }

    fn slot_min_mm(&self) -> f64 {
        self.swingarm.get("slot_min_mm").and_then(Value::as_f64).unwrap_or_default()
    }

    fn fit_given(&self, setup: Setup, links: Option<u32>) -> Given {
        let given = setup.give_pair(self.chain.clone());
        let given = with(with(given, "centre_min_mm", self.centre_min_mm), "centre_max_mm", self.centre_max_mm);
        match links {
            Some(links) => with(given, "links", links),
            None => given,
        }
    }

    fn reasons(&self, place: &Place, slot_says: &str, front_room_mm: f64, rear_room_mm: f64) -> Vec<Reason> {
        let mut reasons = Vec::new();
        let links = place.setup.links;
        let (front, rear) = (front_room_mm.min(place.from_front_mm), rear_room_mm.min(place.left_mm));
        if slot_says == "too_short" || front < 0.0 {
            let text = format!(
                "{} short of the front stop with its slack: a chain of {links} links is too short and cannot be made longer.",
                mm(-front)
            );
            reasons.push(Reason::new(Verdict::Stop, "slack.axle_place", text));
        } else if slot_says == "too_long" || rear < 0.0 {
            let text = format!(
                "{} past the rear stop: a chain of {links} links is too long; it can be cut to {}.",
                mm(-rear),
                links - 2
            );
            reasons.push(Reason::new(Verdict::Stop, "slack.axle_place", text));
        } else {
            if front < CARE_ROOM_MM {
                let text = format!(
                    "Only {} from the front stop (care under {}, the tool's own threshold).",
                    mm(front),
                    quantity(CARE_ROOM_MM, "mm", 0)
                );
                reasons.push(Reason::new(Verdict::Care, "slack.axle_place", text));
            }
            if rear < CARE_ROOM_MM {
                let text = format!(
                    "Only {} left to the rear stop (care under {}, the tool's own threshold).",
                    mm(rear),
                    quantity(CARE_ROOM_MM, "mm", 0)
                );
                reasons.push(Reason::new(Verdict::Care, "slack.axle_place", text));
            }
            reasons.extend(self.runs_out_early(place));
        }
        verdict::worst_first(&mut reasons);
        reasons
    }

    fn runs_out_early(&self, place: &Place) -> Option<Reason> {
        let [early, late] = place.runs_out_pct;
        let limit = self.limit_pct?;
        (early < limit).then(|| {
            let text = format!(
                "The slot is used up at {} to {} % elongation, before the sheet's wear limit of {} %.",
                number(early, 2),
                number(late, 2),
                number(limit, 1)
            );
            Reason::new(Verdict::Care, "chain.fit", text)
        })
    }
}

/// Whether what is fitted sits in its slot, as the sheet has it: what speaks for or against it.
#[must_use]
pub fn against(bike: &Bike) -> Vec<Reason> {
    let place = Setup::fitted(bike).and_then(|fitted| Slot::of(bike)?.place(fitted));
    place.map_or_else(|gap| vec![gap.reason("Fit")], |place| place.reasons)
}

/// What a swingarm figure needs with the arm at another length: the arm's angles stay, so travel goes with the length.
#[must_use]
pub fn swing(bike: &Bike, arm_mm: f64, at_mm: f64) -> Given {
    let given = with(from_sheet(bike, &["countershaft_x_mm", "countershaft_z_mm", "droop_deg"]), "arm_mm", at_mm);
    match bike.number("travel_mm") {
        Some(travel_mm) => with(given, "travel_mm", travel_mm * at_mm / arm_mm),
        None => given,
    }
}

/// A number of the sheet that must be there.
///
/// # Errors
/// The gap that names the field.
pub fn need(bike: &Bike, field: &'static str) -> Result<f64, Gap> {
    bike.number(field).ok_or_else(|| Gap::absent(field))
}

fn whole(value: &Value) -> Option<u32> {
    value.as_u64().and_then(|count| u32::try_from(count).ok())
}

pub(crate) fn odd_links(links: u32) -> Gap {
    Gap {
        figure: "chain.fit",
        field: "links".to_owned(),
        missing: false,
        text: format!(
            "links is {links}; an even count is possible. An odd count needs a cranked half link, which is weaker: not for this drive. Take {} or {}.",
            links - 1,
            links + 1
        ),
        how_to: String::new(),
    }
}

/// The whole answer to "will it fit?".
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FitView {
    /// The setup asked about.
    pub place: Place,
    /// Its figures in words.
    pub facts: Vec<Fact>,
    /// What chain to buy or cut for this pair.
    pub chain: String,
    /// The pairs around it on the same chain.
    pub same_chain: Table,
}

/// Answers for one setup.
///
/// # Errors
/// The field that is missing or impossible.
pub fn view(bike: &Bike, setup: Setup) -> Result<FitView, Gap> {
    let slot = Slot::of(bike)?;
    let place = slot.place(setup)?;
    Ok(FitView {
        facts: facts(&slot, &place),
        chain: chain_words(&slot, setup)?,
        same_chain: same_chain(&slot, setup),
        place,
    })
}

/// As much longer than its pitches say as a new chain may be, percent; from memory.
const NEW_LONGER_PCT: f64 = 0.15;

fn facts(slot: &Slot, place: &Place) -> Vec<Fact> {
    let Setup { front_teeth, rear_teeth, links } = place.setup;
    let [early, late] = place.runs_out_pct;
    let moves = |field: &str, to: Value| slot.moves(place.setup, field, to);
    let new = "for a new chain, drawn taut with countershaft, pivot and axle in line";
    let sure = format!(
        "geometry good to {}; as good as the measured stops. A new chain may be up to {NEW_LONGER_PCT} % long (from memory): {} of axle",
        quantity(0.01, "mm", 2),
        moves("to_elongation_pct", Value::from(NEW_LONGER_PCT))
    );
    vec![
        Fact::new("centre_mm", "Centre distance", mm(place.centre_mm), place.centre_mm)
            .because(format!("where {} holds taut, {new}", place.setup))
            .sure(sure.as_str())
            .unless("other teeth, another link count, a worn chain")
            .says("chain.fit"),
        Fact::new("from_front_mm", "From the front stop", mm(place.from_front_mm), place.from_front_mm)
            .because(format!(
                "the slack that is set moves the axle {} forward of taut",
                mm(place.from_front_mm - (place.arm_mm - slot.slot_min_mm()))
            ))
            .sure(sure.as_str())
            .unless(format!(
                "one rear tooth more takes {}, one front tooth {}",
                moves("to_rear_teeth", Value::from(rear_teeth + 1)),
                moves("to_front_teeth", Value::from(front_teeth + 1))
            ))
            .says("chain.fit"),
        Fact::new("left_mm", "Left to the rear stop", mm(place.left_mm), place.left_mm)
            .because("what wear can use before the chain must go")
            .sure(sure.as_str())
            .unless(format!("two links more take {}", moves("to_links", Value::from(links + 2))))
            .says("chain.fit"),
        Fact::new("runs_out_pct", "Slot used up at", format!("{} to {} %", number(early, 2), number(late, 2)), early)
            .because("elongation at which the axle stands at the rear stop: earliest with the chain seated, latest with it riding up the teeth")
            .sure("two bounds of one wear; the earlier one is used for the verdict")
            .unless("where the new chain starts in the slot")
            .says("chain.fit"),
        Fact::new("arm_mm", "Axle place, pivot to axle", mm(place.arm_mm), place.arm_mm)
            .because(format!("leaves {} of chain beyond taut at the tightest place of the travel, slider included", mm(MARGIN_MM)))
            .sure("rests on the swingarm figures measured by tape: calibrate by one reading in line")
            .unless("another margin, another slider")
            .says("slack.axle_place"),
    ]
}

/// Which counts fit, and what a chain next to them would do.
fn chain_words(slot: &Slot, setup: Setup) -> Result<String, Gap> {
    let fits = slot.even_links(setup)?;
    let pair = setup.pair_words();
    let (Some(&least), Some(&most)) = (fits.first(), fits.last()) else {
        return Ok(format!("No even link count puts the axle of {pair} between the stops: choose another pair."));
    };
    let counts: Vec<String> = fits.iter().map(ToString::to_string).collect();
    let shorter = slot.place(setup.with_links(least - 2));
    let longer = slot.place(setup.with_links(most + 2));
    let mut text = format!("{pair} takes {} links.", counts.join(" or "));
    if let Ok(shorter) = shorter {
        text.push_str(&format!(
            " {} end {} short of the front stop and cannot be made longer.",
            least - 2,
            mm(-shorter.from_front_mm)
        ));
    }
    if let Ok(longer) = longer {
        text.push_str(&format!(" {} would stand {} past the rear stop; cut 2.", most + 2, mm(-longer.left_mm)));
    }
    Ok(text)
}

fn same_chain(slot: &Slot, setup: Setup) -> Table {
    let columns = vec![
        Column::words("rear_teeth", "Rear teeth"),
        Column::words("verdict", "Fit"),
        Column::of("centre_mm", "Centre", "mm"),
        Column::of("from_front_mm", "From front stop", "mm"),
        Column::of("left_mm", "Left to rear stop", "mm"),
        Column::numbers("runs_out_pct", "Used up at, %"),
    ];
    let caption = format!("With {} front teeth on the same {} links", setup.front_teeth, setup.links);
    let mut table = Table::new("same_chain", caption, columns);
    for rear in setup.rear_teeth.saturating_sub(4)..=setup.rear_teeth + 4 {
        let Ok(place) = slot.place(setup.pair(setup.front_teeth, rear)) else { continue };
        table.rows.push(vec![
            Cell { text: rear.to_string(), value: Some(f64::from(rear)) },
            Cell::words(place.verdict.fit_words()),
            Cell::of(place.centre_mm, "mm", 1),
            Cell::of(place.from_front_mm, "mm", 1),
            Cell::of(place.left_mm, "mm", 1),
            Cell::number(place.runs_out_pct[0], 2),
        ]);
    }
    table
}

impl FitView {
    /// The answer with its deciding figures.
    #[must_use]
    pub fn brief(&self) -> Vec<Block<'_>> {
        let mut blocks = self.blocks();
        blocks.truncate(3);
        blocks.push(Block::Facts(self.facts.get(..4).unwrap_or(&self.facts)));
        blocks
    }

    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        let sentence = format!("{}: {}", self.place.setup, self.chain);
        vec![
            Block::Heading("Will it fit?"),
            Block::Verdict(self.place.verdict, self.place.verdict.fit_words(), sentence),
            Block::Reasons(&self.place.reasons),
            Block::Facts(&self.facts),
            Block::Table(&self.same_chain),
        ]
    }
}
