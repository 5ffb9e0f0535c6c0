//! A bike bought used, its hours known as a range: what every place says of it, and what narrows or ends it.

use std::path::Path;

use advice::record::{Record, first_day, forecast, kept_sets, replace, sets};
use advice::{Verdict, ready};
use jiff::civil::DateTime;
use upkeep::bike::Bike;
use upkeep::record::{
    Check, ElongationReading, Entry, Fact, Log, Meter, Part, Ride, Role, SlackKind, SlackReading, SlackState, Used,
    Whose,
};

fn bike() -> Bike {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/bikes/alder-350.toml");
    let text = std::fs::read_to_string(path).expect("the file is there");
    let text = text.lines().filter(|line| !line.starts_with("oil_interval_h")).collect::<Vec<_>>().join("\n");
    Bike::from_toml(&text).expect("it reads")
}

fn at(text: &str) -> DateTime {
    text.parse().expect("a time")
}

/// Facts and rides, all before the first of June.
fn log(facts: Vec<(&str, Fact)>, rides: &[(&str, f64)]) -> Log {
    let entry = |(id, (when, fact))| Entry { id, change: id, at: at(when), corrects: None, note: None, fact };
    let ride = |(id, (when, hours)): (i64, &(&str, f64))| Ride {
        id,
        name: "r".into(),
        at: at(when),
        hours_h: Some(*hours),
        ground: None,
        wet: None,
        odd: None,
    };
    Log::new((1..).zip(facts).map(entry).collect(), (1..).zip(rides).map(ride).collect())
}

fn asked<T>(log: &Log, ask: impl FnOnce(&Record<'_>) -> T) -> T {
    let bike = bike();
    ask(&Record::new(&bike, log, at("2026-06-01T10:00")))
}

fn used(whose: Whose, low: f64, high: f64) -> Fact {
    Fact::Used(Used::new(whose, low, high).expect("a range"))
}

fn meter(hours: f64) -> Fact {
    Fact::Meter(Meter::read(hours).expect("hours"))
}

fn slack() -> Fact {
    let reading = SlackReading::new(vec![85.0; 3], None, 0.5, SlackState::Stand, SlackKind::Free);
    Fact::Slack(reading.expect("a reading"))
}

fn length(pct: f64) -> Fact {
    let length = 317.5 * (1.0 + pct / 100.0);
    Fact::Elongation(ElongationReading::new(20, vec![vec![length]; 3], 0.05, 0.01).expect("a reading"))
}

fn says(log: &Log, words: &str) -> Verdict {
    asked(log, |record| {
        let view = ready::view(record);
        let all: Vec<&str> = view.reasons.iter().map(|reason| reason.text.as_str()).collect();
        let found = view.reasons.iter().find(|reason| reason.text.contains(words));
        assert!(found.is_some(), "\"{words}\" is not in {all:#?}");
        found.expect("it is there").verdict
    })
}

fn left(log: &Log) -> [Option<f64>; 3] {
    asked(log, |record| forecast::view(record).expect("an answer").left_h)
}

#[test]
fn a_range_goes_on_with_what_is_ridden_and_is_not_known_without_a_length() {
    let facts = vec![("2026-05-02T18:00", used(Whose::Bike, 40.0, 80.0)), ("2026-05-03T09:00", slack())];
    let log = log(facts, &[("2026-05-10T12:00", 3.0), ("2026-05-17T12:00", 2.5)]);
    let words =
        "46 to 86 h on this chain (40 to 80 h said on 2026-05-02, 5.5 h ridden since), and its length was never";
    assert_eq!(says(&log, words), Verdict::Unknown);
    asked(&log, |record| {
        let view = ready::view(record);
        assert_eq!((view.hours_h, view.verdict), (None, Verdict::Unknown));
        let hours = view.strip.iter().find(|fact| fact.key == "hours_h").expect("hours");
        assert_eq!((hours.text.as_str(), hours.value), ("46 to 86 h", None));
        assert_eq!(view.used.iter().map(|span| (span.whose, span.now_h)).collect::<Vec<_>>(), [("bike", [45.5, 85.5])]);
        let ran = sets::all(record).expect("hours");
        let told: Vec<_> = ran.iter().map(|one| (one.role, one.hours_h, one.range_h)).collect();
        let range = Some([45.5, 85.5]);
        assert_eq!(told, [("chain", None, range), ("front", None, range), ("rear", None, range)]);
    });
}

#[test]
fn the_worst_end_decides_between_ready_care_and_stop() {
    let at_pct = |pct: f64, planned: f64| {
        let facts = vec![
            ("2026-05-02T18:00", used(Whose::Chain, 40.0, 80.0)),
            ("2026-05-03T09:00", slack()),
            ("2026-05-03T10:00", length(pct)),
            (
                "2026-06-06T08:00",
                Fact::Planned(upkeep::record::Planned::new("tour".into(), false, Some(planned)).expect("a plan")),
            ),
        ];
        log(facts, &[])
    };
    let fresh = at_pct(0.5, 3.0);
    let least = left(&fresh)[0].expect("bounded below");
    assert!(least > 3.0, "{least}");
    assert_eq!(says(&fresh, "the worst end outlasts the ride"), Verdict::Ready);
    // The same chain before a ride that its worst end does not last through.
    assert_eq!(says(&at_pct(0.5, least + 0.5), "at the worst end"), Verdict::Care);
    // At the limit within the reading's error: the worst end has nothing left.
    assert_eq!(left(&at_pct(0.95, 3.0))[0], Some(0.0));
    assert_eq!(says(&at_pct(0.95, 3.0), "at the worst end 0 h"), Verdict::Care);
    assert_eq!(says(&at_pct(1.4, 3.0), "past its limit whatever its hours are"), Verdict::Stop);
}

#[test]
fn what_is_too_wide_to_plan_by_says_so_where_the_ride_is_decided_and_the_ride_is_said_where_it_is_asked() {
    let facts = vec![
        ("2026-05-02T18:00", used(Whose::Chain, 40.0, 80.0)),
        ("2026-05-03T09:00", slack()),
        ("2026-05-03T10:00", length(0.5)),
    ];
    let log = log(facts, &[]);
    let said = |reasons: &[advice::Reason]| {
        let of = reasons.iter().filter(|reason| reason.figure == "wear.first_day");
        of.map(|reason| (reason.verdict, reason.text.clone())).collect::<Vec<_>>()
    };
    asked(&log, |record| {
        let page = first_day::stored(record).expect("an answer").expect("a range");
        let [(wide, too_wide), (ride, outlasts)] = said(&page.reasons).try_into().expect("two reasons");
        assert_eq!((page.verdict, wide, ride), (Verdict::Unknown, Verdict::Unknown, Verdict::Ready), "{page:#?}");
        assert!(too_wide.contains("too wide to plan by") && outlasts.ends_with("the worst end outlasts the ride."));
        let [(home, text)] = said(&ready::view(record).reasons).try_into().expect("one reason");
        assert_eq!(home, Verdict::Ready);
        assert!(text.ends_with("too wide to plan by, yet the worst end outlasts the ride."), "{text}");
        // Asked without being kept it is the same answer.
        let asked = first_day::view(record, 40.0, 80.0).expect("an answer");
        assert_eq!(said(&asked.reasons), said(&page.reasons));
    });
}

#[test]
fn what_is_ridden_after_the_reading_comes_off_what_is_left() {
    let facts = |more: &[(&str, f64)]| {
        let facts = vec![("2026-05-02T18:00", used(Whose::Chain, 40.0, 80.0)), ("2026-05-02T19:00", length(0.5))];
        left(&log(facts, more))
    };
    let (then, now) = (facts(&[]), facts(&[("2026-05-09T12:00", 4.0)]));
    for (then, now) in then.into_iter().zip(now) {
        let (then, now) = (then.expect("bounded"), now.expect("bounded"));
        assert!((then - now - 4.0).abs() < 1e-9, "{then} {now}");
    }
}

#[test]
fn the_meter_narrows_a_range_and_tells_when_it_cannot_be() {
    let with = |shows: f64| {
        let facts = vec![("2026-05-02T18:00", used(Whose::Chain, 40.0, 80.0)), ("2026-05-20T18:00", meter(shows))];
        log(facts, &[("2026-05-10T12:00", 3.0)])
    };
    let now = |log: &Log| {
        let span = asked(log, |record| ready::view(record).used.first().cloned()).expect("a range");
        (span.now_h, span.because())
    };
    assert_eq!(now(&with(100.0)).0, [43.0, 83.0]);
    let (hours, why) = now(&with(62.0));
    assert_eq!(hours, [43.0, 62.0]);
    assert!(why.contains("at most what the meter shows, if it is as old as the bike"), "{why}");
    let (hours, why) = now(&with(12.0));
    assert_eq!(hours, [43.0, 83.0]);
    assert!(why.contains("younger than the bike, or one of both is wrong"), "{why}");
    // Of the bike itself the meter is the last word.
    let facts = vec![("2026-05-02T18:00", used(Whose::Bike, 40.0, 80.0)), ("2026-05-20T18:00", meter(62.0))];
    asked(&log(facts, &[]), |record| assert_eq!(ready::view(record).hours_h, Some(62.0)));
}

#[test]
fn a_first_note_of_the_meter_is_not_taken_for_hours_ridden() {
    let facts = vec![
        ("2026-05-02T18:00", used(Whose::Chain, 40.0, 80.0)),
        ("2026-05-02T18:30", length(0.5)),
        ("2026-05-20T18:00", meter(62.0)),
        ("2026-05-25T18:00", meter(64.0)),
    ];
    asked(&log(facts, &[("2026-05-10T12:00", 3.0)]), |record| {
        assert_eq!(record.since_h(at("2026-05-02T18:30")), Some(5.0));
        assert_eq!(record.since_h(at("2026-05-20T18:00")), Some(2.0));
    });
}

#[test]
fn three_readings_over_fifteen_hours_end_the_range_at_both_of_its_ends() {
    let facts = vec![
        ("2026-05-02T18:00", used(Whose::Chain, 40.0, 80.0)),
        ("2026-05-02T19:00", length(0.50)),
        ("2026-05-10T19:00", length(0.58)),
        ("2026-05-20T19:00", length(0.68)),
    ];
    let log = log(facts, &[("2026-05-09T12:00", 9.0), ("2026-05-19T12:00", 9.0)]);
    asked(&log, |record| {
        let view = forecast::view(record).expect("an answer");
        assert_eq!(view.verdict, Verdict::Ready);
        assert!(view.sentence.contains("whichever of 58 to 98 h it has"), "{}", view.sentence);
        let reasons = ready::view(record).reasons;
        assert!(!reasons.iter().any(|reason| reason.figure == "wear.first_day"), "{reasons:#?}");
    });
}

#[test]
fn a_new_chain_ends_the_range_of_the_old_one() {
    let facts = vec![
        ("2026-05-02T18:00", used(Whose::Bike, 40.0, 80.0)),
        ("2026-05-20T18:00", Fact::Part(Part::new(Role::Chain, "B".into(), Some(118), 0.0, None).expect("a part"))),
    ];
    asked(&log(facts, &[]), |record| {
        assert!(first_day::stored(record).expect("an answer").is_none());
        let spans = ready::view(record).used;
        assert_eq!(spans.len(), 1, "the sprockets are still as old as the bike");
    });
}

#[test]
fn a_sprocket_past_its_life_at_the_worst_end_is_looked_at() {
    let facts = |look: bool| {
        let mut facts = vec![("2026-05-02T18:00", used(Whose::Front, 40.0, 120.0))];
        if look {
            facts.push(("2026-05-03T18:00", Fact::Check(Check::new("front-teeth", "sound", None).expect("a check"))));
        }
        log(facts, &[])
    };
    let words = "The front sprocket has 40 to 120 h on it";
    assert_eq!(says(&facts(false), words), Verdict::Care);
    asked(&facts(true), |record| {
        assert!(!ready::view(record).reasons.iter().any(|reason| reason.text.contains(words)));
    });
    asked(&facts(false), |record| {
        let view = replace::view(record, &replace::Asked::default()).expect("an answer");
        let front = view.parts.iter().find(|known| known.part == "front").expect("a part");
        assert!(front.level[0] < front.level[1], "{front:?}");
        assert!(front.level_because.starts_with("40 to 120 h of"), "{front:?}");
    });
}

#[test]
fn a_part_put_away_takes_the_most_of_its_range_with_it() {
    let fitted =
        |role, count, name: &str| Fact::Part(Part::new(role, name.into(), Some(count), 0.0, None).expect("a part"));
    let facts = vec![
        ("2026-05-01T18:00", fitted(Role::Chain, 118, "old")),
        ("2026-05-02T18:00", used(Whose::Chain, 40.0, 80.0)),
    ];
    asked(&log(facts, &[("2026-05-10T12:00", 3.0)]), |record| {
        let off = kept_sets::take_off(record).expect("it comes off");
        assert_eq!(off.off.iter().map(Part::used_h).collect::<Vec<_>>(), [83.0]);
        assert!(off.words().iter().any(|word| word.contains("the most of its 43 to 83 h")), "{:?}", off.words());
        let view = kept_sets::view(record).expect("sets");
        assert_eq!(view.fitted[0].range_h, Some([43.0, 83.0]));
    });
}
