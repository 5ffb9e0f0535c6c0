//! What to buy so that every ride of a season can be geared for, and what each further piece saves at the bench.

use serde::Serialize;
use serde_json::{Value, json};
use upkeep::bike::Bike;

use crate::ask::{Gap, Given, ask, with};
use crate::candidate;
use crate::fact::{Cell, Column, Table};
use crate::fit::Slot;
use crate::replay::{self, Replay};
use crate::rides::{Rides, Weighed};
use crate::shelf::Shelf;
use crate::words::{count, list, number};
use crate::{Block, Setup, Verdict};

/// Pairs that count as acceptable for one ride: the first so many of those within 3 % of its best.
const ACCEPTABLE: usize = 4;

/// What one kit comes to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Kit {
    /// Pieces to buy.
    pub pieces: u32,
    /// What they are.
    pub buy: Vec<String>,
    /// Bench minutes over the season.
    pub minutes_min: f64,
    /// Changes over the season.
    pub changes: u32,
    /// What is fitted for each ride; none where no acceptable pair fits.
    pub plan: Vec<Option<Setup>>,
}

/// The whole answer to "which sprockets for the season?".
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KitView {
    /// The rides in calendar order with the pairs acceptable for each.
    pub rides: Vec<(String, Vec<String>)>,
    /// From the fewest pieces on.
    pub kits: Vec<Kit>,
    /// The kits as a table.
    pub table: Table,
    /// The plan of the fewest pieces, ride by ride.
    pub plan_table: Table,
    /// Whether a swap pays, ride by ride.
    pub pays_table: Table,
    /// The sentence.
    pub headline: String,
    /// What to know.
    pub notes: Vec<String>,
}

/// Answers for rides in calendar order.
///
/// # Errors
/// The field that is missing or impossible.
pub fn view(bike: &Bike, rides: &[Weighed<'_>], shelf: &Shelf) -> Result<KitView, Gap> {
    let fitted = Setup::fitted(bike)?;
    let slot = Slot::of(bike)?;
    let setups = candidate::set(fitted, &slot);
    let mut wanted: Vec<(String, Vec<Setup>)> = Vec::new();
    let mut notes = Vec::new();
    let mut pays_table = pays_table(fitted);
    for ride in rides {
        let all = vec![Weighed { weight: 1.0, age_d: None, ..*ride }];
        let alone = Rides { all, ..Rides::default() };
        let replay = replay::of(bike, &alone, &setups)?;
        let good: Vec<Setup> =
            replay.pairs.iter().filter(|pair| pair.as_good && pair.feasible).map(|pair| pair.setup).collect();
        pays_table.rows.extend(pays(&ride.ride.name, &replay, fitted));
        if replay.at_edge {
            notes.push(format!(
                "{}: its best pair lies at the edge of the pairs that fit; its choice is no plain advice.",
                ride.ride.name
            ));
        }
        let none = good.is_empty();
        let acceptable = if none { replay.pairs.iter().map(|pair| pair.setup).take(1).collect() } else { good };
        if none {
            notes.push(format!("{}: no pair keeps 5 % over its fast end; the cheapest one stands in.", ride.ride.name));
        }
        wanted.push((ride.ride.name.clone(), acceptable.into_iter().take(ACCEPTABLE).collect()));
    }
    let answer = ask("gearing.season_kit", &given(&wanted, &slot, fitted, shelf))?;
    notes.extend(answer.notices.iter().map(|notice| notice.text.clone()));
    notes.push(format!(
        "Acceptable for a ride: at most {ACCEPTABLE} pairs within 3 % of its best. Minutes are the tool's own: front 20, rear 40, chain 15, settling 15."
    ));
    let kits = kits(&answer, fitted, shelf);
    Ok(KitView {
        table: table(&kits),
        plan_table: plan_table(&wanted, kits.first()),
        pays_table,
        headline: headline(&kits, wanted.len()),
        rides: wanted
            .into_iter()
            .map(|(name, pairs)| (name, pairs.into_iter().map(Setup::pair_words).collect()))
            .collect(),
        kits,
        notes,
    })
}

fn given(wanted: &[(String, Vec<Setup>)], slot: &Slot, fitted: Setup, shelf: &Shelf) -> Given {
    let pair = |setup: &Setup| json!([setup.front_teeth, setup.rear_teeth]);
    let rides: Vec<Value> = wanted
        .iter()
        .map(|(name, pairs)| json!({"name": name, "pairs": pairs.iter().map(pair).collect::<Vec<_>>()}))
        .collect();
    let mut all: Vec<Setup> = wanted.iter().flat_map(|(_, pairs)| pairs.iter().copied()).chain([fitted]).collect();
    all.sort_by_key(|setup| (setup.front_teeth, setup.rear_teeth));
    all.dedup_by(|a, b| a.same_pair(*b));
    let fits: Vec<Value> = all
        .iter()
        .flat_map(|setup| {
            let counts = slot.even_links(*setup).unwrap_or_default();
            counts.into_iter().map(|links| setup.with_links(links)).collect::<Vec<_>>()
        })
        .filter(|setup| slot.place(*setup).is_ok_and(|place| place.verdict < Verdict::Unknown))
        .map(|setup| json!([setup.front_teeth, setup.rear_teeth, setup.links]))
        .collect();
    let given = with(with(Given::new(), "rides", rides), "fits", fits);
    let given = with(given, "fitted", json!([fitted.front_teeth, fitted.rear_teeth, fitted.links]));
    let given = with(with(given, "owned_front", shelf.fronts.clone()), "owned_rear", shelf.rears.clone());
    let given = with(given, "owned_links", shelf.links.clone());
    with(given, "most_chains", 2)
}

fn kits(answer: &figures::Answer, fitted: Setup, shelf: &Shelf) -> Vec<Kit> {
    let list = answer.at("kits").and_then(Value::as_array).cloned().unwrap_or_default();
    let counts = |value: &Value, key: &str| -> Vec<u32> {
        let all = value.get(key).and_then(Value::as_array);
        all.into_iter().flatten().filter_map(Value::as_u64).filter_map(|count| u32::try_from(count).ok()).collect()
    };
    list.iter()
        .filter_map(|value| {
            let mut buy: Vec<String> =
                counts(value, "fronts").iter().map(|teeth| format!("front sprocket {teeth}")).collect();
            buy.extend(counts(value, "rears").iter().map(|teeth| format!("rear sprocket {teeth}")));
            let chains = counts(value, "links");
            let new = chains.iter().filter(|links| **links != fitted.links && !shelf.links.contains(*links));
            buy.extend(new.map(|links| format!("chain of {links} links")));
            Some(Kit {
                pieces: u32::try_from(value.get("pieces")?.as_u64()?).ok()?,
                minutes_min: value.get("minutes")?.as_f64()?,
                changes: u32::try_from(value.get("changes")?.as_u64()?).ok()?,
                plan: value.get("plan")?.as_array()?.iter().map(planned).collect(),
                buy,
            })
        })
        .collect()
}

fn planned(value: &Value) -> Option<Setup> {
    let count = |at: usize| value.get(at)?.as_u64().and_then(|count| u32::try_from(count).ok());
    Some(Setup { front_teeth: count(0)?, rear_teeth: count(1)?, links: count(2)? })
}

fn bought(kit: &Kit) -> String {
    if kit.buy.is_empty() { "nothing".to_owned() } else { list(&kit.buy) }
}

fn headline(kits: &[Kit], rides: usize) -> String {
    let Some(first) = kits.first() else { return "No kit covers these rides.".to_owned() };
    let mut text = format!(
        "Fewest pieces for {}: buy {}; {}, {} min at the bench.",
        count(rides, "ride"),
        bought(first),
        count(first.changes as usize, "change"),
        number(first.minutes_min, 0)
    );
    if let Some(next) = kits.get(1) {
        text.push_str(&format!(
            " With {} instead it is {} min, {} less.",
            bought(next),
            number(next.minutes_min, 0),
            number(first.minutes_min - next.minutes_min, 0)
        ));
    }
    text
}

fn table(kits: &[Kit]) -> Table {
    let columns = vec![
        Column::numbers("pieces", "Pieces"),
        Column::words("buy", "To buy"),
        Column::numbers("changes", "Changes"),
        Column::numbers("minutes_min", "Bench, min"),
    ];
    let mut table =
        Table::new("kits", "From the fewest pieces on, each larger kit only where it saves minutes", columns);
    table.rows.extend(kits.iter().map(|kit| {
        vec![
            Cell::number(f64::from(kit.pieces), 0),
            Cell::words(bought(kit)),
            Cell::number(f64::from(kit.changes), 0),
            Cell::number(kit.minutes_min, 0),
        ]
    }));
    table
}

fn plan_table(wanted: &[(String, Vec<Setup>)], kit: Option<&Kit>) -> Table {
    let columns = vec![
        Column::words("ride", "Ride"),
        Column::words("acceptable", "Acceptable"),
        Column::words("fitted", "Fitted for it"),
    ];
    let mut table = Table::new("plan", "What is fitted for each ride with the fewest pieces", columns);
    for (at, (name, pairs)) in wanted.iter().enumerate() {
        let words: Vec<String> = pairs.iter().map(|setup| setup.pair_words()).collect();
        let planned = kit.and_then(|kit| kit.plan.get(at).copied().flatten());
        table.rows.push(vec![
            Cell::words(name.clone()),
            Cell::words(words.join(", ")),
            Cell::words(planned.map_or_else(|| "nothing that fits".to_owned(), |setup| setup.to_string())),
        ]);
    }
    table
}

fn pays_table(fitted: Setup) -> Table {
    let columns = vec![
        Column::words("ride", "Ride"),
        Column::words("best", "Best"),
        Column::numbers("more_pct", format!("{} costs more, %", fitted.pair_words())),
        Column::words("slip", "Clutch slips"),
        Column::words("pays", "Does a swap pay?"),
    ];
    Table::new("pays", format!("What leaving {} on costs on each ride", fitted.pair_words()), columns)
}

/// What the fitted pair costs against the best of a ride; a swap pays where that is more than the model can tell.
fn pays(ride: &str, replay: &Replay, fitted: Setup) -> Option<Vec<Cell>> {
    let best = replay.pairs.first()?;
    let own = replay.pairs.iter().find(|pair| pair.setup.same_pair(fitted))?;
    let minutes = 0.6 * (own.slip_pct - best.slip_pct);
    let words = if own.as_good {
        format!("no: {} is within 3 % of the best", fitted.pair_words())
    } else if own.feasible {
        format!("yes: {} min less clutch slip in an hour under way", number(minutes, 1))
    } else {
        format!("yes: {} keeps {} % over its fast end, 5 are wanted", fitted.pair_words(), number(own.headroom_pct, 0))
    };
    Some(vec![
        Cell::words(ride),
        Cell::words(best.setup.pair_words()),
        Cell::number(100.0 * (own.cost_per_km / best.cost_per_km - 1.0), 0),
        Cell::words(format!("{} % → {} % of the time", number(own.slip_pct, 1), number(best.slip_pct, 1))),
        Cell::words(words),
    ])
}

impl KitView {
    /// The view in reading order.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'_>> {
        vec![
            Block::Heading("Sprockets for the season"),
            Block::Text(self.headline.clone()),
            Block::Table(&self.table),
            Block::Table(&self.plan_table),
            Block::Table(&self.pays_table),
            Block::List(self.notes.clone()),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kit(pieces: u32, buy: &[&str], minutes_min: f64, changes: u32) -> Kit {
        Kit { pieces, buy: buy.iter().map(|part| (*part).to_owned()).collect(), minutes_min, changes, plan: Vec::new() }
    }

    #[test]
    fn the_sentence_says_what_the_fewest_pieces_are_and_what_the_next_ones_save() {
        assert_eq!(headline(&[], 3), "No kit covers these rides.");
        let one = kit(0, &[], 130.0, 1);
        let more = kit(2, &["front sprocket 13", "chain of 116 links"], 75.0, 2);
        assert_eq!(
            headline(std::slice::from_ref(&one), 1),
            "Fewest pieces for 1 ride: buy nothing; 1 change, 130 min at the bench."
        );
        let both = headline(&[one.clone(), more.clone()], 3);
        assert!(
            both.starts_with("Fewest pieces for 3 rides: buy nothing; 1 change, 130 min at the bench. With "),
            "{both}"
        );
        assert!(both.contains("front sprocket 13") && both.contains("chain of 116 links"), "{both}");
        assert!(both.ends_with(" instead it is 75 min, 55 less."), "{both}");
        assert!(headline(&[more, one], 2).contains("buy front sprocket 13"));
    }
}
