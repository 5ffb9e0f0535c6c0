//! The contract of everything computed: one definition of a figure feeds page, command, API, sheet and checks.
//!
//! A figure is a named quantity with its inputs, units, bounds, formula and sources, and a refusal where it makes
//! no sense. This room parses what was given, asks the computing rooms, and words the answer. It computes nothing
//! itself and knows no file, clock or network: a track reaches it through [`Tracks`].
//!
//! Layout: [`Field`] what may be given · [`Given`] what was given, checked · [`Answer`] · [`Refusal`] · [`mod@line`]
//! one JSON line in, one out · one folder per domain with its table `FIGURES`.

mod answer;
mod chain;
mod field;
mod gearing;
mod given;
pub mod line;
mod refusal;
mod ride;
mod slack;
mod wear;
mod workshop;

pub use answer::{Answer, Notice};
pub use field::{Field, Kind, Need};
pub use given::Given;
pub use refusal::Refusal;

use serde_json::{Map, Value};

/// What a figure's own function gets and gives.
pub type Ask = fn(&Given<'_>) -> Result<Answer, Refusal>;

/// One figure: its name, its contract and the function that answers it.
pub struct Figure {
    /// The name, `domain.quantity`.
    pub name: &'static str,
    /// What it answers, one sentence.
    pub says: &'static str,
    /// What may be given, in the order in which faults are named.
    pub given: &'static [Field],
    /// What is answered: name of the field, meaning with its unit.
    pub answer: &'static [(&'static str, &'static str)],
    /// The formula in plain text, or where it stands.
    pub formula: &'static str,
    /// Ids that [`measure::source`] knows.
    pub sources: &'static [&'static str],
    /// The figure's own function; it sees only checked input.
    pub ask: Ask,
}

/// Where a named track comes from; the edge of the program hands it in.
pub trait Tracks {
    /// The text of the track of that name.
    ///
    /// # Errors
    /// A sentence that says why it cannot be had.
    fn text(&self, name: &str) -> Result<String, String>;
}

/// No track can be named: a track must travel in the request.
pub struct NoTracks;

impl Tracks for NoTracks {
    fn text(&self, _name: &str) -> Result<String, String> {
        Err("no path is taken here: send the document itself as gpx".to_owned())
    }
}

/// The tables of all domains.
const DOMAINS: [&[Figure]; 7] = [
    chain::FIGURES,
    slack::FIGURES,
    gearing::FIGURES,
    ride::FIGURES,
    ride::replay::FIGURES,
    wear::FIGURES,
    workshop::FIGURES,
];

/// Every figure, domain by domain.
pub fn all() -> impl Iterator<Item = &'static Figure> {
    DOMAINS.iter().copied().flatten()
}

/// The figure of a name; `None` if there is none.
#[must_use]
pub fn named(name: &str) -> Option<&'static Figure> {
    all().find(|figure| figure.name == name)
}

/// Asks one figure.
///
/// # Errors
/// The refusal, naming one field: unknown figure (`figure`), unknown, missing, type, bounds, then what ties fields.
pub fn ask(name: &str, given: &Map<String, Value>, tracks: &dyn Tracks) -> Result<Answer, Refusal> {
    let figure = named(name).ok_or_else(|| Refusal::unknown_figure(name))?;
    let given = Given::check(figure.given, given, tracks)?;
    let answer = (figure.ask)(&given)?;
    answer.whole_with(figure)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_unique_and_each_figure_says_its_sources() {
        let mut names: Vec<_> = all().map(|figure| figure.name).collect();
        names.sort_unstable();
        let count = names.len();
        names.dedup();
        assert_eq!(names.len(), count);
        for figure in all() {
            assert!(!figure.sources.is_empty(), "{} cites nothing", figure.name);
            for id in figure.sources {
                assert!(measure::source(id).is_some(), "{} cites {id}, which is no source", figure.name);
            }
        }
    }
}
