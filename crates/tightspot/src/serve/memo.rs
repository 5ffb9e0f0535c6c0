//! Answers worked out a moment ago: as long as the record, the bike and the minute are the same, so is the answer.

use std::any::{Any, TypeId};
use std::num::NonZeroUsize;
use std::sync::{Arc, Mutex, PoisonError};

use lru::LruCache;
use measure::shown::{self, Units};
use upkeep::bike::Bike;

/// How many answers are kept; each is some tens of kilobytes at the most.
const KEPT: NonZeroUsize = NonZeroUsize::new(128).expect("not nought");

/// All that an answer rests on.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct Question {
    /// The newest change of the store: any write, by whomever, moves it.
    pub(crate) revision: i64,
    /// Whose sheet and record.
    pub(crate) bike: String,
    /// The minute that ages are counted to; one that never comes where nothing has an age.
    pub(crate) minute: jiff::civil::DateTime,
    /// What was typed, in a form in which unlike questions are unlike.
    pub(crate) typed: String,
}

/// The answers kept, by their type, the units of their words, and the question.
type Answers = LruCache<(TypeId, Units, Question), Arc<dyn Any + Send + Sync>>;

/// The answers on the newest record that was asked about; what rests on an older one is never asked for again.
struct Kept {
    revision: i64,
    answers: Answers,
    /// Whether nothing is to be kept.
    forgets: bool,
}

/// The answers kept.
pub(super) struct Memo(Mutex<Kept>);

impl Default for Memo {
    fn default() -> Self {
        Self(Mutex::new(Kept { revision: i64::MIN, answers: LruCache::new(KEPT), forgets: false }))
    }
}

impl Memo {
    /// From now on every answer is worked out anew.
    pub(super) fn forget(&self) {
        let mut kept = self.kept();
        kept.answers.clear();
        kept.forgets = true;
    }

    /// Whether nothing is kept.
    pub(super) fn forgets(&self) -> bool {
        self.kept().forgets
    }

    /// The answer kept for a question, or the one worked out now. Two who ask at once may both work it out.
    ///
    /// # Errors
    /// What `work` says; it is not kept.
    pub(super) fn answer<A: Send + Sync + 'static, E>(
        &self,
        question: Question,
        work: impl FnOnce() -> Result<A, E>,
    ) -> Result<Arc<A>, E> {
        let revision = question.revision;
        let key = (TypeId::of::<A>(), shown::units(), question);
        if let Some(kept) = self.kept().answers.get(&key).cloned().and_then(|kept| kept.downcast().ok()) {
            return Ok(kept);
        }
        let answer = Arc::new(work()?);
        let mut kept = self.kept();
        if revision > kept.revision {
            kept.answers.clear();
            kept.revision = revision;
        }
        if revision == kept.revision && !kept.forgets {
            kept.answers.put(key, answer.clone());
        }
        Ok(answer)
    }

    fn kept(&self) -> std::sync::MutexGuard<'_, Kept> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// As many sheets' answers as are kept.
const SHEETS: usize = 16;

/// An answer that rests on a sheet: the sheet, the units of its words, the question, the answer.
type OfSheet = (Bike, Units, String, Arc<dyn Any + Send + Sync>);

/// What rests on a bike's sheet alone, newest last: worked out once for a sheet, whatever is recorded meanwhile.
#[derive(Default)]
pub(super) struct Sheets(Mutex<Vec<OfSheet>>);

impl Sheets {
    /// The answer kept for just this sheet, or the one worked out now.
    ///
    /// # Errors
    /// What `work` says; it is not kept.
    pub(super) fn answer<A: Send + Sync + 'static, E>(
        &self,
        bike: &Bike,
        asked: &str,
        work: impl FnOnce() -> Result<A, E>,
    ) -> Result<Arc<A>, E> {
        let units = shown::units();
        let same = |kept: &OfSheet| kept.1 == units && kept.2 == asked && kept.0 == *bike;
        let found = self.kept().iter().find(|kept| same(kept)).and_then(|kept| kept.3.clone().downcast().ok());
        if let Some(found) = found {
            return Ok(found);
        }
        let answer = Arc::new(work()?);
        let mut kept = self.kept();
        kept.retain(|kept| !(kept.1 == units && kept.2 == asked && kept.0.id == bike.id));
        if kept.len() == SHEETS {
            kept.remove(0);
        }
        kept.push((bike.clone(), units, asked.to_owned(), answer.clone()));
        Ok(answer)
    }

    fn kept(&self) -> std::sync::MutexGuard<'_, Vec<OfSheet>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn question(revision: i64, typed: &str) -> Question {
        Question {
            revision,
            bike: "b".to_owned(),
            minute: jiff::civil::date(2026, 9, 24).at(18, 0, 0, 0),
            typed: typed.to_owned(),
        }
    }

    #[test]
    fn the_same_question_is_worked_out_once_and_another_one_anew() {
        let memo = Memo::default();
        let answer = |question, value: u32| memo.answer::<u32, ()>(question, || Ok(value)).map(|answer| *answer);
        assert_eq!(answer(question(1, "slack 85"), 7), Ok(7));
        assert_eq!(answer(question(1, "slack 85"), 8), Ok(7));
        assert_eq!(answer(question(2, "slack 85"), 9), Ok(9), "a write makes it another question");
        assert_eq!(answer(question(1, "slack 80"), 5), Ok(5), "on an older record it is worked out, and not kept");
        assert_eq!(answer(question(1, "slack 80"), 6), Ok(6));
        assert_eq!(answer(question(2, "slack 85"), 7), Ok(9), "nor does it displace what is newer");
        let in_inches = shown::in_units(Units::Inch, || answer(question(2, "slack 85"), 6));
        assert_eq!(in_inches, Ok(6), "words in other units are another answer");
    }

    #[test]
    fn where_nothing_is_kept_the_same_question_is_worked_out_anew() {
        let memo = Memo::default();
        let answer = |value: u32| memo.answer::<u32, ()>(question(1, ""), || Ok(value)).map(|answer| *answer);
        assert_eq!((answer(1), answer(2)), (Ok(1), Ok(1)));
        memo.forget();
        assert_eq!((answer(3), answer(4)), (Ok(3), Ok(4)));
    }

    #[test]
    fn answers_of_unlike_kinds_do_not_meet_and_a_refusal_is_not_kept() {
        let memo = Memo::default();
        assert_eq!(memo.answer::<u32, ()>(question(1, ""), || Ok(1)).map(|answer| *answer), Ok(1));
        assert_eq!(memo.answer::<u8, ()>(question(1, ""), || Ok(2)).map(|answer| *answer), Ok(2));
        assert_eq!(memo.answer::<i8, &str>(question(1, ""), || Err("no")).map(|answer| *answer), Err("no"));
        assert_eq!(memo.answer::<i8, &str>(question(1, ""), || Ok(3)).map(|answer| *answer), Ok(3));
    }

    #[test]
    fn what_rests_on_a_sheet_is_worked_out_again_when_the_sheet_changes() {
        let sheets = Sheets::default();
        let (first, other) = (Bike::new("b", "B", false).expect("a bike"), Bike::new("b", "C", false).expect("a bike"));
        let answer = |bike: &Bike, asked: &str, value: u32| {
            sheets.answer::<u32, ()>(bike, asked, || Ok(value)).map(|answer| *answer)
        };
        assert_eq!(answer(&first, "loam", 1), Ok(1));
        assert_eq!(answer(&first, "loam", 2), Ok(1));
        assert_eq!(answer(&first, "sand", 3), Ok(3), "another question");
        assert_eq!(answer(&other, "loam", 4), Ok(4), "another sheet");
        assert_eq!(answer(&first, "loam", 5), Ok(5), "only the newest sheet of a bike is kept");
        for n in 0..100 {
            assert_eq!(answer(&first, &n.to_string(), n), Ok(n));
        }
        assert_eq!(sheets.kept().len(), SHEETS);
    }
}
