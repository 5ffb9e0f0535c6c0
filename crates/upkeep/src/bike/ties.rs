//! What ties fields of a sheet together; each fault names both values.

use std::collections::BTreeMap;

use super::{Entry, Fault, Value};

/// Runs of fields that rise strictly; where one is not on the sheet, its neighbours are compared.
const RISING: [&[&str]; 6] = [
    &["front_teeth", "rear_teeth"],
    &["slot_min_mm", "slot_max_mm"],
    &["idle_rpm", "slip_rpm", "lo_rpm", "hi_rpm", "max_rpm", "hard_rpm"],
    &["slack_mm_min", "slack_mm_max"],
    &["guide_low_mm", "guide_high_mm"],
    &["roller_mm", "pitch_mm"],
];

/// Pairs that may be equal, the first not above the second.
const NOT_ABOVE: [(&str, &str); 4] = [
    ("slot_min_mm", "arm_mm"),
    ("arm_mm", "slot_max_mm"),
    ("slack_stop_mm", "slack_mm_min"),
    ("cg_from_front_m", "wheelbase_m"),
];

/// Every fault between fields.
pub(super) fn faults(sheet: &BTreeMap<&'static str, Entry>) -> Vec<Fault> {
    let number = |name: &str| sheet.get(name).and_then(|entry| entry.value.number());
    let mut all = Vec::new();
    for run in RISING {
        let known: Vec<_> = run.iter().filter_map(|name| Some((*name, number(name)?))).collect();
        for two in known.windows(2) {
            let [(low_name, low), (high_name, high)] = [two[0], two[1]];
            if high <= low {
                all.push(against(high_name, high, low_name, low, "above"));
            }
        }
    }
    for (low_name, high_name) in NOT_ABOVE {
        if let (Some(low), Some(high)) = (number(low_name), number(high_name))
            && high < low
        {
            all.push(against(high_name, high, low_name, low, "at least"));
        }
    }
    all.extend(size_and_pitch(sheet));
    all
}

/// How far a pitch may be written from that of its size: the size's own, rounded to a tenth.
const PITCH_WRITTEN_MM: f64 = 0.05;

/// A chain's size says its pitch; a sheet that says both says the same.
fn size_and_pitch(sheet: &BTreeMap<&'static str, Entry>) -> Option<Fault> {
    let Value::Word(name) = &sheet.get("size")?.value else { return None };
    let pitch = sheet.get("pitch_mm")?.value.number()?;
    let size = drive::chain::size::size(name)?;
    ((size.pitch_mm - pitch).abs() > PITCH_WRITTEN_MM).then(|| {
        let text = format!(
            "pitch_mm is {pitch} and size is {name}, whose pitch is {} mm. Check which of the two is right.",
            size.pitch_mm
        );
        Fault::new("pitch_mm", "against", text)
    })
}

fn against(high_name: &str, high: f64, low_name: &str, low: f64, how: &str) -> Fault {
    Fault::new(
        high_name,
        "against",
        format!(
            "{high_name} is {high} and {low_name} is {low}; {high_name} must be {how} {low_name}. Check which of the two is right."
        ),
    )
}
