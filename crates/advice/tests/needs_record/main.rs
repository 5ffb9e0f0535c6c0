//! Worked examples of riders' needs about the record: what a rider must be told from readings, hours and work.
//!
//! The examples stand in `checks/needs/examples.json` with their sources; a test names the need that it covers.

use advice::record::elongation::{self, Limit, fell};
use advice::record::forecast::{Point, of_points};
use advice::record::{Record, due, forecast, season, slack};
use advice::{Setup, Verdict, ask, decision, ready};
use serde_json::{Value, json};
use upkeep::bike::{self, Bike, Change};
use upkeep::record::{
    AxleReading, Check, ElongationReading, Entry, Fact, Log, Meter, Part, Planned, Ride, Role, SlackKind, SlackReading,
    SlackState, Waiver, Work,
};

#[path = "../examples/mod.rs"]
mod examples;

use examples::{alder, all, examples};

fn example(case: &str) -> Value {
    all().into_iter().find(|example| example["case"] == case).expect("the example is there")
}

/// The demo bike without an oil interval, so that only what a test records speaks.
fn bike() -> Bike {
    let mut bike = alder();
    if bike.number("oil_interval_h").is_some() {
        set(&mut bike, "oil_interval_h", None);
    }
    bike
}

fn set(bike: &mut Bike, field: &str, value: Option<bike::Value>) {
    bike.change(&[Change { field: field.to_owned(), value, source: None }]).expect("the sheet takes it");
}

fn at(text: &str) -> jiff::civil::DateTime {
    text.parse().expect("a time")
}

fn facts(list: Vec<(&str, Fact)>) -> Vec<Entry> {
    let entry = |(id, (when, fact))| Entry { id, change: id, at: at(when), corrects: None, note: None, fact };
    (1..).zip(list).map(entry).collect()
}

fn record<'a>(bike: &'a Bike, list: Vec<(&str, Fact)>, rides: Vec<Ride>, now: &str) -> Record<'a> {
    Record::new(bike, &Log::new(facts(list), rides), at(now))
}

fn ride(when: &str, hours_h: f64) -> Ride {
    Ride { id: 1, name: "Hask Forest".into(), at: at(when), hours_h: Some(hours_h), ground: None, wet: None, odd: None }
}

fn stand(list: &[f64]) -> SlackReading {
    SlackReading::new(list.to_vec(), None, 0.5, SlackState::Stand, SlackKind::Free).expect("possible")
}

fn quarter_turns(list: &[f64], step: f64) -> SlackReading {
    let places = (0_u32..).map(|n| step * f64::from(n)).take(list.len()).collect();
    SlackReading::new(list.to_vec(), Some(places), 0.5, SlackState::Stand, SlackKind::Free).expect("possible")
}

fn lengths(pitches: u32, list: &[f64], error_mm: f64) -> ElongationReading {
    let places = list.iter().map(|length| vec![*length]).collect();
    ElongationReading::new(pitches, places, error_mm, 0.1).expect("possible")
}

fn meter(hours: f64) -> Fact {
    Fact::Meter(Meter::read(hours).expect("hours"))
}

fn work(job: &str, state: &str) -> Fact {
    Fact::Work(Work::new(job, state).expect("a job"))
}

fn check(name: &str, answer: &str) -> Fact {
    let torque = matches!((name, answer), ("axle" | "rear-fasteners" | "front-retainer", "set")).then_some(50.0);
    Fact::Check(Check::new(name, answer, torque).expect("a check"))
}

fn even() -> Fact {
    Fact::Slack(stand(&[85.0, 85.5, 86.0, 85.5]))
}

fn sound() -> Fact {
    Fact::Elongation(lengths(20, &[318.4, 318.5, 318.4], 0.05))
}

/// Set fitted and everything confirmed, ridden in, read again: nothing stands against riding.
fn all_inside() -> Vec<(&'static str, Fact)> {
    vec![
        ("2026-08-01T09:00", meter(100.0)),
        ("2026-08-01T10:00", work("final-drive-set", "done")),
        ("2026-08-01T10:00", check("brake", "firm")),
        ("2026-08-01T10:00", check("joint", "closed-end-leads")),
        ("2026-08-01T10:00", check("axle", "set")),
        ("2026-08-01T10:00", check("rear-fasteners", "set")),
        ("2026-08-01T10:00", check("front-retainer", "set")),
        ("2026-08-03T18:00", meter(101.5)),
        ("2026-08-03T18:10", check("recheck", "done")),
        ("2026-08-03T18:20", even()),
        ("2026-08-03T18:30", sound()),
    ]
}

fn list(value: &Value) -> Vec<f64> {
    value.as_array().into_iter().flatten().filter_map(Value::as_f64).collect()
}

fn near(example: &Value, name: &str, got: f64) {
    let want = example["want"][name].as_f64().expect("the example wants it");
    let tol = example["tol"][name].as_f64().unwrap_or(1e-9);
    assert!((got - want).abs() <= tol, "{} {name}: want {want}, got {got}", example["case"]);
}

fn reason<'v>(view: &'v ready::ReadyView, words: &str) -> &'v advice::Reason {
    view.reasons.iter().find(|reason| reason.text.contains(words)).expect(words)
}

mod latest_readings;
mod reading;
mod season_and_due;
