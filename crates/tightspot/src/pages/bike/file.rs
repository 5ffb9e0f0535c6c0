//! A bike's file: brought in by paste or as a file, all or nothing, and taken out.

use axum::extract::State;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use upkeep::bike::Bike;

use super::bikes::looked_at;
use super::standing::Standing;
use super::{Typed, again, not_stored, said};
use crate::frame::field::{Field, long_field};
use crate::frame::{actions, fold};
use crate::serve::{AppState, PostedFile, Visit};

/// `POST /bike/import`: the sheet becomes what the file says, or nothing is stored.
pub(super) async fn import(visit: Visit, State(state): State<AppState>, file: PostedFile) -> Response {
    let PostedFile { posted, name, bytes } = file;
    let save = async {
        let text = match read(posted.text("text"), &name, bytes) {
            Ok(text) => text,
            Err(why) => return again(&state, &visit, &Typed::faulty("text", why)),
        };
        let bike = match Bike::from_toml(&text) {
            Ok(bike) => bike,
            Err(faults) => {
                let faults = faults.iter().map(|fault| ("text".to_owned(), fault.to_string())).collect();
                return again(&state, &visit, &Typed { text, faults, ..Typed::default() });
            }
        };
        let post = posted.at(&state.clock().now());
        let done = state.writing().store_mut().put_bike(&bike, &post);
        match done {
            Ok(done) => looked_at(&bike.id, Redirect::to(&format!("/bike?{}", said(&done, "1"))).into_response()),
            Err(why) => not_stored(&why),
        }
    };
    state.once().run(&posted, save).await
}

/// The text of the file, else the text pasted.
fn read(pasted: &str, name: &str, bytes: Vec<u8>) -> Result<String, String> {
    if bytes.is_empty() {
        return match (pasted.trim().is_empty(), name.is_empty()) {
            (false, _) => Ok(pasted.replace("\r\n", "\n")),
            (true, true) => Err("Nothing was given. Choose a bike's file, or paste its text.".to_owned()),
            (true, false) => Err(format!("{name} is empty. Choose another file, or paste its text.")),
        };
    }
    String::from_utf8(bytes).map_err(|_| format!("{name} is no text. A bike's file is plain text, as taken out here."))
}

/// `GET /bike/export`: the bike's file, to keep.
pub(super) async fn export(visit: Visit) -> Result<Response, Response> {
    let bike = visit.bike()?;
    // An id holds letters, digits and hyphens only.
    let named = format!("attachment; filename=\"{}.toml\"", bike.id);
    let headers = [(CONTENT_TYPE, "text/plain; charset=utf-8".to_owned()), (CONTENT_DISPOSITION, named)];
    Ok((headers, bike.to_toml()).into_response())
}

/// Taking out and bringing in.
pub(super) fn forms(visit: &Visit, standing: &Standing, typed: &Typed) -> Markup {
    let faults: Vec<&str> =
        typed.faults.iter().filter(|(at, _)| at == "text").map(|(_, fault)| fault.as_str()).collect();
    let first = faults.first().copied().unwrap_or("");
    let first =
        if faults.len() > 1 { format!("{} faults; the first: {first}", faults.len()) } else { first.to_owned() };
    let text = Field::text("text", "Or its text")
        .hint("Paste it here. A fault is named with its line, and nothing is stored then.");
    let form = html! {
        form method="post" action="/bike/import" enctype="multipart/form-data" {
            (visit.form_key_of("import"))
            div class="field" {
                label for="file" { "A bike's file" }
                p class="hint" id="file-hint" { "Plain text, as taken out here. The sheet becomes what the file says." }
                input id="file" name="file" type="file" accept=".toml,text/plain" aria-describedby="file-hint";
            }
            (long_field(&text.value(&typed.text).fault(&first), 8))
            (actions(&html! { button type="submit" class="button primary" { "Bring it in" } }))
        }
    };
    html! {
        @if standing.bike.is_some() {
            p { a class="button small" href="/bike/export" download { "Take this bike out as a file" } }
        }
        (fold("Bring a bike in from a file", !first.is_empty(), &form))
    }
}
