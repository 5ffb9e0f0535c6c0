//! In which units a page is read and its fields are typed: the browser's own choice, else what the settings say.
//!
//! Pages only: what programs are answered stays in the units that its names say. A field that is shown in another unit
//! than it is kept in brings that unit along, and its text is put together with it here, before anybody reads it: what was
//! typed then says itself what it means, in an address, in a form shown again and after the units were switched.

use std::pin::Pin;
use std::task::{Context, Poll};

use axum::extract::{Query, Request, State};
use axum::http::Uri;
use axum::middleware::Next;
use axum::response::Response;
use measure::shown::{self, Units};

use super::AppState;
use super::session::cookie;

/// Name of the cookie that keeps the choice.
pub(crate) const COOKIE: &str = "units";
/// What the name of a hidden field with a unit begins with; the field's own name follows.
pub(crate) const UNIT_OF: &str = "unit.";

/// Answers a request in the units of whoever asks.
pub(super) async fn chosen(State(state): State<AppState>, mut request: Request, next: Next) -> Response {
    let units = cookie(request.headers(), COOKIE).and_then(Units::named).unwrap_or_else(|| state.units());
    if let Some(uri) = with_units(request.uri()) {
        *request.uri_mut() = uri;
    }
    Held { units, work: Box::pin(next.run(request)) }.await
}

/// Work of which every step is done in these units, whichever thread takes it up.
struct Held<F> {
    units: Units,
    work: Pin<Box<F>>,
}

impl<F: Future> Future for Held<F> {
    type Output = F::Output;

    fn poll(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<F::Output> {
        let units = self.units;
        shown::in_units(units, || self.work.as_mut().poll(cx))
    }
}

/// The address with each text that came with a unit put together with it; none if no unit came.
fn with_units(uri: &Uri) -> Option<Uri> {
    uri.query().filter(|query| query.contains(UNIT_OF))?;
    let Query(pairs) = Query::<Vec<(String, String)>>::try_from_uri(uri).ok()?;
    let pairs = joined(pairs);
    let query: Vec<String> = pairs.iter().map(|(name, text)| format!("{}={}", encoded(name), encoded(text))).collect();
    format!("{}?{}", uri.path(), query.join("&")).parse().ok()
}

/// The fields of a form, each text that came with a unit put together with it.
pub(super) fn joined(mut fields: Vec<(String, String)>) -> Vec<(String, String)> {
    let units: Vec<(String, String)> =
        fields.iter().filter_map(|(name, unit)| Some((name.strip_prefix(UNIT_OF)?.to_owned(), unit.clone()))).collect();
    fields.retain(|(name, _)| !name.starts_with(UNIT_OF));
    for (name, text) in &mut fields {
        if let Some((_, unit)) = units.iter().find(|(of, _)| of == name)
            && is_bare(text)
        {
            *text = format!("{} {unit}", text.trim());
        }
    }
    fields
}

/// A text as it stands in an address.
pub(crate) fn encoded(text: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-._~".contains(&byte);
    text.bytes().map(|byte| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") }).collect()
}

/// Whether a text is a number without any unit: what says its own unit is left as it is.
pub(crate) fn is_bare(text: &str) -> bool {
    let letters = || text.trim().chars();
    letters().any(|letter| letter.is_ascii_digit())
        && letters().all(|letter| {
            letter.is_ascii_digit() || matches!(letter, '.' | ',' | '-' | '+' | '/' | ' ' | '\u{2212}' | '\u{2013}')
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pairs(all: &[(&str, &str)]) -> Vec<(String, String)> {
        all.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
    }

    #[test]
    fn a_bare_number_is_put_together_with_the_unit_of_its_field_and_no_other_text_is() {
        let sent = pairs(&[
            ("slack_mm", "3 3/8"),
            ("unit.slack_mm", "in"),
            ("left_mm", "605.6 mm"),
            ("unit.left_mm", "in"),
            ("right_mm", ""),
            ("unit.right_mm", "in"),
            ("ground", "loam"),
        ]);
        let wanted = [("slack_mm", "3 3/8 in"), ("left_mm", "605.6 mm"), ("right_mm", ""), ("ground", "loam")];
        assert_eq!(joined(sent), pairs(&wanted));
        assert_eq!(joined(pairs(&[("slack_mm", "85")])), pairs(&[("slack_mm", "85")]));
        assert_eq!(joined(joined(pairs(&[("a", "1"), ("unit.a", "in")]))), pairs(&[("a", "1 in")]));
    }

    #[test]
    fn an_address_says_what_its_numbers_mean() {
        let uri: Uri = "/drive?slack_mm=3%2C35&unit.slack_mm=in&kind=free".parse().expect("an address");
        assert_eq!(with_units(&uri).expect("another").to_string(), "/drive?slack_mm=3%2C35%20in&kind=free");
        assert_eq!(with_units(&"/drive?slack_mm=85".parse().expect("an address")), None);
    }

    #[test]
    fn only_numbers_are_bare() {
        assert!(["85", " 3,35 ", "3 3/8", "−3", "-0.5", "1.250"].into_iter().all(is_bare));
        assert!(!["", "  ", "85 mm", "3\"", "loam", "-", "2h45"].into_iter().any(is_bare));
    }
}
