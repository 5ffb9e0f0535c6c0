//! Kinds of entry that a program may write: what each takes, and the fact that it makes.

use advice::slack::Read;
use advice::{decision, ground};
use figures::{Field, Given, NoTracks, Refusal};
use jiff::civil::DateTime;
use measure::bounds::record as bounds;
use serde_json::{Value, json};
use upkeep::bike::{Bike, Fault as Wrong};
use upkeep::money::Currency;
use upkeep::record::{
    AxleReading, Check, ElongationReading, Fact, Kept, Meter, Part, Planned, Role, SlackKind, SlackReading, SlackState,
    Used, Whose, Work,
};

use super::describe;
use super::entries::{AT, CORRECTS, METER, NOTE};
use super::refusal::{faults, gap, problem, refused};
use crate::garage::Garage;
use crate::noted;
use crate::serve::Fault;

/// One kind of entry.
pub(super) struct Kind {
    /// Where it is posted to.
    pub(super) path: &'static str,
    /// Its name in the description.
    pub(super) id: &'static str,
    /// What is written down.
    pub(super) summary: &'static str,
    /// What it takes.
    pub(super) fields: &'static [Field],
    /// Whether its time lies ahead.
    pub(super) ahead: bool,
    /// The facts; a note and what is corrected belong to the first.
    pub(super) facts: fn(&Given<'_>, &At<'_>) -> Result<Vec<Fact>, Fault>,
}

/// The record that a fact is of.
pub(super) struct At<'a> {
    pub(super) bike: &'a Bike,
    pub(super) garage: &'a Garage,
    pub(super) now: DateTime,
}

const ANSWERED: [Field; 3] = [
    Field::text("check").meaning("what: brake, joint, axle, …"),
    Field::text("answer").meaning("what was found: firm, set, …"),
    Field::number("torque_nm", &bounds::TORQUE).optional("the bike sheet's, for a fastener that is set"),
];
const ROLE: Field = Field::word("role", &["chain", "front", "rear", "other"]);
const NAME: Field = Field::text("name").meaning("up to 100 characters");
const COUNT: Field = Field::whole("count", &bounds::COUNT).optional("not counted").meaning("teeth or links");
const USED_H: Field = Field::number("used_h", &bounds::USED).optional("0");
const CURRENCY: Field =
    Field::text("currency").optional("none").meaning("three capital letters; goes with price_minor");
/// What was looked at beside something else.
pub(super) const CHECKS: Field =
    Field::nested("checks").optional("none").meaning("what was looked at: objects of check, answer, torque_nm");

const STATES: [&str; SlackState::WORDS.len()] = words(SlackState::WORDS);
const WORK_STATES: [&str; Work::STATES.len()] = words(Work::STATES);
const WHOSE: [&str; Whose::WORDS.len()] = words(Whose::WORDS);
const KINDS_OF_SLACK: [&str; SlackKind::WORDS.len()] = words(SlackKind::WORDS);

/// The words of a table.
pub(super) const fn words<T, const N: usize>(table: &[(&'static str, T)]) -> [&'static str; N] {
    let (mut all, mut at) = ([""; N], 0);
    while at < N {
        all[at] = table[at].0;
        at += 1;
    }
    all
}

/// Every kind.
pub(super) const KINDS: &[Kind] = &[
    Kind {
        path: "/api/v1/entries/slack",
        id: "readSlack",
        summary: "Slack was read, at one or several places of the chain",
        fields: &[
            Field::numbers("slack_mm", &bounds::SLACK),
            Field::number("step_links", &bounds::LINKS_PASSED)
                .optional("not counted")
                .meaning("links between two readings"),
            Field::number("station", &bounds::STATION).optional("0.5").meaning("place along the lower run"),
            Field::word("state", &STATES).optional("stand"),
            Field::word("kind", &KINDS_OF_SLACK).optional("free"),
            AT,
            METER,
            CORRECTS,
            NOTE,
        ],
        ahead: false,
        facts: slack,
    },
    Kind {
        path: "/api/v1/entries/elongation",
        id: "readElongation",
        summary: "The chain's length was read, at one or several places",
        fields: &[
            Field::nested("length_mm").meaning("one list of readings a place, above 0 up to 10000 mm each"),
            Field::whole("pitches", &bounds::PITCHES).optional("20"),
            Field::number("maximum_error_mm", &bounds::INSTRUMENT_ERROR).optional("0.5"),
            Field::number("resolution_mm", &bounds::RESOLUTION).optional("0.1"),
            AT,
            METER,
            CORRECTS,
            NOTE,
        ],
        ahead: false,
        facts: elongation,
    },
    Kind {
        path: "/api/v1/entries/axle",
        id: "readAxle",
        summary: "The axle's place was read on both sides",
        fields: &[
            Field::number("left_mm", &bounds::SIDE),
            Field::number("right_mm", &bounds::SIDE),
            AT,
            METER,
            CORRECTS,
            NOTE,
        ],
        ahead: false,
        facts: |given, _| {
            let side = |name: &str| given.opt(name).unwrap_or_default();
            single(AxleReading::new(side("left_mm"), side("right_mm")).map(Fact::Axle))
        },
    },
    Kind {
        path: "/api/v1/entries/meter",
        id: "readMeter",
        summary: "The hour meter was read",
        fields: &[Field::number("shows_h", &bounds::METER), AT, CORRECTS, NOTE],
        ahead: false,
        facts: |given, _| single(Meter::read(given.opt("shows_h").unwrap_or_default()).map(Fact::Meter)),
    },
    Kind {
        path: "/api/v1/entries/meter-change",
        id: "changeMeter",
        summary: "The hour meter was changed",
        fields: &[Field::number("old_h", &bounds::METER), Field::number("new_h", &bounds::METER), AT, CORRECTS, NOTE],
        ahead: false,
        facts: |given, _| {
            let hours = |name: &str| given.opt(name).unwrap_or_default();
            single(Meter::swap(hours("old_h"), hours("new_h")).map(Fact::Meter))
        },
    },
    Kind {
        path: "/api/v1/entries/part",
        id: "fitPart",
        summary: "A part was fitted",
        fields: &[
            ROLE,
            NAME,
            COUNT,
            USED_H,
            Field::whole("price_minor", &bounds::PRICE).optional("not known").meaning("in minor units of its currency"),
            CURRENCY,
            AT,
            METER,
            CORRECTS,
            NOTE,
        ],
        ahead: false,
        facts: part,
    },
    Kind {
        path: "/api/v1/entries/used",
        id: "boughtUsed",
        summary: "Hours that nobody counted, known as a range: of a bike bought used or of a part of its drive",
        fields: &[
            Field::word("whose", &WHOSE).optional("chain"),
            Field::number("low_h", &bounds::USED),
            Field::number("high_h", &bounds::USED).meaning("not below low_h"),
            AT,
            METER,
            CORRECTS,
            NOTE,
        ],
        ahead: false,
        facts: |given, _| {
            let whose = right(Whose::of(given.opt_text("whose").unwrap_or("chain")))?;
            let end = |name: &str| given.opt(name).unwrap_or_default();
            single(Used::new(whose, end("low_h"), end("high_h")).map(Fact::Used))
        },
    },
    Kind {
        path: "/api/v1/entries/kept",
        id: "layOnShelf",
        summary: "A part was laid on the shelf, or is no longer there",
        fields: &[
            ROLE,
            NAME,
            COUNT,
            USED_H,
            Field::whole("price_minor", &bounds::PRICE).optional("not known").meaning("what it would sell for"),
            CURRENCY,
            Field::flag("gone").optional("false").meaning("sold, lost or scrapped"),
            AT,
            METER,
            CORRECTS,
            NOTE,
        ],
        ahead: false,
        facts: |given, _| Ok(vec![Fact::Kept(Kept::new(a_part(given)?, given.flag_or("gone", false)))]),
    },
    Kind {
        path: "/api/v1/entries/work",
        id: "work",
        summary: "Work without an order: begun, done with what its safety hangs on confirmed, or given up",
        fields: &[
            Field::text("job").meaning("the job, by its name in the library"),
            Field::word("state", &WORK_STATES).optional("done"),
            CHECKS,
            AT,
            METER,
            CORRECTS,
            NOTE,
        ],
        ahead: false,
        facts: work,
    },
    Kind {
        path: "/api/v1/entries/waiver",
        id: "rideAgainstStop",
        summary: "The rider rides against a stop: the reason stays and changes no verdict",
        fields: &[Field::text("reason").meaning("1 to 1000 characters"), NOTE],
        ahead: false,
        facts: waiver,
    },
    Kind {
        path: "/api/v1/entries/check",
        id: "check",
        summary: "Something was looked at",
        fields: &[ANSWERED[0], ANSWERED[1], ANSWERED[2], AT, METER, CORRECTS, NOTE],
        ahead: false,
        facts: check,
    },
    Kind {
        path: "/api/v1/entries/planned",
        id: "planRide",
        summary: "A ride or event to come",
        fields: &[
            Field::text("at").meaning("when, with its offset; in the future"),
            Field::text("name"),
            Field::flag("event").optional("false"),
            Field::number("hours_h", &bounds::RIDE).optional("not known"),
            CORRECTS,
            NOTE,
        ],
        ahead: true,
        facts: |given, _| {
            let name = given.opt_text("name").unwrap_or_default().to_owned();
            single(Planned::new(name, given.flag_or("event", false), given.opt("hours_h")).map(Fact::Planned))
        },
    },
];

fn single(made: Result<Fact, Wrong>) -> Result<Vec<Fact>, Fault> {
    Ok(vec![right(made)?])
}

fn right<T>(made: Result<T, Wrong>) -> Result<T, Fault> {
    made.map_err(|fault| faults("", &[fault]))
}

fn slack(given: &Given<'_>, _: &At<'_>) -> Result<Vec<Fact>, Fault> {
    let slack_mm = given.numbers("slack_mm");
    let at_links = given
        .opt("step_links")
        .map(|step| slack_mm.iter().scan(0.0, |at, _| Some(std::mem::replace(at, *at + step))).collect::<Vec<f64>>());
    let state = right(SlackState::of(given.opt_text("state").unwrap_or("stand")))?;
    let kind = right(SlackKind::of(given.opt_text("kind").unwrap_or("free")))?;
    single(SlackReading::new(slack_mm, at_links, given.num_or("station", 0.5), state, kind).map(Fact::Slack))
}

fn elongation(given: &Given<'_>, _: &At<'_>) -> Result<Vec<Fact>, Fault> {
    let wrong =
        || refused("length_mm", "wrong_list", "length_mm: a list of lists of numbers is wanted, one list a place.");
    let place = |place: &Value| place.as_array()?.iter().map(Value::as_f64).collect::<Option<Vec<f64>>>();
    let places = given.raw("length_mm").and_then(Value::as_array).ok_or_else(wrong)?;
    let length_mm = places.iter().map(place).collect::<Option<Vec<_>>>().ok_or_else(wrong)?;
    let pitches = given.opt_whole("pitches").unwrap_or(20);
    let (error, step) = (given.num_or("maximum_error_mm", 0.5), given.num_or("resolution_mm", 0.1));
    single(ElongationReading::new(pitches, length_mm, error, step).map(Fact::Elongation))
}

fn part(given: &Given<'_>, _: &At<'_>) -> Result<Vec<Fact>, Fault> {
    Ok(vec![Fact::Part(a_part(given)?)])
}

fn a_part(given: &Given<'_>) -> Result<Part, Fault> {
    let role = right(Role::of(given.opt_text("role").unwrap_or_default()))?;
    let name = given.opt_text("name").unwrap_or_default().to_owned();
    right(Part::new(role, name, given.opt_whole("count"), given.num_or("used_h", 0.0), price(given, "")?))
}

/// A price with its currency, both or neither; `below` leads to where they stand.
pub(super) fn price(given: &Given<'_>, below: &str) -> Result<Option<(i64, String)>, Fault> {
    let wrong = |field: &str, code: &str, why: &str| {
        Err(refused(&format!("{below}{field}"), code, &format!("{below}{field}: {why}")))
    };
    match (given.opt_whole("price_minor"), given.opt_text("currency")) {
        (None, None) => Ok(None),
        (Some(minor), Some(currency)) if Currency::of(currency).is_some() => {
            Ok(Some((i64::from(minor), currency.to_owned())))
        }
        (Some(_), Some(_)) => wrong("currency", "no_such_word", "no currency in use has these letters."),
        (Some(_), None) => wrong("currency", "missing", "a price needs one, such as EUR."),
        (None, Some(_)) => wrong("price_minor", "missing", "a currency without a price says nothing."),
    }
}

fn check(given: &Given<'_>, at: &At<'_>) -> Result<Vec<Fact>, Fault> {
    Ok(vec![Fact::Check(answered(given, at.bike)?)])
}

fn answered(given: &Given<'_>, bike: &Bike) -> Result<Check, Fault> {
    let (name, answer) = (given.opt_text("check").unwrap_or_default(), given.opt_text("answer").unwrap_or_default());
    right(noted::check::made(bike, name, answer, given.opt("torque_nm")))
}

/// What was looked at beside something else.
pub(super) fn checks(given: &Given<'_>, bike: &Bike) -> Result<Vec<Check>, Fault> {
    let wrong = || refused("checks", "wrong_list", "checks: a list of objects of check and answer is wanted.");
    let Some(all) = given.raw("checks") else { return Ok(Vec::new()) };
    let all = all.as_array().ok_or_else(wrong)?;
    let one = |one: &Value| {
        let given = Given::check(&ANSWERED, one.as_object().ok_or_else(wrong)?, &NoTracks);
        let below = |refusal: Refusal| refused(&format!("checks.{}", refusal.field), refusal.code, &refusal.text);
        answered(&given.map_err(below)?, bike)
    };
    all.iter().map(one).collect()
}

fn work(given: &Given<'_>, at: &At<'_>) -> Result<Vec<Fact>, Fault> {
    let work = right(Work::new(given.opt_text("job").unwrap_or_default(), given.opt_text("state").unwrap_or("done")))?;
    let checks = checks(given, at.bike)?;
    noted::work::facts(work, checks).map_err(|why| refused("checks", "not_confirmed", &why.join(" ")))
}

fn waiver(given: &Given<'_>, at: &At<'_>) -> Result<Vec<Fact>, Fault> {
    let record = at.garage.record_at(at.bike, at.now).map_err(|why| problem(&why))?;
    let view = decision::with_record(&record, None, None, ground::USUAL, Read::default());
    let view = view.map_err(|why| gap(&why))?;
    let reason = given.opt_text("reason").unwrap_or_default();
    let fact = noted::work::against_stop(&view, reason).map_err(|fault| faults("", &[fault]))?;
    Ok(vec![fact])
}

/// The schemas of the members whose inside the declarations leave open.
pub(super) fn inside() -> [(&'static str, Value); 2] {
    let lengths = json!({"type": "array", "minItems": 1, "items": {
        "type": "array", "minItems": 1, "items": {"type": "number", "exclusiveMinimum": 0, "maximum": 10_000},
    }});
    [("length_mm", lengths), ("checks", json!({"type": "array", "items": describe::object(&ANSWERED)}))]
}
