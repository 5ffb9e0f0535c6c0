//! The look of the teeth, front and rear.

use axum::extract::State;
use axum::response::Response;
use maud::{Markup, html};
use upkeep::bike::Bike;
use upkeep::record::{Check, CheckKind, Fact};

use super::form;
use super::picture;
use crate::asked::Faulty;
use crate::frame::field::{Choice, choice};
use crate::frame::{Head, Place};
use crate::noted::faulty;
use crate::pages::cautions;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Posted, Visit};

const HEAD: Head<'static> = Head::new("Look at the teeth", Place::Drive);
/// Field and check, question.
const SPROCKETS: [(&str, &str); 2] = [("front-teeth", "Front sprocket"), ("rear-teeth", "Rear sprocket")];
/// What each answer looks like.
const LOOKS: [(&str, &str, &str); 5] = [
    ("sound", "Sound", "flat tips, both flanks alike"),
    ("symmetrical", "Worn evenly", "thinner, but both flanks alike"),
    ("leaning", "Leaning", "one flank hollowed, tips lean one way"),
    ("hooked", "Hooked", "tips curl over: the chain hangs on them"),
    ("cracked-or-missing", "Cracked or missing", "a tooth is missing, chipped or cracked"),
];

/// `GET /drive/measure/teeth`.
pub(super) async fn show(visit: Visit, typed: Typed) -> Result<Response, Response> {
    Ok(visit.show(HEAD, &page(&visit, visit.bike()?, &typed)))
}

/// `POST /drive/measure/teeth`.
pub(super) async fn send(visit: Visit, State(state): State<AppState>, posted: Posted) -> Result<Response, Response> {
    form::save(&visit, &state, &posted, HEAD, read, page).await
}

fn read(typed: &Typed) -> Result<Vec<Fact>, Vec<Faulty>> {
    let mut facts = Vec::new();
    let mut faults = Vec::new();
    for (name, title) in SPROCKETS {
        match typed.text(name) {
            "" => {}
            answer => match CheckKind::named(name).and_then(|kind| Check::new(kind.name, answer, None)) {
                Ok(check) => facts.push(Fact::Check(check)),
                Err(fault) => {
                    faults.push(Faulty { field: name, text: format!("{title}: {}", faulty(name, fault).text) })
                }
            },
        }
    }
    if facts.is_empty() && faults.is_empty() {
        faults.push(Faulty {
            field: "front-teeth",
            text: "Nothing is chosen. Look at one sprocket at least.".to_owned(),
        });
    }
    if faults.is_empty() { Ok(facts) } else { Err(faults) }
}

fn page(visit: &Visit, _: &Bike, typed: &Typed) -> Markup {
    let how = html! {
        (cautions::by_hand())
        (picture::teeth())
        ol {
            li { "Clean one sector, and look square at the side of the teeth. The front one wears first and hides behind its cover." }
            li { "Turn the wheel by hand once round: the worst tooth counts." }
        }
    };
    let fields = html! {
        @for (name, title) in SPROCKETS {
            (choice(&Choice { name, legend: title, hint: "", options: &LOOKS, chosen: typed.text(name), fault: typed.fault(name) }))
        }
    };
    form::sheet(visit, typed, HEAD.title, "/drive/measure/teeth", &how, &fields)
}
