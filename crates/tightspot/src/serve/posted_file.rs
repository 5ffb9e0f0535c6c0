//! A form that came in with a file: the twin of [`Posted`] for `multipart/form-data`.

use axum::extract::multipart::{Field, Multipart, MultipartError};
use axum::extract::{FromRequest, FromRequestParts as _, Request};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use maud::html;

use super::{AppState, Fault, Posted, Visit};

/// The largest file, and the room for the fields beside it.
const FILE_LIMIT_BYTES: usize = 16 << 20;
/// What a route that takes a file sets as its body limit.
pub(crate) const FILE_BODY_LIMIT_BYTES: usize = FILE_LIMIT_BYTES + (64 << 10);

/// A form with one file.
pub(crate) struct PostedFile {
    /// Its texts; the file stands among them as its name with the mark of its bytes, so that another file under the
    /// same key is another form.
    pub(crate) posted: Posted,
    /// The file's name as sent, without folders; empty if none was chosen.
    pub(crate) name: String,
    /// Its bytes.
    pub(crate) bytes: Vec<u8>,
}

impl FromRequest<AppState> for PostedFile {
    type Rejection = Response;

    async fn from_request(request: Request, state: &AppState) -> Result<Self, Response> {
        let (mut parts, body) = request.into_parts();
        let visit = Visit::from_request_parts(&mut parts, state).await?;
        let path = parts.uri.path().to_owned();
        let form = Multipart::from_request(Request::from_parts(parts, body), state).await;
        let mut form = form.map_err(axum::response::IntoResponse::into_response)?;
        let (mut fields, mut name, mut bytes) = (Vec::new(), String::new(), Vec::new());
        while let Some(field) = form.next_field().await.map_err(refused)? {
            match file_name(&field) {
                Some(file) if bytes.is_empty() => {
                    bytes = field.bytes().await.map_err(refused)?.to_vec();
                    fields.push(("file".to_owned(), format!("{file}\n{}", store::mark(&bytes))));
                    name = file;
                }
                // A second file is nobody's.
                Some(_) => {}
                None => {
                    let field_name = field.name().unwrap_or_default().to_owned();
                    fields.push((field_name, field.text().await.map_err(refused)?));
                }
            }
        }
        match Posted::ours(&visit, fields) {
            Ok(_) if bytes.len() > FILE_LIMIT_BYTES => Err(too_large()),
            Ok(posted) => Ok(Self { posted, name, bytes }),
            Err(_) => Err(choose_again(&visit, &path)),
        }
    }
}

/// The last part of a file's name; `None` for a field of text.
fn file_name(field: &Field<'_>) -> Option<String> {
    let name = field.file_name()?;
    Some(name.rsplit(['/', '\\']).next().unwrap_or_default().to_owned())
}

fn refused(cause: MultipartError) -> Response {
    match cause.status() {
        StatusCode::PAYLOAD_TOO_LARGE => too_large(),
        status => status.into_response(),
    }
}

fn too_large() -> Response {
    Fault::new(
        StatusCode::PAYLOAD_TOO_LARGE,
        "That file is too large",
        "Nothing was stored. A file of up to 16 MiB is read here; the command reads larger ones: tightspot ride import FILE.",
    )
    .into_response()
}

/// The token is not (or no longer) ours; a browser does not let a page keep the file that was chosen.
fn choose_again(visit: &Visit, path: &str) -> Response {
    let text = html! {
        p { "The program was started anew since this form was opened, or the form came from elsewhere. Nothing was stored." }
        p { a class="button primary" href=(path) { "Choose the file again" } }
    };
    visit.refuse(StatusCode::FORBIDDEN, "Please send this once more", &text)
}
