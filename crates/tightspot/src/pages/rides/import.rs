//! Recordings brought in: read, smoothed, kept without places unless they are wanted. What cannot be read is refused by
//! name, and nothing of it is kept; several files are read one after the other, on a page of their own.

use advice::ground::GROUNDS;
use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use ride::profile::Keep;
use store::{AddedRide, Fitted};
use upkeep::bike::Bike;

use super::batch::{Batch, Became, Done};
use super::incoming::{Incoming, stored};
use crate::asked::{self, Door, Faulty};
use crate::frame::field::{self, Field, fault_summary, field, long_field, select, tick};
use crate::frame::{Head, Place, actions};
use crate::serve::{AppState, Fault, Posted, PostedFiles, Sent, Visit};

pub(super) const HEAD: Head<'static> = Head::new("Bring in rides", Place::Rides);

/// What was typed beside the files.
#[derive(Default)]
struct Typed {
    name: String,
    ground: String,
    pair: String,
    note: String,
    places: bool,
    fitted: Option<Fitted>,
    faults: Vec<Faulty>,
}

impl Typed {
    /// The form as it opens: what is fitted stands in it.
    fn fresh(bike: &Bike) -> Self {
        let pair = asked::fitted(bike).map(|fitted| fitted.pair_words()).unwrap_or_default();
        Self { pair, ..Self::default() }
    }

    fn read(bike: &Bike, posted: &Posted) -> Self {
        let text = |name: &str| posted.text(name).trim().to_owned();
        let mut typed = Self {
            name: text("name"),
            ground: text("ground"),
            pair: text("pair"),
            note: text("note"),
            places: !posted.text("places").is_empty(),
            fitted: None,
            faults: Vec::new(),
        };
        if let Err(faults) = asked::ground(Some(&typed.ground)) {
            typed.faults.extend(faults);
        }
        if let (Ok(fitted), false) = (asked::fitted(bike), typed.pair.is_empty()) {
            let mut door = Door::default();
            let advice::Setup { front_teeth, rear_teeth, links } = door.setup(fitted, Some(&typed.pair), None);
            typed.faults.extend(door.faults.into_iter().map(|fault| Faulty { field: "pair", ..fault }));
            typed.fitted = Some(Fitted { front_teeth, rear_teeth, links });
        }
        typed
    }

    fn fault(&self, name: &str) -> &str {
        self.faults.iter().find(|fault| fault.field == name).map_or("", |fault| fault.text.as_str())
    }

    /// Whether what was typed and the files go together.
    fn check(&mut self, files: &[Sent]) {
        let text = match files {
            [] => "No file was chosen. Choose the recordings, GPX files or a logger's tables.",
            [one] if one.bytes.is_empty() => "The file is empty. Choose the recording, a GPX file or a logger's table.",
            [_] => return,
            several => {
                if !self.name.is_empty() {
                    let text = format!(
                        "A name is for one file; {} are chosen. Leave it empty: each keeps its file's name.",
                        several.len()
                    );
                    self.faults.push(Faulty { field: "name", text });
                }
                return;
            }
        };
        self.faults.push(Faulty { field: "file", text: text.to_owned() });
    }

    fn incoming(&self, bike: &str, key: &str) -> Incoming {
        let said = |text: &str| (!text.is_empty()).then(|| text.to_owned());
        Incoming {
            bike: bike.to_owned(),
            name: self.name.clone(),
            ground: said(&self.ground),
            note: said(&self.note),
            fitted: self.fitted,
            keep: if self.places { Keep::MotionAndPlaces } else { Keep::Motion },
            key: key.to_owned(),
        }
    }
}

/// `GET /rides/import`.
pub(super) async fn show(visit: Visit) -> Result<Response, Response> {
    let typed = Typed::fresh(visit.bike()?);
    Ok(visit.show(HEAD, &page(&visit, &typed)))
}

/// `POST /rides/import`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, sent: PostedFiles) -> Result<Response, Response> {
    let bike = visit.bike()?;
    let PostedFiles { posted, files, mut over } = sent;
    over.extend(posted.all("unsent").map(str::to_owned));
    let once = state.clone();
    let save = async {
        let mut typed = Typed::read(bike, &posted);
        if over.is_empty() {
            typed.check(&files);
        }
        if !typed.faults.is_empty() {
            return visit.show_faults(HEAD, &page(&visit, &typed));
        }
        let incoming = typed.incoming(&bike.id, posted.key());
        // A script that sends a season file by file names the batch that they belong to.
        let batch = Some(posted.text("batch")).filter(|name| !name.is_empty());
        if batch.is_some() || files.len() > 1 || !over.is_empty() {
            let name = batch.unwrap_or_else(|| posted.key());
            Batch::begin(name).take(&state, files, over, &incoming);
            return Redirect::to(&super::season::address(name)).into_response();
        }
        let Some(Sent { name, bytes }) = files.into_iter().next() else {
            return Redirect::to("/rides/import").into_response();
        };
        let key = posted.key().to_owned();
        let kept = crate::serve::beside(move || {
            let kept = stored(&state, &incoming, &name, bytes);
            kept.map(|(added, noticed)| address(&key, name, added, noticed))
        });
        match kept.await {
            Ok(Ok(to)) => Redirect::to(&to).into_response(),
            Ok(Err(fault)) => visit.show_faults(HEAD, &page(&visit, &Typed { faults: vec![fault], ..typed })),
            Err(cause) => Fault::broken(&cause).into_response(),
        }
    };
    Ok(once.once().run(&posted, save).await)
}

/// Where one file leads: to its ride, with what the reader noticed.
fn address(key: &str, file: String, added: AddedRide, noticed: Vec<String>) -> String {
    let id = match added {
        AddedRide::New(id) => id,
        AddedRide::AlreadyThere { ride, .. } => return format!("/rides/{ride}?there=1"),
    };
    if noticed.is_empty() {
        return format!("/rides/{id}?saved=1");
    }
    Batch::begin(key).tell(Done { file, became: Became::Kept(id), noticed });
    format!("/rides/{id}?saved=1&read={key}")
}

fn page(visit: &Visit, typed: &Typed) -> Markup {
    let faults: Vec<field::Fault<'_>> =
        typed.faults.iter().map(|fault| field::Fault { field: fault.field, text: &fault.text }).collect();
    let grounds: Vec<(&str, &str)> =
        std::iter::once(("", "not said")).chain(GROUNDS.iter().map(|ground| (ground.word, ground.name))).collect();
    let name = Field::text("name", "What to call it").hint("For one file. Left empty, the file's name.").optional();
    let pair = Field::text("pair", "Ridden on")
        .hint("Front and rear teeth that were fitted then, such as 14/48. A later change is judged by it.")
        .optional();
    html! {
        h1 { "Bring in rides" }
        (fault_summary(&faults))
        p { "One ride or a season of them. Speed, grade and time are kept; the line on the map is read once and forgotten, unless you want it." }
        form method="post" action="/rides/import" enctype="multipart/form-data" data-each="file" {
            (visit.form_key())
            (file_field(typed.fault("file")))
            div class="form-grid" {
                (select(&Field::text("ground", "Ground").optional().value(&typed.ground).fault(typed.fault("ground")), &grounds))
                (field(&pair.value(&typed.pair).fault(typed.fault("pair"))))
            }
            (field(&name.value(&typed.name).fault(typed.fault("name"))))
            (long_field(&Field::text("note", "Anything odd, how it felt").optional().value(&typed.note).fault(typed.fault("note")), 3))
            (tick("places", "yes", "Keep the places, too: where it was", typed.places))
            (actions(&html! { button type="submit" class="button primary" { "Bring them in" } }))
        }
    }
}

/// The files; a browser never fills them in again, so after a fault they have to be chosen anew.
fn file_field(fault: &str) -> Markup {
    let said_by = if fault.is_empty() { "file-hint" } else { "file-hint file-fault" };
    html! {
        div class={ "field" @if !fault.is_empty() { " faulty" } } {
            label for="file" { "Recordings (GPX, or a logger's CSV)" }
            p class="hint" id="file-hint" {
                "With times, up to 16 MiB together in one sending. After an error they have to be chosen again."
            }
            @if !fault.is_empty() { p class="fault" id="file-fault" { span class="unseen" { "Error: " } (fault) } }
            input id="file" name="file" type="file" multiple
                accept=".gpx,.csv,application/gpx+xml,application/xml,text/xml,text/csv"
                aria-describedby=(said_by) aria-invalid=[(!fault.is_empty()).then_some("true")];
        }
    }
}
