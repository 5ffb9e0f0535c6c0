//! What goes with it: parts that the counts and the wear ask for, then what the job itself uses up.

use upkeep::bike::Bike;
use upkeep::supply::Shelf;

use super::Asked;
use crate::Setup;
use crate::ask::Gap;
use crate::fact::{Cell, Column, Table};
use crate::fit::Slot;
use crate::plan::{self, Wish};
use crate::record::Record;
use crate::record::order::name;
use crate::record::replace::{self, AT_LIMIT, PARTS};
use crate::shelf::{self, Shelf as Counts};
use crate::supplies;
use crate::verdict::{Reason, Verdict};

/// What goes with it, and what of that weighs on the answer.
pub(super) struct Along {
    pub(super) table: Table,
    pub(super) reasons: Vec<Reason>,
}

/// The rider's own word for the tool that a riveted joint needs.
const RIVET_TOOL: &str = "chain press and rivet tool";

/// What stands at the link where the joint of the chain is not said: the sheet's is the old chain's.
const JOINT_NOT_SAID: &str = ". Clip, rivet or endless is not said: this is the kind of the chain that comes off";
/// Many a chain brings its link.
const IN_THE_BOX: &str = ". One that comes in the box of the chain counts";

/// Collects it.
///
/// # Errors
/// The sheet lacks a count, the meter went back, or a job cannot be planned.
pub(super) fn of(
    record: &Record<'_>,
    lies: &Shelf,
    asked: &Asked,
    (fitted, setup): (Setup, Setup),
    bought: &Bike,
) -> Result<Along, Gap> {
    let columns =
        vec![Column::words("role", "With it"), Column::words("why", "Why"), Column::words("state", "On the shelf")];
    let table = Table::new("along", "What else must be had or changed with it", columns);
    let mut along = Along { table, reasons: Vec::new() };
    by_count(&mut along, record.bike, asked, (fitted, setup));
    by_wear(&mut along, record, asked, setup)?;
    by_joint(&mut along, lies, asked);
    by_job(&mut along, record, lies, asked, (setup, bought))?;
    Ok(along)
}

fn row(along: &mut Along, role: impl Into<String>, why: impl Into<String>, state: impl Into<String>) {
    let role = role.into();
    let known = along.table.rows.iter().any(|row| row.first().is_some_and(|cell| cell.text == role));
    if !known {
        along.table.rows.push(vec![Cell::words(role), Cell::words(why), Cell::words(state)]);
    }
}

/// Parts of another count than fitted that are not bought, and the chain where the fitted one does not reach.
fn by_count(along: &mut Along, bike: &Bike, asked: &Asked, (fitted, setup): (Setup, Setup)) {
    let [chain, front, rear] = asked.what.buys();
    for part in shelf::needed(fitted, setup, &Counts::default()) {
        let bought = (part.what.starts_with("chain") && chain)
            || (part.what.starts_with("front") && front)
            || (part.what.starts_with("rear") && rear);
        if !bought {
            row(along, part.what, "another count than what is fitted", "–");
        }
    }
    let Ok(slot) = Slot::of(bike) else { return };
    let misses = slot.place(setup).is_ok_and(|place| place.verdict >= Verdict::Unknown);
    let links = super::count_for(bike, setup);
    if !chain && misses && links != setup.links {
        row(along, format!("chain of {links} links"), "the fitted one does not reach with this pair", "–");
    }
}

/// What the decision about the set takes new besides, and what is at its limit whatever the money says.
fn by_wear(along: &mut Along, record: &Record<'_>, asked: &Asked, setup: Setup) -> Result<(), Gap> {
    let wanted = Some(setup).filter(|setup| Setup::fitted(record.bike).is_ok_and(|fitted| fitted != *setup));
    let said = replace::Asked { price_minor: asked.price_minor.clone(), wanted, ..replace::Asked::default() };
    let set = replace::view(record, &said)?;
    let decided = set.best.is_some() || set.safest.is_some();
    for ((known, now), bought) in set.parts.iter().zip(set.bought()).zip(asked.what.buys()) {
        let at_limit = known.level[0] == AT_LIMIT || known.must.is_some();
        if bought || !((decided && now) || at_limit) {
            continue;
        }
        let part = name(PARTS.iter().find(|part| **part == known.part).copied().unwrap_or_default());
        row(along, format!("new {part}"), format!("worn: {}", known.level_because), "–");
        let why = if at_limit { "it is at its limit" } else { "the decision about the set takes it new as well" };
        let text =
            format!("The {part} that stays: {why} ({}). A new part on worn ones wears fast.", known.level_because);
        along.reasons.push(Reason::new(Verdict::Care, "life.set_policy", text));
    }
    Ok(())
}

/// What a way of closing the chain asks for.
fn by_joint(along: &mut Along, lies: &Shelf, asked: &Asked) {
    if !asked.what.buys()[0] {
        return;
    }
    let have = lies.item(RIVET_TOOL).and_then(|item| item.qty).is_some_and(|qty| qty > 0);
    match asked.joint.as_deref() {
        Some("rivet") => {
            row(
                along,
                RIVET_TOOL,
                "the plate is pressed, the pins are flared",
                if have { "have" } else { "not counted" },
            );
            if !have {
                let text =
                    "A riveted joint needs a press and rivet tool, and none is noted as yours. Borrow one first.";
                along.reasons.push(Reason::new(Verdict::Care, "", text).cleared_at(
                    "parts/note",
                    "Say that you have it",
                    1,
                ));
            }
        }
        Some("endless") => {
            let text =
                "An endless chain goes on only with the swingarm out, or it is cut and closed with a riveted link.";
            along.reasons.push(Reason::new(Verdict::Care, "", text));
        }
        Some(_) | None => {}
    }
}

/// What the job uses up: link, retention, fasteners, and what they cost here.
fn by_job(
    along: &mut Along,
    record: &Record<'_>,
    lies: &Shelf,
    asked: &Asked,
    (setup, bought): (Setup, &Bike),
) -> Result<(), Gap> {
    let jobs = asked.what.jobs().iter().map(|job| (*job).to_owned()).collect();
    let plan = match plan::view(bought, setup, &Wish { jobs, ..Wish::default() }) {
        Ok(plan) => plan,
        Err(gap) if gap.missing => {
            let text = format!("What the job uses up is not known. {}", gap.text);
            along.reasons.push(Reason::new(Verdict::Unknown, gap.figure, text).cleared_at("bike", gap.how_to, 2));
            return Ok(());
        }
        Err(wrong) => return Err(wrong),
    };
    let listed =
        supplies::view(&plan, supplies::Asked { shelf: lies, today: record.now.date(), needed: None, order: None })?;
    for part in listed.parts.iter().filter(|part| !["chain", "front sprocket", "rear sprocket"].contains(&&*part.role))
    {
        let role = if part.optional { format!("{} (if needed)", part.role) } else { part.role.clone() };
        // The job asks for its link once; which kind a bought chain wants, only its seller or the rider knows.
        let mut why = part.spec.clone();
        if part.role == "connecting link" && asked.what.buys()[0] {
            why.push_str(IN_THE_BOX);
            if asked.joint.is_none() {
                why.push_str(JOINT_NOT_SAID);
            }
        }
        row(along, format!("{} × {role}", part.qty), why, part.state);
    }
    for consumable in &listed.consumables.rows {
        if let [role, state, ..] = consumable.as_slice() {
            row(along, role.text.clone(), "used up by the job", state.text.clone());
        }
    }
    Ok(())
}
