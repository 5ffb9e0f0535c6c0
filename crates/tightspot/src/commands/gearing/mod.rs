//! `tightspot gearing`: which pair for this ground, and will it fit.

pub(crate) mod args;
mod chosen;

use advice::alike::{self, By};
use advice::demand::Ride;
use advice::drift::DriftView;
use advice::outcome::OutcomeView;
use advice::rides::{Weighed, ground_of};
use advice::wish::Wish;
use advice::{Block, Setup, Verdict, change, drift, fit, gearing, kit, map, outcome, stretch, wish};
use measure::bounds::gearing as bounds;
use serde::Serialize;
use upkeep::bike::Bike;

use self::args::{ByWord, GearingArgs, GearingPart, KitArgs, LikeArgs, OutcomeArgs, StretchArgs, WishArgs};
use self::chosen::{Chosen, shelf};
use super::show;
use crate::args::{Place, SetupArgs};
use crate::asked::{Door, ground};
use crate::garage::Garage;
use crate::problem::Problem;

/// Answers the question or one part of it.
pub(super) fn run(place: &Place, args: &GearingArgs) -> Result<(), Problem> {
    let (garage, bike) = Garage::with_bike(place)?;
    match &args.part {
        None => {
            let chosen = Chosen::of(place, &garage, &bike, &args.rides)?;
            let view = gearing::over(&bike, &chosen.rides(), &shelf(args.shelf.as_deref())?)?;
            show(place, &view, &view.blocks())
        }
        Some(GearingPart::Fit(setup)) => {
            let view = fit::view(&bike, parsed(&bike, setup)?)?;
            show(place, &view, &view.blocks())
        }
        Some(GearingPart::Map(setup)) => {
            let view = map::view(&bike, parsed(&bike, setup)?)?;
            show(place, &view, &view.blocks())
        }
        Some(GearingPart::Swap(setup)) => {
            let from = Setup::fitted(&bike)?;
            let swap = gearing::swap(from, parsed(&bike, setup)?, fit::Slot::of(&bike).ok().as_ref())?;
            let words = format!("{} → {}: {}.", from.pair_words(), swap.setup.pair_words(), swap.words);
            let fit = format!("{}. {}", swap.fit.fit_words(), swap.fit_words);
            show(place, &swap, &[Block::Text(words), Block::Text(swap.chain_words()), Block::Text(fit)])
        }
        Some(GearingPart::Wish(args)) => wished(place, &bike, args),
        Some(GearingPart::Stretch(args)) => on_stretch(place, &garage, &bike, args),
        Some(GearingPart::Like(args)) => like(place, &garage, &bike, args),
        Some(GearingPart::Kit(args)) => for_season(place, &garage, &bike, args),
        Some(GearingPart::Outcome(args)) => came_of(place, &garage, &bike, args),
    }
}

fn parsed(bike: &Bike, setup: &SetupArgs) -> Result<Setup, Problem> {
    let mut door = Door::of_command();
    let parsed = door.wanted(bike, setup)?;
    door.closed()?;
    Ok(parsed)
}

fn wished(place: &Place, bike: &Bike, args: &WishArgs) -> Result<(), Problem> {
    let mut door = Door::default();
    let crawl_kmh = door.number("crawl_kmh", Some(&args.crawl), &bounds::TOP_KMH);
    let top_kmh = door.number("top_kmh", args.top.as_deref(), &bounds::TOP_KMH);
    let (Some(crawl_kmh), true) = (crawl_kmh, door.faults.is_empty()) else { return Err(door.faults.into()) };
    let view = wish::view(bike, Wish { crawl_kmh, top_kmh }, &shelf(args.shelf.as_deref())?)?;
    show(place, &view, &view.blocks())
}

fn on_stretch(place: &Place, garage: &Garage, bike: &Bike, args: &StretchArgs) -> Result<(), Problem> {
    let fitted = Setup::fitted(bike)?;
    let mut door = Door::of_command();
    let from_s = door.clock("from_s", &args.from);
    let to_s = door.clock("to_s", &args.to);
    let mut setups = vec![fitted];
    for pair in &args.pairs {
        let setup = door.setup(fitted, Some(pair), None);
        if !setups.iter().any(|known| known.same_pair(setup)) {
            setups.push(setup);
        }
    }
    let asked = args.ground.as_deref().map(|word| ground(Some(word))).transpose()?;
    let (Some(from_s), Some(to_s), true) = (from_s, to_s, door.faults.is_empty()) else {
        return Err(door.faults.into());
    };
    if args.pairs.is_empty() {
        let slot = fit::Slot::of(bike).ok();
        let swaps = gearing::swaps(fitted, slot.as_ref())?;
        setups.extend(swaps.iter().filter(|swap| swap.fit < Verdict::Stop).map(|swap| swap.setup));
    }
    let ride = garage.ride(bike, &args.ride)?;
    let weighed = Weighed { ride: &ride, ground: ground_of(Some(&ride.ground), asked), weight: 1.0, age_d: None };
    let view = stretch::view(bike, &weighed, [from_s, to_s], &setups)?;
    show(place, &view, &view.blocks())
}

fn like(place: &Place, garage: &Garage, bike: &Bike, args: &LikeArgs) -> Result<(), Problem> {
    let other = garage.bike(Some(&args.other))?;
    if other.id == bike.id {
        return Err(Problem::usage(format!("{} is the bike itself. Name another one of the store.", other.id)));
    }
    let by = match args.by {
        ByWord::Speed => By::Speed,
        ByWord::Thrust => By::Thrust,
    };
    let ridden = garage.ridden_as_one(&other)?;
    let view = alike::view(bike, &other, by, ridden.as_ref())?;
    show(place, &view, &view.blocks())
}

fn for_season(place: &Place, garage: &Garage, bike: &Bike, args: &KitArgs) -> Result<(), Problem> {
    let chosen = Chosen::of(place, garage, bike, &args.rides)?;
    let rides = chosen.rides();
    if rides.all.is_empty() {
        return Err(Problem::usage("No ride given. Name them in calendar order with --ride, or take all with --all."));
    }
    let view = kit::view(bike, &rides.all, &shelf(args.shelf.as_deref())?)?;
    show(place, &view, &view.blocks())
}

/// Rides before and after a change, outwards from it.
fn came_of(place: &Place, garage: &Garage, bike: &Bike, args: &OutcomeArgs) -> Result<(), Problem> {
    let now = Setup::fitted(bike)?;
    let mut door = Door::of_command();
    let named = |door: &mut Door, pair: Option<&str>| pair.map(|pair| door.setup(now, Some(pair), None));
    let (old, new) = (named(&mut door, args.old.as_deref()), named(&mut door, args.new.as_deref()));
    let asked = args.ground.as_deref().map(|word| ground(Some(word))).transpose()?;
    door.closed()?;
    let rides = garage.ridden(bike)?;
    let alike = |ride: &&Ride| asked.is_none_or(|asked| ground_of(Some(&ride.ground), None) == asked);
    let rides: Vec<&Ride> = rides.iter().filter(alike).collect();
    let change = change::find(&rides, old, new).map_err(Problem::failed)?;
    let view = outcome::view(bike, change.pairs, &change.before, &change.after)?;
    let drift = drift::view(bike, &rides)?;
    let mut blocks = view.blocks();
    blocks.extend(drift.blocks());
    show(place, &Came { outcome: &view, drift: &drift }, &blocks)
}

/// What came of a change, with the drift of the rider's own speeds beside it.
#[derive(Serialize)]
struct Came<'a> {
    #[serde(flatten)]
    outcome: &'a OutcomeView,
    drift: &'a DriftView,
}
