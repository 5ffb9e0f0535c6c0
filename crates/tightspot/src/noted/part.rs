//! A part as it was typed: what it is and is called, teeth or links, hours that it has had, its price; and where it is now.
//! Nothing goes from where it never was: a name typed wrong would leave the right part on the shelf for good.

use jiff::civil::DateTime;
use measure::bounds::record as bounds;
use store::NewEntry;
use upkeep::record::{Fact, Kept, Log, Part, Role, Whereabouts};

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

/// How many parts of the shelf a refusal names.
const NAMED: usize = 8;

/// Whether every part that is said to be gone was there at that time: on the shelf, or off the bike and nowhere since.
///
/// # Errors
/// It was not, with what lies there; or it is on the bike.
pub(crate) fn was_there(log: &Log, new: &[NewEntry]) -> Result<(), Faulty> {
    for entry in new {
        if let Fact::Kept(kept) = &entry.fact
            && kept.gone()
        {
            let others = log.entries().iter().filter(|known| Some(known.id) != entry.corrects);
            let then = Log::new(others.cloned().collect(), Vec::new()).until(entry.at);
            could_go(&then, kept.part(), entry.at)?;
        }
    }
    Ok(())
}

fn could_go(log: &Log, part: &Part, at: DateTime) -> Result<(), Faulty> {
    let (role, name) = (part.role(), part.name());
    let why = match log.whereabouts(role, name) {
        Some(Whereabouts::Shelf(_) | Whereabouts::Off(..)) => return Ok(()),
        Some(Whereabouts::Fitted(..)) => {
            "was on the bike by the record. Write down first what took its place, or that it was laid on the shelf."
                .to_owned()
        }
        Some(Whereabouts::Gone(_)) => format!("was gone by the record already. {}", lying(log, role)),
        None => {
            let when = at.strftime("%Y-%m-%d at %H:%M");
            format!("was not on the shelf on {when}. {}", lying(log, role))
        }
    };
    Err(Faulty { field: "name", text: format!("name: {} \"{name}\" {why}", role.word()) })
}

/// What lay on the shelf, parts of the role first, and what to do.
fn lying(log: &Log, role: Role) -> String {
    let mut parts: Vec<&Part> = log.shelf().into_iter().map(|(_, kept)| kept.part()).collect();
    if parts.is_empty() {
        return "Nothing lay there: lay it there first, or there is nothing to write down.".to_owned();
    }
    parts.sort_by_key(|part| part.role() != role);
    let more = parts.len().saturating_sub(NAMED);
    let mut names: Vec<String> =
        parts.iter().take(NAMED).map(|part| format!("{} \"{}\"", part.role().word(), part.name())).collect();
    if more > 0 {
        names.push(format!("{more} more"));
    }
    format!("There lay: {}. Give what it is and its name as they stand there.", names.join(", "))
}
