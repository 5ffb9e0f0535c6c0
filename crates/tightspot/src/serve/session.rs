//! Sessions: a random cookie, and the form token that only our own pages know.

use std::collections::HashMap;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use axum::http::header::{COOKIE, HeaderMap, HeaderValue, SET_COOKIE};
use axum::response::Response;
use jiff::Timestamp;

/// As many sessions as one person's browsers will ever have at once; the one unused longest gives way.
const MOST: usize = 1024;
/// A session that nobody used for so long ends.
const UNUSED: Duration = Duration::from_secs(30 * 24 * 60 * 60);

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

/// The same answer with a cookie for the browser, as a whole line.
pub(crate) fn with_cookie(mut response: Response, line: &str) -> Response {
    if let Ok(line) = HeaderValue::from_str(line) {
        response.headers_mut().append(SET_COOKIE, line);
    }
    response
}

/// The same answer, a choice kept in the browser for a year.
pub(crate) fn keeping(response: Response, name: &str, word: &str) -> Response {
    with_cookie(response, &format!("{name}={word}; HttpOnly; SameSite=Strict; Path=/; Max-Age=31536000"))
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

/// How a browser came in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct SignedIn {
    /// By password or by picture.
    pub(crate) by: &'static str,
    /// From which address.
    pub(crate) from: String,
    /// What the browser calls itself.
    pub(crate) agent: String,
    /// When.
    pub(crate) since: Timestamp,
}

struct Known {
    number: u64,
    token: String,
    seen: Instant,
    signed_in: Option<SignedIn>,
}

#[derive(Default)]
struct All {
    count: u64,
    by_id: HashMap<String, Known>,
}

impl All {
    fn put(&mut self, signed_in: Option<SignedIn>) -> Result<Session, getrandom::Error> {
        let session = Session { id: random_word()?, token: random_word()?, fresh: true };
        self.make_room();
        self.count += 1;
        let known = Known { number: self.count, token: session.token.clone(), seen: Instant::now(), signed_in };
        self.by_id.insert(session.id.clone(), known);
        Ok(session)
    }

    /// A session that has not ended, used by being asked for.
    fn live(&mut self, id: &str) -> Option<&Known> {
        if self.by_id.get(id)?.seen.elapsed() >= UNUSED {
            self.by_id.remove(id);
        }
        let one = self.by_id.get_mut(id)?;
        one.seen = Instant::now();
        Some(one)
    }

    /// Whoever is not signed in gives way first: a flood of strangers signs nobody out. Many of them give way at once, so
    /// that not every stranger has to wait until all others are looked at.
    fn make_room(&mut self) {
        if self.by_id.len() < MOST {
            return;
        }
        self.by_id.retain(|_, one| one.seen.elapsed() < UNUSED);
        let mut strangers: Vec<(Instant, String)> = Vec::new();
        strangers.extend(
            self.by_id.iter().filter(|(_, one)| one.signed_in.is_none()).map(|(id, one)| (one.seen, id.clone())),
        );
        strangers.sort_unstable();
        strangers.truncate((strangers.len() / 8).max(1));
        strangers.iter().for_each(|(_, id)| drop(self.by_id.remove(id)));
        if self.by_id.len() >= MOST {
            let oldest = self.by_id.iter().min_by_key(|(_, one)| one.seen).map(|(id, _)| id.clone());
            oldest.map(|id| self.by_id.remove(&id));
        }
    }
}

/// Every live session, in memory: a restart forgets them, and a form sent after it is shown again to be confirmed.
pub(crate) struct Sessions {
    cookie: String,
    all: Mutex<All>,
}

impl Sessions {
    /// No session yet. The cookie is named after the port, for two servers on one machine share their cookies; where
    /// what passes is encrypted its name says so, and a browser then takes it from nowhere else.
    pub(crate) fn new(port: u16, secure: bool) -> Self {
        let host = if secure { "__Host-" } else { "" };
        Self { cookie: format!("{host}session_{port}"), all: Mutex::default() }
    }

    fn all(&self) -> MutexGuard<'_, All> {
        self.all.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The session of a request, a new one if it brings none that is known.
    ///
    /// # Errors
    /// The system has no randomness to give.
    pub(crate) fn of(&self, headers: &HeaderMap) -> Result<Session, getrandom::Error> {
        let mut all = self.all();
        if let Some((id, session)) = cookie(headers, &self.cookie).and_then(|id| Some((id, all.live(id)?))) {
            return Ok(Session { id: id.to_owned(), token: session.token.clone(), fresh: false });
        }
        all.put(None)
    }

    /// Whether a request comes from a browser that signed in.
    pub(crate) fn is_signed_in(&self, headers: &HeaderMap) -> bool {
        let mut all = self.all();
        cookie(headers, &self.cookie).and_then(|id| all.live(id)).is_some_and(|one| one.signed_in.is_some())
    }

    /// A new session for a browser that signs in; the one it had ends.
    ///
    /// # Errors
    /// The system has no randomness to give.
    pub(crate) fn sign_in(&self, before: &str, how: SignedIn) -> Result<Session, getrandom::Error> {
        let mut all = self.all();
        all.by_id.remove(before);
        all.put(Some(how))
    }

    /// Ends a session.
    pub(crate) fn end(&self, id: &str) {
        self.all().by_id.remove(id);
    }

    /// Ends the session of a number; says whether there was one.
    pub(crate) fn end_number(&self, number: u64) -> bool {
        let mut all = self.all();
        let before = all.by_id.len();
        all.by_id.retain(|_, one| one.number != number || one.signed_in.is_none());
        all.by_id.len() < before
    }

    /// Ends every session but this one.
    pub(crate) fn end_others(&self, id: &str) {
        self.all().by_id.retain(|known, _| known == id);
    }

    /// Who is signed in: number, how, and whether it is this session; the latest first.
    pub(crate) fn signed_in(&self, id: &str) -> Vec<(u64, SignedIn, bool)> {
        let all = self.all();
        let mut list: Vec<_> = all
            .by_id
            .iter()
            .filter_map(|(known, one)| Some((one.number, one.signed_in.clone()?, known == id)))
            .collect();
        list.sort_unstable_by_key(|(number, _, _)| std::cmp::Reverse(*number));
        list
    }

    /// The header that gives the browser its cookie.
    pub(crate) fn set_cookie(&self, session: &Session) -> String {
        format!("{}={}; HttpOnly; SameSite=Strict; Path=/", self.cookie, session.id)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_session_that_nobody_used_has_ended_and_no_look_at_an_open_page_revives_it() {
        let sessions = Sessions::new(4717, false);
        let how = SignedIn { by: "password", from: String::new(), agent: String::new(), since: Timestamp::UNIX_EPOCH };
        let session = sessions.sign_in("", how).expect("a session");
        let line = format!("session_4717={}", session.id).parse().expect("a header");
        let headers = HeaderMap::from_iter([(COOKIE, line)]);
        assert!(sessions.is_signed_in(&headers));
        let long_ago = Instant::now().checked_sub(UNUSED).expect("a time before");
        sessions.all().by_id.get_mut(&session.id).expect("it is kept").seen = long_ago;
        let after = sessions.of(&headers).expect("a session");
        assert!(after.fresh && after.id != session.id && after.token != session.token);
        assert!(!sessions.is_signed_in(&headers), "it was revived");
    }
}
