//! `gearing.season_kit`: what to buy so that every ride of a season can be geared for.

use drive::gearing::{Change, Kit, KitFault, MOST, Ride, Season, Triple};
use measure::Bound;
use measure::bounds::gearing as bounds;
use serde_json::{Value, json};

use super::counts;
use crate::{Answer, Field, Figure, Given, Refusal};

/// How many rides a season may have.
const MOST_RIDES: usize = 20;
/// Defaults: minutes for another front sprocket, rear sprocket, chain, and for settling each change.
const MINUTES: [u16; 4] = [20, 40, 15, 15];

pub(super) const SEASON_KIT: Figure = Figure {
    name: "gearing.season_kit",
    says: "The fewest sprockets and chains to buy for a season's rides, and what each further piece saves at the bench.",
    given: &[
        Field::nested("rides").meaning("1 to 20 in calendar order: {name, pairs: acceptable [front, rear]}"),
        Field::nested("fits").meaning("[front, rear, links] that stay in the slot"),
        Field::nested("fitted").optional("none").meaning("[front, rear, links] on the bike now"),
        Field::nested("owned_front").optional("none").meaning("front sprockets at hand"),
        Field::nested("owned_rear").optional("none").meaning("rear sprockets at hand"),
        Field::nested("owned_links").optional("none").meaning("chains at hand, by their links"),
        Field::whole("most_chains", &bounds::CHAINS).optional("1"),
        Field::whole("change_front_min", &bounds::BENCH_MIN).optional("20"),
        Field::whole("change_rear_min", &bounds::BENCH_MIN).optional("40"),
        Field::whole("change_links_min", &bounds::BENCH_MIN).optional("15"),
        Field::whole("settle_min", &bounds::BENCH_MIN).optional("15").meaning("once for every change"),
    ],
    answer: &[
        (
            "kits",
            "from the fewest pieces on, each larger kit only where it saves minutes: pieces, fronts, rears (to buy), links (used or allowed), minutes, changes, plan (for each ride [front, rear, links] or null)",
        ),
        ("uncovered", "rides, from 1, for which no acceptable pair fits"),
    ],
    formula: "a change costs settle + front + rear + links, each where it differs; least total over the rides for every set of parts, by rising number of pieces",
    sources: &["season-kit"],
    ask,
};

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let rides = rides(given)?;
    let season = Season {
        rides,
        fits: fits(given)?,
        fitted: given.raw("fitted").map(|value| counts::triple("fitted", value)).transpose()?,
        owned_front: owned(given, "owned_front", &bounds::FRONT)?,
        owned_rear: owned(given, "owned_rear", &bounds::REAR)?,
        owned_links: owned(given, "owned_links", &bounds::DRIVE_LINKS)?,
        most_chains: usize::from(whole(given, "most_chains", 1)?),
        change: Change {
            front_min: whole(given, "change_front_min", MINUTES[0])?,
            rear_min: whole(given, "change_rear_min", MINUTES[1])?,
            links_min: whole(given, "change_links_min", MINUTES[2])?,
            settle_min: whole(given, "settle_min", MINUTES[3])?,
        },
    };
    let plan = season.plan().map_err(too_many)?;
    let all_bare = plan.uncovered.len() == season.rides.len();
    Ok(Answer::new()
        .json("kits", plan.kits.iter().map(worded).collect::<Vec<_>>())
        .json("uncovered", plan.uncovered.clone())
        .notice_if(!plan.uncovered.is_empty(), "uncovered_ride", || {
            let numbers: Vec<String> = plan.uncovered.iter().map(ToString::to_string).collect();
            format!("No acceptable pair fits for ride {}: it is left out of the plan.", numbers.join(", "))
        })
        .notice_if(plan.kits.is_empty() && !all_bare, "more_chains_needed", || {
            format!("With at most {} chain lengths not every ride can be geared for. Allow more.", season.most_chains)
        }))
}

/// A whole number, which the contract has held inside its bound.
fn whole(given: &Given<'_>, name: &str, default: u16) -> Result<u16, Refusal> {
    if !given.has(name) {
        return Ok(default);
    }
    let count = given.whole(name)?;
    u16::try_from(count).map_err(|_| Refusal::out_of_range(name, f64::from(count), &bounds::BENCH_MIN))
}

fn owned(given: &Given<'_>, name: &str, bound: &Bound) -> Result<Vec<u16>, Refusal> {
    given.raw(name).map_or(Ok(Vec::new()), |value| counts::counts(name, value, bound))
}

fn fits(given: &Given<'_>) -> Result<Vec<Triple>, Refusal> {
    let list = given.raw("fits").map_or(Ok(&[][..]), |value| counts::items("fits", value, "a list of fits"))?;
    if list.is_empty() {
        let text = "fits is empty. Give what stays in the slot as [front, rear, links]; chain.fit answers it.";
        return Err(Refusal::new("fits", "empty", text));
    }
    list.iter().map(|value| counts::triple("fits", value)).collect()
}

fn rides(given: &Given<'_>) -> Result<Vec<Ride>, Refusal> {
    let list = given.raw("rides").map_or(Ok(&[][..]), |value| counts::items("rides", value, "a list of rides"))?;
    if !(1..=MOST_RIDES).contains(&list.len()) {
        let text =
            format!("rides has {} rides; 1 to {MOST_RIDES} are possible. Plan a part of the season.", list.len());
        return Err(Refusal::new("rides", "out_of_range", text));
    }
    list.iter().map(ride).collect()
}

fn ride(value: &Value) -> Result<Ride, Refusal> {
    let unfit = || Refusal::wrong_type("rides", value, "a ride {name: text, pairs: [[front, rear], …]}");
    let members = value.as_object().ok_or_else(unfit)?;
    let named = members.get("name").is_some_and(Value::is_string);
    let (true, 2, Some(pairs)) = (named, members.len(), members.get("pairs")) else { return Err(unfit()) };
    let pairs = counts::items("rides", pairs, "a list of pairs")?;
    if pairs.is_empty() {
        let name = members.get("name").and_then(Value::as_str).unwrap_or_default();
        let text = format!("rides: \"{name}\" has no acceptable pair. Give at least one as [front, rear].");
        return Err(Refusal::new("rides", "empty", text));
    }
    pairs.iter().map(|value| counts::pair("rides", value)).collect()
}

fn too_many(fault: KitFault) -> Refusal {
    let KitFault::TooMany { fronts, rears, links } = fault;
    Refusal::new(
        "rides",
        "too_many",
        format!(
            "rides bring {fronts} front and {rears} rear sprockets to buy and {links} link counts into question; at \
             most {}, {} and {} can be tried in every combination. Name fewer pairs.",
            MOST[0], MOST[1], MOST[2]
        ),
    )
}

fn worded(kit: &Kit) -> Value {
    json!({
        "pieces": kit.pieces,
        "fronts": kit.fronts,
        "rears": kit.rears,
        "links": kit.links,
        "minutes": kit.minutes,
        "changes": kit.changes,
        "plan": kit.plan,
    })
}
