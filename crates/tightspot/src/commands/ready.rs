//! `tightspot ready`: the whole answer in one go.

use std::process::ExitCode;

use advice::{Verdict, decision};

use super::show;
use super::written::{When, Written, fault};
use crate::args::{Place, ReadyArgs};
use crate::asked::{Door, ground as door_ground};
use crate::garage::Garage;
use crate::noted::work::against_stop;
use crate::problem::Problem;

/// Answers: can I ride, with which pair, will it fit, how much slack, what do I do.
pub(super) fn run(place: &Place, args: &ReadyArgs) -> Result<ExitCode, Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let mut door = Door::of_command();
    let wanted = args.setup.pair.is_some() || args.setup.links.is_some();
    let setup = door.wanted(&bike, &args.setup)?;
    let read = door.read(args.slack.as_deref(), None, None);
    door.closed()?;
    let ride = args.ride.as_deref().map(|what| garage.ride(&bike, what)).transpose()?;
    let ground = door_ground(args.ground.as_deref())?;
    let record = garage.record(place, &bike)?;
    let view = decision::with_record(&record, wanted.then_some(setup), ride.as_ref(), ground, read)?;
    if let Some(reason) = &args.against_stop {
        let fact = against_stop(&view, reason).map_err(fault)?;
        let when = When { at: record.now, meter: None, corrects: None, note: None };
        let change = when.write(&mut garage, &bike, vec![fact])?;
        let after = garage.record(place, &bike)?;
        let ready = advice::ready::view(&after);
        Written { change, answer: &ready, next: "" }.show(place, &ready.blocks())?;
    } else {
        show(place, &view, &view.blocks())?;
    }
    Ok(if args.verdict_exit { status(view.verdict) } else { ExitCode::SUCCESS })
}

fn status(verdict: Verdict) -> ExitCode {
    match verdict {
        Verdict::Ready => ExitCode::SUCCESS,
        Verdict::Care => ExitCode::from(10),
        Verdict::Stop => ExitCode::from(11),
        Verdict::Unknown => ExitCode::from(12),
    }
}
