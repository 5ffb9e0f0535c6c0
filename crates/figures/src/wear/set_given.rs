//! What `life.set_policy` is given: the sheet, the levels or their ranges, what is changed anyway, the shelf.

use measure::bounds::wear as bounds;
use upkeep::replace::{Part, SetSheet, ShelfItem};

use super::{inside, money};
use crate::{Field, Given, Refusal};

/// Names of the parts, in the order of [`Part::ALL`].
pub(super) const PARTS: [&str; 3] = ["chain", "front", "rear"];

/// Couplings that are solved for at once.
const MOST_COUPLINGS: usize = 12;

const ITEM: &[Field] = &[
    Field::word("part", &PARTS),
    Field::whole("level", &bounds::LEVEL),
    Field::number("price_minor", &bounds::MONEY).optional("0"),
];

/// How well the levels are known.
pub(super) enum Known {
    /// Exactly.
    Levels([usize; 3]),
    /// As ranges, low and high, of which at least one was given so.
    Ranges([(usize, usize); 3]),
}

/// Everything asked, checked.
pub(super) struct Asked<'a> {
    pub(super) levels: usize,
    pub(super) block_h: f64,
    pub(super) price: [f64; 3],
    pub(super) coupling: Vec<f64>,
    pub(super) known: Known,
    /// Parts that are changed anyway.
    pub(super) must: Vec<Part>,
    pub(super) shelf: [Option<ShelfItem>; 3],
    pub(super) shelf_h: f64,
    /// Whether the choice with shelf and changes was asked for.
    pub(super) choice: bool,
    /// Whether the decision alone is asked for.
    pub(super) brief: bool,
    pub(super) currency: &'a str,
    base: SetSheet,
}

impl Asked<'_> {
    /// The sheet for one coupling.
    pub(super) const fn sheet(&self, coupling: f64) -> SetSheet {
        SetSheet { coupling, ..self.base }
    }
}

/// Reads and ties together what was given.
pub(super) fn asked<'a>(given: &Given<'a>) -> Result<Asked<'a>, Refusal> {
    let currency = money::currency(given)?;
    let levels = given.opt_whole("levels").unwrap_or(8) as usize;
    let block_h = given.num_or("block_h", 2.0);
    let of_parts = |ends: [&str; 3]| -> Result<[f64; 3], Refusal> {
        Ok([given.num(ends[0])?, given.num(ends[1])?, given.num(ends[2])?])
    };
    let price = of_parts(["chain_price_minor", "front_price_minor", "rear_price_minor"])?;
    let base = SetSheet {
        levels,
        block_h,
        life_h: of_parts(["chain_life_h", "front_life_h", "rear_life_h"])?,
        price,
        labour: given.num("labour_minor")?,
        trail: given.num("trail_minor")?,
        trail_chance: given.num_or("trail_chance", 0.02),
        coupling: 0.0,
        wear_back: given.num_or("wear_back", 1.0),
    };
    let coupling = if given.has("coupling") { given.numbers("coupling") } else { vec![0.5, 1.0, 2.0] };
    inside::some("coupling", coupling.len(), "coupling")?;
    inside::at_most("coupling", coupling.len(), MOST_COUPLINGS)?;
    let known = known(given, levels)?;
    let shelf = shelf(given, levels)?;
    if matches!(known, Known::Ranges(_)) && shelf.iter().any(Option::is_some) {
        let text = "shelf does not go with a range of levels. Ask for each end of the range.";
        return Err(Refusal::new("shelf", "with_range", text));
    }
    Ok(Asked {
        levels,
        block_h,
        price,
        coupling,
        known,
        must: must(given)?,
        shelf,
        shelf_h: given.num_or("shelf_h", 200.0),
        choice: given.has("change_anyway") || given.has("shelf"),
        brief: given.flag_or("brief", false),
        currency,
        base,
    })
}

fn known(given: &Given<'_>, levels: usize) -> Result<Known, Refusal> {
    let mut ranges = [(0, 0); 3];
    let mut ranged = false;
    for (range, part) in ranges.iter_mut().zip(PARTS) {
        let (exact, low, high) = (format!("{part}_level"), format!("{part}_level_low"), format!("{part}_level_high"));
        if !given.has(&low) && !given.has(&high) {
            let level = level(given, &exact, levels)?;
            *range = (level, level);
            continue;
        }
        if given.has(&exact) {
            let text = format!("{exact} and its range are both given. Give the level or {low} and {high}.");
            return Err(Refusal::new(exact, "level_and_range", text));
        }
        ranged = true;
        *range = (level(given, &low, levels)?, level(given, &high, levels)?);
        if range.1 < range.0 {
            let text = format!("{high} is {}, below {low}, which is {}. Swap or correct them.", range.1, range.0);
            return Err(Refusal::new(high, "below_low", text));
        }
    }
    Ok(if ranged { Known::Ranges(ranges) } else { Known::Levels(ranges.map(|(level, _)| level)) })
}

fn level(given: &Given<'_>, name: &str, levels: usize) -> Result<usize, Refusal> {
    within(name, given.whole(name)?, levels)
}

fn within(name: &str, level: u32, levels: usize) -> Result<usize, Refusal> {
    let level = level as usize;
    if level < levels {
        return Ok(level);
    }
    let text = format!("{name} is {level}; 0 to {} is possible with {levels} levels.", levels - 1);
    Err(Refusal::new(name, "out_of_range", text))
}

fn must(given: &Given<'_>) -> Result<Vec<Part>, Refusal> {
    const NAME: &str = "change_anyway";
    let names = inside::names(given, NAME)?;
    names.into_iter().map(|name| part(name).ok_or_else(|| Refusal::no_such_word(NAME, name, &PARTS))).collect()
}

fn part(name: &str) -> Option<Part> {
    PARTS.iter().position(|known| *known == name).map(|index| Part::ALL[index])
}

fn shelf(given: &Given<'_>, levels: usize) -> Result<[Option<ShelfItem>; 3], Refusal> {
    const NAME: &str = "shelf";
    let mut shelf = [None; 3];
    for item in inside::items(given, NAME, ITEM)? {
        let name = item.text("part")?;
        let Some(part) = part(name) else { continue };
        let place = &mut shelf[part.index()];
        if place.is_some() {
            let text = format!("{NAME}: \"{name}\" stands there twice. Give each part once.");
            return Err(Refusal::new(NAME, "part_twice", text));
        }
        let level = within(NAME, item.whole("level")?, levels)?;
        *place = Some(ShelfItem { level, price: item.num_or("price_minor", 0.0) });
    }
    Ok(shelf)
}
