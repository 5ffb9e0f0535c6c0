//! Pairs held against plain sums and walks: what a swap means, which setups fit, which of them are shown.

use advice::bench::{figure, offer};
use advice::fit::{Miss, Slot};
use advice::plan::{self, Caution, Wish};
use advice::rides::{Rides, Weighed};
use advice::shelf::Shelf;
use advice::supplies::{self, Asked};
use advice::{
    Block, Clear, Reason, Setup, Verdict, candidate, decision, fit, gearing, ground, map, proposal, slack, verdict,
    wish, words,
};
use jiff::civil::{Date, date};
use upkeep::bike::{Bike, Value};
use upkeep::job::handbook::shipped;
use upkeep::record::{Entry, Fact, Log, Part, Role};
use upkeep::supply::{Event, Shelf as Lies, Supply};

use crate::records::{at, bike, change};
use crate::tracks::ride;

fn alder() -> (Bike, Setup, Slot) {
    let bike = bike("alder-350");
    let (fitted, slot) = (Setup::fitted(&bike).expect("a setup"), Slot::of(&bike).expect("a slot"));
    (bike, fitted, slot)
}

fn ratio(setup: Setup) -> f64 {
    f64::from(setup.rear_teeth) / f64::from(setup.front_teeth)
}

#[test]
fn a_swap_says_what_its_teeth_come_to() {
    let (_, fitted, slot) = alder();
    for to in (11..=17).flat_map(|front| (42..=54).map(move |rear| fitted.pair(front, rear))) {
        let swap = gearing::swap(fitted, to, Some(&slot)).expect("a swap");
        let thrust = 100.0 * (ratio(to) / ratio(fitted) - 1.0);
        let speed = 100.0 * (ratio(fitted) / ratio(to) - 1.0);
        assert!((swap.thrust_pct - thrust).abs() < 1e-9 && (swap.speed_pct - speed).abs() < 1e-9, "{to}");
        let pull = 100.0 * (f64::from(fitted.front_teeth) / f64::from(to.front_teeth) - 1.0);
        assert!((swap.pull_pct - pull).abs() < 1e-9, "{to}: {}", swap.pull_pct);
        let bend = [fitted, to].map(|setup| 360.0 / f64::from(setup.front_teeth));
        assert!((swap.bend_deg[0] - bend[0]).abs() < 1e-9 && (swap.bend_deg[1] - bend[1]).abs() < 1e-9, "{to}");
        // The same change by the rear sprocket alone: said where that is no whole tooth.
        let as_rear = f64::from(to.rear_teeth) * f64::from(fitted.front_teeth) / f64::from(to.front_teeth)
            - f64::from(fitted.rear_teeth);
        let whole = (as_rear - as_rear.round()).abs() < 1e-9;
        let word = if as_rear > 0.0 { "more" } else { "fewer" };
        let said = format!("like {} rear teeth {word}", words::number(as_rear.abs(), 2));
        let same = (ratio(to) - ratio(fitted)).abs() < 1e-12;
        assert_eq!(swap.words.contains(&said), !same && !whole && as_rear.abs() >= 0.05, "{to}: {}", swap.words);
        assert_eq!(swap.words.starts_with("same ratio"), same, "{to}: {}", swap.words);
        if !same {
            assert_eq!(swap.words.starts_with("shorter"), ratio(to) > ratio(fitted), "{to}: {}", swap.words);
        }
        let place = slot.place(to);
        assert_eq!(swap.fit, place.as_ref().map_or(Verdict::Unknown, |place| place.verdict));
        assert_eq!(
            swap.fit_words,
            place.map_or_else(
                |gap| gap.text,
                |place| place.reasons.first().map(|one| one.text.clone()).unwrap_or_default()
            )
        );
        assert_eq!(gearing::swap(fitted, to, None).map(|swap| swap.fit), Ok(Verdict::Unknown));
    }
}

#[test]
fn one_or_two_teeth_either_way_are_compared() {
    let (bike, fitted, slot) = alder();
    let swaps = gearing::swaps(fitted, Some(&slot)).expect("swaps");
    let pairs: Vec<String> = swaps.iter().map(|swap| swap.setup.pair_words()).collect();
    assert_eq!(pairs, ["13/48", "15/48", "14/49", "14/47", "14/50", "14/46"]);
    let view = gearing::view(&bike, None, ground::USUAL).expect("a view");
    let rows: Vec<(String, String)> =
        view.swap_table.rows.iter().map(|row| (row[0].text.clone(), row[1].text.clone())).collect();
    for ((pair, fit), swap) in rows.iter().zip(&swaps) {
        assert_eq!(*pair, swap.setup.pair_words());
        let with_words = if swap.fit_words.is_empty() { String::new() } else { format!(": {}", swap.fit_words) };
        assert_eq!(*fit, format!("{}{with_words}", swap.fit.fit_words()));
    }
    // Near pairs are all there are within a percent, none further off, the fitted one not among them.
    let near: Vec<String> = view.near.rows.iter().map(|row| row[0].text.clone()).collect();
    for to in (11..=16).flat_map(|front| (38..=56).map(move |rear| fitted.pair(front, rear))) {
        let off = 100.0 * (ratio(to) / ratio(fitted) - 1.0);
        let listed = near.contains(&to.pair_words());
        assert_eq!(listed, off.abs() <= 1.0 && !to.same_pair(fitted), "{to} is {off} % off");
        if let Some(row) = view.near.rows.iter().find(|row| row[0].text == to.pair_words()) {
            assert!(row[1].value.is_some_and(|value| (value - off).abs() < 1e-9));
            assert_eq!(row[2].text, slot.place(to).map_or(Verdict::Unknown, |place| place.verdict).fit_words());
        }
    }
}

#[test]
fn gears_reach_from_the_lower_end_of_the_band_to_the_limiter_and_holes_are_named() {
    for (lo, holed) in [(4000.0, false), (11_000.0, true)] {
        let (mut bike, fitted, _) = alder();
        change(&mut bike, "hi_rpm", Some(Value::Number(lo + 400.0)));
        change(&mut bike, "lo_rpm", Some(Value::Number(lo)));
        let gears = gearing::gears(&bike, fitted).expect("gears");
        assert_eq!(gears.iter().map(|gear| gear.gear).collect::<Vec<_>>(), [1, 2, 3, 4, 5, 6]);
        for (gear, ratio_of) in gears.iter().zip([2.40, 1.85, 1.45, 1.20, 1.03, 0.90]) {
            let total = 3.10 * ratio_of * ratio(fitted);
            let kmh = |rpm: f64| rpm / total * 2.10 * 0.06;
            assert!((gear.total_ratio - total).abs() < 1e-9);
            assert!((gear.from_kmh - kmh(lo)).abs() < 1e-9 && (gear.to_kmh - kmh(11_500.0)).abs() < 1e-9);
        }
        for two in gears.windows(2) {
            assert!(
                two[0]
                    .step_pct
                    .is_some_and(|step| (step - 100.0 * (two[0].total_ratio / two[1].total_ratio - 1.0)).abs() < 1e-9)
            );
            assert!(
                two[0].overlap_kmh.is_some_and(|overlap| (overlap - (two[0].to_kmh - two[1].from_kmh)).abs() < 1e-9)
            );
        }
        assert_eq!(gears.last().map(|gear| (gear.step_pct, gear.overlap_kmh)), Some((None, None)));
        let view = gearing::view(&bike, None, ground::USUAL).expect("a view");
        let holes = gears.iter().filter(|gear| gear.overlap_kmh.is_some_and(|overlap| overlap < 0.0)).count();
        assert_eq!(holes > 0, holed);
        assert_eq!(view.notes.iter().filter(|note| note.contains("lies a hole")).count(), holes);
        if holed {
            assert!(view.notes[0].starts_with("Between gear 1 and 2 lies a hole of "), "{:?}", view.notes);
        }
        let fact = |key: &str| view.facts.iter().find(|fact| fact.key == key).and_then(|fact| fact.value);
        assert_eq!(fact("top_geared_kmh"), gears.last().map(|gear| gear.to_kmh));
        assert!(
            fact("crawl_slip_kmh")
                .is_some_and(|crawl| (crawl - 2600.0 / gears[0].total_ratio * 2.10 * 0.06).abs() < 1e-9)
        );
    }
}

#[test]
fn every_pair_within_two_and_eight_teeth_that_some_even_chain_holds_is_compared_and_no_other() {
    let (_, fitted, slot) = alder();
    let set = candidate::set(fitted, &slot);
    assert_eq!(set[0], fitted);
    let usable = |setup: Setup| slot.place(setup).is_ok_and(|place| place.verdict < Verdict::Unknown);
    for pair in (11..=17).flat_map(|front| (38..=58).map(move |rear| fitted.pair(front, rear))) {
        let found: Vec<&Setup> = set.iter().filter(|setup| setup.same_pair(pair)).collect();
        let around = pair.front_teeth.abs_diff(14) <= 2 && pair.rear_teeth.abs_diff(48) <= 8;
        let chains: Vec<u32> = (100..136).step_by(2).filter(|links| usable(pair.with_links(*links))).collect();
        assert_eq!(found.len(), usize::from(around && !chains.is_empty()), "{pair}");
        if let Some(setup) = found.first() {
            assert_eq!(
                setup.links,
                if usable(pair) { 118 } else { chains[0] },
                "{pair}: on the fitted chain where that holds it"
            );
        }
    }
}

#[test]
fn only_the_shortest_and_the_tallest_of_the_set_are_said_to_lie_at_its_edge() {
    let (bike, fitted, slot) = alder();
    let track = ride("synthetic_single_track");
    let all = vec![Weighed { ride: &track, ground: ground::USUAL, weight: 1.0, age_d: None }];
    let set = candidate::set(fitted, &slot);
    let view = gearing::over(&bike, &Rides { all, ..Rides::default() }, &Shelf::default()).expect("a view");
    let ends = [f64::min, f64::max].map(|pick| set.iter().map(|setup| ratio(*setup)).reduce(pick).expect("a ratio"));
    for one in &view.candidates {
        assert_eq!(one.at_edge, ends.contains(&ratio(one.replayed.setup)), "{}", one.replayed.setup);
        let row =
            view.candidate_table.rows.iter().find(|row| row[0].text == one.replayed.setup.pair_words()).expect("a row");
        assert_eq!(row[1].text.contains("at the edge"), one.at_edge);
        let settable = one.place.as_ref().is_none_or(|place| place.verdict < Verdict::Unknown);
        assert_eq!(one.slack_mm.is_some(), settable);
        assert_eq!(one.slack_mm, slack::setting(&bike, one.replayed.setup).ok().map(|setting| setting.target_mm));
    }
    // Of the whole answer the deciding part alone is brief: one table, the facts of the ride.
    let tables = |blocks: &[Block<'_>]| blocks.iter().filter(|block| matches!(block, Block::Table(_))).count();
    let without = gearing::view(&bike, None, ground::USUAL).expect("a view");
    assert_eq!((tables(&view.brief()), tables(&without.brief())), (1, 1));
    assert_eq!((tables(&view.blocks()), tables(&without.blocks())), (6, 3));
}

#[test]
fn a_setup_on_its_stop_misses_neither_way() {
    let (bike, fitted, slot) = alder();
    let place = slot.place(fitted).expect("a place");
    let miss = |from_front_mm, left_mm| fit::Place { from_front_mm, left_mm, ..place.clone() }.miss();
    assert_eq!(
        [miss(0.0, 0.0), miss(-0.1, 5.0), miss(5.0, -0.1), miss(-0.1, -0.1)],
        [Miss::None, Miss::TooShort, Miss::TooLong, Miss::TooShort]
    );
    // A care at either end, three millimetres of room by the tool's own threshold.
    for end in ["slot_min_mm", "slot_max_mm"] {
        let room = |room: f64| {
            let mut near = bike.clone();
            let (base, sign) = if end == "slot_min_mm" { (place.arm_mm, -1.0) } else { (place.arm_mm, 1.0) };
            change(&mut near, end, Some(Value::Number(base + sign * room)));
            Slot::of(&near).expect("a slot").place(fitted).expect("a place")
        };
        let stop = if end == "slot_min_mm" { "front stop" } else { "rear stop" };
        let care = |place: &fit::Place| {
            place
                .reasons
                .iter()
                .any(|one| one.verdict == Verdict::Care && one.text.starts_with("Only") && one.text.contains(stop))
        };
        assert!(!care(&room(4.5)) && care(&room(2.0)), "{end}: {:?}", room(2.0).reasons);
    }
    for (links, words) in [(116, "short of the front stop"), (120, "past the rear stop")] {
        let gone = slot.place(fitted.with_links(links)).expect("a place");
        assert!(gone.verdict == Verdict::Stop && gone.reasons[0].text.contains(words), "{:?}", gone.reasons);
    }
    // Wear that the slot does not hold to its limit is said.
    let early = place.runs_out_pct[0];
    let says = |limit: f64| {
        let mut worn = bike.clone();
        change(&mut worn, "limit_pct", Some(Value::Number(limit)));
        let place = Slot::of(&worn).expect("a slot").place(fitted).expect("a place");
        place.reasons.iter().any(|one| one.text.starts_with("The slot is used up"))
    };
    assert!(!says(early) && says(early + 0.01));
}

#[test]
fn rows_of_the_same_chain_and_of_the_map_are_what_the_slot_says() {
    let (bike, fitted, slot) = alder();
    let view = fit::view(&bike, fitted).expect("a view");
    let rears: Vec<u32> = view.same_chain.rows.iter().map(|row| row[0].text.parse().expect("teeth")).collect();
    assert_eq!(rears, (44..=52).collect::<Vec<_>>());
    for (row, rear) in view.same_chain.rows.iter().zip(rears) {
        let place = slot.place(fitted.pair(14, rear)).expect("a place");
        let values: Vec<Option<f64>> = row[2..].iter().map(|cell| cell.value).collect();
        assert_eq!(row[1].text, place.verdict.fit_words());
        assert_eq!(values, [place.centre_mm, place.from_front_mm, place.left_mm, place.runs_out_pct[0]].map(Some));
        assert!(
            (place.from_front_mm + place.left_mm - view.place.from_front_mm - view.place.left_mm).abs() < 1e-6,
            "both rooms are one slot"
        );
    }
    assert!(map::view(&bike, fitted).is_ok());
}

#[test]
fn a_wish_is_met_where_it_is_just_met() {
    let (bike, fitted, _) = alder();
    let of = |setup: Setup| {
        let total = 3.10 * ratio(setup);
        (2600.0 / (total * 2.40) * 2.10 * 0.06, 11_500.0 / (total * 0.90) * 2.10 * 0.06)
    };
    let (crawl, top) = of(fitted);
    let does = |crawl_kmh: f64, top_kmh: f64| {
        let wish = wish::Wish { crawl_kmh, top_kmh: Some(top_kmh) };
        let view = wish::among(&bike, wish, &Shelf::default(), &[fitted]).expect("a view");
        let one = &view.tried[0];
        assert!((one.crawl_kmh - crawl).abs() < 1e-9 && (one.top_kmh - top).abs() < 1e-9);
        one.does
    };
    let (slow, fast) = {
        let wish = wish::Wish { crawl_kmh: 99.0, top_kmh: None };
        let view = wish::among(&bike, wish, &Shelf::default(), &[fitted]).expect("a view");
        (view.tried[0].crawl_kmh, view.tried[0].top_kmh)
    };
    assert!(does(slow, fast) && !does(slow - 1e-6, fast) && !does(slow, fast + 1e-6));
    assert_eq!(proposal::parts_changed(fitted, fitted.pair(13, 50)), 2);
}

#[test]
fn the_word_of_a_verdict_is_its_own() {
    let all = [Verdict::Ready, Verdict::Care, Verdict::Unknown, Verdict::Stop];
    assert_eq!(all.map(Verdict::words), ["Ready", "Ready with care", "Not known", "Not ready"]);
    assert_eq!(all.map(Verdict::fit_words), ["Fits", "Fits, with care", "Not known", "Does not fit"]);
    assert_eq!(all.map(Verdict::code), ["READY", "CARE", "UNKNOWN", "STOP"]);
    let reason = Reason::new(Verdict::Care, "a.figure", "a text").cleared_by("Do it.", 7);
    assert_eq!(reason.clear, Some(Clear { act: "Do it".to_owned(), minutes_min: 7, place: "drive" }));
    let mut reasons = all.map(|verdict| Reason::new(verdict, "", verdict.code()));
    verdict::worst_first(&mut reasons);
    assert_eq!(reasons.map(|reason| reason.verdict), [Verdict::Stop, Verdict::Unknown, Verdict::Care, Verdict::Ready]);
}

#[test]
fn a_caution_begins_with_how_loud_it_is_and_stands_in_full_or_by_its_hazard() {
    let caution = |level, text: &str| {
        Caution { id: "x".into(), level, hazard: "fingers".into(), text: text.into(), brief: "" }.words()
    };
    for (level, word) in [("stop", "STOP"), ("warn", "TAKE CARE"), ("note", "NOTE")] {
        assert_eq!(caution(level, "Keep clear."), format!("{word}: fingers. Keep clear."));
        assert_eq!(caution(level, ""), format!("{word}: fingers"));
    }
}

#[test]
fn a_plan_names_what_is_used_up_only_where_something_is() {
    let (bike, fitted, _) = alder();
    for jobs in [&["chain-slack"][..], &["final-drive-set"], &["chain-clean-oil"], &["rear-tyre"]] {
        let wish = Wish { jobs: jobs.iter().map(|job| (*job).to_owned()).collect(), ..Wish::default() };
        let Ok(view) = plan::view(&bike, fitted, &wish) else { continue };
        let blocks = view.blocks();
        let named =
            blocks.iter().any(|block| matches!(block, Block::Text(words) if words.starts_with("Consumables: ")));
        assert_eq!(named, !view.consumables.is_empty(), "{jobs:?}");
        let numbers: Vec<usize> = view.steps.iter().map(|step| step.number).collect();
        assert_eq!(numbers, (1..=view.steps.len()).collect::<Vec<_>>());
        let mut clock = 0.0;
        for step in &view.steps {
            clock += step.minutes_min;
            assert!((step.clock_min - clock).abs() < 1e-9, "{}: the clock adds up", step.title);
            assert_eq!(step.figures.is_empty(), step.to_set.is_empty() && step.notes.is_empty(), "{}", step.title);
        }
        assert!((view.minutes_min[1] - clock).abs() < 1e-9);
        for (role, wanted) in
            view.parts.rows.iter().map(|row| (row[0].text.trim_end_matches(" (if needed)"), &row[1].text))
        {
            assert_eq!(view.quantity(role).map(|count| count.to_string()).as_ref(), Some(wanted), "{role}");
        }
        assert_eq!((view.quantity("a saddle"), view.spec("a saddle")), (None, String::new()));
    }
}

#[test]
fn jobs_follow_from_what_is_changed() {
    let (_, fitted, _) = alder();
    let jobs = |front: bool, rear: bool, links: bool| {
        let to = Setup {
            front_teeth: 14 - u32::from(front),
            rear_teeth: 48 + u32::from(rear),
            links: 118 + 2 * u32::from(links),
        };
        plan::jobs_for(fitted, to)
    };
    assert_eq!(jobs(false, false, false), ["chain-slack"]);
    assert_eq!(jobs(true, false, false), ["front-sprocket-only"]);
    assert_eq!(jobs(false, true, false), ["rear-sprocket-only"]);
    assert_eq!(jobs(true, true, false), ["front-sprocket-only", "rear-sprocket-only"]);
    assert_eq!(jobs(false, false, true), ["chain-cut-join"]);
    for (front, rear) in [(true, false), (false, true), (true, true)] {
        assert_eq!(jobs(front, rear, true), ["final-drive-set"]);
    }
}

#[test]
fn what_parts_cost_the_last_time_is_said_of_those_that_are_surely_fitted() {
    let choices = vec![("front-retention".to_owned(), "nut".to_owned())];
    for file in shipped().jobs() {
        for part in &file.part {
            let name = format!("{}, bought then", part.role);
            let fitted = Part::new(Role::Other, name, None, 0.0, Some((1400, "EUR".to_owned()))).expect("a part");
            let entry = Entry {
                id: 1,
                change: 1,
                at: at("2026-03-01T09:00"),
                corrects: None,
                note: None,
                fact: Fact::Part(fitted),
            };
            let log = Log::new(vec![entry], Vec::new());
            let offers = offer::view(shipped(), &["final-drive-set"], &choices, &log).expect("offers");
            let Some(offered) = offers.iter().find(|one| one.job == file.job.id) else { continue };
            let surely = file.part.iter().any(|one| one.role == part.role && !one.optional);
            let named = offered.price.contains(&format!("{} 14.00 EUR (paid 2026-03-01)", part.role));
            assert_eq!(named, surely, "{} {}: {}", file.job.id, part.role, offered.price);
        }
    }
}

#[test]
fn a_figure_is_known_from_the_sheet_the_manual_or_the_plan_itself() {
    let (mut bike, ..) = alder();
    assert!(figure::is_known(&bike, &[], "planned-links") && figure::is_known(&bike, &[], "chain-slack"));
    change(&mut bike, "slack_mm_min", None);
    change(&mut bike, "slack_mm_max", None);
    assert!(!figure::is_known(&bike, &[], "rear-axle-torque"));
    let said = upkeep::job::bench::Said::Number { low: 91.0, high: 97.0 };
    let manual = upkeep::job::bench::Manual::new("rear-axle-torque", said, "manual, p. 40").expect("a figure");
    assert!(figure::is_known(&bike, std::slice::from_ref(&manual), "rear-axle-torque"));
    assert!(!figure::is_known(&bike, &[manual], "rear-sprocket-torque"));
}

fn lies(facts: &[(&str, Event)]) -> Lies {
    let day: Date = date(2026, 9, 1);
    let facts: Vec<(Date, Supply)> =
        facts.iter().map(|(role, event)| (day, Supply::new(role, event.clone()).expect("a supply"))).collect();
    Lies::of(facts.iter().map(|(day, supply)| (*day, supply)))
}

#[test]
fn parts_ordered_on_the_last_day_and_oil_on_its_day_are_in_time() {
    let (bike, fitted, _) = alder();
    let wish = Wish { jobs: vec!["final-drive-set".to_owned()], ..Wish::default() };
    let view = |shelf: &Lies, today: Date, needed: Option<Date>| {
        supplies::of_wish(&bike, fitted, &wish, Asked { shelf, today, needed, order: None }).expect("a view")
    };
    let says = |view: &supplies::PartsView, words: &str| view.reasons.iter().any(|reason| reason.text.contains(words));
    let missing = lies(&[("chain", Event::Counted(0)), ("chain", Event::Lead(5))]);
    let needed = Some(date(2026, 9, 20));
    let (last, late) = (view(&missing, date(2026, 9, 15), needed), view(&missing, date(2026, 9, 16), needed));
    assert!(says(&last, "chain: 1 to buy; order by 2026-09-15.") && !says(&last, "chain: should have been"));
    assert!(says(&late, "chain: should have been ordered by 2026-09-15"));
    assert!(says(&view(&missing, date(2026, 9, 16), None), "chain: 1 to buy; no day is set"));
    let unknown = lies(&[("chain", Event::Counted(0))]);
    assert!(says(&view(&unknown, date(2026, 9, 16), needed), "chain: 1 to buy; its days of delivery are not known"));
    let there = lies(&[("chain", Event::Counted(1))]);
    assert!(!view(&there, date(2026, 9, 16), needed).reasons.iter().any(|reason| reason.text.starts_with("chain:")));
    let none = view(&Lies::default(), date(2026, 9, 16), needed);
    assert!(
        says(&none, "Not counted, so taken as missing: ")
            && !none.reasons.iter().any(|reason| reason.text.starts_with("chain:"))
    );
    let role = none.consumables.rows[0][0].text.clone();
    let dated = lies(&[(role.as_str(), Event::Put(1)), (role.as_str(), Event::UseBy(date(2026, 9, 20)))]);
    let past = |today: Date| {
        let view = view(&dated, today, None);
        let row = view.consumables.rows.iter().find(|row| row[0].text == role).expect("a row");
        assert_eq!(row[1].text == "past its day", says(&view, "past its day"));
        row[1].text.clone()
    };
    assert_eq!((past(date(2026, 9, 20)), past(date(2026, 9, 21))), ("have".to_owned(), "past its day".to_owned()));
    let gone = lies(&[(role.as_str(), Event::Counted(0))]);
    assert!(says(&view(&gone, date(2026, 9, 1), None), &format!("missing: {role}")));
}

#[test]
fn the_whole_answer_keeps_its_parts_apart() {
    let (bike, fitted, _) = alder();
    let read = slack::Read { slack_mm: Some(85.0), ..slack::Read::default() };
    let same = decision::view(&bike, None, None, ground::USUAL, read).expect("an answer");
    assert!(same.next_slack.is_none() && same.setup == fitted && same.verdict == Verdict::Ready, "{:?}", same.reasons);
    let other = decision::view(&bike, Some(fitted.pair(13, 48)), None, ground::USUAL, read).expect("an answer");
    assert!(other.next_slack.is_some() && other.setup.front_teeth == 13 && other.fitted == fitted);
    assert_eq!(other.reasons, same.reasons, "what is ridden is what is fitted");
}
