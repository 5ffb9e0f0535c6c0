//! Laws that hold for any bike: inverse pairs, monotone, mirror and scale, closed form against hull, margin kept.

use drive::slack::gap::{self, GapPlace};
use drive::slack::required::{self, Reading, StandAndLine, Verdict};
use drive::slack::tightest::tightest;
use drive::slack::travel::through;
use drive::slack::{Layout, Run, Sheet, Slider, Swing, axle, free, outline, stance};
use measure::{Angle, Elongation, Force, Length, Links, Teeth};
use proptest::prelude::*;

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

fn deg(value: f64) -> Angle {
    Angle::from_deg(value)
}

/// Sheets of bikes that could be built: sprockets apart, slider clear of being swallowed.
fn sheets() -> impl Strategy<Value = Sheet> {
    let shaft = (20.0..115.0_f64, -45.0..45.0_f64, 430.0..690.0_f64);
    let chain = (prop::sample::select(vec![12.7, 15.875]), 10_u16..20, 34_u16..56, -0.2..3.0_f64);
    let slider = prop::option::weighted(0.6, (-20.0..140.0_f64, -15.0..30.0_f64, 18.0..48.0_f64));
    (shaft, chain, slider).prop_filter_map(
        "parts inside each other",
        |((x, z, arm), (pitch, front, rear, worn), slider)| {
            let sheet = Sheet {
                countershaft_x: mm(x),
                countershaft_z: mm(z),
                arm: mm(arm),
                pitch: mm(pitch),
                front: Teeth::new(front)?,
                rear: Teeth::new(rear)?,
                elongation: Elongation::from_pct(worn),
                slider: slider.map(|(u, w, radius)| Slider { along: mm(u), above: mm(w), radius: mm(radius) }),
            };
            Layout::new(&sheet).possible(deg(-40.0), deg(40.0)).ok().map(|()| sheet)
        },
    )
}

/// Droop and wheel travel of bikes that could be built.
fn travels() -> impl Strategy<Value = (f64, f64)> {
    (5.0..32.0_f64, 20.0..320.0_f64)
}

fn swing(sheet: &Sheet, (droop, travel): (f64, f64)) -> Swing {
    Swing::new(sheet.arm, deg(droop), mm(travel)).expect("inside the arm's reach")
}

fn places(swing: &Swing) -> impl Iterator<Item = Angle> {
    let (low, high) = (swing.compression.rad(), swing.extension.rad());
    (0..=60).map(move |n| Angle::from_rad(low + (high - low) * f64::from(n) / 60.0))
}

proptest! {
    #[test]
    fn slack_and_surplus_undo_each_other(span in 50.0..2000.0_f64, e in 0.001..60.0_f64, station in 0.02..0.98_f64) {
        let back = free::surplus(mm(span), free::slack(mm(span), mm(e), station), station);
        prop_assert!((back.mm() - e).abs() < 1e-9 * e.max(1.0));
    }

    #[test]
    fn more_surplus_is_more_slack_and_mid_run_reads_most(span in 50.0..2000.0_f64, e in 0.001..50.0_f64, station in 0.02..0.98_f64) {
        let slack = |e: f64, station: f64| free::slack(mm(span), mm(e), station).mm();
        prop_assert!(slack(e * 1.01, station) > slack(e, station));
        prop_assert!(slack(e, station) <= slack(e, 0.5) + 1e-12);
        prop_assert!((slack(e, station) - slack(e, 1.0 - station)).abs() < 1e-9);
    }

    #[test]
    fn the_hull_of_two_discs_is_the_closed_form(sheet in sheets(), arm in -40.0..40.0_f64) {
        let bare = Layout::new(&sheet).without_slider();
        let difference = bare.taut_loop(deg(arm)).length.mm() - bare.taut_length(deg(arm)).mm();
        prop_assert!(difference.abs() < 1e-9, "{difference}");
    }

    #[test]
    fn a_slider_never_shortens_the_loop(sheet in sheets(), arm in -40.0..40.0_f64) {
        let layout = Layout::new(&sheet);
        let more = (layout.taut_length(deg(arm)) - layout.without_slider().taut_length(deg(arm))).mm();
        prop_assert!(more > -1e-9, "{more}");
        if layout.taut_loop(deg(arm)).on_slider { prop_assert!(more >= -1e-9) } else { prop_assert!(more.abs() < 1e-9) }
    }

    #[test]
    fn exchanged_sprockets_take_the_same_chain(sheet in sheets(), arm in -40.0..40.0_f64) {
        let turned = Sheet { front: sheet.rear, rear: sheet.front, slider: None, ..sheet };
        let straight = Layout::new(&sheet).without_slider().taut_length(deg(arm));
        prop_assert!((Layout::new(&turned).taut_length(deg(arm)) - straight).mm().abs() < 1e-9);
    }

    #[test]
    fn a_mirrored_bike_takes_the_same_chain_on_exchanged_runs(sheet in sheets(), arm in -40.0..40.0_f64) {
        let mirrored = Sheet {
            countershaft_z: -sheet.countershaft_z,
            slider: sheet.slider.map(|slider| Slider { above: -slider.above, ..slider }),
            ..sheet
        };
        let (one, other) = (Layout::new(&sheet), Layout::new(&mirrored));
        prop_assert!((one.taut_length(deg(arm)) - other.taut_length(deg(-arm))).mm().abs() < 1e-9);
        prop_assert_eq!(one.rests(deg(arm), Run::Upper), other.rests(deg(-arm), Run::Lower));
        prop_assert_eq!(one.rests(deg(arm), Run::Lower), other.rests(deg(-arm), Run::Upper));
    }

    #[test]
    fn a_bike_twice_as_large_takes_twice_the_chain(sheet in sheets(), arm in -40.0..40.0_f64, by in 0.2..3.0_f64) {
        let large = Sheet {
            countershaft_x: sheet.countershaft_x * by,
            countershaft_z: sheet.countershaft_z * by,
            arm: sheet.arm * by,
            pitch: sheet.pitch * by,
            slider: sheet.slider.map(|slider| Slider { along: slider.along * by, above: slider.above * by, radius: slider.radius * by }),
            ..sheet
        };
        let (small, large) = (Layout::new(&sheet).taut_length(deg(arm)), Layout::new(&large).taut_length(deg(arm)));
        prop_assert!((small * by - large).mm().abs() < 1e-9 * large.mm());
    }

    #[test]
    fn the_margin_is_kept_at_every_place(sheet in sheets(), travel in travels(), at in 0.0..1.0_f64, margin in 0.0..3.0_f64) {
        let (layout, swing) = (Layout::new(&sheet), swing(&sheet, travel));
        let arm = Angle::from_rad(swing.compression.rad() + at * (swing.extension - swing.compression).rad());
        let needs = required::required(&layout, &swing, arm, mm(margin));
        let chain = layout.taut_length(arm) + needs.surplus;
        let least = places(&swing).map(|arm| (chain - layout.taut_length(arm)).mm()).fold(f64::INFINITY, f64::min);
        prop_assert!(least > margin - 1e-7, "{least} of {margin}");
        prop_assert!((chain - layout.taut_length(needs.tightest.arm)).mm() - margin < 1e-7);
    }

    #[test]
    fn the_axle_place_leaves_the_margin_and_no_more(sheet in sheets(), travel in travels(), margin in 0.0..3.0_f64, aside in -40.0..40.0_f64) {
        let (layout, swing) = (Layout::new(&sheet), swing(&sheet, travel));
        let pairs = ((tightest(&layout, &swing).length.mm() + aside) / layout.pitch().mm() / 2.0).round();
        let links = (0..=500).find_map(|n| Links::new(n).filter(|links| (links.real() - 2.0 * pairs).abs() < 0.5)).expect("links");
        let place = axle::place(&layout, &swing, links, mm(margin)).expect("goes round");
        let least = layout.pitch() * links.real() - tightest(&layout.with_arm(place), &swing).length;
        prop_assert!((least.mm() - margin).abs() < 1e-8);
    }

    #[test]
    fn a_shift_brings_the_reading_to_the_target(sheet in sheets(), arm in -10.0..25.0_f64, now in 10.0..110.0_f64, target in 10.0..110.0_f64) {
        let (layout, arm) = (Layout::new(&sheet), deg(arm));
        prop_assume!(!layout.rests(arm, Run::Lower));
        let shift = axle::shift(&layout, arm, 0.5, mm(now), mm(target)).expect("a place");
        let moved = layout.with_arm(sheet.arm + shift);
        let chain = layout.taut_length(arm) + free::surplus(layout.span(arm), mm(now), 0.5);
        let read = free::slack(moved.span(arm), chain - moved.taut_length(arm), 0.5);
        prop_assert!((read.mm() - target).abs() < 1e-6, "{}", read.mm());
        prop_assert!((target > now) == (shift.mm() < 0.0) || now == target);
    }

    #[test]
    fn gap_and_surplus_undo_each_other_and_grow_together(sheet in sheets(), arm in -20.0..30.0_f64, u in 120.0..330.0_f64, e in 0.01..20.0_f64) {
        let (layout, arm) = (Layout::new(&sheet), deg(arm));
        let place = GapPlace { along: mm(u), surface: mm(40.0), plate: mm(15.0) };
        let gap = |e: f64| gap::gap(&layout, arm, &place, mm(e)).expect("chain over the arm");
        let back = gap::gap_surplus(&layout, arm, &place, gap(e)).expect("above taut");
        prop_assert!((back.mm() - e).abs() < 1e-8);
        prop_assert!(gap(e * 1.01) > gap(e) && gap(e) > gap(0.0));
    }

    #[test]
    fn two_readings_tell_the_same_as_the_geometry(sheet in sheets(), travel in travels(), margin in 0.1..3.0_f64) {
        let (layout, swing) = (Layout::new(&sheet).without_slider(), swing(&sheet, travel));
        let needs = required::required(&layout, &swing, swing.extension, mm(margin));
        let (stand, line) = (layout.span(swing.extension), layout.span(needs.tightest.arm));
        let read = StandAndLine {
            stand_span: stand,
            line_span: line,
            stand_slack: free::slack(stand, needs.demand + mm(2.0), 0.5),
            line_slack: free::slack(line, mm(2.0), 0.5),
        };
        let told = required::calibrated(&read, mm(margin));
        if needs.demand.mm() > 1e-9 {
            let slack = told.expect("stand holds more").slack;
            prop_assert!((slack - needs.slack.slack.expect("no slider")).mm().abs() < 1e-6);
        }
    }

    #[test]
    fn the_required_reading_leaves_the_margin(sheet in sheets(), travel in travels(), margin in 0.1..3.0_f64) {
        let (layout, swing) = (Layout::new(&sheet).without_slider(), swing(&sheet, travel));
        let needs = required::required(&layout, &swing, swing.extension, mm(margin));
        let slack = needs.slack.slack.expect("no slider");
        let span = layout.span(swing.extension);
        let left = required::left(span, needs.demand, &Reading { slack, error: Some(mm(3.0)) });
        prop_assert!((left.surplus.mm() - margin).abs() < 1e-9);
        let (low, high) = left.band.expect("an error was said");
        prop_assert!(low < left.surplus && left.surplus < high);
        let short = required::left(span, needs.demand, &Reading { slack: slack * 0.2, error: None });
        if needs.demand.mm() > margin { prop_assert_eq!(short.verdict(mm(margin)), Verdict::Stop) }
    }

    #[test]
    fn the_curve_meets_its_ends_and_never_falls_below_its_least(sheet in sheets(), travel in travels(), steps in 1_u16..200) {
        let (layout, swing) = (Layout::new(&sheet), swing(&sheet, travel));
        let tight = tightest(&layout, &swing);
        let curve = through(&layout, &swing, mm(travel.1), tight.length + mm(1.0), steps);
        prop_assert_eq!(curve.len(), usize::from(steps) + 1);
        prop_assert!(curve.iter().all(|place| place.surplus.mm() > 1.0 - 1e-7));
        prop_assert!(curve[0].arm == swing.extension && curve[usize::from(steps)].arm == swing.compression);
    }

    #[test]
    fn the_outline_closes_and_adds_up(sheet in sheets(), arm in -40.0..40.0_f64) {
        let layout = Layout::new(&sheet);
        let drawn = outline::outline(&layout, deg(arm));
        let straight: f64 = drawn.upper.iter().chain(&drawn.lower).map(|piece| (piece.to - piece.from).size()).sum();
        let per_rad = |on: outline::On| match on {
            outline::On::Front => sheet.front.real() * layout.pitch().mm() / std::f64::consts::TAU,
            outline::On::Rear => sheet.rear.real() * layout.pitch().mm() / std::f64::consts::TAU,
            outline::On::Slider => sheet.slider.map_or(0.0, |slider| slider.radius.mm()),
        };
        let bent: f64 = drawn.bends.iter().map(|bend| per_rad(bend.on) * (bend.to - bend.from).rad()).sum();
        let turned: f64 = drawn.bends.iter().map(|bend| (bend.to - bend.from).rad()).sum();
        prop_assert!((straight + bent - drawn.length_mm).abs() < 1e-8);
        prop_assert!((turned - std::f64::consts::TAU).abs() < 1e-9);
        prop_assert_eq!(drawn.upper.len() + drawn.lower.len(), drawn.bends.len());
    }

    #[test]
    fn squat_grows_with_thrust_alone_in_force(sheet in sheets(), arm in 0.0..25.0_f64, by in 1.1..4.0_f64) {
        let layout = Layout::new(&sheet);
        let wheels = stance::Wheels { rear_radius: mm(338.0), front_radius: mm(347.0), front_axle: drive::slack::Point::new(883.0, -140.0) };
        let stands = stance::stance(&layout, deg(arm), &wheels).expect("ahead");
        let squat = |thrust: f64| stance::squat(&layout, deg(arm), &wheels, &stands, mm(950.0), Force::from_n(thrust)).expect("not upright");
        let (one, more) = (squat(1000.0), squat(1000.0 * by));
        prop_assert!((more.lift_force.n() - by * one.lift_force.n()).abs() < 1e-6);
        prop_assert!((one.antisquat_pct() - more.antisquat_pct()).abs() < 1e-9);
    }
}
