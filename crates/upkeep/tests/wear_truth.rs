//! What is foretold of wear against sums worked out here in the open: closed forms, quadrature, plain enumeration.

use drive::slack::free;
use measure::{Length, Links};
use upkeep::wear::{
    Ahead, FirstDay, FirstReading, FirstVerdict, HoursKnown, Leg, Log, Losses, NarrowEnough, Process, Quantity,
    SlackMargin, Wear, first_day, last_through, outlook,
};

/// Area of the standard normal curve below.
fn below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / 2.0_f64.sqrt())
}

fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// The mean of a function of a standard normal number, by the trapezium rule.
fn mean_over_normal(steps: u32, f: impl Fn(f64) -> f64) -> f64 {
    let width = 16.0 / f64::from(steps);
    (0..=steps).map(|k| -8.0 + width * f64::from(k)).map(|z| density(z) * f(z) * width).sum()
}

fn close(one: f64, other: f64, within: f64) -> bool {
    (one - other).abs() <= within * one.abs().max(other.abs()).max(1e-6)
}

const PROCESS: Process = Process { start: (0.05, 0.04), rate: (0.012, 0.005), scatter: 0.02 };

fn first_reading(hours: HoursKnown) -> FirstReading {
    FirstReading {
        hours,
        elongation: (0.55, 0.06),
        limit_pct: 1.0,
        multiplier: 1.3,
        interval: 0.8,
        enough: NarrowEnough { ratio: 1.0, hours: 0.0 },
    }
}

/// One possible count of hours with its weight, and the wear that the reading then tells, in closed form.
struct Possible {
    hours: f64,
    weight: f64,
    now: (f64, f64),
    rate: (f64, f64),
    cov: f64,
}

impl Possible {
    fn of(reading: &FirstReading, hours: f64, share: f64) -> Self {
        let Process { start, rate, scatter } = PROCESS;
        let (y, u) = reading.elongation;
        let mean = start.0 + rate.0 * hours;
        let var = start.1.powi(2) + rate.1.powi(2) * hours * hours + scatter * scatter * hours;
        let with_rate = rate.1.powi(2) * hours;
        let all = var + u * u;
        Self {
            hours,
            weight: share * density((y - mean) / all.sqrt()) / all.sqrt(),
            now: (mean + var / all * (y - mean), var * u * u / all),
            rate: (rate.0 + with_rate / all * (y - mean), rate.1.powi(2) - with_rate * with_rate / all),
            cov: with_rate * u * u / all,
        }
    }

    fn over(&self, limit: f64, later: f64) -> f64 {
        let var = self.now.1 + 2.0 * later * self.cov + later * later * self.rate.1 + PROCESS.scatter.powi(2) * later;
        1.0 - below((limit - self.now.0 - self.rate.0 * later) / var.sqrt())
    }
}

/// Mean and standard deviation over what is possible, each with its own variance.
fn mixed(all: &[Possible], of: impl Fn(&Possible) -> (f64, f64)) -> (f64, f64) {
    let whole: f64 = all.iter().map(|one| one.weight).sum();
    let mean = all.iter().map(|one| one.weight * of(one).0).sum::<f64>() / whole;
    let square = all.iter().map(|one| one.weight * (of(one).1 + of(one).0.powi(2))).sum::<f64>() / whole;
    (mean, (square - mean * mean).sqrt())
}

fn agrees(found: &FirstDay, reading: &FirstReading, all: &[Possible], within: f64) {
    let whole: f64 = all.iter().map(|one| one.weight).sum();
    let over = |later: f64| all.iter().map(|one| one.weight * one.over(reading.limit_pct, later)).sum::<f64>() / whole;
    assert!(close(found.chance_over, over(0.0), within), "{} {}", found.chance_over, over(0.0));
    let tail = (1.0 - reading.interval) / 2.0;
    for (left, chance) in found.left.into_iter().zip([tail, 0.5, 1.0 - tail]) {
        let later = left.expect("it comes") * reading.multiplier;
        assert!(later > 0.0 && (over(later) - chance).abs() < within, "{later}: {} {chance}", over(later));
    }
    for (found, want) in [
        (found.now, mixed(all, |one| one.now)),
        (found.rate, mixed(all, |one| one.rate)),
        (found.hours, mixed(all, |one| (one.hours, 0.0))),
    ] {
        assert!(close(found.0, want.0, within) && close(found.1, want.1, within), "{found:?} {want:?}");
    }
}

#[test]
fn a_first_reading_weighs_each_count_of_hours_by_how_well_it_fits() {
    let guesses = vec![(20.0, 1.0), (35.0, 2.5), (60.0, 0.5)];
    let reading = first_reading(HoursKnown::OneOf(guesses.clone()));
    let all: Vec<Possible> = guesses.iter().map(|&(hours, weight)| Possible::of(&reading, hours, weight)).collect();
    agrees(&first_day(&PROCESS, &reading).expect("possible"), &reading, &all, 1e-9);
    // Any hours between two ends: as many counts as one likes, all alike.
    let reading = first_reading(HoursKnown::Between(18.0, 66.0));
    let all: Vec<Possible> =
        (0..2000).map(|k| Possible::of(&reading, 18.0 + 48.0 * (f64::from(k) + 0.5) / 2000.0, 1.0)).collect();
    agrees(&first_day(&PROCESS, &reading).expect("possible"), &reading, &all, 1e-6);
}

#[test]
fn hours_left_at_both_ends_are_those_of_a_chain_with_these_hours() {
    let ends = |hours: HoursKnown| first_day(&PROCESS, &first_reading(hours)).expect("possible").median_at_ends;
    let alone = |hours: f64| {
        let log = Log { hours: vec![hours], elongation_pct: vec![0.55], u_pct: vec![0.06], u_common_pct: 0.0 };
        outlook(&PROCESS, &log).wear.hours_to(1.0, 0.5).map(|left| left / 1.3)
    };
    assert_eq!(ends(HoursKnown::Between(18.0, 66.0)), [alone(18.0), alone(66.0)]);
    assert_eq!(ends(HoursKnown::OneOf(vec![(40.0, 1.0), (18.0, 1.0), (66.0, 2.0)])), [alone(18.0), alone(66.0)]);
    assert_eq!(ends(HoursKnown::Between(30.0, 30.0)), [alone(30.0); 2]);
}

#[test]
fn hours_left_are_known_up_to_the_width_and_the_ratio_asked_for() {
    let verdict = |enough: NarrowEnough| {
        let reading = FirstReading { enough, ..first_reading(HoursKnown::Between(18.0, 66.0)) };
        first_day(&PROCESS, &reading).expect("possible").verdict
    };
    let [low, _, high] = first_day(&PROCESS, &first_reading(HoursKnown::Between(18.0, 66.0))).expect("possible").left;
    let (low, high) = (low.expect("comes"), high.expect("comes"));
    assert_eq!(verdict(NarrowEnough { ratio: 0.0, hours: high - low }), FirstVerdict::Known);
    assert_eq!(verdict(NarrowEnough { ratio: 0.0, hours: (high - low) * (1.0 - 1e-9) }), FirstVerdict::Unknown);
    assert_eq!(verdict(NarrowEnough { ratio: high / low * (1.0 + 1e-12), hours: 0.0 }), FirstVerdict::Known);
    assert_eq!(verdict(NarrowEnough { ratio: high / low * (1.0 - 1e-9), hours: 0.0 }), FirstVerdict::Unknown);
}

#[test]
fn a_chain_that_may_be_over_its_limit_has_nothing_left_at_the_low_end_and_one_that_surely_is_nothing_at_all() {
    let at = |read: f64| {
        let reading = FirstReading {
            elongation: (read, 0.06),
            ..first_reading(HoursKnown::OneOf(vec![(60.0, 1.0), (80.0, 1.0)]))
        };
        first_day(&PROCESS, &reading).expect("possible")
    };
    let maybe = at(0.99);
    assert!(maybe.left[0] == Some(0.0) && maybe.left[2].is_some_and(|left| left > 0.0));
    assert_eq!((at(1.5).left, at(1.5).verdict), ([Some(0.0); 3], FirstVerdict::Over));
    // No hours explain it.
    let reading = FirstReading { elongation: (90.0, 0.06), ..first_reading(HoursKnown::Between(1.0, 2.0)) };
    assert_eq!(first_day(&PROCESS, &reading), None);
}

#[test]
fn a_reading_brings_what_deciding_by_it_saves_summed_over_what_it_may_show() {
    let losses = Losses { early: 3000.0, late: 8000.0 };
    let wearing = Wear { now: 0.7, rate: 0.015, now_var: 0.004, cov: 2e-5, rate_var: 1e-5, scatter: 0.02 };
    for quantity in [
        Quantity::constant(0.9, 0.15, 1.0),
        Quantity::constant(1.2, 0.3, 1.0),
        Quantity::wearing(&wearing, 5.0, 12.0, 1.0),
        Quantity::wearing(&wearing, 0.0, 3.0, 0.75),
    ] {
        for u in [0.03, 0.1, 0.4] {
            let found = quantity.after_reading(u, losses);
            let read_sd = (quantity.now.1 + u * u).sqrt();
            // What the reading will show, in standard deviations, and what is then believed of the end.
            let slope = quantity.cov / read_sd;
            let left = (quantity.end.1 - slope * slope).sqrt();
            let over = |z: f64| 1.0 - below((quantity.limit - quantity.end.0 - slope * z) / left);
            let loss = mean_over_normal(20_000, |z| (losses.late * over(z)).min(losses.early * (1.0 - over(z))));
            assert!(close(found.loss, loss, 1e-5), "{quantity:?} {u}: {} {loss}", found.loss);
            let sure = |z: f64| f64::from(u8::from(!(0.05..=0.95).contains(&over(z))));
            let decided = mean_over_normal(200_000, sure);
            assert!((found.chance_decided - decided).abs() < 1e-4, "{quantity:?} {u}: {decided}");
            let at = (found.turns_at - quantity.now.0) / read_sd;
            let balance = losses.late * over(at) - losses.early * (1.0 - over(at));
            assert!(balance.abs() < 1e-6, "{quantity:?} {u}: {balance}");
        }
    }
}

#[test]
fn a_wearing_chain_is_followed_from_its_last_reading_over_now_to_the_end() {
    let wear = Wear { now: 0.7, rate: 0.015, now_var: 0.004, cov: 2e-5, rate_var: 1e-5, scatter: 0.02 };
    let (since, until) = (5.0, 12.0);
    let found = Quantity::wearing(&wear, since, until, 1.0);
    let var = |hours: f64| 0.004 + 2.0 * hours * 2e-5 + hours * hours * 1e-5 + 4e-4 * hours;
    assert!(close(found.now.0, 0.7 + since * 0.015, 1e-12) && close(found.now.1, var(since), 1e-12));
    assert!(close(found.end.0, 0.7 + (since + until) * 0.015, 1e-12) && close(found.end.1, var(since + until), 1e-12));
    // The wander after now is the end's alone.
    let cov = 0.004 + (2.0 * since + until) * 2e-5 + since * (since + until) * 1e-5 + 4e-4 * since;
    assert!(close(found.cov, cov, 1e-12), "{} {cov}", found.cov);
    let over = found.chance_over();
    assert!(close(over, 1.0 - below((1.0 - found.end.0) / found.end.1.sqrt()), 1e-12));
    assert_eq!(found.without_reading(Losses { early: 1.0, late: 1e6 }), (true, 1.0 - over));
    assert_eq!(found.without_reading(Losses { early: 1e6, late: 1.0 }), (false, over));
    let even = Quantity::constant(1.0, 0.1, 1.0).without_reading(Losses::WRONG);
    assert_eq!(even, (false, 0.5), "of equals it is kept");
}

const WEAR: Wear = Wear { now: 0.6, rate: 0.02, now_var: 0.003, cov: 1e-5, rate_var: 2e-5, scatter: 0.02 };

fn margin() -> SlackMargin {
    SlackMargin {
        slack: Length::from_mm(84.0),
        most: Length::from_mm(92.0),
        span: Length::from_mm(620.0),
        station: 0.45,
        pitch: Length::from_mm(15.875),
        links: Links::new(118).expect("even"),
    }
}

#[test]
fn the_room_of_the_slack_is_the_growth_that_takes_it_to_the_most() {
    let margin = margin();
    let room = margin.room_pct();
    assert!(room > 0.0 && (margin.slack_after(room).mm() - 92.0).abs() < 1e-9);
    assert_eq!(margin.slack_after(0.0).mm().round(), 84.0);
    assert!((margin.slack_after(-1.0).mm() - 84.0).abs() < 1e-9, "shrinking is not shown");
    let grown = free::surplus(margin.span, margin.slack_after(0.1), margin.station)
        - free::surplus(margin.span, margin.slack, margin.station);
    assert!((grown.mm() - 0.001 * 118.0 * 15.875).abs() < 1e-9);
}

#[test]
fn chances_at_the_end_are_the_sum_over_how_hard_the_hours_may_turn_out() {
    let legs = [Leg { hours: 6.0, multiplier: 1.8, spread: 0.3 }, Leg { hours: 4.0, multiplier: 1.0, spread: 0.1 }];
    let margin = margin();
    let found = last_through(&WEAR, 1.0, &Ahead::of(&legs), Some(&margin), 0.9);
    let mean = 6.0 * 1.8 + 4.0;
    let spread = ((6.0_f64 * 1.8 * 0.3).powi(2) + 0.4_f64.powi(2)).sqrt() / mean;
    // Lognormal hours of that mean and spread.
    let s2 = (1.0 + spread * spread).ln();
    let hours = |z: f64| mean * (s2.sqrt() * z - s2 / 2.0).exp();
    let limit = mean_over_normal(4000, |z| {
        let h = hours(z);
        below((1.0 - WEAR.mean_after(h)) / WEAR.var_after(h).sqrt())
    });
    assert!((found.chances.limit - limit).abs() < 1e-7, "{} {limit}", found.chances.limit);
    let growth_var = |h: f64| WEAR.rate_var * h * h + 4e-4 * h;
    let room = margin.room_pct();
    let slack = mean_over_normal(4000, |z| {
        let h = hours(z);
        below((room - WEAR.rate * h) / growth_var(h).sqrt())
    });
    assert!((found.chances.slack - slack).abs() < 1e-7, "{} {slack}", found.chances.slack);
    // Both: given the growth, what is left open of the end.
    let both = mean_over_normal(200, |z| {
        let h = hours(z);
        let (sd, with_end) = (growth_var(h).sqrt(), WEAR.cov * h + growth_var(h));
        mean_over_normal(2000, |g| {
            if WEAR.rate * h + sd * g > room {
                return 0.0;
            }
            let end = WEAR.mean_after(h) + with_end / sd * g;
            below((1.0 - end) / (WEAR.var_after(h) - with_end * with_end / (sd * sd)).sqrt())
        })
    });
    assert!((found.chances.both - both).abs() < 2e-3, "{} {both}", found.chances.both);
    assert!(found.chances.both < found.chances.limit.min(found.chances.slack));
    let var = mean_over_normal(4000, |z| {
        WEAR.var_after(hours(z)) + (WEAR.mean_after(hours(z)) - WEAR.mean_after(mean)).powi(2)
    });
    assert!(close(found.end_sd_pct, var.sqrt(), 1e-7) && close(found.end_pct, 0.6 + 0.02 * mean, 1e-12));
    assert!(close(found.growth_pct, 0.02 * mean, 1e-12));
}

#[test]
fn for_the_sure_hours_the_chance_is_the_one_asked_for_and_none_are_foretold_beyond_ten_times_the_plan() {
    let legs = |scale: f64| {
        [
            Leg { hours: 3.0 * scale, multiplier: 1.8, spread: 0.3 },
            Leg { hours: 2.0 * scale, multiplier: 1.0, spread: 0.1 },
        ]
    };
    let through = |scale: f64, sure: f64, margin: Option<&SlackMargin>| {
        last_through(&WEAR, 1.0, &Ahead::of(&legs(scale)), margin, sure)
    };
    for margin in [None, Some(&margin())] {
        for sure in [0.99, 0.95, 0.6] {
            let hours = through(1.0, sure, margin).sure_h.expect("within ten times");
            let there = through(hours / 5.0, sure, margin);
            assert!((there.chances.both - sure).abs() < 1e-9, "{sure}: {}", there.chances.both);
            // The same hours, whatever part of them is planned.
            assert!(close(through(0.7, sure, margin).sure_h.expect("too"), hours, 1e-6));
            let tenth = through(hours / 5.0 / 10.0 * 1.001, sure, margin);
            assert!(tenth.sure_h.is_some() && through(hours / 5.0 / 10.0 * 0.999, sure, margin).sure_h.is_none());
        }
    }
    assert_eq!(through(1.0, 1.0 - 1e-14, None).sure_h, Some(0.0));
    let exact = [Leg { hours: 5.0, multiplier: 2.0, spread: 0.0 }];
    let found = last_through(&WEAR, 1.0, &Ahead::of(&exact), None, 0.9);
    assert_eq!(found.chances.limit, below((1.0 - WEAR.mean_after(10.0)) / WEAR.var_after(10.0).sqrt()));
    assert_eq!((found.chances.slack, found.chances.both), (1.0, found.chances.limit));
}
