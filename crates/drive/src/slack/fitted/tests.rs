//! Readings of a known drive give it back; noisy ones give it back within the errors told.

use measure::Length;

use super::*;
use crate::slack::required::lower_slack;
use crate::slack::sample;

const SIX_MM: [f64; 6] = [0.0, 45.0, 90.0, 135.0, 180.0, 220.0];

/// What the sample drive reads with some surplus at its tightest place.
fn readings(layout: &Layout, surplus_mm: f64, travels_mm: &[f64]) -> Vec<At> {
    let swing = sample::swing();
    let longest = super::super::tightest::tightest(layout, &swing).length;
    let read = |travel_mm: &f64| {
        let travel = Length::from_mm(*travel_mm);
        let arm = swing.angle_at(travel).expect("within the travel");
        let surplus = longest + Length::from_mm(surplus_mm) - layout.taut_length(arm);
        At { travel, slack: lower_slack(layout, arm, surplus).slack.expect("readable") }
    };
    travels_mm.iter().map(read).collect()
}

fn question(readings: Vec<At>, fits_slider: bool, slider: bool) -> Question {
    let mut sheet = sample::sheet();
    (sheet.countershaft_x, sheet.countershaft_z) = (Length::ZERO, Length::ZERO);
    if !slider {
        sheet.slider = None;
    }
    Question {
        sheet,
        swing: sample::swing(),
        readings,
        error: Length::from_mm(1.0),
        margin: Length::from_mm(1.0),
        fits_slider,
    }
}

#[test]
fn readings_of_a_drive_give_it_back() {
    let fitted = fit(&question(readings(&sample::layout(), 1.5, &SIX_MM), false, true)).expect("told");
    assert!((fitted.countershaft.x_mm - 68.0).abs() < 1e-6, "{:?}", fitted.countershaft);
    assert!((fitted.countershaft.z_mm - 9.0).abs() < 1e-6, "{:?}", fitted.countershaft);
    let true_needs = required(&sample::layout(), &sample::swing(), sample::swing().extension, Length::from_mm(1.0));
    assert!((fitted.needs.demand - true_needs.demand).mm().abs() < 1e-7);
    assert!(fitted.scatter.is_some_and(|scatter| scatter.mm() < 1e-6) && fitted.odd.is_none());
}

/// Errors as of a bell, from a seed: sums of twelve equal shares.
struct Noise(u64);

impl Noise {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let high = u32::try_from(self.0 >> 32).expect("32 bits");
        f64::from(high) / f64::from(u32::MAX)
    }

    fn next(&mut self) -> f64 {
        (0..12).map(|_| self.share()).sum::<f64>() - 6.0
    }
}

#[test]
fn nine_of_ten_bands_hold_the_true_requirement() {
    let layout = sample::layout();
    let truth = required(&layout, &sample::swing(), sample::swing().extension, Length::from_mm(1.0));
    let truth = truth.slack.slack.expect("readable").mm();
    let clean = readings(&layout, 1.5, &SIX_MM);
    let mut noise = Noise(20_260);
    let (mut held, mut told) = (0_u32, 0_u32);
    for _ in 0..400 {
        let mut noisy = clean.clone();
        for reading in &mut noisy {
            reading.slack += Length::from_mm(noise.next());
        }
        let Ok(fitted) = fit(&question(noisy, false, true)) else { continue };
        told += 1;
        let aside = (fitted.needs.slack.slack.expect("readable").mm() - truth).abs();
        held += u32::from(aside <= 1.645 * fitted.slack_error.mm());
    }
    let share = f64::from(held) / f64::from(told);
    // Scatter above the error given widens a band, so that they hold rather more than less.
    assert!(told > 395 && (0.88..0.965).contains(&share), "{told} told, {share} held");
}

#[test]
fn what_the_readings_do_not_tell_is_named_with_the_reading_that_would() {
    let layout = sample::layout();
    let two = fit(&question(readings(&layout, 1.5, &[0.0, 100.0]), false, true));
    assert!(matches!(two, Err(Untold::TooFew { places: 2, needed: 3, next }) if next.mm() == 295.0), "{two:?}");
    let near = fit(&question(readings(&layout.without_slider(), 1.5, &[0.0, 5.0, 10.0]), false, false));
    assert!(matches!(near, Err(Untold::CannotTell { unknown: Unknown::Ahead, next: None, .. })), "{near:?}");
    let off = fit(&question(readings(&layout, 1.5, &[100.0, 130.0, 150.0, 180.0, 220.0]), true, true));
    let Err(Untold::CannotTell { unknown: Unknown::Radius, next: Some(next), .. }) = off else {
        panic!("{off:?}");
    };
    assert!(next.travel.mm() < 30.0 && next.error.mm() < 10.0, "the chain rests on the slider there: {next:?}");
}

#[test]
fn a_reading_on_the_slider_is_refused_by_its_place() {
    let mut read = readings(&sample::layout(), 1.5, &SIX_MM);
    read.push(At { travel: Length::from_mm(290.0), slack: Length::from_mm(60.0) });
    let rests = fit(&question(read, false, true));
    assert_eq!(rests, Err(Untold::Rests { travel: Length::from_mm(290.0) }));
}

#[test]
fn one_reading_among_six_that_is_off_is_named_with_what_the_others_say() {
    let clean = readings(&sample::layout(), 1.5, &SIX_MM);
    let mut read = clean.clone();
    read[3].slack += Length::from_mm(9.0);
    let fitted = fit(&question(read, false, true)).expect("told");
    let odd = fitted.odd.expect("one stands out");
    assert_eq!(odd.index, 3);
    assert!((odd.others - clean[3].slack).mm().abs() < 2.0, "{odd:?}");
    let narrow = fit(&question(clean, false, true)).expect("told");
    assert!(fitted.slack_error > narrow.slack_error * 2.0, "the scatter widens every band");
}

#[test]
fn more_readings_and_finer_ones_narrow_the_band() {
    let error = |question: Question| fit(&question).expect("told").slack_error.mm();
    let six = question(readings(&sample::layout(), 1.5, &SIX_MM), false, true);
    let twice = Question { readings: [six.readings.clone(), six.readings.clone()].concat(), ..six.clone() };
    let finer = Question { error: Length::from_mm(0.5), ..six.clone() };
    let of_six = error(six);
    assert!((error(twice) * 2.0_f64.sqrt() / of_six - 1.0).abs() < 1e-6);
    assert!((error(finer) * 2.0 / of_six - 1.0).abs() < 1e-6);
}

#[test]
fn an_arm_angle_off_by_two_degrees_turns_the_place_and_leaves_the_requirement() {
    let known = question(readings(&sample::layout(), 1.5, &SIX_MM), false, true);
    let droop = measure::Angle::from_deg(26.0);
    let swing = Swing::new(known.sheet.arm, droop, Length::from_mm(295.0)).expect("within reach");
    let off = fit(&Question { swing, ..known.clone() }).expect("told");
    let known = fit(&known).expect("told");
    let turned = (off.countershaft.angle_rad() - known.countershaft.angle_rad()).to_degrees();
    assert!((turned - 2.0).abs() < 0.3, "{turned}");
    let apart = off.needs.slack.slack.expect("readable") - known.needs.slack.slack.expect("readable");
    assert!(apart.mm().abs() < 0.3, "{apart:?}");
}

#[test]
fn a_start_has_as_much_chain_as_its_readings_tell_and_some_at_every_one() {
    let asked = question(readings(&sample::layout(), 1.5, &SIX_MM), false, true);
    let at = [0.0, 68.0, 9.0, 0.0];
    let places = Places::of(&asked).expect("six places");
    let layout = places.layout(&at).expect("can be built");
    let longest = places.arms.iter().map(|arm| layout.taut_length(*arm).mm()).fold(0.0, f64::max);
    // Readings of the drive itself all tell the same chain: the tightest place of its travel and 1.5 mm.
    let whole = super::super::tightest::tightest(&sample::layout(), &sample::swing()).length.mm() + 1.5;
    let [chain, x, z, radius] = places.with_loop(at).expect("can be built");
    assert!((chain - whole).abs() < 1e-6 && (x, z, radius) == (68.0, 9.0, 0.0), "{chain} {whole}");
    let mut taut = asked.clone();
    taut.readings.iter_mut().for_each(|reading| reading.slack = Length::from_mm(1.0));
    let [chain, ..] = Places::of(&taut).expect("six places").with_loop(at).expect("can be built");
    assert!((chain - longest - START_SURPLUS_MM).abs() < 1e-9, "{chain} {longest}");
    assert_eq!(places.with_loop([0.0, -500.0, 0.0, 0.0]), None, "the sprockets would overlap");
}
