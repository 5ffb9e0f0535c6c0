//! Answers of figures that take long and rest on little of the record: kept by all that was given, whatever is written
//! meanwhile.

use std::num::NonZeroUsize;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

use advice::ask::{Gap, Given, Kept};
use figures::Answer;
use lru::LruCache;

/// How many answers are kept; each is a few kilobytes.
const KEPT: NonZeroUsize = NonZeroUsize::new(32).expect("not nought");

/// The answers kept, by figure and all that it was given.
#[derive(Debug)]
pub(super) struct Answers {
    kept: Mutex<LruCache<(&'static str, String), Answer>>,
    forgets: AtomicBool,
}

impl Default for Answers {
    fn default() -> Self {
        Self { kept: Mutex::new(LruCache::new(KEPT)), forgets: AtomicBool::new(false) }
    }
}

impl Answers {
    /// Keeps no answer from now on, so that what they cost can be measured.
    pub(super) fn forget(&self) {
        self.forgets.store(true, Ordering::Relaxed);
    }

    fn kept(&self) -> MutexGuard<'_, LruCache<(&'static str, String), Answer>> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Kept for Answers {
    fn answer(
        &self,
        figure: &'static str,
        given: &Given,
        work: &dyn Fn() -> Result<Answer, Gap>,
    ) -> Result<Answer, Gap> {
        if self.forgets.load(Ordering::Relaxed) {
            return work();
        }
        let Ok(asked) = serde_json::to_string(given) else { return work() };
        let key = (figure, asked);
        if let Some(kept) = self.kept().get(&key) {
            return Ok(kept.clone());
        }
        let answer = work()?;
        self.kept().put(key, answer.clone());
        Ok(answer)
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use serde_json::json;

    use super::*;

    #[test]
    fn only_the_very_same_question_is_answered_from_what_was_kept() {
        let (answers, worked) = (Answers::default(), Cell::new(0));
        let ask = |teeth: i32| {
            let given = json!({ "teeth": teeth }).as_object().cloned().expect("an object");
            let work = || {
                worked.set(worked.get() + 1);
                advice::ask::ask("chain.ripple", &given)
            };
            answers.answer("chain.ripple", &given, &work)
        };
        let first = ask(13).expect("an answer");
        assert_eq!((ask(13), worked.get()), (Ok(first.clone()), 1));
        assert_ne!(ask(14).expect("an answer"), first);
        assert_eq!(worked.get(), 2);
        assert!(ask(1).is_err() && ask(1).is_err());
        assert_eq!(worked.get(), 4, "a refusal is not kept");
        answers.forget();
        assert_eq!((ask(13), worked.get()), (Ok(first), 5), "nor is anything once all is to be forgotten");
    }
}
