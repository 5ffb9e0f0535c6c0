//! Recordings brought in: read, smoothed, kept without places unless they are wanted. What cannot be read is refused by
//! name, and nothing of it is kept; several files are read one after the other, on a page of their own.

use advice::Setup;
use advice::ground::GROUNDS;
use axum::extract::State;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use ride::profile::Keep;
use store::{AddedRide, Fitted};
use upkeep::bike::Bike;

use super::batch::{Batch, Became, Done};
use super::incoming::{Incoming, stored};
use crate::asked::{self, Door};
use crate::frame::field::{Field, long_field, tick};
use crate::frame::{Head, Place, actions};
use crate::pages::typed::Typed;
use crate::serve::{AppState, Posted, PostedFiles, Sent, Visit, beside};

pub(super) const HEAD: Head<'static> = Head::new("Bring in rides", Place::Rides);

/// What was said beside the files.
struct Said {
    typed: Typed,
    /// The pair that was fitted then.
    fitted: Option<Fitted>,
}

impl Said {
    /// The form as it opens: what is fitted stands in it.
    fn fresh(bike: &Bike) -> Self {
        let pair = Setup::fitted(bike).map(|fitted| fitted.pair_words()).unwrap_or_default();
        Self { typed: Typed::preset([("pair", pair)]), fitted: None }
    }

    fn read(bike: &Bike, posted: &Posted) -> Self {
        let mut said = Self { typed: Typed::posted(posted), fitted: None };
        if let Err(faults) = asked::ground(said.typed.given("ground")) {
            said.typed.take(faults);
        }
        let pair = said.typed.text("pair").trim().to_owned();
        if let (Ok(fitted), false) = (Setup::fitted(bike), pair.is_empty()) {
            let mut door = Door::default();
            let Setup { front_teeth, rear_teeth, links } = door.setup(fitted, Some(&pair), None);
            door.faults.iter_mut().for_each(|fault| fault.field = "pair");
            said.typed.take(door.faults);
            said.fitted = Some(Fitted { front_teeth, rear_teeth, links });
        }
        said
    }

    /// Whether what was typed and the files go together.
    fn check(&mut self, files: &[Sent]) {
        let text = match files {
            [] => "No file was chosen. Choose the recordings, GPX files or a logger's tables.",
            [one] if one.bytes.is_empty() => "The file is empty. Choose the recording, a GPX file or a logger's table.",
            [_] => return,
            several => {
                if !self.typed.text("name").trim().is_empty() {
                    let text = format!(
                        "A name is for one file; {} are chosen. Leave it empty: each keeps its file's name.",
                        several.len()
                    );
                    self.typed.fault_at("name", text);
                }
                return;
            }
        };
        self.typed.fault_at("file", text);
    }

    fn incoming(&self, bike: &str, key: &str) -> Incoming {
        let text = |name: &str| self.typed.text(name).trim();
        let said = |name: &str| Some(text(name).to_owned()).filter(|text| !text.is_empty());
        Incoming {
            bike: bike.to_owned(),
            name: text("name").to_owned(),
            ground: said("ground"),
            note: said("note"),
            fitted: self.fitted,
            keep: if text("places").is_empty() { Keep::Motion } else { Keep::MotionAndPlaces },
            key: key.to_owned(),
        }
    }
}

/// `GET /rides/import`.
pub(super) async fn show(visit: Visit) -> Result<Response, Response> {
    let said = Said::fresh(visit.bike()?);
    Ok(visit.show(HEAD, &page(&visit, &said.typed)))
}

/// `POST /rides/import`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, sent: PostedFiles) -> Result<Response, Response> {
    let bike = visit.bike()?;
    let PostedFiles { posted, files, mut over } = sent;
    over.extend(posted.all("unsent").map(str::to_owned));
    let once = state.clone();
    let save = async {
        let mut said = Said::read(bike, &posted);
        if over.is_empty() {
            said.check(&files);
        }
        if said.typed.is_faulty() {
            return visit.show_faults(HEAD, &page(&visit, &said.typed));
        }
        let incoming = said.incoming(&bike.id, posted.key());
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
        let kept = beside(move || {
            let kept = stored(&state, &incoming, &name, bytes);
            kept.map(|(added, noticed)| address(&key, name, added, noticed))
        });
        match kept.await {
            Ok(Ok(to)) => Redirect::to(&to).into_response(),
            Ok(Err(fault)) => visit.show_faults(HEAD, &page(&visit, &said.typed.faulty_in_own_words(fault))),
            Err(broken) => broken.into(),
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
    let grounds: Vec<(&str, &str)> =
        std::iter::once(("", "not said")).chain(GROUNDS.iter().map(|ground| (ground.word, ground.name))).collect();
    let name = Field::text("name", "What to call it").hint("For one file. Left empty, the file's name.").optional();
    let pair = Field::text("pair", "Ridden on")
        .hint("Front and rear teeth that were fitted then, such as 14/48. A later change is judged by it.")
        .optional();
    html! {
        (typed.not_saved())
        h1 { (HEAD.title) }
        p { "One ride or a season of them. Speed, grade and time are kept; the line on the map is read once and forgotten, unless you want it." }
        form method="post" action="/rides/import" enctype="multipart/form-data" data-each="file" {
            (visit.form_key())
            (file_field(typed.fault("file")))
            div class="form-grid" {
                (typed.select(Field::text("ground", "Ground").optional(), &grounds))
                (typed.field(pair))
            }
            (typed.field(name))
            (long_field(&Field::text("note", "Anything odd, how it felt").optional().value(typed.text("note")).fault(typed.fault("note")), 3))
            (tick("places", "yes", "Keep the places, too: where it was", !typed.text("places").is_empty()))
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
