//! `gearing.equal_pairs` and `gearing.swap`: one pair against others.

use drive::gearing::{Pair, PairSet, Sense, equal_pairs, near_pairs, swap};
use measure::Teeth;
use measure::bounds::gearing as bounds;
use serde_json::Value;

use super::bike::{self, FRONT_TEETH, REAR_TEETH};
use super::counts::{listed, shown};
use crate::{Answer, Field, Figure, Given, Refusal};

/// The default rectangle of candidates: front from, to; rear from, to.
const SET: [u16; 4] = [11, 16, 38, 56];
pub(super) const FRONT_MIN: Field = Field::whole("front_min", &bounds::FRONT).optional("11");
pub(super) const FRONT_MAX: Field = Field::whole("front_max", &bounds::FRONT).optional("16");
pub(super) const REAR_MIN: Field = Field::whole("rear_min", &bounds::REAR).optional("38");
pub(super) const REAR_MAX: Field = Field::whole("rear_max", &bounds::REAR).optional("56");

/// Fewer front teeth bend the chain hard and wear it fast.
const FEW_TEETH: u16 = 12;
/// Default of `limit_pct`.
const LIMIT_PCT: f64 = 1.0;

/// The rectangle of candidates that was given.
pub(super) fn pair_set(given: &Given<'_>) -> Result<PairSet, Refusal> {
    let [front_min, front_max, rear_min, rear_max] =
        [("front_min", SET[0]), ("front_max", SET[1]), ("rear_min", SET[2]), ("rear_max", SET[3])];
    let fronts = ends(given, front_min, front_max)?;
    let rears = ends(given, rear_min, rear_max)?;
    PairSet::new(fronts, rears).ok_or_else(|| Refusal::missing("front_max"))
}

fn ends(given: &Given<'_>, low: (&str, u16), high: (&str, u16)) -> Result<[Teeth; 2], Refusal> {
    let end = |(name, default): (&str, u16)| match Teeth::new(default) {
        Some(default) if !given.has(name) => Ok(default),
        _ => given.teeth(name),
    };
    let (from, to) = (end(low)?, end(high)?);
    if from > to {
        let text = format!(
            "{} is {}; it must not lie below {}, which is {}. Turn them round or widen the set.",
            high.0,
            to.count(),
            low.0,
            from.count()
        );
        return Err(Refusal::new(high.0, "out_of_order", text));
    }
    Ok([from, to])
}

pub(super) const EQUAL_PAIRS: Figure = Figure {
    name: "gearing.equal_pairs",
    says: "Pairs with the same ratio as a base pair, and pairs near to it.",
    given: &[
        FRONT_TEETH,
        REAR_TEETH,
        FRONT_MIN,
        FRONT_MAX,
        REAR_MIN,
        REAR_MAX,
        Field::number("limit_pct", &bounds::LIMIT_PCT).optional("1").meaning("near means at most this far off"),
    ],
    answer: &[
        ("reduced", "the base's ratio in lowest terms, [front, rear]"),
        ("equal", "pairs of exactly this ratio, [front, rear], by front, then rear"),
        ("near", "pairs within limit_pct, not equal, nearest first"),
        ("near_pct", "how far each of them is off, percent; positive is shorter"),
    ],
    formula: "equal: R1·F2 = R2·F1; near: |R/F ÷ base − 1| · 100 ≤ limit_pct; decided in whole numbers",
    sources: &["gearing"],
    ask: ask_equal,
};

fn ask_equal(given: &Given<'_>) -> Result<Answer, Refusal> {
    let set = pair_set(given)?;
    let base = bike::pair(given, "front_teeth", "rear_teeth")?;
    let equal = equal_pairs(base, &set);
    let near = near_pairs(base, &set, given.num_or("limit_pct", LIMIT_PCT));
    let (front, rear) = base.reduced();
    let list = |pairs: &mut dyn Iterator<Item = Pair>| pairs.map(listed).collect::<Vec<_>>();
    Ok(Answer::new()
        .json("reduced", vec![front, rear])
        .json("equal", list(&mut equal.iter().copied()))
        .json("near", list(&mut near.iter().map(|near| near.pair)))
        .json("near_pct", near.iter().map(|near| Value::from(near.pct)).collect::<Vec<_>>())
        .notice_if(!equal.is_empty(), "longer_or_shorter_chain", || {
            let names: Vec<String> = equal.iter().map(|pair| shown(*pair)).collect();
            format!(
                "{} has the ratio of {}, but not its teeth: the chain's length, its wear and its height at the \
                 swingarm pivot change. Ask for the fit before calling it usable.",
                names.join(", "),
                shown(base)
            )
        }))
}

pub(super) const SWAP: Figure = Figure {
    name: "gearing.swap",
    says: "What a change of pair means at the same engine speed.",
    given: &[
        FRONT_TEETH,
        REAR_TEETH,
        Field::whole("new_front_teeth", &bounds::FRONT),
        Field::whole("new_rear_teeth", &bounds::REAR),
    ],
    answer: &[
        ("speed_pct", "change of ground speed, percent"),
        ("thrust_pct", "change of wheel force, percent"),
        ("sense", "shorter (more force), taller (more speed) or same"),
        ("equal", "whether the ratios are the same"),
        ("rear_teeth_equivalent", "the same change by the rear sprocket alone, teeth"),
        ("front_teeth_equivalent", "the same change by the front sprocket alone, teeth"),
        ("front_less_one_as_rear", "one front tooth less equals so many rear teeth more, from the present pair"),
        ("front_plus_one_as_rear", "one front tooth more equals so many rear teeth, from the present pair"),
        ("links_change", "half the change of teeth: links that the chain wants to grow by, about"),
    ],
    formula: "q = (R'/F')/(R/F); thrust q − 1; speed 1/q − 1; one front tooth less = R/(F − 1) rear teeth",
    sources: &["gearing"],
    ask: ask_swap,
};

fn ask_swap(given: &Given<'_>) -> Result<Answer, Refusal> {
    let present = bike::pair(given, "front_teeth", "rear_teeth")?;
    let new = bike::pair(given, "new_front_teeth", "new_rear_teeth")?;
    let change = swap(present, new);
    Ok(Answer::new()
        .num("speed_pct", change.speed_pct)
        .num("thrust_pct", change.thrust_pct)
        .text("sense", change.sense.word())
        .flag("equal", change.sense == Sense::Same)
        .num("rear_teeth_equivalent", change.rear_teeth_equivalent)
        .num("front_teeth_equivalent", change.front_teeth_equivalent)
        .num("front_less_one_as_rear", change.front_less_one_as_rear)
        .num("front_plus_one_as_rear", change.front_plus_one_as_rear)
        .num("links_change", change.links_change)
        .notice_if(new.front.count() < FEW_TEETH, "few_teeth", || {
            format!(
                "{} teeth in front bend the chain hard: it wears faster and runs rougher than from {FEW_TEETH} on.",
                new.front.count()
            )
        }))
}
