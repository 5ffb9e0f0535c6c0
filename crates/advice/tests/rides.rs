//! Rides against pairs, told through the views: the demo's bike on the shipped tracks.

mod tracks;

use advice::alike::{self, By};
use advice::demand::Ride;
use advice::ground::{self, Ground};
use advice::outcome::{self, Came};
use advice::rides::{Rides, Weighed};
use advice::shelf::Shelf;
use advice::wish::{self, Wish};
use advice::{Block, Setup, Verdict, candidate, fit, gearing, kit, replay, stretch};
use upkeep::bike::Bike;

use tracks::{part, ride, root};

fn alder() -> Bike {
    Bike::from_toml(&root("data/bikes/alder-350.toml")).expect("the demo bike reads")
}

fn weighed(ride: &Ride, weight: f64) -> Weighed<'_> {
    Weighed { ride, ground: ground::USUAL, weight, age_d: None }
}

fn rides<'a>(all: &[(&'a Ride, f64)]) -> Rides<'a> {
    Rides { all: all.iter().map(|(ride, weight)| weighed(ride, *weight)).collect(), ..Rides::default() }
}

fn set(bike: &Bike) -> (Setup, Vec<Setup>) {
    let fitted = Setup::fitted(bike).expect("fitted");
    (fitted, candidate::set(fitted, &fit::Slot::of(bike).expect("a slot")))
}

fn order(replay: &replay::Replay) -> Vec<Setup> {
    replay.pairs.iter().map(|pair| pair.setup).collect()
}

#[test]
fn a_ride_counted_twice_or_in_two_copies_ranks_as_once() {
    let (bike, ride) = (alder(), ride("synthetic_single_track_clean"));
    let (_, setups) = set(&bike);
    let once = replay::of(&bike, &rides(&[(&ride, 1.0)]), &setups).expect("a replay");
    for twice in [rides(&[(&ride, 2.0)]), rides(&[(&ride, 1.0), (&ride, 1.0)])] {
        let twice = replay::of(&bike, &twice, &setups).expect("a replay");
        assert_eq!(order(&twice), order(&once));
        for (a, b) in twice.pairs.iter().zip(&once.pairs) {
            assert!(
                (a.cost_per_km - b.cost_per_km).abs() < 1e-9 * b.cost_per_km && (a.slip_pct - b.slip_pct).abs() < 1e-9
            );
        }
    }
}

#[test]
fn neither_the_order_of_pairs_nor_that_of_rides_changes_the_ranking() {
    let (bike, whole) = (alder(), ride("synthetic_single_track_clean"));
    let (slow, fast) = (part(&whole, "first half", 0..500), part(&whole, "second half", 500..1100));
    let (_, mut setups) = set(&bike);
    let first = replay::of(&bike, &rides(&[(&slow, 3.0), (&fast, 0.5), (&whole, 1.0)]), &setups).expect("a replay");
    // What is fitted stays in front; the others are turned round and shuffled by a fixed step.
    for step in [1, 7, 20] {
        let count = setups.len() - 1;
        setups[1..].rotate_left(step % count);
        setups[1..].reverse();
        let other = replay::of(&bike, &rides(&[(&whole, 1.0), (&slow, 3.0), (&fast, 0.5)]), &setups).expect("a replay");
        assert_eq!(order(&other), order(&first));
        assert_eq!(
            other.pairs.iter().map(|pair| pair.cost_per_km.to_bits()).collect::<Vec<_>>(),
            first.pairs.iter().map(|pair| pair.cost_per_km.to_bits()).collect::<Vec<_>>()
        );
        assert_eq!((other.confidence, other.at_edge), (first.confidence.clone(), first.at_edge));
    }
}

#[test]
fn a_ride_of_weight_0_is_left_out_and_one_of_great_weight_decides() {
    let (bike, whole) = (alder(), ride("synthetic_single_track_clean"));
    let (slow, fast) = (part(&whole, "first half", 0..500), part(&whole, "second half", 500..1100));
    let (_, setups) = set(&bike);
    let of = |all: &[(&Ride, f64)]| order(&replay::of(&bike, &rides(all), &setups).expect("a replay"));
    assert_eq!(of(&[(&slow, 0.0), (&fast, 1.0)]), of(&[(&fast, 1.0)]));
    assert_ne!(of(&[(&slow, 1.0)]), of(&[(&fast, 1.0)]), "the halves must differ for this to say anything");
}

#[test]
fn at_most_five_pairs_are_shown_each_through_fit_and_slack_with_its_parts() {
    let (bike, ride) = (alder(), ride("synthetic_single_track"));
    let view = gearing::over(&bike, &rides(&[(&ride, 1.0)]), &Shelf::of(&[13, 50])).expect("a view");
    let fitted = view.fitted;
    assert!((2..=5).contains(&view.candidates.len()));
    assert!(view.candidates[0].replayed.setup == fitted && view.candidates[0].parts.is_empty());
    for one in &view.candidates {
        let place = one.place.as_ref().expect("a place");
        assert!(place.left_mm > 0.0 && place.from_front_mm > 0.0, "{}", one.replayed.setup);
        assert!(one.verdict < Verdict::Unknown && one.slack_mm.is_some(), "{:?}", one.reasons);
        assert_eq!(one.verdict == Verdict::Ready, one.reasons.is_empty(), "{:?}", one.reasons);
        let changed = [
            one.replayed.setup.front_teeth != fitted.front_teeth,
            one.replayed.setup.rear_teeth != fitted.rear_teeth,
            one.replayed.setup.links != fitted.links,
        ];
        assert_eq!(one.parts.len(), changed.iter().filter(|changed| **changed).count());
    }
    let proposed = view.proposal.as_ref().expect("a proposal").setup;
    assert!(view.candidates.iter().any(|one| one.replayed.setup == proposed));
    assert!(view.notes.iter().any(|note| note.contains("one gear step 0.6")), "{:?}", view.notes);
}

#[test]
fn the_edge_of_the_set_is_never_a_plain_recommendation() {
    let (bike, ride) = (alder(), ride("synthetic_single_track"));
    let fitted = Setup::fitted(&bike).expect("fitted");
    for setups in
        [vec![fitted, fitted.pair(14, 50)], vec![fitted], vec![fitted, fitted.pair(15, 47), fitted.pair(15, 46)]]
    {
        let replay = replay::of(&bike, &rides(&[(&ride, 1.0)]), &setups).expect("a replay");
        assert!(replay.at_edge);
        let proposal = replay::propose(&replay, fitted, &Shelf::default()).expect("a proposal");
        assert!(proposal.headline.contains("no plain advice at the edge"), "{}", proposal.headline);
        assert_eq!(replay.confidence, "low");
    }
}

#[test]
fn of_pairs_as_good_the_shelf_decides_what_is_proposed() {
    let (bike, ride) = (alder(), ride("synthetic_single_track"));
    let (fitted, setups) = set(&bike);
    let replay = replay::of(&bike, &rides(&[(&ride, 1.0)]), &setups).expect("a replay");
    let good: Vec<Setup> =
        replay.pairs.iter().filter(|pair| pair.as_good && pair.feasible).map(|pair| pair.setup).collect();
    assert!(good.len() > 1, "a flat optimum is needed here");
    for wanted in good {
        let shelf = Shelf::of(&[wanted.front_teeth, wanted.rear_teeth, wanted.links]);
        let proposed = replay::propose(&replay, fitted, &shelf).expect("a proposal").setup;
        let parts = advice::shelf::needed(fitted, proposed, &shelf);
        assert_eq!(advice::shelf::to_buy(&parts), 0, "{proposed} with {wanted} on the shelf");
    }
}

#[test]
fn a_stretch_tells_the_reserve_of_each_pair_and_refuses_one_that_runs_backward() {
    let (bike, ride) = (alder(), ride("synthetic_single_track"));
    let fitted = Setup::fitted(&bike).expect("fitted");
    let setups = [fitted, fitted.pair(13, 48), fitted.pair(14, 50)];
    let view = stretch::view(&bike, &weighed(&ride, 1.0), [260.0, 425.0], &setups).expect("a view");
    assert_eq!(view.pairs.iter().map(|pair| pair.setup).collect::<Vec<_>>(), setups);
    for pair in &view.pairs {
        assert!((260.0..=425.0).contains(&pair.reserve_min_at_s) && pair.reserve_min_n <= pair.reserve_median_n);
        assert!((pair.gear_pct.iter().sum::<f64>() - 100.0).abs() < 1e-6);
    }
    assert!(view.findings[0].starts_with("14/48: mostly gear"), "{}", view.findings[0]);
    assert!(matches!(view.blocks()[1], Block::Text(ref words) if words.contains("4:20 to 7:05")));
    let gap = stretch::view(&bike, &weighed(&ride, 1.0), [425.0, 260.0], &setups).expect_err("backward");
    assert_eq!(gap.field, "to_s");
}

#[test]
fn a_bike_is_most_like_itself_on_its_own_pair() {
    let bike = alder();
    for by in [By::Speed, By::Thrust] {
        let view = alike::view(&bike, &bike, by, None).expect("a view");
        assert_eq!(view.pairs[0].setup.pair_words(), "14/48");
        assert!(view.pairs[0].speed_mismatch_pct.abs() < 1e-9 && view.pairs.len() == 5);
        assert!(
            view.headline.contains("14/48, which is fitted") || view.pairs[0].setup.pair_words() == "12/48",
            "{}",
            view.headline
        );
    }
    let sorrel = Bike::from_toml(&root("data/bikes/sorrel-250.toml")).expect("reads");
    let gap = alike::view(&bike, &sorrel, By::Speed, None).expect_err("it has no rollout");
    assert!(gap.text.starts_with("Sorrel 250:") && gap.field == "rollout_m", "{gap:?}");
}

#[test]
fn the_kit_for_one_ride_on_its_best_pair_is_what_that_pair_needs() {
    let (bike, ride) = (alder(), ride("synthetic_single_track"));
    let view = kit::view(&bike, &[weighed(&ride, 1.0)], &Shelf::default()).expect("a view");
    let planned = view.kits[0].plan[0].expect("a plan");
    assert!(view.rides[0].1.contains(&planned.pair_words()));
    assert_eq!(view.kits[0].pieces as usize, view.kits[0].buy.len());
    let shelf = Shelf::of(&[planned.front_teeth, planned.rear_teeth, planned.links]);
    let at_hand = kit::view(&bike, &[weighed(&ride, 1.0)], &shelf).expect("a view");
    assert_eq!(at_hand.kits[0].pieces, 0);
}

#[test]
fn too_few_rides_cannot_tell_and_rides_alike_miss_nothing() {
    let (bike, whole) = (alder(), ride("synthetic_single_track_clean"));
    let fitted = Setup::fitted(&bike).expect("fitted");
    let pairs = [fitted, fitted.pair(13, 48)];
    let none = outcome::view(&bike, pairs, &[], &[&whole]).expect("a view");
    assert_eq!((none.came, none.verdict()), (Came::CannotSay, Verdict::Unknown));
    assert!(none.headline.contains("0 rides before and 1 ride after"), "{}", none.headline);
    let parts: Vec<Ride> = (0..6).map(|n| part(&whole, "part", n * 150..n * 150 + 200)).collect();
    let same: Vec<&Ride> = parts.iter().collect();
    // Ridden exactly alike, the shorter pair slips less by just what was forecast.
    let view = outcome::view(&bike, pairs, &same, &same).expect("a view");
    assert_eq!((view.came, view.matched), (Came::Held, 6), "{}", view.headline);
    let other: Vec<&Ride> = parts.iter().rev().collect();
    let two = outcome::view(&bike, pairs, &same[..2], &other[..2]).expect("a view");
    assert_eq!(two.came, Came::CannotSay);
}

#[test]
fn unlike_ground_is_taken_ride_by_ride() {
    let (bike, ride) = (alder(), ride("synthetic_single_track_clean"));
    let on = |word: &str| ground::named(word).unwrap_or(ground::USUAL);
    let with = |a: Ground, b: Ground| {
        let all = vec![
            Weighed { ride: &ride, ground: a, weight: 1.0, age_d: Some(0.0) },
            Weighed { ride: &ride, ground: b, weight: 1.0, age_d: Some(90.0) },
        ];
        let rides = Rides { all, half_life_d: Some(30.0), ..Rides::default() };
        gearing::over(&bike, &rides, &Shelf::default()).expect("a view")
    };
    let view = with(on("road"), on("sand"));
    let shares = &view.replay.as_ref().expect("a replay").share_pct;
    assert!((shares[0] - 800.0 / 9.0).abs() < 1e-9, "8 to 1 after three half-lives: {shares:?}");
    assert_eq!(view.ride_table.rows.len(), 2);
    assert!(view.notes.iter().any(|note| note.contains("asphalt or concrete; loose sand")));
}

#[test]
fn the_smallest_change_that_crawls_slowly_enough_is_proposed() {
    let bike = alder();
    let fitted = Setup::fitted(&bike).expect("fitted");
    let at = |crawl_kmh, top_kmh| wish::view(&bike, Wish { crawl_kmh, top_kmh }, &Shelf::default()).expect("a view");
    assert_eq!(at(12.85, None).change_to, Some(fitted));
    let shorter = at(12.0, None);
    assert!(shorter.headline.contains("Change to") && shorter.verdict < Verdict::Unknown, "{}", shorter.headline);
    let none = at(5.0, Some(150.0));
    assert!(none.change_to.is_none() && none.verdict == Verdict::Unknown);
}

#[test]
fn what_is_called_best_with_a_sprocket_has_that_sprocket_and_none_before_it_has() {
    let (bike, ride) = (alder(), ride("synthetic_single_track"));
    let view = gearing::over(&bike, &rides(&[(&ride, 1.0)]), &Shelf::of(&[13, 50])).expect("a view");
    let (fitted, replay) = (view.fitted, view.replay.as_ref().expect("a replay"));
    let front = |setup: Setup| setup.front_teeth == fitted.front_teeth;
    let rear = |setup: Setup| setup.rear_teeth == fitted.rear_teeth;
    let links = |setup: Setup| setup.links == fitted.links;
    let roles: [(String, &dyn Fn(Setup) -> bool); 3] = [
        (format!("best with {} in front", fitted.front_teeth), &front),
        (format!("best with {} behind", fitted.rear_teeth), &rear),
        (format!("best on the chain of {} links", fitted.links), &links),
    ];
    for (role, has) in roles {
        let first = replay.pairs.iter().find(|pair| has(pair.setup) && !pair.setup.same_pair(fitted));
        let shown = view.candidates.iter().find(|one| one.roles.contains(&role));
        assert!(shown.is_none_or(|shown| first.is_some_and(|first| first.setup == shown.replayed.setup)), "{role}");
        let full = view.candidates.len() == 5;
        assert!(full || shown.is_some() == first.is_some(), "{role}");
    }
}

#[test]
fn the_proposed_pair_is_told_with_what_fitting_it_takes() {
    let (bike, ride) = (alder(), ride("synthetic_single_track"));
    let view = gearing::over(&bike, &rides(&[(&ride, 1.0)]), &Shelf::of(&[13, 50])).expect("a view");
    let setup = view.proposal.as_ref().expect("a proposal").setup;
    let proposed = view.candidates.iter().find(|one| one.replayed.setup == setup).expect("it is shown");
    let texts: Vec<String> = view
        .blocks()
        .into_iter()
        .filter_map(|block| if let Block::Text(words) = block { Some(words) } else { None })
        .collect();
    let said = texts.iter().find(|words| words.starts_with("It takes ")).expect("what it takes");
    let left = format!("{:.1} mm left to the rear stop", proposed.place.as_ref().expect("a place").left_mm);
    assert!(said.contains(&advice::shelf::words(&proposed.parts)) && said.contains(&left), "{said}: {left}");
    assert!(said.contains(&format!("slack to {:.1} mm", proposed.slack_mm.expect("slack"))), "{said}");
}

#[test]
fn at_the_edge_a_pair_of_the_same_ratio_is_called_neither_taller_nor_shorter() {
    let (bike, ride) = (alder(), ride("synthetic_single_track"));
    let fitted = Setup::fitted(&bike).expect("fitted").pair(13, 52);
    let setups = [fitted, fitted.pair(12, 48)];
    let replay = replay::of(&bike, &rides(&[(&ride, 1.0)]), &setups).expect("a replay");
    assert!(replay.at_edge && replay.pairs[0].setup == setups[1], "fewer front teeth come first of equals");
    let said = replay::propose(&replay, fitted, &Shelf::default()).expect("a proposal").headline;
    assert!(said.starts_with("12/48, geared as 13/52, costs least"), "{said}");
    assert!(!said.to_lowercase().contains("taller") && !said.to_lowercase().contains("shorter"), "{said}");
}

#[test]
fn every_line_of_what_came_of_a_change_has_its_band_where_the_rides_are_enough_for_one() {
    let (bike, whole) = (alder(), ride("synthetic_single_track_clean"));
    let fitted = Setup::fitted(&bike).expect("fitted");
    let parts: Vec<Ride> = (0..6).map(|n| part(&whole, "part", n * 150..n * 150 + 200)).collect();
    let (before, after): (Vec<&Ride>, Vec<&Ride>) = (parts.iter().collect(), parts.iter().rev().collect());
    let bands = |count: usize| {
        let view = outcome::view(&bike, [fitted, fitted.pair(13, 48)], &before[..count], &after[..count]);
        let view = view.expect("a view");
        let bands = view.judged.rows.iter().map(|row| row[3].text.clone()).collect::<Vec<_>>();
        (view.facts[0].certainty.clone(), bands)
    };
    let (sure, lines) = bands(6);
    assert!(
        sure.starts_with(&format!("between {} at ", lines[0])),
        "what decides says the same twice: {sure}, {lines:?}"
    );
    let numbers = |band: &str| -> Vec<f64> {
        band.split(" and ").filter_map(|end| end.replace('−', "-").parse().ok()).collect()
    };
    for band in &lines {
        let ends = numbers(band);
        assert!(ends.len() == 2 && ends[0] <= ends[1], "{band}");
    }
    let (sure, lines) = bands(2);
    assert_eq!((sure.as_str(), lines[0].as_str()), ("too few rides for an interval", "too few rides"));
}

#[test]
fn speeds_that_rise_from_ride_to_ride_are_told_from_the_first_of_them_to_the_latest() {
    let (bike, whole) = (alder(), ride("synthetic_single_track_clean"));
    let faster = |n: u32| {
        let by = 1.0 + 0.05 * f64::from(n);
        let speed_mps = whole.speed_mps.iter().map(|speed| speed * by).collect();
        Ride { name: format!("loop {n}"), speed_mps, ..whole.clone() }
    };
    let all: Vec<Ride> = (0..6).map(faster).collect();
    let view = |count: usize| advice::drift::view(&bike, &all[..count].iter().collect::<Vec<_>>()).expect("a view");
    let six = view(6);
    let [first, last] = six.median_kmh.expect("enough rides");
    // The first two rides are 2.5 % over the slowest in the middle, the latest two 22.5 %.
    assert!(last > 1.15 * first && last < 1.25 * first, "{first} {last}");
    assert!(six.headline.contains("the first 2 rides against the latest 2: median "), "{}", six.headline);
    let three = view(3);
    assert!(three.median_kmh.is_none() && three.headline.contains("3 rides on this ground; 4 are needed"));
    assert!(view(4).headline.contains("the first ride against the latest: median "), "{}", view(4).headline);
}

#[test]
fn what_is_proposed_takes_the_least_of_what_is_as_good_and_the_next_best_is_the_first_other() {
    let (bike, whole) = (alder(), ride("synthetic_single_track"));
    let (fitted, setups) = set(&bike);
    let fast = Ride { speed_mps: whole.speed_mps.iter().map(|mps| mps * 2.6).collect(), ..whole.clone() };
    let mut seen = [false; 2];
    for ride in [&whole, &fast] {
        let replay = replay::of(&bike, &rides(&[(ride, 1.0)]), &setups).expect("a replay");
        assert_eq!(
            replay.pairs.iter().map(|pair| pair.rank).collect::<Vec<_>>(),
            (1..=setups.len() as u64).collect::<Vec<_>>()
        );
        for shelf in [Shelf::default(), Shelf::of(&[]), Shelf::of(&[13, 15, 46, 50]), Shelf::of(&[12, 52, 116])] {
            let proposal = replay::propose(&replay, fitted, &shelf).expect("a proposal");
            let effort = |pair: &&replay::Replayed| {
                let buys = advice::shelf::to_buy(&advice::shelf::needed(fitted, pair.setup, &shelf));
                let parts = advice::proposal::parts_changed(fitted, pair.setup);
                (if shelf.told { buys } else { 0 }, parts, pair.rank)
            };
            let mut good: Vec<&replay::Replayed> =
                replay.pairs.iter().filter(|pair| pair.as_good && pair.feasible).collect();
            good.sort_by_key(effort);
            let best = good.first().map_or(replay.pairs[0].setup, |pair| pair.setup);
            assert_eq!((proposal.setup, proposal.stay), (best, best.same_pair(fitted)));
            let others: Vec<String> = good.iter().skip(1).map(|pair| pair.setup.pair_words()).collect();
            assert_eq!(proposal.as_good, others);
            let feasible = replay.pairs.iter().find(|pair| pair.setup == best).expect("it was replayed").feasible;
            let rival = replay.pairs.iter().find(|pair| pair.setup != best && pair.feasible == feasible);
            let named = rival.map(|pair| format!("{}: ", pair.setup.pair_words())).unwrap_or_default();
            assert!(
                proposal.rival.starts_with(&named) && proposal.rival.is_empty() == named.is_empty(),
                "{}",
                proposal.rival
            );
            let none = proposal.because.iter().any(|words| words.starts_with("no pair compared keeps 5 %"));
            assert_eq!(none, good.is_empty());
            seen[usize::from(none)] = true;
            if !replay.at_edge {
                let chain = if best.links == fitted.links { "on the chain that is fitted" } else { "on a chain of" };
                assert!(best.same_pair(fitted) == proposal.headline.starts_with("Stay on"), "{}", proposal.headline);
                assert!(best.same_pair(fitted) || proposal.headline.contains(chain), "{}", proposal.headline);
            }
        }
    }
    assert_eq!(seen, [true; 2], "one ride that some pair is fast enough for and one for none");
}

#[test]
fn the_ride_that_leaves_the_least_headroom_is_named_and_shares_add_up_to_the_whole() {
    let (bike, whole) = (alder(), ride("synthetic_single_track_clean"));
    let parts: Vec<Ride> = [0.6, 1.4, 1.0]
        .into_iter()
        .map(|by| Ride {
            speed_mps: whole.speed_mps.iter().map(|mps| mps * by).collect(),
            ..part(&whole, "part", 0..600)
        })
        .map(|ride| Ride { speed_mps: ride.speed_mps[..600].to_vec(), ..ride })
        .collect();
    let (_, setups) = set(&bike);
    let all: Vec<(&Ride, f64)> = parts.iter().zip([1.0, 2.0, 0.5]).collect();
    let replay = replay::of(&bike, &rides(&all), &setups[..6]).expect("a replay");
    assert_eq!(replay.fastest, 1);
    assert!((replay.share_pct.iter().sum::<f64>() - 100.0).abs() < 1e-9 && replay.share_pct.len() == 3);
    let alone = replay::of(&bike, &rides(&all[..1]), &setups[..6]).expect("a replay");
    assert_eq!((alone.fastest, &alone.share_pct[..]), (0, &[100.0][..]));
    for pair in replay.pairs.iter().chain(&alone.pairs) {
        assert!((pair.gear_pct.iter().sum::<f64>() - 100.0).abs() < 1e-6, "{}", pair.setup);
    }
}
