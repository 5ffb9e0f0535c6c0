//! A form that came in: its texts as typed, after its token was found to be ours.

use axum::Form;
use axum::extract::{FromRequest, FromRequestParts as _, Request};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use jiff::ZonedDateTime;
use maud::html;
use store::Post;

use super::{AppState, Visit, read_in};

/// Name of the hidden field with the session's token.
pub(crate) const TOKEN: &str = "form_token";
/// Name of the hidden field with the form's own key.
pub(crate) const KEY: &str = "form_key";
/// The longest key of a form: ours are shorter, the record keeps none that is longer, and many are remembered.
const LONGEST_KEY: usize = 200;

/// The texts of a form, trimmed of nothing and repaired in nothing.
pub(crate) struct Posted {
    fields: Vec<(String, String)>,
    key: String,
}

impl Posted {
    /// The first text of a field; `""` if it did not come.
    pub(crate) fn text(&self, name: &str) -> &str {
        self.all(name).next().unwrap_or("")
    }

    /// Every text of a field that may come more than once.
    pub(crate) fn all<'a>(&'a self, name: &str) -> impl Iterator<Item = &'a str> {
        self.fields.iter().filter(move |(n, _)| n == name).map(|(_, text)| text.as_str())
    }

    /// Every field in the order sent, without token and key.
    pub(crate) fn fields(&self) -> &[(String, String)] {
        &self.fields
    }

    /// The form as the store takes it, sent at this moment.
    pub(crate) fn at(&self, now: &ZonedDateTime) -> Post<'_> {
        Post { now: now.timestamp(), key: Some(&self.key) }
    }

    /// The form's own key: the same for a double tap, another for every form shown.
    pub(crate) fn key(&self) -> &str {
        &self.key
    }

    /// A form out of its fields, if its token is ours and it has a key; else the fields come back without the two.
    pub(super) fn ours(visit: &Visit, fields: Vec<(String, String)>) -> Result<Self, Vec<(String, String)>> {
        let mut fields = read_in::joined(fields);
        let token = take(&mut fields, TOKEN);
        let key = take(&mut fields, KEY);
        let ours = token == visit.token() && (1..=LONGEST_KEY).contains(&key.len());
        if ours { Ok(Self { fields, key }) } else { Err(fields) }
    }
}

impl FromRequest<AppState> for Posted {
    type Rejection = Response;

    async fn from_request(request: Request, state: &AppState) -> Result<Self, Response> {
        let (mut parts, body) = request.into_parts();
        let visit = Visit::from_request_parts(&mut parts, state).await?;
        let request = Request::from_parts(parts, body);
        let path = request.uri().path().to_owned();
        let form = Form::<Vec<(String, String)>>::from_request(request, state).await;
        let Form(fields) = form.map_err(axum::response::IntoResponse::into_response)?;
        Self::ours(&visit, fields).map_err(|fields| send_again(&visit, &path, &fields))
    }
}

/// Removes a field and gives its text.
fn take(fields: &mut Vec<(String, String)>, name: &str) -> String {
    let text = fields.iter().find(|(n, _)| n == name).map(|(_, text)| text.clone());
    fields.retain(|(n, _)| n != name);
    text.unwrap_or_default()
}

/// The page of a form whose token is not (or no longer) ours: everything typed is kept and can be sent with one tap.
fn send_again(visit: &Visit, path: &str, fields: &[(String, String)]) -> Response {
    let kept = html! {
        p { "The program was started anew since this form was opened, or the form came from elsewhere. Nothing was saved yet." }
        form method="post" action=(path) {
            (visit.form_key())
            @for (name, text) in fields { input type="hidden" name=(name) value=(text); }
            @if !fields.is_empty() {
                dl class="pairs" {
                    @for (name, text) in fields { dt { (name.replace('_', " ")) } dd { (text) } }
                }
            }
            button type="submit" class="button primary" { "Send it now" }
        }
    };
    visit.refuse(StatusCode::FORBIDDEN, "Please send this once more", &kept).into_response()
}
