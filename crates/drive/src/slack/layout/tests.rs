//! A drive against walks along its runs and its travel; what just can and just cannot be built.

use super::*;
use crate::slack::sample;

#[test]
fn impossible_parts_are_told_apart() {
    let (level, sheet) = (Angle::from_deg(0.0), sample::sheet());
    let possible = |sheet: Sheet| Layout::new(&sheet).possible(level, Angle::from_deg(24.0));
    assert_eq!(possible(sheet), Ok(()));
    assert!(matches!(possible(Sheet { arm: Length::from_mm(80.0), ..sheet }), Err(Fault::Overlap { .. })));
    let slider = |radius: f64, along: f64| {
        Some(Slider { along: Length::from_mm(along), above: Length::ZERO, radius: Length::from_mm(radius) })
    };
    assert!(matches!(possible(Sheet { slider: slider(120.0, 0.0), ..sheet }), Err(Fault::DiscInside { .. })));
    assert!(matches!(possible(Sheet { slider: slider(20.0, 530.0), ..sheet }), Err(Fault::DiscInside { .. })));
}

#[test]
fn parts_that_just_touch_can_be_built_and_a_disc_that_just_lies_inside_cannot() {
    // The countershaft on the pivot: every distance from it is a length along the arm.
    let drawn = Sheet { countershaft_x: Length::ZERO, countershaft_z: Length::ZERO, slider: None, ..sample::sheet() };
    let layout = Layout::new(&drawn);
    let possible = |layout: Layout| layout.possible(Angle::ZERO, Angle::ZERO);
    let least = layout.front.radius_mm + layout.rear.radius_mm;
    assert_eq!(possible(Layout { arm_mm: least, ..layout }), Ok(()));
    let short = Layout { arm_mm: least - 1e-9, ..layout };
    let overlap = Fault::Overlap { distance: Length::from_mm(least - 1e-9), least: Length::from_mm(least) };
    assert_eq!(possible(short), Err(overlap));
    for (wheel, towards, from) in [(layout.front, 1.0, 0.0), (layout.rear, -1.0, 615.0)] {
        let slider = |along_mm: f64| {
            let along = Length::from_mm(from + towards * along_mm);
            Some(Slider { along, above: Length::ZERO, radius: Length::from_mm(20.0) })
        };
        let inside_mm = wheel.radius_mm - 20.0;
        let inside = possible(Layout { slider: slider(inside_mm - 1e-9), ..layout });
        assert!(matches!(inside, Err(Fault::DiscInside { .. })), "{inside:?}");
        assert_eq!(possible(Layout { slider: slider(inside_mm + 1e-6), ..layout }), Ok(()));
    }
    let touching = Layout {
        slider: Some(Slider {
            along: Length::from_mm(layout.front.radius_mm - 20.0),
            above: Length::ZERO,
            radius: Length::from_mm(20.0),
        }),
        ..layout
    };
    assert!(matches!(possible(touching), Err(Fault::DiscInside { .. })));
}

#[test]
fn the_nearest_that_a_turning_place_comes_is_what_a_walk_along_the_travel_finds() {
    for (x, z) in [(68.0, 9.0), (-60.0, 20.0), (-40.0, -50.0), (0.0, 55.0)] {
        let layout = Layout { countershaft: Point::new(x, z), ..sample::layout() };
        for (along, above) in [(-615.0, 0.0), (-70.0, 40.0), (80.0, -10.0), (10.0, 90.0), (-70.0, -6.0)] {
            let place = Point::new(along, above);
            for (low, high) in [(-40.0, 40.0), (-5.0, 24.0), (-170.0, 170.0), (10.0, 10.0)] {
                let walked = (0..=4000)
                    .map(|n| low + (high - low) * f64::from(n) / 4000.0)
                    .map(|deg: f64| (place.turned(deg.to_radians()) - layout.countershaft).size())
                    .fold(f64::INFINITY, f64::min);
                let nearest = layout.nearest(place, Angle::from_deg(low), Angle::from_deg(high));
                assert!((nearest - walked).abs() < 0.01 && nearest < walked + 1e-9, "{x} {z} {place:?} {low} {high}");
            }
        }
    }
}

#[test]
fn a_straight_run_is_square_to_both_radii_on_its_own_side() {
    for (x, z) in [(68.0, 9.0), (-60.0, 20.0), (100.0, -70.0)] {
        let layout = Layout { countershaft: Point::new(x, z), ..sample::layout() };
        for deg in [-35.0, 0.0, 7.5, 24.0] {
            let arm = Angle::from_deg(deg);
            let axle = layout.axle(arm);
            for (run, side) in [(Run::Upper, 1.0), (Run::Lower, -1.0)] {
                let line = layout.run(arm, run);
                let along = line.rear - line.front;
                assert!(along.dot(line.outward).abs() < 1e-9 && (line.outward.size() - 1.0).abs() < 1e-12);
                assert!((along.size() - line.length_mm).abs() < 1e-9);
                assert!((layout.span(arm).mm() - line.length_mm).abs() < 1e-9);
                let from_front = line.front - layout.countershaft;
                assert!((from_front - line.outward * layout.front.radius_mm).size() < 1e-9);
                assert!((line.rear - axle - line.outward * layout.rear.radius_mm).size() < 1e-9);
                assert!(side * line.outward.z_mm > 0.5, "{deg}");
                assert!((line.at(0.25) - line.front - along * 0.25).size() < 1e-9);
                let slider = layout.slider.expect("a slider");
                let clear = layout.slider_clearance(arm, run).expect("a slider").mm();
                let middle = slider.middle(arm);
                let apart = distance_to_piece(middle, line.front - along, line.rear + along);
                assert!(((clear + slider.radius.mm()).abs() - apart).abs() < 1e-9);
                assert_eq!(layout.rests(arm, run), clear < 0.0, "{deg}");
                assert!(layout.without_slider().slider_clearance(arm, run).is_none());
            }
        }
    }
}

#[test]
fn a_pushed_run_is_cut_off_where_a_walk_along_it_comes_to_the_slider() {
    let layout = sample::layout();
    let slider = layout.slider.expect("a slider");
    let (mut cut, mut free) = (0, 0);
    for deg in [2.0, 7.5, 14.0, 24.0] {
        let (arm, run) = (Angle::from_deg(deg), Run::Lower);
        let line = layout.run(arm, run);
        for station in [0.05, 0.1, 0.3, 0.5] {
            for depth_mm in [1.0, 10.0, 25.0, 60.0, 110.0] {
                let pushed = line.at(station) - line.outward * depth_mm;
                let on = |share: f64| {
                    if share < 0.5 {
                        line.front + (pushed - line.front) * (2.0 * share)
                    } else {
                        pushed + (line.rear - pushed) * (2.0 * share - 1.0)
                    }
                };
                let near = (0..=2000)
                    .map(|n| (on(f64::from(n) / 2000.0) - slider.middle(arm)).size())
                    .fold(f64::INFINITY, f64::min);
                let clear = near - slider.radius.mm();
                assert!(clear.abs() > 0.01, "too close to tell by a walk: {deg} {station} {depth_mm}");
                let told = layout.cut_off(arm, run, station, Length::from_mm(depth_mm));
                assert_eq!(told, clear < 0.0, "{deg} {station} {depth_mm}: {clear}");
                if told { cut += 1 } else { free += 1 }
            }
        }
    }
    assert!(cut > 10 && free > 10, "{cut} {free}");
    assert!(!layout.without_slider().cut_off(Angle::ZERO, Run::Lower, 0.5, Length::from_mm(110.0)));
}

#[test]
fn a_longer_pitch_makes_a_larger_pin_circle() {
    let worn = Sheet { elongation: Elongation::from_pct(1.0), ..sample::sheet() };
    let (new, worn) = (sample::layout(), Layout::new(&worn));
    assert!((worn.rear.radius_mm / new.rear.radius_mm - 1.01).abs() < 1e-12);
}

#[test]
fn the_same_disc_carries_the_upper_run_drooping_and_the_lower_one_compressed() {
    let layout = sample::layout();
    let rests =
        |arm: f64| (layout.rests(Angle::from_deg(arm), Run::Upper), layout.rests(Angle::from_deg(arm), Run::Lower));
    assert_eq!((rests(24.0), rests(7.5), rests(-4.0)), ((true, false), (false, false), (false, true)));
}
