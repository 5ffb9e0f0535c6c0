//! Sessions: a random cookie, and the form token that only our own pages know.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};
use std::time::Instant;

use axum::http::HeaderMap;
use axum::http::header::COOKIE;

/// As many sessions as one person's browsers will ever have at once; the one unused longest gives way.
const MOST: usize = 1024;

/// Random text of 128 bits, 32 hexadecimal digits.
///
/// # Errors
/// The system has no randomness to give.
pub(crate) fn random_word() -> Result<String, getrandom::Error> {
    let mut bytes = [0_u8; 16];
    getrandom::fill(&mut bytes)?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// The value of a cookie.
pub(crate) fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let lines = headers.get_all(COOKIE).iter().filter_map(|line| line.to_str().ok());
    lines
        .flat_map(|line| line.split("; "))
        .filter_map(|pair| pair.split_once('='))
        .find(|(n, _)| *n == name)
        .map(|(_, v)| v)
}

/// One browser's session.
#[derive(Debug, Clone)]
pub(crate) struct Session {
    /// The cookie's value.
    pub(crate) id: String,
    /// What our own forms carry.
    pub(crate) token: String,
    /// Whether the browser still has to be told the cookie.
    pub(crate) fresh: bool,
}

struct Known {
    token: String,
    seen: Instant,
}

/// Every live session, in memory: a restart forgets them, and a form sent after it is shown again to be confirmed.
pub(crate) struct Sessions {
    cookie: String,
    known: Mutex<HashMap<String, Known>>,
}

impl Sessions {
    /// No session yet. The cookie is named after the port, for two servers on one machine share their cookies.
    pub(crate) fn new(port: u16) -> Self {
        Self { cookie: format!("session_{port}"), known: Mutex::default() }
    }

    /// The session of a request, a new one if it brings none that is known.
    ///
    /// # Errors
    /// The system has no randomness to give.
    pub(crate) fn of(&self, headers: &HeaderMap) -> Result<Session, getrandom::Error> {
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        let id = cookie(headers, &self.cookie);
        if let Some((id, session)) = id.and_then(|id| known.get_mut(id).map(|session| (id, session))) {
            session.seen = Instant::now();
            return Ok(Session { id: id.to_owned(), token: session.token.clone(), fresh: false });
        }
        let session = Session { id: random_word()?, token: random_word()?, fresh: true };
        if known.len() >= MOST {
            let oldest = known.iter().min_by_key(|(_, one)| one.seen).map(|(id, _)| id.clone());
            oldest.map(|id| known.remove(&id));
        }
        known.insert(session.id.clone(), Known { token: session.token.clone(), seen: Instant::now() });
        Ok(session)
    }

    /// The header that gives the browser its cookie.
    pub(crate) fn set_cookie(&self, session: &Session) -> String {
        format!("{}={}; HttpOnly; SameSite=Strict; Path=/", self.cookie, session.id)
    }
}
