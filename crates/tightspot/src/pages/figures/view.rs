//! The pages of the figures.

use advice::words::count;
use figures::{Answer, Field as Given, Figure, Kind, Need};
use maud::{Markup, html};
use serde_json::Value;

use super::form::Asked;
use crate::api::describe::bound;
use crate::frame::field::{Fault, Field, Keys, Room, asking_faults, field, long_field, select};
use crate::frame::figure::source_line;
use crate::frame::notice::notice;
use crate::frame::number::short;
use crate::frame::table::{Column, Row, table};
use crate::frame::{actions, details, live_part};

/// The part with the answer.
pub(super) const ANSWER: &str = "answer";

/// All figures, domain by domain.
pub(super) fn list() -> Markup {
    let all: Vec<&Figure> = figures::all().collect();
    html! {
        h1 { "Every figure and its source" }
        p { "Whatever a page says in numbers comes from one of these " (all.len()) " figures. Each names what it takes, how it is computed and who says so." }
        @for domain in all.chunk_by(|one, other| domain(one) == domain(other)) {
            @let name = domain.first().map_or("", |figure| self::domain(figure));
            (details(&format!("{name}: {}", count(domain.len(), "figure")), &html! {
                ul class="list" {
                    @for figure in domain {
                        li { a href={ "/figures/" (figure.name) } { (figure.name) } p { (figure.says) } }
                    }
                }
            }))
        }
    }
}

fn domain(figure: &Figure) -> &'static str {
    figure.name.split('.').next().unwrap_or_default()
}

/// One figure with its form.
pub(super) fn page(figure: &'static Figure, asked: &Asked) -> Markup {
    let faults: Vec<Fault<'_>> =
        asked.faults.iter().map(|fault| Fault { field: &fault.field, text: &fault.text }).collect();
    html! {
        h1 { (figure.name) }
        p { (figure.says) }
        (asking_faults(&faults))
        div class="beside" {
            form method="get" action={ "/figures/" (figure.name) } data-live=(ANSWER) {
                div class="form-grid" { @for one in figure.given { (input(one, asked)) } }
                input type="hidden" name="ask" value="1";
                (actions(&html! { button type="submit" class="button primary" { "Ask" } }))
            }
            div { (answer(figure, asked)) }
        }
        (details("How it is computed, and who says so", &origin(figure)))
        (details("What it answers", &answers(figure)))
        (details("What it takes, for programs", &takes(figure)))
    }
}

/// The answer part: nothing asked yet, refused, or the values.
pub(super) fn answer(figure: &'static Figure, asked: &Asked) -> Markup {
    let unfinished = asked.faults.iter().any(|fault| fault.missing);
    let said = match (&asked.answer, asked.faults.first()) {
        (Some(_), _) => "Answer renewed.",
        (None, Some(fault)) if !unfinished => fault.text.as_str(),
        _ => "",
    };
    let inside = html! {
        h2 { "Answer" }
        @match &asked.answer {
            Some(answer) => (values(figure, answer, asked)),
            // Somebody may still be typing: what is missing is told at the fields once it is sent.
            None if unfinished || asked.faults.is_empty() => { p class="soft" { "Fill in the fields and ask." } },
            None => { @for fault in &asked.faults { p class="fault" { (fault.text) } } },
        }
    };
    live_part(ANSWER, said, &inside)
}

fn values(figure: &'static Figure, answer: &Answer, asked: &Asked) -> Markup {
    let means = |name: &str| figure.answer.iter().find(|(known, _)| *known == name).map_or("", |(_, means)| *means);
    html! {
        @for (name, echo) in &asked.echoes { p class="soft" { (name) " " (echo) } }
        @for one in &answer.notices { (notice(&one.text)) }
        dl class="answers" {
            @for (name, value) in answer.values() {
                dt { (name) @if !means(name).is_empty() { span class="soft" { " – " (means(name)) } } }
                dd { (shown(value)) }
            }
        }
        (details("In full precision", &html! {
            pre tabindex="0" { (serde_json::to_string_pretty(answer.values()).unwrap_or_default()) }
            p { "The same over HTTP: " code { "POST /api/v1/figures/" (figure.name) } " with" }
            pre tabindex="0" { (serde_json::to_string_pretty(&asked.given).unwrap_or_default()) }
        }))
    }
}

fn shown(value: &Value) -> Markup {
    match value {
        Value::Null => html! { "no such value" },
        Value::Bool(flag) => html! { (if *flag { "yes" } else { "no" }) },
        Value::Number(number) => html! { b { (number.as_f64().map(short).unwrap_or_default()) } },
        Value::String(text) => html! { b { (text) } },
        Value::Array(items) if items.iter().all(Value::is_number) => {
            let items: Vec<String> = items.iter().filter_map(Value::as_f64).map(short).collect();
            html! { (items.join(", ")) }
        }
        nested => html! { pre tabindex="0" { (serde_json::to_string_pretty(nested).unwrap_or_default()) } },
    }
}

fn input(one: &'static Given, asked: &Asked) -> Markup {
    let (label, hint) = (label(one), hint(one));
    let optional = one.need != Need::Required;
    let text = Field { optional, ..Field::text(one.name, &label) };
    let text = text.hint(&hint).value(asked.text(one.name)).fault(asked.fault(one.name));
    let unit = bound(&one.kind).map_or("", |bound| bound.unit);
    match one.kind {
        Kind::Number(bound) => {
            field(&Field { unit, keys: Keys::Decimal.unless_negative(bound), room: Room::Seven, ..text })
        }
        Kind::Whole(bound) => field(&Field { keys: Keys::Whole.unless_negative(bound), room: Room::Seven, ..text }),
        Kind::Word(words) => {
            let options: Vec<(&str, &str)> =
                std::iter::once(("", "–")).chain(words.iter().map(|word| (*word, *word))).collect();
            select(&text, &options)
        }
        Kind::Flag => select(&text, &[("", "–"), ("true", "yes"), ("false", "no")]),
        Kind::Numbers(_) | Kind::NumbersOrNull(_) => field(&Field { unit, ..text }),
        Kind::Text | Kind::Nested | Kind::Any | Kind::Object(_) => long_field(&text, 3),
    }
}

/// The name in words; its unit stands beside the field.
fn label(one: &Given) -> String {
    let has_unit = bound(&one.kind).is_some_and(|bound| !bound.unit.is_empty());
    let bare = one.name.rsplit_once('_').map(|(bare, _)| bare).filter(|_| has_unit);
    bare.unwrap_or(one.name).replace('_', " ")
}

/// Meaning, range and default in short sentences.
fn hint(one: &Given) -> String {
    let mut parts = Vec::new();
    if !one.meaning.is_empty() {
        parts.push(one.meaning.to_owned());
    }
    if let Some(bound) = bound(&one.kind) {
        parts.push(bound.range());
    }
    match one.kind {
        Kind::Numbers(_) => parts.push("several, with blanks between them".to_owned()),
        Kind::NumbersOrNull(_) => parts.push("several, with blanks between them, - for a missing one".to_owned()),
        Kind::Nested | Kind::Object(_) => parts.push("as JSON".to_owned()),
        _ => {}
    }
    if let Need::Optional(default) = one.need {
        parts.push(format!("left out: {default}"));
    }
    parts.join("; ")
}

fn origin(figure: &Figure) -> Markup {
    html! {
        p { code { (figure.formula) } }
        ul { @for id in figure.sources { li { (source_line(id)) } } }
    }
}

fn answers(figure: &Figure) -> Markup {
    let rows: Vec<Row> =
        figure.answer.iter().map(|(name, means)| Row::of([html! { code { (name) } }, html! { (means) }])).collect();
    table("answers", "Fields of the answer", &[Column::words("Field"), Column::words("Meaning")], &rows)
}

fn takes(figure: &Figure) -> Markup {
    let columns = [Column::words("Field"), Column::words("Takes"), Column::words("Left out")];
    let rows: Vec<Row> = figure
        .given
        .iter()
        .map(|one| {
            let left_out = match one.need {
                Need::Required => "must be given",
                Need::Optional(default) => default,
            };
            let kind = match one.kind {
                Kind::Word(words) => words.join(", "),
                Kind::Flag => "true or false".to_owned(),
                Kind::Whole(bound) => format!("whole, {}", bound.range()),
                _ => bound(&one.kind).map_or_else(|| "as JSON or text".to_owned(), measure::Bound::range),
            };
            Row::of([html! { code { (one.name) } }, html! { (kind) }, html! { (left_out) }])
        })
        .collect();
    table("takes", "Fields given", &columns, &rows)
}
