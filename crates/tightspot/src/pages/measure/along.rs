//! Slack along the travel: readings at six places tell where the countershaft lies, and the sheet keeps it if asked.

use advice::Gap;
use advice::geometry::{self, Asked, GeometryView};
use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::StoreError;
use upkeep::bike::Bike;

use crate::along::{self, ROWS};
use crate::asked::{Door, Faulty};
use crate::frame::field::{Field, tick};
use crate::frame::{Head, Place, actions};
use crate::pages::answer::{blocks, gap};
use crate::pages::bike::said;
use crate::pages::cautions;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Fault, Posted, Visit, beside};

const HEAD: Head<'static> = Head::new("Geometry by slack readings", Place::Drive);
/// The rows that are shown; a command takes more.
const SHOWN: usize = 6;
/// So many at least are needed.
const NEEDED: usize = 3;

pub(super) fn visits(_: &AppState) -> Vec<String> {
    let read = "travel_1=0&slack_1=88,8&travel_2=50&slack_2=69,5&travel_3=100&slack_3=52";
    let whole = format!("{read}&travel_4=150&slack_4=41,3&travel_5=200&slack_5=45,1&travel_6=240&slack_6=55,9");
    [
        String::new(),
        format!("?{whole}"),
        format!("?{whole}&slider=1"),
        "?travel_1=0&slack_1=two+fingers&travel_2=5".to_owned(),
    ]
    .map(|query| format!("/drive/geometry{query}"))
    .to_vec()
}

/// What came of what was typed.
enum Told {
    /// Nothing was typed yet.
    Unasked,
    /// What is at fault stands at its field.
    Faulty,
    /// The sheet lacks something.
    Lacking(Gap),
    /// The answer.
    View(Box<GeometryView>),
}

/// `GET /drive/geometry`: asking changes nothing, so the readings stand in the address.
pub(super) async fn show(visit: Visit, State(state): State<AppState>, typed: Typed) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let (typed, told) = tell(&state, &bike, typed).await?;
    Ok(answer(&visit, &bike, &typed, &told))
}

/// `POST /drive/geometry`: the sheet keeps what the readings of the form tell.
pub(super) async fn keep(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    let bike = visit.bike()?.clone();
    let saving = async {
        let (typed, told) = match tell(&state, &bike, Typed::posted(&posted)).await {
            Ok(told) => told,
            Err(broken) => return broken.into(),
        };
        let Told::View(view) = &told else { return answer(&visit, &bike, &typed, &told) };
        if posted.text("bike") != bike.id {
            let text =
                format!("This form was opened for another bike than {}. Look at it again, then keep it.", bike.name);
            return answer(&visit, &bike, &typed.faulty(vec![Faulty { field: ROWS[0].0, text }]), &told);
        }
        let post = posted.at(&state.clock().now());
        let done = state.writing().store_mut().set_fields(&bike.id, &view.changes(), &post);
        match done {
            Ok(done) => Redirect::to(&format!("/bike?{}#row-countershaft_x_mm", said(&done, "1"))).into_response(),
            Err(StoreError::Faults(faults)) => {
                let text = faults.iter().map(|fault| fault.text.as_str()).collect::<Vec<_>>().join(" ");
                answer(&visit, &bike, &typed.faulty(vec![Faulty { field: ROWS[0].1, text }]), &told)
            }
            Err(why) => Fault::from(why).into(),
        }
    };
    Ok(state.once().run(&posted, saving).await)
}

/// What the typed readings tell, off the threads that answer browsers.
async fn tell(state: &AppState, bike: &Bike, typed: Typed) -> Result<(Typed, Told), Fault> {
    let mut door = Door::default();
    let readings = along::rows(&mut door, |name| typed.text(name));
    if !door.faults.is_empty() {
        return Ok((typed.faulty(door.faults), Told::Faulty));
    }
    if readings.is_empty() {
        return Ok((typed, Told::Unasked));
    }
    let asked: Asked = along::asked(readings, !typed.text("slider").is_empty());
    let (bike, today) = (bike.clone(), state.clock().now().date());
    match beside(move || geometry::view(&bike, &asked, today)).await? {
        Ok(view) => Ok((typed, Told::View(Box::new(view)))),
        // What the readings do not tell stands at the first of them.
        Err(why) if ["travels_mm", "slacks_mm", "fit_slider"].contains(&why.field.as_str()) && !why.missing => {
            let field = if why.field == "slacks_mm" { ROWS[0].1 } else { ROWS[0].0 };
            Ok((typed.faulty(vec![Faulty { field, text: spoken(&why.text) }]), Told::Faulty))
        }
        Err(why) => Ok((typed, Told::Lacking(why))),
    }
}

/// A figure's refusal without the names that its lists have there.
fn spoken(text: &str) -> String {
    text.replace("travels_mm:", "")
        .replace("fit_slider:", "")
        .replace("slacks_mm:", "")
        .replace("travels_mm", "The form")
        .trim()
        .to_owned()
}

fn answer(visit: &Visit, bike: &Bike, typed: &Typed, told: &Told) -> Response {
    typed.answer(visit, HEAD, &page(visit, bike, typed, told))
}

fn page(visit: &Visit, bike: &Bike, typed: &Typed, told: &Told) -> Markup {
    html! {
        @if matches!(told, Told::View(_)) { (typed.not_saved()) } @else { (typed.not_answered()) }
        h1 { "Where the countershaft lies" }
        p { "A tape at the pivot is good to some millimetres. Slack read along the travel tells it better: how deep it falls towards the middle tells how far ahead the countershaft lies, where it is least tells how high." }
        @match told {
            Told::View(view) => { (found(visit, bike, typed, view)) }
            Told::Lacking(why) => { (gap(why)) }
            Told::Unasked | Told::Faulty => {}
        }
        @if matches!(told, Told::View(_)) { (asking(typed, true)) (how()) } @else { (how()) (asking(typed, false)) }
    }
}

/// The answer, and the button that keeps it.
fn found(visit: &Visit, bike: &Bike, typed: &Typed, view: &GeometryView) -> Markup {
    html! {
        (blocks(&view.blocks()[1..]))
        form method="post" action="/drive/geometry" {
            (visit.form_key())
            input type="hidden" name="bike" value=(bike.id);
            @for name in ROWS.iter().flat_map(|(travel, slack)| [travel, slack]).chain([&"slider"]) {
                @if !typed.text(name).is_empty() { input type="hidden" name=(name) value=(typed.text(name)); }
            }
            (actions(&html! { button type="submit" class="button primary" { "Put it on the bike sheet" } }))
        }
    }
}

fn asking(typed: &Typed, answered: bool) -> Markup {
    html! {
        h2 { "The readings" }
        form method="get" action="/drive/geometry" {
            @for (n, (travel, slack)) in (1..).zip(ROWS.iter().take(SHOWN)) {
                @let labels = [format!("Travel {n}"), format!("Slack {n}")];
                div class="form-grid" {
                    @for (name, label) in [travel, slack].into_iter().zip(&labels) {
                        @let one = Field::decimal(name, label, "mm");
                        (typed.field(if n > NEEDED { one.optional() } else { one }))
                    }
                }
            }
            (tick("slider", "1", "Tell the slider's radius, too, as far as the readings can", !typed.text("slider").is_empty()))
            // Once they have told it, keeping it is what comes next.
            @if answered { p class="buttons" { button type="submit" class="button" { "Ask again" } } }
            @else { (actions(&html! { button type="submit" class="button primary" { "What do they tell?" } })) }
        }
    }
}

fn how() -> Markup {
    html! {
        h2 { "How they are taken" }
        (cautions::by_hand())
        ol {
            li { "Bike firm on its stand. Take the spring's load off, or strap the wheel up, so that it stays where you put it; support it before a hand goes to the chain." }
            li { "Turn the wheel to the chain's tightest place once, and mark it: every reading is taken with that place there. The axle stays where it is." }
            li { "Travel is how far the axle has risen straight up from hanging free: 0 first, then about every sixth of the way." }
            li { "At each: mid lower run, fully down to fully up, square to the run. Leave out places where that run lies on the slider." }
        }
    }
}
