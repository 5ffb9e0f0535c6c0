//! What a program sends: members of the address and of the body, against the same declarations that describe them.

use axum::body::Bytes;
use axum::extract::Query;
use axum::http::StatusCode;
use axum::http::header::{CONTENT_TYPE, HeaderMap};
use figures::{Field, Given, Kind, NoTracks};
use serde_json::{Map, Value};

use super::refusal::refused;
use crate::serve::{Fault, Pointed};

/// Members of an object.
pub(super) type Members = Map<String, Value>;

/// The members of an address as they are typed.
pub(super) type Typed = Query<Vec<(String, String)>>;

/// The body's text.
///
/// # Errors
/// It is not sent as JSON, or not UTF-8.
pub(super) fn json_text(headers: &HeaderMap, body: Bytes) -> Result<String, Fault> {
    let kind = headers.get(CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or("");
    if !kind.split(';').next().is_some_and(|kind| kind.trim().eq_ignore_ascii_case("application/json")) {
        return Err(Fault::new(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "The body is not sent as JSON",
            "Send one JSON object with content-type application/json.",
        ));
    }
    String::from_utf8(body.into()).map_err(|_| no_json("it is not UTF-8"))
}

/// The body as one object, no member of it given twice.
///
/// # Errors
/// As [`json_text`], or it is no object.
pub(super) fn object(headers: &HeaderMap, body: Bytes) -> Result<Members, Fault> {
    let text = json_text(headers, body)?;
    figures::line::read(&text).map_err(|refusal| match refusal.code {
        "no_json" => no_json(&refusal.text),
        code => refused(&refusal.field, code, &refusal.text),
    })
}

/// The refusal of a body that is none.
pub(super) fn no_json(why: &str) -> Fault {
    Fault::new(StatusCode::BAD_REQUEST, "The body is no JSON", format!("Send one JSON object; {why}."))
}

/// Checks members against their declarations.
///
/// # Errors
/// The first fault: 400 for a member that is not declared, else 422.
pub(super) fn checked<'a>(fields: &'static [Field], members: &'a Members) -> Result<Given<'a>, Fault> {
    Given::check(fields, members, &NoTracks).map_err(|refusal| refused(&refusal.field, refusal.code, &refusal.text))
}

/// The members of an address, each read as its declaration says.
///
/// # Errors
/// A member twice, or not declared, or not of its kind.
pub(super) fn query(fields: &'static [Field], typed: Vec<(String, String)>) -> Result<Members, Fault> {
    let mut members = Members::new();
    for (name, text) in typed {
        let kind = fields.iter().find(|field| field.name == name).map(|field| field.kind);
        let value = kind.map_or_else(|| Value::from(text.as_str()), |kind| read(kind, &text));
        if members.insert(name.clone(), value).is_some() {
            return Err(refused(&name, "given_twice", &format!("{name} is given twice. Give it once.")));
        }
    }
    Ok(members)
}

/// A number or flag where one is declared; else the text itself, which is then refused for its kind.
fn read(kind: Kind, text: &str) -> Value {
    match kind {
        Kind::Number(_) | Kind::Whole(_) | Kind::Flag => {
            let value = serde_json::from_str::<Value>(text).ok();
            value.filter(|value| value.is_number() || value.is_boolean()).unwrap_or_else(|| Value::from(text))
        }
        _ => Value::from(text),
    }
}

/// The number in an address such as `/rides/12`.
///
/// # Errors
/// It is none.
pub(super) fn number(name: &str, text: &str) -> Result<i64, Fault> {
    let digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    text.parse().ok().filter(|_| digits).ok_or_else(|| {
        let detail = format!("{name} is \"{}\"; a whole number is wanted.", text.chars().take(60).collect::<String>());
        let pointed = Pointed { pointer: format!("/{name}"), code: "wrong_type".to_owned(), detail: detail.clone() };
        Fault::new(StatusCode::UNPROCESSABLE_ENTITY, "A field is refused", detail).pointed(vec![pointed])
    })
}
