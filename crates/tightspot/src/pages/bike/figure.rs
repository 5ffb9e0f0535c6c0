//! One figure of the sheet: its form, what was understood while it is typed, saving it, taking it off.

use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::{Done, StoreError};
use upkeep::bike::{self, BikeField, Change, Entry, Kind, Value};

use super::standing::Standing;
use super::words::{capital, motorcycles_first, sentence, shown, to_type_over};
use super::{Typed, again, not_stored, said};
use crate::frame::field::{Field, Keys, Room, field, long_field, select};
use crate::frame::{actions, live_part};
use crate::serve::{AppState, Fault, Posted, Visit};

/// What was typed for one figure.
pub(super) struct TypedFigure {
    /// The figure.
    pub(super) field: &'static BikeField,
    /// Its value; `None` if the form was only opened.
    pub(super) value: Option<String>,
    /// Its source.
    pub(super) source: String,
}

/// The name of the field that holds a figure's source.
fn source_name(field: &BikeField) -> String {
    format!("{}-source", field.name)
}

fn echo_id(field: &BikeField) -> String {
    format!("echo-{}", field.name)
}

/// The part that says what is understood, alone, if it is asked for.
pub(super) fn echo<'q>(visit: &Visit, asked: impl Fn(&str) -> Option<&'q str>) -> Option<Response> {
    let field = bike::field(asked("field")?)?;
    visit.wants(&echo_id(field)).then(|| visit.fragment(echo_part(field, asked(field.name).unwrap_or(""))))
}

fn echo_part(field: &BikeField, text: &str) -> Markup {
    // Nobody is told off while still typing: what cannot be read is told when it is sent.
    let understood = field.typed(text).map(|typed| typed.understood).unwrap_or_default();
    live_part(&echo_id(field), &understood, &html! { p class="soft" { (understood) } })
}

/// The figure whose form an address opens, with what it brings for it; nothing is saved by an address.
pub(super) fn asked_for<'q>(standing: &Standing, asked: impl Fn(&str) -> Option<&'q str>) -> Typed {
    let Some(name) = asked("field") else { return Typed::default() };
    let field = match bike::known(name) {
        Ok(field) => field,
        Err(fault) => return Typed::faulty("main", fault.text),
    };
    let value = asked(field.name).map(str::to_owned);
    let source = asked(&source_name(field)).unwrap_or("").to_owned();
    let fault = value.as_deref().and_then(|text| understood(field, text, standing.entry(field.name)).err());
    let faults = fault.map(|text| (field.name.to_owned(), text)).into_iter().collect();
    let source = if value.is_some() { source } else { source_there(standing, field) };
    Typed { figure: Some(TypedFigure { field, value, source }), faults, ..Typed::default() }
}

fn source_there(standing: &Standing, field: &BikeField) -> String {
    standing.entry(field.name).and_then(|entry| entry.source.clone()).unwrap_or_default()
}

/// What a text means for a field, or the sentence that says what to type.
pub(super) fn understood(field: &BikeField, text: &str, there: Option<&Entry>) -> Result<Value, String> {
    let text = text.replace("\r\n", "\n");
    let untouched = there.filter(|entry| to_type_over(&entry.value).trim() == text.trim());
    if let Some(entry) = untouched {
        return Ok(entry.value.clone());
    }
    field.typed(&text).map(|typed| typed.value).map_err(|fault| sentence(field.name, &fault.text))
}

/// `POST /bike`: saves one figure with its source.
pub(super) async fn save(visit: Visit, State(state): State<AppState>, posted: Posted) -> Response {
    let save = async {
        let Some(field) = bike::field(posted.text("field")) else { return unknown_figure() };
        let typed = TypedFigure {
            field,
            value: Some(posted.text(field.name).to_owned()),
            source: posted.text(&source_name(field)).trim().to_owned(),
        };
        match put(&state, &visit, &posted, &typed) {
            Ok(done) => led_back(field, &done),
            Err(Refused::Faults(faults)) => {
                again(&state, &visit, &Typed { figure: Some(typed), faults, ..Typed::default() })
            }
            Err(Refused::Store(why)) => not_stored(&why),
        }
    };
    state.once().run(&posted, save).await
}

/// `POST /bike/off`: takes one figure off the sheet.
pub(super) async fn take_off(visit: Visit, State(state): State<AppState>, posted: Posted) -> Response {
    let save = async {
        let Some(field) = bike::field(posted.text("field")) else { return unknown_figure() };
        let change = Change { field: field.name.to_owned(), value: None, source: None };
        match checked(&state, &visit, &posted, field, "").and_then(|id| store(&state, &posted, &id, change)) {
            Ok(done) => led_back(field, &done),
            Err(Refused::Faults(faults)) => {
                let figure = Some(TypedFigure { field, value: None, source: String::new() });
                again(&state, &visit, &Typed { figure, faults, ..Typed::default() })
            }
            Err(Refused::Store(why)) => not_stored(&why),
        }
    };
    state.once().run(&posted, save).await
}

fn unknown_figure() -> Response {
    let text = "The form names no figure of the sheet. Open the sheet anew and send it from there.";
    Fault::new(axum::http::StatusCode::UNPROCESSABLE_ENTITY, "Nothing was saved", text).into_response()
}

fn led_back(field: &BikeField, done: &Done) -> Response {
    Redirect::to(&format!("/bike?{}#row-{}", said(done, field.name), field.name)).into_response()
}

/// Why a figure was not saved.
enum Refused {
    /// Sentences, each with the id of its field.
    Faults(Vec<(String, String)>),
    /// The store could not.
    Store(StoreError),
}

impl Refused {
    fn at(field: &BikeField, text: impl Into<String>) -> Self {
        Self::Faults(vec![(field.name.to_owned(), text.into())])
    }
}

fn put(state: &AppState, visit: &Visit, posted: &Posted, typed: &TypedFigure) -> Result<Done, Refused> {
    let (field, text) = (typed.field, typed.value.as_deref().unwrap_or(""));
    let id = checked(state, visit, posted, field, text)?;
    let there = state.garage().store().bike(&id).map_err(Refused::Store)?.get(field.name).cloned();
    let value = understood(field, text, there.as_ref()).map_err(|text| Refused::at(field, text))?;
    let source = (!typed.source.is_empty()).then(|| typed.source.clone());
    store(state, posted, &id, Change { field: field.name.to_owned(), value: Some(value), source })
}

/// The bike of the form, if it is still the one looked at and the figure still the one that was shown.
fn checked(
    state: &AppState,
    visit: &Visit,
    posted: &Posted,
    field: &BikeField,
    typed: &str,
) -> Result<String, Refused> {
    let Ok(bike) = visit.bike() else {
        return Err(Refused::at(field, "There is no bike to put it on. Make one first."));
    };
    if posted.text("bike") != bike.id {
        let text = format!(
            "This form was opened for another bike than {}. Look at the sheet below, then save again.",
            bike.name
        );
        return Err(Refused::at(field, text));
    }
    let standing = Standing::of(state, visit).map_err(|_| Refused::Store(StoreError::Busy))?;
    if posted.text("last").parse() == Ok(standing.last_change(field.name)) {
        return Ok(bike.id.clone());
    }
    let now = standing.entry(field.name).map_or_else(|| "not known".to_owned(), |entry| shown(field, &entry.value));
    let yours = if typed.is_empty() { String::new() } else { format!(", you typed {typed}") };
    let text = format!("Changed meanwhile: it says {now} now{yours}. Send it again to put yours in its place.");
    Err(Refused::at(field, text))
}

fn store(state: &AppState, posted: &Posted, id: &str, change: Change) -> Result<Done, Refused> {
    let field = change.field.clone();
    let done = state.writing().store_mut().set_field(id, change, &posted.at(&state.clock().now()));
    done.map_err(|why| match why {
        // What ties figures stands at the one that was typed: that is the one to put right.
        StoreError::Faults(faults) => {
            let told = faults.iter().map(|fault| sentence(&fault.field, &fault.text)).collect::<Vec<_>>().join(" ");
            Refused::Faults(vec![(field, told)])
        }
        why => Refused::Store(why),
    })
}

/// The form of a figure, and the one that takes it off.
pub(super) fn forms(visit: &Visit, standing: &Standing, field: &'static BikeField, typed: &Typed) -> Markup {
    let open = typed.figure.as_ref().filter(|figure| figure.field.name == field.name);
    let there = standing.entry(field.name);
    let text = open.and_then(|figure| figure.value.clone());
    let text = text.unwrap_or_else(|| there.map(|entry| to_type_over(&entry.value)).unwrap_or_default());
    let source = open.map_or_else(|| source_there(standing, field), |figure| figure.source.clone());
    html! {
        form method="post" action="/bike" data-live=(echo_id(field)) {
            (visit.form_key_of(field.name))
            (hidden(standing, field))
            (input(field, &text, typed.fault(field.name), false))
            (echo_part(field, if open.is_some() { &text } else { "" }))
            (self::source(field, &source))
            (actions(&html! {
                button type="submit" class="button primary" { "Save" span class="unseen" { " " (field.word) } }
            }))
        }
        @if there.is_some() {
            form method="post" action="/bike/off" {
                (visit.form_key_of(&format!("{}-off", field.name)))
                (hidden(standing, field))
                button type="submit" class="button small" { "Take it off the sheet" span class="unseen" { ": " (field.word) } }
            }
        }
    }
}

fn hidden(standing: &Standing, field: &BikeField) -> Markup {
    html! {
        input type="hidden" name="bike" value=(standing.bike.as_ref().map_or("", |bike| &bike.id));
        input type="hidden" name="field" value=(field.name);
        input type="hidden" name="last" value=(standing.last_change(field.name));
    }
}

fn source(of: &BikeField, text: &str) -> Markup {
    let (name, hint) = (
        source_name(of),
        if of.manual { "Document and page: manual, p. 12." } else { "Manual and page, or how you measured it." },
    );
    field(&Field::text(&name, "Who says so").hint(hint).value(text).optional())
}

pub(super) fn input(of: &'static BikeField, text: &str, fault: &str, optional: bool) -> Markup {
    let label = capital(of.word);
    let base = Field { optional, ..Field::text(of.name, &label).hint(of.how_to).value(text).fault(fault) };
    match of.kind {
        Kind::Number(bound) => {
            let keys = Keys::Decimal.unless_negative(bound);
            field(&Field { unit: of.unit, keys, room: Room::Seven, ..base })
        }
        Kind::Whole(_) => field(&Field { keys: Keys::Whole, room: Room::Four, ..base }),
        Kind::Ratio(_) => field(&Field { room: Room::Seven, ..base }),
        Kind::Word(words) => {
            let words = if of.name == "size" { motorcycles_first(words) } else { words.to_vec() };
            let options: Vec<(&str, &str)> =
                std::iter::once(("", "–")).chain(words.into_iter().map(|word| (word, word))).collect();
            select(&base, &options)
        }
        Kind::Flag => select(&base, &[("", "–"), ("yes", "yes"), ("no", "no")]),
        Kind::Curve => long_field(&Field { hint: "One point a line: rpm, then N·m, such as 6000 34.5.", ..base }, 6),
        Kind::Text | Kind::Ratios(_) => field(&base),
    }
}
