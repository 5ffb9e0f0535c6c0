//! What every measuring form shares: its frame, the day and a note, readings that take another one's place, the saving.

use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::{NewEntry, StoreError};
use upkeep::bike::Bike;
use upkeep::record::{Entry, Fact};

use crate::asked::Faulty;
use crate::frame::field::{Field, Room};
use crate::frame::{Head, actions};
use crate::noted::{self, meter_runs_on};
use crate::pages::typed::Typed;
use crate::serve::{AppState, Fault, Posted, Visit};

/// The day of what was done or read, where it was not now.
pub(in crate::pages) const DAY: Field<'static> = Field {
    room: Room::Twelve,
    ..Field::text("at", "Day").hint("Left empty: now. Else such as 2026-09-24.").optional()
};

/// Texts of numbered fields; those left empty behind the last one are left out.
pub(super) fn numbered(typed: &Typed, names: &[&'static str]) -> Vec<(&'static str, String)> {
    let mut all: Vec<(&'static str, String)> = names.iter().map(|name| (*name, typed.text(name).to_owned())).collect();
    while all.len() > 1 && all.last().is_some_and(|(_, text)| text.trim().is_empty()) {
        all.pop();
    }
    all
}

/// The reading that another one takes the place of, if it is one of this bike.
fn corrects(state: &AppState, bike: &Bike, typed: &Typed, kind: &str) -> Option<i64> {
    let id = typed.number("instead_of")?;
    let log = state.garage().log(&bike.id).ok()?;
    log.entries().iter().any(|entry| entry.id == id && entry.fact.kind() == kind).then_some(id)
}

/// Stores what was read, and gives it back as it stands in the log; what is at fault comes back as faults.
///
/// # Errors
/// Every field at fault, or a whole page where the store cannot be written.
pub(in crate::pages) fn keep(
    state: &AppState,
    bike: &Bike,
    posted: &Posted,
    typed: &Typed,
    facts: Vec<Fact>,
) -> Result<Entry, Result<Vec<Faulty>, Fault>> {
    let now = state.came(posted.key());
    let at = noted::past("at", Some(typed.text("at")), now.datetime(), 18).map_err(|fault| Ok(vec![fault]))?;
    let first = facts.first().map_or("", Fact::kind);
    let instead_of = corrects(state, bike, typed, first);
    let mut entries: Vec<NewEntry> = facts.into_iter().map(|fact| NewEntry::new(at, fact)).collect();
    if let Some(entry) = entries.first_mut() {
        entry.corrects = instead_of;
        entry.note = Some(typed.text("note").trim().to_owned()).filter(|note| !note.is_empty());
    }
    let mut garage = state.writing();
    let broken = |why: StoreError| Err(Fault::from(why));
    let log = garage.log(&bike.id).map_err(broken)?;
    meter_runs_on(&log, &entries).map_err(|gap| {
        let text = format!("{} Swapped or a typo? Correct it, or say that the meter was changed.", gap.text);
        Ok(vec![Faulty { field: "hours", text }])
    })?;
    // What comes again was there the first time, and is gone since.
    if !garage.store().first_came(posted.key()).is_ok_and(|came| came.is_some()) {
        noted::part::was_there(&log, &entries).map_err(|fault| Ok(vec![fault]))?;
    }
    let post = posted.at(&now);
    let done = garage.store_mut().note(&bike.id, &entries, &post).map_err(|why| match why {
        StoreError::Entry { .. } => Ok(vec![Faulty { field: "note", text: why.to_string() }]),
        why => broken(why),
    })?;
    let log = garage.log(&bike.id).map_err(broken)?;
    let kept = log.entries().iter().find(|entry| Some(entry.change) == done.change && entry.fact.kind() == first);
    kept.cloned().ok_or_else(|| Err(Fault::broken(&"the reading is not there")))
}

/// Reads, stores and leads to the verdict; a fault shows the form again.
pub(super) async fn save(
    visit: &Visit,
    state: &AppState,
    posted: &Posted,
    head: Head<'static>,
    read: impl FnOnce(&Typed) -> Result<Vec<Fact>, Vec<Faulty>>,
    page: impl FnOnce(&Visit, &Bike, &Typed) -> Markup,
) -> Result<Response, Response> {
    let verdict = |entry: &Entry, typed: &Typed| format!("/drive/reading/{}?saved=1{}", entry.id, of_order(typed, '&'));
    save_then(visit, state, posted, head, read, page, verdict).await
}

/// The order and the step that a reading is taken for, as they stand in an address; empty where it is for none.
pub(super) fn of_order(typed: &Typed, before: char) -> String {
    let named = typed.number("order").zip(typed.number("step"));
    named.map_or_else(String::new, |(order, step)| format!("{before}order={order}&step={step}"))
}

/// The way back to that step.
pub(super) fn back_to_order(typed: &Typed, class: &str) -> Markup {
    html! {
        @if let Some((order, step)) = typed.number("order").zip(typed.number("step")) {
            p { a class=(class) href={ "/jobs/order/" (order) "?step=" (step) } { "Back to step " (step) " of the work order" } }
        }
    }
}

/// Reads, stores and leads on; a fault shows the form again.
pub(in crate::pages) async fn save_then(
    visit: &Visit,
    state: &AppState,
    posted: &Posted,
    head: Head<'static>,
    read: impl FnOnce(&Typed) -> Result<Vec<Fact>, Vec<Faulty>>,
    page: impl FnOnce(&Visit, &Bike, &Typed) -> Markup,
    then: impl FnOnce(&Entry, &Typed) -> String,
) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let saving = async {
        let typed = Typed::posted(posted);
        let late = noted::past("at", Some(typed.text("at")), state.came(posted.key()).datetime(), 18).err();
        let kept = match (read(&typed), late) {
            (Ok(facts), None) => keep(state, &bike, posted, &typed, facts),
            // Everything that is wrong is said at once.
            (read, late) => Err(Ok(read.err().into_iter().flatten().chain(late).collect())),
        };
        match kept {
            Ok(entry) => Redirect::to(&then(&entry, &typed)).into_response(),
            Err(Ok(faults)) => visit.show_faults(head, &page(visit, &bike, &typed.faulty(faults))),
            Err(Err(fault)) => fault.into_response(),
        }
    };
    Ok(state.once().run(posted, saving).await)
}

/// The frame of a measuring form: faults, cautions, how it is done, then the fields and what is common to all.
pub(super) fn sheet(visit: &Visit, typed: &Typed, title: &str, address: &str, how: &Markup, fields: &Markup) -> Markup {
    let instead = typed.text("instead_of");
    html! {
        (typed.not_saved())
        h1 { (title) }
        @if !instead.is_empty() { p class="soft" { "This takes the place of reading " (instead) " in the verdict; both stay in the history." } }
        (back_to_order(typed, ""))
        (how)
        form method="post" action=(address) {
            (visit.form_key())
            @if !instead.is_empty() { input type="hidden" name="instead_of" value=(instead); }
            @for name in ["order", "step"] { @if let Some(number) = typed.number(name) { input type="hidden" name=(name) value=(number); } }
            (fields)
            (another_day(typed))
            (actions(&html! { button type="submit" class="button primary" { "Save and judge" } }))
        }
    }
}

/// The day, where it was not now, and a note.
pub(in crate::pages) fn another_day(typed: &Typed) -> Markup {
    let inside = html! { (typed.field(DAY)) (typed.field(Field::text("note", "Note").optional())) };
    typed.unfolding("Another day, a note", &["at", "note"], &inside)
}
