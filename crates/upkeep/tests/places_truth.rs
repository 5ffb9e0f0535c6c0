//! Slack at several places, and the plan of a measurement, against plain least squares and plain enumeration.

use drive::slack::free;
use measure::{Length, Links, Teeth};
use upkeep::wear::{
    AxleLimits, Cause, Instrument, JudgedBy, Periods, PlaceScatter, PlaceVerdict, Places, Run, Wish, axle_range,
    mean_error, plan, tight_spot,
};

fn close(one: f64, other: f64, within: f64) -> bool {
    (one - other).abs() <= within * one.abs().max(other.abs()).max(1e-6)
}

fn run(rear: u16) -> Run {
    Run {
        span: Length::from_mm(620.0),
        station: 0.45,
        pitch: Length::from_mm(15.875),
        front: Teeth::new(14).expect("a front"),
        rear: Teeth::new(rear).expect("a rear"),
    }
}

const LIMITS: AxleLimits = AxleLimits { care: Length::from_mm(0.3), stop: Length::from_mm(0.8) };

/// Slack whose surplus is a mean with a wave of the wheel and one of the chain in it.
fn waved(at: &[f64], wheel: (f64, f64), chain: (f64, f64), noise: f64) -> Vec<Length> {
    let turn = std::f64::consts::TAU;
    let wave = |x: f64, (size, phase): (f64, f64), period: f64| size * (turn * x / period + phase).cos();
    at.iter()
        .zip(0..)
        .map(|(&x, k)| {
            let rough = noise * f64::from((k * k * 31 + 7 * k) % 13 - 6);
            let surplus = 18.0 + wave(x, wheel, 48.0) + wave(x, chain, 118.0) + rough;
            free::slack(Length::from_mm(620.0), Length::from_mm(surplus), 0.45)
        })
        .collect()
}

fn places(at: &[f64], links: u16, slack: Vec<Length>) -> Places {
    let periods = Periods { at_links: at.to_vec(), links: Links::new(links).expect("even") };
    Places { slack, periods: Some(periods) }
}

fn every(step: f64, count: u32) -> Vec<f64> {
    (0..count).map(|k| step * f64::from(k)).collect()
}

#[test]
fn waves_that_were_put_in_are_found_with_their_size() {
    let at = every(7.0, 24);
    for (wheel, chain, cause) in [
        ((1.5, 0.4), (0.0, 0.0), Cause::Wheel),
        ((0.0, 0.0), (2.0, -1.0), Cause::Chain),
        ((1.5, 0.4), (2.0, -1.0), Cause::Both),
        ((0.0, 0.0), (0.0, 0.0), Cause::Neither),
    ] {
        let found = tight_spot(&places(&at, 118, waved(&at, wheel, chain, 0.01)), &run(48), LIMITS);
        assert_eq!((found.cause, found.undecidable), (cause, false));
        let size = |found: Option<Length>| found.expect("fitted").mm();
        if cause == Cause::Both || cause == Cause::Wheel {
            assert!((size(found.wheel_amplitude) - 1.5).abs() < 0.05, "{:?}", found.wheel_amplitude);
        }
        if cause == Cause::Both || cause == Cause::Chain {
            assert!((size(found.chain_amplitude) - 2.0).abs() < 0.05, "{:?}", found.chain_amplitude);
        }
    }
}

/// Squares that are left when columns are fitted, by the normal equations.
fn left_over(columns: &[Vec<f64>], values: &[f64]) -> f64 {
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
    let n = columns.len();
    let mut rows: Vec<Vec<f64>> = columns
        .iter()
        .map(|one| columns.iter().map(|other| dot(one, other)).chain([dot(one, values)]).collect())
        .collect();
    for k in 0..n {
        let lead = rows[k].clone();
        for row in &mut rows[k + 1..] {
            let factor = row[k] / lead[k];
            row.iter_mut().zip(&lead).for_each(|(entry, above)| *entry -= factor * above);
        }
    }
    let mut b = vec![0.0; n];
    for k in (0..n).rev() {
        b[k] = (rows[k][n] - (k + 1..n).map(|j| rows[k][j] * b[j]).sum::<f64>()) / rows[k][k];
    }
    (0..values.len()).map(|i| (values[i] - (0..n).map(|k| b[k] * columns[k][i]).sum::<f64>()).powi(2)).sum()
}

#[test]
fn each_model_scores_its_squares_left_with_what_its_coefficients_cost() {
    for count in [7_u32, 8, 9, 16] {
        let at = every(13.0, count);
        let slack = waved(&at, (0.3, 0.1), (0.5, 1.0), 0.05);
        let surplus: Vec<f64> = slack.iter().map(|&slack| free::surplus(run(48).span, slack, 0.45).mm()).collect();
        let found = tight_spot(&places(&at, 118, slack), &run(48), LIMITS);
        let mut want = Vec::new();
        for (cause, periods) in [
            (Cause::Neither, vec![]),
            (Cause::Wheel, vec![48.0]),
            (Cause::Chain, vec![118.0]),
            (Cause::Both, vec![48.0, 118.0]),
        ] {
            let mut columns = vec![vec![1.0; at.len()]];
            for period in &periods {
                columns.push(at.iter().map(|x| (std::f64::consts::TAU * x / period).sin()).collect());
                columns.push(at.iter().map(|x| (std::f64::consts::TAU * x / period).cos()).collect());
            }
            let (n, k) =
                (f64::from(count), 2.0 + 2.0 * f64::from(u8::from(!periods.is_empty()) + u8::from(periods.len() > 1)));
            if n - k - 1.0 > 0.0 {
                let score =
                    n * (left_over(&columns, &surplus) / n).ln() + 2.0 * k + 2.0 * k * (k + 1.0) / (n - k - 1.0);
                want.push((cause, score));
            }
        }
        assert_eq!(found.scores.len(), want.len(), "{count}");
        for (found, want) in found.scores.iter().zip(&want) {
            assert!(found.0 == want.0 && (found.1 - want.1).abs() < 1e-6, "{count}: {found:?} {want:?}");
        }
        let best = want.iter().copied().reduce(|best, one| if one.1 < best.1 { one } else { best }).expect("some").0;
        assert_eq!(found.cause, best);
    }
}

#[test]
fn places_too_few_too_near_or_of_a_chain_like_two_wheels_cannot_tell() {
    let told = |at: &[f64], links: u16| {
        let found = tight_spot(&places(at, links, waved(at, (1.5, 0.0), (0.0, 0.0), 0.01)), &run(48), LIMITS);
        assert_eq!(found.undecidable, found.cause == Cause::Unknown);
        assert_eq!(found.undecidable, found.scores.is_empty() && found.wheel_amplitude.is_none());
        !found.undecidable
    };
    assert!(told(&every(12.0, 7), 118) && !told(&every(14.0, 6), 118));
    // One turn and a half of the wheel, to the link.
    assert!(told(&every(9.0, 9), 118) && !told(&every(71.99 / 8.0, 9), 118));
    assert!(told(&[0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 72.0], 118));
    assert!(
        told(&[8.0, 20.0, 30.0, 40.0, 50.0, 60.0, 80.0], 118) && !told(&[8.1, 20.0, 30.0, 40.0, 50.0, 60.0, 80.0], 118)
    );
    // Eight links from two turns of the wheel, on either side.
    assert!(told(&every(12.0, 9), 104) && !told(&every(12.0, 9), 102) && !told(&every(12.0, 9), 96));
    assert!(told(&every(12.0, 9), 88) && !told(&every(12.0, 9), 90));
    let unsaid = Places { slack: waved(&every(12.0, 7), (1.5, 0.0), (0.0, 0.0), 0.01), periods: None };
    let found = tight_spot(&unsaid, &run(48), LIMITS);
    assert!(!found.undecidable && found.cause == Cause::Unknown && found.scores.is_empty());
}

#[test]
fn the_tightest_place_and_the_range_at_the_axle_are_those_of_the_readings() {
    let slack: Vec<Length> = [86.0, 83.0, 90.5, 83.0, 88.0].map(Length::from_mm).to_vec();
    let surplus = |mm: f64| free::surplus(Length::from_mm(620.0), Length::from_mm(mm), 0.45).mm();
    for rear in [14, 48, 60] {
        let found = tight_spot(&Places { slack: slack.clone(), periods: None }, &run(rear), LIMITS);
        assert_eq!((found.tightest, found.slack_min.mm(), found.slack_max.mm()), (1, 83.0, 90.5));
        assert!(close(found.surplus_min.mm(), surplus(83.0), 1e-12));
        let range = surplus(90.5) - surplus(83.0);
        assert!(close(found.surplus_range.mm(), range, 1e-12));
        // The run rises by the difference of the radii over its own length.
        let radius = |teeth: u16| 15.875 / 2.0 / (std::f64::consts::PI / f64::from(teeth)).sin();
        let angle = ((radius(rear) - radius(14)) / 620.0).atan();
        assert!(close(found.axle_range.mm(), range / 2.0 / angle.cos(), 1e-12), "{rear}");
        assert_eq!(axle_range(&slack, &run(rear)), found.axle_range);
        let just = |care: Length, stop: Length| {
            tight_spot(&Places { slack: slack.clone(), periods: None }, &run(rear), AxleLimits { care, stop }).verdict
        };
        let (range, less) = (found.axle_range, found.axle_range - Length::from_mm(1e-9));
        assert_eq!(just(range, range), PlaceVerdict::Even);
        assert_eq!([just(less, range), just(less, less)], [PlaceVerdict::Care, PlaceVerdict::Stop]);
    }
}

#[test]
fn a_plan_of_a_measurement_is_the_least_work_of_all_that_meet_the_wish() {
    let calliper = Instrument {
        pitch: Length::from_mm(15.875),
        largest_error: Length::from_mm(0.05),
        resolution: Length::from_mm(0.01),
        repeat: Length::from_mm(0.15),
        repeat_dof: 10.0,
    };
    let scatter = PlaceScatter { sd_pct: 0.02, dof: None };
    for judged_by in [JudgedBy::Worst, JudgedBy::Mean(scatter)] {
        for u95 in [None, Some(0.04), Some(0.06), Some(0.09), Some(0.2)] {
            for (readings, places) in [(None, None), (Some(4), None), (None, Some(5)), (Some(2), Some(4))] {
                let wish = Wish {
                    u95_pct: u95,
                    judged_by,
                    pitches: vec![16, 24, 40],
                    readings,
                    places,
                    most_readings: 9,
                    most_places: 8,
                };
                let (options, choice) = plan(&wish, &calliper);
                let error = |pitches: u32, each: u32, places: u32| match judged_by {
                    JudgedBy::Worst => mean_error(&calliper, pitches, &[each as usize], None),
                    JudgedBy::Mean(_) => {
                        mean_error(&calliper, pitches, &vec![each as usize; places as usize], Some(scatter))
                    }
                };
                let all = |pitches: u32| {
                    let most = if judged_by == JudgedBy::Worst { 3 } else { 8 };
                    let places = places.map_or(3..=most, |places| places..=places);
                    let each = readings.map_or(1..=9, |readings| readings..=readings);
                    places.flat_map(move |places| each.clone().map(move |each| (each, places, pitches)))
                };
                let meets = |&(each, places, pitches): &(u32, u32, u32)| {
                    u95.is_none_or(|wanted| error(pitches, each, places).u95_pct <= wanted)
                };
                let work = |&(each, places, pitches): &(u32, u32, u32)| (each * places, places, pitches);
                assert_eq!(options.iter().map(|option| option.pitches).collect::<Vec<_>>(), [16, 24, 40]);
                for option in &options {
                    let want = all(option.pitches).filter(meets).min_by_key(work);
                    let told = (option.readings, option.places, option.pitches);
                    assert_eq!(option.reached, want.is_some());
                    assert_eq!(told, want.or(all(option.pitches).last()).expect("some"), "{wish:?}");
                    assert_eq!(option.error, error(option.pitches, option.readings, option.places));
                    assert_eq!(option.placements(), option.readings * option.places);
                }
                let least = [16, 24, 40].into_iter().flat_map(all).filter(meets).min_by_key(|one| (work(one).0, one.2));
                let told = choice.map(|choice| (choice.placements(), choice.pitches));
                assert_eq!(told, least.map(|one| (work(&one).0, one.2)), "{wish:?}");
            }
        }
    }
}
