//! One ride: what was recorded, how fast it was, what it asked of the gearing.

use advice::gearing::GearingView;
use advice::ground;
use advice::words::{duration, quantity};
use axum::extract::{Path, State};
use axum::response::Response;
use maud::{Markup, html};
use store::{Ride, RideId, StoreError, TrackClass};
use upkeep::bike::Bike;

use super::batch::Batch;
use super::track::Kept;
use super::{profile, undo};
use crate::frame::field::field;
use crate::frame::figure::pairs;
use crate::frame::notice::{notice, saved};
use crate::frame::{Head, Place, details};
use crate::pages::answer;
use crate::pages::gearing::{Brought, FROM_TO, Laid, replayed, speeds};
use crate::pages::typed::Typed;
use crate::serve::{AppState, Fault, Visit, beside};

/// `GET /rides/{id}`.
pub(super) async fn show(
    visit: Visit,
    State(state): State<AppState>,
    Path(id): Path<String>,
    typed: Typed,
) -> Result<Response, Response> {
    let (ride, bike) = stored(&state, &id)?;
    let (shown, name) = (ride.id, ride.about.name.clone());
    let asked = |name: &str| typed.given(name).is_some();
    let read = typed.given("read").and_then(Batch::named);
    let noticed = read.map(|batch| batch.noticed(shown)).unwrap_or_default();
    let rest = beside(move || body(&state, &ride, &bike)).await?;
    let main = html! {
        h1 { (name) }
        @if asked("saved") { (saved("Saved.", &undo::take_out(&visit, shown, "Undo"))) }
        @if !noticed.is_empty() {
            h2 { "Noticed while reading" }
            ul class="list" { @for line in &noticed { li { (line) } } }
        }
        @if asked("there") { (saved("This file was here already. Nothing was stored twice.", &html! {})) }
        (rest)
        p class="buttons" {
            a class="button" href={ "/gearing?ride=" (shown) } { "Which pair for ground like this?" }
            a class="button" href="/rides" { "All rides" }
        }
        (details("Take this ride out", &html! {
            p { "It leaves the list and the gearing no longer sees it. It can be brought back." }
            (undo::take_out(&visit, shown, "Take it out"))
        }))
    };
    Ok(visit.show(Head::new(&name, Place::Rides), &main))
}

fn stored(state: &AppState, id: &str) -> Result<(Ride, Bike), Fault> {
    let none = || Fault::not_found(format!("There is no ride “{id}”. The rides of a bike are listed under Rides."));
    let id: RideId = id.parse().map_err(|_| none())?;
    let garage = state.garage();
    let ride = garage.store().ride(id).map_err(|cause| match cause {
        StoreError::NoSuchRide { .. } => none(),
        cause => cause.into(),
    })?;
    let bike = garage.store().bike(&ride.bike)?;
    Ok((ride, bike))
}

fn body(state: &AppState, ride: &Ride, bike: &Bike) -> Markup {
    let kept = state.garage().store().ride_track(ride.id).map_err(|why| why.to_string());
    let kept = kept.and_then(|bytes| bytes.map(|bytes| Kept::of(&bytes)).transpose());
    let recorded = recorded(ride, kept.as_ref().ok().and_then(Option::as_ref).is_some_and(|kept| kept.places));
    let (brought, kept) = match (Brought::of(state, ride.id), kept) {
        (Ok(brought), Ok(Some(kept))) => (brought, kept),
        (Err(why), _) | (_, Err(why)) => return html! { (recorded) (notice(&why)) },
        (Ok(_), Ok(None)) => return recorded,
    };
    let laid = Laid::one(brought);
    let ridden = laid.all.first().map(|one| &one.brought.ride);
    html! {
        @if ridden.is_some_and(|ride| ride.made) {
            (notice("This ride is synthetic: it was made for trying the tool, nobody rode it."))
        }
        (recorded)
        @if ridden.is_some_and(|ride| !ride.grade_known) {
            (notice("The grade is not known all along; where it is not, the ground counts as level."))
        }
        (profile::drawn(&kept))
        (asked_of_gearing(state, bike, &laid))
        (stretch_form(ride.id))
    }
}

/// A stretch of it, marked from–to.
fn stretch_form(id: RideId) -> Markup {
    html! {
        h2 { "A stretch of it" }
        p { "The whoops, the climb, the fire road: gear held, rpm, thrust left and gear changes there, pair by pair." }
        form method="get" action="/gearing/stretch" {
            input type="hidden" name="ride" value=(id);
            div class="form-grid" { @for one in &FROM_TO { (field(one)) } }
            p class="buttons" { button type="submit" class="button" { "Look at the stretch" } }
        }
    }
}

/// What was recorded, in a quiet list.
fn recorded(ride: &Ride, places: bool) -> Markup {
    let about = &ride.about;
    let text = |text: Option<String>| html! { (text.unwrap_or_else(|| "not known".to_owned())) };
    let lines = [
        ("Day", text(Some(about.day.to_string()))),
        ("Distance", text(about.distance_m.map(|metres| quantity(metres / 1000.0, "km", 1)))),
        ("Moving", text(about.moving_s.map(duration))),
        ("At rest", text(about.stopped_s.map(duration))),
        ("Track", text(Some(track_words(about.class).to_owned()))),
        ("Points read", text(about.points.map(|points| points.to_string()))),
        ("Ground", text(Some(ground_words(about.ground.as_deref())))),
        ("Ridden on", text(about.fitted.map(|fitted| crate::recorded::setup_of(fitted).to_string()))),
        ("File", text(about.source_name.clone())),
    ];
    html! {
        h2 { "What was recorded" }
        (pairs(lines))
        @if let Some(note) = &about.note {
            h3 { "Your words" }
            @for line in note.lines() { p { (line) } }
        }
        @if places {
            p { b { "Its places are kept," } " as you asked when it was brought in." }
        } @else {
            p { b { "No places are kept." } " Speed, grade and time stay; the line on the map was read once and forgotten." }
        }
    }
}

const fn track_words(class: Option<TrackClass>) -> &'static str {
    match class {
        Some(TrackClass::Timed) => "every point has its time",
        Some(TrackClass::PartlyTimed) => "some points have no time; speeds come from the others",
        Some(TrackClass::GeometryOnly) => "no times: it says nothing about speed",
        None => "none",
    }
}

fn ground_words(word: Option<&str>) -> String {
    match word {
        Some(word) => ground::named(word).map_or(word, |ground| ground.name).to_owned(),
        None => format!("not said; {} is assumed", ground::USUAL.name),
    }
}

fn asked_of_gearing(state: &AppState, bike: &Bike, laid: &Laid) -> Markup {
    html! {
        h2 { "What it asked of the gearing" }
        @match replayed(state, bike, laid) {
            Ok(view) => {
                @if let Some(proposal) = &view.proposal { p class="lead" { (proposal.headline) } }
                (gear_use(&view))
                (speeds(&[(view.fitted, &view.gears)], view.demands.first()))
                (answer::fact_list(&view.demand_facts))
                (answer::table_of(&view.share_table, |pair| pair == view.fitted.pair_words()))
            }
            Err(gap) => (answer::gap(&gap)),
        }
    }
}

/// Time in each gear on what is fitted: by the replay where there is one, else by the rule.
fn gear_use(view: &GearingView) -> Markup {
    let pair = view.fitted.pair_words();
    let replayed = view.replay.as_ref().and_then(|replay| {
        replay.pairs.iter().find(|one| one.setup.same_pair(view.fitted)).map(|one| one.gear_pct.as_slice())
    });
    let by_rule = view.demands.first().map(|demand| demand.gear_pct.as_slice());
    match (replayed, by_rule) {
        (Some(pct), _) => profile::gears(pct, &pair, "by the model that the replay uses, not recorded"),
        (None, Some(pct)) => profile::gears(pct, &pair, "by rule, not recorded"),
        (None, None) => html! {},
    }
}
