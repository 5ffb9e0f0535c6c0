//! A form that came in with files: the twin of [`Posted`] for `multipart/form-data`.
//!
//! What is too large is read to its end and let go: a browser that is cut off while it sends shows no answer at all.

use axum::extract::multipart::{Field, Multipart, MultipartError};
use axum::extract::{DefaultBodyLimit, FromRequest, FromRequestParts as _, Request};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use maud::html;

use super::{AppState, Fault, Posted, Visit};

/// The most that the files of one form hold together.
pub(crate) const FILE_LIMIT_BYTES: usize = 16 << 20;
/// The most that the texts beside the files hold together, their names too.
const TEXT_LIMIT_BYTES: usize = 64 << 10;
/// Beyond this nothing is read to its end any more.
const DRAINED_BYTES: usize = 512 << 20;
/// Files in one form.
const MOST_FILES: usize = 1000;

/// What a route that takes files sets as its body limit.
pub(crate) fn file_body_limit() -> DefaultBodyLimit {
    DefaultBodyLimit::max(DRAINED_BYTES)
}

/// A file as it was sent.
pub(crate) struct Sent {
    /// Its name, without folders.
    pub(crate) name: String,
    /// Its bytes.
    pub(crate) bytes: Vec<u8>,
}

/// A form with any number of files.
pub(crate) struct PostedFiles {
    /// Its texts; each file stands among them as its name with the mark of its bytes, so that another file under the
    /// same key is another form.
    pub(crate) posted: Posted,
    /// The files; without one that has neither name nor bytes.
    pub(crate) files: Vec<Sent>,
    /// Names of files that did not fit any more.
    pub(crate) over: Vec<String>,
}

/// A form with one file.
pub(crate) struct PostedFile {
    /// Its texts, as in [`PostedFiles`].
    pub(crate) posted: Posted,
    /// The file's name as sent, without folders; empty if none was chosen.
    pub(crate) name: String,
    /// Its bytes.
    pub(crate) bytes: Vec<u8>,
}

impl FromRequest<AppState> for PostedFiles {
    type Rejection = Response;

    async fn from_request(request: Request, state: &AppState) -> Result<Self, Response> {
        let (mut parts, body) = request.into_parts();
        let visit = Visit::from_request_parts(&mut parts, state).await?;
        let path = parts.uri.path().to_owned();
        let form = Multipart::from_request(Request::from_parts(parts, body), state).await;
        let mut form = form.map_err(axum::response::IntoResponse::into_response)?;
        let (mut fields, mut files, mut over) = (Vec::new(), Vec::new(), Vec::new());
        let (mut left, mut text_left) = (FILE_LIMIT_BYTES, TEXT_LIMIT_BYTES);
        while let Some(mut field) = form.next_field().await.map_err(refused)? {
            let Some(name) = file_name(&field) else {
                let field_name = field.name().unwrap_or_default().to_owned();
                let text = whole(&mut field, text_left).await?.ok_or_else(too_large)?;
                text_left = text_left.checked_sub(text.len() + field_name.len()).ok_or_else(too_large)?;
                let text = String::from_utf8(text).map_err(|_| StatusCode::BAD_REQUEST.into_response())?;
                fields.push((field_name, text));
                continue;
            };
            match whole(&mut field, left).await? {
                Some(bytes) if bytes.is_empty() && name.is_empty() => {}
                Some(bytes) if files.len() < MOST_FILES => {
                    left -= bytes.len();
                    fields.push(("file".to_owned(), format!("{name}\n{}", store::mark(&bytes))));
                    files.push(Sent { name, bytes });
                }
                _ => over.push(name),
            }
        }
        let posted = Posted::ours(&visit, fields).map_err(|_| choose_again(&visit, &path))?;
        if files.is_empty() && !over.is_empty() {
            return Err(too_large());
        }
        Ok(Self { posted, files, over })
    }
}

impl FromRequest<AppState> for PostedFile {
    type Rejection = Response;

    async fn from_request(request: Request, state: &AppState) -> Result<Self, Response> {
        let PostedFiles { posted, files, over } = PostedFiles::from_request(request, state).await?;
        if !over.is_empty() {
            return Err(too_large());
        }
        // A second file is nobody's.
        let Sent { name, bytes } =
            files.into_iter().next().unwrap_or_else(|| Sent { name: String::new(), bytes: Vec::new() });
        Ok(Self { posted, name, bytes })
    }
}

/// The bytes of a field; `None` if they are more than `most`, then read to their end and let go.
async fn whole(field: &mut Field<'_>, most: usize) -> Result<Option<Vec<u8>>, Response> {
    let mut bytes = Some(Vec::new());
    while let Some(chunk) = field.chunk().await.map_err(refused)? {
        bytes = bytes.filter(|bytes| bytes.len() + chunk.len() <= most);
        if let Some(bytes) = &mut bytes {
            bytes.extend_from_slice(&chunk);
        }
    }
    Ok(bytes)
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
        "That is too large",
        "Nothing was stored. Files of up to 16 MiB together are read here; the command reads larger ones: tightspot ride import FILE.",
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
