//! Laws that wear, lives, the set and dates keep whatever the numbers are.

use measure::{Length, Teeth};
use proptest::prelude::*;
use upkeep::due::{Amount, Bench, Counter, Habit, Recurring, group};
use upkeep::life::{Lives, PlannedChange, Weibull, fit, replace_at, weibayes};
use upkeep::replace::{ACTIONS, Fate, Part, SetPolicy, SetSheet, Shelf, ShelfItem, over_range};
use upkeep::wear::{
    Ahead, AxleLimits, FirstReading, HoursKnown, Instrument, Leg, Log, Losses, NarrowEnough, PlaceVerdict, Places,
    Process, Quantity, Reading, Run, Wear, first_day, judge, last_through, limit_for_teeth, outlook, tight_spot,
};

const CALLIPER: Instrument = Instrument {
    pitch: Length::from_mm(15.875),
    largest_error: Length::from_mm(0.05),
    resolution: Length::from_mm(0.01),
    repeat: Length::from_mm(0.15),
    repeat_dof: 10.0,
};

fn process() -> impl Strategy<Value = Process> {
    ((0.0..0.2, 0.01..0.3), (0.002..0.05, 0.001..0.03), 0.002..0.05).prop_map(|(start, rate, scatter)| Process {
        start,
        rate,
        scatter,
    })
}

fn log() -> impl Strategy<Value = Log> {
    prop::collection::vec((0.0..12.0_f64, -0.1..1.5_f64, 0.01..0.2_f64), 0..7).prop_map(|rows| {
        let mut hours = 0.0;
        let mut log = Log::default();
        for (step, read, u) in rows {
            hours += step;
            log.hours.push(hours);
            log.elongation_pct.push(read);
            log.u_pct.push(u);
        }
        log
    })
}

fn wear() -> impl Strategy<Value = Wear> {
    (process(), log()).prop_map(|(process, log)| outlook(&process, &log).wear)
}

/// Hours with "never" last.
fn late(hours: Option<f64>) -> f64 {
    hours.unwrap_or(f64::INFINITY)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(128) })]

    #[test]
    fn more_wear_never_gives_more_hours_left(wear in wear(), more in 0.0..1.0_f64, chance in 0.02..0.98_f64) {
        let worse = Wear { now: wear.now + more, ..wear };
        prop_assert!(late(worse.hours_to(1.0, chance)) <= late(wear.hours_to(1.0, chance)) + 1e-9);
        let faster = Wear { rate: wear.rate + more / 20.0, ..wear };
        prop_assert!(late(faster.hours_to(1.0, chance)) <= late(wear.hours_to(1.0, chance)) + 1e-9);
    }

    #[test]
    fn a_surer_question_waits_longer_and_has_the_chance_asked_for(wear in wear(), low in 0.02..0.5_f64, more in 0.0..0.45_f64) {
        let (early, sure) = (wear.hours_to(1.0, low), wear.hours_to(1.0, low + more));
        prop_assert!(late(early) <= late(sure) + 1e-9);
        if let Some(hours) = sure.filter(|&hours| hours > 0.0) {
            prop_assert!((wear.chance_over(1.0, hours) - low - more).abs() < 1e-7);
        }
    }

    #[test]
    fn a_higher_reading_is_believed_and_a_useless_one_is_not(process in process(), log in log(), more in 0.0..0.5_f64) {
        prop_assume!(!log.hours.is_empty());
        let mut higher = log.clone();
        if let Some(last) = higher.elongation_pct.last_mut() {
            *last += more;
        }
        let (one, other) = (outlook(&process, &log).wear, outlook(&process, &higher).wear);
        prop_assert!(other.now >= one.now - 1e-12 && other.rate >= one.rate - 1e-12);
        prop_assert!((other.now_var - one.now_var).abs() < 1e-12);
        let mut blurred = log.clone();
        blurred.hours.push(log.hours[log.hours.len() - 1]);
        blurred.elongation_pct.push(9.0);
        blurred.u_pct.push(1e6);
        let same = outlook(&process, &blurred).wear;
        prop_assert!((same.now - one.now).abs() < 1e-6 && (same.rate - one.rate).abs() < 1e-6);
    }

    #[test]
    fn readings_of_one_hour_may_come_in_any_order(process in process(), reads in prop::collection::vec(0.0..1.0_f64, 2..5), common in 0.0..0.1_f64) {
        let log = |reads: Vec<f64>| Log {
            hours: vec![12.0; reads.len()], u_pct: vec![0.06; reads.len()], elongation_pct: reads, u_common_pct: common,
        };
        let mut turned = reads.clone();
        turned.reverse();
        let (one, other) = (outlook(&process, &log(reads)).wear, outlook(&process, &log(turned)).wear);
        prop_assert!((one.now - other.now).abs() < 1e-11 && (one.rate - other.rate).abs() < 1e-12);
    }

    #[test]
    fn places_may_be_named_in_any_order(mut lengths in prop::collection::vec(253.5..258.0_f64, 1..6), limit_pct in 0.2..3.0_f64) {
        let judged = |lengths: &[f64]| {
            let lengths = lengths.iter().map(|&mm| vec![Length::from_mm(mm)]).collect();
            judge(&Reading { lengths, pitches: 16, limit_pct }, &CALLIPER)
        };
        let one = judged(&lengths);
        lengths.reverse();
        let other = judged(&lengths);
        prop_assert_eq!(one.verdict, other.verdict);
        prop_assert!((one.mean_pct - other.mean_pct).abs() < 1e-12 && (one.chance_worn - other.chance_worn).abs() < 1e-15);
        prop_assert!((one.places_pct[one.worst] - other.places_pct[other.worst]).abs() < 1e-15);
    }

    #[test]
    fn a_longer_chain_is_never_less_worn_and_teeth_never_raise_a_limit(mm in 254.0..258.0_f64, more in 0.0..2.0_f64, rear in 10..120_u16, limit in 0.1..5.0_f64) {
        let chance = |mm: f64| {
            let reading = Reading { lengths: vec![vec![Length::from_mm(mm)]], pitches: 16, limit_pct: limit };
            judge(&reading, &CALLIPER).chance_worn
        };
        prop_assert!(chance(mm + more) >= chance(mm));
        prop_assert!(Teeth::new(rear).is_none_or(|rear| limit_for_teeth(limit, rear) <= limit));
    }

    #[test]
    fn unevenness_does_not_depend_on_which_place_comes_first(slack in prop::collection::vec(5.0..90.0_f64, 2..12), by in 0..11_usize) {
        let run = Run {
            span: Length::from_mm(620.0), station: 0.5, pitch: Length::from_mm(15.875),
            front: Teeth::new(14).unwrap(), rear: Teeth::new(48).unwrap(),
        };
        let limits = AxleLimits { care: Length::from_mm(0.3), stop: Length::from_mm(0.8) };
        let found = |slack: &[f64]| {
            let slack = slack.iter().map(|&mm| Length::from_mm(mm)).collect();
            tight_spot(&Places { slack, periods: None }, &run, limits)
        };
        let mut turned = slack.clone();
        turned.rotate_left(by % slack.len());
        let (one, other) = (found(&slack), found(&turned));
        prop_assert_eq!(one.verdict, other.verdict);
        prop_assert!((one.axle_range - other.axle_range).mm().abs() < 1e-12);
    }

    #[test]
    fn a_limit_is_passed_only_beyond_it(slack in prop::collection::vec(5.0..90.0_f64, 2..6)) {
        let run = Run {
            span: Length::from_mm(620.0), station: 0.5, pitch: Length::from_mm(15.875),
            front: Teeth::new(14).unwrap(), rear: Teeth::new(48).unwrap(),
        };
        let found = |care: Length, stop: Length| {
            let slack = slack.iter().map(|&mm| Length::from_mm(mm)).collect();
            tight_spot(&Places { slack, periods: None }, &run, AxleLimits { care, stop })
        };
        let range = found(Length::ZERO, Length::ZERO).axle_range;
        let less = range - Length::from_mm(1e-6);
        prop_assert_eq!(found(range, range).verdict, PlaceVerdict::Even);
        prop_assert_eq!(found(less, range).verdict, PlaceVerdict::Care);
        prop_assert_eq!(found(less, less).verdict, PlaceVerdict::Stop);
    }

    #[test]
    fn hours_known_exactly_are_the_forecast_of_one_reading(process in process(), hours in 1.0..80.0_f64, read in 0.05..0.9_f64) {
        let reading = FirstReading {
            hours: HoursKnown::Between(hours, hours), elongation: (read, 0.06), limit_pct: 1.0, multiplier: 1.0,
            interval: 0.9, enough: NarrowEnough { ratio: 4.0, hours: 5.0 },
        };
        let log = Log { hours: vec![hours], elongation_pct: vec![read], u_pct: vec![0.06], u_common_pct: 0.0 };
        let wear = outlook(&process, &log).wear;
        let found = first_day(&process, &reading);
        prop_assume!(found.is_some());
        let found = found.unwrap();
        for (left, chance) in found.left.into_iter().zip([0.05, 0.5, 0.95]) {
            match (left, wear.hours_to(1.0, chance)) {
                (Some(left), Some(want)) => prop_assert!((left - want).abs() < 1e-6 * want.max(1.0)),
                (left, want) => prop_assert_eq!(left, want),
            }
        }
    }

    #[test]
    fn a_reading_never_costs_expected_loss_and_a_better_one_saves_more(
        mean in 0.0..2.0_f64, sd in 0.02..0.8_f64, u in 0.01..1.0_f64, early in 10.0..1e4_f64, late in 10.0..1e4_f64,
    ) {
        let quantity = Quantity::constant(mean, sd, 1.0);
        let losses = Losses { early, late };
        let without = quantity.without_reading(losses).1;
        let (coarse, fine) = (quantity.after_reading(u, losses).loss, quantity.after_reading(u / 2.0, losses).loss);
        let slack = 1e-9 * early.max(late);
        prop_assert!(coarse <= without + slack && fine <= coarse + slack);
    }

    #[test]
    fn a_longer_ride_is_never_surer(wear in wear(), hours in 0.5..20.0_f64, more in 0.0..20.0_f64, spread in 0.0..0.5_f64) {
        prop_assume!(wear.rate > 0.0 && wear.now < 0.9);
        let through = |hours: f64| {
            last_through(&wear, 1.0, &Ahead::of(&[Leg { hours, multiplier: 1.5, spread }]), None, 0.95)
        };
        let (short, long) = (through(hours), through(hours + more));
        prop_assert!((short.chances.both - short.chances.limit).abs() < 1e-15);
        if short.chances.limit > 0.5 && wear.rate > 2.0 * wear.rate_var.sqrt() {
            prop_assert!(long.chances.limit <= short.chances.limit + 1e-9);
        }
        prop_assert!(long.growth_pct >= short.growth_pct);
    }

    #[test]
    fn more_rides_mean_an_earlier_date(rides in 0..40_u32, more in 1..20_u32, left in 1..30_u32, sd in 0.0..1.0_f64) {
        let date = |rides: u32, counter: Counter| counter.date(&Habit::from_window(1.0, 10.0, rides, 90.0), 30.0);
        let amount = Counter::Amount(Amount { left: f64::from(left) * 2.0, per_ride: 2.0, sd, rides_known: 12.0 });
        for counter in [Counter::Rides(f64::from(left)), amount] {
            let (seldom, often) = (date(rides, counter), date(rides + more, counter));
            prop_assert!(late(often.median) <= late(seldom.median) && often.within >= seldom.within);
            prop_assert!(late(often.low) <= late(often.median) && late(often.median) <= late(often.high));
        }
    }
}

fn lives() -> impl Strategy<Value = Lives> {
    (prop::collection::vec(10.0..200.0_f64, 2..9), prop::collection::vec(10.0..200.0_f64, 0..6))
        .prop_map(|(ended, running)| Lives { ended, running })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(96) })]

    #[test]
    fn lives_in_other_units_give_the_same_shape(lives in lives(), unit in 0.01..1000.0_f64) {
        let scaled = |lives: &[f64]| lives.iter().map(|hours| hours * unit).collect();
        let other = Lives { ended: scaled(&lives.ended), running: scaled(&lives.running) };
        let (one, two) = (fit(&lives, 0.1, 0.9), fit(&other, 0.1, 0.9));
        prop_assume!(one.is_ok());
        let (one, two) = (one.unwrap(), two.unwrap());
        prop_assert!((one.fitted.shape / two.fitted.shape - 1.0).abs() < 1e-9);
        prop_assert!((two.life.low / one.life.low / unit - 1.0).abs() < 1e-6);
        prop_assert!(one.life.low <= one.fitted.life(0.1) && one.fitted.life(0.1) <= one.life.high);
    }

    #[test]
    fn a_life_that_runs_on_raises_the_bound(lives in lives(), more in 1.0..100.0_f64, shape in 0.5..8.0_f64) {
        let mut longer = lives.clone();
        longer.running.push(more);
        let (one, other) = (weibayes(&lives, shape, 0.9), weibayes(&longer, shape, 0.9));
        prop_assert!(other.low.scale >= one.low.scale);
        prop_assert!(one.likeliest.is_some_and(|likeliest| one.low.scale < likeliest.scale));
    }

    #[test]
    fn a_planned_change_never_costs_more_than_none(shape in 0.3..8.0_f64, scale in 5.0..500.0_f64, planned in 1.0..1e4_f64, failed in 1.0..1e5_f64) {
        let policy = replace_at(&Weibull { shape, scale }, PlannedChange { planned, failed });
        prop_assert!(policy.rate <= policy.run_to_limit * (1.0 + 1e-12));
        prop_assert!(policy.at.is_none_or(|at| at > 0.0 && at <= 5.0 * scale * (1.0 + 1e-12)));
    }
}

fn sheet() -> impl Strategy<Value = SetSheet> {
    let lives = (20.0..200.0_f64, 20.0..200.0_f64, 20.0..300.0_f64);
    let prices = (500.0..2e4_f64, 500.0..1e4_f64, 500.0..2e4_f64);
    let rest = (0.0..1e4_f64, 0.0..1e5_f64, 0.0..0.1_f64, 0.0..4.0_f64, 0.0..3.0_f64);
    (4..7_usize, 0.2..6.0_f64, lives, prices, rest).prop_map(|(levels, block_h, life, price, rest)| SetSheet {
        levels,
        block_h,
        life_h: life.into(),
        price: price.into(),
        labour: rest.0,
        trail: rest.1,
        trail_chance: rest.2,
        coupling: rest.3,
        wear_back: rest.4,
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]

    #[test]
    fn no_rule_beats_the_policy_and_no_action_beats_the_best(sheet in sheet(), at in (0..4_usize, 0..4_usize, 0..4_usize)) {
        let policy = SetPolicy::solve(sheet);
        let slack = 1.0 + 1e-9;
        prop_assert!(policy.per_h() <= policy.each_at_limit_per_h() * slack);
        prop_assert!(policy.per_h() <= policy.all_at_limit_per_h() * slack);
        let advice = policy.advice(at.into());
        prop_assert!(advice.lost.iter().flatten().all(|lost| *lost >= 0.0));
        prop_assert!(advice.lost[advice.best].is_some_and(|lost| lost < 1e-6 * policy.per_h().max(1.0)));
        let levels: [usize; 3] = at.into();
        for (action, lost) in ACTIONS.iter().zip(advice.lost) {
            let rides_worn = levels.iter().zip(action).any(|(level, fate)| level + 1 == sheet.levels && *fate == Fate::Keep);
            prop_assert_eq!(lost.is_none(), rides_worn);
        }
    }

    #[test]
    fn a_shelf_is_never_worth_less_than_nothing_nor_more_than_its_parts_new(sheet in sheet(), at in (0..4_usize, 0..4_usize, 0..4_usize), level in 0..4_usize, part in 0..3_usize) {
        let policy = SetPolicy::solve(sheet);
        let mut items = [None; 3];
        items[part] = Some(ShelfItem { level, price: 0.0 });
        let choice = policy.choose(at.into(), &[], Shelf { items, lasts_h: 200.0 });
        let slack = 1e-6 * sheet.price[part].max(1.0);
        prop_assert!(choice.shelf_worth >= -slack && choice.shelf_worth <= sheet.price[part] + slack);
        prop_assert!(choice.change_costs.abs() < 1e-9);
        let forced = policy.choose(at.into(), &[Part::Rear], Shelf { items, lasts_h: 200.0 });
        prop_assert!(forced.change_costs >= 0.0 && forced.best[2] != Fate::Keep);
        let off_worth = policy.off_worth(at.into(), &choice, 200.0);
        prop_assert!(off_worth.iter().flatten().all(|worth| *worth >= -slack));
    }

    #[test]
    fn a_range_of_one_level_is_that_level(sheet in sheet(), at in (0..4_usize, 0..4_usize, 0..4_usize)) {
        let policies = [SetPolicy::solve(sheet)];
        let levels: [usize; 3] = at.into();
        let found = over_range(&policies, &levels.map(|level| (level, level)), &[]);
        let advice = policies[0].advice(levels);
        prop_assert_eq!(found.best, Some(advice.best));
        prop_assert_eq!(found.corners.len(), 1);
        for (index, lost) in found.most_lost {
            prop_assert_eq!(lost, advice.lost[index]);
        }
    }

    #[test]
    fn grouping_costs_no_more_than_any_habit_and_leaves_out_nothing_due(
        jobs in prop::collection::vec((1..8_u8, 0..9_u32, 0..30_u32, prop::collection::vec(any::<bool>(), 3)), 1..6),
        access in prop::collection::vec(0..30_u32, 3), base in 0..30_u32, horizon in 1..16_u32,
    ) {
        let jobs: Vec<Recurring> = jobs.into_iter().map(|(interval, age, cost, needs)| Recurring {
            interval, age, cost: f64::from(cost) * 100.0, access: (0..3).filter(|&place| needs[place]).collect(),
        }).collect();
        let bench = Bench { jobs, access: access.into_iter().map(|price| f64::from(price) * 100.0).collect(), base: f64::from(base) * 100.0, horizon };
        let found = group(&bench);
        prop_assert!(found.cost <= found.greedy + 1e-6 && found.cost <= found.each_when_due + 1e-6);
        prop_assert!(found.unproved == 0.0);
        let due = (0..bench.jobs.len()).filter(|&job| bench.jobs[job].age >= u32::from(bench.jobs[job].interval));
        prop_assert!(due.clone().all(|job| found.now.contains(&job)));
        prop_assert!(due.count() > 0 || found.now.is_empty());
    }
}

#[test]
fn a_first_reading_misses_by_nothing_what_chains_of_its_hours_read_and_twice_as_far_off_by_twice_as_much() {
    let process = Process { start: (0.05, 0.05), rate: (0.012, 0.005), scatter: 0.01 };
    let misfit = |read: f64| {
        let reading = FirstReading {
            hours: HoursKnown::Between(30.0, 30.0),
            elongation: (read, 0.06),
            limit_pct: 1.0,
            multiplier: 1.0,
            interval: 0.9,
            enough: NarrowEnough { ratio: 4.0, hours: 5.0 },
        };
        first_day(&process, &reading).expect("some hours could have given it").misfit
    };
    // 30 h at the middle rate, from the middle start.
    let usual = 0.05 + 30.0 * 0.012;
    assert!(misfit(usual) < 1e-9, "{}", misfit(usual));
    for off in [0.1, 0.25] {
        let (below, above, further) = (misfit(usual - off), misfit(usual + off), misfit(usual + 2.0 * off));
        assert!((above - below).abs() < 1e-9 && (further - 2.0 * above).abs() < 1e-9, "{below} {above} {further}");
    }
}
