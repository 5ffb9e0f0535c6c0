//! `tightspot job` and `tightspot parts`: what to do, in which order, with what.

use std::io::Write as _;

use advice::fact::{Cell, Column, Table};
use advice::plan::{self, PlanView, Wish};
use advice::{Block, Setup};
use upkeep::bike::Bike;
use upkeep::job::handbook::shipped;

use super::show;
use crate::args::{JobArgs, JobPart, Place, PlanArgs, SheetArgs};
use crate::asked::{Door, fitted};
use crate::garage::Garage;
use crate::problem::Problem;
use crate::sheet::{self, Paper};

/// Does what is asked with jobs.
pub(super) fn run(place: &Place, args: &JobArgs) -> Result<(), Problem> {
    match &args.part {
        JobPart::List => {
            let table = list();
            show(place, &table, &[Block::Table(&table)])
        }
        JobPart::Plan(args) => {
            let view = planned(place, args)?;
            show(place, &view, &view.blocks())
        }
        JobPart::Sheet(args) => sheet(place, args),
        JobPart::Begin(args) => super::work::begin(place, args),
        JobPart::Done(args) => super::work::done(place, args),
        JobPart::Check(args) => super::work::check(place, args),
    }
}

/// Prints only what is to be bought and had at hand.
pub(super) fn parts(place: &Place, args: &PlanArgs) -> Result<(), Problem> {
    let view = planned(place, args)?;
    let blocks = [
        Block::Table(&view.parts),
        Block::Text(format!("Consumables: {}.", view.consumables.join("; "))),
        Block::Text(format!("Tools: {}.", view.tools.join("; "))),
    ];
    show(place, &view.parts, &blocks)
}

/// Writes the plan as a PDF.
fn sheet(place: &Place, args: &SheetArgs) -> Result<(), Problem> {
    let paper = Paper::named(&args.paper)
        .ok_or_else(|| Problem::usage(format!("paper: \"{}\" is none here; possible: a4, letter.", args.paper)))?;
    let bike = Garage::open(place)?.bike(place.bike.as_deref())?;
    let pdf = sheet::pdf(&bike, &planned(place, &args.plan)?, Garage::clock(place).date(), paper)?;
    if args.out.as_os_str() == "-" {
        let mut out = std::io::stdout().lock();
        out.write_all(&pdf)?;
        out.flush()?;
        return Ok(());
    }
    std::fs::write(&args.out, pdf).map_err(|why| Problem::failed(format!("{}: {why}.", args.out.display())))
}

fn planned(place: &Place, args: &PlanArgs) -> Result<PlanView, Problem> {
    let garage = Garage::open(place)?;
    let bike = garage.bike(place.bike.as_deref())?;
    let setup = setup(&bike, args)?;
    let choices = args.choice.iter().map(|text| choice(text)).collect::<Result<_, _>>()?;
    Ok(plan::view(&bike, setup, &Wish { jobs: args.job.clone(), choices })?)
}

fn setup(bike: &Bike, args: &PlanArgs) -> Result<Setup, Problem> {
    let mut door = Door::of_command();
    let setup = door.setup(fitted(bike)?, args.setup.pair.as_deref(), args.setup.links.as_deref());
    if door.faults.is_empty() { Ok(setup) } else { Err(door.faults.into()) }
}

fn choice(text: &str) -> Result<(String, String), Problem> {
    let pair = text.split_once('=').map(|(key, value)| (key.trim().to_owned(), value.trim().to_owned()));
    pair.ok_or_else(|| {
        Problem::usage(format!("choice: \"{text}\" is no choice; KEY=VALUE is wanted, such as front-retention=nut."))
    })
}

fn list() -> Table {
    let columns =
        vec![Column::words("job", "Job"), Column::words("group", "Group"), Column::words("title", "What it is")];
    let mut table = Table::new("jobs", "Jobs of the library", columns);
    table.rows.extend(
        shipped()
            .jobs()
            .iter()
            .map(|file| vec![Cell::words(&file.job.id), Cell::words(&file.job.group), Cell::words(&file.job.title)]),
    );
    table
}
