//! A recording brought in: read, smoothed, kept without places. What cannot be read is refused, and nothing is kept.

use advice::ground::GROUNDS;
use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use store::{AddedRide, Post, StoreError};

use crate::asked::{self, Faulty};
use crate::frame::field::{self, Field, fault_summary, field, long_field, select};
use crate::frame::{Head, Place, actions};
use crate::recorded::Recorded;
use crate::serve::{AppState, Fault, Posted, PostedFile, Visit};

const HEAD: Head<'static> = Head::new("Bring in a ride", Place::Rides);

/// What was typed beside the file.
#[derive(Default)]
struct Typed {
    name: String,
    ground: String,
    note: String,
    faults: Vec<Faulty>,
}

impl Typed {
    fn read(posted: &Posted) -> Self {
        let text = |name: &str| posted.text(name).trim().to_owned();
        let mut typed = Self { name: text("name"), ground: text("ground"), note: text("note"), faults: Vec::new() };
        if let Err(faults) = asked::ground(Some(&typed.ground)) {
            typed.faults.extend(faults);
        }
        typed
    }

    fn fault(&self, name: &str) -> &str {
        self.faults.iter().find(|fault| fault.field == name).map_or("", |fault| fault.text.as_str())
    }
}

/// `GET /rides/import`.
pub(super) async fn show(visit: Visit) -> Result<Response, Response> {
    visit.bike()?;
    Ok(visit.show(HEAD, &page(&visit, &Typed::default())))
}

/// `POST /rides/import`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, file: PostedFile) -> Result<Response, Response> {
    let bike = visit.bike()?.id.clone();
    let PostedFile { posted, name, bytes } = file;
    let once = state.clone();
    let save = async {
        let mut typed = Typed::read(&posted);
        if bytes.is_empty() {
            let text = if name.is_empty() {
                "No file was chosen. Choose the recording, a GPX file."
            } else {
                "The file is empty. Choose the recording, a GPX file."
            };
            typed.faults.push(Faulty { field: "file", text: text.to_owned() });
        }
        if !typed.faults.is_empty() {
            return visit.show_faults(HEAD, &page(&visit, &typed));
        }
        let key = posted.key().to_owned();
        let (kept, typed) =
            match tokio::task::spawn_blocking(move || (keep(&state, &bike, &key, &typed, &name, bytes), typed)).await {
                Ok(kept) => kept,
                Err(cause) => return Fault::broken(&cause).into_response(),
            };
        match kept {
            Ok(AddedRide::New(id)) => Redirect::to(&format!("/rides/{id}?saved=1")).into_response(),
            Ok(AddedRide::AlreadyThere { ride, .. }) => Redirect::to(&format!("/rides/{ride}?there=1")).into_response(),
            Err(fault) => visit.show_faults(HEAD, &page(&visit, &Typed { faults: vec![fault], ..typed })),
        }
    };
    Ok(once.once().run(&posted, save).await)
}

/// Reads the file and stores the ride.
fn keep(
    state: &AppState,
    bike: &str,
    key: &str,
    typed: &Typed,
    name: &str,
    bytes: Vec<u8>,
) -> Result<AddedRide, Faulty> {
    let unread =
        |why: &dyn std::fmt::Display| Faulty { field: "file", text: format!("{name}: {why}. Nothing was stored.") };
    let text = ride::track::decoded(bytes).map_err(|why| unread(&why))?;
    let recorded = Recorded::read(&text).map_err(|why| unread(&why))?;
    let now = state.clock().now().timestamp();
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    let called = [typed.name.as_str(), stem].into_iter().find(|text| !text.is_empty()).unwrap_or("ride");
    let (mut about, track) = recorded.kept(called, now);
    about = about.from_file(name, text.as_bytes());
    about.ground = (!typed.ground.is_empty()).then(|| typed.ground.clone());
    // What the reader noticed is worth keeping with the ride, after the rider's own words.
    let words: Vec<&str> = std::iter::once(typed.note.as_str())
        .chain(recorded.notes().iter().map(String::as_str))
        .filter(|words| !words.is_empty())
        .collect();
    about.note = (!words.is_empty()).then(|| words.join("\n"));
    let post = Post { now, key: Some(key) };
    state.garage().store_mut().add_ride(bike, &about, Some(&track), &post).map_err(|why| match &why {
        StoreError::Ride { field: field @ ("name" | "note"), .. } => Faulty { field, text: why.to_string() },
        _ => Faulty { field: "file", text: why.to_string() },
    })
}

fn page(visit: &Visit, typed: &Typed) -> Markup {
    let faults: Vec<field::Fault<'_>> =
        typed.faults.iter().map(|fault| field::Fault { field: fault.field, text: &fault.text }).collect();
    let grounds: Vec<(&str, &str)> =
        std::iter::once(("", "not said")).chain(GROUNDS.iter().map(|ground| (ground.word, ground.name))).collect();
    let name = Field::text("name", "What to call it").hint("Left empty, the file's name.").optional();
    html! {
        h1 { "Bring in a ride" }
        (fault_summary(&faults))
        p { "Speed, grade and time are kept. No places: the line on the map is read once and forgotten." }
        form method="post" action="/rides/import" enctype="multipart/form-data" {
            (visit.form_key())
            (file_field(typed.fault("file")))
            (field(&name.value(&typed.name).fault(typed.fault("name"))))
            (select(&Field::text("ground", "Ground").optional().value(&typed.ground).fault(typed.fault("ground")), &grounds))
            (long_field(&Field::text("note", "Anything odd").optional().value(&typed.note).fault(typed.fault("note")), 3))
            (actions(&html! { button type="submit" class="button primary" { "Bring it in" } }))
        }
    }
}

/// The file; a browser never fills one in again, so after a fault it has to be chosen anew.
fn file_field(fault: &str) -> Markup {
    let said_by = if fault.is_empty() { "file-hint" } else { "file-hint file-fault" };
    html! {
        div class={ "field" @if !fault.is_empty() { " faulty" } } {
            label for="file" { "Recording (GPX)" }
            p class="hint" id="file-hint" { "With times, up to 16 MiB. After an error it has to be chosen again." }
            @if !fault.is_empty() { p class="fault" id="file-fault" { span class="unseen" { "Error: " } (fault) } }
            input id="file" name="file" type="file" accept=".gpx,application/gpx+xml,application/xml,text/xml"
                aria-describedby=(said_by) aria-invalid=[(!fault.is_empty()).then_some("true")];
        }
    }
}
