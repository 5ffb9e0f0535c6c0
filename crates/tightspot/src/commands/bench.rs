//! `tightspot job start`, `step`, `tick` and the rest of a work order: the same views and the same stops as the pages.

use advice::bench::take::{Trouble, TypedHold, TypedStep, add as bring_in, take, untick as take_back};
use advice::bench::{Laid, close, due, offer, step as shown, view};
use advice::fact::{Cell, Column, Table};
use advice::plan::{PlanView, Wish, of_order};
use advice::{Block, ready};
use jiff::Timestamp;
use measure::bounds::record as bounds;
use store::{NewEntry, NewLines, Post};
use upkeep::bike::Bike;
use upkeep::job::bench::{Bench, End, What};
use upkeep::job::handbook;
use upkeep::record::{Fact, Meter};

use super::show;
use super::written::fault;
use crate::args::Place;
use crate::asked::Door;
use crate::bench_args::{
    AddArgs, BenchArgs, CloseArgs, FailArgs, FigureArgs, StartArgs, StepArgs, TickArgs, UntickArgs,
};
use crate::garage::Garage;
use crate::problem::Problem;
use crate::workbench::{self, Loaded, TypedFigure};

/// Begins an order of the jobs named, or of what is due.
pub(super) fn start(place: &Place, args: &StartArgs) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let mut jobs = args.jobs.clone();
    if args.due {
        let record = garage.record(place, &bike)?;
        let due = due::jobs(&record, handbook::in_use());
        jobs.extend(due.into_iter().map(|due| due.job).filter(|job| !args.jobs.contains(job)));
    }
    if jobs.is_empty() {
        return Err(Problem::failed("Nothing that is recorded is due. Name a job; tightspot job list shows them."));
    }
    let mut door = Door::of_command();
    let setup = door.wanted(&bike, &args.setup)?;
    door.closed()?;
    let choices = args.choice.iter().map(|text| super::job::choice(text)).collect::<Result<_, _>>()?;
    let wish = Wish { jobs, choices, manual: garage.store().manual(&bike.id)? };
    let at = Garage::clock(place);
    let (new, facts) = workbench::begun(&bike, setup, &wish, at)?;
    let id = garage.store_mut().begin_bench(&bike.id, &new, &facts, &Post::at(Timestamp::now()))?;
    let loaded = Loaded::of(&garage, bike, at, None, id)?;
    let told = view(&loaded.desk())?;
    let mut blocks = vec![Block::Text(format!("Order {id} is begun. Next: tightspot job step"))];
    blocks.extend(told.blocks());
    show(place, &told, &blocks)
}

/// The orders of a bike.
pub(super) fn orders(place: &Place) -> Result<(), Problem> {
    let (garage, bike) = Garage::with_bike(place)?;
    let columns = vec![
        Column::numbers("order", "Order"),
        Column::words("state", "State"),
        Column::words("begun", "Begun"),
        Column::words("jobs", "Jobs"),
        Column::numbers("done", "Steps done"),
    ];
    let mut table = Table::new("orders", "Work orders", columns);
    for bench in garage.store().benches(&bike.id)? {
        let state = match bench.end() {
            End::Open => "open",
            End::Closed => "closed",
            End::Dropped => "dropped",
        };
        let number = |count: usize| Cell { text: count.to_string(), value: u32::try_from(count).ok().map(f64::from) };
        table.rows.push(vec![
            number(usize::try_from(bench.id).unwrap_or_default()),
            Cell::words(state),
            Cell::words(bench.at.date().to_string()),
            Cell::words(bench.jobs_now().join(", ")),
            number(bench.ticks().len()),
        ]);
    }
    show(place, &table, &[Block::Table(&table)])
}

/// The order as it stands.
pub(super) fn stands(place: &Place, args: &BenchArgs) -> Result<(), Problem> {
    let garage = Garage::open(place)?;
    let loaded = load(place, &garage, args)?;
    let told = view(&loaded.desk())?;
    show(place, &told, &told.blocks())
}

/// What is left of an open order, for paper.
pub(super) fn on_paper(place: &Place, garage: &Garage, order: i64) -> Result<PlanView, Problem> {
    let loaded = load(place, garage, &BenchArgs { order: Some(order), who: None })?;
    if loaded.bench.end() != End::Open {
        return Err(Problem::failed(format!("Order {order} is not open any more; nothing of it is left to do.")));
    }
    Ok(of_order(&loaded.desk(), &loaded.desk().lay_out()?)?)
}

/// One step.
pub(super) fn step(place: &Place, args: &StepArgs) -> Result<(), Problem> {
    let garage = Garage::open(place)?;
    let loaded = load(place, &garage, &args.order)?;
    let laid = loaded.desk().lay_out()?;
    tell(place, &loaded, &laid, place_of(&laid, args.step.as_deref())?, &[])
}

/// Ticks a step.
pub(super) fn tick(place: &Place, args: &TickArgs) -> Result<(), Problem> {
    let mut garage = Garage::open(place)?;
    let loaded = load(place, &garage, &args.order)?;
    let laid = loaded.desk().lay_out()?;
    let at = place_of(&laid, args.step.as_deref())?;
    let typed = typed(&loaded, &laid, at, args)?;
    ticked(place, &mut garage, &loaded, &laid, &typed)
}

/// Says that a stop point does not pass.
pub(super) fn fail(place: &Place, args: &FailArgs) -> Result<(), Problem> {
    let mut garage = Garage::open(place)?;
    let loaded = load(place, &garage, &args.order)?;
    let laid = loaded.desk().lay_out()?;
    let has = |step: &&upkeep::job::SheetStep<'_>| step.holds.iter().any(|shown| shown.hold.id == args.hold);
    let Some(step) = laid.sheet.steps.iter().skip(laid.done()).find(has) else {
        return Err(Problem::usage(format!("hold: \"{}\" is no stop point of a step to come.", args.hold)));
    };
    let given = TypedHold {
        value: args.value.clone().unwrap_or_else(|| "no".to_owned()),
        passes: "no".to_owned(),
        ..TypedHold::default()
    };
    let typed = TypedStep {
        step: step.token.clone(),
        read: read(&loaded, &laid, step.number - 1, &args.read),
        holds: vec![(args.hold.clone(), given)],
        ..TypedStep::default()
    };
    ticked(place, &mut garage, &loaded, &laid, &typed)
}

fn ticked(place: &Place, garage: &mut Garage, loaded: &Loaded, laid: &Laid, typed: &TypedStep) -> Result<(), Problem> {
    let what = take(&loaded.desk(), laid, typed).map_err(|troubles| refused(&troubles))?;
    wrote(place, garage, loaded, what)
}

/// Writes lines and tells the next step, or how to close.
fn wrote(place: &Place, garage: &mut Garage, loaded: &Loaded, what: Vec<What>) -> Result<(), Problem> {
    let said: Vec<String> = what.iter().map(said).collect();
    loaded.write(garage, &Post::at(Timestamp::now()), NewLines { what, ..NewLines::default() })?;
    let now = Loaded::of(garage, loaded.bike.clone(), loaded.now, loaded.who.clone(), loaded.bench.id)?;
    let laid = now.desk().lay_out()?;
    if laid.done() < laid.sheet.steps.len() {
        return tell(place, &now, &laid, laid.done(), &said);
    }
    let told = view(&now.desk())?;
    let mut blocks: Vec<Block<'_>> = vec![Block::List(said)];
    blocks.push(Block::Text("Every step is done. Next: tightspot job close".to_owned()));
    show(place, &told, &blocks)
}

/// What a line says, for the one who wrote it.
fn said(what: &What) -> String {
    match what {
        What::Read(caution) => format!("Read: {caution}."),
        What::Ticked { step, .. } => format!("Saved: {step} is done."),
        What::Held { step, .. } => format!("Saved: {step} stays open; it did not pass."),
        What::Unticked { step, reason } => format!("Not done any more: {step} ({reason})."),
        What::Added { job, reason } => format!("Came into the order: {job} ({reason})."),
        What::Paused => "Stopped for now; everything is kept.".to_owned(),
        What::Cure { hours } => format!("Threadlocker: {hours} h until it is cured."),
        What::Closed => "Closed.".to_owned(),
        What::Dropped => "Given up.".to_owned(),
    }
}

/// Takes a tick back.
pub(super) fn untick(place: &Place, args: &UntickArgs) -> Result<(), Problem> {
    let mut garage = Garage::open(place)?;
    let loaded = load(place, &garage, &args.order)?;
    let laid = loaded.desk().lay_out()?;
    let by_number = args.step.parse::<usize>().ok().and_then(|number| laid.sheet.steps.get(number.checked_sub(1)?));
    let token = by_number.map_or(args.step.as_str(), |step| step.token.as_str());
    let what = take_back(&loaded.desk(), token, &args.reason).map_err(|troubles| refused(&troubles))?;
    wrote(place, &mut garage, &loaded, what)
}

/// What is cheap while it is open anyway.
pub(super) fn offers(place: &Place, args: &BenchArgs) -> Result<(), Problem> {
    let garage = Garage::open(place)?;
    let loaded = load(place, &garage, args)?;
    let laid = loaded.desk().lay_out()?;
    let jobs = laid.stand.order.jobs.clone();
    let found = offer::view(handbook::in_use(), &jobs, &loaded.bench.choices, &loaded.log)?;
    show(place, &found, &[Block::Table(&offer::table(&found))])
}

/// Brings a job in.
pub(super) fn add(place: &Place, args: &AddArgs) -> Result<(), Problem> {
    let mut garage = Garage::open(place)?;
    let loaded = load(place, &garage, &args.order)?;
    let laid = loaded.desk().lay_out()?;
    let what = bring_in(&loaded.desk(), &laid, &args.job).map_err(|troubles| refused(&troubles))?;
    wrote(place, &mut garage, &loaded, what)
}

/// Stops for now.
pub(super) fn stop(place: &Place, args: &BenchArgs) -> Result<(), Problem> {
    let mut garage = Garage::open(place)?;
    let loaded = load(place, &garage, args)?;
    wrote(place, &mut garage, &loaded, vec![What::Paused])
}

/// Keeps a figure of the manual.
pub(super) fn figure(place: &Place, args: &FigureArgs) -> Result<(), Problem> {
    let (mut garage, bike) = Garage::with_bike(place)?;
    let to = args.to.as_deref().unwrap_or_default();
    let typed = TypedFigure::of_values(&args.figure, [&args.value, to], &args.source);
    let typed = typed.map_err(|troubles| refused(&troubles))?;
    typed.keep(&mut garage, &bike.id, &Post::at(Timestamp::now()))?;
    let text = format!("Saved: {} {} ({}).", args.figure, args.value, args.source);
    show(place, &text, &[Block::Text(text.clone())])
}

/// Closes an order; refused with the open safety steps by name.
pub(super) fn close(place: &Place, args: &CloseArgs) -> Result<(), Problem> {
    let mut garage = Garage::open(place)?;
    let loaded = load(place, &garage, &args.order)?;
    let laid = loaded.desk().lay_out()?;
    let closing = close::view(&loaded.desk(), &laid);
    if !closing.may() {
        let mut lines = vec![format!("Order {} is not closed:", loaded.bench.id)];
        lines.extend(closing.refusal());
        return Err(Problem::Failed(lines));
    }
    let mut door = Door::of_command();
    let meter = door.number("meter", args.meter.as_deref(), &bounds::METER);
    let mut parts = Vec::new();
    for part in &closing.fitted {
        let named =
            |text: &&String| text.split_once('=').is_some_and(|(name, _)| name == part.role || name == part.name);
        let price = args.price.iter().find(named).and_then(|text| text.split_once('='));
        let price = price.and_then(|(_, money)| door.money("price", Some(money)));
        parts.push(close::part(part, "", 0.0, price).map_err(fault)?);
    }
    door.closed()?;
    let mut facts = Vec::new();
    if let Some(hours) = meter {
        facts.push(Fact::Meter(Meter::read(hours).map_err(fault)?));
    }
    facts.extend(close::facts(&loaded.desk(), &laid, parts).map_err(fault)?);
    let facts = facts.into_iter().map(|fact| NewEntry::new(loaded.now, fact)).collect();
    let lines =
        NewLines { what: vec![What::Closed], facts, sheet: close::sheet(&loaded.desk()), ..NewLines::default() };
    loaded.write(&mut garage, &Post::at(Timestamp::now()), lines)?;
    let bike = garage.store().bike(&loaded.bike.id)?;
    let told = ready::view(&garage.record(place, &bike)?);
    let mut blocks = closing.blocks();
    blocks.push(Block::Verdict(told.verdict, told.verdict.words(), told.sentence.clone()));
    show(place, &told, &blocks)
}

/// Gives an order up: nothing may be open on the bike.
pub(super) fn give_up(place: &Place, args: &BenchArgs) -> Result<(), Problem> {
    let mut garage = Garage::open(place)?;
    let loaded = load(place, &garage, args)?;
    let laid = loaded.desk().lay_out()?;
    let lines = loaded.dropped(&laid).map_err(Problem::failed)?;
    loaded.write(&mut garage, &Post::at(Timestamp::now()), lines)?;
    let text = format!("Order {} is given up.", loaded.bench.id);
    show(place, &text, &[Block::Text(text.clone())])
}

/// The order asked for, or the only open one.
fn load(place: &Place, garage: &Garage, args: &BenchArgs) -> Result<Loaded, Problem> {
    let bike: Bike = garage.bike(place.bike.as_deref())?;
    let benches = garage.store().benches(&bike.id)?;
    let open: Vec<&Bench> = benches.iter().filter(|bench| bench.end() == End::Open).collect();
    let id = match (args.order, open.as_slice()) {
        (Some(id), _) => id,
        (None, [only]) => only.id,
        (None, []) => return Err(Problem::failed("No work order is open. Begin one: tightspot job start JOB")),
        (None, several) => {
            let ids: Vec<String> = several.iter().map(|bench| bench.id.to_string()).collect();
            return Err(Problem::usage(format!("Several orders are open: {}. Name one with --order.", ids.join(", "))));
        }
    };
    let who = args.who.clone().filter(|who| !who.trim().is_empty());
    Ok(Loaded::of(garage, bike, Garage::clock(place), who, id)?)
}

/// The place of a step that is named by its number or its token; the next one if none is named.
fn place_of(laid: &Laid, named: Option<&str>) -> Result<usize, Problem> {
    let Some(named) = named else { return Ok(laid.done()) };
    let by_number = named.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
    let by_token =
        laid.sheet.steps.iter().skip(laid.done()).position(|step| step.token == named).map(|at| laid.done() + at);
    by_number.or(by_token).filter(|at| *at < laid.sheet.steps.len()).ok_or_else(|| {
        Problem::usage(format!(
            "step: \"{named}\" is no step to come; 1 to {} or a name such as {} is possible.",
            laid.sheet.steps.len(),
            laid.sheet.steps.get(laid.done()).map_or("open:on-stand", |step| step.token.as_str())
        ))
    })
}

fn tell(place: &Place, loaded: &Loaded, laid: &Laid, at: usize, said: &[String]) -> Result<(), Problem> {
    let Some(told) = shown::view(&loaded.desk(), laid, at) else {
        return Err(Problem::failed("Every step is done. Next: tightspot job close"));
    };
    let mut blocks = vec![Block::List(said.to_vec())];
    blocks.push(Block::Text(format!("Work order {}, step {} of {}.", loaded.bench.id, told.step.number, told.of)));
    blocks.extend(told.blocks());
    if told.next {
        let read = if told.unread.is_empty() { "" } else { " --read all" };
        let value: String = told.blanks.iter().map(|blank| format!(" --value {}=…", blank.hold)).collect();
        blocks.push(Block::Text(format!("When it is done: tightspot job tick{read}{value}")));
    }
    show(place, &told, &blocks)
}

/// The stops that count as read: those named, or all that the step shows.
fn read(loaded: &Loaded, laid: &Laid, at: usize, named: &[String]) -> Vec<String> {
    if named.iter().any(|one| one == "all") {
        loaded.desk().unread(laid, at).iter().map(|caution| caution.id.clone()).collect()
    } else {
        named.to_vec()
    }
}

fn typed(loaded: &Loaded, laid: &Laid, at: usize, args: &TickArgs) -> Result<TypedStep, Problem> {
    let token = laid.sheet.steps.get(at).map(|step| step.token.clone()).unwrap_or_default();
    let mut typed = TypedStep {
        step: token,
        read: read(loaded, laid, at, &args.read),
        holds: Vec::new(),
        reason: args.reason.clone().unwrap_or_default(),
        cure_h: args.cure.clone().unwrap_or_default(),
    };
    let mut put = |text: &str, put: &dyn Fn(&mut TypedHold, &str)| -> Result<(), Problem> {
        let Some((hold, value)) = text.split_once('=') else {
            return Err(Problem::usage(format!("\"{text}\" has no value; write HOLD=VALUE, such as slack=85.")));
        };
        match typed.holds.iter_mut().find(|(known, _)| known == hold) {
            Some((_, known)) => put(known, value),
            None => {
                let mut new = TypedHold::default();
                put(&mut new, value);
                typed.holds.push((hold.to_owned(), new));
            }
        }
        Ok(())
    };
    for text in &args.values {
        put(text, &|hold, value| hold.value = value.to_owned())?;
    }
    for text in &args.passes {
        put(text, &|hold, value| hold.passes = value.to_owned())?;
    }
    for text in &args.because {
        put(text, &|hold, value| hold.reason = value.to_owned())?;
    }
    for hold in &args.waive {
        put(&format!("{hold}=yes"), &|hold, _| hold.waived = true)?;
    }
    Ok(typed)
}

/// What is typed for a field of a step.
fn option(field: &str) -> String {
    match field.split_once('-') {
        Some(("read", caution)) => format!("--read {caution}"),
        Some(("value", hold)) => format!("--value {hold}=…"),
        Some(("passes", hold)) => format!("--passes {hold}=yes|no"),
        Some(("reason", hold)) => format!("--because {hold}=…"),
        Some(("waive", hold)) => format!("--waive {hold}"),
        _ => field.to_owned(),
    }
}

fn refused(troubles: &[Trouble]) -> Problem {
    Problem::Usage(troubles.iter().map(|one| format!("{}: {}", option(&one.field), one.text)).collect())
}
