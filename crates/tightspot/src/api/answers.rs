//! The members of every answer, for the description. Members may be added to an answer, never taken away.

use serde_json::{Map, Value, json};

/// What a member holds.
#[derive(Clone, Copy)]
pub(super) enum Is {
    /// Text.
    Text,
    /// A number.
    Number,
    /// A whole number.
    Whole,
    /// `true` or `false`.
    Flag,
    /// A shared schema by its name.
    Shared(&'static str),
    /// A list of such.
    Each(&'static Is),
    /// Such, or `null` where it is not known.
    Maybe(&'static Is),
    /// Such, or what is missing for it.
    OrGap(&'static Is),
    /// An object with these members.
    Object(Shape),
    /// Anything; its inside may change.
    Any,
}

/// Members of an object and what they hold. All are always there.
pub(super) type Shape = &'static [(&'static str, Is)];

use Is::{Any, Each, Flag, Maybe, Number, Object, OrGap, Shared, Text, Whole};

const FACTS: Is = Each(&Shared("Fact"));
const REASONS: Is = Each(&Shared("Reason"));
const TEXTS: Is = Each(&Text);
const VERDICT: Is = Shared("Verdict");
const TABLE_IS: Is = Shared("Table");
const SETUP: Is = Shared("Setup");

/// A table alone.
pub(super) const TABLE: Shape =
    &[("key", Text), ("caption", Text), ("columns", Each(&Shared("Column"))), ("rows", Each(&Each(&Shared("Cell"))))];

/// Will it fit.
pub(super) const FIT: Shape = &[("place", Any), ("facts", FACTS), ("chain", Text), ("same_chain", TABLE_IS)];

/// Every pair that the chain reaches.
pub(super) const MAP: Shape = &[
    ("fitted", SETUP),
    ("fronts", Each(&Whole)),
    ("rears", Each(&Whole)),
    ("squares", Each(&Each(&Any))),
    ("table", TABLE_IS),
    ("notes", TEXTS),
];

/// Which pair.
pub(super) const GEARING: Shape = &[
    ("fitted", SETUP),
    ("gears", Each(&Any)),
    ("gear_table", TABLE_IS),
    ("facts", FACTS),
    ("swaps", Each(&Any)),
    ("swap_table", TABLE_IS),
    ("near", TABLE_IS),
    ("replay", Maybe(&Any)),
    ("demands", Each(&Any)),
    ("share_table", TABLE_IS),
    ("demand_facts", FACTS),
    ("candidates", Each(&Any)),
    ("candidate_table", TABLE_IS),
    ("ride_table", TABLE_IS),
    ("proposal", Maybe(&Any)),
    ("notes", TEXTS),
];

/// Slack.
pub(super) const SLACK: Shape = &[
    ("place", Any),
    ("verdict", VERDICT),
    ("reasons", REASONS),
    ("left_surplus_mm", Maybe(&Number)),
    ("left_slack_mm", Maybe(&Number)),
    ("target_mm", Number),
    ("band", Any),
    ("facts", FACTS),
    ("adjust", Maybe(&Any)),
    ("alignment", FACTS),
    ("curve", Each(&Any)),
    ("read_curve", Maybe(&Each(&Any))),
    ("outlines", Each(&Any)),
    ("notes", TEXTS),
];

const MEMBER: Is = Object(&[
    ("role", Text),
    ("name", Text),
    ("count", Maybe(&Whole)),
    ("hours_h", Maybe(&Number)),
    ("range_h", Maybe(&Each(&Number))),
    ("place", Text),
]);

/// Sets of chain and sprockets.
pub(super) const SETS: Shape = &[
    (
        "sets",
        Each(&Object(&[("name", Text), ("since", Text), ("parts", Each(&MEMBER)), ("on", Flag), ("against", Text)])),
    ),
    ("fitted", Each(&MEMBER)),
    ("table", TABLE_IS),
    ("on_the_bike", TABLE_IS),
];

/// A bench plan.
pub(super) const PLAN: Shape = &[
    ("fitted", SETUP),
    ("setup", SETUP),
    ("jobs", Each(&TEXTS)),
    ("choices", Each(&TEXTS)),
    ("answers", Each(&TEXTS)),
    ("minutes_min", Each(&Number)),
    ("proven", Flag),
    ("reasons", REASONS),
    ("facts", FACTS),
    ("parts", TABLE_IS),
    ("consumables", TEXTS),
    ("tools", TEXTS),
    ("stops", Each(&Any)),
    ("steps", Each(&Any)),
    ("pictures", Each(&Any)),
    ("later", TEXTS),
    ("closing", Text),
];

/// Have I got it.
pub(super) const PARTS: Shape = &[
    ("title", Text),
    (
        "parts",
        Each(&Object(&[
            ("role", Text),
            ("spec", Text),
            ("qty", Whole),
            ("have", Maybe(&Whole)),
            ("ordered", Whole),
            ("optional", Flag),
            ("to_buy", Whole),
            ("state", Text),
            ("order_by", Maybe(&Text)),
        ])),
    ),
    ("table", TABLE_IS),
    ("reasons", REASONS),
    ("facts", FACTS),
    ("in_case", Each(&Object(&[("hold", Text), ("role", Text), ("qty", Whole)]))),
    ("in_case_table", TABLE_IS),
    ("consumables", TABLE_IS),
    ("shelf", TABLE_IS),
    ("tools", TEXTS),
];

/// Before buying.
pub(super) const BUY: Shape = &[
    ("what", Text),
    ("fitted", SETUP),
    ("setup", SETUP),
    ("verdict", VERDICT),
    ("sentence", Text),
    ("reasons", REASONS),
    ("chain", Text),
    ("facts", FACTS),
    ("along", TABLE_IS),
    ("worth", TABLE_IS),
    ("notes", TEXTS),
];

/// The whole answer.
pub(super) const DECISION: Shape = &[
    ("bike", Text),
    ("invented", Flag),
    ("fitted", SETUP),
    ("setup", SETUP),
    ("verdict", VERDICT),
    ("sentence", Text),
    ("reasons", REASONS),
    ("gearing", OrGap(&Object(GEARING))),
    ("fit", OrGap(&Object(FIT))),
    ("slack", OrGap(&Object(SLACK))),
    ("next_slack", Maybe(&OrGap(&Object(SLACK)))),
    ("plan", OrGap(&Object(PLAN))),
];

/// How long the chain lasts.
pub(super) const FORECAST: Shape = &[
    (
        "forecast",
        Object(&[
            ("verdict", VERDICT),
            ("sentence", Text),
            ("points", Each(&Any)),
            ("left_h", Each(&Maybe(&Number))),
            ("rate_pct_per_h", Number),
            ("rate_sd_pct_per_h", Number),
            ("limit", Any),
            ("facts", FACTS),
            ("readings", TABLE_IS),
            ("notes", TEXTS),
        ]),
    ),
    (
        "grounds",
        Each(&Object(&[
            ("ground", Text),
            ("hours_h", Number),
            ("rate_pct_per_h", Number),
            ("rate_sd_pct_per_h", Number),
            ("claimed", Flag),
        ])),
    ),
];

/// The first day of a bike bought used.
pub(super) const FIRST_DAY: Shape = &[
    ("verdict", VERDICT),
    ("sentence", Text),
    ("reasons", REASONS),
    ("left_h", Each(&Maybe(&Number))),
    ("chance_over", Maybe(&Number)),
    ("facts", FACTS),
    ("narrows", TABLE_IS),
    ("notes", TEXTS),
    ("kept", Maybe(&Any)),
];

/// What a span of riding cost.
pub(super) const SEASON: Shape = &[
    ("from_to", TEXTS),
    ("rides", Whole),
    ("hours_h", Maybe(&Number)),
    ("cost_minor", Each(&Any)),
    ("at_least", Flag),
    ("facts", FACTS),
    ("parts", TABLE_IS),
    ("gaps", TEXTS),
    ("grounds", TABLE_IS),
    ("sets", TABLE_IS),
    ("wear", TABLE_IS),
    ("faults", TABLE_IS),
    ("jobs", TABLE_IS),
    ("next", TEXTS),
];

/// Jobs of the library.
pub(super) const JOBS: Shape = &[("items", Each(&Object(&[("job", Text), ("group", Text), ("title", Text)])))];

/// A bike in a list.
pub(super) const LISTED: Shape = &[("id", Text), ("name", Text), ("invented", Flag)];

/// A bike with its sheet.
pub(super) const BIKE: Shape = &[("id", Text), ("name", Text), ("invented", Flag), ("sheet", Shared("Sheet"))];

/// A ride.
pub(super) const RIDE: Shape = &[
    ("id", Whole),
    ("change", Whole),
    ("bike", Text),
    ("name", Text),
    ("day", Text),
    ("over", Maybe(&Text)),
    ("hours_h", Maybe(&Number)),
    ("ground", Maybe(&Text)),
    ("wet", Maybe(&Flag)),
    ("odd", Maybe(&Text)),
    ("note", Maybe(&Text)),
    ("distance_m", Maybe(&Number)),
    ("moving_s", Maybe(&Number)),
    ("has_track", Flag),
];

/// An entry of the record.
pub(super) const ENTRY: Shape = &[
    ("id", Whole),
    ("change", Whole),
    ("kind", Text),
    ("at", Text),
    ("words", Text),
    ("note", Maybe(&Text)),
    ("corrects", Maybe(&Whole)),
    ("corrected_by", Maybe(&Whole)),
    ("undone", Flag),
    ("written", Text),
    ("figures", Any),
];

/// A work order in a list.
pub(super) const ORDER_LISTED: Shape = &[
    ("id", Whole),
    ("bike", Text),
    ("end", Text),
    ("begun", Text),
    ("jobs", TEXTS),
    ("setup", SETUP),
    ("done", Whole),
];

/// A work order.
pub(super) const ORDER: Shape = &[
    ("id", Whole),
    ("bike", Text),
    ("end", Text),
    ("jobs", Each(&TEXTS)),
    ("begun", Text),
    ("setup", SETUP),
    ("done", Whole),
    ("steps", Whole),
    ("open", TEXTS),
    ("ride_not_before", Maybe(&Text)),
    (
        "list",
        Each(&Object(&[
            ("number", Whole),
            ("token", Text),
            ("title", Text),
            ("done", Flag),
            ("captured", TEXTS),
            ("safety", Flag),
        ])),
    ),
    ("added", TEXTS),
    ("confirmed", TEXTS),
    ("may_close", Flag),
    ("open_safety_steps", TEXTS),
    ("open_steps", TEXTS),
    ("fitted", Each(&Object(&[("role", Text), ("name", Text), ("count", Maybe(&Whole))]))),
    ("seen", Whole),
];

/// A step of a work order.
pub(super) const ORDER_STEP: Shape = &[
    ("step", Any),
    ("of", Whole),
    ("done", Flag),
    ("next", Flag),
    ("unread", Each(&Any)),
    ("big", Each(&Any)),
    ("missing", Each(&Any)),
    ("blanks", Each(&Any)),
    ("out_of_turn", TEXTS),
    ("cures", Flag),
    ("held", TEXTS),
];

/// A figure of a sheet as it was changed.
pub(super) const CHANGE: Shape =
    &[("change", Whole), ("at", Text), ("field", Text), ("value", Any), ("source", Maybe(&Text)), ("undone", Flag)];

/// What a write did.
pub(super) const DONE: Shape = &[("change", Maybe(&Whole)), ("undo", Maybe(&Text))];

/// What a write of a ride did.
pub(super) const DONE_RIDE: Shape = &[("change", Whole), ("undo", Text), ("ride", Whole)];

/// What a write of entries did.
pub(super) const DONE_ENTRIES: Shape = &[("change", Whole), ("undo", Text), ("entries", Each(&Whole))];

/// The schema of an object.
pub(super) fn object(shape: Shape) -> Value {
    let members: Map<String, Value> = shape.iter().map(|(name, is)| ((*name).to_owned(), schema(*is))).collect();
    let names: Vec<&str> = shape.iter().map(|(name, _)| *name).collect();
    json!({"type": "object", "properties": members, "required": names})
}

/// A page of a list of such.
pub(super) fn page(shape: Shape) -> Value {
    json!({
        "type": "object",
        "required": ["items", "next"],
        "properties": {
            "items": {"type": "array", "items": object(shape)},
            "next": {"type": ["string", "null"], "description": "the cursor of the next page; null after the last"},
        },
    })
}

fn schema(is: Is) -> Value {
    match is {
        Text => json!({"type": "string"}),
        Number => json!({"type": "number"}),
        Whole => json!({"type": "integer"}),
        Flag => json!({"type": "boolean"}),
        Shared(name) => json!({"$ref": format!("#/components/schemas/{name}")}),
        Each(one) => json!({"type": "array", "items": schema(*one)}),
        Maybe(one) => json!({"anyOf": [schema(*one), {"type": "null"}]}),
        OrGap(one) => json!({"anyOf": [schema(*one), schema(Shared("Gap"))]}),
        Object(shape) => object(shape),
        Any => json!({}),
    }
}

/// The shared schemas.
pub(super) fn shared() -> Map<String, Value> {
    let fact = object(&[
        ("key", Text),
        ("label", Text),
        ("text", Text),
        ("value", Maybe(&Number)),
        ("reason", Text),
        ("certainty", Text),
        ("entered", Text),
        ("changes", Text),
        ("figure", Text),
    ]);
    let cell = json!({
        "type": "object",
        "required": ["text"],
        "properties": {"text": {"type": "string"}, "value": {"type": "number", "description": "in full precision"}},
    });
    let reason = json!({
        "type": "object",
        "required": ["verdict", "text", "figure"],
        "properties": {
            "verdict": {"$ref": "#/components/schemas/Verdict"},
            "text": {"type": "string"},
            "figure": {"type": "string", "description": "the figure that says so"},
            "clear": object(&[("act", Text), ("minutes_min", Whole), ("place", Text)]),
        },
    });
    let gap = object(&[("figure", Text), ("field", Text), ("missing", Flag), ("text", Text), ("how_to", Text)]);
    let all = [
        ("Fact", fact),
        ("Cell", cell),
        ("Reason", reason),
        ("Gap", gap),
        ("Verdict", json!({"type": "string", "enum": ["READY", "CARE", "UNKNOWN", "STOP"]})),
        ("Setup", object(&[("front_teeth", Whole), ("rear_teeth", Whole), ("links", Whole)])),
        ("Column", object(&[("key", Text), ("label", Text), ("numeric", Flag)])),
        ("Table", object(TABLE)),
    ];
    all.into_iter().map(|(name, schema)| (name.to_owned(), schema)).collect()
}
