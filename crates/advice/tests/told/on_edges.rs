//! Where two facts meet: an open order beside a set, a limit that is just met, a used bike's meter, nothing left to buy.

use advice::buying::{self, Asked as Bought, What};
use advice::plan::{self, Wish};
use advice::ready::{self, AtStep, OpenJob};
use advice::record::replace::{self, Asked as Prices};
use advice::record::{due, elongation, kept_sets};
use advice::supplies::{self, Asked};
use advice::{Setup, gearing, ground};
use jiff::civil::date;
use upkeep::job::bench::{Bench, Line, What as Said};
use upkeep::supply::{Event, Shelf, Supply};

use crate::records::{State, at, bike, change, sound};
use crate::tracks::root;

const TWO: &str = "2026-08-01T09:00 meter 100\n2026-08-01T09:10 part chain 118 one\n2026-08-01T09:11 part front 14 one\n\
    2026-08-01T09:20 kept chain 116 two 12\n2026-08-01T09:21 kept front 13 two 12\n2026-08-01T09:30 set first one one\n\
    2026-08-01T09:31 set second two two\n2026-08-03T18:00 meter 110\n";

#[test]
fn while_an_order_is_open_no_set_goes_on_or_off() {
    let state = State::of("two sets", bike("alder-350"), TWO, "2026-08-05T18:00");
    assert!(kept_sets::put_on(&state.record(), "second").is_ok() && kept_sets::take_off(&state.record()).is_ok());
    let order = Bench {
        id: 7,
        at: at("2026-08-05T17:00"),
        jobs: vec!["chain-slack".to_owned()],
        choices: Vec::new(),
        setup: [14, 48, 118],
        lines: Vec::new(),
    };
    let record = state.record().with_benches(vec![order]);
    for refused in [kept_sets::put_on(&record, "second"), kept_sets::take_off(&record)] {
        assert!(refused.is_err_and(|gap| gap.text.contains("Work order 7 is open")));
    }
}

#[test]
fn an_open_job_says_where_its_order_stands() {
    let words = |step: usize| {
        let at = AtStep { order: 3, step, of: 5, title: "nip the axle".into() };
        OpenJob { job: "x".into(), title: "Slack".into(), since: "2026-08-01".into(), at: Some(at) }.words()
    };
    assert_eq!(words(5), "Slack: step 5 of 5, nip the axle");
    assert_eq!(words(6), "Slack: every step done, order 3 to be closed");
    let bare = OpenJob { job: "x".into(), title: "Slack".into(), since: "2026-08-01".into(), at: None };
    assert_eq!(bare.words(), "Slack");
}

#[test]
fn a_chain_at_its_limit_within_reading_error_is_not_called_worn() {
    let must = |length: f64| {
        let line = format!("2026-08-04T10:00 elongation 20 {length} {length} {length}\n");
        let state = sound("at the limit", &line);
        let view = replace::view(&state.record(), &Prices::default()).expect("a view");
        (view.parts[0].level, view.parts[0].must.is_some())
    };
    assert_eq!(must(320.7), ([7, 7], false), "1.008 %, known to a few hundredths");
    assert_eq!(must(324.0), ([7, 7], true));
    assert_eq!(must(320.6), ([6, 6], false));
}

#[test]
fn nothing_to_buy_has_no_sum_that_is_not_known() {
    let bike = bike("alder-350");
    let fitted = Setup::fitted(&bike).expect("a setup");
    let wish = Wish { jobs: vec!["final-drive-set".to_owned()], ..Wish::default() };
    let view = |shelf: &Shelf| {
        let asked = Asked { shelf, today: date(2026, 9, 1), needed: None, order: None };
        supplies::of_wish(&bike, fitted, &wish, asked).expect("a view")
    };
    let none = view(&Shelf::default());
    let sum = |view: &supplies::PartsView| view.facts.iter().any(|fact| fact.key == "total_minor");
    assert!(sum(&none) && none.parts.iter().any(|part| part.to_buy > 0));
    let day = date(2026, 8, 1);
    let all: Vec<Supply> =
        none.parts.iter().map(|part| Supply::new(&part.role, Event::Put(9)).expect("a supply")).collect();
    let full = view(&Shelf::of(all.iter().map(|supply| (day, supply))));
    assert!(full.parts.iter().all(|part| part.to_buy == 0 && part.state == "have") && !sum(&full), "{:?}", full.facts);
    let coming = none.parts.iter().flat_map(|part| {
        let of = |event| Supply::new(&part.role, event).expect("a supply");
        [of(Event::Counted(0)), of(Event::Ordered(9))]
    });
    let coming: Vec<Supply> = coming.collect();
    let coming = view(&Shelf::of(coming.iter().map(|supply| (day, supply))));
    assert!(coming.parts.iter().all(|part| part.to_buy == 0 && part.state == "on its way" && part.ordered == 9));
    let gone: Vec<Supply> =
        none.parts.iter().map(|part| Supply::new(&part.role, Event::Counted(0)).expect("a supply")).collect();
    let gone = view(&Shelf::of(gone.iter().map(|supply| (day, supply))));
    assert!(gone.parts.iter().all(|part| part.to_buy == part.qty && part.state == "missing"));
    assert!(none.parts.iter().all(|part| part.to_buy == part.qty && part.state == "not counted"));
}

#[test]
fn a_plan_that_waits_for_how_the_front_sprocket_is_held_names_the_field_and_the_figure() {
    let mut bike = bike("alder-350");
    change(&mut bike, "front_retention", None);
    let fitted = Setup::fitted(&bike).expect("a setup");
    let wish = Wish { jobs: vec!["final-drive-set".to_owned()], ..Wish::default() };
    let gap = plan::view(&bike, fitted, &wish).expect_err("it is not known");
    assert_eq!((gap.figure, gap.field.as_str(), gap.missing), ("job.order", "front_retention", true));
    assert!(!gap.how_to.is_empty());
}

#[test]
fn of_a_bike_bought_used_only_what_was_ridden_since_counts_until_its_meter_is_noted() {
    let ridden = |text: &str, from: &str, to: &str| {
        let state = State::of("ridden", bike("alder-350"), text, "2026-08-05T18:00");
        state.record().ridden_h(at(from), at(to)).expect("hours")
    };
    let used = "2026-08-01T09:00 used bike 80 140\n2026-08-01T12:00 ride 2 loam dry\n2026-08-02T09:00 meter 90\n\
        2026-08-03T12:00 ride 3 loam dry\n2026-08-03T18:00 meter 93\n";
    // The first note of the meter holds what others rode.
    assert_eq!(ridden(used, "2026-08-01T09:00", "2026-08-05T18:00"), Some(5.0));
    assert_eq!(ridden(used, "2026-08-01T09:00", "2026-08-02T09:00"), Some(2.0));
    assert_eq!(ridden(used, "2026-08-02T09:00", "2026-08-05T18:00"), Some(3.0));
    assert_eq!(ridden(used, "2026-08-05T18:00", "2026-08-02T09:00"), Some(-3.0));
    // Of a bike that was new the meter counts from the start.
    let new = used.replace("2026-08-01T09:00 used bike 80 140\n", "2026-08-01T09:00 meter 80\n");
    assert_eq!(ridden(&new, "2026-08-01T09:00", "2026-08-05T18:00"), Some(13.0));
    assert_eq!(ridden(&new, "2026-08-02T09:00", "2026-08-05T18:00"), Some(3.0));
}

#[test]
fn a_reading_that_cannot_be_right_says_what_it_looks_like() {
    let told = |length: f64| {
        let state = sound("wrong", &format!("2026-08-04T10:00 elongation 20 {length} {length} {length}\n"));
        let readings = elongation::of_this_chain(&state.record())
            .into_iter()
            .map(|(_, reading)| reading.clone())
            .collect::<Vec<_>>();
        let view = elongation::view(&state.bike, readings.last().expect("a reading")).expect("a view");
        (view.bad, view.reasons[0].text.clone(), view.places.rows[0][2].text.clone())
    };
    for (length, looks) in [
        (12.53, "it looks like inches; millimetres are wanted"),
        (31.84, "it looks like centimetres; millimetres are wanted"),
        (900.0, "no miscount explains it; pull the chain taut, check its pitch, count again"),
    ] {
        let (bad, reason, place) = told(length);
        assert!(
            bad && reason == format!("This reading cannot be right: {looks}.") && place == looks,
            "{reason} {place}"
        );
    }
    let (bad, reason, place) = told(334.4);
    assert!(bad && reason.contains("given over 20 pitches and looks like 21"), "{reason}");
    assert!(place.starts_with("looks like 21 pitches (0."), "{place}");
    assert!(!told(318.4).0);
}

#[test]
fn of_orders_and_their_lines_only_what_was_written_up_to_now_is_seen() {
    let state = sound("orders", "");
    let now = at("2026-08-05T18:00");
    let line = |id: i64, when: &str| Line {
        id,
        change: id,
        at: at(when),
        who: None,
        paper: false,
        what: Said::Unticked { step: "do:nip-axle".into(), reason: "again".into() },
    };
    let order = |id: i64, when: &str, lines: Vec<Line>| Bench {
        id,
        at: at(when),
        jobs: vec!["chain-slack".to_owned()],
        choices: Vec::new(),
        setup: [14, 48, 118],
        lines,
    };
    let seen = |orders: Vec<Bench>| -> Vec<(i64, usize)> {
        let record = state.record().with_benches(orders);
        assert_eq!(record.now, now);
        record.benches.iter().map(|bench| (bench.id, bench.lines.len())).collect()
    };
    let past = || order(1, "2026-08-05T18:00", vec![line(1, "2026-08-05T18:00")]);
    assert_eq!(seen(vec![past()]), [(1, 1)], "what is written now is seen");
    let later = order(2, "2026-08-05T17:00", vec![line(2, "2026-08-05T17:30"), line(3, "2026-08-05T18:01")]);
    assert_eq!(seen(vec![past(), later.clone()]), [(1, 1), (2, 1)]);
    assert_eq!(seen(vec![order(3, "2026-08-05T18:01", Vec::new()), past(), later]), [(1, 1), (2, 1)]);
}

#[test]
fn slack_that_still_holds_is_the_last_one_read_free_on_the_stand_since_the_drive_was_moved() {
    let standing = |more: &str| ready::standing_slack(&sound("standing", more).record()).map(|(slack_mm, _)| slack_mm);
    assert_eq!(standing(""), Some(85.0));
    assert_eq!(standing("2026-08-04T10:00 slack 0 83 84\n"), Some(83.0));
    assert_eq!(standing("2026-08-04T10:00 gap 0 40 41\n"), None);
    assert_eq!(standing("2026-08-04T10:00 seated 0 rider_on 30\n"), None);
    assert_eq!(standing("2026-08-04T10:00 work chain-slack done\n"), None);
}

#[test]
fn gears_that_just_meet_leave_no_hole() {
    let holes = |second: &str| {
        let text = root("data/bikes/alder-350.toml");
        let text = text
            .replace("[2.40, 1.85, 1.45, 1.20, 1.03, 0.90]", &format!("[2.0, {second}]"))
            .replace("hi_rpm = 9000", "hi_rpm = 7000")
            .replace("max_rpm = 11500", "max_rpm = 8000");
        let bike = upkeep::bike::Bike::from_toml(&text).expect("a bike");
        let view = gearing::view(&bike, None, ground::USUAL).expect("a view");
        view.notes.iter().filter(|note| note.contains("lies a hole")).count()
    };
    // From 4000 to 8000: a step of two to one.
    assert_eq!([holes("1.01"), holes("1.0"), holes("0.99")], [0, 0, 1]);
}

#[test]
fn without_hours_the_first_look_stands_after_the_first_hour() {
    let told = |more: &str| {
        let text = format!("2026-08-01T10:00 work final-drive-set done\n{more}");
        let state = State::of("fitted", bike("alder-350"), &text, "2026-08-05T18:00");
        let due = due::all(&state.record()).expect("what is due");
        let of = |what: &str| {
            due.iter().find(|one| one.what.starts_with(what)).map(|one| (one.when.clone(), one.reason.is_some()))
        };
        [of("Fasteners"), of("Slack again")].map(|one| one.expect("it stands there"))
    };
    let told_as = |first: &str, due: bool, again: &str| [(first.to_owned(), due), (again.to_owned(), false)];
    assert_eq!(told(""), told_as("after the first hour", false, "after next ride"));
    // A ride without hours may have been the first one, also where the meter was read before it; read after it, it counts.
    let metered = |more: &str| told(&format!("2026-08-01T09:00 meter 100\n{more}"));
    assert_eq!(metered(""), told_as("101.0 h", false, "after next ride"));
    assert_eq!(metered("2026-08-02T10:00 ride - loam dry\n"), told_as("now", true, "now"));
    assert_eq!(
        metered("2026-08-02T10:00 ride - loam dry\n2026-08-02T12:00 meter 100.5\n"),
        told_as("101.0 h", false, "now")
    );
}

#[test]
fn oil_is_due_for_rides_without_hours_as_for_others() {
    let told = |rides: &str| {
        let text = format!("2026-08-01T09:00 meter 100\n2026-08-01T10:00 work gearbox-oil done\n{rides}");
        let state = State::of("oiled", bike("alder-350"), &text, "2026-08-20T18:00");
        let due = due::all(&state.record()).expect("what is due");
        let oil = due.into_iter().find(|one| one.what == "Oil").expect("an interval on the sheet");
        (oil.when, oil.reason.is_some())
    };
    let three = "2026-08-02T10:00 ride 3 loam dry\n2026-08-03T10:00 ride 3 loam dry\n";
    let silent = "2026-08-04T10:00 ride - loam dry\n";
    assert_eq!(told(three), ("9.0 h left of 15 h".to_owned(), false));
    assert_eq!(
        told(&format!("{three}{silent}")),
        ("at most 9.0 h left of 15 h, a ride since has no hours".to_owned(), false)
    );
    // Three of them as long as the others leave nothing; the meter read since counts them.
    let many = format!("{three}{silent}2026-08-05T10:00 ride - loam dry\n2026-08-06T10:00 ride - loam dry\n");
    let words = "due during the ride: at most 9.0 h left of 15 h, 3 rides since have no hours";
    assert_eq!(told(&many), (words.to_owned(), true));
    assert_eq!(told(&format!("{many}2026-08-07T10:00 meter 106.5\n")), ("8.5 h left of 15 h".to_owned(), false));
}

#[test]
fn what_is_bought_by_post_comes_in_time_for_the_next_ride_or_too_late() {
    let view = |planned: &str, lead_d: Option<u16>| {
        let state = sound("planned", planned);
        let asked = Bought { size: Some("520".into()), links: Some(118), lead_d, ..Bought::of(What::Chain) };
        let view = buying::view(&state.record(), &Shelf::default(), &asked).expect("a view");
        let by = view.facts.iter().find(|fact| fact.key == "order_by").map(|fact| fact.text.clone());
        (by, view.reasons.iter().any(|reason| reason.text.starts_with("By post it comes too late for 2026-08-08")))
    };
    let ride = "2026-08-08T09:00 planned Saturday 4\n";
    assert_eq!(view(ride, Some(3)), (Some("2026-08-05".to_owned()), false), "ordered today");
    assert_eq!(view(ride, Some(4)), (Some("2026-08-04".to_owned()), true));
    assert_eq!((view(ride, None), view("", Some(3))), ((None, false), (None, false)));
}
