//! What to measure next, and whether chain and slack last through the coming ride: what both say of a made record.

use std::path::Path;

use advice::Verdict;
use advice::record::through::{Asked, ThroughView};
use advice::record::{Record, next, through};
use jiff::civil::DateTime;
use upkeep::bike::Bike;
use upkeep::record::{ElongationReading, Entry, Fact, Log, Meter, Part, Role, SlackKind, SlackReading, SlackState};

fn bike() -> Bike {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/bikes/alder-350.toml");
    Bike::from_toml(&std::fs::read_to_string(path).expect("the file is there")).expect("it reads")
}

fn at(text: &str) -> DateTime {
    text.parse().expect("a time")
}

/// A chain read four times, each ten hours, up to a last elongation; slack read at the end.
fn log(last_pct: f64, slack_mm: Option<f64>) -> Log {
    let mut facts = vec![
        ("2026-03-01T10:00", Fact::Meter(Meter::read(0.0).expect("hours"))),
        ("2026-03-01T10:01", Fact::Part(Part::new(Role::Chain, "set".into(), Some(118), 0.0, None).expect("a part"))),
    ];
    for (n, day) in (1_u32..).zip(["2026-03-10T10:00", "2026-03-20T10:00", "2026-04-01T10:00", "2026-04-10T10:00"]) {
        let hours = 10.0 * f64::from(n);
        let pct = last_pct * f64::from(n) / 4.0;
        let length = 317.5 * (1.0 + pct / 100.0);
        facts.push((day, Fact::Meter(Meter::read(hours).expect("hours"))));
        let reading = ElongationReading::new(20, vec![vec![length]; 3], 0.05, 0.1).expect("a reading");
        facts.push((day, Fact::Elongation(reading)));
    }
    if let Some(slack_mm) = slack_mm {
        let reading = SlackReading::new(vec![slack_mm], None, 0.5, SlackState::Stand, SlackKind::Free);
        facts.push(("2026-04-10T10:05", Fact::Slack(reading.expect("a reading"))));
    }
    let entry = |(id, (when, fact))| Entry { id, change: id, at: at(when), corrects: None, note: None, fact };
    Log::new((1..).zip(facts).map(entry).collect(), Vec::new())
}

fn lasts(last_pct: f64, slack_mm: Option<f64>, asked: Asked) -> ThroughView {
    let bike = bike();
    through::view(&Record::new(&bike, &log(last_pct, slack_mm), at("2026-04-11T10:00")), &asked).expect("an answer")
}

fn ride(hours: f64, mud: f64) -> Asked {
    Asked { hours_h: Some(hours), mud_h: Some(mud), ..Asked::default() }
}

#[test]
fn more_hours_and_more_mud_never_raise_the_chance() {
    let chance = |hours, mud| lasts(0.6, Some(83.0), ride(hours, mud)).chance_both;
    let (short, long, muddy) = (chance(2.0, 0.0), chance(5.0, 0.0), chance(5.0, 4.0));
    assert!(short > long && long > muddy, "{short} {long} {muddy}");
    assert!(short > 0.5 && muddy < 0.5);
}

#[test]
fn the_slack_is_the_tight_limit_and_setting_it_raises_the_chance_most() {
    let view = lasts(0.6, Some(87.0), ride(5.0, 0.0));
    let slack = view.chance_slack.expect("a reading holds");
    assert!(view.chance_limit > 0.99 && slack < view.chance_limit, "{view:?}");
    assert!(view.chance_both <= slack.min(view.chance_limit) + 1e-12);
    assert!(view.acts[0].act.starts_with("Set the slack to 82.0 mm"), "{:?}", view.acts);
    assert!(view.acts[0].raises > 0.1);
    assert!(view.acts.windows(2).all(|pair| pair[0].raises >= pair[1].raises));
    // What the act promises is what is answered once it is done.
    let after = lasts(0.6, Some(82.0), ride(5.0, 0.0));
    assert!((after.chance_both - view.acts[0].chance).abs() < 1e-12);
}

#[test]
fn slack_beyond_its_band_has_no_chance_before_it_is_set() {
    let view = lasts(0.6, Some(95.0), ride(2.0, 0.0));
    assert_eq!((view.chance_both, view.chance_slack, view.sure_h), (0.0, Some(0.0), None));
    assert!(view.acts[0].act.starts_with("Set the slack"));
    assert!(view.acts[1..].iter().all(|act| act.raises.abs() < 1e-12), "riding less does not tighten a chain");
}

#[test]
fn what_is_not_known_is_never_ready() {
    let no_slack = lasts(0.2, None, ride(1.0, 0.0));
    assert_eq!((no_slack.verdict, no_slack.chance_slack), (Verdict::Unknown, None));
    let bike = bike();
    let empty = Record::new(&bike, &Log::default(), at("2026-04-11T10:00"));
    let view = through::view(&empty, &ride(1.0, 0.0)).expect("an answer from the prior alone");
    assert_eq!(view.verdict, Verdict::Unknown);
    assert!(through::view(&empty, &Asked::default()).is_err(), "no hours are known");
    assert!(through::view(&empty, &ride(1.0, 2.0)).is_err(), "more mud than ride");
}

#[test]
fn what_is_not_known_at_all_is_measured_first() {
    let bike = bike();
    let view = next::view(&Record::new(&bike, &log(0.6, None), at("2026-04-11T10:00"))).expect("an answer");
    assert_eq!(view.best.as_deref(), Some("Measure slack"));
    assert!(view.unknown.iter().any(|reason| reason.text.contains("slack")));
}

#[test]
fn near_the_limit_the_chain_is_read_and_far_from_it_it_is_not() {
    let bike = bike();
    let of = |last_pct| {
        let record = Record::new(&bike, &log(last_pct, Some(85.0)), at("2026-04-11T10:00"));
        next::view(&record).expect("an answer")
    };
    let (near, far) = (of(0.97), of(0.3));
    let gain = |view: &next::NextView| {
        view.offers
            .iter()
            .filter(|offer| offer.name.starts_with("Chain"))
            .map(|one| one.gain_per_min)
            .fold(0.0, f64::max)
    };
    assert!(gain(&near) > 100.0 * gain(&far), "{} {}", gain(&near), gain(&far));
    for view in [&near, &far] {
        assert!(view.offers.windows(2).all(|pair| pair[0].gain_per_min >= pair[1].gain_per_min));
        let whole = |offer: &next::Offer| offer.gain_per_min * offer.minutes_min;
        assert!(view.offers.iter().all(|one| (whole(one) - (one.wrong_now - one.wrong_after)).abs() < 1e-9));
    }
}

#[test]
fn sand_and_mud_are_hours_of_the_ride_and_not_hours_more() {
    let asked = Asked { hours_h: Some(5.0), mud_h: Some(1.0), sand_h: Some(2.0), ..Asked::default() };
    let view = lasts(0.2, Some(83.0), asked);
    let said = view.reasons.iter().find(|reason| reason.text.contains("hold through")).expect("a reason").text.clone();
    assert!(said.contains("through 5.0 h, 2.0 h of them sand, 1.0 h of them mud"), "{said}");
    assert!((view.hours_h - 5.0).abs() < 1e-12 && (view.sand_mud_h[0] - 2.0).abs() < 1e-12, "{view:?}");
}

#[test]
fn the_chance_alone_says_whether_it_is_ready_care_or_stop() {
    let mut met = Vec::new();
    for (pct, slack_mm, hours) in [(0.2, 83.0, 0.5), (0.6, 83.0, 2.0), (0.6, 83.0, 5.0), (0.6, 95.0, 2.0)] {
        let view = lasts(pct, Some(slack_mm), ride(hours, 0.0));
        let expected = match view.chance_both {
            chance if chance >= 0.95 => Verdict::Ready,
            chance if chance <= 0.05 => Verdict::Stop,
            _ => Verdict::Care,
        };
        let reason = view.reasons.iter().find(|reason| reason.text.contains("hold through")).expect("a reason");
        assert_eq!(reason.verdict, expected, "{}", reason.text);
        met.push(expected);
    }
    assert!(met.contains(&Verdict::Ready) && met.contains(&Verdict::Care) && met.contains(&Verdict::Stop), "{met:?}");
}

#[test]
fn a_missing_reading_is_said_to_leave_no_verdict() {
    let bike = bike();
    let view = next::view(&Record::new(&bike, &log(0.6, None), at("2026-04-11T10:00"))).expect("an answer");
    assert!(view.sentence.starts_with("Measure slack: without it there is no verdict."), "{}", view.sentence);
}

#[test]
fn hours_ridden_since_the_last_reading_count_like_hours_of_the_ride() {
    let chance = |since_h: f64, ride_h: f64| {
        let (bike, log) = (bike(), log(0.9, None));
        let mut entries = log.entries().to_vec();
        let fact = Fact::Meter(Meter::read(40.0 + since_h).expect("hours"));
        entries.push(Entry { id: 90, change: 90, at: at("2026-04-10T18:00"), corrects: None, note: None, fact });
        let record = Record::new(&bike, &Log::new(entries, Vec::new()), at("2026-04-11T10:00"));
        through::view(&record, &ride(ride_h, 0.0)).expect("an answer").chance_limit
    };
    let (short, whole) = (chance(0.0, 1.0), chance(0.0, 5.0));
    // Of the hours behind the ground is known, of those ahead it is not quite: that is all that tells them apart.
    assert!((chance(4.0, 1.0) - whole).abs() < 0.01, "{} {whole}", chance(4.0, 1.0));
    assert!(short > whole + 0.1, "{short} {whole}");
}

#[test]
fn keeping_out_of_sand_or_mud_is_offered_only_where_some_is_ridden() {
    let acts = |sand, mud| {
        let asked = Asked { hours_h: Some(5.0), mud_h: Some(mud), sand_h: Some(sand), ..Asked::default() };
        lasts(0.8, Some(83.0), asked).acts
    };
    for (sand, mud) in [(0.0, 0.0), (2.0, 0.0), (0.0, 2.0), (1.0, 2.0)] {
        let acts = acts(sand, mud);
        let offered = |ground: &str| {
            acts.iter().find(|act| act.act.starts_with(&format!("Keep out of the {ground}"))).map(|act| act.raises)
        };
        assert_eq!(offered("sand").is_some(), sand > 0.0, "{acts:?}");
        assert_eq!(offered("mud").is_some(), mud > 0.0, "{acts:?}");
        assert!([offered("sand"), offered("mud")].into_iter().flatten().all(|raises| raises > 0.0), "{acts:?}");
    }
}

/// Readings of slack that are offered: the fear behind each, with the chance of a wrong verdict now.
fn fears(slack_mm: f64, since_h: f64) -> [f64; 2] {
    let (bike, log) = (bike(), log(0.6, Some(slack_mm)));
    let mut entries = log.entries().to_vec();
    let fact = Fact::Meter(Meter::read(40.0 + since_h).expect("hours"));
    entries.push(Entry { id: 90, change: 90, at: at("2026-04-10T18:00"), corrects: None, note: None, fact });
    let view = next::view(&Record::new(&bike, &Log::new(entries, Vec::new()), at("2026-04-11T10:00")));
    let offers = view.expect("an answer").offers;
    ["too tight", "too loose"].map(|fear| {
        let offer = offers.iter().find(|one| one.name.starts_with("Slack again") && one.name.contains(fear));
        offer.expect(fear).wrong_now
    })
}

#[test]
fn slack_near_an_end_of_its_band_is_feared_for_that_end() {
    let ([tight, loose], [other_tight, other_loose]) = (fears(83.0, 0.0), fears(87.5, 0.0));
    assert!(loose < other_loose && tight > other_tight, "{tight} {loose}, then {other_tight} {other_loose}");
}

#[test]
fn a_chain_that_grew_since_its_slack_was_read_is_feared_to_be_loose_and_not_to_be_tight() {
    let ([tight, loose], [then_tight, then_loose]) = (fears(85.0, 0.0), fears(85.0, 1.5));
    assert!(then_loose > loose && then_tight < tight, "{tight} {loose}, then {then_tight} {then_loose}");
}
