//! One step a screen: read first, the figure large, what to do, what is captured, one button.

use advice::bench::figure::{Entered, Missing};
use advice::bench::step::{self as shown, BenchStep, Blank, in_a_row};
use advice::bench::take::{
    Trouble, TypedStep, passes_field, read_field, reason_field, take, untick as take_back, value_field, waive_field,
};
use advice::bench::{Laid, OrderView, of};
use advice::picture::of as shows;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::{NewLines, StoreError};
use upkeep::bike::Fault;
use upkeep::job::bench::{End, What};
use upkeep::record::Fact;

use super::desk::{AtOrder, Held, ToOrder, lay_out, not_written};
use super::typed;
use super::typed::Told;
use crate::frame::drawing::picture;
use crate::frame::field::{Choice, Field, choice, fault_summary, field, tick as box_of};
use crate::frame::notice::{Level, caution, notice, saved};
use crate::frame::number::fixed;
use crate::frame::{Head, Place, actions, details};
use crate::pages::bike::{capital, sentence};
use crate::pages::cautions;
use crate::pages::typed::Typed;
use crate::serve::{Posted, Visit};
use crate::workbench::{Loaded, TypedFigure};

/// What a page of a step shows beside the step.
#[derive(Default)]
struct Extra {
    typed: TypedStep,
    troubles: Vec<Trouble>,
    figure: Vec<(String, String)>,
}

/// `GET /jobs/order/{id}`: the next step, or the one of a number.
pub(super) async fn show(order: AtOrder, asked: Typed) -> Result<Response, Response> {
    let loaded = order.load()?;
    if order.visit.wants("seen") {
        return Ok(order.visit.fragment(seen(&loaded)));
    }
    let laid = lay_out(&loaded, &order.visit)?;
    let number = asked.given("step").and_then(|text| text.parse::<usize>().ok());
    let at = number.map_or(laid.done(), |number| number.saturating_sub(1));
    if at >= laid.sheet.steps.len() || loaded.bench.end() != End::Open {
        return Ok(Redirect::to(&format!("/jobs/order/{}/close", order.id)).into_response());
    }
    let said = said(&laid, asked.given("ticked"), asked.given("was"));
    let read = length_read(&loaded).map(|length| (value_field(LENGTH), length));
    let extra = Extra { typed: typed::step(read.as_slice()), ..Extra::default() };
    Ok(order.visit.show(HEAD, &page(&order.visit, &loaded, &laid, at, &extra, &said)))
}

const HEAD: Head<'static> = Head::new("At the bench", Place::Jobs);
/// The stop point that asks for the chain's length: one figure, where a reading has places, an error and a verdict.
const LENGTH: &str = "wear-reading";
/// The pitches that its limit is told for.
const LENGTH_PITCHES: u32 = 20;

/// The longest place of the length reading taken since the order was begun, over as many pitches as the limit is told for.
fn length_read(loaded: &Loaded) -> Option<String> {
    let since = loaded.log.entries().iter().rev().filter(|entry| entry.at >= loaded.bench.at);
    let reading = since.into_iter().find_map(|entry| match &entry.fact {
        Fact::Elongation(reading) if reading.pitches() == LENGTH_PITCHES => Some(reading),
        _ => None,
    })?;
    let longest = reading.length_mm().iter().flatten().copied().fold(f64::NEG_INFINITY, f64::max);
    longest.is_finite().then(|| fixed(longest, 1))
}

/// The way from a step that asks for the chain's length to the reading, and back.
fn as_reading(view: &OrderView, step: &BenchStep, blank: &Blank) -> Markup {
    html! {
        @if blank.hold == LENGTH {
            p {
                a class="button small" href={ "/drive/measure/elongation?order=" (view.id) "&step=" (step.step.number) } { "Read it at three places, as a reading" }
            }
            p class="soft" { "A reading is judged with its error and stays in the record; its longest place then stands here. Here alone the figure stays with the order." }
        }
    }
}

/// What the last tick did, read off its token.
fn said(laid: &Laid, ticked: Option<&str>, was: Option<&str>) -> Markup {
    let title = |token: &str| laid.sheet.steps.iter().find(|step| step.token == token).map(|step| step.title.clone());
    html! {
        @if let Some(title) = ticked.and_then(title) {
            (saved(&format!("Saved: {title}."), &html! {}))
        } @else if let Some(title) = was.and_then(title) {
            (saved(&format!("Was ticked meanwhile: {title}. Nothing was stored twice."), &html! {}))
        }
    }
}

/// The number of the last line, for a page that looks whether another phone wrote.
fn seen(loaded: &Loaded) -> Markup {
    html! { span id="seen" data-seen=(loaded.bench.last_line()) {} }
}

fn page(visit: &Visit, loaded: &Loaded, laid: &Laid, at: usize, extra: &Extra, said: &Markup) -> Markup {
    let desk = loaded.desk();
    let view = of(&desk, laid);
    let Some(step) = shown::view(&desk, laid, at) else { return html! {} };
    html! {
        (said)
        (fault_summary(&Told(&extra.troubles).list()))
        (seen(loaded))
        p class="bench-line" {
            strong { "Step " (step.step.number) " of " (step.of) }
            " · " a class="in-table" href={ "/jobs/order/" (view.id) "/steps" } { "All steps" }
        }
        h1 { (step.step.title) }
        (banner(&view))
        @if step.done { (done_step(visit, &view, &step, Told(&extra.troubles))) } @else { (open_step(visit, loaded, &view, &step, extra)) }
        (beside(&view))
    }
}

/// That the bike is not rideable, in one line; what is open stands behind "all steps".
fn banner(view: &OrderView) -> Markup {
    html! {
        @if !view.reasons.is_empty() {
            p class="notice" { strong { "Not rideable now" } @if !view.open.is_empty() { ", open: " (view.open.len()) } "." }
        }
    }
}

/// A step that is done: what was captured, and how to take it back.
fn done_step(visit: &Visit, view: &OrderView, step: &BenchStep, told: Told<'_>) -> Markup {
    html! {
        p { "Done." }
        @for blank in &step.blanks {
            @if !blank.answered.is_empty() { p { (blank.prompt) ": " strong { (blank.answered) } } }
        }
        p { (step.step.text) }
        form method="post" action={ "/jobs/order/" (view.id) "/untick" } {
            (visit.form_key_of("untick"))
            input type="hidden" name="step" value=(step.step.token);
            input type="hidden" name="number" value=(step.step.number);
            (field(&Field::text("reason", "Why it counts as not done").hint("The tick and your reason both stay in the record.").fault(told.at("reason"))))
            button type="submit" class="button small" { "Take the tick back" }
        }
        (actions(&html! { a class="button primary" href={ "/jobs/order/" (view.id) } { "On to the next step" } }))
    }
}

fn open_step(visit: &Visit, loaded: &Loaded, view: &OrderView, step: &BenchStep, extra: &Extra) -> Markup {
    let told = Told(&extra.troubles);
    html! {
        @for words in &step.held { (notice(&format!("Tried and stays open: {words}."))) }
        (figures(step))
        @if !step.missing.is_empty() { (missing(visit, view, step, extra)) }
        form method="post" action={ "/jobs/order/" (view.id) "/tick" } data-tick {
            (visit.form_key_of("tick"))
            input type="hidden" name="step" value=(step.step.token);
            input type="hidden" name="number" value=(step.step.number);
            input type="hidden" name="seen" value=(loaded.bench.last_line());
            (read_first(step, extra, told))
            @if !step.step.kit.is_empty() { p class="soft" { "Pick up: " (step.step.kit) } }
            @if !step.step.brief.is_empty() { p { strong { (step.step.brief) } } }
            p class="bench-text" { (step.step.text) }
            (pictures(loaded, step))
            @for line in extra_lines(step) { p { (line) } }
            @for blank in &step.blanks { (blank_of(blank, &extra.typed, told)) (as_reading(view, step, blank)) }
            @if step.cures { (cure(extra, told)) }
            @if !step.out_of_turn.is_empty() { (turn(step, extra, told)) }
            p id="not-saved" class="refusal" hidden { "Not saved: no connection. What you typed is still here. Tap again when it is back; it is stored once." }
            (actions(&html! { button type="submit" class="button primary" { "Done" span class="unseen" { ": " (step.step.title) } } }))
        }
    }
}

/// The pictures that the step names, folded as on the plan; none where the sheet lacks what one shows.
fn pictures(loaded: &Loaded, step: &BenchStep) -> Markup {
    let drawn = step.step.pictures.iter().filter_map(|name| shows(name, &loaded.bike, loaded.desk().setup()));
    html! { @for shown in drawn { (details(&shown.title, &picture(&shown, shown.id))) } }
}

/// Lines of the step's figures that no large figure says: the crossing order, what the manual does not give.
fn extra_lines(step: &BenchStep) -> Vec<&String> {
    let large = |line: &&String| step.big.iter().any(|big| line.starts_with(&format!("{}: {}", big.label, big.value)));
    step.step.figures.iter().filter(|line| !large(line)).collect()
}

fn figures(step: &BenchStep) -> Markup {
    html! {
        @if !step.big.is_empty() {
            div class="figures" {
                @for big in &step.big {
                    div class="figure" {
                        p class="figure-name" { (big.label) }
                        p class="figure-value" { b { (big.value) } @if !big.unit.is_empty() { " " span class="unit" { (big.unit) } } }
                        p class="figure-why" { (big.source) }
                    }
                }
            }
        }
    }
}

/// Stops that must be read, each with its box; the other cautions as they stand.
fn read_first(step: &BenchStep, extra: &Extra, told: Told<'_>) -> Markup {
    let unread = |id: &str| step.unread.iter().any(|known| known.id == id);
    html! {
        @for stop in &step.unread {
            @let name = read_field(&stop.id);
            div class={ "field" @if !told.at(&name).is_empty() { " faulty" } } {
                (cautions::of_step(stop))
                @if !told.at(&name).is_empty() { p class="fault" { (told.at(&name)) } }
                (box_of(&name, "yes", &format!("Read: {}", stop.hazard), extra.typed.read.contains(&stop.id)))
            }
        }
        @for other in step.step.cautions.iter().filter(|other| !unread(&other.id)) { (cautions::of_step(other)) }
    }
}

/// One thing that is captured, under its own number.
pub(super) fn blank_of(blank: &Blank, typed: &TypedStep, told: Told<'_>) -> Markup {
    let empty = Default::default();
    let there = typed::hold(typed, &blank.hold).unwrap_or(&empty);
    let name = value_field(&blank.hold);
    let label = format!("{}. {}", blank.number, blank.prompt);
    let brings = format!("\"No\": {}.", blank.brings);
    let hint = if blank.limit.is_empty() { String::new() } else { format!("To be: {}.", blank.limit) };
    let reason = reason_field(&blank.hold);
    let passes = passes_field(&blank.hold);
    let ask_reason = !told.at(&reason).is_empty() || !there.reason.is_empty();
    html! {
        @match blank.kind {
            "yes-no" => (choice(&Choice { name: &name, legend: &label, hint: "", options: &[("yes", "Yes", ""), ("no", "No", &brings)], chosen: &there.value, fault: told.at(&name) })),
            "choice" => {
                @let answers: Vec<(&str, &str, &str)> = blank.choices.iter().map(|one| (one.as_str(), one.as_str(), "")).chain([("none", "None of these", brings.as_str())]).collect();
                (choice(&Choice { name: &name, legend: &label, hint: "", options: &answers, chosen: &there.value, fault: told.at(&name) }))
            },
            _ => {
                (field(&Field::decimal(&name, &label, &blank.unit).hint(&hint).value(&there.value).fault(told.at(&name))))
                @if blank.asks_whether {
                    (choice(&Choice { name: &passes, legend: "Does it pass?", hint: "", options: &[("yes", "Yes", ""), ("no", "No", &brings)], chosen: &there.passes, fault: told.at(&passes) }))
                }
            }
        }
        @if !blank.why.is_empty() { (details("Why", &html! { p { (blank.why) } })) }
        @if blank.kind == "number" || blank.severity != "safety" {
            @if ask_reason {
                (field(&Field::text(&reason, "Reason").value(&there.reason).fault(told.at(&reason))))
            } @else {
                (details("It is right although it is off, or is let go", &html! {
                    (field(&Field::text(&reason, "Reason").value(&there.reason).optional()))
                    @if blank.severity != "safety" { (box_of(&waive_field(&blank.hold), "yes", "Let it go with this reason", there.waived)) }
                }))
            }
        }
    }
}

fn cure(extra: &Extra, told: Told<'_>) -> Markup {
    let hint = "Only if threadlocker was used: hours until full cure, off its own label.";
    let one = Field::decimal("cure_h", "Threadlocker cures", "h").hint(hint).value(&extra.typed.cure_h);
    field(&one.fault(told.at("cure_h")).optional())
}

fn turn(step: &BenchStep, extra: &Extra, told: Told<'_>) -> Markup {
    html! {
        (notice(&format!("Out of turn: {}.", in_a_row(&step.out_of_turn))))
        (field(&Field::text("reason", "Why go on all the same").value(&extra.typed.reason).fault(told.at("reason"))))
    }
}

/// Figures of the manual that the step waits for, each with its own form.
fn missing(visit: &Visit, view: &OrderView, step: &BenchStep, extra: &Extra) -> Markup {
    let there = |name: &str| extra.figure.iter().find(|(known, _)| known == name).map_or("", |(_, text)| text.as_str());
    let told = Told(&extra.troubles);
    let entry = |entry: &Entered| {
        let label = capital(&entry.label);
        if entry.unit.is_empty() {
            field(&Field::text(&entry.name, &label).value(there(&entry.name)).fault(told.at(&entry.name)))
        } else {
            field(
                &Field::decimal(&entry.name, &label, &entry.unit).value(there(&entry.name)).fault(told.at(&entry.name)),
            )
        }
    };
    html! {
        @for one in &step.missing {
            (caution(Level::Stop, &format!("the manual's figure is missing: {}. Nothing stands in for it.", one.text)))
            form method="post" action={ "/jobs/order/" (view.id) "/figure" } {
                (visit.form_key_of(&format!("figure-{}", one.figure)))
                input type="hidden" name="figure" value=(one.figure);
                input type="hidden" name="number" value=(step.step.number);
                @for asked in &one.entries { (entry(asked)) }
                @if has_band(one) { (field(&Field::decimal("value_to", "Up to, where the manual gives a range", &one.entries[0].unit).value(there("value_to")).fault(told.at("value_to")).optional())) }
                (field(&Field::text("source", "Document and page").hint("Such as: manual, p. 12.").value(there("source")).fault(told.at("source"))))
                button type="submit" class="button" { "Save the manual's figure" }
            }
        }
    }
}

fn has_band(missing: &Missing) -> bool {
    matches!(missing.entries.as_slice(), [one] if !one.on_sheet && !one.unit.is_empty())
}

/// The clock, the running list, and the ways aside; folded, for hands are dirty.
fn beside(view: &OrderView) -> Markup {
    html! {
        p class="soft" data-awake { "Set your screen to stay on while you work." }
        (details("When is it done, where to stop", &html! {
            ul class="list" { @for line in view.clock.lines() { li { (line) } } }
        }))
        p { a class="button small" href={ "/jobs/order/" (view.id) "/steps" } { "All steps, what is open, stop for today" } }
    }
}

/// `POST …/tick`.
pub(super) async fn tick(to: ToOrder) -> Response {
    to.once(ticked).await
}

fn ticked(held: Held<'_>) -> Result<Response, Response> {
    let (visit, posted) = (held.visit(), held.posted());
    let typed = typed::step(posted.fields());
    let seen = posted.text("seen").parse().unwrap_or(i64::MAX);
    if held.loaded.ticked_since(&typed.step, seen) {
        return Ok(held.lead(&format!("?was={}", typed.step)));
    }
    let laid = held.lay_out()?;
    match take(&held.loaded.desk(), &laid, &typed) {
        Ok(what) => {
            // A try that does not pass is kept, but nothing is done: the step itself says why it stays open.
            let stays = what.iter().any(|line| matches!(line, What::Held { .. }));
            let steps = laid.sheet.steps.iter().skip(laid.done());
            let at = steps.into_iter().position(|step| step.token == typed.step).unwrap_or_default();
            let then =
                if stays { format!("?step={}", laid.done() + at + 1) } else { format!("?ticked={}", typed.step) };
            held.write(NewLines { what, ..NewLines::default() }, &then)
        }
        Err(troubles) => {
            let at = laid.sheet.steps.iter().skip(laid.done()).position(|step| step.token == typed.step);
            let at = at.map_or(laid.done(), |at| laid.done() + at);
            let extra = Extra { typed, troubles, ..Extra::default() };
            Ok(visit.show_faults(HEAD, &page(visit, &held.let_go(), &laid, at, &extra, &html! {})))
        }
    }
}

/// `POST …/untick`.
pub(super) async fn untick(to: ToOrder) -> Response {
    to.once(unticked).await
}

fn unticked(held: Held<'_>) -> Result<Response, Response> {
    let (visit, posted) = (held.visit(), held.posted());
    match take_back(&held.loaded.desk(), posted.text("step"), posted.text("reason")) {
        Ok(what) => held.write(NewLines { what, ..NewLines::default() }, ""),
        Err(troubles) => again(visit, held, &Extra { troubles, ..Extra::default() }),
    }
}

/// The step that was looked at, with what is wrong.
fn again(visit: &Visit, held: Held<'_>, extra: &Extra) -> Result<Response, Response> {
    let (laid, number) = (held.lay_out()?, number_of(held.posted()));
    Ok(visit.show_faults(HEAD, &page(visit, &held.let_go(), &laid, number - 1, extra, &html! {})))
}

/// The number, from 1, of the step that a form was sent from.
fn number_of(posted: &Posted) -> usize {
    posted.text("number").parse().unwrap_or(1).max(1)
}

/// `POST …/figure`: the manual's figure, on the sheet where it has a field for it.
pub(super) async fn figure(to: ToOrder) -> Response {
    to.once(figured).await
}

fn figured(mut held: Held<'_>) -> Result<Response, Response> {
    let (visit, posted, post) = (held.visit(), held.posted(), held.post());
    match TypedFigure::read(posted.text("figure"), |name| posted.text(name).to_owned()) {
        Ok(figure) => {
            let bike = held.loaded.bike.id.clone();
            match figure.keep(held.garage(), &bike, &post) {
                Ok(_) => Ok(held.lead(&format!("?step={}", number_of(posted)))),
                // What the sheet itself does not take is told at its field, and what was typed stands there.
                Err(StoreError::Faults(faults)) => {
                    let trouble = |fault: &Fault| Trouble {
                        field: fault.field.clone(),
                        text: sentence(&fault.field, &fault.text),
                    };
                    let troubles = faults.iter().map(trouble).collect();
                    again(visit, held, &Extra { troubles, figure: posted.fields().to_vec(), ..Extra::default() })
                }
                Err(why) => Err(not_written(why).into()),
            }
        }
        Err(troubles) => again(visit, held, &Extra { troubles, figure: posted.fields().to_vec(), ..Extra::default() }),
    }
}
