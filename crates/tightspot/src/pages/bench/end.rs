//! The end of an order: every figure captured, closing with the open safety steps by name, giving up, opening again.

use advice::bench::close::{self, Closing, FittedPart};
use advice::bench::step::blanks;
use advice::bench::{Laid, of};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use measure::bounds::record as bounds;
use store::{NewEntry, NewLines};
use upkeep::bike::Fault as SheetFault;
use upkeep::job::bench::{End, What};
use upkeep::record::{Fact, Meter, Part};

use super::desk::{AtOrder, Held, ToOrder, lay_out, not_written};
use crate::asked::Door;
use crate::frame::field::{Fault as FieldFault, Field, Room, fault_summary, field};
use crate::frame::notice::notice;
use crate::frame::{Head, Place, actions};
use crate::serve::{Fault, Posted, Visit};
use crate::workbench::Loaded;

const HEAD: Head<'static> = Head::new("Close the order", Place::Jobs);

/// `GET …/figures`.
pub(super) async fn figures(at: AtOrder) -> Result<Response, Response> {
    let loaded = at.load()?;
    let laid = lay_out(&loaded, &at.visit)?;
    let main = html! {
        h1 { "Figures of order " (at.id) }
        p { "Numbered as on the printed sheet." }
        (captured(&loaded, &laid))
        (actions(&html! {
            @if loaded.bench.end() == End::Open { a class="button primary" href={ "/jobs/order/" (at.id) "/close" } { "On to closing" } }
            @else { a class="button primary" href="/" { "Can I ride?" } }
        }))
    };
    Ok(at.visit.show(Head::new("Figures of a work order", Place::Jobs), &main))
}

/// Every blank with what it is held against and what was captured, numbered as on paper.
fn captured(loaded: &Loaded, laid: &Laid) -> Markup {
    let desk = loaded.desk();
    let all = laid.sheet.steps.iter().flat_map(|step| blanks(&desk, step));
    html! {
        ul class="list" {
            @for blank in all {
                li {
                    p { strong { (blank.number) ". " } (blank.prompt) }
                    @if !blank.limit.is_empty() { p class="soft" { "To be: " (blank.limit) } }
                    p { @if blank.answered.is_empty() { "Open" } @else { strong { (blank.answered) } } }
                }
            }
        }
    }
}

/// `GET …/close`.
pub(super) async fn show(at: AtOrder) -> Result<Response, Response> {
    let loaded = at.load()?;
    let laid = lay_out(&loaded, &at.visit)?;
    Ok(at.visit.show(HEAD, &page(&at.visit, &loaded, &laid, &[], &[])))
}

fn page(
    visit: &Visit,
    loaded: &Loaded,
    laid: &Laid,
    typed: &[(String, String)],
    faults: &[(String, String)],
) -> Markup {
    let desk = loaded.desk();
    let closing = close::view(&desk, laid);
    let view = of(&desk, laid);
    let shown: Vec<FieldFault<'_>> = faults.iter().map(|(name, text)| FieldFault { field: name, text }).collect();
    html! {
        (fault_summary(&shown))
        h1 { @if loaded.bench.end() == End::Open { "Close order " (view.id) } @else { "Order " (view.id) " is " (view.end) } }
        @if loaded.bench.end() != End::Open { (ended(visit, loaded, &closing)) }
        @else if closing.may() { (closable(visit, loaded, &closing, &view.confirmed, typed, faults)) }
        @else { (refused(view.id, &closing)) }
    }
}

/// What stands against closing, by name.
fn refused(id: i64, closing: &Closing) -> Markup {
    html! {
        p class="refusal" { "Not closed: the bike is not rideable while these are open." }
        @if !closing.safety.is_empty() {
            h2 { "Safety hangs on these" }
            ul class="list" { @for one in &closing.safety { li { (one) } } }
        }
        @if !closing.other.is_empty() {
            h2 { "Open as well" }
            ul class="list" { @for one in &closing.other { li { (one) } } }
        }
        (actions(&html! { a class="button primary" href={ "/jobs/order/" (id) } { "On to the next step" } }))
    }
}

fn closable(
    visit: &Visit,
    loaded: &Loaded,
    closing: &Closing,
    confirmed: &[String],
    typed: &[(String, String)],
    faults: &[(String, String)],
) -> Markup {
    let there = |name: &str| typed.iter().find(|(known, _)| known == name).map_or("", |(_, text)| text.as_str());
    let fault = |name: &str| faults.iter().find(|(known, _)| known == name).map_or("", |(_, text)| text.as_str());
    html! {
        p { "Every step is done and every stop point answered." }
        @for one in confirmed { (notice(one)) }
        @if let Some(at) = &closing.ride_not_before { (notice(&format!("Ride not before {at}: the threadlocker cures."))) }
        @for one in &closing.later { p { "Due afterwards: " (one) } }
        form method="post" action={ "/jobs/order/" (loaded.bench.id) "/close" } {
            (visit.form_key_of("close"))
            (field(&Field::decimal("meter", "Hour meter now", "h").value(there("meter")).fault(fault("meter")).optional()))
            @for (at, part) in closing.fitted.iter().enumerate() { (part_of(at, part, &there, &fault)) }
            (actions(&html! { button type="submit" class="button primary" { "Close the order" } }))
        }
    }
}

fn part_of<'t>(
    at: usize,
    part: &FittedPart,
    there: &dyn Fn(&str) -> &'t str,
    fault: &dyn Fn(&str) -> &'t str,
) -> Markup {
    let [name, used, price] = ["name", "used", "price"].map(|what| format!("{what}-{at}"));
    let shown = if there(&name).is_empty() { part.name.as_str() } else { there(&name) };
    html! {
        fieldset class="field" {
            legend { "Fitted: " (part.name) }
            (field(&Field::text(&name, "What you call it").value(shown).fault(fault(&name))))
            (field(&Field::decimal(&used, "Hours it had before", "h").hint("Leave it empty for a new part.").value(there(&used)).fault(fault(&used)).optional()))
            (field(&Field { room: Room::Twelve, ..Field::text(&price, "Price").hint("With its currency, such as 92 EUR.").value(there(&price)).fault(fault(&price)).optional() }))
        }
    }
}

fn ended(visit: &Visit, loaded: &Loaded, closing: &Closing) -> Markup {
    let id = loaded.bench.id;
    html! {
        @if loaded.bench.end() == End::Closed {
            @if let Some(at) = &closing.ride_not_before { (notice(&format!("Ride not before {at}: the threadlocker cures."))) }
            p { "Work, parts, checks and slack are in the record; the verdict counts them." }
            @for one in &closing.later { p { "Due afterwards: " (one) } }
        }
        (actions(&html! {
            a class="button" href={ "/jobs/order/" (id) "/figures" } { "Figures" }
            a class="button primary" href="/" { "Can I ride?" }
        }))
        form method="post" action={ "/jobs/order/" (id) "/reopen" } {
            (visit.form_key_of("reopen"))
            p class="soft" { "Opening it again takes back what closing wrote: work, parts, checks and the setup on the sheet." }
            button type="submit" class="button small" { "Open it again" }
        }
    }
}

/// `POST …/close`.
pub(super) async fn close(to: ToOrder) -> Response {
    to.once(closed).await
}

fn closed(held: Held<'_>) -> Result<Response, Response> {
    let (visit, posted, laid) = (held.visit(), held.posted(), held.lay_out()?);
    let closing = close::view(&held.loaded.desk(), &laid);
    if held.loaded.bench.end() != End::Open || !closing.may() {
        return Ok(visit.show_faults(HEAD, &page(visit, &held.let_go(), &laid, &[], &[])));
    }
    let facts = match typed(&closing, posted) {
        Ok((meter, parts)) => facts(&held.loaded, &laid, meter, parts).map_err(|fault| Fault::broken(&fault))?,
        Err(faults) => {
            return Ok(visit.show_faults(HEAD, &page(visit, &held.let_go(), &laid, posted.fields(), &faults)));
        }
    };
    let sheet = close::sheet(&held.loaded.desk());
    held.write(NewLines { what: vec![What::Closed], facts, sheet, ..NewLines::default() }, "/close")
}

type Typed = (Option<f64>, Vec<Part>);

/// Meter and parts as they were typed.
fn typed(closing: &Closing, posted: &Posted) -> Result<Typed, Vec<(String, String)>> {
    let mut faults: Vec<(String, String)> = Vec::new();
    let mut number = |name: String, text: &str, bound| {
        let mut door = Door::default();
        let read = door.number("value", Some(text), bound);
        faults.extend(door.faults.into_iter().map(|fault| (name.clone(), fault.text.replacen("value: ", "", 1))));
        read
    };
    let meter = number("meter".to_owned(), posted.text("meter"), &bounds::METER);
    let used: Vec<f64> = (0..closing.fitted.len())
        .map(|at| number(format!("used-{at}"), posted.text(&format!("used-{at}")), &bounds::USED).unwrap_or_default())
        .collect();
    let mut parts = Vec::new();
    for ((at, part), used) in closing.fitted.iter().enumerate().zip(used) {
        let mut door = Door::default();
        let price = door.money("price", Some(posted.text(&format!("price-{at}"))));
        faults.extend(door.faults.into_iter().map(|fault| (format!("price-{at}"), fault.text)));
        let made = close::part(part, posted.text(&format!("name-{at}")), used, price);
        match made {
            Ok(part) => parts.push(part),
            Err(fault) => faults.push((format!("name-{at}"), fault.text)),
        }
    }
    if faults.is_empty() { Ok((meter, parts)) } else { Err(faults) }
}

fn facts(loaded: &Loaded, laid: &Laid, meter: Option<f64>, parts: Vec<Part>) -> Result<Vec<NewEntry>, SheetFault> {
    let mut facts = Vec::new();
    if let Some(hours) = meter {
        facts.push(Fact::Meter(Meter::read(hours)?));
    }
    facts.extend(close::facts(&loaded.desk(), laid, parts)?);
    Ok(facts.into_iter().map(|fact| NewEntry::new(loaded.now, fact)).collect())
}

/// `POST …/drop`.
pub(super) async fn give_up(to: ToOrder) -> Response {
    to.once(given_up).await
}

fn given_up(held: Held<'_>) -> Result<Response, Response> {
    let laid = held.lay_out()?;
    let refused = |why| Fault::new(StatusCode::UNPROCESSABLE_ENTITY, "Not given up", why);
    let lines = held.loaded.dropped(&laid).map_err(refused)?;
    held.write(lines, "/close")?;
    Ok(Redirect::to("/jobs").into_response())
}

/// `POST …/reopen`: the closing is undone whole.
pub(super) async fn reopen(to: ToOrder) -> Response {
    to.once(reopened).await
}

fn reopened(mut held: Held<'_>) -> Result<Response, Response> {
    if let Some(change) = held.loaded.ended() {
        let post = held.post();
        held.garage().store_mut().undo(change, &post).map_err(not_written)?;
    }
    Ok(held.lead("/steps"))
}
