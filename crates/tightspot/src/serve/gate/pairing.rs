//! A phone comes in by a picture on the screen: one code, good once and for ten minutes.

use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use super::same;

/// How long a code is good.
pub(crate) const GOOD_FOR: Duration = Duration::from_secs(10 * 60);
/// Digits and letters that are not mistaken for each other, 32 of them.
const LETTERS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";
/// Letters of a code: 130 bits.
const LENGTH: usize = 26;

/// A code and how long it is good.
struct Code {
    text: String,
    until: Instant,
}

/// The one code that is good at present.
#[derive(Default)]
pub(crate) struct Pairing {
    code: Mutex<Option<Code>>,
}

impl Pairing {
    /// Makes a new code; the one before is good no more.
    ///
    /// # Errors
    /// The system has no randomness to give.
    pub(crate) fn make(&self, now: Instant) -> Result<String, getrandom::Error> {
        let mut bytes = [0_u8; LENGTH];
        getrandom::fill(&mut bytes)?;
        let text: String = bytes.iter().map(|byte| char::from(LETTERS[usize::from(byte % 32)])).collect();
        let code = Code { text: text.clone(), until: now + GOOD_FOR };
        *self.code.lock().unwrap_or_else(PoisonError::into_inner) = Some(code);
        Ok(text)
    }

    /// The code that is good at present.
    pub(crate) fn current(&self, now: Instant) -> Option<String> {
        let kept = self.code.lock().unwrap_or_else(PoisonError::into_inner);
        kept.as_ref().filter(|code| now < code.until).map(|code| code.text.clone())
    }

    /// No code is good any more.
    pub(super) fn forget(&self) {
        *self.code.lock().unwrap_or_else(PoisonError::into_inner) = None;
    }

    /// Whether a code is the good one; then it is used up.
    pub(crate) fn redeem(&self, typed: &str, now: Instant) -> bool {
        let typed: String = typed.chars().filter(|one| !one.is_whitespace() && *one != '-').collect();
        let mut kept = self.code.lock().unwrap_or_else(PoisonError::into_inner);
        let good = kept.as_ref().is_some_and(|code| now < code.until && same(&code.text, &typed.to_ascii_lowercase()));
        if good {
            *kept = None;
        }
        good
    }
}

/// The code in groups, to be typed from the screen.
pub(crate) fn in_groups(code: &str) -> String {
    let letters: Vec<char> = code.chars().collect();
    letters.chunks(4).map(|group| group.iter().collect::<String>()).collect::<Vec<_>>().join("-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_good_once_and_not_for_long() {
        let (pairing, now) = (Pairing::default(), Instant::now());
        assert!(!pairing.redeem("", now));
        let code = pairing.make(now).expect("a code");
        assert_eq!(code.len(), LENGTH);
        assert!(!pairing.redeem(&code[1..], now) && !pairing.redeem("", now));
        assert!(pairing.redeem(&in_groups(&code).to_ascii_uppercase(), now));
        assert!(!pairing.redeem(&code, now), "it is good twice");
        let late = pairing.make(now).expect("a code");
        assert!(!pairing.redeem(&late, now + GOOD_FOR));
        let (before, after) = (pairing.make(now).expect("a code"), pairing.make(now).expect("a code"));
        assert!(before != after && !pairing.redeem(&before, now) && pairing.redeem(&after, now));
    }
}
