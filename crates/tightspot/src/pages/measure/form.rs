//! What every measuring form shares: texts as typed, faults at their fields, day and meter, and the saving.

use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::{NewEntry, Post, StoreError};
use upkeep::bike::Bike;
use upkeep::job::handbook::{Level, shipped};
use upkeep::record::Fact;

use crate::asked::Faulty;
use crate::frame::field::{self, Field, fault_summary, field};
use crate::frame::notice::{Weight, caution};
use crate::frame::{Head, actions, details};
use crate::noted::{self, meter_runs_on};
use crate::pages::bike::sentence;
use crate::serve::{AppState, Fault, Posted, Visit};

/// The cautions of the job library that stand before a hand moves at the chain.
const CAUTIONS: [&str; 2] = ["engine-off-chain", "pinch"];

/// What was typed, and what is wrong with it.
#[derive(Default)]
pub(in crate::pages) struct Typed {
    texts: Vec<(String, String)>,
    /// Every fault.
    pub(in crate::pages) faults: Vec<Faulty>,
}

impl Typed {
    /// What an address presets.
    pub(in crate::pages) fn of(query: Vec<(String, String)>) -> Self {
        Self { texts: query, faults: Vec::new() }
    }

    /// What a form sent.
    pub(in crate::pages) fn posted(posted: &Posted) -> Self {
        Self { texts: posted.fields().to_vec(), faults: Vec::new() }
    }

    /// The same with its faults, each as it is read at its field.
    pub(in crate::pages) fn faulty(self, faults: Vec<Faulty>) -> Self {
        let told = |fault: Faulty| Faulty { field: fault.field, text: sentence(fault.field, &fault.text) };
        Self { faults: faults.into_iter().map(told).collect(), ..self }
    }

    /// The text of a field.
    pub(in crate::pages) fn text(&self, name: &str) -> &str {
        self.texts.iter().find(|(known, _)| known == name).map_or("", |(_, text)| text.as_str())
    }

    /// The text of a field, or what stands there unasked.
    pub(in crate::pages) fn text_or<'t>(&'t self, name: &str, unasked: &'t str) -> &'t str {
        match self.text(name) {
            "" => unasked,
            text => text,
        }
    }

    /// The fault of a field.
    pub(in crate::pages) fn fault(&self, name: &str) -> &str {
        self.faults.iter().find(|fault| fault.field == name).map_or("", |fault| fault.text.as_str())
    }

    /// Texts of numbered fields; those left empty behind the last one are left out.
    pub(super) fn numbered(&self, names: &[&'static str]) -> Vec<(&'static str, String)> {
        let mut all: Vec<(&'static str, String)> =
            names.iter().map(|name| (*name, self.text(name).to_owned())).collect();
        while all.len() > 1 && all.last().is_some_and(|(_, text)| text.trim().is_empty()) {
            all.pop();
        }
        all
    }
}

/// The reading that another one takes the place of, if it is one of this bike.
fn corrects(state: &AppState, bike: &Bike, typed: &Typed, kind: &str) -> Option<i64> {
    let id = typed.text("instead_of").parse::<i64>().ok()?;
    let log = state.garage().log(&bike.id).ok()?;
    log.entries().iter().any(|entry| entry.id == id && entry.fact.kind() == kind).then_some(id)
}

/// Stores what was read; what is at fault comes back as faults.
///
/// # Errors
/// Every field at fault, or a whole page where the store cannot be written.
pub(in crate::pages) fn keep(
    state: &AppState,
    bike: &Bike,
    posted: &Posted,
    typed: &Typed,
    facts: Vec<Fact>,
) -> Result<i64, Result<Vec<Faulty>, Fault>> {
    let now = state.came(posted.key());
    let at = noted::past("at", Some(typed.text("at")), now.datetime(), 18).map_err(|fault| Ok(vec![fault]))?;
    let first = facts.first().map_or("", Fact::kind);
    let instead_of = corrects(state, bike, typed, first);
    let mut entries: Vec<NewEntry> = facts.into_iter().map(|fact| NewEntry::new(at, fact)).collect();
    if let Some(entry) = entries.first_mut() {
        entry.corrects = instead_of;
        entry.note = Some(typed.text("note").trim().to_owned()).filter(|note| !note.is_empty());
    }
    let mut garage = state.garage();
    let broken = |why: &StoreError| Err(Fault::of_store(why));
    let log = garage.log(&bike.id).map_err(|why| broken(&why))?;
    meter_runs_on(&log, &entries).map_err(|gap| {
        let text = format!("{} Swapped or a typo? Correct it, or say that the meter was changed.", gap.text);
        Ok(vec![Faulty { field: "hours", text }])
    })?;
    let post = Post { now: now.timestamp(), key: Some(posted.key()) };
    let done = garage.store_mut().note(&bike.id, &entries, &post).map_err(|why| match why {
        StoreError::Entry { .. } => Ok(vec![Faulty { field: "note", text: why.to_string() }]),
        why => broken(&why),
    })?;
    let log = garage.log(&bike.id).map_err(|why| broken(&why))?;
    let kept = log.entries().iter().find(|entry| Some(entry.change) == done.change && entry.fact.kind() == first);
    kept.map(|entry| entry.id).ok_or_else(|| Err(Fault::broken(&"the reading is not there")))
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
    let bike = visit.bike()?.clone();
    let saving = async {
        let typed = Typed::posted(posted);
        let kept = read(&typed).map_err(Ok).and_then(|facts| keep(state, &bike, posted, &typed, facts));
        match kept {
            Ok(entry) => Redirect::to(&format!("/drive/reading/{entry}?saved=1")).into_response(),
            Err(Ok(faults)) => visit.show_faults(head, &page(visit, &bike, &typed.faulty(faults))),
            Err(Err(fault)) => fault.into_response(),
        }
    };
    Ok(state.once().run(posted, saving).await)
}

/// The frame of a measuring form: faults, cautions, how it is done, then the fields and what is common to all.
pub(super) fn sheet(visit: &Visit, typed: &Typed, title: &str, address: &str, how: &Markup, fields: &Markup) -> Markup {
    let faults: Vec<field::Fault<'_>> =
        typed.faults.iter().map(|fault| field::Fault { field: fault.field, text: &fault.text }).collect();
    let instead = typed.text("instead_of");
    html! {
        (fault_summary(&faults))
        h1 { (title) }
        @if !instead.is_empty() { p class="soft" { "This takes the place of reading " (instead) " in the verdict; both stay in the history." } }
        (how)
        form method="post" action=(address) {
            (visit.form_key())
            @if !instead.is_empty() { input type="hidden" name="instead_of" value=(instead); }
            (fields)
            (details("Another day, a note", &html! {
                (field(&Field { room: field::Room::Twelve, ..Field::text("at", "Day").hint("Left empty: now. Else such as 2026-09-24.").value(typed.text("at")).fault(typed.fault("at")).optional() }))
                (field(&Field::text("note", "Note").value(typed.text("note")).fault(typed.fault("note")).optional()))
            }))
            (actions(&html! { button type="submit" class="button primary" { "Save and judge" } }))
        }
    }
}

/// The cautions in full, before any hand moves.
pub(super) fn cautions() -> Markup {
    html! {
        @for entry in CAUTIONS.iter().filter_map(|id| shipped().caution(id)) {
            @let weight = match entry.level { Level::Stop => Weight::Stop, Level::Warn => Weight::Warn, Level::Note => Weight::Note };
            (caution(weight, &entry.text))
        }
    }
}
