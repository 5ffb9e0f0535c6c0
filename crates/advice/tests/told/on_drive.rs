//! The drive on its limits: whose limit the wear has, sides of the axle, the band of the slack, what a chain passes.

use advice::alike::{self, By};
use advice::buying::{self, Asked as Bought, What};
use advice::fit::Slot;
use advice::record::elongation;
use advice::words::{count, number, quantity};
use advice::{Reason, Setup, Verdict, adjust, alignment, geometry, ready, slack};
use jiff::civil::date;
use upkeep::bike::Value;
use upkeep::supply::Shelf;

use crate::on_limits::says;
use crate::records::{State, bike, change, sound};

#[test]
fn a_limit_that_nobody_gave_is_the_tools_own_by_the_seals() {
    let limit = |sealed: Option<bool>| {
        let mut bike = bike("alder-350");
        change(&mut bike, "limit_pct", None);
        change(&mut bike, "sealed", sealed.map(Value::Flag));
        let limit = elongation::Limit::of(&bike);
        (limit.limit_pct, limit.assumed)
    };
    assert_eq!([Some(true), Some(false), None].map(limit), [(1.0, true), (2.0, true), (1.0, true)]);
    assert!(!elongation::Limit::of(&bike("alder-350")).assumed);
}

#[test]
fn sides_of_the_axle_that_stand_alike_need_no_figure_and_others_do() {
    let mut bike = bike("alder-350");
    // 225 mm between the places: three quarters of a millimetre are allowed.
    assert!(alignment_says(&bike, 605.0, 605.75).is_none() && alignment_says(&bike, 605.0, 605.76).is_some());
    assert!(alignment_says(&bike, 605.75, 605.0).is_none() && alignment_says(&bike, 605.76, 605.0).is_some());
    change(&mut bike, "track_mm", None);
    assert!(alignment_says(&bike, 605.0, 605.0).is_none());
    assert_eq!(alignment_says(&bike, 605.0, 605.1).map(|reason| reason.verdict), Some(Verdict::Unknown));
}

fn alignment_says(bike: &upkeep::bike::Bike, left: f64, right: f64) -> Option<Reason> {
    alignment::reason(bike, [left, right])
}

#[test]
fn the_reading_to_set_lies_in_the_middle_of_the_sheets_band_unless_the_geometry_asks_for_more() {
    let fitted = Setup::fitted(&bike("alder-350")).expect("a setup");
    let view = |low: f64, high: f64| {
        let mut bike = bike("alder-350");
        change(&mut bike, "slack_stop_mm", None);
        change(&mut bike, "slack_mm_min", Some(Value::Number(low)));
        change(&mut bike, "slack_mm_max", Some(Value::Number(high)));
        slack::view(&bike, fitted, slack::Read { slack_mm: Some(85.0), ..slack::Read::default() }).expect("a view")
    };
    let least = |view: &slack::SlackView| {
        view.facts.iter().find(|fact| fact.key == "least_slack_mm").and_then(|fact| fact.value)
    };
    let wide = view(82.0, 94.0);
    let least_mm = least(&wide).expect("a figure");
    assert_eq!(wide.target_mm, 88.0);
    // The middle lies under what the geometry asks for, the top over it.
    let low = view(least_mm - 6.0, least_mm + 1.0);
    assert!((low.target_mm - least_mm).abs() < 1e-9, "{} {least_mm}", low.target_mm);
    assert!(low.facts[0].reason.starts_with("above the middle"), "{}", low.facts[0].reason);
    assert!(wide.facts[0].reason.starts_with("middle of"), "{}", wide.facts[0].reason);
    // The whole band lies under it: its top, with care.
    let tight = view(least_mm - 9.0, least_mm - 1.0);
    assert!((tight.target_mm - (least_mm - 1.0)).abs() < 1e-9);
    assert!(says(&tight.reasons, Verdict::Care, "tighter than this geometry allows"));
    assert!(!says(&low.reasons, Verdict::Care, "tighter than this geometry allows"));
    // Without a band: six millimetres upward from what leaves the tool's own margin.
    let mut bare = bike("alder-350");
    change(&mut bare, "slack_stop_mm", None);
    change(&mut bare, "slack_mm_min", None);
    let own = slack::view(&bare, fitted, slack::Read::default()).expect("a view");
    let [from, to] = own.band.from_to_mm;
    assert!((to - from - 6.0).abs() < 1e-9 && (own.target_mm - from).abs() < 1e-9);
}

#[test]
fn a_chain_passes_where_air_is_left_on_each_side() {
    let state = sound("sound", "");
    let judged = |wide: f64| {
        let asked = Bought {
            size: Some("520".into()),
            links: Some(118),
            outer_width_mm: Some(wide),
            ..Bought::of(What::Chain)
        };
        let view = buying::view(&state.record(), &Shelf::default(), &asked).expect("a view");
        let of =
            |place: &str| view.reasons.iter().find(|reason| reason.text.contains(place)).map(|reason| reason.verdict);
        let air = |key: &str| view.facts.iter().find(|fact| fact.key == key).and_then(|fact| fact.value).expect("air");
        assert!(
            (air("guide_air_mm") - (30.0 - wide) / 2.0).abs() < 1e-9
                && (air("case_air_mm") - (16.5 - wide / 2.0)).abs() < 1e-9
        );
        [of("chain guide"), of("engine case")]
    };
    // The guide is 30 wide, the case 16.5 off the middle of the teeth.
    assert_eq!(judged(28.0), [None, None], "just a millimetre in the guide");
    assert_eq!(judged(28.5), [Some(Verdict::Care), None]);
    assert_eq!(judged(30.0), [Some(Verdict::Stop), None], "no air is left");
    assert_eq!(judged(31.0), [Some(Verdict::Stop), None], "just a millimetre at the case");
    assert_eq!(judged(32.0), [Some(Verdict::Stop), Some(Verdict::Care)]);
    assert_eq!(judged(33.0), [Some(Verdict::Stop), Some(Verdict::Stop)]);
}

#[test]
fn a_caliper_tells_a_size_within_its_own_error() {
    let state = sound("sound", "");
    let words = |pitch: f64, width: f64| {
        let asked = Bought { pitch_mm: Some(pitch), inner_width_mm: Some(width), ..Bought::of(What::Rear) };
        let view = buying::view(&state.record(), &Shelf::default(), &asked).expect("a view");
        view.reasons
            .iter()
            .filter(|reason| reason.figure == "chain.match")
            .map(|reason| reason.text.clone())
            .collect::<Vec<_>>()
            .join(" ")
    };
    let given = serde_json::json!({"size": "520"}).as_object().cloned().expect("an object");
    let size = figures::ask("chain.size", &given, &figures::NoTracks).expect("a size");
    let [own_pitch, own_width] = ["pitch_mm", "inner_width_mm"].map(|key| size.get(key).expect("a figure"));
    for (off_pitch, off_width, known) in [
        (0.0, 0.0, true),
        (0.14, 0.0, true),
        (0.16, 0.0, false),
        (-0.14, 0.0, true),
        (-0.16, 0.0, false),
        (0.0, 0.24, true),
        (0.0, 0.26, false),
        (0.0, -0.24, true),
        (0.0, -0.26, false),
    ] {
        let (pitch, width) = (own_pitch + off_pitch, own_width + off_width);
        let said = words(pitch, width);
        assert_eq!(!said.contains("No size in the tables"), known, "{pitch} × {width}: {said}");
    }
}

#[test]
fn a_reading_lies_under_the_one_before_only_by_more_than_both_can_be_wrong() {
    let view = |worst: f64, wide: f64| {
        let reading = upkeep::record::ElongationReading::new(20, vec![vec![318.4]; 3], 0.05, 0.01).expect("a reading");
        let view = elongation::view(&bike("alder-350"), &reading).expect("a view");
        elongation::ElongationView { worst_pct: worst, worst_u95_pct: wide, bad: false, ..view }
    };
    // Errors of 3 and 4 make 5.
    let fell = |by: f64| elongation::fell(&view(10.0, 3.0), &view(10.0 - by, 4.0)).is_some();
    assert!(!fell(5.0) && fell(5.5) && !fell(-6.0) && !fell(0.0));
    let bad = |one: bool, other: bool| {
        let (before, after) = (view(10.0, 0.1), view(1.0, 0.1));
        elongation::fell(
            &elongation::ElongationView { bad: one, ..before },
            &elongation::ElongationView { bad: other, ..after },
        )
        .is_some()
    };
    assert_eq!([bad(false, false), bad(true, false), bad(false, true)], [true, false, false]);
}

#[test]
fn what_is_turned_is_what_the_rounds_add_up_to_and_said_for_each_side_where_they_differ() {
    let bike = bike("alder-350");
    let fitted = Setup::fitted(&bike).expect("a setup");
    for (from, to) in [(70.0, 85.0), (95.0, 85.0), (85.0, 85.0)] {
        for apart in [0.0, 0.004, 0.02, 0.4, -0.4, 2.0, -2.0] {
            let read = slack::Read { slack_mm: None, left_mm: Some(605.0 + apart), right_mm: Some(605.0) };
            let told = adjust::with_skew(&bike, fitted, [from, to], read).expect("told");
            let sums = [0, 1].map(|side| told.rounds.iter().map(|round| round[side]).sum::<f64>());
            // The axle's own way is that of the middle; a thread of 1.25 mm turns six flats.
            assert!((told.flats - 6.0 * told.turns).abs() < 1e-9 && (told.turns * 1.25 - told.shift_mm).abs() < 1e-9);
            assert_eq!(told.words == "Nothing to move.", told.rounds.is_empty(), "{}", told.words);
            if told.rounds.is_empty() {
                continue;
            }
            // The looser chain is had by an axle further forward.
            assert_eq!(
                told.words.starts_with(&format!("Axle {} forward", quantity(told.shift_mm.abs(), "mm", 2))),
                told.shift_mm < 0.0
            );
            let differ = (sums[0] - sums[1]).abs() > 0.05;
            assert_eq!(told.words.contains("left adjuster"), differ, "{apart}: {} {sums:?}", told.words);
            if differ {
                for (side, flats) in ["left", "right"].into_iter().zip(sums) {
                    let way = if flats < 0.0 { "forward" } else { "back" };
                    let said = format!("{side} adjuster {} flats {way}", number(flats.abs(), 1));
                    assert!(told.words.contains(&said), "{}: {said}", told.words);
                }
                assert!(told.words.contains(&count(told.rounds.len(), "round")), "{}", told.words);
            } else {
                let said = format!(
                    "{} turn ({} flats) at each adjuster",
                    number(told.turns.abs(), 2),
                    number(told.flats.abs(), 1)
                );
                assert!(told.words.contains(&said), "{}: {said}", told.words);
            }
            let forward = told.shift_mm < 0.0 || sums.iter().any(|flats| *flats < 0.0);
            assert_eq!(told.words.contains("come back tightening"), forward, "{}", told.words);
        }
    }
}

#[test]
fn a_reading_of_the_wheel_says_to_which_side_it_heads_and_what_it_misses() {
    let bike = bike("alder-350");
    let place = Slot::of(&bike).and_then(|slot| slot.place(Setup::fitted(&bike)?)).expect("a place");
    for (left, right) in [(605.0, 605.0), (605.0, 606.0), (607.0, 605.5), (605.0, 605.5)] {
        let read = slack::Read { slack_mm: None, left_mm: Some(left), right_mm: Some(right) };
        let facts = alignment::facts(&bike, &place, read).expect("facts");
        let skew = &facts[1];
        let degrees = ((left - right) / 225.0_f64).atan().to_degrees();
        assert!(skew.value.is_some_and(|value| (value - degrees).abs() < 1e-9), "{:?} {degrees}", skew.value);
        assert_eq!(skew.label.contains("right"), left < right, "{}", skew.label);
        assert_eq!(skew.reason.starts_with("outside"), (left - right).abs() > 0.75, "{}", skew.reason);
        let missed = |mm: f64| format!("missed by {}", quantity((mm * (left - right) / 225.0).abs(), "mm", 1));
        assert!(skew.reason.contains(&format!("front wheel is {}", missed(1483.0))), "{}", skew.reason);
        assert!(skew.reason.contains(&format!("front sprocket is {}", missed(place.centre_mm))), "{}", skew.reason);
        let flats = format!("{} flats at one adjuster", number(6.0 * (left - right).abs() / 1.25, 1));
        assert!(skew.changes.starts_with(&flats), "{}: {flats}", skew.changes);
        assert_eq!(alignment::reason(&bike, [left, right]).is_some(), (left - right).abs() > 0.75);
    }
    let unread = alignment::facts(&bike, &place, slack::Read::default()).expect("facts");
    assert!(unread.len() == 1 && unread[0].value == Some(0.75));
}

#[test]
fn an_odd_count_is_refused_whether_the_slot_is_known_or_not_and_a_missing_fact_is_only_a_reason() {
    let mut state = sound("no slot", "");
    let asked = |links: u32| Bought { size: Some("520".into()), links: Some(links), ..Bought::of(What::Chain) };
    let view = |state: &State, links: u32| buying::view(&state.record(), &Shelf::default(), &asked(links));
    assert_eq!(view(&state, 119).expect_err("odd").field, "links");
    assert!(view(&state, 118).is_ok());
    change(&mut state.bike, "slot_min_mm", None);
    assert_eq!(view(&state, 119).expect_err("odd").field, "links");
    let known = view(&state, 118).expect("a view");
    assert!(says(&known.reasons, Verdict::Unknown, "Where the axle would land is not known."), "{:?}", known.reasons);
    change(&mut state.bike, "front_retention", None);
    let set = buying::view(&state.record(), &Shelf::default(), &Bought::of(What::Set)).expect("a view");
    assert!(says(&set.reasons, Verdict::Unknown, "What the job uses up is not known."), "{:?}", set.reasons);
}

#[test]
fn where_no_free_slack_can_be_read_the_sheets_band_does_not_stand_in() {
    let mut state = sound("rests", "");
    let says_of =
        |state: &State, words: &str| ready::reasons(&state.record()).iter().any(|reason| reason.text.contains(words));
    assert!(says_of(&state, "of chain left at the tightest place"));
    // A slider so large that the lower run lies on it: no figure is missing, the reading means nothing.
    change(&mut state.bike, "slider_radius_mm", Some(Value::Number(75.0)));
    let unknown = ready::reasons(&state.record())
        .into_iter()
        .any(|reason| reason.verdict == Verdict::Unknown && reason.text.starts_with("Slack"));
    assert!(unknown && !says_of(&state, "inside the sheet's"), "{:?}", ready::reasons(&state.record()));
    // Where a figure of the swingarm is missing, the band alone still speaks.
    change(&mut state.bike, "slider_radius_mm", None);
    change(&mut state.bike, "arm_mm", None);
    assert!(says_of(&state, "inside the sheet's"), "{:?}", ready::reasons(&state.record()));
}

#[test]
fn the_pair_that_comes_nearest_is_said_to_fit_or_the_next_that_does_is_named() {
    let mut seen = [0; 3];
    // A slot so short that some pairs reach no stop with any even chain.
    let mut bike = bike("alder-350");
    change(&mut bike, "slot_min_mm", Some(Value::Number(604.8)));
    change(&mut bike, "slot_max_mm", Some(Value::Number(607.0)));
    let others = (12..=15).flat_map(|front| (44..=52).map(move |rear| (front, rear)));
    for ((front, rear), by) in others.flat_map(|pair| [(pair, By::Speed), (pair, By::Thrust)]) {
        let mut other = bike.clone();
        change(&mut other, "front_teeth", Some(Value::Whole(front)));
        change(&mut other, "rear_teeth", Some(Value::Whole(rear)));
        let view = alike::view(&bike, &other, by, None).expect("a view");
        if view.at_edge {
            continue;
        }
        let (best, fits) = (&view.pairs[0], view.pairs.iter().find(|pair| pair.fit < Verdict::Unknown));
        let said = |words: String| assert!(view.headline.ends_with(&words), "{}: {words}", view.headline);
        match fits {
            Some(pair) if pair.setup == best.setup => said(format!("It fits {}.", best.fit_words)),
            Some(pair) => said(format!("It does not fit; {} does: {}.", pair.setup.pair_words(), pair.fit_words)),
            None => said("Whether it fits is not known or none of these does.".to_owned()),
        }
        seen[fits.map_or(2, |pair| usize::from(pair.setup != best.setup))] += 1;
    }
    assert!(seen[0] > 0 && seen[1] > 0, "{seen:?}");
}

#[test]
fn a_told_place_is_what_the_figure_says_and_its_readings_are_laid_beside_it() {
    let bike = bike("alder-350");
    let readings_mm = vec![[0.0, 88.8], [50.0, 69.5], [100.0, 52.0], [150.0, 41.3], [200.0, 45.1], [240.0, 55.9]];
    let asked = geometry::Asked { readings_mm: readings_mm.clone(), fits_slider: false };
    let view = geometry::view(&bike, &asked, date(2026, 9, 24)).expect("told");
    let column = |at: usize| readings_mm.iter().map(|reading| reading[at]).collect::<Vec<_>>();
    let given = serde_json::json!({"travels_mm": column(0), "slacks_mm": column(1), "pitch_mm": 15.875, "front_teeth": 14,
        "rear_teeth": 48, "arm_mm": 605.6, "slider_u_mm": 0, "slider_w_mm": 0, "slider_radius_mm": 36, "droop_deg": 21.8,
        "travel_mm": 300, "margin_mm": 1.0, "reading_error_mm": 1.0});
    let given = given.as_object().cloned().expect("an object");
    let answer = figures::ask("slack.fitted", &given, &figures::NoTracks).expect("an answer");
    for told in &view.told {
        let exact = answer.get(told.field).expect("a figure");
        assert!(
            (told.value - exact).abs() <= 0.005 && (told.value * 100.0 - (told.value * 100.0).round()).abs() < 1e-6
        );
    }
    let banded = |key: &str, error: &str, decimals: usize| {
        let (value, error) = (answer.get(key).expect("a figure"), answer.get(error).expect("an error"));
        format!("{} ± {}", number(value, decimals), quantity(1.645 * error, "mm", decimals))
    };
    for (key, error, decimals) in [
        ("required_slack_mm", "required_slack_error_mm", 1),
        ("countershaft_x_mm", "countershaft_x_error_mm", 1),
        ("countershaft_z_mm", "countershaft_z_error_mm", 1),
        ("demand_mm", "demand_error_mm", 2),
    ] {
        let fact = view.facts.iter().find(|fact| fact.key == key).expect(key);
        assert_eq!((fact.text.clone(), fact.value), (banded(key, error, decimals), answer.get(key)));
    }
    let next = view.facts.iter().find(|fact| fact.key == "next_travel_mm").expect("a further reading");
    let left = quantity(1.645 * answer.get("next_slack_error_mm").expect("an error"), "mm", 1);
    assert!(
        next.value == answer.get("next_travel_mm") && next.reason.contains(&format!("leaves ±{left} of slack")),
        "{}",
        next.reason
    );
    for (row, reading) in view.table.rows.iter().zip(&readings_mm) {
        let values: Vec<f64> = row.iter().filter_map(|cell| cell.value).collect();
        assert!(
            values[0] == reading[0] && values[1] == reading[1] && (values[3] - (values[1] - values[2])).abs() < 1e-12
        );
    }
}

#[test]
fn an_hour_of_what_is_offered_is_its_price_over_lives_that_were_whole() {
    let text = "2026-05-01T08:00 meter 10\n2026-05-01T08:30 part chain 118 one 9000 EUR\n2026-06-01T08:00 meter 40\n\
        2026-06-01T08:30 part chain 118 two\n2026-07-01T08:00 meter 90\n2026-07-01T08:30 part chain 118 three\n\
        2026-07-02T08:00 meter 92\n";
    let rows = |what: What, text: &str| -> Vec<Vec<String>> {
        let state = State::of("lives", bike("alder-350"), text, "2026-07-03T08:00");
        let asked = Bought { price_minor: [Some((12_000, "EUR".into())), None, None], ..Bought::of(what) };
        let view = buying::view(&state.record(), &Shelf::default(), &asked).expect("a view");
        view.worth.rows.iter().map(|row| row.iter().map(|cell| cell.text.clone()).collect()).collect()
    };
    assert_eq!(
        rows(What::Chain, text),
        [
            ["chain, as offered", "120.00 EUR", "30.0 to 50.0", "2.40 to 4.00 EUR"],
            ["chain two", "–", "50.0", "no price"],
            ["chain one", "–", "30.0", "3.00 EUR"]
        ]
    );
    assert_eq!(
        rows(What::Chain, "2026-07-01T08:00 meter 90\n"),
        [["chain, as offered", "120.00 EUR", "no whole life recorded", "no claim"]]
    );
    assert!(rows(What::Rear, text).is_empty(), "a chain's price says nothing of a sprocket");
}
