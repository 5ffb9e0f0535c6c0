//! Reads the inside of nested fields strictly: unknown keys, missing keys and wrong types are told with their place.

use serde_json::{Map, Value};

use crate::Refusal;
use crate::given::as_whole;

/// A JSON object inside a field, with the words that say where it stands.
#[derive(Clone)]
pub(super) struct Part<'v> {
    field: &'static str,
    place: String,
    members: &'v Map<String, Value>,
}

impl<'v> Part<'v> {
    /// An object with some of the known keys.
    pub(super) fn of(field: &'static str, place: String, value: &'v Value, known: &[&str]) -> Result<Self, Refusal> {
        let Some(members) = value.as_object() else {
            return Err(wrong(field, &place, value, "an object"));
        };
        if let Some(key) = members.keys().find(|key| !known.contains(&key.as_str())) {
            return Err(Refusal::new(
                field,
                "unknown_field",
                format!("{place}: \"{key}\" is not known here. Possible: {}.", known.join(", ")),
            ));
        }
        Ok(Self { field, place, members })
    }

    pub(super) fn has(&self, key: &str) -> bool {
        self.members.contains_key(key)
    }

    fn need(&self, key: &str) -> Result<&'v Value, Refusal> {
        self.members
            .get(key)
            .ok_or_else(|| Refusal::new(self.field, "missing", format!("{}: {key} is missing. Give it.", self.place)))
    }

    fn wrong(&self, key: &str, value: &Value, wanted: &str) -> Refusal {
        wrong(self.field, &format!("{}: {key}", self.place), value, wanted)
    }

    pub(super) fn text(&self, key: &str) -> Result<&'v str, Refusal> {
        let value = self.need(key)?;
        value.as_str().ok_or_else(|| self.wrong(key, value, "text"))
    }

    pub(super) fn opt_text(&self, key: &str) -> Result<Option<&'v str>, Refusal> {
        if self.has(key) { self.text(key).map(Some) } else { Ok(None) }
    }

    pub(super) fn whole(&self, key: &str) -> Result<u32, Refusal> {
        let value = self.need(key)?;
        as_whole(value).ok_or_else(|| self.wrong(key, value, "a whole number of 0 or more"))
    }

    pub(super) fn opt_whole(&self, key: &str) -> Result<Option<u32>, Refusal> {
        if self.has(key) { self.whole(key).map(Some) } else { Ok(None) }
    }

    /// A whole number of 0 or more that every reader of JSON keeps exactly.
    pub(super) fn amount(&self, key: &str) -> Result<u64, Refusal> {
        let value = self.need(key)?;
        let amount = value.as_u64().or_else(|| as_whole(value).map(u64::from));
        amount.filter(|amount| is_exact(*amount)).ok_or_else(|| self.wrong(key, value, "a whole amount of 0 or more"))
    }

    /// The value as it was given; `null` if it was not.
    pub(super) fn raw(&self, key: &str) -> Value {
        self.members.get(key).cloned().unwrap_or(Value::Null)
    }

    pub(super) fn number(&self, key: &str) -> Result<f64, Refusal> {
        let value = self.need(key)?;
        value.as_f64().filter(|real| real.is_finite()).ok_or_else(|| self.wrong(key, value, "a number"))
    }

    pub(super) fn flag(&self, key: &str) -> Result<bool, Refusal> {
        match self.members.get(key) {
            None => Ok(false),
            Some(value) => value.as_bool().ok_or_else(|| self.wrong(key, value, "true or false")),
        }
    }

    /// The items of a list; an absent one is empty.
    pub(super) fn list(&self, key: &str) -> Result<&'v [Value], Refusal> {
        match self.members.get(key) {
            None => Ok(&[]),
            Some(Value::Array(items)) => Ok(items),
            Some(value) => Err(self.wrong(key, value, "a list")),
        }
    }

    pub(super) fn texts(&self, key: &str) -> Result<Vec<String>, Refusal> {
        let text = |item: &Value| item.as_str().map(str::to_owned).ok_or_else(|| self.wrong(key, item, "text"));
        self.list(key)?.iter().map(text).collect()
    }

    /// The objects of a list, each read by `read`.
    pub(super) fn parts<T>(
        &self,
        key: &str,
        known: &[&str],
        read: impl Fn(Part<'v>) -> Result<T, Refusal>,
    ) -> Result<Vec<T>, Refusal> {
        let items = self.list(key)?.iter().enumerate();
        items
            .map(|(number, item)| {
                let name =
                    item.get("id").and_then(Value::as_str).map_or_else(|| (number + 1).to_string(), str::to_owned);
                Part::of(self.field, format!("{}.{key} {name}", self.place), item, known).and_then(&read)
            })
            .collect()
    }

    /// A refusal of this part's own.
    pub(super) fn refuse(&self, code: &'static str, why: &str) -> Refusal {
        Refusal::new(self.field, code, format!("{}: {why}", self.place))
    }
}

/// Whether every reader of JSON keeps a whole number exactly: a double does so below 2^53.
pub(super) const fn is_exact(whole: u64) -> bool {
    whole < 1 << 53
}

/// The value is of another kind than is taken at its place.
pub(super) fn wrong(field: &str, place: &str, value: &Value, wanted: &str) -> Refusal {
    let Refusal { code, text, .. } = Refusal::wrong_type(place, value, wanted);
    Refusal::new(field, code, text)
}

/// The texts of a list field.
pub(super) fn texts<'v>(field: &'static str, value: &'v Value) -> Result<Vec<&'v str>, Refusal> {
    let items = value.as_array().ok_or_else(|| wrong(field, field, value, "a list"))?;
    items.iter().map(|item| item.as_str().ok_or_else(|| wrong(field, field, item, "text"))).collect()
}
