//! The map: every pair around the fitted one, and the even link counts whose axle lands in the slot.
//!
//! `chain.fit` draws it; for a setup picked from it `fit::view` has the last word (slider, surplus margin).

use serde::Serialize;
use serde_json::Value;
use upkeep::bike::Bike;

use crate::ask::Gap;
use crate::block::Block;
use crate::candidate::{FRONTS, REARS};
use crate::fact::{Cell, Column, Table};
use crate::fit::{CARE_ROOM_MM, Slot};
use crate::words::{mm, quantity};
use crate::{Setup, Verdict};

/// One link count that reaches between the stops.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Chain {
    /// Links.
    pub links: u32,
    /// Fits, or fits with care.
    pub verdict: Verdict,
    /// Room to the nearer stop, mm.
    pub room_mm: f64,
}

/// One pair of the map.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Square {
    /// The pair, on the fitted chain's count.
    pub setup: Setup,
    /// The even counts that fit; none: no chain fits this pair.
    pub chains: Vec<Chain>,
}

/// The whole map.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MapView {
    /// What is fitted.
    pub fitted: Setup,
    /// Front teeth across.
    pub fronts: Vec<u32>,
    /// Rear teeth down.
    pub rears: Vec<u32>,
    /// Squares row by row.
    pub squares: Vec<Vec<Square>>,
    /// The same as a table.
    pub table: Table,
    /// How to read it.
    pub notes: Vec<String>,
}

/// Draws the map around a setup.
///
/// # Errors
/// The field that is missing or impossible.
pub fn view(bike: &Bike, fitted: Setup) -> Result<MapView, Gap> {
    let slot = Slot::of(bike)?;
    let around = |teeth: u32, by: u32| (teeth.saturating_sub(by)..=teeth + by).collect::<Vec<_>>();
    let (fronts, rears) = (around(fitted.front_teeth, FRONTS), around(fitted.rear_teeth, REARS));
    let row = |rear: &u32| {
        fronts.iter().map(|front| square(&slot, fitted.pair(*front, *rear))).collect::<Result<Vec<_>, _>>()
    };
    let squares = rears.iter().map(row).collect::<Result<Vec<_>, _>>()?;
    Ok(MapView { table: table(fitted, &fronts, &squares), notes: notes(), fitted, fronts, rears, squares })
}

fn square(slot: &Slot, setup: Setup) -> Result<Square, Gap> {
    let fits = slot.fits(setup)?;
    let chain = |fit: &Value| {
        let number = |key: &str| fit.get(key)?.as_f64();
        let room_mm = number("room_front_mm")?.min(number("room_rear_mm")?);
        let links = u32::try_from(fit.get("links")?.as_u64()?).ok()?;
        let verdict = if room_mm < CARE_ROOM_MM { Verdict::Care } else { Verdict::Ready };
        links.is_multiple_of(2).then_some(Chain { links, verdict, room_mm })
    };
    Ok(Square { setup, chains: fits.iter().filter_map(chain).collect() })
}

fn table(fitted: Setup, fronts: &[u32], squares: &[Vec<Square>]) -> Table {
    const KEYS: [&str; 5] = ["front_minus_2", "front_minus_1", "front_fitted", "front_plus_1", "front_plus_2"];
    let mut columns = vec![Column::words("rear_teeth", "Rear \\ front")];
    columns.extend(fronts.iter().zip(KEYS).map(|(front, key)| Column::words(key, front.to_string())));
    let caption = format!("Links that reach between the stops, around {}", fitted.pair_words());
    let mut table = Table::new("map", caption, columns);
    for row in squares {
        let rear = row.first().map_or(0, |square| square.setup.rear_teeth);
        let mut cells = vec![Cell { text: rear.to_string(), value: Some(f64::from(rear)) }];
        cells.extend(row.iter().map(|square| Cell::words(square_words(square, fitted))));
        table.rows.push(cells);
    }
    table
}

fn square_words(square: &Square, fitted: Setup) -> String {
    if square.chains.is_empty() {
        return "none".to_owned();
    }
    let word = |chain: &Chain| {
        let mark = if chain.verdict == Verdict::Care { "!" } else { "" };
        let own = if square.setup.with_links(chain.links) == fitted { "*" } else { "" };
        format!("{}{mark}{own}", chain.links)
    };
    square.chains.iter().map(word).collect::<Vec<_>>().join(" ")
}

fn notes() -> Vec<String> {
    vec![
        format!(
            "A plain count fits on a new chain; ! less than {} to a stop; * is fitted; none: no even count reaches.",
            quantity(CARE_ROOM_MM, "mm", 0)
        ),
        format!(
            "The slack that is set moves the axle about {} forward; pick a setup to see it judged with slider and margin.",
            mm(1.5)
        ),
    ]
}

impl MapView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        vec![Block::Heading("What fits?"), Block::Table(&self.table), Block::List(self.notes.clone())]
    }
}
