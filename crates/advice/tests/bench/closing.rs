//! Closing a work order: what keeps it open, what may be let go, and what the bike is afterwards.

use super::*;

#[test]
fn closing_is_refused_with_the_open_safety_steps_by_name() {
    let mut room = Room::of(&["final-drive-set"]);
    room.until("do:rear-brake-pump");
    let closing = close::view(&room.desk(), &room.laid());
    assert!(
        closing.refusal()[0].starts_with("Open, and safety hangs on it: Pump the rear brake"),
        "{:?}",
        closing.refusal()
    );
    assert!(close::dropping(&room.desk(), &room.laid()).is_err());
    assert_eq!(room.bench.end(), End::Open);
}

#[test]
fn safety_is_never_let_go_and_engine_only_with_a_reason() {
    let mut room = Room::of(&["final-drive-set"]);
    let mut typed = room.until("do:look-at-countershaft-seal");
    typed.holds[0].1 = TypedHold { value: "no".to_owned(), waived: true, ..TypedHold::default() };
    assert_eq!(fields(&room.take(&typed).expect_err("no reason")), ["reason-seal-dry"]);
    typed.holds[0].1.reason = "a drop a week, watched".to_owned();
    room.take(&typed).expect("let go");
    assert_eq!(room.bench.jobs_now(), ["final-drive-set"]);
    let mut typed = room.until("do:rear-brake-pump");
    typed.holds[0].1 =
        TypedHold { value: "no".to_owned(), waived: true, reason: "late".to_owned(), ..TypedHold::default() };
    assert_eq!(fields(&room.take(&typed).expect_err("safety")), ["waive-rear-pedal"]);
}

#[test]
fn a_threadlocker_says_from_when_the_bike_may_be_ridden_only_by_its_own_label() {
    let mut room = Room::of(&["final-drive-set"]);
    let mut typed = room.until("do:rear-sprocket-swap");
    assert!(step::view(&room.desk(), &room.laid(), room.laid().done()).expect("a step").cures);
    typed.cure_h = "24".to_owned();
    room.take(&typed).expect("with the hours off its label");
    let told = view(&room.desk()).expect("a view");
    assert_eq!(told.ride_not_before.as_deref(), Some("2026-09-25 17:05"));
    assert!(told.reasons.iter().any(|reason| reason.text.contains("Ride not before 2026-09-25 17:05")));
    let mut plain = Room::of(&["final-drive-set"]);
    let typed = plain.until("do:rear-sprocket-swap");
    plain.take(&typed).expect("without");
    assert_eq!(view(&plain.desk()).expect("a view").ride_not_before, None);
}

#[test]
fn a_closed_order_keeps_the_bike_from_being_ready_until_what_was_glued_is_cured() {
    let mut room = Room::of(&["final-drive-set"]);
    let mut typed = room.until("do:rear-sprocket-swap");
    typed.cure_h = "24".to_owned();
    room.take(&typed).expect("with the hours off its label");
    room.bench = room.bench.with(room.now, None, &[What::Closed]);
    assert_eq!(room.bench.end(), End::Closed);
    let stops = |now: &str| {
        let record = Record::new(&room.bike, &Log::default(), at(now)).with_benches(vec![room.bench.clone()]);
        let told = ready::view(&record);
        assert!(told.open_jobs.is_empty(), "it is closed");
        let cures = told.reasons.iter().find(|reason| reason.text.contains("Ride not before 2026-09-25 17:05"));
        cures.map(|reason| (reason.verdict, told.verdict))
    };
    assert_eq!(stops("2026-09-24T18:00"), Some((Verdict::Stop, Verdict::Stop)));
    assert_eq!(stops("2026-09-25T17:04"), Some((Verdict::Stop, Verdict::Stop)));
    assert_eq!(stops("2026-09-25T17:05"), None);
    assert_eq!(stops("2026-09-24T16:00"), None, "looked at from before the order was begun");
}

#[test]
fn an_order_that_was_begun_keeps_the_bike_from_being_ready_whatever_its_job_is_called() {
    for job in ["chain-slack", "brake-pads-rear"] {
        let mut room = Room::of(&[job]);
        let stops = |room: &Room| {
            let begun = close::begun(&[job]).expect("a job").into_iter();
            let entry = |(id, fact)| Entry { id, change: id, at: room.bench.at, corrects: None, note: None, fact };
            let log = Log::new((1..).zip(begun).map(entry).collect(), Vec::new());
            let record = Record::new(&room.bike, &log, room.now).with_benches(vec![room.bench.clone()]);
            let reasons = ready::view(&record).reasons;
            let on_bench = reasons.into_iter().find(|reason| reason.text.starts_with("Work order 1 is open."));
            on_bench.map(|reason| (reason.verdict, reason.text))
        };
        assert_eq!(stops(&room), None, "{job}: nothing is touched yet");
        room.next();
        let (verdict, text) = stops(&room).expect("it is begun");
        assert!(verdict == Verdict::Stop && text.contains("that safety hangs on"), "{job}: {text}");
        if job == "chain-slack" {
            while room.next().is_some() {}
            assert_eq!(stops(&room), None, "{job}: every step is done");
        }
    }
}

#[test]
fn mere_advice_is_let_go_with_or_without_a_reason_and_the_reason_stays() {
    for reason in ["half worn, watched", ""] {
        let mut room = Room::of(&["front-sprocket-only"]);
        let mut typed = room.until("do:worn-chain-gate");
        typed.holds[0].1 =
            TypedHold { value: "no".to_owned(), waived: true, reason: reason.to_owned(), ..TypedHold::default() };
        room.take(&typed).expect("let go");
        assert_eq!(room.bench.jobs_now(), ["front-sprocket-only"], "no job comes of it");
        let ticks = room.bench.ticks();
        let (.., answers) = ticks.iter().find(|(_, step, _)| *step == "do:worn-chain-gate").expect("it is ticked");
        assert_eq!(answers[0].reason.as_deref().unwrap_or_default(), reason);
    }
}

#[test]
fn closing_changes_on_the_sheet_what_was_fitted_and_nothing_else() {
    let mut room = Room::of(&["final-drive-set"]);
    assert_eq!(close::sheet(&room.desk()), []);
    room.bench.setup = [13, 48, 116];
    let changes = close::sheet(&room.desk());
    let told: Vec<_> =
        changes.iter().map(|change| (change.field.as_str(), change.value.clone(), change.source.as_deref())).collect();
    let by = Some("fitted by work order 1");
    assert_eq!(told, [("front_teeth", Some(Value::Whole(13)), by), ("links", Some(Value::Whole(116)), by)]);
    room.bike.change(&changes).expect("it fits");
    assert_eq!(close::sheet(&room.desk()), []);
}

#[test]
fn bearings_that_failed_count_as_smooth_only_where_the_order_renews_them() {
    use upkeep::job::bench::{Answer, Outcome};
    let told = |jobs: &[&str], outcome: Outcome| {
        let mut room = Room::of(jobs);
        let answer = Answer {
            hold: "hub-bearings".to_owned(),
            typed: "no".to_owned(),
            number: None,
            unit: String::new(),
            outcome,
            reason: None,
            against: None,
        };
        let ticked = What::Ticked { step: "do:an-older-look".to_owned(), reason: None, answers: vec![answer] };
        room.bench = room.bench.with(room.now, None, &[ticked]);
        let facts = close::facts(&room.desk(), &room.laid(), Vec::new()).expect("facts");
        facts.iter().find_map(|fact| match fact {
            Fact::Check(check) if check.kind().name == "bearings" => Some(check.answer()),
            _ => None,
        })
    };
    assert_eq!(told(&["rear-tyre"], Outcome::Failed), Some("play-felt"));
    assert_eq!(told(&["rear-tyre", "rear-wheel-bearings"], Outcome::Failed), Some("smooth"));
    assert_eq!(told(&["rear-tyre"], Outcome::Passed), Some("smooth"));
    assert_eq!(told(&["rear-tyre", "rear-wheel-bearings"], Outcome::Waived), Some("play-felt"));
}

#[test]
fn a_no_brings_no_job_that_the_order_has_already() {
    for (jobs, brings) in [(&["final-drive-set"][..], true), (&["final-drive-set", "countershaft-seal"], false)] {
        let mut room = Room::of(jobs);
        let mut typed = room.until("do:look-at-countershaft-seal");
        typed.holds[0].1 = TypedHold { value: "no".to_owned(), ..TypedHold::default() };
        let what = room.take(&typed).expect("it is told");
        assert_eq!(what.iter().any(|one| matches!(one, What::Added { .. })), brings, "{jobs:?}");
        assert_eq!(room.bench.jobs_now(), ["final-drive-set", "countershaft-seal"]);
    }
}
