//! Asks figures with what the bike's sheet knows. A sheet's field has the name that figures use, so that copying
//! by name is all there is to it; a field that is not there comes back as a [`Gap`] with how to close it.

use figures::{Answer, NoTracks, Refusal};
use serde::Serialize;
use serde_json::{Map, Value};
use upkeep::bike::{self, Bike};

use crate::verdict::{Reason, Verdict};

/// What is given to a figure.
pub type Given = Map<String, Value>;

/// A question that has no answer: which figure refused, over which field, and what to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Gap {
    /// The figure asked.
    pub figure: &'static str,
    /// The field at fault.
    pub field: String,
    /// Whether the field is just not recorded; otherwise its value is impossible.
    pub missing: bool,
    /// The sentence for a person.
    pub text: String,
    /// How to find the missing value; empty where the sheet has no advice.
    pub how_to: String,
}

impl Gap {
    fn new(figure: &'static str, refusal: Refusal) -> Self {
        let missing = refusal.code == "missing";
        let field = refusal.field.rsplit('.').next().unwrap_or_default();
        match bike::field(field).filter(|_| missing) {
            Some(known) => Self {
                figure,
                field: refusal.field.clone(),
                missing,
                text: format!("Not on the bike sheet: {} ({}).", known.word, known.name),
                how_to: known.how_to.to_owned(),
            },
            None => Self { figure, field: refusal.field, missing, text: refusal.text, how_to: String::new() },
        }
    }

    /// A field that the sheet does not have, before any figure is asked.
    #[must_use]
    pub fn absent(field: &'static str) -> Self {
        Self::new("", Refusal::missing(field))
    }

    /// What it makes of a verdict: a part that is not known, cleared on the sheet where that says how to find the value.
    #[must_use]
    pub fn reason(&self, part: &str) -> Reason {
        let reason = Reason::new(Verdict::Unknown, self.figure, format!("{part} not known. {}", self.text));
        if self.how_to.is_empty() { reason } else { reason.cleared_at("bike", self.how_to.clone(), 5) }
    }
}

/// Asks a figure; tracks are never read here, a ride arrives as its profile.
///
/// # Errors
/// The gap, if the figure refuses.
pub fn ask(figure: &'static str, given: &Given) -> Result<Answer, Gap> {
    figures::ask(figure, given, &NoTracks).map_err(|refusal| Gap::new(figure, refusal))
}

/// Answers kept by whoever asks from the edge: a question that is asked again, down to its last figure, need not be
/// worked out again.
pub trait Kept: std::fmt::Debug + Send + Sync {
    /// The answer kept, or what `work` says, which is then kept unless it refuses.
    ///
    /// # Errors
    /// What `work` says.
    fn answer(
        &self,
        figure: &'static str,
        given: &Given,
        work: &dyn Fn() -> Result<Answer, Gap>,
    ) -> Result<Answer, Gap>;
}

/// Copies the named fields that the sheet knows.
#[must_use]
pub fn from_sheet(bike: &Bike, fields: &[&str]) -> Given {
    fields.iter().filter_map(|field| Some(((*field).to_owned(), json(&bike.get(field)?.value)))).collect()
}

/// A sheet's value as figures take it. The store writes the same shape by itself: what lies in a file or a document that
/// was sent away must not change because a figure asks for another one.
fn json(value: &bike::Value) -> Value {
    match value {
        bike::Value::Number(number) => Value::from(*number),
        bike::Value::Whole(whole) => Value::from(*whole),
        bike::Value::Word(text) | bike::Value::Text(text) => Value::from(text.as_str()),
        bike::Value::Flag(flag) => Value::from(*flag),
        bike::Value::Ratio(ratio) => ratio_json(ratio),
        bike::Value::Ratios(ratios) => ratios.iter().map(ratio_json).collect(),
        bike::Value::Curve(points) => points.iter().map(|point| Value::from(point.to_vec())).collect(),
    }
}

fn ratio_json(ratio: &bike::Ratio) -> Value {
    match *ratio {
        bike::Ratio::Number(number) => Value::from(number),
        bike::Ratio::Teeth { driver, driven } => Value::from(vec![driver, driven]),
    }
}

/// Adds or replaces one field.
#[must_use]
pub fn with(mut given: Given, field: &str, value: impl Into<Value>) -> Given {
    given.insert(field.to_owned(), value.into());
    given
}
