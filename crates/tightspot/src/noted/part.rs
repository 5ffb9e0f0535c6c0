//! A part as it was typed: what it is and is called, teeth or links, hours that it has had, its price; and where it is now.

use measure::bounds::record as bounds;
use upkeep::record::{Fact, Kept, Part, Role};

use super::faulty;
use crate::asked::{Door, Faulty};

/// Where a part may be, by word, and as a form asks it.
pub(crate) const WHERE: [(&str, &str); 3] = [
    ("shelf", "On the shelf"),
    ("bike", "On the bike: it was fitted"),
    ("gone", "No longer there: sold, lost or scrapped"),
];

/// What was typed of a part. The field of its price is called what the price is.
pub(crate) struct Typed<'t> {
    pub(crate) role: &'t str,
    pub(crate) name: &'t str,
    pub(crate) count: Option<&'t str>,
    pub(crate) used: Option<&'t str>,
    pub(crate) price: (&'static str, Option<&'t str>),
}

/// The part.
///
/// # Errors
/// Every field at fault.
pub(crate) fn part(mut door: Door, typed: &Typed<'_>) -> Result<Part, Vec<Faulty>> {
    let count = typed.count.and_then(|text| door.whole("count", text, &bounds::COUNT));
    let used = door.number("used", typed.used, &bounds::USED).unwrap_or_default();
    let price = door.money(typed.price.0, typed.price.1);
    door.closed()?;
    let role = Role::of(typed.role).map_err(|fault| vec![faulty("role", fault)])?;
    Part::new(role, typed.name.to_owned(), count, used, price).map_err(|fault| {
        let field = match fault.field.as_str() {
            "name" => "name",
            "used_h" => "used",
            "price_minor" | "currency" => typed.price.0,
            _ => "count",
        };
        vec![faulty(field, fault)]
    })
}

/// The fact that it is where it is said to be.
///
/// # Errors
/// A word that is in no list.
pub(crate) fn fact(part: Part, place: &str) -> Result<Fact, Vec<Faulty>> {
    match place {
        "shelf" => Ok(Fact::Kept(Kept::new(part, false))),
        "gone" => Ok(Fact::Kept(Kept::new(part, true))),
        "bike" => Ok(Fact::Part(part)),
        other => {
            let words: Vec<&str> = WHERE.iter().map(|(word, _)| *word).collect();
            let text = format!("where: \"{other}\" is none; possible: {}.", words.join(", "));
            Err(vec![Faulty { field: "where", text }])
        }
    }
}
