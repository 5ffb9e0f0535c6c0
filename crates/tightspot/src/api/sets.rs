//! Sets for programs: kept together, put on or taken off as one act, kept no longer.

use advice::Gap;
use advice::record::Record;
use axum::response::Response;
use figures::{Field, Given};
use store::NewEntry;
use upkeep::record::Fact;

use super::entries::{AT, METER, meter, time_of};
use super::given;
use super::kinds::{CHECKS, checks};
use super::refusal::{gap, problem, store};
use super::sent::{Sent, noted};
use crate::commands::meter_runs_on;
use crate::noted::set::{self, Act};
use crate::serve::Fault;

const SET: Field = Field::text("set").meaning("the name of the set, up to 60 characters");

/// A part of a set by what it is called.
const fn part(name: &'static str) -> Field {
    Field::text(name).optional("the one that is on the bike").meaning("what it is called; - for none in this set")
}

/// What keeping a set takes.
pub(super) const KEEP: &[Field] = &[SET, part("chain"), part("front"), part("rear")];
/// What keeping one no longer takes.
pub(super) const FORGET: &[Field] = &[SET];
/// What putting one on takes.
pub(super) const ON: &[Field] = &[SET, CHECKS, AT, METER];
/// What taking everything off takes.
pub(super) const OFF: &[Field] = &[AT, METER];

/// `POST /api/v1/sets`.
pub(super) async fn keep(sent: Sent) -> Result<Response, Fault> {
    let given = given::checked(KEEP, &sent.members)?;
    let text = |name: &str| given.opt_text(name).unwrap_or_default();
    note(&sent, |record| set::kept(record, text("set"), ["chain", "front", "rear"].map(text)))
}

/// `POST /api/v1/sets/forget`.
pub(super) async fn forget(sent: Sent) -> Result<Response, Fault> {
    let given = given::checked(FORGET, &sent.members)?;
    note(&sent, |record| set::forgotten(record, given.opt_text("set").unwrap_or_default()))
}

/// `POST /api/v1/sets/on`: what was on goes to the shelf, hours and sheet follow.
pub(super) async fn on(sent: Sent) -> Result<Response, Fault> {
    let given = given::checked(ON, &sent.members)?;
    change(&sent, &given, &Act::On(given.opt_text("set").unwrap_or_default()))
}

/// `POST /api/v1/sets/off`.
pub(super) async fn off(sent: Sent) -> Result<Response, Fault> {
    let given = given::checked(OFF, &sent.members)?;
    change(&sent, &given, &Act::Off)
}

fn note(sent: &Sent, fact: impl FnOnce(&Record<'_>) -> Result<Fact, Gap>) -> Result<Response, Fault> {
    let once = sent.once()?;
    let at = once.now.datetime();
    let mut garage = sent.state.writing();
    let bike = sent.bike(&garage)?;
    let record = garage.record_at(&bike, at).map_err(|why| problem(&why))?;
    let entry = NewEntry::new(at, fact(&record).map_err(|why| gap(&why))?);
    let done = garage.store_mut().note(&bike.id, &[entry], &once.post()).map_err(|why| store(&why))?;
    noted(&garage, &bike.id, done)
}

fn change(sent: &Sent, given: &Given<'_>, act: &Act<'_>) -> Result<Response, Fault> {
    let once = sent.once()?;
    let at = time_of(given, &once.now, false)?;
    let meter = meter(given)?;
    let mut garage = sent.state.writing();
    let bike = sent.bike(&garage)?;
    let ready = set::ready(&garage, &bike, act, (at, meter), checks(given, &bike)?).map_err(|why| problem(&why))?;
    if !once.again {
        meter_runs_on(&garage, &bike, &ready.entries).map_err(|why| problem(&why))?;
    }
    let done = set::write(&mut garage, &bike, &ready, &once.post()).map_err(|why| store(&why))?;
    noted(&garage, &bike.id, done)
}
