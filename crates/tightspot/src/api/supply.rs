//! The shelf for programs: pieces, price, delivery, last day of use, the rider's own chance.

use axum::response::Response;
use figures::Field;
use measure::bounds::record as bounds;
use upkeep::bike::Fault as Wrong;
use upkeep::supply::{Event, Shelf, Supply};

use super::bikes::done_value;
use super::entries::created;
use super::given;
use super::kinds::words;
use super::refusal::{faults, refused, store};
use super::sent::Sent;
use crate::asked::{Door, Faulty};
use crate::noted::supply::{HAPPENED, facts};
use crate::serve::Fault;

/// The words of [`HAPPENED`].
const WORDS: [&str; HAPPENED.len()] = words(&HAPPENED);

/// What is said of the shelf.
pub(super) const NOTE: &[Field] = &[
    Field::text("role").meaning("part, consumable or look, by its name in the list"),
    Field::word("event", &WORDS).optional("nothing").meaning("what happened to pieces; goes with qty"),
    Field::whole("qty", &bounds::PIECES).optional("nothing"),
    Field::whole("price_minor", &bounds::PRICE).optional("not said").meaning("of one, in minor units of its currency"),
    Field::whole("price_to_minor", &bounds::PRICE).optional("as price_minor").meaning("the upper end of a range"),
    Field::text("currency").optional("none").meaning("three capital letters; goes with price_minor"),
    Field::whole("lead_d", &bounds::LEAD).optional("not said").meaning("whole days until it is there"),
    Field::text("use_by").optional("not said").meaning("the last day of use, 2027-05-01"),
    Field::number("chance_low", &bounds::GUESS).optional("not said").meaning("your own guess that a look brings it, %"),
    Field::number("chance_high", &bounds::GUESS).optional("as chance_low"),
];

/// What [`facts`] reads as it is typed.
const TYPED: [&str; 5] = ["qty", "lead_d", "use_by", "chance_low", "chance_high"];

/// `POST /api/v1/parts/note`.
pub(super) async fn note(sent: Sent) -> Result<Response, Fault> {
    let given = given::checked(NOTE, &sent.members)?;
    let once = sent.once()?;
    let mut garage = sent.state.writing();
    let bike = sent.bike(&garage)?;
    let role = given.opt_text("role").unwrap_or_default();
    let mut all = Vec::new();
    let price = price(&given)?;
    if price.is_none() || TYPED.iter().any(|name| given.has(name)) {
        let kept = garage.store().supplies(&bike.id).map_err(|why| store(&why))?;
        let shelf = Shelf::of(kept.iter().map(|kept| (kept.at.date(), &kept.supply)));
        let texts: Vec<(&str, String)> = TYPED
            .iter()
            .filter_map(|name| Some((*name, given.raw(name)?)))
            .map(|(name, value)| (name, value.as_str().map_or_else(|| value.to_string(), str::to_owned)))
            .collect();
        let text = |name: &str| match name {
            "role" => Some(role),
            "event" => given.opt_text("event"),
            _ => texts.iter().find(|(known, _)| *known == name).map(|(_, text)| text.as_str()),
        };
        all.extend(facts(Door::default(), &shelf, text).map_err(|wrong| typed(&wrong))?);
    }
    let price = price.map(|event| Supply::new(role, event)).transpose();
    all.extend(price.map_err(|fault| faults("", &[fault]))?);
    let at = once.now.datetime();
    let done = garage.store_mut().supply(&bike.id, at, &all, &once.post()).map_err(|why| store(&why))?;
    Ok(created("/api/v1/parts", done_value(done)))
}

fn price(given: &figures::Given<'_>) -> Result<Option<Event>, Fault> {
    let minor = |name: &str| given.opt_whole(name).map(i64::from);
    match (minor("price_minor"), minor("price_to_minor"), given.opt_text("currency")) {
        (None, None, None) => Ok(None),
        (Some(low), high, Some(code)) => Ok(Some(Event::Price(low, high.unwrap_or(low), code.to_owned()))),
        (Some(_), _, None) => Err(refused("currency", "missing", "currency: a price needs one, such as EUR.")),
        (None, ..) => {
            Err(refused("price_minor", "missing", "price_minor: an upper end or a currency alone says nothing."))
        }
    }
}

/// Faults of what was said, each at its member.
fn typed(wrong: &[Faulty]) -> Fault {
    let all: Vec<Wrong> = wrong.iter().map(|one| Wrong::new(one.field, "not_possible", one.text.clone())).collect();
    faults("", &all)
}
