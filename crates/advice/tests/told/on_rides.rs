//! The views of rides: pairs replayed, sets of sprockets, stretches, what came of a change, drift, a logger's gears.

use advice::alike::{self, By};
use advice::cost::{COSTS, Costs};
use advice::demand::{self, Ride};
use advice::rides::{self, Rides, Weighed};
use advice::shelf::Shelf;
use advice::{Setup, change, decision, drift, gearing, ground, kit, logged, outcome, stretch};
use upkeep::bike::Bike;

use crate::held;
use crate::records::bike;
use crate::tell::{block, plain, table, told, value};
use crate::tracks::{self, ride};

/// A part of a ride, at another speed, as a ride of its own.
fn part(ride: &Ride, name: &str, range: std::ops::Range<usize>, speed: f64, fitted: Option<Setup>) -> Ride {
    let cut = tracks::part(ride, name, range);
    Ride {
        speed_mps: cut.speed_mps.iter().map(|mps| mps * speed).collect(),
        fitted,
        day: format!("2026-05-{:02}", 1 + name.len() % 28),
        ground: "loam".to_owned(),
        note: format!("{name} felt good"),
        ..cut
    }
}

fn several() -> (Bike, Vec<Ride>) {
    let bike = bike("alder-350");
    let whole = ride("synthetic_single_track_clean");
    let old = Setup::fitted(&bike).expect("a setup");
    let new = old.pair(13, 48);
    let cut = |name: &str, from: usize, speed: f64, on: Setup| part(&whole, name, from..from + 400, speed, Some(on));
    let rides = vec![
        cut("one", 0, 0.9, old),
        cut("the second", 100, 1.0, old),
        cut("a third ride", 200, 1.1, old),
        cut("then a fourth", 300, 0.95, old),
        cut("fifth, on the new pair", 0, 0.9, new),
        cut("sixth, on the new pair", 100, 1.05, new),
        cut("seventh, on the new pair", 200, 1.3, new),
        cut("eighth and last, on the new pair", 300, 0.7, new),
    ];
    (bike, rides)
}

fn weighed(ride: &Ride, weight: f64, age_d: Option<f64>) -> Weighed<'_> {
    Weighed { ride, ground: ground::USUAL, weight, age_d }
}

#[test]
fn pairs_over_rides() {
    let (bike, all) = several();
    let slow = part(&all[0], "crawling", 0..300, 0.25, None);
    let fast = part(&all[1], "flat out", 0..300, 3.0, None);
    let unsure = Ride { grade_known: false, interval_s: 9.0, made: false, ..all[2].clone() };
    let mut said = Vec::new();
    for (name, list, half_life_d, costs, shelf) in [
        ("one ride", vec![weighed(&all[1], 1.0, None)], None, Costs::default(), Shelf::default()),
        (
            "two, one older, with a shelf",
            vec![weighed(&all[1], 1.0, Some(3.0)), weighed(&all[2], 0.5, Some(90.0))],
            Some(30.0),
            Costs::default(),
            Shelf::of(&[13, 15, 50, 120]),
        ),
        ("crawling", vec![weighed(&slow, 2.0, None)], None, Costs::default(), Shelf::default()),
        (
            "flat out",
            vec![weighed(&fast, 1.0, None)],
            None,
            Costs::of(&[(COSTS[0].name, COSTS[0].own * 3.0)]),
            Shelf::of(&[13]),
        ),
        ("unsure", vec![weighed(&unsure, 1.0, None)], None, Costs::default(), Shelf::default()),
    ] {
        let rides = Rides { all: list, half_life_d, costs };
        let view = gearing::over(&bike, &rides, &shelf);
        let mut lines = told(&view, gearing::GearingView::blocks);
        lines.extend(view.iter().flat_map(|view| view.brief().iter().flat_map(block).collect::<Vec<_>>()));
        lines.push(rides.grounds());
        said.push((name.to_owned(), lines));
    }
    held("pairs", &said);
}

#[test]
fn a_ride_against_a_pair() {
    let (bike, all) = several();
    let fitted = Setup::fitted(&bike).expect("a setup");
    let said = all.iter().take(3).map(|ride| {
        let demand = demand::of(&bike, ride, fitted).expect("a demand");
        let mut lines = value(&demand);
        lines.extend(value(&demand::facts(&demand, ride)));
        lines.extend(table(&demand::shares(std::slice::from_ref(&demand))));
        (ride.name.clone(), lines)
    });
    held("demand", &said.collect::<Vec<_>>());
    let rides = Rides { all: all.iter().map(|ride| weighed(ride, 0.5, None)).collect(), ..Rides::default() };
    held("rides", &[("all".to_owned(), plain(&rides::table(&bike, &rides, &[60.0, 40.0], fitted)))]);
}

#[test]
fn the_whole_answer_with_a_ride() {
    let (bike, all) = several();
    let said = [0, 2, 6].map(|at| {
        let view = decision::view(&bike, None, Some(&all[at]), ground::USUAL, advice::slack::Read::default());
        let blocks = view.map(|view| view.blocks().iter().flat_map(block).collect::<Vec<_>>());
        (all[at].name.clone(), blocks.expect("an answer"))
    });
    held("decision_ride", &said);
}

#[test]
fn which_sprockets_to_own() {
    let (bike, all) = several();
    let slow = part(&all[0], "crawling", 0..300, 0.25, None);
    let mut said = Vec::new();
    for (name, shelf, list) in [
        ("none on the shelf", Shelf::default(), vec![&all[1], &all[6]]),
        ("some on the shelf", Shelf::of(&[13, 50, 51, 120]), vec![&all[1], &slow, &all[7]]),
    ] {
        let list: Vec<Weighed<'_>> = list.into_iter().map(|ride| weighed(ride, 1.0, None)).collect();
        said.push((name.to_owned(), told(&kit::view(&bike, &list, &shelf), kit::KitView::blocks)));
    }
    held("kit", &said);
}

#[test]
fn a_stretch_of_a_ride() {
    let (bike, all) = several();
    let fitted = Setup::fitted(&bike).expect("a setup");
    let said = [[0.0, 60.0], [50.0, 200.0], [100.0, 390.0], [500.0, 600.0]].map(|from_to_s| {
        let setups = [fitted, fitted.pair(13, 48), fitted.pair(15, 46)];
        (
            format!("{from_to_s:?}"),
            told(&stretch::view(&bike, &weighed(&all[0], 1.0, None), from_to_s, &setups), stretch::StretchView::blocks),
        )
    });
    held("stretch", &said);
}

#[test]
fn what_came_of_a_change() {
    let (bike, all) = several();
    let old = Setup::fitted(&bike).expect("a setup");
    let new = old.pair(13, 48);
    let list: Vec<&Ride> = all.iter().collect();
    let slow: Vec<Ride> =
        all[..4].iter().map(|ride| part(ride, &format!("{} slow", ride.name), 0..300, 0.3, ride.fitted)).collect();
    let slow: Vec<&Ride> = slow.iter().collect();
    let mut said = Vec::new();
    for (name, before, after) in [
        ("too few", &list[..1], &list[4..5]),
        ("two", &list[..2], &list[4..6]),
        ("four", &list[..4], &list[4..]),
        ("slower", &list[..4], &slow[..]),
        ("faster", &slow[..], &list[4..]),
    ] {
        for pair in [[old, new], [new, old]] {
            said.push((
                name.to_owned(),
                told(&outcome::view(&bike, pair, before, after), outcome::OutcomeView::blocks),
            ));
        }
    }
    held("outcome", &said);
    let found = [
        (None, None),
        (Some(old), Some(new)),
        (Some(new), Some(old)),
        (Some(old), None),
        (Some(old.pair(12, 48)), None),
    ]
    .map(|(from, to)| {
        (
            format!("{from:?} {to:?}"),
            change::find(&list, from, to).map_or_else(
                |why| vec![why],
                |found| vec![format!("{} then {}", found.before.len(), found.after.len())],
            ),
        )
    });
    held("change", &found);
}

#[test]
fn whether_rides_drift() {
    let (bike, all) = several();
    let list: Vec<&Ride> = all.iter().collect();
    let said = [1, 2, 3, 6, 8]
        .map(|count| (count.to_string(), told(&drift::view(&bike, &list[..count]), drift::DriftView::blocks)));
    held("drift", &said);
}

#[test]
fn a_loggers_gears() {
    let (bike, all) = several();
    let speed = all[1].speed_mps.clone();
    let rpm = speed.iter().map(|mps| (mps * 420.0).clamp(1500.0, 9000.0)).collect();
    let log = logged::Log { rpm, speed_mps: speed };
    let said = [
        ("with a replay", weighed(&all[1], 1.0, None), log.clone()),
        ("another pair", weighed(&all[5], 1.0, None), log),
        ("nothing recorded", weighed(&all[1], 1.0, None), logged::Log::default()),
    ]
    .map(|(name, ride, log)| (name.to_owned(), told(&logged::view(&bike, &ride, &log), logged::LoggedView::blocks)));
    held("logged", &said);
}

#[test]
fn geared_like_another_bike_over_a_ride() {
    let (bike, all) = several();
    let other = crate::records::bike("sorrel-250");
    let said = [By::Speed, By::Thrust].map(|by| {
        (by.word().to_owned(), told(&alike::view(&bike, &other, by, Some(&all[2])), alike::AlikeView::blocks))
    });
    held("alike_ride", &said);
}
