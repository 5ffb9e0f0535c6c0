//! What lies on the shelf, what it costs, when it comes: parts and consumables by their role, from appended facts.
//!
//! A fact is what happened (put there, taken, counted, ordered, received) or what the rider says (price, lead time, own
//! chance, use by). The shelf is derived; nothing of it is stored.

use jiff::civil::Date;

use crate::bike::Fault;
use crate::money::Currency;

/// The most of anything on a shelf.
pub const MOST: u32 = 1000;
/// The longest lead time, days.
pub const LEAD_MOST_D: u16 = 365;

/// What happened to a role, or what the rider says of it.
#[derive(Debug, Clone, PartialEq)]
pub enum Event {
    /// So many were put on the shelf.
    Put(u32),
    /// So many were taken from it.
    Taken(u32),
    /// So many lie there, counted.
    Counted(u32),
    /// So many were ordered.
    Ordered(u32),
    /// So many of what was ordered came.
    Received(u32),
    /// What one costs: low and high, minor units, with the currency.
    Price(i64, i64, String),
    /// Days from order to hand.
    Lead(u16),
    /// The last day on which it may be used.
    UseBy(Date),
    /// The rider's own guess that a stop point brings it: low and high, percent.
    Chance(f64, f64),
}

/// One fact of a role.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    role: String,
    event: Event,
}

impl Supply {
    /// A fact, if it is possible.
    ///
    /// # Errors
    /// The field that is not.
    pub fn new(role: &str, event: Event) -> Result<Self, Fault> {
        let role = role.trim();
        if !(1..=100).contains(&role.chars().count()) || role.contains(char::is_control) {
            let text =
                format!("role: \"{role}\" is none; a name of 1 to 100 characters is wanted, as the parts list has it.");
            return Err(Fault::new("role", "no_such_word", text));
        }
        possible(&event)?;
        Ok(Self { role: role.to_owned(), event })
    }

    /// What it is about.
    #[must_use]
    pub fn role(&self) -> &str {
        &self.role
    }

    /// What happened.
    #[must_use]
    pub const fn event(&self) -> &Event {
        &self.event
    }
}

fn possible(event: &Event) -> Result<(), Fault> {
    let wrong = |field: &'static str, text: String| Err(Fault::new(field, "out_of_range", text));
    match event {
        Event::Put(count) | Event::Taken(count) | Event::Ordered(count) | Event::Received(count)
            if !(1..=MOST).contains(count) =>
        {
            wrong("qty", format!("qty is {count}; possible: 1 to {MOST}."))
        }
        Event::Counted(count) if *count > MOST => wrong("qty", format!("qty is {count}; possible: 0 to {MOST}.")),
        Event::Price(low, high, currency) => {
            if Currency::of(currency).is_none() {
                return wrong(
                    "currency",
                    format!("currency: \"{currency}\" is none; three capital letters are wanted, such as EUR."),
                );
            }
            if *low < 0 || low > high || *high > 1_000_000_000 {
                return wrong("price", "price: the lower one comes first, neither below nothing.".to_owned());
            }
            Ok(())
        }
        Event::Lead(days) if *days > LEAD_MOST_D => {
            wrong("lead_d", format!("lead_d is {days}; possible: 0 to {LEAD_MOST_D} days."))
        }
        Event::Chance(low, high) if !(0.0..=100.0).contains(low) || !(0.0..=100.0).contains(high) || low > high => {
            wrong("chance", "chance: 0 to 100 %, the lower one first.".to_owned())
        }
        _ => Ok(()),
    }
}

/// What stands of one role.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Item {
    /// How many lie there; none where nobody ever said.
    pub qty: Option<u32>,
    /// How many are on their way.
    pub ordered: u32,
    /// The day of the last order.
    pub ordered_on: Option<Date>,
    /// Low, high, currency.
    pub price: Option<(i64, i64, String)>,
    /// Days from order to hand.
    pub lead_d: Option<u16>,
    /// The last day of use.
    pub use_by: Option<Date>,
    /// The rider's own chance, percent.
    pub chance_pct: Option<(f64, f64)>,
}

/// Everything on the shelf, by role.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Shelf {
    items: Vec<(String, Item)>,
}

impl Shelf {
    /// The shelf after facts in the order in which they happened, each with its day.
    #[must_use]
    pub fn of<'a>(facts: impl IntoIterator<Item = (Date, &'a Supply)>) -> Self {
        let mut shelf = Self::default();
        for (day, fact) in facts {
            shelf.note(day, fact);
        }
        shelf.items.sort_by(|one, other| one.0.cmp(&other.0));
        shelf
    }

    fn note(&mut self, day: Date, fact: &Supply) {
        let at = self.items.iter().position(|(role, _)| *role == fact.role).unwrap_or_else(|| {
            self.items.push((fact.role.clone(), Item::default()));
            self.items.len() - 1
        });
        let item = &mut self.items[at].1;
        let held = item.qty.unwrap_or_default();
        match &fact.event {
            Event::Put(count) => item.qty = Some(held.saturating_add(*count)),
            Event::Taken(count) => item.qty = Some(held.saturating_sub(*count)),
            Event::Counted(count) => item.qty = Some(*count),
            Event::Ordered(count) => {
                item.ordered = item.ordered.saturating_add(*count);
                item.ordered_on = Some(day);
            }
            Event::Received(count) => {
                item.ordered = item.ordered.saturating_sub(*count);
                item.qty = Some(held.saturating_add(*count));
            }
            Event::Price(low, high, currency) => item.price = Some((*low, *high, currency.clone())),
            Event::Lead(days) => item.lead_d = Some(*days),
            Event::UseBy(day) => item.use_by = Some(*day),
            Event::Chance(low, high) => item.chance_pct = Some((*low, *high)),
        }
    }

    /// What stands of a role.
    #[must_use]
    pub fn item(&self, role: &str) -> Option<&Item> {
        self.items.iter().find(|(known, _)| known == role).map(|(_, item)| item)
    }

    /// Every role with what stands of it, by name.
    pub fn items(&self) -> impl Iterator<Item = (&str, &Item)> {
        self.items.iter().map(|(role, item)| (role.as_str(), item))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Date {
        text.parse().expect("a day")
    }

    fn shelf(events: Vec<Event>) -> Item {
        let facts: Vec<Supply> =
            events.into_iter().map(|event| Supply::new("chain", event).expect("possible")).collect();
        let shelf = Shelf::of(facts.iter().map(|fact| (day("2026-09-24"), fact)));
        shelf.item("chain").cloned().unwrap_or_default()
    }

    #[test]
    fn what_was_put_taken_ordered_and_received_adds_up() {
        let item = shelf(vec![Event::Put(2), Event::Taken(1), Event::Ordered(3), Event::Received(2)]);
        assert_eq!((item.qty, item.ordered, item.ordered_on), (Some(3), 1, Some(day("2026-09-24"))));
        assert_eq!(shelf(vec![Event::Put(5), Event::Counted(1)]).qty, Some(1), "a count overrules");
        assert_eq!(shelf(vec![Event::Lead(9)]).qty, None, "never counted is not none");
    }

    #[test]
    fn what_cannot_be_is_refused_by_its_field() {
        let fault = |event| Supply::new("chain", event).expect_err("refused").field;
        assert_eq!(fault(Event::Put(0)), "qty");
        assert_eq!(fault(Event::Price(900, 800, "EUR".into())), "price");
        assert_eq!(fault(Event::Price(0, 1, "eur".into())), "currency");
        assert_eq!(fault(Event::Chance(20.0, 10.0)), "chance");
        assert_eq!(fault(Event::Lead(366)), "lead_d");
        assert_eq!(Supply::new("  ", Event::Put(1)).expect_err("refused").field, "role");
    }

    #[test]
    fn every_limit_is_met_exactly_and_nothing_past_it() {
        let field = |event: Event| Supply::new("chain", event).err().map(|fault| fault.field);
        let eur = |low, high| Event::Price(low, high, "EUR".into());
        for (possible, field_past, past) in [
            (
                vec![Event::Put(1), Event::Put(MOST)],
                "qty",
                vec![Event::Put(0), Event::Put(MOST + 1), Event::Put(MOST + 9)],
            ),
            (vec![Event::Taken(1), Event::Taken(MOST)], "qty", vec![Event::Taken(0), Event::Taken(MOST + 9)]),
            (vec![Event::Ordered(1), Event::Ordered(MOST)], "qty", vec![Event::Ordered(0), Event::Ordered(MOST + 9)]),
            (
                vec![Event::Received(1), Event::Received(MOST)],
                "qty",
                vec![Event::Received(0), Event::Received(MOST + 9)],
            ),
            (
                vec![Event::Counted(0), Event::Counted(1), Event::Counted(MOST)],
                "qty",
                vec![Event::Counted(MOST + 1), Event::Counted(MOST + 9)],
            ),
            (
                vec![Event::Lead(0), Event::Lead(LEAD_MOST_D)],
                "lead_d",
                vec![Event::Lead(LEAD_MOST_D + 1), Event::Lead(LEAD_MOST_D + 9)],
            ),
            (
                vec![eur(0, 0), eur(800, 900), eur(900, 900), eur(0, 1_000_000_000)],
                "price",
                vec![eur(-1, 5), eur(-9, 5), eur(901, 900), eur(0, 1_000_000_001), eur(0, 1_000_000_009)],
            ),
            (
                vec![Event::Chance(0.0, 0.0), Event::Chance(20.0, 20.0), Event::Chance(0.0, 100.0)],
                "chance",
                vec![
                    Event::Chance(-0.1, 50.0),
                    Event::Chance(50.0, 100.1),
                    Event::Chance(50.1, 50.0),
                    Event::Chance(101.0, 102.0),
                ],
            ),
        ] {
            for event in possible {
                assert_eq!(field(event.clone()), None, "{event:?}");
            }
            for event in past {
                assert_eq!(field(event.clone()).as_deref(), Some(field_past), "{event:?}");
            }
        }
        let name = |length: usize| Supply::new(&"x".repeat(length), Event::Put(1)).err().map(|fault| fault.field);
        assert_eq!([1, 100].map(name), [None, None]);
        assert_eq!([0, 101].map(name), [Some("role".to_owned()), Some("role".to_owned())]);
        assert_eq!(Supply::new("a\tb", Event::Put(1)).expect_err("refused").field, "role");
        assert_eq!(Supply::new(" chain ", Event::Put(1)).expect("possible").role(), "chain");
    }
}
