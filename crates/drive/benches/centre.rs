//! Centre distances and the fit map against the clock and against a general root finder.
//!
//! Starts its rival, `rival_centre.py` (scipy's `brentq` on the same form), in the same run on the same cells, and
//! fails if that did not run, if any answer differs, or if a bar is missed. Needs `python3` with `scipy`.
#![expect(clippy::print_stdout, reason = "a bench reports on the terminal")]

use std::fmt::Write as _;
use std::hint::black_box;
use std::io::Write as _;
use std::ops::RangeInclusive;
use std::process::{Command, Stdio};
use std::time::Instant;

use drive::chain::{Sprockets, Stops};
use measure::{Elongation, Length, Teeth};

const PITCH: Length = Length::from_mm(15.875);
const STOPS: Stops = Stops { front: Length::from_mm(668.0), rear: Length::from_mm(698.0) };
/// The grid, ends included; every second link count.
const FRONTS: RangeInclusive<u16> = 9..=16;
const REARS: RangeInclusive<u16> = 36..=56;
const LINKS: RangeInclusive<u16> = 100..=130;

/// Centres closer than this are the same answer; the rival's own tolerance is a thousand times finer.
const SAME_MM: f64 = 1e-9;
/// Bars: at most so long for one centre and for the map, at least so many times faster than the rival.
const CENTRE_NS: f64 = 60.0;
const MAP_MS: f64 = 0.5;
const TIMES_FASTER: f64 = 300.0;

/// A machine shared with others is quiet only now and then: the best of many short rounds is the code's own time.
const ROUNDS: u32 = 400;

fn main() -> Result<(), String> {
    let cells = cells().ok_or("the grid lies outside the bounds of teeth")?;
    let centres: Vec<f64> = cells.iter().map(centre).collect::<Option<_>>().ok_or("a chain is too short")?;
    let rival = rival(&cells)?;
    agree(&cells, &centres, &rival.centres_mm)?;

    let centre_ns =
        best_ns(|| cells.iter().filter_map(|cell| centre(black_box(cell))).sum::<f64>()) / real(cells.len());
    let rival_ns = rival.seconds * 1e9 / real(cells.len());
    let ratio = rival_ns / centre_ns;
    let map_ms = best_ns(|| fit_map(black_box(STOPS)).unwrap_or(f64::NAN)) / 1e6;

    println!("{} centres agree within {SAME_MM:e} mm with {}", cells.len(), rival.name);
    println!("one centre   {centre_ns:10.1} ns (bar {CENTRE_NS})");
    println!("rival        {rival_ns:10.1} ns");
    println!("ratio        {ratio:10.0} times faster (bar {TIMES_FASTER})");
    println!("fit map      {map_ms:10.3} ms for {} cells (bar {MAP_MS})", cells.len());
    [
        (centre_ns <= CENTRE_NS, "one centre is slower than its bar"),
        (ratio >= TIMES_FASTER, "the ratio to the rival is below its bar"),
        (map_ms <= MAP_MS, "the fit map is slower than its bar"),
    ]
    .into_iter()
    .find(|(held, _)| !held)
    .map_or(Ok(()), |(_, missed)| Err(missed.to_owned()))
}

/// One cell of the grid; what depends on the pair alone is worked out once per pair, as the rival does.
struct Cell {
    pair: Sprockets,
    front: u16,
    rear: u16,
    links: f64,
}

fn centre(cell: &Cell) -> Option<f64> {
    cell.pair.centre(cell.links).map(Length::mm)
}

/// The pairs of the grid, front by front.
fn pairs() -> impl Iterator<Item = Option<(u16, u16, Sprockets)>> {
    let pair = |front, rear| Some((front, rear, Sprockets::new(PITCH, Teeth::new(front)?, Teeth::new(rear)?)));
    FRONTS.flat_map(move |front| REARS.map(move |rear| pair(front, rear)))
}

fn evens() -> impl Iterator<Item = f64> {
    LINKS.step_by(2).map(f64::from)
}

fn cells() -> Option<Vec<Cell>> {
    let mut cells = Vec::new();
    for pair in pairs() {
        let (front, rear, pair) = pair?;
        cells.extend(evens().map(|links| Cell { pair, front, rear, links }));
    }
    Some(cells)
}

/// The whole fit map, pairs and all: the sum of all rooms, so that none is left out.
fn fit_map(stops: Stops) -> Option<f64> {
    let mut rooms_mm = 0.0;
    for pair in pairs() {
        let (_, _, pair) = pair?;
        for links in evens() {
            let fit = pair.fit(stops, links, Elongation::ZERO)?;
            rooms_mm += fit.room_front.mm() + fit.room_rear.mm();
        }
    }
    Some(rooms_mm)
}

#[expect(clippy::cast_precision_loss, reason = "a few thousand cells")]
const fn real(count: usize) -> f64 {
    count as f64
}

/// Best time of one call in nanoseconds.
fn best_ns(mut work: impl FnMut() -> f64) -> f64 {
    (0..ROUNDS).fold(f64::INFINITY, |best, _| {
        let start = Instant::now();
        black_box(work());
        best.min(start.elapsed().as_secs_f64() * 1e9)
    })
}

struct Rival {
    name: String,
    seconds: f64,
    centres_mm: Vec<f64>,
}

fn rival(cells: &[Cell]) -> Result<Rival, String> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/rival_centre.py");
    let mut asked = format!("{}\n", PITCH.mm());
    for cell in cells {
        writeln!(asked, "{} {} {}", cell.front, cell.rear, cell.links).map_err(|why| why.to_string())?;
    }
    let failed = |why: String| format!("the rival did not run, so nothing is proven: {why} (pip install numpy scipy)");
    let mut child = Command::new("python3")
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|why| failed(why.to_string()))?;
    let mut input = child.stdin.take().ok_or_else(|| failed("it takes no input".to_owned()))?;
    input.write_all(asked.as_bytes()).map_err(|why| failed(why.to_string()))?;
    drop(input);
    let done = child.wait_with_output().map_err(|why| failed(why.to_string()))?;
    if !done.status.success() {
        return Err(failed(format!("it ended with {}", done.status)));
    }
    read(&String::from_utf8_lossy(&done.stdout)).ok_or_else(|| failed("its answer cannot be read".to_owned()))
}

/// Name on the first line, seconds on the second, then one centre a line.
fn read(answer: &str) -> Option<Rival> {
    let mut lines = answer.lines();
    let name = lines.next()?.to_owned();
    let seconds = lines.next()?.parse().ok()?;
    let centres_mm = lines.map(|line| line.parse().ok()).collect::<Option<_>>()?;
    Some(Rival { name, seconds, centres_mm })
}

fn agree(cells: &[Cell], ours: &[f64], rivals: &[f64]) -> Result<(), String> {
    if ours.len() != rivals.len() {
        return Err(format!("the rival answered {} of {} centres", rivals.len(), ours.len()));
    }
    let apart = |((_, ours), rival): &((&Cell, &f64), &f64)| (*ours - *rival).abs() >= SAME_MM || !rival.is_finite();
    match cells.iter().zip(ours).zip(rivals).find(apart) {
        Some(((cell, ours), rival)) => Err(format!(
            "{}/{} on {} links: {ours} mm here, {rival} mm by the rival",
            cell.front, cell.rear, cell.links
        )),
        None => Ok(()),
    }
}
