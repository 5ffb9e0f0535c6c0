//! One recording on its way in: read, smoothed, kept; with a logger's gears the model is held against them.

use advice::logged;
use advice::rides::{Weighed, ground_of};
use advice::words::number;
use ride::profile::Keep;
use store::{AddedRide, Fitted, Post, StoreError};

use super::batch::{Became, Done};
use crate::asked::Faulty;
use crate::recorded::Recorded;
use crate::serve::AppState;

/// What was said of the recordings that come in together.
#[derive(Clone)]
pub(super) struct Incoming {
    /// The bike.
    pub(super) bike: String,
    /// What to call it; the file's name where nothing was said.
    pub(super) name: String,
    /// The ground, in its word.
    pub(super) ground: Option<String>,
    /// Anything odd.
    pub(super) note: Option<String>,
    /// What was fitted.
    pub(super) fitted: Option<Fitted>,
    /// Whether places are kept, too.
    pub(super) keep: Keep,
    /// The key of the form.
    pub(super) key: String,
}

/// Reads a file and stores the ride; the answer says what became of it.
pub(super) fn keep(state: &AppState, incoming: &Incoming, file: String, bytes: Vec<u8>) -> Done {
    // Each file is a post of its own under the form's key.
    let key = format!("{}-{}-{}", incoming.key, store::mark(file.as_bytes()), store::mark(&bytes));
    match stored(state, &Incoming { key, ..incoming.clone() }, &file, bytes) {
        Ok((AddedRide::New(id), noticed)) => Done { file, became: Became::Kept(id), noticed },
        Ok((AddedRide::AlreadyThere { ride, .. }, _)) => {
            Done { file, became: Became::There(ride), noticed: Vec::new() }
        }
        Err(fault) => {
            let why = fault.text.strip_prefix(&format!("{file}: ")).unwrap_or(&fault.text).to_owned();
            Done { file, became: Became::Bad(why), noticed: Vec::new() }
        }
    }
}

/// Reads a file and stores the ride, with what the reader noticed.
///
/// # Errors
/// The field of the form at fault, and a sentence.
pub(super) fn stored(
    state: &AppState,
    incoming: &Incoming,
    file: &str,
    bytes: Vec<u8>,
) -> Result<(AddedRide, Vec<String>), Faulty> {
    let unread =
        |why: &dyn std::fmt::Display| Faulty { field: "file", text: format!("{file}: {why}. Nothing was stored.") };
    if bytes.is_empty() {
        return Err(unread(&"the file is empty"));
    }
    let text = ride::track::decoded(bytes).map_err(|why| unread(&why))?;
    let recorded = Recorded::of_file(file, &text).map_err(|why| unread(&why))?;
    let now = state.clock().now().timestamp();
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let called = [incoming.name.as_str(), stem].into_iter().find(|text| !text.is_empty()).unwrap_or("ride");
    let (mut about, track) = recorded.kept(called, now, incoming.keep);
    about = about.from_file(file, text.as_bytes());
    about.ground.clone_from(&incoming.ground);
    about.note.clone_from(&incoming.note);
    about.fitted = incoming.fitted;
    let mut noticed = recorded.notes().to_vec();
    noticed.extend(gears(state, incoming, &recorded));
    let post = Post { now, key: Some(&incoming.key) };
    let added = state.writing().store_mut().add_ride(&incoming.bike, &about, Some(&track), &post);
    added.map(|added| (added, noticed)).map_err(|why| match &why {
        StoreError::Ride { field: field @ ("name" | "note"), .. } => Faulty { field, text: why.to_string() },
        _ => Faulty { field: "file", text: why.to_string() },
    })
}

/// With rpm and speed the gear is known: how far the model is off it, in a sentence.
fn gears(state: &AppState, incoming: &Incoming, recorded: &Recorded) -> Option<String> {
    if recorded.log().rpm.is_empty() {
        return None;
    }
    let bike = state.garage().store().bike(&incoming.bike).ok()?;
    let mut ride = recorded.ride("ride", false);
    ride.fitted = incoming.fitted.map(crate::recorded::setup_of);
    let ground = ground_of(incoming.ground.as_deref(), None);
    let view = logged::view(&bike, &Weighed { ride: &ride, ground, weight: 1.0, age_d: None }, recorded.log());
    Some(match view {
        Ok(view) => {
            let shares: Vec<String> =
                (1..).zip(&view.gear_pct).map(|(gear, share)| format!("{gear}: {} %", number(*share, 0))).collect();
            let misfit = view.misfit_pct.map(|misfit| {
                format!(" The model that stands in where no rpm is recorded is {} points off it.", number(misfit, 0))
            });
            format!(
                "With rpm and speed the gear is known in {} % of the moving samples, not modelled: gear {}.{}",
                number(view.known_pct, 0),
                shares.join(", "),
                misfit.unwrap_or_default()
            )
        }
        Err(gap) => format!("It has rpm and speed, but the gears cannot be told: {}", gap.text),
    })
}
