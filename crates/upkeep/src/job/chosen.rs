//! The answers to a library's choices that hold for one order: the rider's own, else the careful default.

use std::collections::HashMap;

use super::fault::OrderFault;
use super::model::{Library, When};

/// Answers by choice; a choice without default that nobody answered has none.
#[derive(Debug, Clone)]
pub struct Chosen<'l> {
    library: &'l Library,
    answers: HashMap<&'l str, &'l str>,
}

impl<'l> Chosen<'l> {
    /// From the answers given, key and value.
    ///
    /// # Errors
    /// A key or value that is not of the library.
    pub fn of(library: &'l Library, given: &[(&str, &str)]) -> Result<Self, OrderFault> {
        let default = |choice: &'l super::Choice| Some((choice.key.as_str(), choice.default.as_deref()?));
        let mut answers: HashMap<_, _> = library.choices.iter().filter_map(default).collect();
        for (key, value) in given {
            let choice = library.choices.iter().find(|choice| choice.key == *key);
            let known = choice.and_then(|choice| {
                let value = choice.values.iter().find(|known| *known == value)?;
                Some((choice.key.as_str(), value.as_str()))
            });
            let Some((key, value)) = known else {
                return Err(OrderFault::UnknownChoice {
                    key: (*key).to_owned(),
                    value: (*value).to_owned(),
                    possible: choice.map_or_else(Vec::new, |choice| choice.values.clone()),
                });
            };
            answers.insert(key, value);
        }
        Ok(Self { library, answers })
    }

    /// The answer to a choice, if there is one.
    #[must_use]
    pub fn answer(&self, key: &str) -> Option<&'l str> {
        self.answers.get(key).copied()
    }

    /// Whether something that depends on a choice is wanted.
    ///
    /// # Errors
    /// The choice has no answer: nothing is guessed.
    pub fn wants(&self, when: Option<&When>) -> Result<bool, OrderFault> {
        let Some(when) = when else { return Ok(true) };
        match self.answer(&when.key) {
            Some(answer) => Ok(answer == when.value),
            None => {
                let choice = self.library.choices.iter().find(|choice| choice.key == when.key);
                Err(OrderFault::MissingChoice {
                    key: when.key.clone(),
                    possible: choice.map_or_else(Vec::new, |choice| choice.values.clone()),
                })
            }
        }
    }
}
