//! `wear.hours`: hours from meter readings and swaps, and hours weighed by ground.

use measure::bounds::wear as bounds;
use serde_json::Value;
use upkeep::wear::{MeterEvent, equivalent_hours, total_hours};

use super::inside;
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "wear.hours",
    says: "Total hours from a meter's readings and swaps; with grounds, the hours on hard ground that wear as much.",
    given: &[
        Field::nested("meter")
            .meaning("in order of time: {read_h}, or {swap_old_h, swap_new_h} where the meter was changed"),
        Field::nested("ground_hours_h").optional("no grounds").meaning("hours on each ground, by name"),
        Field::nested("multiplier")
            .optional("hard 1, sand 1.6, mud 2.5")
            .meaning("how much faster each ground wears than hard, dry ground; guesses, editable"),
    ],
    answer: &[
        ("hours_h", "total hours, h"),
        ("equivalent_h", "hours on hard ground that wear as much, h (with grounds)"),
        ("mean_multiplier", "equivalent over ridden hours (with grounds)"),
    ],
    formula: "last reading + sum(old - new) over swaps; equivalent = sum(multiplier hours)",
    sources: &["meter-log", "wear-guesses"],
    ask,
};

const READ: &[Field] = &[Field::number("read_h", &bounds::HOURS)];
const SWAP: &[Field] = &[Field::number("swap_old_h", &bounds::HOURS), Field::number("swap_new_h", &bounds::HOURS)];

/// How much faster each ground wears, until the rider's own log says better.
const GROUNDS: [(&str, f64); 3] = [("hard", 1.0), ("sand", 1.6), ("mud", 2.5)];

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let events = inside::list(given, "meter")?.iter().map(event).collect::<Result<Vec<_>, _>>()?;
    let hours = total_hours(&events).map_err(|back| {
        let text = format!(
            "meter: entry {} lies {:.6} h below the one before. Enter the change of meter, or correct the reading.",
            back.at + 1,
            back.by
        );
        Refusal::new("meter", "went_back", text)
    })?;
    let grounds = inside::named_numbers(given, "ground_hours_h", &bounds::HOURS)?;
    let multipliers =
        inside::named_numbers(given, "multiplier", &bounds::MULTIPLIER)?.unwrap_or_else(|| GROUNDS.to_vec());
    let answer = Answer::new().num("hours_h", hours);
    let Some(grounds) = grounds else { return Ok(answer) };
    let (equivalent, mean) = equivalent_hours(&weighed(&grounds, &multipliers)?);
    Ok(answer.num("equivalent_h", equivalent).num("mean_multiplier", mean))
}

fn event(value: &Value) -> Result<MeterEvent, Refusal> {
    let swap = ["swap_old_h", "swap_new_h"].iter().any(|key| value.get(key).is_some());
    if swap {
        let item = inside::item("meter", value, SWAP)?;
        return Ok(MeterEvent::Swap { old: item.num("swap_old_h")?, new: item.num("swap_new_h")? });
    }
    Ok(MeterEvent::Read { hours: inside::item("meter", value, READ)?.num("read_h")? })
}

fn weighed(grounds: &[(&str, f64)], multipliers: &[(&str, f64)]) -> Result<Vec<(f64, f64)>, Refusal> {
    grounds
        .iter()
        .map(|&(ground, hours)| {
            let multiplier = multipliers.iter().find(|(name, _)| *name == ground).ok_or_else(|| {
                let known: Vec<_> = multipliers.iter().map(|(name, _)| *name).collect();
                let text = format!(
                    "ground_hours_h: \"{ground}\" has no multiplier; {} have one. Give it under multiplier.",
                    known.join(", ")
                );
                Refusal::new("ground_hours_h", "no_multiplier", text)
            })?;
            Ok((hours, multiplier.1))
        })
        .collect()
}
