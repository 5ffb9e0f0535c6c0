//! `service.group`: which jobs to do together this time.

use measure::bounds::wear as bounds;
use upkeep::due::{Bench, Grouping, MOST_JOBS, Recurring, group};

use super::{inside, money};
use crate::{Answer, Field, Figure, Given, Refusal};

pub(super) const FIGURE: Figure = Figure {
    name: "service.group",
    says: "Which jobs that share disassembly to do this time, so that the stretch ahead costs least.",
    given: &[
        Field::nested("jobs").meaning(
            "at most 8: {name, interval, age, cost_minor, access}; interval and age in rides, access a list of names",
        ),
        Field::nested("access_minor").optional("nothing to open").meaning("what opening each thing costs, by name"),
        Field::number("base_minor", &bounds::MONEY).optional("0").meaning("what starting at all costs"),
        Field::whole("horizon", &bounds::HORIZON).optional("twice the longest interval").meaning("rides looked ahead"),
        money::CURRENCY,
    ],
    answer: &[
        ("cost_minor", "least cost over the horizon, life left at its end counted back"),
        ("now", "names of the jobs to do this time, the fewest of equals"),
        ("each_when_due_minor", "cost of every job alone on its own date"),
        ("greedy_minor", "cost of adding the job that gains most whenever something is due"),
        ("currency", "as given"),
    ],
    formula: "least sum(base + access + jobs) - sum(cost max(0, interval - age at the end)/interval), each job by its interval; layers of ages",
    sources: &["grouping"],
    ask,
};

const JOB: &[Field] = &[
    Field::text("name"),
    Field::whole("interval", &bounds::JOB_INTERVAL),
    Field::whole("age", &bounds::JOB_AGE),
    Field::number("cost_minor", &bounds::MONEY),
    Field::nested("access").optional("nothing to open"),
];

fn ask(given: &Given<'_>) -> Result<Answer, Refusal> {
    let currency = money::currency(given)?;
    let access = inside::named_numbers(given, "access_minor", &bounds::MONEY)?.unwrap_or_default();
    let items = inside::items(given, "jobs", JOB)?;
    inside::some("jobs", items.len(), "job")?;
    if items.len() > MOST_JOBS {
        let text = format!("jobs has {} jobs; at most {MOST_JOBS} are grouped at once. Split the list.", items.len());
        return Err(Refusal::new("jobs", "too_many", text));
    }
    let names = items.iter().map(|item| item.text("name")).collect::<Result<Vec<_>, _>>()?;
    inside::no_name_twice("jobs", names.iter().copied())?;
    let jobs = items.iter().map(|item| job(item, &access)).collect::<Result<Vec<_>, _>>()?;
    let longest = jobs.iter().map(|job| u32::from(job.interval)).max().unwrap_or(1);
    let horizon = given.opt_whole("horizon").unwrap_or(2 * longest);
    let bench = Bench {
        jobs,
        access: access.iter().map(|(_, price)| *price).collect(),
        base: given.num_or("base_minor", 0.0),
        horizon,
    };
    let found = group(&bench);
    let answer = Answer::new()
        .num("cost_minor", found.cost)
        .json("now", found.now.iter().map(|&index| names[index]).collect::<Vec<_>>())
        .num("each_when_due_minor", found.each_when_due)
        .num("greedy_minor", found.greedy)
        .text("currency", currency);
    Ok(noticed(answer, &found, &bench, &names, longest))
}

fn job(item: &Given<'_>, access: &[(&str, f64)]) -> Result<Recurring, Refusal> {
    let needed = inside::names(item, "access").map_err(|fault| inside::under("jobs", fault))?;
    let places = needed.into_iter().map(|name| {
        access.iter().position(|(known, _)| *known == name).ok_or_else(|| {
            let text = format!("jobs: access \"{name}\" has no price. Give it under access_minor.");
            Refusal::new("jobs", "no_price", text)
        })
    });
    let interval = item.whole("interval")?;
    Ok(Recurring {
        interval: u8::try_from(interval)
            .map_err(|_| Refusal::out_of_range("jobs", f64::from(interval), &bounds::JOB_INTERVAL))?,
        age: item.whole("age")?,
        cost: item.num("cost_minor")?,
        access: places.collect::<Result<_, _>>()?,
    })
}

fn noticed(answer: Answer, found: &Grouping, bench: &Bench, names: &[&str], longest: u32) -> Answer {
    let late = bench.jobs.iter().zip(names).find(|(job, _)| job.age > u32::from(job.interval));
    answer
        .notice_if(bench.horizon < 2 * longest, "short_horizon", || {
            format!(
                "{} rides are looked ahead; {} are wanted for an interval of {longest}.",
                bench.horizon,
                2 * longest
            )
        })
        .notice_if(late.is_some(), "overdue", || {
            let (name, age, interval) = late.map_or(("", 0, 0), |(job, name)| (*name, job.age, job.interval));
            format!("{name} was due at {interval} rides and has {age}: it is done now.")
        })
        .notice_if(found.unproved > 0.0, "not_proved", || {
            format!(
                "Too many ways to try them all: a plan up to {:.0} of {:.0} minor units cheaper may exist.",
                found.unproved, found.cost
            )
        })
}
