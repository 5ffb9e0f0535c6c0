//! All rides of a bike, newest first, some of them on each page.

use axum::extract::State;
use axum::response::Response;
use maud::{Markup, html};
use measure::shown;
use store::Ride;

use super::{RIDES, undo};
use crate::frame::notice::saved;
use crate::frame::table::{Column, Row, table};
use crate::frame::{Part, between, newest_first};
use crate::pages::typed::Typed;
use crate::serve::{AppState, Fault, Visit};

/// `GET /rides`.
pub(super) async fn show(visit: Visit, State(state): State<AppState>, typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?;
    let page = typed.page();
    let listed = state.of_record(&bike.id, format!("rides, page {page}"), |garage| {
        let rides = garage.rides(&bike.id)?;
        Ok::<_, Fault>(of_page(&rides, page))
    })?;
    let Some(listed) = &*listed else {
        return Err(Fault::not_found(format!("The list of rides has no page {page}.")).into());
    };
    let main = html! {
        h1 { "Rides" }
        @if let Some(change) = typed.number("undone") {
            (saved("The ride was taken out.", &undo::bring_back(&visit, change)))
        }
        @if typed.given("back").is_some() { (saved("The ride is back.", &html! {})) }
        p class="buttons" {
            a class="button primary" href="/rides/log" { "Log a ride" }
            a class="button" href="/rides/import" { "Bring in rides" }
            a class="button" href="/rides/season" { "Season" }
            a class="button" href="/gearing" { "Which pair for this ground?" }
        }
        (listed)
        p { "Of a recording only speed, grade and time are kept. No places: the line on the map is read once and forgotten." }
    };
    Ok(visit.show(RIDES, &main))
}

/// The rides of a page with the way to those before and after; `None` where the list has no such page.
fn of_page(rides: &[Ride], page: usize) -> Option<Markup> {
    let part = Part::of(rides.len(), page)?;
    Some(html! {
        @if rides.is_empty() {
            p { "No ride of this bike yet. A recording (GPX, with times) tells how fast was ridden for how long; that is laid against the gears." }
        } @else { (newest_first(rides.get(part.range()).unwrap_or_default(), earlier, all)) }
        (part.links("/rides", "Rides"))
    })
}

fn earlier(rides: &[Ride]) -> String {
    let day = |ride: &Ride| ride.about.day;
    let span = rides.last().zip(rides.first()).map(|(oldest, newest)| between(day(oldest), day(newest)));
    format!("Earlier: {} rides, {}", rides.len(), span.unwrap_or_default())
}

fn all(rides: &[Ride], are_earlier: bool) -> Markup {
    let columns = [
        Column::words("Ride"),
        Column::words("Day"),
        Column::digits("Hours", "h"),
        Column::digits("Distance", shown::unit("km")),
        Column::digits("Moving", "min"),
        Column::words("Ground"),
    ];
    let known = |number: Option<f64>, kept, decimals| {
        let text = number.map(|number| shown::digits(number, kept, decimals));
        html! { @match text { Some(text) => (text), None => { span class="unseen" { "not known" } "–" } } }
    };
    let rows: Vec<Row> = rides
        .iter()
        .map(|ride| {
            let about = &ride.about;
            Row::of([
                html! { a class="in-table" href={ "/rides/" (ride.id) } { (about.name) } },
                html! { (about.day) },
                known(about.hours_h, "h", 2),
                known(about.distance_m.map(|metres| metres / 1000.0), "km", 1),
                known(about.moving_s.map(|seconds| seconds / 60.0), "min", 0),
                html! { (about.ground.as_deref().unwrap_or("–")) },
            ])
        })
        .collect();
    let (id, caption) =
        if are_earlier { ("earlier-rides", "Earlier rides, newest first") } else { ("rides", "Rides, newest first") };
    table(id, caption, &columns, &rows)
}
