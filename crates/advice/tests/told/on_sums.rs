//! Views held against plain sums over what they stand on: rides laid end to end, shares, hours of parts, days ahead.

use advice::change::find;
use advice::cost::Costs;
use advice::demand::{self, Ride};
use advice::fit::Slot;
use advice::record::calendar::{self, When};
use advice::record::{due, forecast, history, kept_sets, sets};
use advice::rides::{self, Rides, Weighed};
use advice::shelf::Shelf;
use advice::{Setup, Verdict, candidate, drift, gearing, ground, kit, map, outcome, proposal, replay, stretch};

use crate::records::{State, bike, change, demo, sound};
use crate::tracks::{part, ride};

fn weighed(ride: &Ride, weight: f64) -> Weighed<'_> {
    Weighed { ride, ground: ground::USUAL, weight, age_d: None }
}

/// Parts of one track, each at a speed of its own.
fn parts() -> Vec<Ride> {
    let whole = ride("synthetic_single_track_clean");
    [(0, 0.8), (150, 1.0), (300, 1.3), (450, 0.5), (600, 1.1), (700, 0.9)]
        .into_iter()
        .map(|(from, by)| {
            let cut = part(&whole, &format!("from {from}"), from..from + 300);
            Ride { speed_mps: cut.speed_mps.iter().map(|mps| mps * by).collect(), ..cut }
        })
        .collect()
}

#[test]
fn rides_laid_end_to_end_are_the_sum_of_those_that_count() {
    let all = parts();
    let odd = Ride { grade_known: false, interval_s: 7.0, made: false, ..all[1].clone() };
    let list = vec![weighed(&all[0], 1.0), weighed(&odd, 0.5), weighed(&all[2], 0.0), weighed(&all[3], 2.0)];
    let rides = Rides { all: list, ..Rides::default() };
    let joined = rides.joined().expect("some count");
    let counted = [&all[0], &odd, &all[3]];
    let speeds: Vec<f64> = counted.iter().flat_map(|ride| ride.speed_mps.clone()).collect();
    assert_eq!(joined.speed_mps, speeds);
    assert_eq!(joined.t_s.len(), speeds.len());
    assert!(joined.t_s.windows(2).all(|two| two[1] > two[0]));
    let gaps = joined.t_s.windows(2).filter(|two| (two[1] - two[0] - 60.0).abs() < 1e-9).count();
    assert_eq!(gaps, 2, "a minute between two rides");
    let sum = |of: fn(&Ride) -> f64| counted.iter().map(|ride| of(ride)).sum::<f64>();
    assert!((joined.moving_s - sum(|ride| ride.moving_s)).abs() < 1e-9);
    assert!((joined.distance_m - sum(|ride| ride.distance_m)).abs() < 1e-9);
    assert_eq!((joined.grade_known, joined.interval_s, joined.name.as_str()), (false, 7.0, "3 rides"));
    assert!(joined.made, "one of them is made");
    assert_eq!(
        Rides { all: vec![weighed(&odd, 1.0)], ..Rides::default() }.joined().map(|ride| (ride.made, ride.name)),
        Some((false, odd.name.clone()))
    );
    assert!(Rides { all: vec![weighed(&all[0], 0.0)], ..Rides::default() }.joined().is_none());
    let bike = bike("alder-350");
    let fitted = Setup::fitted(&bike).expect("a setup");
    let table = rides::table(&bike, &rides, &[50.0, 30.0, 0.0, 20.0], fitted).expect("a table");
    for (row, weighed) in table.rows.iter().zip(&rides.all) {
        let laid = demand::of(&bike, weighed.ride, fitted).expect("a demand");
        assert_eq!((row[3].value, row[3].text.contains('.')), (Some(weighed.weight), weighed.weight.fract() > 0.0));
        assert_eq!(
            [row[5].value, row[6].value, row[7].value],
            [laid.median_kmh, laid.fast_kmh, laid.headroom_pct].map(Some)
        );
    }
}

#[test]
fn a_demand_is_the_share_of_its_own_speeds() {
    let bike = bike("alder-350");
    let fitted = Setup::fitted(&bike).expect("a setup");
    for ride in parts() {
        let laid = demand::of(&bike, &ride, fitted).expect("a demand");
        assert!((laid.gear_pct.iter().sum::<f64>() - 100.0).abs() < 1e-6);
        assert!((laid.classes.iter().map(|class| class[1]).sum::<f64>() - 100.0).abs() < 1e-6);
        assert!((laid.headroom_pct - 100.0 * (laid.top_geared_kmh / laid.fast_kmh - 1.0)).abs() < 1e-6);
        assert!(laid.slow_kmh <= laid.median_kmh && laid.median_kmh <= laid.fast_kmh);
        let facts = demand::facts(&laid, &ride);
        assert_eq!(
            facts.iter().map(|fact| fact.value).collect::<Vec<_>>(),
            [laid.fast_kmh, laid.headroom_pct, laid.crawl_kmh, laid.below_crawl_pct].map(Some)
        );
        assert!(facts[0].certainty.contains("synthetic"), "{}", facts[0].certainty);
    }
}

#[test]
fn whether_a_swap_pays_is_the_fitted_pair_against_the_best_of_each_ride() {
    let bike = bike("alder-350");
    let (fitted, slot) = (Setup::fitted(&bike).expect("a setup"), Slot::of(&bike).expect("a slot"));
    let whole = ride("synthetic_single_track_clean");
    let all = [part(&whole, "first", 0..500), part(&whole, "second", 450..1000)];
    let list: Vec<Weighed<'_>> = all.iter().map(|ride| weighed(ride, 3.0)).collect();
    let view = kit::view(&bike, &list, &Shelf::default()).expect("a kit");
    for (row, ride) in view.pays_table.rows.iter().zip(&all) {
        let alone = Rides { all: vec![weighed(ride, 1.0)], costs: Costs::default(), half_life_d: None };
        let replay = replay::of(&bike, &alone, &candidate::set(fitted, &slot)).expect("a replay");
        let (best, own) =
            (&replay.pairs[0], replay.pairs.iter().find(|pair| pair.setup.same_pair(fitted)).expect("it was replayed"));
        assert_eq!((row[0].text.as_str(), row[1].text.clone()), (ride.name.as_str(), best.setup.pair_words()));
        assert!(
            row[2].value.is_some_and(|more| (more - 100.0 * (own.cost_per_km / best.cost_per_km - 1.0)).abs() < 1e-9)
        );
        let word = if own.as_good {
            "no: ".to_owned()
        } else if own.feasible {
            format!("yes: {} min less", advice::words::number(0.6 * (own.slip_pct - best.slip_pct), 1))
        } else {
            format!("yes: 14/48 keeps {} %", advice::words::number(own.headroom_pct, 0))
        };
        assert!(row[4].text.starts_with(&word), "{}: {word}", row[4].text);
    }
    for kit in &view.kits {
        assert_eq!(kit.plan.len(), 2);
        assert!(kit.buy.len() >= kit.pieces as usize, "{kit:?}");
    }
    assert!(
        view.kits.windows(2).all(|two| two[0].pieces < two[1].pieces && two[0].minutes_min > two[1].minutes_min),
        "each larger one saves"
    );
    for (row, kit) in view.table.rows.iter().zip(&view.kits) {
        assert_eq!(
            [row[0].value, row[2].value, row[3].value],
            [f64::from(kit.pieces), f64::from(kit.changes), kit.minutes_min].map(Some)
        );
    }
}

#[test]
fn rides_are_matched_outwards_and_the_rest_has_no_partner() {
    let bike = bike("alder-350");
    let old = Setup::fitted(&bike).expect("a setup");
    let all = parts();
    let list: Vec<&Ride> = all.iter().collect();
    for (before, after) in [(3, 3), (3, 2), (2, 3), (1, 3), (6, 6)] {
        let (before, after) = (&list[..before], &list[6 - after..]);
        let view = outcome::view(&bike, [old, old.pair(13, 48)], before, after).expect("a view");
        let matched = before.len().min(after.len());
        assert_eq!((view.matched as usize, view.table.rows.len()), (matched, matched));
        for (row, (before, after)) in view.table.rows.iter().zip(before.iter().zip(after)) {
            let laid = |ride: &Ride, setup: Setup| demand::of(&bike, ride, setup).expect("a demand").below_crawl_pct;
            let wanted = [laid(before, old), laid(before, old.pair(13, 48)), laid(after, old.pair(13, 48))];
            assert_eq!([row[2].value, row[3].value, row[4].value], wanted.map(Some));
        }
        assert_eq!(view.notes.iter().any(|note| note.contains("no partner")), before.len() != after.len());
        assert_eq!(view.judged.rows.is_empty(), matched < 2);
        if matched >= 2 {
            assert_eq!(view.judged.rows.len(), 1 + 6 + 1, "the slip, each gear, the headroom");
            let rows = f64::from(view.matched);
            let mean = |at: usize| view.table.rows.iter().filter_map(|row| row[at].value).sum::<f64>() / rows;
            let recorded = view.facts[0].value.expect("a change");
            assert!((recorded - (mean(4) - mean(2))).abs() < 1e-6, "{recorded}");
            assert!(view.facts[1].value.is_some_and(|forecast| (forecast - (mean(3) - mean(2))).abs() < 1e-6));
        }
    }
}

#[test]
fn a_change_stands_between_the_last_ride_on_the_old_pair_and_the_first_on_the_new_one() {
    let (old, new) =
        (Setup { front_teeth: 14, rear_teeth: 48, links: 118 }, Setup { front_teeth: 13, rear_teeth: 48, links: 118 });
    let base = parts().remove(0);
    let on = |pairs: &[Option<Setup>]| -> Vec<Ride> {
        (0..)
            .zip(pairs)
            .map(|(n, fitted): (i32, _)| Ride { name: n.to_string(), fitted: *fitted, ..base.clone() })
            .collect()
    };
    let found = |pairs: &[Option<Setup>], from, to| {
        let rides = on(pairs);
        let names = |list: &[&Ride]| list.iter().map(|ride| ride.name.clone()).collect::<Vec<_>>().join(" ");
        find(&rides.iter().collect::<Vec<_>>(), from, to).map(|one| (one.pairs, names(&one.before), names(&one.after)))
    };
    let row = [Some(old), Some(old), None, Some(new), Some(old), Some(new)];
    assert_eq!(found(&row, None, None), Ok(([old, new], "1 0".to_owned(), "3 5".to_owned())));
    // Asked the other way round, nothing stands before it: every ride on the other pair counts.
    assert_eq!(found(&row, Some(new), Some(old)), Ok(([new, old], "3 5".to_owned(), "0 1 4".to_owned())));
    assert!(found(&[Some(old), Some(old)], None, None).is_err_and(|why| why.contains("14/48")));
    assert!(found(&[None, None], None, None).is_err_and(|why| why.contains("No stored ride")));
}

#[test]
fn a_third_of_the_rides_at_either_end_shows_a_drift() {
    let bike = bike("alder-350");
    let fitted = Setup::fitted(&bike).expect("a setup");
    let all = parts();
    for (count, third) in [(4, 1), (5, 1), (6, 2)] {
        let list: Vec<&Ride> = all[..count].iter().collect();
        let view = drift::view(&bike, &list).expect("a view");
        let pooled = |some: &[Ride]| {
            let joined =
                Rides { all: some.iter().map(|ride| weighed(ride, 1.0)).collect(), ..Rides::default() }.joined();
            demand::of(&bike, &joined.expect("a ride"), fitted).expect("a demand").median_kmh
        };
        assert_eq!(view.median_kmh, Some([pooled(&all[..third]), pooled(&all[count - third..count])]));
        assert_eq!(view.headline.contains("the first ride against"), third == 1, "{}", view.headline);
    }
}

#[test]
fn what_a_stretch_says_is_said_of_the_pair_that_it_names() {
    let bike = bike("alder-350");
    let fitted = Setup::fitted(&bike).expect("a setup");
    let all = parts();
    for ride in &all {
        let from = ride.t_s[0];
        let setups = [fitted, fitted.pair(13, 50), fitted.pair(15, 46)];
        let view = stretch::view(&bike, &weighed(ride, 1.0), [from + 10.0, from + 200.0], &setups).expect("a view");
        let most = view.pairs.iter().map(|pair| pair.reserve_min_n).fold(f64::NEG_INFINITY, f64::max);
        let best = view.pairs.iter().find(|pair| pair.reserve_min_n == most).expect("a pair");
        let named = view.findings.iter().find(|words| words.contains("leaves the most"));
        assert_eq!(named.is_some(), best.setup != fitted);
        assert!(named.is_none_or(|words| words.starts_with(&best.setup.pair_words())), "{named:?}");
        let short: Vec<String> =
            view.pairs.iter().filter(|pair| pair.reserve_min_n < 0.0).map(|pair| pair.setup.pair_words()).collect();
        let said = view.findings.iter().find(|words| words.starts_with("Thrust is missing"));
        assert_eq!(
            said.cloned(),
            (!short.is_empty()).then(|| format!("Thrust is missing at some moment on {}.", short.join(", ")))
        );
        for (pair, row) in view.pairs.iter().zip(&view.table.rows) {
            assert_eq!(row[2].value, pair.gear_pct.get(pair.main_gear as usize - 1).copied());
            assert!(
                pair.gear_pct.iter().all(|share| *share <= pair.gear_pct[pair.main_gear as usize - 1]),
                "the gear of most of the time"
            );
        }
    }
}

#[test]
fn squares_of_the_map_hold_what_the_slot_holds() {
    let bike = bike("alder-350");
    let (fitted, slot) = (Setup::fitted(&bike).expect("a setup"), Slot::of(&bike).expect("a slot"));
    let view = map::view(&bike, fitted).expect("a map");
    assert_eq!((view.fronts.clone(), view.rears.clone()), ((12..=16).collect(), (40..=56).collect::<Vec<u32>>()));
    let mut seen = [0; 3];
    for (line, row) in view.squares.iter().zip(&view.table.rows) {
        assert_eq!(row[0].value, Some(f64::from(line[0].setup.rear_teeth)));
        for (square, cell) in line.iter().zip(&row[1..]) {
            let counts: Vec<u32> = square.chains.iter().map(|chain| chain.links).collect();
            assert_eq!(counts, slot.even_links(square.setup).expect("counts"));
            let words: Vec<String> = square
                .chains
                .iter()
                .map(|chain| {
                    assert_eq!(chain.verdict == Verdict::Care, chain.room_mm < 3.0);
                    seen[usize::from(chain.verdict == Verdict::Care)] += 1;
                    let own = square.setup.with_links(chain.links) == fitted;
                    format!(
                        "{}{}{}",
                        chain.links,
                        if chain.room_mm < 3.0 { "!" } else { "" },
                        if own { "*" } else { "" }
                    )
                })
                .collect();
            seen[2] += usize::from(words.is_empty());
            assert_eq!(cell.text, if words.is_empty() { "none".to_owned() } else { words.join(" ") });
        }
    }
    assert!(seen[0] > 0 && seen[1] > 0, "{seen:?}");
}

#[test]
fn parts_ran_from_one_to_the_next_and_an_hour_cost_its_share() {
    let text = "2026-05-01T08:00 meter 10\n2026-05-01T08:30 part chain 118 one 9000 EUR\n2026-06-01T08:00 meter 40\n\
        2026-06-01T08:30 part chain 118 two 8000 EUR\n2026-06-01T08:40 part front 14 one\n2026-07-01T08:00 meter 52\n";
    let state = State::of("ran", bike("alder-350"), text, "2026-07-02T08:00");
    let ran = sets::all(&state.record()).expect("all");
    let told: Vec<_> =
        ran.iter().map(|one| (one.name.as_str(), one.role, one.from_h, one.hours_h, one.to.clone())).collect();
    assert_eq!(
        told,
        [
            ("one", "front", Some(40.0), Some(12.0), None),
            ("two", "chain", Some(40.0), Some(12.0), None),
            ("one", "chain", Some(10.0), Some(30.0), Some("2026-06-01".to_owned())),
        ]
    );
    let each: Vec<Option<f64>> = ran.iter().map(|one| one.per_hour.as_ref().map(|(each, _)| *each)).collect();
    assert_eq!(each, [None, Some(80.0 / 12.0), Some(3.0)]);
    let rows: Vec<String> = sets::table(&ran).rows.iter().map(|row| row[3].text.clone()).collect();
    assert_eq!(rows, ["no price", "6.67 EUR", "3.00 EUR"]);
}

#[test]
fn what_goes_off_and_on_is_taken_from_where_each_part_is() {
    let two = "2026-08-01T09:00 meter 100\n2026-08-01T09:10 part chain 118 one 9000 EUR\n2026-08-01T09:10 part front 14 one\n\
        2026-08-01T09:10 part rear 48 one\n2026-08-01T09:20 kept chain 116 two 12\n2026-08-01T09:20 kept front 13 two 12\n\
        2026-08-01T09:20 kept rear 48 two 15\n2026-08-01T09:30 set first one one one\n2026-08-01T09:31 set second two two two\n\
        2026-08-03T18:00 meter 110\n";
    let state = State::of("two sets", bike("alder-350"), two, "2026-08-05T18:00");
    let record = state.record();
    let change = kept_sets::put_on(&record, "second").expect("it goes on");
    let told = |parts: &[upkeep::record::Part]| -> Vec<(Option<u32>, f64)> {
        parts.iter().map(|part| (part.count(), part.used_h())).collect()
    };
    assert_eq!(told(&change.on), [(Some(116), 12.0), (Some(13), 12.0), (Some(48), 15.0)]);
    assert_eq!(told(&change.off), [(Some(118), 10.0), (Some(14), 10.0), (Some(48), 10.0)]);
    assert_eq!(change.sheet(&state.bike), [("links", 116), ("front_teeth", 13)], "only what differs");
    assert_eq!(change.facts().expect("facts").len(), 7);
    let off = kept_sets::take_off(&record).expect("it comes off");
    assert_eq!((told(&off.off), off.on.len()), (told(&change.off), 0));
    assert!(kept_sets::put_on(&record, "first").is_err_and(|gap| gap.text.contains("is on the bike")));
    assert!(kept_sets::put_on(&record, "third").is_err_and(|gap| gap.text.contains("\"first\" and \"second\"")));
    let view = kept_sets::view(&record).expect("sets");
    assert_eq!(view.sets.iter().map(|set| set.on).collect::<Vec<_>>(), [true, false]);
    assert_eq!(view.fitted.iter().map(|part| part.hours_h).collect::<Vec<_>>(), [Some(10.0); 3]);
}

#[test]
fn days_ahead_stand_in_order_each_with_a_name_of_its_own() {
    for state in demo() {
        let record = state.record();
        let Ok(days) = calendar::days(&record) else { continue };
        let mut names: Vec<&str> = days.iter().map(|day| day.name.as_str()).collect();
        assert!(days.windows(2).all(|two| two[0].when.date() <= two[1].when.date()), "{}", state.name);
        assert!(days.iter().all(|day| day.when.date() >= record.now.date()), "{}", state.name);
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), days.len(), "{}", state.name);
    }
    let now = "2026-08-05T18:00";
    let planned = |when: &str| {
        let state = State::of(
            "planned",
            bike("alder-350"),
            &format!("{when} planned Loop 4\n{when} event Hill_day\u{20}6\n"),
            now,
        );
        calendar::days(&state.record()).expect("days").iter().filter(|day| day.name.starts_with("planned-")).count()
    };
    assert_eq!((planned("2026-08-05T18:00"), planned("2026-08-05T17:59")), (2, 0), "what begins now is ahead");
    let state = sound("oil", "2026-08-08T09:00 planned Loop 4\n");
    let days = calendar::days(&state.record()).expect("days");
    let ride = days.iter().find(|day| day.title == "Ride: Loop").expect("a ride");
    assert!(matches!(ride.when, When::From(_, hours) if hours == 4.0) && ride.about == "About 4.0 h of riding.");
    let history = history::table(&state.log);
    assert!(history.rows.windows(2).all(|two| two[0][0].text >= two[1][0].text), "newest first");
}

#[test]
fn each_ground_is_charged_with_its_own_hours_of_this_chain() {
    let text = "2026-03-01T08:00 meter 0\n2026-03-01T08:30 ride 3 mud dry\n2026-03-01T09:00 part chain 118 one\n2026-03-02T09:00 ride 10 loam dry\n\
        2026-03-03T09:00 ride 9 sand wet\n2026-03-04T09:00 elongation 20 318.1 318.1 318.1\n2026-03-05T09:00 ride 6 loam dry\n2026-03-05T12:00 ride 2 mud dry\n\
        2026-03-06T09:00 elongation 20 318.4 318.4 318.4\n2026-03-07T09:00 ride 1 mud dry\n";
    let state = State::of("grounds", bike("alder-350"), text, "2026-03-08T09:00");
    let (costs, _) = forecast::grounds(&state.record()).expect("grounds");
    let told: Vec<(&str, f64)> = costs.iter().map(|cost| (cost.ground.as_str(), cost.hours_h)).collect();
    assert_eq!(
        told,
        [("loam", 16.0), ("mud", 3.0), ("sand", 9.0)],
        "what was ridden on the chain before is not its own"
    );
    for (cost, row) in costs.iter().zip(forecast::ground_table(&costs).rows) {
        assert_eq!(cost.claimed, cost.hours_h >= 8.0, "{}", cost.ground);
        assert_eq!(row[2].text.starts_with("too few hours"), !cost.claimed);
    }
    assert!(due::all(&state.record()).is_ok());
}

#[test]
fn without_an_engines_curve_pairs_are_laid_against_the_speeds_alone() {
    let mut bike = bike("alder-350");
    change(&mut bike, "curve", None);
    let (fitted, slot) = (Setup::fitted(&bike).expect("a setup"), Slot::of(&bike).expect("a slot"));
    let all = parts();
    for count in [1, 2] {
        let rides = Rides { all: all[..count].iter().map(|ride| weighed(ride, 1.0)).collect(), ..Rides::default() };
        let view = gearing::over(&bike, &rides, &Shelf::default()).expect("a view");
        let usable = |setup: &Setup| slot.place(*setup).is_ok_and(|place| place.verdict < Verdict::Unknown);
        let around = (13..=15).flat_map(|front| (45..=51).map(move |rear| fitted.pair(front, rear)));
        let wanted: Vec<Setup> =
            [fitted].into_iter().chain(around.filter(|setup| !setup.same_pair(fitted)).filter(usable)).collect();
        assert_eq!(view.demands.iter().map(|demand| demand.setup).collect::<Vec<_>>(), wanted);
        let rows: Vec<String> = view.share_table.rows.iter().map(|row| row[0].text.clone()).collect();
        assert_eq!(rows, wanted.iter().map(|setup| setup.pair_words()).collect::<Vec<_>>());
        let joined = rides.joined().expect("a ride");
        assert_eq!(view.demands[0], demand::of(&bike, &joined, fitted).expect("a demand"));
        assert_eq!(view.demand_facts, demand::facts(&view.demands[0], &joined));
        assert_eq!(view.proposal, proposal::propose(&view.demands, fitted));
        assert!(view.replay.is_none() && view.candidates.is_empty());
        let says = |words: &str| view.notes.iter().any(|note| note.contains(words));
        assert!(says("thrust and shifting are left out"));
        assert_eq!(says("Without a replay weights do not count"), count > 1);
    }
    let none = Rides { all: vec![weighed(&all[0], 0.0)], ..Rides::default() };
    let view = gearing::over(&bike, &none, &Shelf::default()).expect("a view");
    assert!(
        view.proposal.is_none()
            && view.demands.is_empty()
            && view.notes.iter().any(|note| note.contains("none counts"))
    );
}

#[test]
fn a_ride_that_the_gearing_held_back_lowers_how_sure_the_answer_is() {
    let bike = bike("alder-350");
    let fitted = Setup::fitted(&bike).expect("a setup");
    let all = parts();
    let top_mps = 11_500.0 / (3.10 * 0.90 * 48.0 / 14.0) * 2.10 / 60.0;
    let pinned =
        Ride { speed_mps: vec![top_mps; all[0].t_s.len()], accel_mps2: vec![0.0; all[0].t_s.len()], ..all[0].clone() };
    let doubted = |list: &[(&Ride, f64)]| {
        let rides =
            Rides { all: list.iter().map(|(ride, weight)| weighed(ride, *weight)).collect(), ..Rides::default() };
        let replay = replay::of(&bike, &rides, &[fitted, fitted.pair(13, 48)]).expect("a replay");
        replay.doubts.iter().any(|words| words.contains("limited by the gearing then fitted"))
    };
    assert!(!doubted(&[(&all[0], 1.0), (&all[1], 1.0)]));
    assert!(
        doubted(&[(&pinned, 1.0)])
            && doubted(&[(&pinned, 1.0), (&all[1], 1.0)])
            && doubted(&[(&all[1], 1.0), (&pinned, 1.0)])
    );
    assert!(!doubted(&[(&all[1], 1.0), (&pinned, 0.0)]), "it does not count");
    // Ridden on a taller pair it was not held back.
    let taller = Ride { fitted: Some(fitted.pair(15, 44)), ..pinned };
    assert!(!doubted(&[(&taller, 1.0)]));
}
