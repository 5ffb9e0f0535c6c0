//! The record's views over the demo's states and over records that stand on an edge.

use advice::record::replace::Asked as Prices;
use advice::record::{
    Record, after_ride, calendar, due, elongation, first_day, forecast, history, kept_sets, next, order, reading,
    replace, season, sets, shelf, slack, through, trend, used,
};
use advice::slack::Read;
use advice::{Setup, decision, ground, ready};
use upkeep::bike::Value;
use upkeep::job::handbook::shipped;
use upkeep::record::{Fact, Role};

use crate::held;
use crate::records::{State, at, bike, change, demo, log, sound};
use crate::tell::{block, plain, table, told, value};

/// What a view says of each state.
fn each(name: &str, states: &[State], say: impl Fn(&Record<'_>) -> Vec<String>) {
    let told: Vec<_> = states.iter().map(|state| (state.name.clone(), say(&state.record()))).collect();
    held(name, &told);
}

/// One thing after another that is said of a sound set; many stand on a limit or a step beside it.
const EDGES: &[(&str, &str)] = &[
    ("sound", ""),
    ("taut", "2026-08-04T10:00 slack 0 0 10\n"),
    ("at the stop figure", "2026-08-04T10:00 slack 0 80 80\n"),
    ("under the stop figure", "2026-08-04T10:00 slack 0 79.9 80\n"),
    ("at the band's foot", "2026-08-04T10:00 slack 0 82 82\n"),
    ("under the band", "2026-08-04T10:00 slack 0 81.9 82\n"),
    ("at the band's top", "2026-08-04T10:00 slack 0 88 88\n"),
    ("over the band", "2026-08-04T10:00 slack 0 88.1 88.1\n"),
    ("loose", "2026-08-04T10:00 slack 0 120 121\n"),
    ("uneven", "2026-08-04T10:00 slack 12 84 85 88 92 96 98 98 96 92 88 85 84\n"),
    ("gap", "2026-08-04T10:00 gap 0 40 41\n"),
    ("rider on", "2026-08-04T10:00 seated 0 rider_on 30\n"),
    ("on its wheels", "2026-08-04T10:00 seated 0 wheels_on_the_ground 60\n"),
    ("in line", "2026-08-04T10:00 seated 0 in_line 20\n"),
    ("axle crooked", "2026-08-04T10:00 axle 605 607.5\n"),
    ("axle a little crooked", "2026-08-04T10:00 axle 605 605.6\n"),
    ("axle to the rear stop", "2026-08-04T10:00 axle 618 618\n"),
    ("axle at its care to the rear stop", "2026-08-04T10:00 axle 617.8 617.8\n"),
    ("axle off the rear stop", "2026-08-04T10:00 axle 617.75 617.75\n"),
    ("axle to the front stop", "2026-08-04T10:00 axle 592 592\n"),
    ("axle at its care to the front stop", "2026-08-04T10:00 axle 593.8 593.8\n"),
    ("axle straight", "2026-08-04T10:00 axle 605.5 605.5\n"),
    ("brake not firm", "2026-08-04T10:00 check brake not-firm\n"),
    ("joint open", "2026-08-04T10:00 check joint open-end-leads\n"),
    ("teeth leaning", "2026-08-04T10:00 check front-teeth leaning\n"),
    ("teeth hooked", "2026-08-04T10:00 check rear-teeth hooked\n"),
    ("bearings notchy", "2026-08-04T10:00 check bearings notchy\n"),
    ("axle loose", "2026-08-04T10:00 check axle loose\n"),
    ("axle set wrong", "2026-08-04T10:00 check axle set 80\n"),
    ("odd, not clear", "2026-08-04T09:00 ride 1 loam dry skip\n2026-08-04T10:00 check inspection not-clear\n"),
    ("odd, nothing found", "2026-08-04T09:00 ride 1 loam dry skip\n2026-08-04T10:00 check inspection nothing-found\n"),
    ("moved since", "2026-08-04T10:00 check recheck moved\n"),
    ("worn out", "2026-08-04T10:00 elongation 20 324 325 324\n"),
    ("nearly worn out", "2026-08-04T10:00 elongation 20 320.5 320.6 320.4\n"),
    ("places apart", "2026-08-04T10:00 elongation 20 318.1 319.2 318.3\n"),
    ("shorter than before", "2026-08-04T10:00 elongation 20 317.5 317.6 317.5\n"),
    ("miscounted", "2026-08-04T10:00 elongation 20 318.4 334.4 318.4\n"),
    ("twice at each place", "2026-08-04T10:00 elongation 20 318.4,318.5 318.6,318.5 318.4,318.3\n"),
    ("work begun", "2026-08-04T10:00 work rear-tyre begun\n"),
    ("work done, nothing confirmed", "2026-08-04T10:00 work rear-tyre done\n"),
    ("a set again, nothing confirmed", "2026-08-04T10:00 work final-drive-set done\n"),
    ("ridden since", "2026-08-04T10:00 ride 5 mud wet\n2026-08-04T18:00 meter 106.5\n"),
    ("ridden long", "2026-08-04T10:00 ride 14 sand dry\n2026-08-04T18:00 meter 115.5\n"),
    ("ridden far", "2026-08-04T10:00 ride 25 rock dry\n2026-08-04T18:00 meter 126.5\n"),
    ("oil due to the hour", "2026-08-04T10:00 ride 15 rock dry\n2026-08-04T18:00 meter 116.5\n"),
    ("skipped", "2026-08-04T10:00 ride 1 loam dry skip\n"),
    ("snagged", "2026-08-04T10:00 ride 1 loam dry snag\n"),
    ("no hours", "2026-08-04T10:00 ride - loam dry\n"),
    ("meter changed", "2026-08-04T10:00 swap 102 0\n2026-08-04T18:00 meter 3\n"),
    ("meter went back", "2026-08-04T10:00 meter 90\n"),
    ("a ride ahead", "2026-08-08T09:00 planned Saturday 4\n"),
    ("an event ahead", "2026-08-08T09:00 event Two_days 12\n"),
    ("an event tomorrow", "2026-08-06T09:00 event Hill_day 6\n2026-08-04T09:00 ride 13 loam dry\n"),
    ("let go", "2026-08-04T10:00 slack 0 72 72\n2026-08-04T11:00 waiver last_ride slack_too_tight\n"),
    ("a chain on the shelf", "2026-08-04T10:00 kept chain 118 spare 20\n2026-08-04T10:01 kept rear 50 old 40\n"),
];

/// One sound set, and in each further state one thing that speaks against riding, about the drive and the work.
fn edges() -> Vec<State> {
    let mut states: Vec<State> = EDGES.iter().map(|(name, more)| sound(name, more)).collect();
    states.push(State::of("bought used", bike("alder-350"), "2026-08-01T09:00 used bike 80 140\n2026-08-01T09:10 used chain 10 60\n2026-08-01T09:20 meter 30\n2026-08-03T18:20 slack 12 85 85.5 86 85.5\n2026-08-03T18:30 elongation 20 318.9 319.2 319.1\n", "2026-08-05T18:00"));
    states.push(State::of(
        "bought used, never read",
        bike("alder-350"),
        "2026-08-01T09:00 used bike 80 140\n2026-08-01T09:10 used chain 10 60\n2026-08-02T09:00 ride 3 loam dry\n",
        "2026-08-05T18:00",
    ));
    for (name, fields) in [
        ("no slot", vec!["slot_min_mm"]),
        ("no geometry", vec!["arm_mm"]),
        ("no pitch", vec!["pitch_mm"]),
        ("no pair", vec!["rear_teeth"]),
        ("no limit", vec!["limit_pct"]),
        ("no oil interval", vec!["oil_interval_h"]),
    ] {
        let mut state = sound(name, "2026-08-04T10:00 slack 0 78 79\n2026-08-04T10:10 axle 605 605\n");
        fields.iter().for_each(|field| change(&mut state.bike, field, None));
        states.push(state);
    }
    let mut state = sound("a gap on the sheet", "2026-08-04T10:00 slack 0 47 48\n2026-08-04T11:00 gap 0 83 85\n");
    change(&mut state.bike, "slack_kind", Some(Value::Word("gap".to_owned())));
    states.push(state);
    states
}

/// The demo's states and the edges.
fn all() -> Vec<State> {
    demo().into_iter().chain(edges()).collect()
}

#[test]
fn whether_it_can_be_ridden() {
    each("ready", &all(), |record| told(&Ok(ready::view(record)), ready::ReadyView::blocks));
}

#[test]
fn whether_it_can_be_ridden_with_what_was_just_read() {
    let reads = [
        Read { slack_mm: Some(86.0), left_mm: Some(605.0), right_mm: Some(605.4) },
        Read { slack_mm: Some(0.0), left_mm: Some(603.0), right_mm: Some(607.0) },
        Read { slack_mm: Some(70.0), left_mm: Some(619.0), right_mm: None },
    ];
    let state = sound("sound", "");
    let said = reads.iter().map(|read| {
        let view = ready::with_read(&state.record(), *read);
        (format!("{read:?}"), told(&Ok(view), ready::ReadyView::blocks))
    });
    held("ready_read", &said.collect::<Vec<_>>());
}

#[test]
fn the_whole_answer_with_the_record() {
    let states: Vec<State> = all().into_iter().step_by(9).collect();
    each("decision", &states, |record| {
        let view = decision::with_record(record, None, None, ground::USUAL, Read::default());
        told(&view, decision::DecisionView::blocks)
    });
}

#[test]
fn what_is_due() {
    each("due", &all(), |record| match due::all(record) {
        Ok(due) => table(&due::table(&due)),
        Err(gap) => value(&gap),
    });
}

#[test]
fn which_jobs_are_due_and_on_which_days_something_falls() {
    each("due_jobs", &all(), |record| {
        let mut lines = value(&advice::bench::due::jobs(record, shipped()));
        lines.extend(plain(&calendar::days(record)));
        lines
    });
}

#[test]
fn how_long_it_lasts_and_what_each_ground_cost() {
    each("forecast", &all(), |record| {
        let mut lines = told(&forecast::view(record), forecast::ForecastView::blocks);
        lines.extend(plain(&forecast::points(record).map(|points| format!("{points:?}"))));
        match forecast::grounds(record) {
            Ok((costs, notes)) => {
                lines.extend(table(&forecast::ground_table(&costs)));
                lines.extend(notes);
            }
            Err(gap) => lines.extend(value(&gap)),
        }
        lines
    });
}

#[test]
fn how_the_chain_wears() {
    each("trend", &all(), |record| {
        let mut lines = told(&trend::view(record), trend::TrendView::blocks);
        lines.extend(plain(&trend::newest(record, 2).map(|view| (view.readings, view.tight_spots))));
        lines
    });
}

#[test]
fn what_comes_next() {
    each("next", &all(), |record| told(&next::view(record), next::NextView::blocks));
}

#[test]
fn what_a_season_cost() {
    each("season", &all(), |record| {
        let day = |text: &str| text.parse().expect("a day");
        let mut lines = told(&season::view(record, day("2025-01-01"), day("2025-12-31")), season::SeasonView::blocks);
        lines.extend(told(&season::view(record, day("2026-01-01"), day("2026-12-31")), season::SeasonView::blocks));
        lines
    });
}

/// Prices 90, 25 and 60; lives 60, 80 and 120 h; a stranding worth 200. All invented.
fn prices(labour: i64) -> Prices {
    let euro = |amount: i64| Some((100 * amount, "EUR".to_owned()));
    Prices {
        price_minor: [euro(90), euro(25), euro(60)],
        life_h: [Some(60.0), Some(80.0), Some(120.0)],
        labour_minor: euro(labour),
        trail_minor: euro(200),
        wanted: None,
    }
}

#[test]
fn what_is_changed_together_and_ordered_by_when() {
    let mut states: Vec<State> = demo().into_iter().step_by(5).collect();
    states.push(sound(
        "a chain on the shelf",
        "2026-08-04T10:00 kept chain 118 spare 20\n2026-08-04T10:01 kept rear 48 old 40\n",
    ));
    states.push(sound("worn out", "2026-08-04T10:00 elongation 20 324 325 324\n"));
    each("replace", &states, |record| {
        let mut lines = told(&replace::view(record, &Prices::default()), replace::ReplaceView::blocks);
        lines.extend(told(&replace::view(record, &prices(40)), replace::ReplaceView::blocks));
        let fitted = Setup::fitted(record.bike).expect("a setup");
        let wanted = Prices { wanted: Some(fitted.pair(13, 48)), ..prices(0) };
        lines.extend(told(&replace::view(record, &wanted), replace::ReplaceView::blocks));
        lines
    });
    each("order", &states, |record| {
        let mut lines = told(&order::view(record, &Prices::default(), None), order::OrderView::blocks);
        lines.extend(told(&order::view(record, &prices(40), Some(9)), order::OrderView::blocks));
        lines
    });
}

#[test]
fn whether_it_lasts_through_a_ride() {
    let asked = through::Asked { hours_h: Some(6.0), mud_h: Some(2.0), sand_h: Some(1.0), slack_mm: None };
    each("through", &all(), |record| {
        let mut lines = told(&through::view(record, &through::Asked::default()), through::ThroughView::blocks);
        lines.extend(told(&through::view(record, &asked), through::ThroughView::blocks));
        lines
    });
    let state = sound("sound", "");
    let slack = |slack_mm| through::Asked { slack_mm: Some(slack_mm), ..asked };
    let told = [slack(70.0), slack(80.0), slack(90.0), through::Asked { mud_h: Some(5.0), sand_h: Some(2.0), ..asked }]
        .map(|asked| {
            (format!("{asked:?}"), told(&through::view(&state.record(), &asked), through::ThroughView::blocks))
        });
    held("through_slack", &told);
}

#[test]
fn what_the_first_day_knows() {
    each("first_day", &all(), |record| {
        let mut lines = told(&first_day::view(record, 20.0, 60.0), first_day::FirstDayView::blocks);
        lines.extend(told(&first_day::view(record, 100.0, 100.0), first_day::FirstDayView::blocks));
        match first_day::stored(record) {
            Ok(Some(view)) => lines.extend(told(&Ok(view), first_day::FirstDayView::blocks)),
            Ok(None) => lines.push("nothing stored".to_owned()),
            Err(gap) => lines.extend(value(&gap)),
        }
        lines
    });
}

#[test]
fn every_reading_judged() {
    each("reading", &all(), |record| {
        let entries = record.log.entries();
        let newest = entries.iter().rev().filter(|entry| entry.at > at("2026-08-04T00:00")).take(3);
        newest
            .flat_map(|entry| match reading::view(record, entry) {
                Ok(Some(view)) => told(&Ok(view), reading::ReadingView::blocks),
                Ok(None) => vec![format!("{} is no reading", entry.fact.kind())],
                Err(gap) => value(&gap),
            })
            .collect()
    });
}

#[test]
fn every_kind_of_fact_in_words() {
    each("history", &all(), |record| table(&history::table(&record.log)));
}

#[test]
fn slack_place_by_place_and_length_place_by_place() {
    each("places", &edges(), |record| {
        let entries = record.log.entries().iter().rev();
        let newest = entries.filter(|entry| entry.at > at("2026-08-04T00:00"));
        newest
            .flat_map(|entry| match (&entry.fact, Setup::fitted(record.bike)) {
                (Fact::Slack(slack), Ok(setup)) => {
                    told(&slack::view(record.bike, setup, slack), slack::TightSpotView::blocks)
                }
                (Fact::Elongation(length), _) => {
                    told(&elongation::view(record.bike, length), elongation::ElongationView::blocks)
                }
                _ => Vec::new(),
            })
            .collect()
    });
}

#[test]
fn what_a_ride_leads_to() {
    each("after_ride", &all(), |record| match record.log.rides().last() {
        Some(ride) => {
            let mut lines = told(&after_ride::view(record, ride), after_ride::AfterRideView::blocks);
            lines.push(after_ride::words(ride));
            lines
        }
        None => vec!["never ridden".to_owned()],
    });
}

#[test]
fn hours_sets_and_the_shelf() {
    let mut states = all();
    let two = "2026-08-01T09:00 meter 100\n2026-08-01T09:10 part chain 118 one 9000 EUR\n2026-08-01T09:10 part front 14 one\n\
        2026-08-01T09:10 part rear 48 one\n2026-08-01T09:20 kept chain 118 two 12\n2026-08-01T09:20 kept front 13 two 12\n\
        2026-08-01T09:20 kept rear 50 two 12\n2026-08-01T09:30 set first one one one\n2026-08-01T09:31 set second two two two\n\
        2026-08-03T18:00 meter 110\n";
    states.push(State::of("two sets", bike("alder-350"), two, "2026-08-05T18:00"));
    let gone = format!("{two}2026-08-04T09:20 kept front 13 two 12 gone\n2026-08-04T09:40 set third one two one\n");
    states.push(State::of("a part of a set is gone", bike("alder-350"), &gone, "2026-08-05T18:00"));
    each("hours", &states, |record| {
        let mut lines = told(&kept_sets::view(record), kept_sets::SetsView::blocks);
        for name in ["first", "second", "third", "fourth"] {
            lines.push(format!("{name}: {:?}", kept_sets::put_on(record, name)));
        }
        lines.push(format!("off: {:?}", kept_sets::take_off(record)));
        match sets::all(record) {
            Ok(ran) => lines.extend(table(&sets::table(&ran))),
            Err(gap) => lines.extend(value(&gap)),
        }
        lines.extend(table(&shelf::table(record)));
        lines.extend(plain(&used::of_bike(record)));
        for role in [Role::Chain, Role::Front, Role::Rear] {
            lines.extend(plain(&used::of(record, role)));
        }
        lines.extend(plain(&record.hours()));
        lines
    });
}

#[test]
fn what_stands_on_the_bike_is_known_by_the_record() {
    each("known", &all(), |record| {
        let view = ready::view(record);
        view.known().iter().flat_map(block).chain([view.stops()]).collect()
    });
    assert!(log("").is_empty());
}
