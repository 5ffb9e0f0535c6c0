//! Laws that the chain's geometry keeps for any pair, pitch and count.

use drive::chain::{
    Sprockets, Stops, elongation, hang, load, motion, slack_centre, sprocket, surplus_of_travel, sweep, tyre,
};
use measure::{Elongation, Length, Links, Teeth, Torque};
use proptest::prelude::*;

const MM: fn(f64) -> Length = Length::from_mm;

fn teeth() -> impl Strategy<Value = Teeth> {
    (6_u16..=150).prop_map(|count| Teeth::new(count).expect("in bounds"))
}

fn pitch() -> impl Strategy<Value = Length> {
    (4.0..80.0).prop_map(MM)
}

/// A pair with a chain that goes round it, from just long enough to very long.
fn driven() -> impl Strategy<Value = (Sprockets, f64)> {
    (pitch(), teeth(), teeth(), 0.0..300.0).prop_map(|(pitch, front, rear, more)| {
        let pair = Sprockets::new(pitch, front, rear);
        (pair, pair.least_links() + more)
    })
}

fn centre(pair: &Sprockets, links: f64) -> Length {
    pair.centre(links).expect("long enough")
}

proptest! {
    #[test]
    fn links_and_centre_invert((pair, links) in driven()) {
        prop_assert!((pair.links_needed(centre(&pair, links)) - links).abs() < 1e-9 * links);
    }

    #[test]
    fn more_links_need_more_centre((pair, links) in driven(), more in 0.01..50.0) {
        prop_assert!(centre(&pair, links + more) > centre(&pair, links));
    }

    #[test]
    fn more_teeth_bring_the_axle_forward(pitch in pitch(), front in 6_u16..=40, rear in 6_u16..=100, more in 60.0..200.0) {
        let of = |front: u16, rear: u16| Sprockets::new(pitch, Teeth::new(front).expect("teeth"), Teeth::new(rear).expect("teeth"));
        let links = of(front, rear).least_links() + more;
        let now = centre(&of(front, rear), links);
        prop_assert!(centre(&of(front + 1, rear), links) < now);
        prop_assert!(centre(&of(front, rear + 1), links) < now);
    }

    #[test]
    fn all_lengths_scale_together(front in teeth(), rear in teeth(), pitch in 4.0..20.0, by in 1.0_f64..4.0, more in 1.0..200.0) {
        let (small, large) = (Sprockets::new(MM(pitch), front, rear), Sprockets::new(MM(pitch * by), front, rear));
        let links = small.least_links() + more;
        let grown: f64 = centre(&large, links) / centre(&small, links);
        prop_assert!((grown / by - 1.0).abs() < 1e-12);
        let stops = |pair: &Sprockets| Stops { front: pair.least_centre(), rear: pair.least_centre() * 1.5 };
        let fit = |pair: &Sprockets| pair.fit(stops(pair), links, Elongation::from_pct(0.5)).expect("long enough");
        let (one, other) = (fit(&small), fit(&large));
        prop_assert!((one.runs_out - other.runs_out).abs().pct() < 1e-9);
        prop_assert!((one.room_front * by - other.room_front).abs() < large.pitch() * 1e-9);
    }

    #[test]
    fn front_and_rear_may_be_swapped(front in teeth(), rear in teeth(), pitch in pitch(), more in 0.0..200.0) {
        let (one, other) = (Sprockets::new(pitch, front, rear), Sprockets::new(pitch, rear, front));
        let links = one.least_links() + more;
        prop_assert_eq!(one.centre(links), other.centre(links));
        prop_assert_eq!(sweep(&one, links), sweep(&other, links));
    }

    #[test]
    fn the_tight_centre_lies_ahead_by_no_more_than_the_ripple((pair, links) in driven()) {
        let swept = sweep(&pair, links).expect("long enough");
        let behind = centre(&pair, links) - swept.tight_centre;
        // A need between least and most; its mean leaves the counted length by less than 0.001 pitch.
        let slack_of_model = pair.pitch() * 1e-3;
        prop_assert!(behind > -slack_of_model && behind < swept.ripple + slack_of_model);
    }

    #[test]
    fn wear_brings_both_bounds_back_and_seated_further((pair, more) in driven(), worn in 0.01..4.0) {
        let links = more + 20.0;
        let stops = Stops { front: pair.least_centre(), rear: pair.least_centre() * 3.0 };
        let fit = |worn| pair.fit(stops, links, Elongation::from_pct(worn)).expect("long enough");
        let (new, used) = (fit(0.0), fit(worn));
        prop_assert!(used.room_front > new.room_front && used.room_rear < new.room_rear);
        prop_assert!(used.centre - stops.front >= used.room_front);
        prop_assert_eq!(new.runs_out, used.runs_out);
    }

    #[test]
    fn a_chain_at_the_rear_stop_has_run_out((pair, links) in driven(), worn in 0.1..4.0) {
        let rear = centre(&pair, links * (1.0 + worn / 100.0));
        let stops = Stops { front: pair.least_centre(), rear };
        let fit = pair.fit(stops, links, Elongation::from_pct(worn)).expect("long enough");
        prop_assert!((fit.runs_out.pct() - worn).abs() < 1e-6 && fit.room_rear.abs() < pair.pitch() * 1e-6);
    }

    #[test]
    fn more_slack_needs_more_surplus_and_an_axle_further_forward(slack in 1.0..150.0, more in 0.1..50.0, links in 100_u16..130) {
        let pair = Sprockets::new(MM(15.875), Teeth::new(14).expect("teeth"), Teeth::new(48).expect("teeth"));
        let links = f64::from(links);
        let at = |slack| slack_centre(&pair, links, MM(slack)).expect("room for so much slack");
        prop_assert!(at(slack + more) < at(slack));
        let surplus = pair.pitch() * (links - pair.links_needed(at(slack)));
        let wanted = surplus_of_travel(pair.span(at(slack)), pair.radii(), MM(slack));
        prop_assert!((surplus - wanted).abs().mm() < 1e-9);
    }

    #[test]
    fn more_surplus_hangs_lower_and_pulls_less(span in 1.0..5000.0, surplus in 0.001..50.0, more in 0.001..10.0) {
        let (one, other) = (hang(MM(span), MM(surplus)), hang(MM(span), MM(surplus + more)));
        prop_assert!(other.sag > one.sag && other.tension_per_mass < one.tension_per_mass);
        prop_assert!(one.rest_to_lift > one.sag && one.rest_to_lift < one.sag + one.travel);
    }

    #[test]
    fn every_pair_repeats_within_all_its_links_and_teeth(links in 20_u16..=500, count in 6_u16..=150) {
        let met = motion::pairing(Links::new(links).expect("links"), Teeth::new(count).expect("teeth"));
        prop_assert!(met.passes.is_multiple_of(u32::from(links)) && met.passes.is_multiple_of(u32::from(count)));
        prop_assert!(met.passes <= u32::from(links) * u32::from(count));
    }

    #[test]
    fn the_mean_pull_lies_between_its_ends(pitch in pitch(), teeth in teeth(), torque in 0.1..1000.0) {
        let pull = load::pull(pitch, teeth, load::Load::Torque(Torque::from_nm(torque)));
        prop_assert!(pull.low < pull.mean && pull.mean < pull.high);
    }

    #[test]
    fn a_roller_lies_between_root_and_tip(pitch in pitch(), teeth in teeth(), part in 0.1..0.7) {
        let gaps = sprocket::gaps(pitch, teeth, pitch * part);
        prop_assert!(gaps.root < gaps.tip.min && gaps.tip.min < gaps.tip.max);
        prop_assert!(gaps.caliper >= gaps.root * 0.9 && gaps.over_pins > gaps.caliper);
    }

    #[test]
    fn a_plausible_length_shows_no_slip(pitch in pitch(), pitches in 1_u32..=500, worn in -0.3_f64..4.0) {
        let length = pitch * (f64::from(pitches) * (1.0 + worn / 100.0));
        prop_assert!((elongation::elongation(pitch, pitches, length).pct() - worn).abs() < 1e-9);
        prop_assert_eq!(elongation::slip(pitch, pitches, length), None);
    }

    #[test]
    fn any_text_is_a_tyre_or_is_not(marking in ".{0,24}") {
        if let Ok(tyre) = tyre::tyre(&marking) {
            prop_assert!(tyre.diameter() > MM(200.0) && tyre.section_height.mm() > 0.0);
        }
    }

    #[test]
    fn a_metric_marking_is_read_back(width in 1_u16..999, ratio in 1_u16..200, rim in 8_u16..=23) {
        let read = tyre::tyre(&format!("{width}/{ratio}-{rim}")).expect("a size");
        prop_assert!((read.width.mm() - f64::from(width)).abs() < 1e-12 && read.rim_in == rim);
        prop_assert!((read.section_height / read.width * 100.0 - f64::from(ratio)).abs() < 1e-9);
    }
}
