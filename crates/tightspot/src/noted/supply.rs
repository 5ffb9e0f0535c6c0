//! What was typed about the shelf → facts: pieces, price, delivery, last day of use, the rider's own chance.

use jiff::civil::Date;
use measure::bounds::record as bounds;
use upkeep::supply::{Event, Shelf, Supply};

use super::faulty;
use crate::asked::{Door, Faulty};

/// What can happen to pieces, by word, and as a sentence says it.
pub(crate) const HAPPENED: [(&str, &str); 5] = [
    ("counted", "so many lie there, counted"),
    ("put", "so many were put on the shelf"),
    ("taken", "so many were taken from it"),
    ("ordered", "so many were ordered"),
    ("received", "so many of those came"),
];

/// Everything typed about one role; `text` gives what was typed under a name of the form.
///
/// # Errors
/// Every field at fault, or that nothing was said.
pub(crate) fn facts<'t>(
    mut door: Door,
    shelf: &Shelf,
    text: impl Fn(&str) -> Option<&'t str>,
) -> Result<Vec<Supply>, Vec<Faulty>> {
    let role = text("role").unwrap_or_default().trim();
    if let Err(fault) = Supply::new(role, Event::Lead(0))
        && fault.field == "role"
    {
        door.faults.push(faulty("role", fault));
    }
    let mut events: Vec<Event> = Vec::new();
    events.extend(pieces(&mut door, shelf, role, &text));
    events.extend(price(&mut door, &text));
    let lead = door.number("lead_d", text("lead_d"), &bounds::LEAD);
    let whole = lead.map(|days| crate::asked::whole(days).and_then(|days| u16::try_from(days).ok()));
    match whole {
        Some(Some(days)) => events.push(Event::Lead(days)),
        Some(None) => door.faults.push(Faulty { field: "lead_d", text: "lead_d: whole days are wanted.".to_owned() }),
        None => {}
    }
    events.extend(use_by(&mut door, text("use_by")));
    let [low, high] = ["chance_low", "chance_high"].map(|field| door.number(field, text(field), &bounds::GUESS));
    if let Some(low) = low.or(high) {
        events.push(Event::Chance(low, high.unwrap_or(low)));
    }
    if !door.faults.is_empty() {
        return Err(door.faults);
    }
    if events.is_empty() {
        let text = "qty: nothing is said. Type pieces, a price, days of delivery, a last day of use or a chance.";
        return Err(vec![Faulty { field: "qty", text: text.to_owned() }]);
    }
    let made = events.into_iter().map(|event| Supply::new(role, event));
    made.map(|made| made.map_err(|fault| vec![faulty(field_of(&fault.field), fault)])).collect()
}

/// The form's name of a fact's field.
fn field_of(field: &str) -> &'static str {
    match field {
        "role" => "role",
        "chance" => "chance_high",
        "price" | "currency" => "price_to",
        "lead_d" => "lead_d",
        _ => "qty",
    }
}

fn pieces<'t>(door: &mut Door, shelf: &Shelf, role: &str, text: &impl Fn(&str) -> Option<&'t str>) -> Option<Event> {
    let qty = text("qty").filter(|qty| !qty.trim().is_empty())?;
    let qty = door.whole("qty", qty, &bounds::PIECES)?;
    let mut wrong = |field, text| {
        door.faults.push(Faulty { field, text });
        None
    };
    Some(match text("event").unwrap_or_default() {
        "put" => Event::Put(qty),
        "counted" => Event::Counted(qty),
        "ordered" => Event::Ordered(qty),
        "received" => Event::Received(qty),
        "taken" => {
            let there = shelf.item(role).and_then(|item| item.qty).unwrap_or_default();
            if qty > there {
                let text =
                    format!("qty: {qty} cannot be taken, {there} noted as lying there. Count them anew if more do.");
                return wrong("qty", text);
            }
            Event::Taken(qty)
        }
        other => {
            let words: Vec<&str> = HAPPENED.iter().map(|(word, _)| *word).collect();
            return wrong("event", format!("event: \"{other}\" is none; possible: {}.", words.join(", ")));
        }
    })
}

fn price<'t>(door: &mut Door, text: &impl Fn(&str) -> Option<&'t str>) -> Option<Event> {
    let low = door.money("price", text("price"));
    let high = door.money("price_to", text("price_to"));
    match (low, high) {
        (Some((low, code)), None) => Some(Event::Price(low, low, code)),
        (Some((low, code)), Some((high, other))) if code == other => Some(Event::Price(low, high, code)),
        (Some((_, code)), Some((_, other))) => {
            let text = format!("price_to: {other} is another currency than {code}; the two are never mixed.");
            door.faults.push(Faulty { field: "price_to", text });
            None
        }
        (None, Some(_)) => {
            let text = "price: only the upper end is given. Give the lower one too.".to_owned();
            door.faults.push(Faulty { field: "price", text });
            None
        }
        (None, None) => None,
    }
}

fn use_by(door: &mut Door, typed: Option<&str>) -> Option<Event> {
    day(door, "use_by", typed).map(Event::UseBy)
}

/// A day, if one was typed.
pub(crate) fn day(door: &mut Door, field: &'static str, typed: Option<&str>) -> Option<Date> {
    let typed = typed.map(str::trim).filter(|typed| !typed.is_empty())?;
    if let Ok(day) = typed.parse() {
        return Some(day);
    }
    let text = format!("{field}: \"{typed}\" is no day; write such as 2026-09-24.");
    door.faults.push(Faulty { field, text });
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(typed: &[(&str, &'static str)]) -> Result<Vec<Supply>, Vec<Faulty>> {
        let put = Supply::new("chain", Event::Put(1)).expect("possible");
        let shelf = Shelf::of([("2026-09-24".parse().expect("a day"), &put)]);
        facts(Door::default(), &shelf, |name| typed.iter().find(|(known, _)| *known == name).map(|(_, text)| *text))
    }

    #[test]
    fn everything_said_of_a_part_becomes_a_fact() {
        let said = [
            ("role", "chain"),
            ("event", "ordered"),
            ("qty", "2"),
            ("price", "89,50 EUR"),
            ("price_to", "92 EUR"),
            ("lead_d", "9"),
        ];
        let facts = read(&said).expect("possible");
        let events: Vec<Event> = facts.iter().map(|fact| fact.event().clone()).collect();
        assert_eq!(events, [Event::Ordered(2), Event::Price(8950, 9200, "EUR".into()), Event::Lead(9)]);
    }

    #[test]
    fn what_cannot_be_is_named_at_its_field() {
        let fault = |typed: &[(&str, &'static str)]| read(typed).expect_err("refused")[0].field;
        assert_eq!(fault(&[("role", "chain")]), "qty", "nothing said");
        assert_eq!(fault(&[("role", "chain"), ("event", "taken"), ("qty", "2")]), "qty", "one lies there");
        assert_eq!(fault(&[("role", "chain"), ("event", "lost"), ("qty", "1")]), "event");
        assert_eq!(fault(&[("role", "chain"), ("price", "9 EUR"), ("price_to", "9 USD")]), "price_to");
        assert_eq!(fault(&[("role", "chain"), ("price", "9 EUR"), ("price_to", "8 EUR")]), "price_to");
        assert_eq!(fault(&[("role", "chain"), ("price_to", "9 EUR")]), "price");
        assert_eq!(fault(&[("role", "chain"), ("use_by", "soon")]), "use_by");
        assert_eq!(fault(&[("role", "x"), ("chance_low", "30"), ("chance_high", "10")]), "chance_high");
        assert_eq!(fault(&[("role", "x"), ("lead_d", "366")]), "lead_d");
        assert_eq!(fault(&[("role", " "), ("event", "put"), ("qty", "1")]), "role");
    }
}
