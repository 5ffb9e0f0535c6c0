//! `tightspot job begin`, `done`, `check` and `drive fitted`: work, what was confirmed after it, parts that went on.

use advice::{Block, ready};
use upkeep::bike::Bike;
use upkeep::record::{Check, Fact, Part, Work};

use super::written::{When, Written, fault};
use crate::args::Place;
use crate::asked::Door;
use crate::garage::Garage;
use crate::noted::part::{self, Typed};
use crate::noted::{check, work};
use crate::problem::Problem;
use crate::record_args::{CheckArgs, FittedArgs, WhenArgs, WorkArgs};

/// Writes down that work has begun.
pub(super) fn begin(place: &Place, args: &WorkArgs) -> Result<(), Problem> {
    keep(place, &args.when, |_| Ok(vec![Fact::Work(Work::new(&args.job, "begun").map_err(fault)?)]))
}

/// Writes down that work is done; refused while something its safety hangs on is not confirmed.
pub(super) fn done(place: &Place, args: &WorkArgs) -> Result<(), Problem> {
    keep(place, &args.when, |bike| {
        let work = Work::new(&args.job, "done").map_err(fault)?;
        work::facts(work, checks(bike, &args.checks)?).map_err(Problem::Failed)
    })
}

/// Writes down what was looked at.
pub(super) fn looked(place: &Place, args: &CheckArgs) -> Result<(), Problem> {
    keep(place, &args.when, |bike| Ok(checks(bike, &args.checks)?.into_iter().map(Fact::Check).collect()))
}

/// Writes down that a part was fitted.
pub(super) fn fitted(place: &Place, args: &FittedArgs) -> Result<(), Problem> {
    keep(place, &args.when, |_| {
        let price = ("price", args.price.as_deref());
        Ok(vec![Fact::Part(part((&args.role, &args.name), args.count.as_deref(), args.used.as_deref(), price)?)])
    })
}

/// A part as it was typed: role and name, teeth or links, hours, and what it cost or would sell for.
pub(super) fn part(
    (role, name): (&str, &str),
    count: Option<&str>,
    used: Option<&str>,
    (field, money): (&'static str, Option<&str>),
) -> Result<Part, Problem> {
    let typed = Typed { role, name, count, used, price: (field, money) };
    part::part(Door::of_command(), &typed).map_err(Problem::from)
}

fn checks(bike: &Bike, typed: &[String]) -> Result<Vec<Check>, Problem> {
    typed.iter().map(|text| check::one(bike, text).map_err(Problem::from)).collect()
}

fn keep(
    place: &Place,
    when: &WhenArgs,
    facts: impl FnOnce(&Bike) -> Result<Vec<Fact>, Problem>,
) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let when = When::of(place, when, 18)?;
    let change = when.write(&mut garage, &bike, facts(&bike)?)?;
    let view = ready::view(&garage.record(place, &bike)?);
    let blocks = [Block::Verdict(view.verdict, view.verdict.words(), view.sentence.clone()), Block::Table(&view.due)];
    Written { change, answer: &view, next: "tightspot ready" }.show(place, &blocks)
}
