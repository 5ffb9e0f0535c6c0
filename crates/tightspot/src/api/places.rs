//! The places for programs: the same views as pages and commands, asked with numbers.

use std::future::Future;
use std::pin::Pin;

use advice::plan::{self, Wish};
use advice::record::{Record, first_day, forecast, history, kept_sets, season};
use advice::rides::{Rides, Weighed, ground_of};
use advice::shelf::Shelf;
use advice::slack::{self, Read};
use advice::{Setup, decision, fit, gearing, ground, map};
use axum::extract::{Query, State};
use axum::http::header::HeaderMap;
use axum::response::Response;
use figures::{Field, Given};
use jiff::ToSpan as _;
use jiff::civil::{Date, DateTime};
use measure::bounds;
use serde::Serialize;
use serde_json::{Value, json};
use upkeep::bike::Bike;
use upkeep::job::handbook::shipped;

use super::answers::{self, Shape};
use super::buying;
use super::choices::CHOICES;
use super::given;
use super::refusal::{gap, problem, refused, store};
use super::tagged::Fixed;
use crate::garage::Garage;
use crate::serve::{AppState, Fault, beside};
use crate::shopping::Stock;

/// One answer of a place.
pub(super) struct Place {
    /// Where it stands.
    pub(super) path: &'static str,
    /// Its name in the description.
    pub(super) id: &'static str,
    /// What it answers.
    pub(super) summary: &'static str,
    /// What may be given in the address.
    pub(super) fields: &'static [Field],
    /// The members of the answer.
    pub(super) answer: Shape,
    pub(super) view: fn(&Asking<'_>) -> Result<Value, Fault>,
}

/// A question with the record that it is asked of.
pub(super) struct Asking<'a> {
    pub(super) garage: &'a Garage,
    pub(super) bike: &'a Bike,
    pub(super) now: DateTime,
    pub(super) given: Given<'a>,
}

/// Which bike is meant.
pub(super) const BIKE: Field =
    Field::text("bike").optional("the first or only bike").meaning("the short name of a bike");
pub(super) const FRONT: Field = Field::whole("front_teeth", &bounds::bike::FRONT_TEETH).optional("what is fitted");
pub(super) const REAR: Field = Field::whole("rear_teeth", &bounds::bike::REAR_TEETH).optional("what is fitted");
pub(super) const LINKS: Field = Field::whole("links", &bounds::bike::LINKS).optional("what is fitted");
const SLACK: Field =
    Field::number("slack_mm", &bounds::slack::SLACK).optional("what is recorded").meaning("slack as read");
const RIDE: Field = Field::text("ride").optional("no ride").meaning("the name of a stored ride with its track");
const GROUND: Field = Field::word("ground", &GROUNDS).optional("the ride's own, else trail");
const JOB: Field = Field::text("job").optional("what the change needs").meaning("names of jobs, with commas between");
const SETUP: &[Field] = &[BIKE, FRONT, REAR, LINKS];
const LEFT: Field =
    Field::number("left_mm", &bounds::slack::SIDE).optional("not measured").meaning("axle place on the left");
const RIGHT: Field =
    Field::number("right_mm", &bounds::slack::SIDE).optional("not measured").meaning("axle place on the right");
const FROM: Field = Field::text("from").optional("a year before").meaning("first day, 2025-10-01");
const BY: Field =
    Field::text("by").optional("the next planned ride").meaning("day by which the parts must be there, 2026-10-10");
const TO: Field = Field::text("to").optional("today").meaning("last day, 2026-09-24");

const LOW: Field = Field::number("low_h", &bounds::record::USED).optional("the range that is kept");
const HIGH: Field =
    Field::number("high_h", &bounds::record::USED).optional("the range that is kept").meaning("goes with low_h");

/// The words of [`ground::GROUNDS`].
const GROUNDS: [&str; 8] = {
    let (mut words, mut at) = ([""; 8], 0);
    while at < words.len() {
        words[at] = ground::GROUNDS[at].word;
        at += 1;
    }
    words
};

/// Every answer of every place.
pub(super) fn all() -> impl Iterator<Item = &'static Place> {
    PLACES.iter().chain(CHOICES)
}

const PLACES: &[Place] = &[
    Place {
        path: "/api/v1/ready",
        id: "ready",
        summary: "Can I ride, and what first",
        fields: &[BIKE, SLACK, RIDE, GROUND, FRONT, REAR, LINKS],
        answer: answers::DECISION,
        view: ready,
    },
    Place {
        path: "/api/v1/gearing",
        id: "gearing",
        summary: "Which pair for this ground",
        fields: &[BIKE, RIDE, GROUND],
        answer: answers::GEARING,
        view: which_pair,
    },
    Place {
        path: "/api/v1/gearing/fit",
        id: "fit",
        summary: "Will that pair fit, and where does the axle land",
        fields: SETUP,
        answer: answers::FIT,
        view: |asking| told(fit::view(asking.bike, asking.setup()?)),
    },
    Place {
        path: "/api/v1/gearing/map",
        id: "map",
        summary: "Every pair that the chain reaches",
        fields: SETUP,
        answer: answers::MAP,
        view: |asking| told(map::view(asking.bike, asking.setup()?)),
    },
    Place {
        path: "/api/v1/drive",
        id: "slack",
        summary: "To which reading the slack is set, and what a reading means",
        fields: &[BIKE, SLACK, LEFT, RIGHT, FRONT, REAR, LINKS],
        answer: answers::SLACK,
        view: set_slack,
    },
    Place {
        path: "/api/v1/drive/forecast",
        id: "forecast",
        summary: "How long the chain lasts, and what each ground costs",
        fields: &[BIKE],
        answer: answers::FORECAST,
        view: lasts,
    },
    Place {
        path: "/api/v1/drive/first-day",
        id: "firstDay",
        summary: "What a chain bought used is worth, its hours known as a range, and what would narrow it",
        fields: &[BIKE, LOW, HIGH],
        answer: answers::FIRST_DAY,
        view: first_day,
    },
    Place {
        path: "/api/v1/drive/history",
        id: "history",
        summary: "What happened when",
        fields: &[BIKE],
        answer: answers::TABLE,
        view: |asking| shown(&history::table(&asking.record()?.log)),
    },
    Place {
        path: "/api/v1/drive/sets",
        id: "sets",
        summary: "Sets of chain and sprockets: parts, hours, where each is",
        fields: &[BIKE],
        answer: answers::SETS,
        view: |asking| told(kept_sets::view(&asking.record()?)),
    },
    Place {
        path: "/api/v1/jobs",
        id: "jobs",
        summary: "The jobs of the library",
        fields: &[BIKE],
        answer: answers::JOBS,
        view: |_| Ok(jobs()),
    },
    Place {
        path: "/api/v1/jobs/plan",
        id: "plan",
        summary: "The ordered steps of a job, with tools, parts, cautions and missing figures",
        fields: &[BIKE, JOB, FRONT, REAR, LINKS],
        answer: answers::PLAN,
        view: |asking| shown(&asking.plan()?),
    },
    Place {
        path: "/api/v1/parts",
        id: "parts",
        summary: "Have I got it: parts of the open order or of a change against the shelf, prices, the last day to order",
        fields: &[BIKE, JOB, FRONT, REAR, LINKS, BY],
        answer: answers::PARTS,
        view: parts,
    },
    Place {
        path: "/api/v1/parts/check",
        id: "checkBeforeBuying",
        summary: "Before buying: does it fit, what goes with it, what does an hour of it cost",
        fields: buying::FIELDS,
        answer: answers::BUY,
        view: buying::view,
    },
    Place {
        path: "/api/v1/season",
        id: "season",
        summary: "What a span of riding cost",
        fields: &[BIKE, FROM, TO],
        answer: answers::SEASON,
        view: spent,
    },
];

type Answering = Pin<Box<dyn Future<Output = Result<Response, Fault>> + Send>>;

/// The handler of a place.
pub(super) fn answer(
    place: &'static Place,
) -> impl Fn(State<AppState>, HeaderMap, given::Typed) -> Answering + Clone + Send + Sync + 'static {
    move |State(state), headers, Query(typed)| {
        Box::pin(async move {
            let members = given::query(place.fields, typed)?;
            let work = move || {
                let given = given::checked(place.fields, &members)?;
                let bike = bike_of(&state.garage(), &given)?;
                let asked = format!("{} {members:?}", place.path);
                state.answered(&bike, asked, |now| {
                    let garage = state.garage();
                    (place.view)(&Asking { garage: &garage, bike: &bike, now, given })
                })
            };
            let value = beside(work).await??;
            Ok(Fixed::of(&value).answer(&headers))
        })
    }
}

/// The bike that is named, else the first or only one.
pub(super) fn bike_of(garage: &Garage, given: &Given<'_>) -> Result<Bike, Fault> {
    match given.opt_text("bike") {
        Some(id) => garage.store().bike(id).map_err(|why| store(&why)),
        None => {
            let first = garage.store().bikes().map_err(|why| store(&why))?.into_iter().next();
            let first = first.ok_or_else(|| Fault::not_found("There is no bike yet. Add one: POST /api/v1/bikes."))?;
            garage.store().bike(&first.id).map_err(|why| store(&why))
        }
    }
}

impl Asking<'_> {
    pub(super) fn setup(&self) -> Result<Setup, Fault> {
        let fitted = Setup::fitted(self.bike).map_err(|missing| gap(&missing))?;
        let count = |name: &str, fitted: u32| self.given.opt_whole(name).unwrap_or(fitted);
        Ok(Setup {
            front_teeth: count("front_teeth", fitted.front_teeth),
            rear_teeth: count("rear_teeth", fitted.rear_teeth),
            links: count("links", fitted.links),
        })
    }

    pub(super) fn record(&self) -> Result<Record<'_>, Fault> {
        self.garage.record_at(self.bike, self.now).map_err(|why| problem(&why))
    }

    fn ride(&self) -> Result<Option<advice::demand::Ride>, Fault> {
        let named = self.given.opt_text("ride").map(|name| self.garage.stored_ride(self.bike, name));
        named.transpose().map_err(|why| refused("ride", "no_such_ride", &why.lines().join(" ")))
    }

    fn ground(&self) -> Option<ground::Ground> {
        self.given.opt_text("ground").and_then(ground::named)
    }

    fn wish(&self) -> Wish {
        let jobs = self.given.opt_text("job").map_or_else(Vec::new, |names| {
            names.split(',').map(|name| name.trim().to_owned()).filter(|name| !name.is_empty()).collect()
        });
        Wish { jobs, ..Wish::default() }
    }

    fn plan(&self) -> Result<plan::PlanView, Fault> {
        plan::view(self.bike, self.setup()?, &self.wish()).map_err(|missing| gap(&missing))
    }

    fn day(&self, name: &str) -> Result<Option<Date>, Fault> {
        let read = |text: &str| {
            text.parse::<Date>()
                .map_err(|_| refused(name, "no_date", &format!("{name} is no day; 2026-09-24 is wanted.")))
        };
        self.given.opt_text(name).map(read).transpose()
    }
}

/// A view or what is missing for it.
pub(super) fn told<V: Serialize>(view: Result<V, advice::Gap>) -> Result<Value, Fault> {
    shown(&view.map_err(|missing| gap(&missing))?)
}

fn shown<V: Serialize>(view: &V) -> Result<Value, Fault> {
    serde_json::to_value(view).map_err(|why| Fault::broken(&why))
}

fn ready(asking: &Asking<'_>) -> Result<Value, Fault> {
    let (given, record, ride) = (&asking.given, asking.record()?, asking.ride()?);
    let wanted = ["front_teeth", "rear_teeth", "links"].iter().any(|name| given.has(name));
    let setup = wanted.then(|| asking.setup()).transpose()?;
    let read = Read { slack_mm: given.opt("slack_mm"), ..Read::default() };
    told(decision::with_record(&record, setup, ride.as_ref(), asking.ground().unwrap_or(ground::USUAL), read))
}

fn which_pair(asking: &Asking<'_>) -> Result<Value, Fault> {
    let ride = asking.ride()?;
    let ground = asking.ground();
    let weigh = |ride| Weighed { ride, ground: ground_of(Some(&ride.ground), ground), weight: 1.0, age_d: None };
    let rides = Rides { all: ride.iter().map(weigh).collect(), ..Rides::default() };
    told(gearing::over(asking.bike, &rides, &Shelf::default()))
}

fn set_slack(asking: &Asking<'_>) -> Result<Value, Fault> {
    let opt = |name: &str| asking.given.opt(name);
    let read = Read { slack_mm: opt("slack_mm"), left_mm: opt("left_mm"), right_mm: opt("right_mm") };
    if read.left_mm.is_some() != read.right_mm.is_some() {
        let field = if read.left_mm.is_some() { "right_mm" } else { "left_mm" };
        let text = format!("{field}: only the other side is given. Measure both sides, or leave both out.");
        return Err(refused(field, "missing", &text));
    }
    told(slack::view(asking.bike, asking.setup()?, read))
}

fn lasts(asking: &Asking<'_>) -> Result<Value, Fault> {
    let record = asking.record()?;
    let view = forecast::view(&record).map_err(|missing| gap(&missing))?;
    let (grounds, _) = forecast::grounds(&record).map_err(|missing| gap(&missing))?;
    shown(&json!({ "forecast": view, "grounds": grounds }))
}

fn first_day(asking: &Asking<'_>) -> Result<Value, Fault> {
    let record = asking.record()?;
    match (asking.given.opt("low_h"), asking.given.opt("high_h")) {
        (Some(low), Some(high)) => told(first_day::view(&record, low, high)),
        (None, None) => {
            let kept = first_day::stored(&record).map_err(|missing| gap(&missing))?;
            let none = || refused("low_h", "missing", "low_h: no range is kept for this chain; give low_h and high_h.");
            shown(&kept.ok_or_else(none)?)
        }
        (low, _) => {
            let field = if low.is_some() { "high_h" } else { "low_h" };
            Err(refused(field, "missing", &format!("{field}: only the other end is given. Give both, or neither.")))
        }
    }
}

fn jobs() -> Value {
    let files = shipped().jobs().iter();
    let all = files.map(|file| json!({"job": file.job.id, "group": file.job.group, "title": file.job.title}));
    json!({ "items": all.collect::<Vec<_>>() })
}

fn parts(asking: &Asking<'_>) -> Result<Value, Fault> {
    let wanted = ["job", "front_teeth", "rear_teeth", "links"].iter().any(|name| asking.given.has(name));
    let wished = if wanted { Some((asking.setup()?, asking.wish())) } else { None };
    let stock = Stock::of(asking.garage, asking.bike, asking.now).map_err(|why| store(&why))?;
    told(stock.list(asking.bike, wished, asking.day("by")?))
}

fn spent(asking: &Asking<'_>) -> Result<Value, Fault> {
    let to = asking.day("to")?.unwrap_or_else(|| asking.now.date());
    let from = match asking.day("from")? {
        Some(from) => from,
        None => to.checked_sub(1.year()).map_err(|why| refused("to", "no_date", &why.to_string()))?,
    };
    if from > to {
        return Err(refused("from", "after", &format!("from: {from} lies after {to}.")));
    }
    told(season::view(&asking.record()?, from, to))
}
