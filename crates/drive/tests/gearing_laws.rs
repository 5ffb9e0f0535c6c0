//! Laws of gearing, curve, air and season kit that hold for any input.

use std::collections::{BTreeMap, BTreeSet};

use drive::engine::{Air, AirGiven, Curve, power_loss};
use drive::gearing::{
    Change, DriveLine, Gearbox, Pair, PairSet, Puller, Ratio, Season, Triple, equal_pairs, match_speed, match_thrust,
    near_pairs, rpm_at, speed_kmh, swap,
};
use measure::{Links, Teeth};
use proptest::prelude::*;

fn pair() -> impl Strategy<Value = Pair> {
    (8..=25_u16, 20..=80_u16).prop_map(|(front, rear)| Pair::of(front, rear).expect("in range"))
}

fn set() -> PairSet {
    let teeth = |count| Teeth::new(count).expect("in range");
    PairSet::new([teeth(8), teeth(25)], [teeth(20), teeth(80)]).expect("not upside down")
}

fn gearbox() -> impl Strategy<Value = Gearbox> {
    let mesh = (5..=40_u64, 20..=120_u64).prop_map(|(driver, driven)| Ratio::of_teeth(driver, driven).expect("teeth"));
    (mesh.clone(), prop::collection::btree_set(mesh, 1..=8)).prop_map(|(primary, gears)| {
        Gearbox::new(primary, gears.into_iter().rev().collect()).expect("a set falls when read backwards")
    })
}

fn curve() -> impl Strategy<Value = Curve> {
    prop::collection::btree_map(500..15_000_u32, 1..500_u32, 3..12).prop_map(|points| {
        let points = points.into_iter().map(|(rpm, nm)| [f64::from(rpm), f64::from(nm) / 5.0]).collect();
        Curve::new(points).expect("rpm rises")
    })
}

fn near(a: f64, b: f64, rel: f64) -> bool {
    (a - b).abs() <= rel * a.abs().max(b.abs()).max(1e-300)
}

proptest! {
    #[test]
    fn speed_and_rpm_invert(rpm in 1.0..25_000.0_f64, total in 1.0..200.0_f64, roll in 0.5..3.5_f64, slip in 0.0..0.5_f64) {
        let speed = speed_kmh(rpm, total, roll, slip);
        prop_assert!(near(rpm_at(speed, total, roll, slip), rpm, 1e-12));
        prop_assert!(near(speed_kmh(rpm, total, 2.0 * roll, slip), 2.0 * speed, 1e-12));
    }

    #[test]
    fn a_decimal_ratio_is_read_back(value in 0.2..10.0_f64) {
        let ratio = Ratio::of_decimal(value).expect("positive");
        prop_assert!(near(ratio.value(), value, 1e-15));
    }

    #[test]
    fn ratios_fall_through_the_gears_and_rise_with_rear_teeth(gearbox in gearbox(), pair in pair()) {
        let totals = gearbox.totals(pair);
        prop_assert!(totals.windows(2).all(|two| two[0] > two[1]));
        if let Some(shorter) = Pair::of(pair.front.count(), pair.rear.count() + 1) {
            prop_assert!(gearbox.totals(shorter)[0] > totals[0]);
        }
        for (total, inner) in totals.iter().zip(gearbox.inner()) {
            prop_assert!(near(*total, inner * pair.rear.real() / pair.front.real(), 1e-14));
        }
    }

    #[test]
    fn a_swap_there_and_back_is_none(a in pair(), b in pair()) {
        let (there, back) = (swap(a, b), swap(b, a));
        let whole = |pct: f64| 1.0 + pct / 100.0;
        prop_assert!(near(whole(there.speed_pct) * whole(back.speed_pct), 1.0, 1e-12));
        prop_assert!(near(whole(there.speed_pct) * whole(there.thrust_pct), 1.0, 1e-12));
        prop_assert!(near(there.speed_pct, back.thrust_pct, 1e-9) || there.speed_pct.abs() < 1e-9);
        prop_assert!((there.links_change + back.links_change).abs() < 1e-12);
        prop_assert_eq!(a.ratio() == b.ratio(), there.speed_pct == 0.0);
    }

    #[test]
    fn equal_pairs_are_symmetric_and_never_near(a in pair(), limit in 0.0..20.0_f64) {
        let equal = equal_pairs(a, &set());
        for b in &equal {
            prop_assert!(equal_pairs(*b, &set()).contains(&a));
            prop_assert_eq!(a.reduced(), b.reduced());
        }
        let near = near_pairs(a, &set(), limit);
        prop_assert!(near.iter().all(|near| near.pct.abs() <= limit && !equal.contains(&near.pair) && near.pair != a));
        prop_assert!(near.windows(2).all(|two| two[0].pct.abs() <= two[1].pct.abs()));
        let count = set().pairs().filter(|b| {
            let pct = 100.0 * (b.ratio().value() / a.ratio().value() - 1.0);
            b.ratio() != a.ratio() && pct.abs() < limit - 1e-9
        }).count();
        prop_assert!(near.len() >= count);
    }

    #[test]
    fn a_curve_never_leaves_its_neighbouring_points(
        points in prop::collection::btree_map(500..15_000_u32, 0..500_u32, 3..12),
        part in 0.0..1.0_f64,
    ) {
        let points: Vec<[f64; 2]> = points.into_iter().map(|(rpm, nm)| [f64::from(rpm), f64::from(nm) / 5.0]).collect();
        let curve = Curve::new(points.clone()).expect("rpm rises");
        for two in points.windows(2) {
            let rpm = two[0][0] + part * (two[1][0] - two[0][0]);
            let (low, high) = (two[0][1].min(two[1][1]), two[0][1].max(two[1][1]));
            let torque = curve.torque_nm(rpm);
            prop_assert!(torque >= low - 1e-9 && torque <= high + 1e-9);
            prop_assert!(torque >= curve.floor_nm(points[0][0]) - 1e-9);
            prop_assert!(near(curve.torque_nm(two[0][0]), two[0][1], 1e-12) || two[0][1] == 0.0);
        }
    }

    #[test]
    fn power_points_and_torque_points_are_one_curve(curve in curve(), rpm in 500.0..15_000.0_f64) {
        let knots = [curve.first_rpm(), f64::midpoint(curve.first_rpm(), curve.last_rpm()), curve.last_rpm()];
        let torque = knots.map(|rpm| [rpm, curve.torque_nm(rpm)]);
        let power = torque.map(|[rpm, nm]| [rpm, nm * rpm * std::f64::consts::PI / 30_000.0]);
        let (a, b) = (Curve::new(torque.to_vec()), Curve::from_power(&power));
        let (a, b) = (a.expect("rises"), b.expect("rises"));
        prop_assert!((a.torque_nm(rpm) - b.torque_nm(rpm)).abs() < 1e-9);
    }

    #[test]
    fn the_same_bike_matches_itself(gearbox in gearbox(), pair in pair(), curve in curve(), roll in 1.5..2.5_f64) {
        let line = DriveLine { gearbox: &gearbox, rollout_m: roll };
        let weights = vec![1.0; gearbox.gears().len()];
        let matched = match_speed((line, pair), line, &weights, &set());
        prop_assert!(near(matched.ideal_ratio, pair.ratio().value(), 1e-12));
        prop_assert_eq!(matched.pairs[0].pair.ratio(), pair.ratio());
        let pull = Puller { curve: &curve, max_rpm: curve.last_rpm(), eta: 0.93, rollout_m: roll };
        let own = match_thrust(((&gearbox, pull), pair), (&gearbox, pull), &weights, &set(), (None, None), 1.0);
        if let Ok((own, _)) = own {
            prop_assert!(own.pairs[0].thrust.is_some_and(|thrust| thrust.mismatch_pct < 1e-6));
        }
    }

    #[test]
    fn air_thins_with_height_and_moist_air_is_lighter(height in -2000.0..10_900.0_f64, humidity in 1.0..100.0_f64) {
        let at = |altitude_m, humidity_pct| {
            Air::of(&AirGiven { altitude_m: Some(altitude_m), humidity_pct, ..AirGiven::default() }).expect("air")
        };
        let (low, high, moist) = (at(height, 0.0), at(height + 100.0, 0.0), at(height, humidity));
        prop_assert!(high.density_kgm3() < low.density_kgm3());
        prop_assert!(moist.density_kgm3() < low.density_kgm3());
        prop_assert!(power_loss(&high).sae_cf > power_loss(&low).sae_cf);
        prop_assert!(near(moist.dry_pressure_kpa() + moist.vapour_kpa(), low.pressure_kpa(), 1e-12));
    }
}

/// Parts to buy, minutes.
type Point = (usize, u32);

/// Every assignment of options to rides, tried one by one.
fn exhaustive(season: &Season) -> Vec<Point> {
    let counts = |triple: &Triple| [triple.pair.front.count(), triple.pair.rear.count(), triple.links.count()];
    let options: Vec<Vec<[u16; 3]>> = season
        .rides
        .iter()
        .map(|ride| season.fits.iter().filter(|fit| ride.contains(&fit.pair)).map(counts).collect::<Vec<_>>())
        .filter(|options: &Vec<_>| !options.is_empty())
        .collect();
    let owned = [&season.owned_front, &season.owned_rear, &season.owned_links];
    let fitted = season.fitted.as_ref().map(counts);
    let minutes = [season.change.front_min, season.change.rear_min, season.change.links_min].map(u32::from);
    let mut least: BTreeMap<usize, u32> = BTreeMap::new();
    let all: usize = options.iter().map(Vec::len).product();
    for mut code in 0..all {
        let mut plan = Vec::new();
        for options in &options {
            plan.push(options[code % options.len()]);
            code /= options.len();
        }
        if plan.iter().map(|option| option[2]).collect::<BTreeSet<_>>().len() > season.most_chains {
            continue;
        }
        let buy = (0..3).map(|k| {
            let used: BTreeSet<u16> = plan.iter().map(|option| option[k]).collect();
            used.iter().filter(|x| !owned[k].contains(x) && fitted.is_none_or(|fitted| fitted[k] != **x)).count()
        });
        let steps = fitted.into_iter().chain(plan.iter().copied()).collect::<Vec<_>>();
        let cost = steps.windows(2).map(|two| {
            let differ = (0..3).filter(|k| two[0][*k] != two[1][*k]).map(|k| minutes[k]).sum::<u32>();
            if two[0] == two[1] { 0 } else { differ + u32::from(season.change.settle_min) }
        });
        let (buy, cost): (usize, u32) = (buy.sum(), cost.sum());
        least.entry(buy).and_modify(|least| *least = cost.min(*least)).or_insert(cost);
    }
    let mut low = u32::MAX;
    least
        .into_iter()
        .filter(|(_, cost)| {
            *cost < low && {
                low = *cost;
                true
            }
        })
        .collect()
}

fn season() -> impl Strategy<Value = Season> {
    let triple = || {
        (12..=14_u16, 47..=50_u16, 110..=112_u16).prop_map(|(front, rear, links)| Triple {
            pair: Pair::of(front, rear).expect("teeth"),
            links: Links::new(links).expect("links"),
        })
    };
    let ride =
        prop::collection::vec((12..=14_u16, 47..=50_u16).prop_map(|(f, r)| Pair::of(f, r).expect("teeth")), 1..4);
    let change = (0..60_u16, 0..60_u16, 0..60_u16, 0..60_u16)
        .prop_map(|(front_min, rear_min, links_min, settle_min)| Change { front_min, rear_min, links_min, settle_min });
    let owned = (prop::collection::vec(12..=14_u16, 0..2), prop::collection::vec(47..=50_u16, 0..2));
    (
        prop::collection::vec(ride, 1..5),
        prop::collection::btree_set(triple(), 1..14),
        prop::option::of(triple()),
        owned,
        1..=3_usize,
        change,
    )
        .prop_map(|(rides, fits, fitted, (owned_front, owned_rear), most_chains, change)| Season {
            rides,
            fits: fits.into_iter().collect(),
            fitted,
            owned_front,
            owned_rear,
            owned_links: vec![111],
            most_chains,
            change,
        })
}

proptest! {
    #[test]
    fn the_frontier_of_kits_is_that_of_every_assignment(season in season()) {
        let plan = season.plan().expect("few parts");
        let points: Vec<Point> = plan.kits.iter().map(|kit| (kit.pieces, kit.minutes)).collect();
        let all_bare = plan.uncovered.len() == season.rides.len();
        prop_assert_eq!(points, if all_bare { Vec::new() } else { exhaustive(&season) });
        for kit in &plan.kits {
            let mut last = season.fitted.map(|fit| [fit.pair.front.count(), fit.pair.rear.count(), fit.links.count()]);
            let changes = kit.plan.iter().flatten().filter(|option| last.replace(**option).is_some_and(|last| last != **option));
            prop_assert_eq!(u32::try_from(changes.count()).expect("few"), kit.changes);
        }
    }
}
