//! Who may look: signing in and out, pairing a phone, browsers that are signed in, links for helpers, the password.
//!
//! Layout: [`sign_in`] by password · [`pair`] by picture · [`browsers`] the page of the owner · [`one_page`] what a helper sees ·
//! [`password`] another one.

mod browsers;
mod one_page;
mod pair;
mod password;
mod sign_in;
#[cfg(test)]
mod tests;

use std::time::Instant;

use axum::http::header::{HeaderMap, USER_AGENT};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use maud::{Markup, html};

use crate::frame::field::{Fault as FieldFault, fault_summary};
use crate::serve::gate::password::log;
use crate::serve::{AppState, Fault, Page, Peer, SignedIn, Visit, with_cookie};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::list("/access", "Who may look", || get(browsers::show))
        .at(|_| vec!["/access".into(), "/access?pairing=1".into()]),
    Page::target("/access/end", || post(browsers::end)),
    Page::target("/access/pair", || post(browsers::pair)),
    Page::target("/access/helper", || post(one_page::make)),
    Page::target("/access/helper/end", || post(one_page::end)),
    Page::target("/access/password", || post(password::change)),
    Page::new("/sign-in", "Sign in", || get(sign_in::show).post(sign_in::enter)),
    Page::target("/sign-out", || post(sign_in::leave)),
    Page::new("/pair", "Pair a phone", || get(pair::show).post(pair::enter)),
    Page::target("/help/{token}", || get(one_page::show)),
];

/// Opens a new session for a browser that has shown who it is, and leads it on.
fn let_in(state: &AppState, visit: &Visit, peer: Peer, headers: &HeaderMap, by: &'static str, to: &str) -> Response {
    state.gate().tries.right(peer);
    let agent = headers.get(USER_AGENT).and_then(|agent| agent.to_str().ok()).unwrap_or("a program without a name");
    let how = SignedIn {
        by,
        from: peer.to_string(),
        agent: agent.chars().take(120).collect(),
        since: state.clock().now().timestamp(),
    };
    let session = match state.sessions().sign_in(visit.session_id(), how) {
        Ok(session) => session,
        Err(cause) => return Fault::broken(&cause).into_response(),
    };
    log(&format!("{peer} signed in by {by}"));
    with_cookie(Redirect::to(to).into_response(), &state.sessions().set_cookie(&session))
}

/// The address only if it is a path of this server: never `//elsewhere`, never another scheme.
pub(super) fn own_path(back: &str) -> &str {
    // A browser leaves tabs and line breaks out of an address: what they part must not come together as `//`.
    let own =
        back.starts_with('/') && !back.starts_with("//") && !back.contains(|one: char| one == '\\' || one.is_control());
    if own { back } else { "/" }
}

/// Notes a wrong password or code, and says so to whoever watches the program.
fn refuse(state: &AppState, peer: Peer, what: &str) {
    let count = state.gate().tries.wrong(peer, Instant::now());
    log(&format!("wrong {what} from {peer}, number {count}"));
}

/// The summary of one fault.
fn summary(field: &str, text: &str) -> Markup {
    html! { @if !text.is_empty() { (fault_summary(&[FieldFault { field, text }])) } }
}

#[cfg(test)]
mod way_back {
    use super::*;

    #[test]
    fn the_way_back_never_leaves_this_server() {
        assert_eq!(own_path("/drive?kind=slack"), "/drive?kind=slack");
        let torn = ["/a\r\nb", "/\t/evil.example", "/\u{b}/evil.example"];
        for elsewhere in
            ["//evil.example/", "https://evil.example/", "/\\evil.example", "", "javascript:1"].into_iter().chain(torn)
        {
            assert_eq!(own_path(elsewhere), "/", "{elsewhere}");
        }
    }
}
