//! The demo's invented shelf: short lines in `data/demo`, read into facts. None of it lies anywhere.

use jiff::civil::DateTime;
use store::{Post, Store};
use upkeep::supply::{Event, Supply};

/// The bike that the parts are for.
const BIKE: &str = "alder-350";
const SHELF: &str = include_str!("../../../data/demo/shelf.txt");

/// Lays the parts on the shelf.
///
/// # Errors
/// Only if the binary itself is damaged.
pub(crate) fn put(store: &mut Store, post: &Post<'_>) -> Result<(), String> {
    for (at, fact) in lines()? {
        store.supply(BIKE, at, &[fact], post).map_err(|why| why.to_string())?;
    }
    Ok(())
}

fn lines() -> Result<Vec<(DateTime, Supply)>, String> {
    let told = SHELF.lines().filter(|line| !line.starts_with('#'));
    told.map(|line| one(line).ok_or_else(|| format!("{line}: it cannot be read"))).collect()
}

fn one(line: &str) -> Option<(DateTime, Supply)> {
    let (at, rest) = line.split_once(' ')?;
    let (kind, rest) = rest.split_once(' ')?;
    let taken = match kind {
        "price" => 3,
        "chance" => 2,
        _ => 1,
    };
    let mut words = rest.splitn(taken + 1, ' ');
    let figures: Vec<&str> = words.by_ref().take(taken).collect();
    let count = || figures.first()?.parse().ok();
    let event = match (kind, figures.as_slice()) {
        ("put", _) => Event::Put(count()?),
        ("counted", _) => Event::Counted(count()?),
        ("ordered", _) => Event::Ordered(count()?),
        ("received", _) => Event::Received(count()?),
        ("lead", [days]) => Event::Lead(days.parse().ok()?),
        ("use-by", [day]) => Event::UseBy(day.parse().ok()?),
        ("price", [low, high, currency]) => Event::Price(low.parse().ok()?, high.parse().ok()?, (*currency).to_owned()),
        ("chance", [low, high]) => Event::Chance(low.parse().ok()?, high.parse().ok()?),
        _ => return None,
    };
    Some((at.parse().ok()?, Supply::new(words.next()?, event).ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::garage::{DEMO_NOW, Garage};
    use crate::shopping::Stock;

    #[test]
    fn the_demos_shelf_says_that_it_is_invented_and_lies_in_the_past() {
        assert!(SHELF.starts_with("# INVENTED"));
        let all = lines().expect("every line reads");
        assert!(all.iter().all(|(at, _)| *at < DEMO_NOW));
    }

    #[test]
    fn the_demos_order_has_a_part_missing_one_to_order_by_a_day_and_a_tube_past_its_own() {
        let garage = Garage::demo().expect("the demo");
        let bike = garage.bike(Some(BIKE)).expect("the bike");
        let stock = Stock::of(&garage, &bike, DEMO_NOW).expect("its shelf");
        let view = stock.list(&bike, None, None).expect("a list");
        let part = |role: &str| view.parts.iter().find(|part| part.role == role).expect(role);
        assert_eq!(part("chain").state, "have");
        assert_eq!(part("rear sprocket bolts and nuts").state, "missing");
        let link = part("connecting link");
        assert_eq!((link.have, link.to_buy, link.order_by.as_deref()), (Some(1), 1, Some("2026-09-25")));
        assert!(view.reasons.iter().any(|reason| reason.text.contains("past its day")), "{:?}", view.reasons);
        let seal = view.in_case_table.rows.iter().find(|row| row[1].text == "countershaft seal").expect("in case");
        assert_eq!((seal[4].text.as_str(), seal[5].text.as_str()), ("5 to 15 %", "5"));
    }
}
