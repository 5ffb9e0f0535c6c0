//! Readings as they were typed → facts: slack at places of the chain, its length, both sides of the axle, the meter.

use measure::{Bound, bounds::record as bounds, entry};
use upkeep::record::{AxleReading, ElongationReading, Fact, Meter, SlackKind, SlackReading, SlackState};

use super::faulty;
use crate::asked::{Door, Faulty};

/// What was typed about a slack reading.
#[derive(Debug, Clone)]
pub(crate) struct Slack<'t> {
    /// Readings in order, each with the field it came from.
    pub(crate) readings: &'t [(&'static str, String)],
    /// Links gone by between two of them.
    pub(crate) step_links: Option<&'t str>,
    /// Place along the lower run.
    pub(crate) station: Option<&'t str>,
    /// How the bike stood.
    pub(crate) state: &'t str,
    /// free or gap.
    pub(crate) kind: &'t str,
}

/// What was typed about the chain's length.
#[derive(Debug, Clone)]
pub(crate) struct Elongation<'t> {
    /// Lengths, one text a place with its field; several of one place with a slash.
    pub(crate) lengths: &'t [(&'static str, String)],
    /// Pitches counted.
    pub(crate) pitches: &'t str,
    /// Largest error of the instrument.
    pub(crate) error: &'t str,
    /// Its step.
    pub(crate) step: &'t str,
}

/// Slack at one place or several.
///
/// # Errors
/// Every field at fault.
pub(crate) fn slack(mut door: Door, typed: &Slack<'_>) -> Result<Fact, Vec<Faulty>> {
    let slack_mm = numbers(&mut door, typed.readings, &bounds::SLACK);
    let step = door.number("step_links", typed.step_links, &bounds::LINKS_PASSED);
    let station = door.number("station", typed.station, &bounds::STATION).unwrap_or(0.5);
    door.closed()?;
    let at = |step: f64| slack_mm.iter().scan(0.0, |at, _| Some(std::mem::replace(at, *at + step))).collect();
    let kind = SlackKind::of(typed.kind).map_err(|fault| vec![faulty("kind", fault)])?;
    let state = SlackState::of(typed.state).map_err(|fault| vec![faulty("state", fault)])?;
    let reading = SlackReading::new(slack_mm.clone(), step.map(at), station, state, kind);
    reading.map(Fact::Slack).map_err(|fault| vec![faulty("slack_mm", fault)])
}

/// The chain's length at several places.
///
/// # Errors
/// Every field at fault.
pub(crate) fn elongation(mut door: Door, typed: &Elongation<'_>) -> Result<Fact, Vec<Faulty>> {
    let length_mm: Vec<Vec<f64>> = typed
        .lengths
        .iter()
        .map(|(field, place)| {
            let each: Vec<(&'static str, String)> = each(place).map(|text| (*field, text.to_owned())).collect();
            numbers(&mut door, &each, &bounds::LENGTH)
        })
        .collect();
    let pitches = door.whole("pitches", typed.pitches, &bounds::PITCHES).unwrap_or_default();
    let error = door.number("error", Some(typed.error), &bounds::INSTRUMENT_ERROR).unwrap_or_default();
    let step = door.number("step", Some(typed.step), &bounds::RESOLUTION).unwrap_or_default();
    door.closed()?;
    let reading = ElongationReading::new(pitches, length_mm, error, step);
    reading.map(Fact::Elongation).map_err(|fault| vec![faulty("length_mm", fault)])
}

/// The readings of one place: two and more are parted by a slash, unless the slash is that of an inch's fraction.
fn each(place: &str) -> impl Iterator<Item = &str> {
    let whole = entry::number(place, &bounds::LENGTH).is_ok();
    place.split(move |letter: char| letter == '/' && !whole)
}

/// Both sides of the axle.
///
/// # Errors
/// Every field at fault.
pub(crate) fn axle(mut door: Door, left: &str, right: &str) -> Result<Fact, Vec<Faulty>> {
    let [left, right] =
        [("left_mm", left), ("right_mm", right)].map(|(field, text)| needed(&mut door, field, text, &bounds::SIDE));
    door.closed()?;
    let reading = AxleReading::new(left, right);
    reading.map(Fact::Axle).map_err(|fault| vec![faulty("left_mm", fault)])
}

/// What the meter shows, or what the old one showed last and the new one first.
///
/// # Errors
/// Every field at fault.
pub(crate) fn meter(mut door: Door, shown: &str, swap: Option<[&str; 2]>) -> Result<Fact, Vec<Faulty>> {
    let fact = match swap {
        Some([old, new]) => {
            let old = needed(&mut door, "old", old, &bounds::METER);
            let new = needed(&mut door, "new", new, &bounds::METER);
            door.closed()?;
            Meter::swap(old, new).map_err(|fault| vec![faulty("old", fault)])?
        }
        None => {
            let hours = needed(&mut door, "hours", shown, &bounds::METER);
            door.closed()?;
            Meter::read(hours).map_err(|fault| vec![faulty("hours", fault)])?
        }
    };
    Ok(Fact::Meter(fact))
}

/// A number that must be there.
fn needed(door: &mut Door, field: &'static str, text: &str, bound: &Bound) -> f64 {
    if text.trim().is_empty() {
        door.faults.push(Faulty { field, text: format!("{field}: nothing is given. Read it and type its number.") });
        return 0.0;
    }
    door.number(field, Some(text), bound).unwrap_or_default()
}

fn numbers(door: &mut Door, typed: &[(&'static str, String)], bound: &Bound) -> Vec<f64> {
    typed.iter().map(|(field, text)| needed(door, field, text, bound)).collect()
}
