//! Choices about parts and rides for programs: replace together or singly, what to measure next, ride it or miss it,
//! what to order by when, what lies on the shelf.

use advice::record::{next, order, replace, shelf, through};
use figures::Field;
use measure::bounds;
use serde_json::Value;

use super::answers::Is::{Any, Each, Maybe, Number, Shared, Text, Whole};
use super::answers::{self, Shape};
use super::places::{Asking, BIKE, FRONT, LINKS, Place, REAR, told};
use crate::serve::Fault;

const HOURS: Field = Field::number("hours_h", &bounds::record::RIDE).optional("the next planned ride's");
const MUD: Field = Field::number("mud_h", &bounds::record::RIDE).optional("0").meaning("of them in mud");
const SAND: Field = Field::number("sand_h", &bounds::record::RIDE).optional("0").meaning("of them in sand");
const SLACK: Field =
    Field::number("slack_mm", &bounds::record::SLACK).optional("the reading that still holds").meaning("slack now");
const LEAD: Field = Field::whole("lead_d", &bounds::record::LEAD).optional("not known").meaning("days of delivery");

/// What each choice about the set loses.
const REPLACE: Shape = &[
    ("verdict", Shared("Verdict")),
    ("sentence", Text),
    ("best", Maybe(&Text)),
    ("safest", Maybe(&Text)),
    ("reasons", Each(&Shared("Reason"))),
    ("parts", Each(&Any)),
    ("choices", Each(&Any)),
    ("by_coupling", Each(&Any)),
    ("currency", Maybe(&Text)),
    ("facts", Each(&Shared("Fact"))),
    ("part_table", Shared("Table")),
    ("choice_table", Shared("Table")),
    ("notes", Each(&Text)),
];

/// What to measure next.
const NEXT: Shape = &[
    ("best", Maybe(&Text)),
    ("sentence", Text),
    ("unknown", Each(&Shared("Reason"))),
    ("offers", Each(&Any)),
    ("table", Shared("Table")),
    ("notes", Each(&Text)),
];

/// Whether it lasts.
const THROUGH: Shape = &[
    ("verdict", Shared("Verdict")),
    ("sentence", Text),
    ("reasons", Each(&Shared("Reason"))),
    ("hours_h", Number),
    ("sand_mud_h", Each(&Number)),
    ("chance_limit", Number),
    ("chance_slack", Maybe(&Number)),
    ("chance_both", Number),
    ("sure_h", Maybe(&Number)),
    ("acts", Each(&Any)),
    ("facts", Each(&Shared("Fact"))),
    ("act_table", Shared("Table")),
    ("notes", Each(&Text)),
];

/// What to order.
const ORDER: Shape = &[
    ("sentence", Text),
    ("lead_d", Maybe(&Whole)),
    ("lines", Each(&Any)),
    ("table", Shared("Table")),
    ("notes", Each(&Text)),
];

/// Every choice.
pub(super) const CHOICES: &[Place] = &[
    Place {
        path: "/api/v1/drive/replace",
        id: "replace",
        summary: "Replace together or singly: what each choice loses",
        fields: &[BIKE, FRONT, REAR, LINKS],
        answer: REPLACE,
        view: |asking| told(replace::view(&asking.record()?, &wanted(asking)?)),
    },
    Place {
        path: "/api/v1/drive/next",
        id: "measureNext",
        summary: "What to measure next: the reading that changes the verdict most per minute",
        fields: &[BIKE],
        answer: NEXT,
        view: |asking| told(next::view(&asking.record()?)),
    },
    Place {
        path: "/api/v1/drive/through",
        id: "through",
        summary: "Ride it or miss it: the chance that chain and slack hold, and what raises it",
        fields: &[BIKE, HOURS, MUD, SAND, SLACK],
        answer: THROUGH,
        view: lasts_through,
    },
    Place {
        path: "/api/v1/drive/order",
        id: "order",
        summary: "What to order by when, what it costs per hour, how often it comes round",
        fields: &[BIKE, FRONT, REAR, LINKS, LEAD],
        answer: ORDER,
        view: |asking| {
            let lead = asking.given.opt_whole("lead_d").and_then(|days| u16::try_from(days).ok());
            told(order::view(&asking.record()?, &wanted(asking)?, lead))
        },
    },
    Place {
        path: "/api/v1/drive/shelf",
        id: "shelf",
        summary: "What lies on the shelf, worn or new",
        fields: &[BIKE],
        answer: answers::TABLE,
        view: |asking| told(Ok(shelf::table(&asking.record()?))),
    },
];

/// The pair or link count that is wanted anyway, where one is given.
fn wanted(asking: &Asking<'_>) -> Result<replace::Asked, Fault> {
    let given = ["front_teeth", "rear_teeth", "links"].iter().any(|name| asking.given.has(name));
    let wanted = if given { Some(asking.setup()?) } else { None };
    Ok(replace::Asked { wanted, ..replace::Asked::default() })
}

fn lasts_through(asking: &Asking<'_>) -> Result<Value, Fault> {
    let opt = |name: &str| asking.given.opt(name);
    let asked = through::Asked {
        hours_h: opt("hours_h"),
        mud_h: opt("mud_h"),
        sand_h: opt("sand_h"),
        slack_mm: opt("slack_mm"),
    };
    told(through::view(&asking.record()?, &asked))
}
