//! A day's recording read against the clock: against the usual Python library on the same file, and against the bare
//! XML reader that walks the same bytes with namespaces resolved and keeps nothing. Then a season streams through,
//! ride by ride, and the memory that it took is read from the system.
//!
//! Times are times on a core, the rival's too. Starts its rival, `rival_reading.py`, in the same run and fails if that did not run, if the points differ, or if a
//! bar is missed. Needs `python3` with `gpxpy`, and Linux for the memory.
#![expect(clippy::print_stdout, reason = "a bench reports on the terminal")]

use std::fmt::Write as _;
use std::hint::black_box;
use std::process::Command;
use std::time::Instant;

use quick_xml::events::Event;
use quick_xml::reader::NsReader;
use ride::profile::{Blob, Keep, Tuning, smooth};
use ride::track::{Limits, read};

/// Points of a day, and rides of a season.
const DAY: u32 = 40_000;
const RIDES: u32 = 100;
/// Bars: against the library, against the bare reader, and for the memory of a season.
const TIMES_FASTER: f64 = 50.0;
const OF_BARE_PCT: f64 = 60.0;
const MEMORY_MIB: f64 = 200.0;
/// A point of a larger ride may cost this much more than one of a small ride.
const LINEAR: f64 = 1.3;

fn main() -> Result<(), String> {
    let day = recording(DAY);
    let ours_s = best_s(7, || read(&day, &Limits::USUAL).map_or(0, |track| track.points()));
    let bare_s = best_s(7, || bare(&day));
    let points = read(&day, &Limits::USUAL).map_err(|fault| fault.to_string())?.points();
    let (name, rival_s) = rival(&day, points)?;
    let (times, pct) = (rival_s / ours_s, 100.0 * bare_s / ours_s);
    println!("{points} points, {:.1} MB", real(day.len()) / 1e6);
    println!("here          {:8.1} ms, {:6.0} ns a point", 1e3 * ours_s, 1e9 * ours_s / real(points));
    println!("bare reader   {:8.1} ms: {pct:.0} % of its speed (bar {OF_BARE_PCT} %)", 1e3 * bare_s);
    println!("{name:<13} {:8.1} ms: {times:.0} times slower (bar {TIMES_FASTER})", 1e3 * rival_s);

    let long = recording(4 * DAY);
    let each = |text: &str, rounds| best_s(rounds, || whole(text)) / real(text.len());
    let (few, many) = (each(&day, 5), each(&long, 3));
    println!(
        "read, smoothed and packed: {:.0} ms a day; a byte of four days costs {:.2} of one of a day",
        1e3 * few * real(day.len()),
        many / few
    );
    let (began, start) = (Instant::now(), on_core_s(Instant::now()));
    let kept: usize = (0..RIDES).map(|_| black_box(whole(&recording(DAY)))).sum();
    let took = on_core_s(began) - start;
    let peak = peak_mib()?;
    println!(
        "{RIDES} rides of {DAY} points one after the other: {took:.1} s, {:.0} MB kept, peak {peak:.0} MiB (bar {MEMORY_MIB})",
        real(kept) / 1e6
    );
    [
        (times >= TIMES_FASTER, "the ratio to the library is below its bar"),
        (pct >= OF_BARE_PCT, "the share of the bare reader's speed is below its bar"),
        (peak <= MEMORY_MIB, "the season takes more memory than its bar"),
        (many / few <= LINEAR, "a larger ride costs more for each point"),
    ]
    .into_iter()
    .find(|(held, _)| !held)
    .map_or(Ok(()), |(_, missed)| Err(missed.to_owned()))
}

/// A made recording: a point a second with height and time, as recorders write it; the same every time.
fn recording(points: u32) -> String {
    let mut text = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"made\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n <trk>\n  <name>made</name>\n  <trkseg>\n",
    );
    for n in 0..points {
        let t = f64::from(n);
        let (lat, lon) = (47.0 + 0.05 * (t / 900.0).sin(), 11.0 + 0.05 * (t / 700.0).cos());
        let (hour, minute, second) = (n / 3600 % 24, n / 60 % 60, n % 60);
        let _ = writeln!(
            text,
            "   <trkpt lat=\"{lat:.7}\" lon=\"{lon:.7}\">\n    <ele>{:.1}</ele>\n    <time>2026-05-{:02}T{hour:02}:{minute:02}:{second:02}Z</time>\n   </trkpt>",
            600.0 + 80.0 * (t / 500.0).sin(),
            1 + n / 86_400
        );
    }
    text.push_str("  </trkseg>\n </trk>\n</gpx>\n");
    text
}

/// The bare reader over the same bytes: names resolved, attributes walked, nothing kept.
fn bare(text: &str) -> usize {
    let mut reader = NsReader::from_str(text);
    let mut seen = 0;
    loop {
        match reader.read_resolved_event() {
            Ok((space, Event::Start(start) | Event::Empty(start))) => {
                black_box(space);
                seen += start.attributes().filter(Result::is_ok).count();
            }
            Ok((_, Event::Eof)) | Err(_) => return seen,
            Ok(event) => {
                black_box(event);
            }
        }
    }
}

/// All that an import does with a file: read, smoothed, laid on the grid, packed without places.
fn whole(text: &str) -> usize {
    let Ok(track) = read(text, &Limits::USUAL) else { return 0 };
    let grid = smooth(&track, &Tuning::USUAL).on_grid(1.0);
    grid.map_or(0, |grid| Blob::of(&grid, 1.0, Keep::Motion).encode().len())
}

fn rival(text: &str, points: usize) -> Result<(String, f64), String> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/rival_reading.py");
    let failed = |why: String| format!("the rival did not run, so nothing is proven: {why} (pip install gpxpy)");
    let file = std::env::temp_dir().join(format!("reading-{}.gpx", std::process::id()));
    std::fs::write(&file, text).map_err(|why| failed(why.to_string()))?;
    let done = Command::new("python3").arg(script).arg(&file).arg("3").output();
    let _ = std::fs::remove_file(&file);
    let done = done.map_err(|why| failed(why.to_string()))?;
    let told = String::from_utf8_lossy(&done.stdout).into_owned();
    let mut lines = told.lines();
    let (name, seconds, theirs) = (lines.next(), lines.next(), lines.next());
    let (Some(name), Some(seconds), Some(theirs)) = (name, seconds, theirs) else {
        return Err(failed(String::from_utf8_lossy(&done.stderr).into_owned()));
    };
    let seconds = seconds.parse().map_err(|_| failed("its time cannot be read".to_owned()))?;
    if theirs.parse() != Ok(points) {
        return Err(format!("{points} points here, {theirs} by the rival"));
    }
    Ok((name.to_owned(), seconds))
}

/// The most memory that this process held, MiB.
fn peak_mib() -> Result<f64, String> {
    let status = std::fs::read_to_string("/proc/self/status").map_err(|why| why.to_string())?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:")).ok_or("no peak in the status")?;
    let kib: f64 = line.trim().trim_end_matches("kB").trim().parse().map_err(|_| "a peak that is no number")?;
    Ok(kib / 1024.0)
}

/// Time that this thread was on a core, s: what others do on the machine does not count. By the clock where the
/// system does not tell.
fn on_core_s(began: Instant) -> f64 {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let told = told.and_then(|told| told.split(' ').next()?.parse::<f64>().ok());
    told.map_or_else(|| began.elapsed().as_secs_f64(), |nanoseconds| nanoseconds / 1e9)
}

/// Best time on a core of a few calls, s.
fn best_s(rounds: u32, mut work: impl FnMut() -> usize) -> f64 {
    let began = Instant::now();
    (0..rounds).fold(f64::INFINITY, |best, _| {
        let start = on_core_s(began);
        black_box(work());
        best.min(on_core_s(began) - start)
    })
}

#[expect(clippy::cast_precision_loss, reason = "counts far below 2^52")]
const fn real(count: usize) -> f64 {
    count as f64
}
