//! Slack through the travel with a slider at 200 places, tightest place and all: at most 1 ms.
//!
//! Starts its rival (`rival_travel.py`: numpy and scipy on the same question) in the same run and fails when that one
//! did not run or disagrees. `RIVAL_PYTHON` names a Python that has scipy; without it `python3` is asked.
#![expect(clippy::print_stdout, reason = "a bench talks to the terminal")]

use std::hint::black_box;
use std::io::Write;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use drive::slack::tightest::tightest;
use drive::slack::travel::{Place, through};
use drive::slack::{Layout, Sheet, Slider, Swing};
use measure::{Angle, Elongation, Length, Teeth};

/// The bar for one curve.
const BAR: Duration = Duration::from_millis(1);
/// Places of the curve.
const PLACES: u16 = 200;
/// Runs of ours, and of the rival's; the best of each counts.
const RUNS: u32 = 500;
const RIVAL_RUNS: u32 = 5;
/// How far the two may differ: quadrature and root finding end far below.
const AGREE_MM: f64 = 1e-6;

const ARM_MM: f64 = 613.0;
const TRAVEL_MM: f64 = 295.0;
const DROOP_DEG: f64 = 24.0;
const SHAFT_MM: (f64, f64) = (68.0, 9.0);
const SLIDER_MM: f64 = 37.5;
const PITCH_MM: f64 = 15.875;
const LINKS: u16 = 118;
const TEETH: (u16, u16) = (14, 48);

fn main() -> Result<(), String> {
    let question = || -> Result<(Vec<Place>, f64), String> {
        let sheet = sheet()?;
        let layout = Layout::new(black_box(&sheet));
        let travel = Length::from_mm(TRAVEL_MM);
        let swing = Swing::new(sheet.arm, Angle::from_deg(DROOP_DEG), travel).map_err(|why| format!("{why:?}"))?;
        let chain = layout.pitch() * f64::from(LINKS);
        let least = (chain - tightest(&layout, &swing).length).mm();
        Ok((through(&layout, &swing, travel, chain, PLACES - 1), least))
    };
    let (curve, least) = question()?;
    let mut ours = Duration::MAX;
    for _ in 0..RUNS {
        let begin = Instant::now();
        black_box(question()?);
        ours = ours.min(begin.elapsed());
    }
    let rival = rival()?;
    agrees(&curve, least, &rival)?;
    println!("travel, {PLACES} places with slider: ours {ours:?}, rival (numpy and scipy) {:?}", rival.time);
    println!("ratio {:.0}, bar {BAR:?}", rival.time.as_secs_f64() / ours.as_secs_f64());
    if ours > BAR { Err(format!("{ours:?} is over the bar of {BAR:?}")) } else { Ok(()) }
}

fn sheet() -> Result<Sheet, String> {
    let teeth = |count: u16| Teeth::new(count).ok_or_else(|| format!("{count} teeth"));
    Ok(Sheet {
        countershaft_x: Length::from_mm(SHAFT_MM.0),
        countershaft_z: Length::from_mm(SHAFT_MM.1),
        arm: Length::from_mm(ARM_MM),
        pitch: Length::from_mm(PITCH_MM),
        front: teeth(TEETH.0)?,
        rear: teeth(TEETH.1)?,
        elongation: Elongation::ZERO,
        slider: Some(Slider { along: Length::ZERO, above: Length::ZERO, radius: Length::from_mm(SLIDER_MM) }),
    })
}

/// What the rival answered.
struct Rival {
    time: Duration,
    least_mm: f64,
    surplus_mm: Vec<f64>,
    slack_mm: Vec<f64>,
}

fn rival() -> Result<Rival, String> {
    let python = std::env::var("RIVAL_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/rival_travel.py");
    let failed = |why: &dyn std::fmt::Display| format!("the rival did not run ({python} {script}): {why}");
    let mut child = Command::new(&python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|why| failed(&why))?;
    let asked = format!(
        r#"{{"countershaft_x_mm":{},"countershaft_z_mm":{},"arm_mm":{ARM_MM},"droop_deg":{DROOP_DEG},"travel_mm":{TRAVEL_MM},
        "pitch_mm":{PITCH_MM},"links":{LINKS},"front_teeth":{},"rear_teeth":{},"slider_radius_mm":{SLIDER_MM},
        "places":{PLACES},"runs":{RIVAL_RUNS}}}"#,
        SHAFT_MM.0, SHAFT_MM.1, TEETH.0, TEETH.1
    );
    let mut input = child.stdin.take().ok_or_else(|| failed(&"no standard input"))?;
    input.write_all(asked.as_bytes()).map_err(|why| failed(&why))?;
    drop(input);
    let output = child.wait_with_output().map_err(|why| failed(&why))?;
    if !output.status.success() {
        return Err(failed(&output.status));
    }
    let text = String::from_utf8(output.stdout).map_err(|why| failed(&why))?;
    let one = |key: &str| numbers(&text, key)?.first().copied().ok_or_else(|| format!("the rival gave no {key}"));
    Ok(Rival {
        time: Duration::from_secs_f64(one("seconds")?),
        least_mm: one("least_surplus_mm")?,
        surplus_mm: numbers(&text, "surplus_mm")?,
        slack_mm: numbers(&text, "slack_mm")?,
    })
}

/// The number or numbers of a key in the rival's flat answer.
fn numbers(text: &str, key: &str) -> Result<Vec<f64>, String> {
    let missing = || format!("the rival gave no {key}");
    let (_, after) = text.split_once(&format!("\"{key}\": ")).ok_or_else(missing)?;
    let body = after.strip_prefix('[').map_or_else(|| after.split([',', '}']).next(), |list| list.split(']').next());
    let parse = |part: &str| part.trim().parse::<f64>().map_err(|why| format!("the rival's {key}: {part}: {why}"));
    body.ok_or_else(missing)?.split(',').map(parse).collect()
}

fn agrees(curve: &[Place], least_mm: f64, rival: &Rival) -> Result<(), String> {
    if curve.len() != rival.surplus_mm.len() || curve.len() != rival.slack_mm.len() {
        return Err(format!("{} places, the rival has {}", curve.len(), rival.surplus_mm.len()));
    }
    if (least_mm - rival.least_mm).abs() > AGREE_MM {
        return Err(format!("least surplus {least_mm}, the rival says {}", rival.least_mm));
    }
    let mut compared = 0;
    for (place, (surplus, slack)) in curve.iter().zip(rival.surplus_mm.iter().zip(&rival.slack_mm)) {
        if (place.surplus.mm() - surplus).abs() > AGREE_MM {
            return Err(format!(
                "surplus {} at {} mm, the rival says {surplus}",
                place.surplus.mm(),
                place.travel.mm()
            ));
        }
        // Where the lower run rests on the slider there is no free slack; the rival does not look.
        if let Some(ours) = place.slack {
            compared += 1;
            // Near taut slack is steep: a surplus of 1e-6 mm is 1e-3 mm of slack.
            if (ours.mm() - slack).abs() > 1e-3 {
                return Err(format!("slack {} at {} mm, the rival says {slack}", ours.mm(), place.travel.mm()));
            }
        }
    }
    if compared * 2 > curve.len() { Ok(()) } else { Err("too few places were compared".to_owned()) }
}
