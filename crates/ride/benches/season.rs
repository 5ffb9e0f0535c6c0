//! A season replayed on forty pairs against the clock, and a slice of it against a plain numpy reading of the model.
//!
//! Starts its rival, `rival_season.py`, in the same run on the first rides, and fails if that did not run, if any pair
//! differs, or if a bar is missed. Needs `python3` with `numpy` and `scipy`. `SEASON_PART=10` replays a tenth of the
//! season and says so; the bar is scaled with it.
#![expect(clippy::print_stdout, reason = "a bench reports on the terminal")]

use std::fmt::Write as _;
use std::hint::black_box;
use std::io::Write as _;
use std::process::{Command, Stdio};
use std::time::Instant;

use drive::engine::Curve;
use drive::gearing::{Gearbox, Pair, Ratio};
use ride::replay::{Body, Comparison, Ground, Load, Machine, Motion, Question, Revs, Riding, Weights, compare};

/// Rides of a season and seconds of each: four million samples.
const RIDES: usize = 100;
const SECONDS: usize = 40_000;
/// The rival gets this many samples and pairs: it needs minutes for what takes a season a second here.
const SLICE: usize = 8_000;
const RIVAL_PAIRS: usize = 4;
/// Bars: the whole season on two cores, and each point and pair against the rival.
const SEASON_S: f64 = 4.0;
const TIMES_FASTER: f64 = 100.0;
/// Rides one after the other: ten, a hundred and a thousand cost the same for each point, to this part. The threads of
/// a run are started anew for each ride, and a shared machine's clock wanders by about a tenth.
const STREAMED: [usize; 3] = [10, 100, 1000];
const LINEAR: f64 = 1.2;
/// Costs agree to this part; sums are taken in another order.
const SAME: f64 = 1e-9;

const GEARS: [f64; 6] = [2.40, 1.85, 1.45, 1.20, 1.03, 0.90];
const PRIMARY: f64 = 3.10;
const CURVE: [[f64; 2]; 8] = [
    [2000.0, 17.0],
    [3500.0, 25.5],
    [5000.0, 32.0],
    [6500.0, 35.0],
    [8000.0, 36.0],
    [9500.0, 32.5],
    [11_000.0, 26.0],
    [12_000.0, 17.0],
];
const REVS: Revs = Revs { slip_rpm: 2600.0, lo_rpm: 4000.0, hi_rpm: 9000.0, max_rpm: 11_500.0, hard_rpm: 12_000.0 };
const BODY: Body = Body {
    load: Load { mass_kg: 213.0, cda_m2: 0.5 },
    wheels_kgm2: 1.0,
    rollout_m: 2.1,
    wheelbase_m: 1.483,
    cg_from_front_m: 0.764,
    cg_height_m: 0.93,
    aero_height_m: 1.0,
};
const GROUND: Ground = Ground { crr: 0.06, mu: 0.6, density_kgm3: 1.2 };
const RIDING: Riding = Riding { slip: 0.06, power_factor: 1.0, step_s: 1.0 };
const ETA: f64 = 0.93;

/// Lists of one ride after the other, with a hole of a minute between.
struct Season {
    t_s: Vec<f64>,
    speed_mps: Vec<f64>,
    grade: Vec<f64>,
    accel_mps2: Vec<f64>,
}

fn main() -> Result<(), String> {
    let part: usize = std::env::var("SEASON_PART").ok().and_then(|part| part.parse().ok()).unwrap_or(1).clamp(1, RIDES);
    let season = season(RIDES / part, 4807);
    let gears = GEARS.map(Ratio::of_decimal).into_iter().collect::<Option<Vec<_>>>().ok_or("ratios")?;
    let primary = Ratio::of_decimal(PRIMARY).ok_or("a ratio")?;
    let gearbox = Gearbox::new(primary, gears).map_err(|_| "gears that do not fall")?;
    let curve = Curve::new(CURVE.to_vec()).map_err(|_| "a curve that does not rise")?;
    let machine = Machine { gearbox: &gearbox, curve: &curve, eta: ETA, rollout_m: BODY.rollout_m, revs: REVS };
    let pairs = pairs()?;

    let ask = |pairs: &[Pair], samples: usize| {
        let motion = Motion {
            t_s: &season.t_s[..samples],
            speed_mps: &season.speed_mps[..samples],
            grade: &season.grade[..samples],
            accel_mps2: &season.accel_mps2[..samples],
        };
        let (body, ground, riding) = (BODY, GROUND, RIDING);
        compare(&Question { machine, idle_rpm: 1800.0, body, ground, riding, motion, pairs, weights: Weights::OURS })
    };
    let (few, slice) = (&pairs[..RIVAL_PAIRS], SLICE.min(season.t_s.len()));
    let ours = ask(few, slice).ok_or("nothing moves")?;
    let rival = rival(&season, few, slice)?;
    agree(few, &ours, &rival)?;

    let slice_s = best_s(5, || ask(few, slice).map_or(0.0, |one| one.distance_m));
    let per_point = |seconds: f64, samples: usize, pairs: usize| seconds * 1e9 / (real(samples) * real(pairs));
    let ratio = rival.seconds / slice_s;
    let samples = season.t_s.len();
    // A shorter part is tried more often: on a busy machine only some rounds are the code's own time.
    let rounds = if part > 1 { 12 } else { 3 };
    let whole_s = best_s(rounds, || ask(&pairs, samples).map_or(0.0, |one| one.distance_m));
    let bar_s = SEASON_S * real(samples) / real(RIDES * SECONDS);

    println!("{RIVAL_PAIRS} pairs on {slice} samples agree within {SAME:e} with {}", rival.name);
    println!("slice here   {:10.1} ns a sample and pair", per_point(slice_s, slice, RIVAL_PAIRS));
    println!("rival        {:10.1} ns a sample and pair", per_point(rival.seconds, slice, RIVAL_PAIRS));
    println!("ratio        {ratio:10.0} times faster (bar {TIMES_FASTER})");
    let scaled = if part > 1 { format!(", 1/{part} of a season") } else { ", a whole season".to_owned() };
    println!(
        "{samples} samples x {} pairs x {} gears{scaled}: {whole_s:.2} s (bar {bar_s:.2})",
        pairs.len(),
        GEARS.len()
    );
    let (dearest, cheapest) = streamed(&machine, &pairs, part)?;
    [
        (dearest / cheapest <= LINEAR, "more rides cost more for each point"),
        (ratio >= TIMES_FASTER, "the ratio to the rival is below its bar"),
        (whole_s <= bar_s, "the season is slower than its bar"),
    ]
    .into_iter()
    .find(|(held, _)| !held)
    .map_or(Ok(()), |(_, missed)| Err(missed.to_owned()))
}

/// Rides replayed one after the other, never two held at once: the dearest and the cheapest nanoseconds a sample and
/// pair of the three amounts.
fn streamed(machine: &Machine<'_>, pairs: &[Pair], part: usize) -> Result<(f64, f64), String> {
    let mut costs = Vec::new();
    for rides in STREAMED.map(|rides| (rides / part).max(1)) {
        let (mut seconds, mut samples) = (0.0, 0);
        for ride in 0..rides {
            let one = season(1, 4807 + u64::try_from(ride).unwrap_or(0));
            let motion =
                Motion { t_s: &one.t_s, speed_mps: &one.speed_mps, grade: &one.grade, accel_mps2: &one.accel_mps2 };
            let (machine, body, ground, riding) = (*machine, BODY, GROUND, RIDING);
            let question =
                Question { machine, idle_rpm: 1800.0, body, ground, riding, motion, pairs, weights: Weights::OURS };
            let began = Instant::now();
            black_box(compare(&question).ok_or("nothing moves")?.distance_m);
            seconds += began.elapsed().as_secs_f64();
            samples += one.t_s.len();
        }
        let cost = seconds * 1e9 / (real(samples) * real(pairs.len()));
        println!("{rides:>5} rides, {samples:>9} samples, one by one: {seconds:6.2} s, {cost:.1} ns a sample and pair");
        costs.push(cost);
    }
    let held = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    if let Some(peak) = held.lines().find_map(|line| line.strip_prefix("VmHWM:")) {
        println!("most memory of all of it, the whole season held at once included: {}", peak.trim());
    }
    Ok((costs.iter().copied().fold(0.0, f64::max), costs.iter().copied().fold(f64::INFINITY, f64::min)))
}

/// Forty pairs of forty different ratios.
fn pairs() -> Result<Vec<Pair>, String> {
    let mut pairs: Vec<Pair> = Vec::new();
    for front in 12..=15_u16 {
        for rear in 44..=54_u16 {
            let pair = Pair::of(front, rear).ok_or("teeth out of bounds")?;
            if pairs.iter().all(|known| known.ratio() != pair.ratio()) {
                pairs.push(pair);
            }
        }
    }
    pairs.truncate(40);
    if pairs.len() == 40 { Ok(pairs) } else { Err(format!("{} pairs instead of 40", pairs.len())) }
}

/// A made season: speeds that wander with stops, grades and accelerations that go with them; the same every time.
fn season(rides: usize, seed: u64) -> Season {
    let mut season = Season { t_s: vec![], speed_mps: vec![], grade: vec![], accel_mps2: vec![] };
    let mut state = seed;
    let mut noise = move || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        real(usize::try_from(state >> 40).unwrap_or(0)) / real(1 << 23) - 1.0
    };
    let mut t_s = 0.0;
    for _ in 0..rides {
        let (mut speed, mut grade): (f64, f64) = (5.0, 0.0);
        for n in 0..SECONDS {
            let accel = if n % 700 < 12 { -speed } else { (0.9 * noise() + 0.05 * (7.0 - speed)).clamp(-3.0, 3.0) };
            speed = (speed + accel).clamp(0.0, 32.0);
            grade = (0.97 * grade + 0.02 * noise()).clamp(-0.3, 0.3);
            season.t_s.push(t_s);
            season.speed_mps.push(speed);
            season.grade.push(grade);
            season.accel_mps2.push(accel.clamp(-8.0, 8.0));
            t_s += 1.0;
        }
        t_s += 60.0;
    }
    season
}

#[expect(clippy::cast_precision_loss, reason = "a few million samples")]
const fn real(count: usize) -> f64 {
    count as f64
}

/// Best time of a few calls, s.
fn best_s(rounds: u32, mut work: impl FnMut() -> f64) -> f64 {
    (0..rounds).fold(f64::INFINITY, |best, _| {
        let start = Instant::now();
        black_box(work());
        best.min(start.elapsed().as_secs_f64())
    })
}

struct Rival {
    name: String,
    seconds: f64,
    /// Cost per km, clutch slip and gear steps per km of each pair.
    pairs: Vec<[f64; 3]>,
}

fn asked(season: &Season, pairs: &[Pair], samples: usize) -> Result<String, String> {
    let list =
        |values: &[f64]| values[..samples].iter().map(|value| format!("{value:?}")).collect::<Vec<_>>().join(",");
    let points: Vec<String> = CURVE.iter().map(|[rpm, torque]| format!("[{rpm},{torque}]")).collect();
    let teeth: Vec<String> =
        pairs.iter().map(|pair| format!("[{},{}]", pair.front.count(), pair.rear.count())).collect();
    let mut text = String::new();
    let Body { load, wheels_kgm2, rollout_m, wheelbase_m, cg_from_front_m, cg_height_m, aero_height_m } = BODY;
    let Revs { slip_rpm, lo_rpm, hi_rpm, max_rpm, hard_rpm } = REVS;
    write!(
        text,
        "{{\"bike\":{{\"primary\":{PRIMARY},\"gears\":{GEARS:?},\"curve\":[{}],\"eta\":{ETA},\"rollout_m\":{rollout_m},\
         \"slip_rpm\":{slip_rpm},\"lo_rpm\":{lo_rpm},\"hi_rpm\":{hi_rpm},\"max_rpm\":{max_rpm},\"hard_rpm\":{hard_rpm},\
         \"mass_kg\":{},\"cda_m2\":{},\"wheels_kgm2\":{wheels_kgm2},\"wheelbase_m\":{wheelbase_m},\
         \"cg_from_front_m\":{cg_from_front_m},\"cg_height_m\":{cg_height_m},\"aero_height_m\":{aero_height_m}}},",
        points.join(","),
        load.mass_kg,
        load.cda_m2
    )
    .and_then(|()| {
        write!(
            text,
            "\"ground\":{{\"crr\":{},\"mu\":{},\"density_kgm3\":{}}},\"riding\":{{\"slip\":{},\"power_factor\":{}}},\
             \"pairs\":[{}],\"t_s\":[{}],\"speed_mps\":[{}],\"grade\":[{}],\"accel_mps2\":[{}]}}",
            GROUND.crr,
            GROUND.mu,
            GROUND.density_kgm3,
            RIDING.slip,
            RIDING.power_factor,
            teeth.join(","),
            list(&season.t_s),
            list(&season.speed_mps),
            list(&season.grade),
            list(&season.accel_mps2)
        )
    })
    .map_err(|why| why.to_string())?;
    Ok(text)
}

fn rival(season: &Season, pairs: &[Pair], samples: usize) -> Result<Rival, String> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/rival_season.py");
    let failed = |why: String| format!("the rival did not run, so nothing is proven: {why} (pip install numpy scipy)");
    let mut child = Command::new("python3")
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|why| failed(why.to_string()))?;
    let mut input = child.stdin.take().ok_or_else(|| failed("it takes no input".to_owned()))?;
    input.write_all(asked(season, pairs, samples)?.as_bytes()).map_err(|why| failed(why.to_string()))?;
    drop(input);
    let done = child.wait_with_output().map_err(|why| failed(why.to_string()))?;
    if !done.status.success() {
        return Err(failed(format!("it ended with {}", done.status)));
    }
    read(&String::from_utf8_lossy(&done.stdout)).ok_or_else(|| failed("its answer cannot be read".to_owned()))
}

/// Name, seconds, moving samples, then three numbers a pair.
fn read(answer: &str) -> Option<Rival> {
    let mut lines = answer.lines();
    let name = lines.next()?.to_owned();
    let seconds = lines.next()?.parse().ok()?;
    lines.next()?;
    let three = |line: &str| -> Option<[f64; 3]> {
        let numbers: Vec<f64> = line.split(' ').map(|number| number.parse().ok()).collect::<Option<_>>()?;
        numbers.try_into().ok()
    };
    Some(Rival { name, seconds, pairs: lines.map(three).collect::<Option<_>>()? })
}

fn agree(pairs: &[Pair], ours: &Comparison, rival: &Rival) -> Result<(), String> {
    if rival.pairs.len() != pairs.len() {
        return Err(format!("the rival answered {} of {} pairs", rival.pairs.len(), pairs.len()));
    }
    for (pair, theirs) in pairs.iter().zip(&rival.pairs) {
        let one = ours.ranked.iter().find(|one| one.pair == *pair).ok_or("a pair is missing")?;
        for (what, ours, theirs) in [
            ("cost", one.cost_per_km, theirs[0]),
            ("clutch slip", one.slip_pct, theirs[1]),
            ("gear steps", one.shifts_per_km, theirs[2]),
        ] {
            // Written so that a number that is none is a difference, too.
            let same = (ours - theirs).abs() <= SAME * ours.abs().max(1.0);
            if !same {
                let (front, rear) = (pair.front.count(), pair.rear.count());
                return Err(format!("{front}/{rear}: {what} {ours} here, {theirs} by the rival"));
            }
        }
    }
    Ok(())
}
