//! The page of the sheet: section by section what is known with its source, what is not known with how to get it.

use maud::{Markup, html};
use upkeep::bike::{Bike, BikeField, Entry, FIELDS, Section};

use super::past::Said;
use super::standing::Standing;
use super::words::{capital, shown};
use super::{Typed, bikes, figure, file, first, past, removal};
use crate::frame::details;
use crate::frame::field::{Fault, fault_summary};
use crate::frame::notice::notice;
use crate::serve::Visit;

/// The whole page.
pub(super) fn page(visit: &Visit, standing: &Standing, typed: &Typed, said: Option<&Said>) -> Markup {
    let faults: Vec<Fault<'_>> = typed.faults.iter().map(|(field, text)| Fault { field, text }).collect();
    let on_top = said.filter(|said| said.row.is_none());
    html! {
        (fault_summary(&faults))
        @if let Some(said) = on_top { (past::line(visit, said)) }
        @match &standing.bike {
            Some(bike) => {
                (head(bike))
                @for section in Section::ALL { (part(visit, standing, section, typed, said)) }
                (bikes::choosing(visit, standing))
                (file::forms(visit, standing, typed))
                (bikes::making(visit, standing, typed))
                (removal::off(visit, standing))
                (past::list(visit, standing))
            },
            None => {
                h1 { "No bike yet" }
                p { "Begin with a name and put figures on its sheet one by one, or bring in a bike's file." }
                (bikes::making(visit, standing, typed))
                (removal::off(visit, standing))
                (file::forms(visit, standing, typed))
            },
        }
    }
}

fn head(bike: &Bike) -> Markup {
    let known = bike.entries().count();
    html! {
        h1 { (bike.name) }
        @if bike.invented { (notice("the figures of this bike are invented, to look around with. Never set a real bike by them.")) }
        p { (known) " of " (FIELDS.len()) " figures are known. Every answer names the ones it needs and lacks; nothing is assumed in their place." }
        @if first::lacks(bike) {
            p { a class="button primary" href="/bike/first" { "Put the first figures on" } }
        }
        ul class="jump" {
            @for section in Section::ALL { li { a href={ "#section-" (section.word()) } { (section.title()) } } }
            li { a href="#bikes" { "Bikes and files" } }
            li { a href="#past" { "What was changed" } }
        }
    }
}

fn part(visit: &Visit, standing: &Standing, section: Section, typed: &Typed, said: Option<&Said>) -> Markup {
    // What is asked for, or was just changed, stands in sight, known or not; the rest of what is not known stays folded.
    let in_sight = |field: &&'static BikeField| {
        standing.entry(field.name).is_some() || is_open(field, typed) || is_said(field, said)
    };
    let (known, missing): (Vec<&'static BikeField>, Vec<&'static BikeField>) =
        FIELDS.iter().filter(|field| field.section == section).partition(in_sight);
    let one = |field: &'static BikeField| row(visit, standing, field, typed, said);
    let summary = format!("Not known yet: {}", missing.len());
    html! {
        section id={ "section-" (section.word()) } {
            h2 { (section.title()) }
            @if known.is_empty() { p class="soft" { "Nothing is known here yet." } }
            ul class="sheet" { @for field in &known { (one(field)) } }
            @if !missing.is_empty() {
                @let inside = html! { ul class="sheet" { @for field in &missing { (one(field)) } } };
                (details(&summary, &inside))
            }
        }
    }
}

fn is_open(field: &BikeField, typed: &Typed) -> bool {
    typed.figure.as_ref().is_some_and(|figure| figure.field.name == field.name)
}

fn is_said(field: &BikeField, said: Option<&Said>) -> bool {
    said.is_some_and(|said| said.row == Some(field.name))
}

/// One figure: what it is, its value and who says so, or how to find it; the line leads to its form. One form stands on the
/// page at a time: a sheet of forms would be six times as long, on every look at it.
fn row(visit: &Visit, standing: &Standing, field: &'static BikeField, typed: &Typed, said: Option<&Said>) -> Markup {
    let there = standing.entry(field.name);
    html! {
        li id={ "row-" (field.name) } {
            @if is_said(field, said) { @if let Some(said) = said { (past::line(visit, said)) } }
            @if is_open(field, typed) {
                details open {
                    summary class="sheet-line" { (line(field, there)) }
                    div class="sheet-form" {
                        p { (field.hint) }
                        (figure::forms(visit, standing, field, typed))
                    }
                }
            } @else {
                a class="sheet-line" href={ "/bike?field=" (field.name) "#row-" (field.name) } { (line(field, there)) }
                @if there.is_none() { p class="soft" { (field.hint) " " (field.how_to) } }
            }
        }
    }
}

fn line(field: &'static BikeField, there: Option<&Entry>) -> Markup {
    html! {
        span class="sheet-name" { (capital(field.word)) }
        @match there {
            Some(entry) => { b { (shown(field, &entry.value)) } (source(field, entry)) },
            None => b { "not known" },
        }
        span class="sheet-act" { @if there.is_some() { "Change" } @else { "Put it on" } }
    }
}

/// Who says so; that nobody does is told where it matters, at a figure of the manual.
fn source(field: &BikeField, entry: &Entry) -> Markup {
    html! {
        @match &entry.source {
            Some(source) => span class="soft" { "(" (source) ")" },
            None => @if field.manual { span class="soft" { "(no page given)" } },
        }
    }
}
