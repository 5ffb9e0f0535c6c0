//! `tightspot job`: what to do, in which order, with what.

use std::io::Write as _;
use std::path::Path;

use advice::fact::{Cell, Column, Table};
use advice::plan::{self, PlanView, Wish};
use advice::{Block, Setup};
use upkeep::bike::Bike;
use upkeep::job::handbook::in_use;

use super::{bench, show};
use crate::args::{JobArgs, JobPart, Place, PlanArgs, SheetArgs};
use crate::asked::Door;
use crate::garage::Garage;
use crate::own_jobs;
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
        JobPart::Start(args) => bench::start(place, args),
        JobPart::Orders => bench::orders(place),
        JobPart::Show(args) => bench::stands(place, args),
        JobPart::Step(args) => bench::step(place, args),
        JobPart::Tick(args) => bench::tick(place, args),
        JobPart::Fail(args) => bench::fail(place, args),
        JobPart::Untick(args) => bench::untick(place, args),
        JobPart::Offers(args) => bench::offers(place, args),
        JobPart::Add(args) => bench::add(place, args),
        JobPart::Stop(args) => bench::stop(place, args),
        JobPart::Figure(args) => bench::figure(place, args),
        JobPart::Close(args) => bench::close(place, args),
        JobPart::GiveUp(args) => bench::give_up(place, args),
        JobPart::Begin(args) => super::work::begin(place, args),
        JobPart::Done(args) => super::work::done(place, args),
        JobPart::Check(args) => match args.checks.as_slice() {
            [folder] if Path::new(folder).is_dir() => own_jobs::check(place, Path::new(folder)),
            _ => super::work::looked(place, args),
        },
    }
}

/// Writes the plan as a PDF.
fn sheet(place: &Place, args: &SheetArgs) -> Result<(), Problem> {
    let paper = Paper::named(&args.paper)
        .ok_or_else(|| Problem::usage(format!("paper: \"{}\" is none here; possible: a4, letter.", args.paper)))?;
    let (garage, bike) = Garage::with_bike(place)?;
    let view = match args.order {
        Some(order) => bench::on_paper(place, &garage, order)?,
        None => planned(place, &args.plan)?,
    };
    let pdf = sheet::pdf(&bike, &view, Garage::clock(place).date(), paper)?;
    if args.out.as_os_str() == "-" {
        let mut out = std::io::stdout().lock();
        out.write_all(&pdf)?;
        out.flush()?;
        return Ok(());
    }
    std::fs::write(&args.out, pdf).map_err(|why| Problem::failed(format!("{}: {why}.", args.out.display())))
}

fn planned(place: &Place, args: &PlanArgs) -> Result<PlanView, Problem> {
    let (garage, bike) = Garage::with_bike(place)?;
    let (setup, wish) = wish(&bike, args)?;
    let manual = garage.store().manual(&bike.id)?;
    Ok(plan::view(&bike, setup, &Wish { manual, ..wish })?)
}

/// What is wished, without the figures of the manual.
pub(super) fn wish(bike: &Bike, args: &PlanArgs) -> Result<(Setup, Wish), Problem> {
    let choices = args.choice.iter().map(|text| choice(text)).collect::<Result<_, _>>()?;
    let mut door = Door::of_command();
    let setup = door.wanted(bike, &args.setup)?;
    door.closed()?;
    Ok((setup, Wish { jobs: args.job.clone(), choices, ..Wish::default() }))
}

/// An answer to a choice.
pub(super) fn choice(text: &str) -> Result<(String, String), Problem> {
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
        in_use()
            .jobs()
            .iter()
            .map(|file| vec![Cell::words(&file.job.id), Cell::words(&file.job.group), Cell::words(&file.job.title)]),
    );
    table
}
