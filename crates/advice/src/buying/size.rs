//! Whether what is bought has the size of what it runs on: by the number on it, else by caliper.

use upkeep::bike::{self, Bike, Kind};

use super::{Asked, What};
use crate::Setup;
use crate::ask::{Gap, Given, ask, with};
use crate::fact::Fact;
use crate::verdict::{Reason, Verdict};
use crate::words::{list, mm, quantity};

/// How far a caliper's pitch may lie from that of a size. The tool's own.
const PITCH_APART_MM: f64 = 0.15;
/// How far its inner width may. The tool's own.
const WIDTH_APART_MM: f64 = 0.25;

/// What the sizes say.
///
/// # Errors
/// Only one of pitch and inner width is given.
pub(super) fn reasons(bike: &Bike, asked: &Asked) -> Result<Vec<Reason>, Gap> {
    let offered = offered(asked)?;
    let Some(fitted) = bike.word("size") else {
        let gap = Gap::absent("size");
        let text = format!("Which size runs on this bike is not known. {}", gap.text);
        return Ok(vec![Reason::new(Verdict::Unknown, "chain.match", text).cleared_at("bike", gap.how_to, 1)]);
    };
    if offered.is_empty() {
        return Ok(vec![not_said(asked)]);
    }
    if asked.what == What::Set {
        return Ok(whole_set(&offered, fitted).into_iter().collect());
    }
    let matched = |size: &String| {
        let (chain, sprocket) =
            if asked.what == What::Chain { (size.as_str(), fitted) } else { (fitted, size.as_str()) };
        runs(chain, sprocket)
    };
    let all = offered.iter().map(matched).collect::<Result<Vec<_>, _>>()?;
    let agree =
        all.windows(2).all(|two| two[0].as_ref().map(|one| one.verdict) == two[1].as_ref().map(|one| one.verdict));
    if !agree {
        let text =
            format!("By caliper it may be {}: they do not run alike here. Read the number on it.", list(&offered));
        return Ok(vec![Reason::new(Verdict::Unknown, "chain.match", text)]);
    }
    Ok(all.into_iter().flatten().take(1).collect())
}

fn not_said(asked: &Asked) -> Reason {
    let text = if asked.pitch_mm.is_some() {
        "No size in the tables has that pitch and inner width. Measure again over several links, or read the number on it."
    } else {
        "Its size is not said. Read the number stamped on it, or measure pitch and inner width with a caliper."
    };
    Reason::new(Verdict::Unknown, "chain.match", text)
}

/// A set runs on itself; whether this bike takes another size is another question.
fn whole_set(offered: &[String], fitted: &str) -> Option<Reason> {
    let other = offered.iter().all(|size| size != fitted);
    other.then(|| {
        let text = format!(
            "A set of {} in place of {fitted}: the axle's place is computed for the pitch on the sheet; sprocket offset, \
             guide and case must take the other width.",
            list(offered)
        );
        Reason::new(Verdict::Unknown, "chain.match", text)
    })
}

/// The number on it, or every size that a caliper cannot tell apart from it.
fn offered(asked: &Asked) -> Result<Vec<String>, Gap> {
    if let Some(size) = &asked.size {
        return Ok(vec![size.clone()]);
    }
    let (pitch, width) = match (asked.pitch_mm, asked.inner_width_mm) {
        (None, None) => return Ok(Vec::new()),
        (Some(pitch), Some(width)) => (pitch, width),
        (Some(_), None) => return Err(other_missing("inner_width_mm", "pitch_mm")),
        (None, Some(_)) => return Err(other_missing("pitch_mm", "inner_width_mm")),
    };
    let names = match bike::field("size").map(|field| field.kind) {
        Some(Kind::Word(names)) => names,
        _ => &[],
    };
    let near = |name: &&&str| {
        ask("chain.size", &with(Given::new(), "size", **name)).is_ok_and(|size| {
            let apart = |key: &str, own: f64, most: f64| size.get(key).is_some_and(|table| (table - own).abs() <= most);
            apart("pitch_mm", pitch, PITCH_APART_MM) && apart("inner_width_mm", width, WIDTH_APART_MM)
        })
    };
    Ok(names.iter().filter(near).map(|name| (*name).to_owned()).collect())
}

fn other_missing(field: &'static str, given: &str) -> Gap {
    let text = format!("{field}: {given} is given without it. One pitch has several widths; measure both.");
    Gap { figure: "chain.match", field: field.to_owned(), missing: false, text, how_to: String::new() }
}

/// Why a chain does not run well on a sprocket; none where it does.
fn runs(chain: &str, sprocket: &str) -> Result<Option<Reason>, Gap> {
    let answer = ask("chain.match", &with(with(Given::new(), "chain_size", chain), "sprocket_size", sprocket))?;
    let word = answer.at("verdict").and_then(serde_json::Value::as_str).unwrap_or_default();
    let because = answer.at("because").and_then(serde_json::Value::as_array).cloned().unwrap_or_default();
    let because: Vec<String> = because.iter().filter_map(serde_json::Value::as_str).map(why).collect();
    Ok(match word {
        "runs" => None,
        "runs loose" => {
            let text = format!(
                "A {chain} chain runs loose on a {sprocket} sprocket: it is wider than the teeth, wanders and wears both."
            );
            Some(Reason::new(Verdict::Care, "chain.match", text))
        }
        _ => {
            let text = format!("A {chain} chain does not run on a {sprocket} sprocket: {}.", list(&because));
            Some(Reason::new(Verdict::Stop, "chain.match", text))
        }
    })
}

fn why(word: &str) -> String {
    match word {
        "pitch" => "another pitch",
        "roller" => "rollers of another diameter",
        _ => "the tooth is too wide for the chain's inner width",
    }
    .to_owned()
}

/// How much further out a larger rear sprocket stands.
pub(super) fn growth(bike: &Bike, fitted: Setup, setup: Setup) -> Option<Fact> {
    if setup.rear_teeth <= fitted.rear_teeth {
        return None;
    }
    let pitch_mm = bike.number("pitch_mm")?;
    let radius = |teeth: u32| {
        let given = with(with(Given::new(), "pitch_mm", pitch_mm), "teeth", teeth);
        ask("sprocket.geometry", &given).ok()?.get("pitch_diameter_mm").map(|across| across / 2.0)
    };
    let grown_mm = radius(setup.rear_teeth)? - radius(fitted.rear_teeth)?;
    Some(
        Fact::new("radius_growth_mm", "Rear sprocket stands further out", mm(grown_mm), grown_mm)
            .because(format!(
                "{} teeth more, {} each: check guide cage and the front of the guard",
                setup.rear_teeth - fitted.rear_teeth,
                quantity(grown_mm / f64::from(setup.rear_teeth - fitted.rear_teeth), "mm", 2)
            ))
            .sure("geometry of the pitch circle")
            .unless("another pair")
            .says("sprocket.geometry"),
    )
}
