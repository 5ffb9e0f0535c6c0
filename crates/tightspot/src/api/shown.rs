//! Bikes, rides and entries as JSON: units in the names, times with their offset.

use advice::record::history;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use serde_json::{Map, Value, json};
use store::{Fact, Listed, Noted, Ride};
use upkeep::bike::Bike;
use upkeep::job::bench::{Bench, End};
use upkeep::record;

/// A time of the rider's clock with its offset from the world's.
pub(super) fn time(at: DateTime, zone: &TimeZone) -> String {
    at.to_zoned_datetime(zone.clone())
        .map_or_else(|_| at.to_string(), |zoned| zoned.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string())
}

/// A bike in a list.
pub(super) fn listed(bike: &Listed) -> Value {
    json!({"id": bike.id, "name": bike.name, "invented": bike.invented})
}

/// A bike with its sheet.
pub(super) fn bike(bike: &Bike) -> Value {
    let sheet: Map<String, Value> = bike
        .entries()
        .map(|(field, entry)| {
            let mut told = json!({"value": store::json(&entry.value)});
            if let Some(source) = &entry.source {
                told["source"] = source.as_str().into();
            }
            (field.name.to_owned(), told)
        })
        .collect();
    json!({"id": bike.id, "name": bike.name, "invented": bike.invented, "sheet": sheet})
}

/// A ride.
pub(super) fn ride(ride: &Ride, zone: &TimeZone) -> Value {
    let about = &ride.about;
    json!({
        "id": ride.id,
        "change": ride.change,
        "bike": ride.bike,
        "name": about.name,
        "day": about.day.to_string(),
        "over": about.over.map(|over| time(over, zone)),
        "hours_h": about.hours_h,
        "ground": about.ground,
        "wet": about.wet,
        "odd": about.odd,
        "note": about.note,
        "distance_m": about.distance_m,
        "moving_s": about.moving_s,
        "has_track": ride.has_track,
    })
}

/// An entry of the record: its words, and its figures beside them.
pub(super) fn entry(noted: &Noted, zone: &TimeZone) -> Value {
    let entry = &noted.entry;
    json!({
        "id": entry.id,
        "change": entry.change,
        "kind": entry.fact.kind(),
        "at": time(entry.at, zone),
        "words": history::words(&entry.fact),
        "note": entry.note,
        "corrects": entry.corrects,
        "corrected_by": noted.corrected_by,
        "undone": noted.undone,
        "written": noted.written.to_string(),
        "figures": figures(&entry.fact),
    })
}

/// The figures of a reading; facts of words have them in their sentence.
fn figures(fact: &record::Fact) -> Value {
    match fact {
        record::Fact::Slack(slack) => json!({
            "slack_mm": slack.slack_mm(), "at_links": slack.at_links(), "station": slack.station(),
            "state": slack.state().word(), "slack_kind": slack.kind().word(),
        }),
        record::Fact::Elongation(reading) => json!({
            "pitches": reading.pitches(), "length_mm": reading.length_mm(),
            "maximum_error_mm": reading.maximum_error_mm(), "resolution_mm": reading.resolution_mm(),
        }),
        record::Fact::Axle(axle) => json!({"left_mm": axle.left_mm(), "right_mm": axle.right_mm()}),
        record::Fact::Meter(meter) => json!({"shows_h": meter.shows_h()}),
        record::Fact::Check(check) => {
            json!({"check": check.kind().name, "answer": check.answer(), "torque_nm": check.torque_nm()})
        }
        record::Fact::Part(part) => {
            let price = part.price();
            json!({
                "role": part.role().word(), "part": part.name(), "count": part.count(), "used_h": part.used_h(),
                "price_minor": price.map(|(minor, _)| minor), "currency": price.map(|(_, currency)| currency),
            })
        }
        record::Fact::Used(used) => {
            let [low_h, high_h] = used.between_h();
            json!({"whose": used.whose().word(), "low_h": low_h, "high_h": high_h})
        }
        _ => json!({}),
    }
}

/// A work order in a list.
pub(super) fn order(bike: &str, order: &Bench) -> Value {
    let [front_teeth, rear_teeth, links] = order.setup;
    json!({
        "id": order.id,
        "bike": bike,
        "end": match order.end() {
            End::Open => "open",
            End::Closed => "closed",
            End::Dropped => "dropped",
        },
        "begun": order.at.strftime("%Y-%m-%d %H:%M").to_string(),
        "jobs": order.jobs_now(),
        "setup": {"front_teeth": front_teeth, "rear_teeth": rear_teeth, "links": links},
        "done": order.ticks().len(),
    })
}

/// A figure of a sheet as it was changed.
pub(super) fn change(fact: &Fact) -> Value {
    json!({
        "change": fact.change,
        "at": fact.at.to_string(),
        "field": fact.field,
        "value": fact.value.as_ref().map(store::json),
        "source": fact.source,
        "undone": fact.undone,
    })
}
