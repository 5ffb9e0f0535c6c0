//! Which pair makes this bike feel like another one: the same speed at the same rpm, or the same thrust at a speed.

use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;

use crate::ask::{Gap, Given, ask, from_sheet, with};
use crate::demand::{self, Demand, Ride};
use crate::fact::{Cell, Column, Table};
use crate::fit::Slot;
use crate::words::{kmh, list, mm, number};
use crate::{Block, Setup, Verdict};

/// What is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum By {
    /// Speed at the same rpm, gear by gear.
    Speed,
    /// Thrust at the same speed, per mass where both masses are known.
    Thrust,
}

impl By {
    /// The word of the figure.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Speed => "speed",
            Self::Thrust => "thrust",
        }
    }
}

/// One pair that comes near.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Near {
    /// The pair, on the chain that is fitted.
    pub setup: Setup,
    /// Speed at the same rpm against the other bike, gear by gear, %.
    pub speed_pct: Vec<f64>,
    /// How far off it is over the gears, %.
    pub speed_mismatch_pct: f64,
    /// How far off its thrust is over the speeds, %; none by speed.
    pub thrust_mismatch_pct: Option<f64>,
    /// Whether it can be fitted: on this chain, else on another one.
    pub fit: Verdict,
    /// On which chains it fits.
    pub fit_words: String,
}

/// The whole answer to "geared like that one".
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AlikeView {
    /// The bike to be geared, and the one to be like.
    pub bikes: [String; 2],
    /// What is compared.
    pub by: By,
    /// The pair of the other bike.
    pub other: Setup,
    /// The ratio that comes nearest if any were possible.
    pub ideal_ratio: f64,
    /// The best pairs, at most five.
    pub pairs: Vec<Near>,
    /// The same as a table.
    pub table: Table,
    /// Whether the best lies at the end of the pairs compared.
    pub at_edge: bool,
    /// The sentence.
    pub headline: String,
    /// What to know.
    pub notes: Vec<String>,
}

/// Answers for a bike and the one that it shall feel like. A ride of that one says which gears and speeds matter.
///
/// # Errors
/// The field that is missing or impossible, on either sheet.
pub fn view(bike: &Bike, other: &Bike, by: By, ridden: Option<&Ride>) -> Result<AlikeView, Gap> {
    let (fitted, theirs) = (Setup::fitted(bike)?, Setup::fitted(other)?);
    let members = |bike: &Bike| {
        let needed: &[&str] = match by {
            By::Speed => &["primary", "gears", "rollout_m"],
            By::Thrust => &["primary", "gears", "rollout_m", "curve", "eta", "max_rpm", "mass_kg"],
        };
        from_sheet(bike, needed)
    };
    let given = with(Given::new(), "bike_a", Value::Object(theirs.give_pair(members(other))));
    let given = with(with(given, "bike_b", Value::Object(members(bike))), "by", by.word());
    let ridden = ridden.map(|ride| demand::of(other, ride, ride.fitted.unwrap_or(theirs))).transpose()?;
    let given = ridden.iter().fold(given, |given, demand| counted(given, demand, by, [bike, other]));
    let answer = ask("gearing.match", &given).map_err(|gap| named(gap, bike, other))?;
    let slot = Slot::of(bike).ok();
    let found = answer.at("pairs").and_then(Value::as_array).cloned().unwrap_or_default();
    let pairs: Vec<Near> = found.iter().filter_map(|value| near(value, fitted, slot.as_ref())).collect();
    let at_edge = answer.at("at_edge").and_then(Value::as_bool).unwrap_or_default();
    Ok(AlikeView {
        bikes: [bike.name.clone(), other.name.clone()],
        headline: headline(&pairs, by, at_edge, [fitted, theirs], &other.name),
        table: table(&pairs, &other.name),
        ideal_ratio: answer.get("ideal_ratio").unwrap_or_default(),
        other: theirs,
        notes: notes(&answer, by, &other.name, ridden.as_ref()),
        by,
        pairs,
        at_edge,
    })
}

/// Lets the gears count as long as they were used on a ride, or the speeds between its slow and its fast end.
fn counted(given: Given, ridden: &Demand, by: By, bikes: [&Bike; 2]) -> Given {
    match by {
        By::Speed => {
            let gears = |bike: &Bike| from_sheet(bike, &["gears"]).get("gears")?.as_array().map(Vec::len);
            let compared = bikes.into_iter().filter_map(gears).min().unwrap_or(ridden.gear_pct.len());
            with(given, "gear_weights", ridden.gear_pct.iter().copied().take(compared).collect::<Vec<_>>())
        }
        By::Thrust => {
            let given = with(given, "speed_min_kmh", ridden.slow_kmh);
            with(given, "speed_max_kmh", ridden.fast_kmh.min(ridden.top_geared_kmh))
        }
    }
}

/// Says on whose sheet the field is missing.
fn named(gap: Gap, bike: &Bike, other: &Bike) -> Gap {
    let whose = if gap.field.starts_with("bike_a") { other } else { bike };
    let field = gap.field.trim_start_matches("bike_a.").trim_start_matches("bike_b.").to_owned();
    Gap { text: format!("{}: {}", whose.name, gap.text), field, ..gap }
}

fn near(value: &Value, fitted: Setup, slot: Option<&Slot>) -> Option<Near> {
    let number = |key: &str| value.get(key).and_then(Value::as_f64);
    let teeth = |key: &str| value.get(key)?.as_u64().and_then(|count| u32::try_from(count).ok());
    let setup = fitted.pair(teeth("front_teeth")?, teeth("rear_teeth")?);
    let (fit, fit_words) = fits(setup, slot);
    Some(Near {
        setup,
        speed_pct: value.get("speed_pct")?.as_array()?.iter().filter_map(Value::as_f64).collect(),
        speed_mismatch_pct: number("speed_mismatch_pct")?,
        thrust_mismatch_pct: number("thrust_mismatch_pct"),
        fit,
        fit_words,
    })
}

/// On the fitted chain, else on which other even ones.
fn fits(setup: Setup, slot: Option<&Slot>) -> (Verdict, String) {
    let Some(slot) = slot else { return (Verdict::Unknown, "slot not on the sheet".to_owned()) };
    match slot.place(setup) {
        Ok(place) if place.verdict < Verdict::Unknown => {
            (place.verdict, format!("on the fitted {} links, {} left", setup.links, mm(place.left_mm)))
        }
        _ => {
            let usable =
                |links: &u32| slot.place(setup.with_links(*links)).is_ok_and(|place| place.verdict < Verdict::Unknown);
            let links = match slot.even_links(setup) {
                Ok(links) => links,
                Err(gap) => return (Verdict::Unknown, gap.text),
            };
            let counts: Vec<String> = links.iter().filter(|links| usable(links)).map(ToString::to_string).collect();
            if counts.is_empty() {
                (Verdict::Stop, "no even chain puts its axle between the stops".to_owned())
            } else {
                (Verdict::Care, format!("needs a chain of {} links", list(&counts)))
            }
        }
    }
}

fn headline(pairs: &[Near], by: By, at_edge: bool, [fitted, theirs]: [Setup; 2], name: &str) -> String {
    let Some(best) = pairs.first() else { return format!("No pair could be compared with {name}.") };
    let off = match best.thrust_mismatch_pct {
        Some(thrust) => format!("thrust off by {} % over the speeds", number(thrust, 1)),
        None => format!("speed per rpm off by {} % over the gears", number(best.speed_mismatch_pct, 1)),
    };
    let pair = best.setup.pair_words();
    if at_edge {
        return format!(
            "{pair} comes nearest to {name} on {}, {off}, but lies at the edge of the pairs compared: no plain advice there.",
            theirs.pair_words()
        );
    }
    let usable = pairs.iter().find(|pair| pair.fit < Verdict::Unknown);
    let same = if best.setup.same_pair(fitted) { ", which is fitted" } else { "" };
    let mut text = format!("By {} {pair}{same} comes nearest to {name} on {}: {off}.", by.word(), theirs.pair_words());
    match usable {
        Some(usable) if usable.setup != best.setup => {
            text.push_str(&format!(" It does not fit; {} does: {}.", usable.setup.pair_words(), usable.fit_words));
        }
        Some(usable) => text.push_str(&format!(" It fits {}.", usable.fit_words)),
        None => text.push_str(" Whether it fits is not known or none of these does."),
    }
    text
}

fn table(pairs: &[Near], name: &str) -> Table {
    let columns = vec![
        Column::words("pair", "Pair"),
        Column::words("speed_pct", "Speed per gear, %"),
        Column::numbers("speed_mismatch_pct", "Speed off, %"),
        Column::numbers("thrust_mismatch_pct", "Thrust off, %"),
        Column::words("fit", "Fit"),
    ];
    let mut table = Table::new("alike", format!("The pairs that come nearest to {name}"), columns);
    table.rows.extend(pairs.iter().map(|pair| {
        let gears: Vec<String> = pair.speed_pct.iter().map(|pct| crate::words::signed(*pct, 1)).collect();
        vec![
            Cell::words(pair.setup.pair_words()),
            Cell::words(gears.join(" ")),
            Cell::number(pair.speed_mismatch_pct, 1),
            Cell::maybe(pair.thrust_mismatch_pct, 1),
            Cell::words(pair.fit_words.clone()),
        ]
    }));
    table
}

fn notes(answer: &figures::Answer, by: By, name: &str, ridden: Option<&Demand>) -> Vec<String> {
    let mut notes: Vec<String> = answer.notices.iter().map(|notice| notice.text.clone()).collect();
    notes.push(match (ridden, by) {
        (None, By::Speed) => format!("Every gear counts alike: no ride of {name} says which ones are used."),
        (None, By::Thrust) => format!("Every speed counts alike: no ride of {name} says which ones are ridden."),
        (Some(ridden), By::Speed) => {
            let shares: Vec<String> =
                (1..).zip(&ridden.gear_pct).map(|(gear, pct)| format!("{gear} {} %", number(*pct, 0))).collect();
            format!(
                "Gears count as long as they were used on {name}, on the ride {}: {}.",
                ridden.ride,
                shares.join(", ")
            )
        }
        (Some(ridden), By::Thrust) => format!(
            "Compared from {} to {}, the slow and the fast end of the ride {} on {name}.",
            kmh(ridden.slow_kmh),
            kmh(ridden.fast_kmh.min(ridden.top_geared_kmh)),
            ridden.ride
        ),
    });
    let ideal = answer.get("ideal_ratio").map(|ratio| number(ratio, 3)).unwrap_or_default();
    notes.push(format!("The ratio nearest to {name} over all gears is {ideal}; a mismatch that stays is the boxes' own, no pair mends it."));
    if by == By::Speed {
        notes.push(
            "Thrust is not in it: where the engines differ, comparing by thrust may name another pair.".to_owned(),
        );
    }
    notes
}

impl AlikeView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        vec![
            Block::Heading("Geared like the other one"),
            Block::Text(self.headline.clone()),
            Block::Table(&self.table),
            Block::List(self.notes.clone()),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bike() -> Bike {
        Bike::from_toml(include_str!("../../../data/bikes/alder-350.toml")).expect("the demo's bike")
    }

    #[test]
    fn a_pair_is_named_with_every_even_chain_that_holds_it_and_no_other() {
        let (bike, mut seen) = (bike(), [0; 3]);
        let (fitted, slot) = (Setup::fitted(&bike).expect("a setup"), Slot::of(&bike).expect("a slot"));
        let holds = |setup: Setup| slot.place(setup).is_ok_and(|place| place.verdict < Verdict::Unknown);
        for setup in (11..=16).flat_map(|front| (40..=56).map(move |rear| fitted.pair(front, rear))) {
            let (verdict, words) = fits(setup, Some(&slot));
            let named: Vec<u32> =
                words.split(|c: char| !c.is_ascii_digit()).filter_map(|word| word.parse().ok()).collect();
            let others: Vec<u32> = (90..140).step_by(2).filter(|links| holds(setup.with_links(*links))).collect();
            if holds(setup) {
                assert!(
                    words.starts_with("on the fitted 118 links, ") && verdict < Verdict::Unknown,
                    "{setup}: {words}"
                );
                seen[0] += 1;
            } else if others.is_empty() {
                assert_eq!((verdict, words.as_str()), (Verdict::Stop, "no even chain puts its axle between the stops"));
                seen[1] += 1;
            } else {
                assert_eq!((verdict, named), (Verdict::Care, others), "{setup}: {words}");
                seen[2] += 1;
            }
        }
        assert!(seen[0] > 5 && seen[2] > 5, "{seen:?}");
        assert_eq!(fits(fitted, None).0, Verdict::Unknown);
    }
}
