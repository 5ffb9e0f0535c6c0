//! Inputs: label above, hint under it, unit beside it, fault in words; numbers are text with a number pad.

use maud::{Markup, html};
use measure::{Bound, Edge, shown};

use crate::serve::{UNIT_OF, is_bare};

/// Which keys a phone shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Keys {
    /// Letters.
    Text,
    /// Digits only.
    Whole,
    /// Digits with a decimal mark.
    Decimal,
    /// A number that may be negative: the full keyboard, for some pads lack a minus.
    Signed,
}

impl Keys {
    /// The keys for a number of a bound: these, unless it may be negative.
    pub(crate) const fn unless_negative(self, bound: &Bound) -> Self {
        match bound.low {
            Edge::At(low) | Edge::Beyond(low) if low >= 0.0 => self,
            _ => Self::Signed,
        }
    }
}

/// How much room an answer needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Room {
    /// Four characters.
    Four,
    /// Seven characters.
    Seven,
    /// Twelve characters.
    Twelve,
    /// The whole line.
    Line,
}

/// One text field.
pub(crate) struct Field<'a> {
    /// Its name in the form; its id on the page too.
    pub(crate) name: &'a str,
    /// What is asked.
    pub(crate) label: &'a str,
    /// At most two short sentences.
    pub(crate) hint: &'a str,
    /// The unit, shown beside the field and read with the label.
    pub(crate) unit: &'a str,
    /// The text as typed.
    pub(crate) value: &'a str,
    /// What is wrong with it; empty if nothing.
    pub(crate) fault: &'a str,
    /// Which keys are wanted.
    pub(crate) keys: Keys,
    /// How much room.
    pub(crate) room: Room,
    /// Whether it may stay empty.
    pub(crate) optional: bool,
}

impl<'a> Field<'a> {
    /// A field that asks for text, with nothing typed yet.
    pub(crate) const fn text(name: &'a str, label: &'a str) -> Self {
        let (keys, room) = (Keys::Text, Room::Line);
        Self { name, label, hint: "", unit: "", value: "", fault: "", keys, room, optional: false }
    }

    /// A field that asks for a number with decimals.
    pub(crate) const fn decimal(name: &'a str, label: &'a str, unit: &'a str) -> Self {
        Self { unit, keys: Keys::Decimal, room: Room::Seven, ..Self::text(name, label) }
    }

    /// A field that asks for a whole number.
    pub(crate) const fn whole(name: &'a str, label: &'a str, unit: &'a str) -> Self {
        Self { unit, keys: Keys::Whole, room: Room::Four, ..Self::text(name, label) }
    }

    /// The same field with a hint.
    pub(crate) const fn hint(self, hint: &'a str) -> Self {
        Self { hint, ..self }
    }

    /// The same field with what was typed.
    pub(crate) const fn value(self, value: &'a str) -> Self {
        Self { value, ..self }
    }

    /// The same field with what is wrong.
    pub(crate) const fn fault(self, fault: &'a str) -> Self {
        Self { fault, ..self }
    }

    /// The same field, which may stay empty.
    pub(crate) const fn optional(self) -> Self {
        Self { optional: true, ..self }
    }
}

/// A text field with everything around it.
pub(crate) fn field(field: &Field<'_>) -> Markup {
    let said_by = described_by(field.name, field.hint, field.fault);
    let unit = shown::unit(field.unit);
    let value = in_field(field.value, field.unit);
    html! {
        div class={ "field" @if !field.fault.is_empty() { " faulty" } } {
            label for=(field.name) {
                (field.label)
                @if !field.unit.is_empty() { span class="unseen" { ", in " (spoken(unit)) } }
                @if field.optional { span class="optional" { " (optional)" } }
            }
            (hint_and_fault(field.name, field.hint, field.fault))
            div class="entry" {
                input id=(field.name) name=(field.name) type="text" value=(value) autocomplete="off"
                    class=(room(field.room)) inputmode=[inputmode(field.keys)]
                    aria-describedby=[said_by] aria-invalid=[(!field.fault.is_empty()).then_some("true")];
                @if !field.unit.is_empty() { span class="unit" aria-hidden="true" { (unit) } }
                @if unit != field.unit { input type="hidden" name={ (UNIT_OF) (field.name) } value=(unit); }
            }
        }
    }
}

/// The text of a field as it stands beside the unit shown: a number of that unit alone, any other with its own unit.
fn in_field(value: &str, kept: &str) -> String {
    let unit = shown::unit(kept);
    if unit == kept {
        return value.to_owned();
    }
    match value.strip_suffix(unit).map(str::trim_end) {
        Some(number) if is_bare(number) => number.to_owned(),
        _ if is_bare(value) => format!("{value} {kept}"),
        _ => value.to_owned(),
    }
}

/// A unit as it is read out.
fn spoken(unit: &str) -> &str {
    if unit == "in" { "inches" } else { unit }
}

/// A field whose text nobody should see; `filled` tells a password manager what belongs there.
pub(crate) fn secret_field(field: &Field<'_>, filled: &str) -> Markup {
    let said_by = described_by(field.name, field.hint, field.fault);
    html! {
        div class={ "field" @if !field.fault.is_empty() { " faulty" } } {
            label for=(field.name) { (field.label) }
            (hint_and_fault(field.name, field.hint, field.fault))
            div class="entry" {
                input id=(field.name) name=(field.name) type="password" class=(room(Room::Line)) autocomplete=(filled)
                    autocapitalize="none" spellcheck="false"
                    aria-describedby=[said_by] aria-invalid=[(!field.fault.is_empty()).then_some("true")];
            }
        }
    }
}

/// A longer text.
pub(crate) fn long_field(field: &Field<'_>, lines: u32) -> Markup {
    let said_by = described_by(field.name, field.hint, field.fault);
    html! {
        div class={ "field" @if !field.fault.is_empty() { " faulty" } } {
            label for=(field.name) {
                (field.label)
                @if field.optional { span class="optional" { " (optional)" } }
            }
            (hint_and_fault(field.name, field.hint, field.fault))
            textarea id=(field.name) name=(field.name) rows=(lines) class="line" spellcheck="false"
                aria-describedby=[said_by] aria-invalid=[(!field.fault.is_empty()).then_some("true")] {
                // A line break right after the tag is swallowed by the reader of HTML: one is given away.
                "\n" (field.value)
            }
        }
    }
}

/// One of a few: radio buttons, each a full line under the thumb.
pub(crate) struct Choice<'a> {
    /// Its name in the form.
    pub(crate) name: &'a str,
    /// What is asked.
    pub(crate) legend: &'a str,
    /// At most two short sentences.
    pub(crate) hint: &'a str,
    /// Value, words, and a second line that may be empty.
    pub(crate) options: &'a [(&'a str, &'a str, &'a str)],
    /// The value chosen.
    pub(crate) chosen: &'a str,
    /// What is wrong; empty if nothing.
    pub(crate) fault: &'a str,
}

/// Radio buttons with their question.
pub(crate) fn choice(choice: &Choice<'_>) -> Markup {
    let said_by = described_by(choice.name, choice.hint, choice.fault);
    // Yes and no stand side by side: half a line is wide enough for a thumb.
    let two = choice.options.len() == 2 && choice.options.iter().all(|(_, words, _)| words.len() <= 3);
    html! {
        fieldset class={ "field" @if !choice.fault.is_empty() { " faulty" } @if two { " two" } } aria-describedby=[said_by] {
            legend { (choice.legend) }
            (hint_and_fault(choice.name, choice.hint, choice.fault))
            @for (place, (value, words, more)) in choice.options.iter().enumerate() {
                // The first one carries the field's own name, so that the list of faults can lead to it.
                @let id = if place == 0 { choice.name.to_owned() } else { format!("{}-{value}", choice.name) };
                div class="option" {
                    input id=(id) type="radio" name=(choice.name) value=(value) checked[*value == choice.chosen]
                        aria-describedby=[(!more.is_empty()).then(|| format!("{id}-more"))];
                    label for=(id) { (words) }
                    @if !more.is_empty() { p id={ (id) "-more" } class="option-more" { (more) } }
                }
            }
        }
    }
}

/// One of many, from a list that unfolds. The first option is what holds if nothing is chosen.
pub(crate) fn select(field: &Field<'_>, options: &[(&str, &str)]) -> Markup {
    let said_by = described_by(field.name, field.hint, field.fault);
    html! {
        div class={ "field" @if !field.fault.is_empty() { " faulty" } } {
            label for=(field.name) {
                (field.label)
                @if field.optional { span class="optional" { " (optional)" } }
            }
            (hint_and_fault(field.name, field.hint, field.fault))
            select id=(field.name) name=(field.name) aria-describedby=[said_by]
                aria-invalid=[(!field.fault.is_empty()).then_some("true")] {
                @for (value, words) in options { option value=(value) selected[*value == field.value] { (words) } }
            }
        }
    }
}

/// A tick box that is a full line under the thumb.
pub(crate) fn tick(name: &str, value: &str, label: &str, ticked: bool) -> Markup {
    html! {
        div class="option" {
            input id=(name) type="checkbox" name=(name) value=(value) checked[ticked];
            label for=(name) { (label) }
        }
    }
}

/// One fault of a form: the field's id and the sentence, the same as at the field.
pub(crate) struct Fault<'a> {
    /// The field.
    pub(crate) field: &'a str,
    /// What is wrong and how to put it right.
    pub(crate) text: &'a str,
}

/// All faults above a form that stores; the script and `autofocus` bring a person there.
pub(crate) fn fault_summary(faults: &[Fault<'_>]) -> Markup {
    fault_list("Not saved yet", faults)
}

/// All faults above a form that asks.
pub(crate) fn asking_faults(faults: &[Fault<'_>]) -> Markup {
    fault_list("Not answered yet", faults)
}

fn fault_list(heading: &str, faults: &[Fault<'_>]) -> Markup {
    html! {
        @if !faults.is_empty() {
            div class="fault-summary" role="alert" tabindex="-1" autofocus {
                h2 { (super::verdict::shape(super::verdict::Verdict::Stop)) (heading) }
                ul { @for fault in faults { li { a href={ "#" (fault.field) } { (fault.text) } } } }
            }
        }
    }
}

fn hint_and_fault(name: &str, hint: &str, fault: &str) -> Markup {
    html! {
        @if !hint.is_empty() { p class="hint" id={ (name) "-hint" } { (hint) } }
        @if !fault.is_empty() {
            p class="fault" id={ (name) "-fault" } { span class="unseen" { "Error: " } (fault) }
        }
    }
}

fn described_by(name: &str, hint: &str, fault: &str) -> Option<String> {
    match (hint.is_empty(), fault.is_empty()) {
        (true, true) => None,
        (false, true) => Some(format!("{name}-hint")),
        (true, false) => Some(format!("{name}-fault")),
        (false, false) => Some(format!("{name}-hint {name}-fault")),
    }
}

const fn inputmode(keys: Keys) -> Option<&'static str> {
    match keys {
        Keys::Whole => Some("numeric"),
        Keys::Decimal => Some("decimal"),
        Keys::Text | Keys::Signed => None,
    }
}

const fn room(room: Room) -> &'static str {
    match room {
        Room::Four => "four",
        Room::Seven => "seven",
        Room::Twelve => "twelve",
        Room::Line => "line",
    }
}
