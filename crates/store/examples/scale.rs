//! What 10 and 1,000 riders ask of a file each, of one file for all of them, and of a server. Nobody rode any of it.
//!
//! `scripts/scale` builds it, starts a server for it and runs it. Each record holds one made year; then four writers, and
//! after them four readers, visit riders at random for a few seconds each.
#![expect(clippy::print_stdout, reason = "a measurement reports on the terminal")]

use std::error::Error;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::{Duration, Instant};

use jiff::Timestamp;
use jiff::civil::{DateTime, datetime};
use store::{Engine, NewEntry, NewRide, Post, Postgres, Store};
use upkeep::bike::Bike;
use upkeep::record::{ElongationReading, Fact, Meter, SlackKind, SlackReading, SlackState, Work};

/// A year of one rider: rides, readings, jobs; as in the made record of ten years.
const RIDES: u32 = 60;
const READINGS: u32 = 40;
const JOBS: u32 = 6;
const FIRST: DateTime = datetime(2025, 1, 4, 17, 0, 0, 0);
/// Who writes and reads at once.
const VISITORS: u32 = 4;

type Outcome<T> = Result<T, Box<dyn Error + Send + Sync>>;

fn main() -> Outcome<()> {
    let folder = PathBuf::from(std::env::args().nth(1).ok_or("name a folder that is not there yet")?);
    let seconds = std::env::args().nth(2).map_or(Ok(4), |typed| typed.parse())?;
    let window = Duration::from_secs(seconds);
    std::fs::create_dir(&folder)?;
    println!("a year: {RIDES} rides, {READINGS} readings, {JOBS} jobs; {VISITORS} visitors at once, {seconds} s each");
    println!(
        "riders  kept as            appended/s  p50 ms  p99 ms   read/s  p50 ms  p99 ms  KiB a year   copy s  copied KiB"
    );
    for riders in [10, 1000] {
        for kept in [each(&folder, riders)?, one(&folder, riders)?, server(riders)?] {
            let size = kept.bytes(riders)? / f64::from(riders) / 1024.0;
            let (copy_s, copied) = kept.copy(&folder, riders)?;
            let written = visit(&kept, riders, window, |visitor, rider, number| visitor.append(rider, number))?;
            let read = visit(&kept, riders, window, |visitor, rider, _| visitor.read(rider))?;
            println!(
                "{riders:6}  {:<17}  {:10.0}  {:6.2}  {:6.2}  {:7.0}  {:6.2}  {:6.2}  {size:10.1}  {copy_s:7.2}  {:10.0}",
                kept.name(),
                written.rate,
                written.middle_ms,
                written.late_ms,
                read.rate,
                read.middle_ms,
                read.late_ms,
                copied / 1024.0,
            );
        }
    }
    Ok(())
}

/// How the records are kept.
enum Kept {
    Each(PathBuf),
    One(PathBuf),
    Server(String),
}

/// Who visits, with what it holds open.
enum Visitor {
    Each(PathBuf),
    One(Box<Store>),
    Server(Box<Store<Postgres>>),
}

fn bike_of(rider: u32) -> String {
    format!("bike-{rider}")
}

/// A file for each rider.
fn each(folder: &Path, riders: u32) -> Outcome<Kept> {
    let folder = folder.join(format!("each-{riders}"));
    std::fs::create_dir(&folder)?;
    for rider in 0..riders {
        let mut store = Store::memory()?;
        year(&mut store, &bike_of(rider))?;
        let place = file_of(&folder, rider);
        store.backup(&place)?;
        Store::open(place)?;
    }
    Ok(Kept::Each(folder))
}

fn file_of(folder: &Path, rider: u32) -> PathBuf {
    folder.join(format!("{rider}.db"))
}

/// One file for all of them, a bike each.
fn one(folder: &Path, riders: u32) -> Outcome<Kept> {
    let mut store = Store::memory()?;
    for rider in 0..riders {
        year(&mut store, &bike_of(rider))?;
    }
    let place = folder.join(format!("one-{riders}.db"));
    store.backup(&place)?;
    Store::open(&place)?;
    Ok(Kept::One(place))
}

/// A server; each record goes there as its document.
fn server(riders: u32) -> Outcome<Kept> {
    let address = std::env::var("TIGHTSPOT_POSTGRES").map_err(|_| "no server: run this by scripts/scale")?;
    BEFORE.store(u32::try_from(Store::on_server(&address, "nobody")?.bytes()? / 1024)?, Ordering::Relaxed);
    let next = AtomicU32::new(0);
    std::thread::scope(|scope| -> Outcome<()> {
        let workers: Vec<_> = (0..VISITORS)
            .map(|_| {
                scope.spawn(|| -> Outcome<()> {
                    let mut there = Store::on_server(&address, "nobody")?;
                    loop {
                        let rider = next.fetch_add(1, Ordering::Relaxed);
                        if rider >= riders {
                            return Ok(());
                        }
                        let mut made = Store::memory()?;
                        year(&mut made, &bike_of(rider))?;
                        there.turn_to(&rider_of(riders, rider))?;
                        there.import(&made.export()?)?;
                    }
                })
            })
            .collect();
        workers.into_iter().try_for_each(|worker| worker.join().map_err(|_| "a worker ended early")?)
    })?;
    Ok(Kept::Server(address))
}

fn rider_of(riders: u32, rider: u32) -> String {
    format!("{rider} of {riders}")
}

/// A made year of a bike.
fn year<E: Engine>(store: &mut Store<E>, bike: &str) -> Outcome<()> {
    let post = Post::at(Timestamp::now());
    let mut sheet =
        Bike::from_toml(include_str!("../../../data/bikes/alder-350.toml")).map_err(|faults| format!("{faults:?}"))?;
    bike.clone_into(&mut sheet.id);
    store.put_bike(&sheet, &post)?;
    for ride in 0..RIDES {
        let at = after(ride * 6);
        let about = NewRide {
            hours_h: Some(2.4),
            ground: Some("loam".to_owned()),
            wet: Some(ride.is_multiple_of(3)),
            over: Some(at),
            ..NewRide::new(format!("ride {}", ride + 1), at.date())
        };
        store.add_ride(bike, &about, None, &post)?;
    }
    for reading in 0..READINGS {
        store.note(bike, &[NewEntry::new(after(reading * 9), reading_of(reading)?)], &post)?;
    }
    for job in 0..JOBS {
        let work = Work::new("gearbox-oil", "done").map_err(|fault| fault.text)?;
        let meter = Meter::read(24.0 * f64::from(job)).map_err(|fault| fault.text)?;
        let facts = [Fact::Work(work), Fact::Meter(meter)].map(|fact| NewEntry::new(after(job * 60), fact));
        store.note(bike, &facts, &post)?;
    }
    Ok(())
}

fn after(days: u32) -> DateTime {
    FIRST.saturating_add(jiff::Span::new().days(i64::from(days)))
}

/// Slack and length in turns.
fn reading_of(number: u32) -> Outcome<Fact> {
    let fact = if number.is_multiple_of(2) {
        let length = |more: f64| vec![317.5 * (1.0 + more / 100.0)];
        let places = vec![length(0.2), length(0.25), length(0.22)];
        ElongationReading::new(20, places, 0.05, 0.1).map(Fact::Elongation)
    } else {
        let places = (0..12).map(|n| 12.0 * f64::from(n)).collect();
        let read = (0..12).map(|n| 85.0 + f64::from(n % 4)).collect();
        SlackReading::new(read, Some(places), 0.5, SlackState::Stand, SlackKind::Free).map(Fact::Slack)
    };
    fact.map_err(|fault| fault.text.into())
}

impl Kept {
    const fn name(&self) -> &'static str {
        match self {
            Self::Each(_) => "a file each",
            Self::One(_) => "one file",
            Self::Server(_) => "PostgreSQL",
        }
    }

    /// What it takes on the disk; a server's tables without records taken off.
    fn bytes(&self, riders: u32) -> Outcome<f64> {
        match self {
            Self::Each(folder) => (0..riders).map(|rider| size_of(&file_of(folder, rider))).sum(),
            Self::One(place) => size_of(place),
            Self::Server(address) => Ok(on_server(address)? - f64::from(BEFORE.load(Ordering::Relaxed)) * 1024.0),
        }
    }

    /// How long a whole copy of everything takes, and its size.
    fn copy(&self, folder: &Path, riders: u32) -> Outcome<(f64, f64)> {
        let began = Instant::now();
        let to = folder.join(format!("copy-{riders}"));
        let mut copied = 0.0;
        match self {
            Self::Each(from) => {
                std::fs::create_dir(&to)?;
                for rider in 0..riders {
                    let to = file_of(&to, rider);
                    Store::open(file_of(from, rider))?.backup(&to)?;
                    copied += size_of(&to)?;
                }
            }
            Self::One(place) => {
                let to = to.with_extension("db");
                Store::open(place)?.backup(&to)?;
                copied = size_of(&to)?;
            }
            Self::Server(address) => {
                let to = to.with_extension("dump");
                let programs = std::env::var("TIGHTSPOT_POSTGRES_BIN")?;
                // Its own user sees one rider at a time; a copy of all is the business of whoever runs the server.
                let address = address.replace("user=tightspot", "user=postgres");
                let done = Command::new(Path::new(&programs).join("pg_dump"))
                    .args(["--format=custom", "--dbname"])
                    .arg(address)
                    .stdout(Stdio::from(std::fs::File::create(&to)?))
                    .status()?;
                if !done.success() {
                    return Err("the server's copy failed".into());
                }
                copied = size_of(&to)?;
            }
        }
        Ok((began.elapsed().as_secs_f64(), copied))
    }

    fn visitor(&self) -> Outcome<Visitor> {
        Ok(match self {
            Self::Each(folder) => Visitor::Each(folder.clone()),
            Self::One(place) => Visitor::One(Box::new(Store::open(place)?)),
            Self::Server(address) => Visitor::Server(Box::new(Store::on_server(address, "nobody")?)),
        })
    }
}

/// What the server took before the records that are looked at, in KiB.
static BEFORE: AtomicU32 = AtomicU32::new(0);

/// What the server's database takes, in bytes.
fn on_server(address: &str) -> Outcome<f64> {
    Ok(f64::from(u32::try_from(Store::on_server(address, "nobody")?.bytes()? / 1024)?) * 1024.0)
}

fn size_of(place: &Path) -> Outcome<f64> {
    let bytes = std::fs::metadata(place)?.len();
    Ok(f64::from(u32::try_from(bytes)?))
}

impl Visitor {
    /// One reading written down by its form.
    fn append(&mut self, (riders, rider): (u32, u32), number: u32) -> Outcome<()> {
        let bike = bike_of(rider);
        match self {
            Self::Each(folder) => append(&mut Store::open(file_of(folder, rider))?, &bike, number),
            Self::One(store) => append(store, &bike, number),
            Self::Server(store) => {
                store.turn_to(&rider_of(riders, rider))?;
                append(store, &bike, number)
            }
        }
    }

    /// All that a verdict asks of the record.
    fn read(&mut self, (riders, rider): (u32, u32)) -> Outcome<()> {
        let bike = bike_of(rider);
        match self {
            Self::Each(folder) => read(&Store::open(file_of(folder, rider))?, &bike),
            Self::One(store) => read(store, &bike),
            Self::Server(store) => {
                store.turn_to(&rider_of(riders, rider))?;
                read(store, &bike)
            }
        }
    }
}

fn append<E: Engine>(store: &mut Store<E>, bike: &str, number: u32) -> Outcome<()> {
    let key = format!("form {number}");
    let post = Post { now: Timestamp::now(), key: Some(&key) };
    store.note(bike, &[NewEntry::new(after(400), reading_of(1)?)], &post)?;
    Ok(())
}

fn read<E: Engine>(store: &Store<E>, bike: &str) -> Outcome<()> {
    store.revision()?;
    store.bike(bike)?;
    let log = store.log(bike)?;
    store.benches(bike)?;
    store.manual(bike)?;
    store.supplies(bike)?;
    if log.rides().len() < RIDES as usize { Err("rides are missing".into()) } else { Ok(()) }
}

/// How many visits a second, the middle wait and the one that 99 of 100 stay under.
struct Paced {
    rate: f64,
    middle_ms: f64,
    late_ms: f64,
}

/// Lets the visitors visit riders at random for a while.
fn visit(
    kept: &Kept,
    riders: u32,
    window: Duration,
    work: impl Fn(&mut Visitor, (u32, u32), u32) -> Outcome<()> + Sync,
) -> Outcome<Paced> {
    static FORMS: AtomicU32 = AtomicU32::new(0);
    let began = Instant::now();
    let mut waits = std::thread::scope(|scope| -> Outcome<Vec<f64>> {
        let visitors: Vec<_> = (0..VISITORS)
            .map(|seed| {
                let work = &work;
                scope.spawn(move || -> Outcome<Vec<f64>> {
                    let mut visitor = kept.visitor()?;
                    let (mut waits, mut dice) = (Vec::new(), seed.wrapping_mul(7919) + 1);
                    while began.elapsed() < window {
                        // The usual linear congruence: the same visits in every run.
                        dice = dice.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                        let rider = (dice >> 8) % riders;
                        let visit = Instant::now();
                        work(&mut visitor, (riders, rider), FORMS.fetch_add(1, Ordering::Relaxed))?;
                        waits.push(visit.elapsed().as_secs_f64() * 1000.0);
                    }
                    Ok(waits)
                })
            })
            .collect();
        let mut all = Vec::new();
        for visitor in visitors {
            all.extend(visitor.join().map_err(|_| "a visitor ended early")??);
        }
        Ok(all)
    })?;
    let seconds = began.elapsed().as_secs_f64();
    waits.sort_by(f64::total_cmp);
    let at = |part: usize| waits.get(waits.len() * part / 100).copied().unwrap_or(f64::NAN);
    Ok(Paced { rate: waits.len() as f64 / seconds, middle_ms: at(50), late_ms: at(99) })
}
