//! Laws of bolted joints, adapters, stars and typed prices.

use measure::{Angle, Force, Length, Torque};
use proptest::prelude::*;
use upkeep::money::{Currency, minor_units};
use upkeep::torque::{
    Adapter, Band, Friction, FrictionBand, PropertyClass, Thread, Tightening, fallback, nut_factor_preload,
    nut_factor_torque, passes, setting, star_order, yield_limited_preload,
};

fn thread(diameter_mm: f64, share: f64) -> Thread {
    Thread::new(Length::from_mm(diameter_mm), Some(Length::from_mm(diameter_mm * share))).expect("below three tenths")
}

fn friction(both: f64, diameter_mm: f64) -> Friction {
    Friction { thread: both, head: both, contact: Length::from_mm(diameter_mm * 1.3) }
}

fn close(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * one.abs().max(other.abs()).max(1e-9)
}

proptest! {
    #[test]
    fn a_thread_grows_in_step_with_its_size(d in 2.0..30.0_f64, share in 0.05..0.29_f64, scale in 1.1..2.0_f64) {
        let (small, large) = (thread(d, share), thread(d * scale, share));
        prop_assert!(close(large.pitch_diameter() / small.pitch_diameter(), scale));
        prop_assert!(close(large.stress_area_mm2() / small.stress_area_mm2(), scale * scale));
    }

    #[test]
    fn torque_and_preload_undo_each_other(
        d in 4.0..24.0_f64, share in 0.08..0.25_f64, mu in 0.05..0.3_f64, preload in 100.0..50_000.0_f64, running in 0.0..5.0_f64,
    ) {
        let (thread, friction) = (thread(d, share), friction(mu, d));
        let (preload, running) = (Force::from_n(preload), Torque::from_nm(running));
        let tightening = Tightening::to(preload, &thread, &friction, running);
        let band = Band::of(tightening.torque, running, &thread, [friction, friction], 0.0);
        prop_assert!(close(band.low.n(), preload.n()) && close(band.high.n(), preload.n()));
        let short = nut_factor_torque(preload, thread.diameter(), tightening.nut_factor, running);
        prop_assert!(close(short.nm(), tightening.torque.nm()));
        prop_assert!(close(nut_factor_preload(short, thread.diameter(), tightening.nut_factor, running).n(), preload.n()));
    }

    #[test]
    fn more_friction_asks_for_more_torque_and_leaves_less_preload(
        d in 4.0..24.0_f64, share in 0.08..0.25_f64, low in 0.05..0.2_f64, more in 0.01..0.2_f64,
    ) {
        let thread = thread(d, share);
        let torque = |mu: f64| Tightening::to(Force::from_n(1000.0), &thread, &friction(mu, d), Torque::ZERO).torque;
        prop_assert!(torque(low) < torque(low + more));
        let preload = |mu: f64| yield_limited_preload(&thread, 640.0, 0.9, mu);
        prop_assert!(preload(low) > preload(low + more));
        let band = Band::of(Torque::from_nm(20.0), Torque::ZERO, &thread, [friction(low, d), friction(low + more, d)], 0.04);
        prop_assert!(band.scatter() > 1.0);
    }

    #[test]
    fn a_fallback_stays_below_three_quarters_of_the_proof_load(
        d in 4.0..15.0_f64, share in 0.08..0.25_f64, low in 0.05..0.2_f64, more in 0.0..0.2_f64,
    ) {
        let band = FrictionBand { low, high: low + more };
        for class in PropertyClass::ALL {
            let found = fallback(&thread(d, share), class, Length::from_mm(d * 1.3), band).expect("small enough");
            prop_assert!(found.set <= found.torque && found.set.nm() > 0.9 * found.torque.nm());
            prop_assert!(found.proof_low_pct <= found.proof_high_pct + 1e-9 && found.proof_high_pct <= 75.0);
        }
    }

    #[test]
    fn a_longer_adapter_in_line_sets_lower_and_turned_back_sets_higher(
        torque in 1.0..200.0_f64, wrench in 150.0..800.0_f64, extension in 1.0..60.0_f64,
    ) {
        let at = |deg: f64, by: f64| {
            let adapter = Adapter { wrench: Length::from_mm(wrench), extension: Length::from_mm(extension * by), angle: Angle::from_deg(deg) };
            setting(Torque::from_nm(torque), &adapter).expect("lever enough").nm()
        };
        prop_assert!(at(0.0, 1.2) < at(0.0, 1.0) && at(0.0, 1.0) < torque);
        prop_assert!(at(180.0, 1.2) > at(180.0, 1.0) && at(180.0, 1.0) > torque);
        prop_assert!(close(at(90.0, 1.0), torque));
    }

    #[test]
    fn every_pass_turns_every_bolt_once(bolts in 2_u32..=36) {
        for pass in passes(bolts, &[30.0, 70.0, 100.0]) {
            let mut order = pass.order;
            order.sort_unstable();
            prop_assert_eq!(order, (1..=bolts).collect::<Vec<_>>());
        }
        prop_assert_eq!(star_order(bolts)[0], 1);
    }

    #[test]
    fn a_typed_amount_comes_back_whole(amount in -9_007_199_254_740_991_i64..=9_007_199_254_740_991, comma in any::<bool>()) {
        for code in ["JPY", "EUR", "KWD"] {
            let currency = Currency::of(code).expect("a currency");
            let scale = 10_u64.pow(currency.decimals());
            let (whole, rest) = (amount.unsigned_abs() / scale, amount.unsigned_abs() % scale);
            let sign = if amount < 0 { "-" } else { "" };
            let mark = if comma { "," } else { "." };
            let width = usize::try_from(currency.decimals()).expect("small");
            let text = if width == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}{mark}{rest:0width$}") };
            prop_assert_eq!(minor_units(&text, currency), Ok(amount));
        }
    }
}
