//! A made record of ten years: 600 rides, 400 measurements, 60 jobs of the demo's first bike. Nobody rode any of it.
//!
//! `cargo run -p store --example ten_years FILE`, then `tightspot --store FILE ready` or `serve`.
#![expect(clippy::print_stdout, reason = "it says what it made")]

use std::error::Error;

use jiff::Timestamp;
use jiff::civil::{DateTime, datetime};
use store::{NewEntry, NewRide, Post, Store};
use upkeep::bike::Bike;
use upkeep::record::{ElongationReading, Fact, Meter, Part, Role, SlackKind, SlackReading, SlackState, Work};

const RIDES: u32 = 600;
const MEASURED: u32 = 400;
const JOBS: u32 = 60;
const FIRST: DateTime = datetime(2016, 10, 1, 17, 0, 0, 0);
const HOURS: f64 = 2.4;
const GROUNDS: [&str; 5] = ["loam", "moor", "rock", "bog", "road"];

fn main() -> Result<(), Box<dyn Error>> {
    let place = std::env::args().nth(1).ok_or("name a file that is not there yet")?;
    if std::path::Path::new(&place).exists() {
        return Err("that file is there already".into());
    }
    let mut store = Store::open(&place)?;
    let post = Post::at(Timestamp::now());
    let sheet = include_str!("../../../data/bikes/alder-350.toml");
    store.put_bike(&Bike::from_toml(sheet).map_err(|faults| format!("{faults:?}"))?, &post)?;
    for ride in 0..RIDES {
        let at = after(ride * 6);
        let about = NewRide {
            hours_h: Some(HOURS),
            ground: Some(GROUNDS[(ride % 5) as usize].to_owned()),
            wet: Some(ride.is_multiple_of(3)),
            over: Some(at),
            ..NewRide::new(format!("ride {}", ride + 1), at.date())
        };
        store.add_ride("alder-350", &about, None, &post)?;
    }
    for reading in 0..MEASURED {
        store.note("alder-350", &[measured(reading)?], &post)?;
    }
    for job in 0..JOBS {
        store.note("alder-350", &done(job)?, &post)?;
    }
    let found = store.check()?;
    println!("{place}: {} rides, {} entries, INVENTED", found.rides, found.entries);
    Ok(())
}

/// So many days after the first one.
fn after(days: u32) -> DateTime {
    FIRST.saturating_add(jiff::Span::new().days(i64::from(days)))
}

/// Slack and length in turns; each chain wears to its limit over forty readings, then a new one begins.
fn measured(reading: u32) -> Result<NewEntry, Box<dyn Error>> {
    let at = after(reading * 9).saturating_add(jiff::Span::new().hours(1));
    let told = |fault: upkeep::bike::Fault| fault.text;
    let fact = if reading.is_multiple_of(2) {
        let worn = f64::from(reading % 40) / 40.0;
        let length = |more: f64| vec![317.5 * (1.0 + (worn + more) / 100.0)];
        let places = vec![length(0.0), length(0.05), length(0.02)];
        Fact::Elongation(ElongationReading::new(20, places, 0.05, 0.1).map_err(told)?)
    } else {
        let places = (0..12).map(|n| 12.0 * f64::from(n)).collect();
        let read = (0..12).map(|n| 85.0 + f64::from(n % 4)).collect();
        Fact::Slack(SlackReading::new(read, Some(places), 0.5, SlackState::Stand, SlackKind::Free).map_err(told)?)
    };
    Ok(NewEntry::new(at, fact))
}

/// A job in turn; every sixth one is a set with its parts.
fn done(job: u32) -> Result<Vec<NewEntry>, Box<dyn Error>> {
    let at = after(job * 60).saturating_sub(jiff::Span::new().hours(3));
    let told = |fault: upkeep::bike::Fault| fault.text;
    let name = if job.is_multiple_of(6) { "final-drive-set" } else { "gearbox-oil" };
    let mut facts = vec![Fact::Work(Work::new(name, "done").map_err(told)?)];
    facts.push(Fact::Meter(Meter::read(HOURS * 10.0 * f64::from(job)).map_err(told)?));
    if job.is_multiple_of(6) {
        for (role, count, price) in [(Role::Chain, 118, 9200), (Role::Front, 14, 1900), (Role::Rear, 48, 4800)] {
            let price = Some((price, "EUR".to_owned()));
            facts.push(Fact::Part(Part::new(role, format!("set {job}"), Some(count), 0.0, price).map_err(told)?));
        }
    }
    Ok(facts.into_iter().map(|fact| NewEntry::new(at, fact)).collect())
}
