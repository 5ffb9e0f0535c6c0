//! Records that stand on a limit and a step beside it: which of both is warned of, and what is worked out between them.

use advice::record::replace::{self, Asked as Prices};
use advice::record::used::{self, Meter};
use advice::record::{after_ride, due, first_day, forecast, next, order, season, through, trend};
use advice::{Reason, Verdict, ready};
use upkeep::record::Role;

use crate::records::{State, bike, sound};

/// Whether a reason of that verdict holds these words.
pub(crate) fn says(reasons: &[Reason], verdict: Verdict, words: &str) -> bool {
    reasons.iter().any(|reason| reason.verdict == verdict && reason.text.contains(words))
}

/// A sound set after so many more hours, which the meter shows.
fn after(hours: f64) -> State {
    sound("after", &format!("2026-08-04T10:00 ride {hours} loam dry\n2026-08-04T18:00 meter {}\n", 101.5 + hours))
}

#[test]
fn a_length_reading_speaks_for_twenty_hours() {
    let old = |hours: f64| says(&ready::reasons(&after(hours).record()), Verdict::Unknown, "The last length reading");
    assert!(!old(20.0) && old(20.25));
}

#[test]
fn without_hours_a_length_reading_speaks_for_sixty_days() {
    let read = "2026-05-01T10:00 elongation 20 318.4 318.5 318.4\n";
    let old = |now: &str| {
        let state = State::of("no hours", bike("alder-350"), read, now);
        says(&ready::reasons(&state.record()), Verdict::Unknown, "The last length reading")
    };
    assert!(!old("2026-06-30T10:00") && old("2026-07-01T10:00"));
}

#[test]
fn the_chain_is_to_be_measured_after_more_than_ten_hours() {
    let measure = |hours: f64| {
        let state = after(hours);
        let record = state.record();
        let view = after_ride::view(&record, record.log.rides().last().expect("a ride")).expect("a view");
        assert_eq!(view.measure, !view.measure_words.is_empty());
        assert_eq!(view.hours_h, Some(101.5 + hours));
        view.measure
    };
    assert!(!measure(10.0) && measure(10.25));
}

/// A set fitted at 100 h and ridden so long since, never looked at again.
fn fitted_for(hours: f64) -> State {
    let text = format!(
        "2026-08-01T09:00 meter 100\n2026-08-01T10:00 work final-drive-set done\n2026-08-03T16:00 ride {hours} loam dry\n\
         2026-08-03T18:00 meter {}\n",
        100.0 + hours
    );
    State::of("fitted", bike("alder-350"), &text, "2026-08-05T18:00")
}

#[test]
fn the_look_after_the_first_hour_is_due_at_one_hour_and_overdue_beyond_it() {
    let told = |hours: f64| {
        let state = fitted_for(hours);
        let due = due::all(&state.record()).expect("what is due");
        let first = due.iter().find(|one| one.what.starts_with("Fasteners")).expect("the look").clone();
        (first.reason.is_some(), first.when)
    };
    assert_eq!(told(0.5), (false, "101.0 h".to_owned()));
    assert_eq!(told(1.0), (true, "101.0 h".to_owned()));
    assert_eq!(told(1.5), (true, "overdue by 0.5 h".to_owned()));
}

#[test]
fn sand_and_mud_may_be_the_whole_ride_and_no_more() {
    let state = sound("sound", "");
    let asked = |mud: f64, sand: f64| through::Asked {
        hours_h: Some(6.0),
        mud_h: Some(mud),
        sand_h: Some(sand),
        slack_mm: None,
    };
    let whole = through::view(&state.record(), &asked(4.0, 2.0)).expect("a view");
    assert_eq!((whole.hours_h, whole.sand_mud_h), (6.0, [2.0, 4.0]));
    assert_eq!(through::view(&state.record(), &asked(4.0, 2.25)).expect_err("more than all").field, "hours_h");
    let part = through::view(&state.record(), &asked(1.0, 2.0)).expect("a view");
    assert_eq!((part.hours_h, part.sand_mud_h), (6.0, [2.0, 1.0]));
    assert!(part.sentence.contains("6.0 h, 2.0 h of them sand, 1.0 h of them mud"), "{}", part.sentence);
    let dry = through::view(&state.record(), &asked(0.0, 0.0)).expect("a view");
    assert!(!dry.sentence.contains("sand") && !dry.sentence.contains("mud"), "{}", dry.sentence);
    assert!(dry.chance_limit >= part.chance_limit && part.chance_limit >= whole.chance_limit, "mud wears more");
    for view in [&whole, &part, &dry] {
        let named = |words: &str| view.acts.iter().any(|act| act.act.contains(words));
        assert_eq!((named("of the mud"), named("of the sand")), (view.sand_mud_h[1] > 0.0, view.sand_mud_h[0] > 0.0));
        assert!(named("Turn back") && named("Set the slack"));
        assert!(view.acts.windows(2).all(|two| two[0].raises >= two[1].raises), "the best first");
        for act in &view.acts {
            assert!((act.chance - view.chance_both - act.raises).abs() < 1e-12, "{}", act.act);
        }
        let turned = view.acts.iter().find(|act| act.act.contains("Turn back")).expect("an act");
        assert!(turned.raises >= 0.0 && turned.minutes_min == 0);
    }
}

#[test]
fn slack_on_either_end_of_its_band_is_inside_it() {
    let state = sound("sound", "");
    let at = |slack_mm: f64| {
        let asked = through::Asked { hours_h: Some(2.0), slack_mm: Some(slack_mm), ..through::Asked::default() };
        through::view(&state.record(), &asked).expect("a view")
    };
    let (foot, under, top, over) = (at(82.0), at(81.9), at(88.0), at(88.1));
    assert!(!says(&foot.reasons, Verdict::Care, "tighter than") && says(&under.reasons, Verdict::Care, "tighter than"));
    assert!(!says(&top.reasons, Verdict::Care, "looser than 88.0"), "{:?}", top.reasons);
    assert!(says(&over.reasons, Verdict::Care, "looser than 88.0"), "{:?}", over.reasons);
    assert!(top.chance_slack.is_some_and(|chance| chance > 0.0));
    assert_eq!((over.chance_slack, over.chance_both, over.sure_h), (Some(0.0), 0.0, None));
    // Loose already: only setting it helps, and that as much as from anywhere else.
    for act in &over.acts {
        assert_eq!(act.raises > 0.0, act.act.starts_with("Set the slack"), "{}", act.act);
    }
    let set =
        |view: &through::ThroughView| view.acts.iter().find(|act| act.act.starts_with("Set")).map(|act| act.chance);
    assert_eq!(set(&over), set(&top));
}

#[test]
fn a_chance_of_nineteen_in_twenty_is_ready_and_of_one_in_twenty_a_stop() {
    let state = sound("sound", "");
    let mut seen = [0; 3];
    for quarters in 1..200 {
        let hours = f64::from(quarters) / 4.0;
        let asked = through::Asked { hours_h: Some(hours), slack_mm: Some(85.0), ..through::Asked::default() };
        let view = through::view(&state.record(), &asked).expect("a view");
        let reason = view.reasons.iter().find(|reason| reason.text.contains("hold through")).expect("a reason");
        let (wanted, at) = match view.chance_both {
            chance if chance >= 0.95 => (Verdict::Ready, 0),
            chance if chance <= 0.05 => (Verdict::Stop, 2),
            _ => (Verdict::Care, 1),
        };
        assert_eq!(reason.verdict, wanted, "{} at {hours} h", view.chance_both);
        seen[at] += 1;
    }
    assert!(seen.iter().all(|count| *count > 0), "{seen:?}");
}

#[test]
fn hours_left_are_said_as_a_range_as_far_as_there_is_one() {
    for (left, said) in [
        ([Some(0.1), Some(0.2), Some(0.49)], "no hours"),
        ([Some(0.0), Some(0.2), Some(0.5)], "0 to 0 h, middle 0,"),
        ([Some(4.0), Some(6.0), Some(9.0)], "4 to 9 h, middle 6,"),
        ([Some(4.0), Some(6.0), None], "4 h or more, no upper bound from this log,"),
        ([Some(4.0), None, None], "4 h or more, no upper bound from this log,"),
        ([None, None, None], "no bound at all"),
    ] {
        assert_eq!(forecast::words(left), said);
    }
}

/// Readings of an even wear up to so many percent, an hour of riding between any two.
fn worn(to_pct: f64, more: &str) -> State {
    let mut text = "2026-03-01T08:00 meter 0\n2026-03-01T08:30 part chain 118 one\n".to_owned();
    for step in 0..5_i32 {
        let share = f64::from(step) / 4.0;
        let (hours, length) = (40.0 * share, 317.5 * (1.0 + to_pct * share / 100.0));
        text.push_str(&format!("2026-03-{:02}T09:00 meter {hours}\n", step + 2));
        text.push_str(&format!("2026-03-{:02}T10:00 elongation 20 {length:.2} {length:.2} {length:.2}\n", step + 2));
    }
    State::of("worn", bike("alder-350"), &format!("{text}{more}"), "2026-03-20T10:00")
}

#[test]
fn the_hours_ahead_are_drawn_from_the_last_reading_of_the_chain_that_is_on() {
    let state = worn(0.6, "");
    let view = trend::view(&state.record()).expect("a view");
    let left = forecast::view(&state.record()).expect("a forecast").left_h;
    let ahead = view.ahead.expect("hours ahead");
    assert_eq!(ahead.from[0], 40.0);
    assert_eq!(ahead.at_limit_h, left.map(|left| left.map(|left| 40.0 + left)));
    // A new chain has no reading yet: nothing is drawn ahead of the old one's.
    let other = worn(0.6, "2026-03-10T10:00 part chain 118 two\n");
    assert!(trend::view(&other.record()).expect("a view").ahead.is_none());
    // Two chains, each with its own name and its own readings, the newest first in the table.
    let both = worn(0.6, "2026-03-10T10:00 part chain 118 two\n2026-03-11T10:00 elongation 20 317.6 317.6 317.7\n");
    let view = trend::view(&both.record()).expect("a view");
    let lines: Vec<(&str, usize)> = view.chains.iter().map(|chain| (chain.name.as_str(), chain.spots.len())).collect();
    assert_eq!(lines, [("one", 5), ("two", 1)]);
    assert_eq!(view.readings.rows[0][0].text, "two");
    assert_eq!(trend::readings(&view.chains), view.readings.rows.len());
    for lines in 0..7 {
        let newest = trend::newest(&both.record(), lines).expect("a view").readings;
        assert_eq!(newest.rows, view.readings.rows[..lines.min(6)], "the newest {lines}");
    }
}

#[test]
fn a_part_lives_as_long_as_its_readings_say_and_a_sprocket_so_many_chains() {
    let state = worn(0.6, "");
    let view = replace::view(&state.record(), &Prices::default()).expect("a view");
    let left = forecast::view(&state.record()).expect("a forecast").left_h[1].expect("hours");
    let lives: Vec<f64> = view.parts.iter().map(|part| part.life_h).collect();
    assert!((lives[0] - (40.0 + left)).abs() < 1e-9, "{lives:?}");
    assert!((lives[1] - lives[0] * 4.0 / 3.0).abs() < 1e-9 && (lives[2] - lives[0] * 2.0).abs() < 1e-9, "{lives:?}");
    assert_eq!(view.parts[0].level, [4, 4], "0.6 of 1 % is 4.2 of 7");
}

#[test]
fn what_lies_on_the_shelf_fits_by_count_and_a_longer_chain_by_pairs_of_links() {
    let lies = |line: &str| {
        let state = sound("shelf", &format!("2026-08-04T10:00 {line}\n"));
        let view = replace::view(&state.record(), &Prices::default()).expect("a view");
        view.parts.iter().map(|part| part.shelf.as_ref().map(|one| one.level)).collect::<Vec<_>>()
    };
    for (links, fits) in [(114, None), (116, None), (118, Some(2)), (120, Some(2)), (122, Some(2))] {
        assert_eq!(lies(&format!("kept chain {links} spare 20")), [fits, None, None], "{links} links, 20 of 70 h");
    }
    for (teeth, fits) in [(13, None), (14, Some(0)), (15, None), (16, None)] {
        assert_eq!(lies(&format!("kept front {teeth} spare 5")), [None, fits, None], "{teeth} teeth");
    }
    assert_eq!(lies("kept rear 48 spare 70"), [None, None, Some(3)], "half of two chains");
    assert_eq!(lies("kept rear 50 spare 1"), [None; 3]);
    assert_eq!(lies("kept chain 118 spare 69"), [Some(6), None, None]);
    assert_eq!(lies("kept chain 118 spare 70"), [None; 3], "at its limit it is no spare");
}

#[test]
fn a_part_ordered_on_its_last_day_is_not_too_late() {
    let prices = || {
        let euro = |amount: i64| Some((100 * amount, "EUR".to_owned()));
        Prices {
            price_minor: [euro(90), euro(25), euro(60)],
            life_h: [Some(60.0), Some(80.0), Some(120.0)],
            labour_minor: euro(10),
            trail_minor: euro(200),
            wanted: None,
        }
    };
    let state = sound("worn", "2026-08-04T10:00 elongation 20 324 325 324\n2026-08-08T09:00 planned Saturday 4\n");
    let lines = |lead: u16| order::view(&state.record(), &prices(), Some(lead)).expect("a view");
    // The ride is on the 8th, today the 5th.
    for (lead, day, late) in [(0, "2026-08-08", false), (3, "2026-08-05", false), (4, "2026-08-04", true)] {
        let view = lines(lead);
        let chain = &view.lines[0];
        assert!(chain.now, "a worn chain is bought");
        assert_eq!(
            (chain.needed.as_deref(), chain.order_by.as_deref(), chain.too_late),
            (Some("2026-08-08"), Some(day), late)
        );
        assert_eq!(view.sentence.starts_with("Too late by post"), late, "{}", view.sentence);
    }
    for (at, life) in [60.0, 80.0, 120.0].into_iter().enumerate() {
        let line = &lines(3).lines[at];
        let each = [90.0, 25.0, 60.0][at] / life;
        assert!(line.cost_per_h.is_some_and(|cost| (cost - each).abs() < 1e-9), "{}: {:?}", line.part, line.cost_per_h);
    }
}

#[test]
fn a_meter_that_shows_as_many_hours_as_were_said_is_not_against_them() {
    let meter = |shows: f64| {
        let text = format!("2026-08-01T09:00 used chain 80 140\n2026-08-01T09:20 meter {shows}\n");
        let state = State::of("used", bike("alder-350"), &text, "2026-08-05T18:00");
        let span = used::of(&state.record(), Role::Chain).expect("hours").expect("a range");
        (span.meter, span.now_h)
    };
    assert_eq!(meter(79.5), (Meter::Against, [80.0, 140.0]));
    assert_eq!(meter(80.0), (Meter::Narrows, [80.0, 80.0]));
    assert_eq!(meter(139.5), (Meter::Narrows, [80.0, 139.5]));
    assert_eq!(meter(140.0), (Meter::Nothing, [80.0, 140.0]));
    assert_eq!(used::between([79.6, 80.4]), "80 h");
    assert_eq!(used::between([79.4, 80.4]), "79 to 80 h");
}

#[test]
fn what_narrows_a_range_of_hours_is_asked_within_it() {
    let state = sound("used", "");
    let rows = |low: f64, high: f64| -> Vec<String> {
        let view = first_day::view(&state.record(), low, high).expect("a view");
        view.narrows.rows.iter().map(|row| row[0].text.clone()).collect()
    };
    assert!(rows(20.0, 60.0)[1].ends_with("hours within 10, here 40"), "{:?}", rows(20.0, 60.0));
    assert!(rows(38.0, 42.0)[1].ends_with("hours within 4, here 40"), "{:?}", rows(38.0, 42.0));
    assert!(rows(35.0, 45.0)[1].ends_with("hours within 10, here 40"), "{:?}", rows(35.0, 45.0));
}

#[test]
fn a_season_holds_both_of_its_days() {
    let text = "2026-05-01T00:00 meter 10\n2026-05-01T08:00 part chain 118 one 9000 EUR\n2026-05-01T09:00 ride 2 loam dry\n\
        2026-05-02T09:00 ride 3 sand dry\n2026-05-03T09:00 ride 1 loam dry\n2026-05-03T23:00 part front 14 one\n\
        2026-05-03T23:00 part rear 48 one 6000 EUR\n";
    let state = State::of("season", bike("alder-350"), text, "2026-06-01T10:00");
    let view = |from: &str, to: &str| {
        season::view(&state.record(), from.parse().expect("a day"), to.parse().expect("a day")).expect("a view")
    };
    let whole = view("2026-05-01", "2026-05-03");
    assert_eq!((whole.rides, &whole.cost_minor[..], whole.at_least), (3, &[("EUR".to_owned(), 15_000)][..], true));
    assert_eq!((whole.parts.rows.len(), whole.sets.rows.len()), (3, 3));
    let first = view("2026-05-01", "2026-05-01");
    assert_eq!((first.rides, &first.cost_minor[..], first.at_least), (1, &[("EUR".to_owned(), 9000)][..], false));
    let middle = view("2026-05-02", "2026-05-02");
    assert_eq!((middle.rides, middle.cost_minor.len(), middle.parts.rows.len()), (1, 0, 0));
    assert_eq!(middle.sets.rows.len(), 1, "the chain ran that day");
    assert_eq!(view("2026-04-01", "2026-04-30").sets.rows.len(), 0, "nothing ran before it was fitted");
    // Two rides make no season, three do.
    let tables = |season: &season::SeasonView| {
        season.blocks().iter().filter(|block| matches!(block, advice::Block::Table(_))).count()
    };
    assert_eq!((tables(&whole), tables(&view("2026-05-01", "2026-05-02"))), (6, 0));
}

#[test]
fn what_is_not_known_is_measured_first_and_the_quickest_of_it() {
    let bare = State::of("bare", bike("alder-350"), "2026-08-01T09:00 meter 100\n", "2026-08-05T18:00");
    let view = next::view(&bare.record()).expect("a view");
    let minutes: Vec<u32> =
        view.unknown.iter().map(|reason| reason.clear.as_ref().map_or(u32::MAX, |clear| clear.minutes_min)).collect();
    assert!(minutes.len() > 1 && minutes.windows(2).all(|two| two[0] <= two[1]), "{minutes:?}");
    let first = view.unknown[0].clear.as_ref().map(|clear| clear.act.clone());
    assert!(view.best == first && view.sentence.contains("without it there is no verdict"), "{}", view.sentence);
    let state = after(8.0);
    let view = next::view(&state.record()).expect("a view");
    assert!(view.offers.windows(2).all(|two| two[0].gain_per_min >= two[1].gain_per_min));
    for (offer, row) in view.offers.iter().zip(&view.table.rows) {
        let gain = (offer.wrong_now - offer.wrong_after) / offer.minutes_min;
        assert!((gain - offer.gain_per_min).abs() < 1e-9, "{}: {gain} {}", offer.name, offer.gain_per_min);
        assert_eq!(row[0].text, offer.name);
        assert!(row[2].value.is_some_and(|value| (value - 100.0 * offer.wrong_now).abs() < 1e-9));
    }
}
