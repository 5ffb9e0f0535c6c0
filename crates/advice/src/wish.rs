//! Without a recorded ride: how slow it must crawl, how fast it must go, and the smallest change that does both.

use serde::Serialize;
use upkeep::bike::Bike;

use crate::ask::{Gap, ask, from_sheet, with};
use crate::candidate;
use crate::fact::{Cell, Column, Table};
use crate::fit::Slot;
use crate::proposal::parts_changed;
use crate::shelf::{self, Shelf};
use crate::words::{kmh, number};
use crate::{Block, Setup, Verdict};

/// Rows shown at most.
const SHOWN: usize = 8;

/// What the next ground asks.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Wish {
    /// Slowest speed to be ridden with the clutch fully out, km/h.
    pub crawl_kmh: f64,
    /// Fastest speed wanted, km/h.
    pub top_kmh: Option<f64>,
}

/// One pair against the wish.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tried {
    /// The pair.
    pub setup: Setup,
    /// First gear with the clutch just out, km/h.
    pub crawl_kmh: f64,
    /// Top gear at the limiter, km/h.
    pub top_kmh: f64,
    /// Whether it does what is wished.
    pub does: bool,
    /// Whether it fits.
    pub fit: Verdict,
}

/// The whole answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WishView {
    /// What was wished.
    pub wish: Wish,
    /// What is fitted.
    pub fitted: Setup,
    /// The pair proposed; none if no pair does it.
    pub change_to: Option<Setup>,
    /// Its fit; not known where there is none.
    pub verdict: Verdict,
    /// The pairs tried.
    pub tried: Vec<Tried>,
    /// The fitted pair and the smallest changes that do it, as a table.
    pub table: Table,
    /// The sentence.
    pub headline: String,
    /// What to know.
    pub notes: Vec<String>,
}

/// Answers over the pairs around the fitted one that some even chain holds.
///
/// # Errors
/// The field that is missing or impossible.
pub fn view(bike: &Bike, wish: Wish, shelf: &Shelf) -> Result<WishView, Gap> {
    let fitted = Setup::fitted(bike)?;
    let slot = Slot::of(bike)?;
    among(bike, wish, shelf, &candidate::set(fitted, &slot))
}

/// Answers over the pairs given; the first one is what is fitted.
///
/// # Errors
/// The field that is missing or impossible.
pub fn among(bike: &Bike, wish: Wish, shelf: &Shelf, setups: &[Setup]) -> Result<WishView, Gap> {
    let fitted = Setup::fitted(bike)?;
    let slot = Slot::of(bike)?;
    let mut tried = setups.iter().map(|setup| one(bike, wish, &slot, *setup)).collect::<Result<Vec<_>, _>>()?;
    let present = tried.iter().find(|one| one.setup.same_pair(fitted)).map_or(0.0, |one| one.crawl_kmh);
    let effort = |one: &Tried| {
        let parts = shelf::needed(fitted, one.setup, shelf);
        (if shelf.told { shelf::to_buy(&parts) } else { 0 }, parts_changed(fitted, one.setup))
    };
    tried.sort_by(|a, b| {
        let step = |one: &Tried| (one.crawl_kmh - present).abs();
        let teeth = |one: &Tried| (one.setup.front_teeth, one.setup.rear_teeth);
        (effort(a).cmp(&effort(b))).then(step(a).total_cmp(&step(b))).then(teeth(a).cmp(&teeth(b)))
    });
    let usable = |one: &&Tried| one.does && one.fit < Verdict::Unknown;
    let best = tried.iter().find(usable);
    let mut shown: Vec<&Tried> = tried.iter().filter(|one| one.setup.same_pair(fitted)).collect();
    shown.extend(tried.iter().filter(usable).filter(|one| !one.setup.same_pair(fitted)).take(SHOWN));
    Ok(WishView {
        headline: headline(wish, fitted, best, present),
        table: table(&shown, wish),
        change_to: best.map(|best| best.setup),
        verdict: best.map_or(Verdict::Unknown, |best| best.fit),
        notes: vec![
            "Ratios and rollout alone decide here: thrust, shifting and your own speeds are not in it. A recorded ride has them."
                .to_owned(),
        ],
        tried,
        wish,
        fitted,
    })
}

fn one(bike: &Bike, wish: Wish, slot: &Slot, setup: Setup) -> Result<Tried, Gap> {
    let rpm = bike.number("max_rpm").ok_or_else(|| Gap::absent("max_rpm"))?;
    bike.number("slip_rpm").ok_or_else(|| Gap::absent("slip_rpm"))?;
    let sheet = from_sheet(bike, &["primary", "gears", "rollout_m", "slip_rpm"]);
    let answer = ask("gearing.speeds", &with(setup.give_pair(sheet), "rpm", rpm))?;
    let gears = answer.at("gears").and_then(serde_json::Value::as_array).map_or(0, Vec::len);
    let crawl_kmh = answer.get("crawl_slip_kmh").unwrap_or_default();
    let top_kmh = answer.get(&format!("gears.{}.speed_kmh", gears.saturating_sub(1))).unwrap_or_default();
    Ok(Tried {
        does: crawl_kmh <= wish.crawl_kmh && wish.top_kmh.is_none_or(|wanted| top_kmh >= wanted),
        fit: slot.place(setup).map_or(Verdict::Unknown, |place| place.verdict),
        setup,
        crawl_kmh,
        top_kmh,
    })
}

fn headline(wish: Wish, fitted: Setup, best: Option<&Tried>, present: f64) -> String {
    let top = wish.top_kmh.map(|top| format!(" and {} at the limiter", kmh(top))).unwrap_or_default();
    let asked = format!("{} with the clutch out{top}", kmh(wish.crawl_kmh));
    let Some(best) = best else {
        return format!("No pair tried gives {asked} and fits; {} crawls at {}.", fitted.pair_words(), kmh(present));
    };
    if best.setup.same_pair(fitted) {
        return format!("Stay on {}: it crawls at {}, {asked} is wished.", fitted.pair_words(), kmh(best.crawl_kmh));
    }
    format!(
        "Change to {}: it crawls at {} where {} does at {}; {asked} is wished. Top at the limiter {}.",
        best.setup.pair_words(),
        number(best.crawl_kmh, 2),
        fitted.pair_words(),
        number(present, 2),
        kmh(best.top_kmh)
    )
}

fn table(shown: &[&Tried], wish: Wish) -> Table {
    let columns = vec![
        Column::words("pair", "Pair"),
        Column::numbers("links", "Links"),
        Column::of("crawl_kmh", "Crawls at", "km/h"),
        Column::of("top_kmh", "Top at the limiter", "km/h"),
        Column::words("does", format!("Under {}", kmh(wish.crawl_kmh))),
        Column::words("fit", "Fit"),
    ];
    let mut table = Table::new("wish", "The fitted pair, then those that do it, smallest change first", columns);
    table.rows.extend(shown.iter().map(|one| {
        vec![
            Cell::words(one.setup.pair_words()),
            Cell::number(f64::from(one.setup.links), 0),
            Cell::of(one.crawl_kmh, "km/h", 2),
            Cell::of(one.top_kmh, "km/h", 1),
            Cell::words(if one.does { "yes" } else { "no" }),
            Cell::words(one.fit.fit_words()),
        ]
    }));
    table
}

impl WishView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        vec![
            Block::Heading("Slow enough, fast enough?"),
            Block::Text(self.headline.clone()),
            Block::Table(&self.table),
            Block::List(self.notes.clone()),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_fitted_pair_stands_first_and_once_and_only_what_does_it_and_fits_after_it() {
        let bike = Bike::from_toml(include_str!("../../../data/bikes/alder-350.toml")).expect("the demo's bike");
        let fitted = Setup::fitted(&bike).expect("a setup");
        let present = view(&bike, Wish { crawl_kmh: 100.0, top_kmh: None }, &Shelf::default()).expect("answered");
        let now = present.tried.iter().find(|one| one.setup.same_pair(fitted)).expect("the fitted pair").crawl_kmh;
        for share in [0.9, 0.97, 1.0, 1.5] {
            let wish = Wish { crawl_kmh: now * share, top_kmh: None };
            let view = view(&bike, wish, &Shelf::default()).expect("answered");
            let pairs: Vec<&str> = view.table.rows.iter().map(|row| row[0].text.as_str()).collect();
            assert_eq!(pairs[0], fitted.pair_words());
            assert_eq!(pairs.iter().filter(|pair| **pair == pairs[0]).count(), 1, "{pairs:?}");
            assert!(pairs.len() <= 1 + SHOWN && pairs.len() > 1, "{pairs:?}");
            for row in &view.table.rows[1..] {
                assert_eq!(row[4].text, "yes", "{pairs:?}");
                let one = view.tried.iter().find(|one| one.setup.pair_words() == row[0].text).expect("tried");
                assert!(one.crawl_kmh <= wish.crawl_kmh && one.fit < Verdict::Unknown, "{}", one.setup);
            }
            let best = view.change_to.expect("a pair");
            assert_eq!(best.same_pair(fitted), share >= 1.0, "what is fitted is the smallest change where it does it");
            let fewer = view.tried.iter().filter(|one| {
                one.does && one.fit < Verdict::Unknown && parts_changed(fitted, one.setup) < parts_changed(fitted, best)
            });
            assert_eq!(fewer.count(), 0, "{best}");
        }
    }
}
