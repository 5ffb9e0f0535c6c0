//! What lies on the shelf, and which parts a change of setup needs: none, one sprocket, both, a chain too.

use serde::Serialize;

use crate::Setup;
use crate::words::list;

/// The largest count that is read as a front sprocket; the smallest that is read as a chain.
const FRONT_TO: u32 = 25;
const REAR_TO: u32 = 80;

/// Sprockets and chains at hand beside what is fitted.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Shelf {
    /// Whether the rider said what lies there; an empty shelf that was named is a fact, too.
    pub told: bool,
    /// Front sprockets, by their teeth.
    pub fronts: Vec<u32>,
    /// Rear sprockets, by their teeth.
    pub rears: Vec<u32>,
    /// Chains, by their links.
    pub links: Vec<u32>,
}

impl Shelf {
    /// Reads counts: up to 25 a front sprocket, up to 80 a rear sprocket, beyond it the links of a chain.
    #[must_use]
    pub fn of(counts: &[u32]) -> Self {
        let mut shelf = Self { told: true, ..Self::default() };
        for count in counts {
            let list = if *count <= FRONT_TO {
                &mut shelf.fronts
            } else if *count <= REAR_TO {
                &mut shelf.rears
            } else {
                &mut shelf.links
            };
            list.push(*count);
        }
        shelf
    }
}

/// One part that a change needs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Needed {
    /// What it is: "front sprocket 13".
    pub what: String,
    /// Whether it lies on the shelf; none if nothing was said about the shelf.
    pub at_hand: Option<bool>,
}

/// The parts that a change needs; none for what is fitted.
#[must_use]
pub fn needed(from: Setup, to: Setup, shelf: &Shelf) -> Vec<Needed> {
    let part = |what: String, has: bool| Needed { what, at_hand: shelf.told.then_some(has) };
    let mut parts = Vec::new();
    if from.front_teeth != to.front_teeth {
        parts.push(part(format!("front sprocket {}", to.front_teeth), shelf.fronts.contains(&to.front_teeth)));
    }
    if from.rear_teeth != to.rear_teeth {
        parts.push(part(format!("rear sprocket {}", to.rear_teeth), shelf.rears.contains(&to.rear_teeth)));
    }
    if from.links != to.links {
        // A longer chain can be cut by pairs of links; a shorter one cannot be made longer.
        let has = shelf.links.iter().any(|links| *links >= to.links && (links - to.links).is_multiple_of(2));
        parts.push(part(format!("chain of {} links", to.links), has));
    }
    parts
}

/// How many of them are to be bought; all, if nothing was said about the shelf.
#[must_use]
pub fn to_buy(parts: &[Needed]) -> usize {
    parts.iter().filter(|part| part.at_hand != Some(true)).count()
}

/// The parts in a sentence.
#[must_use]
pub fn words(parts: &[Needed]) -> String {
    if parts.is_empty() {
        return "no part".to_owned();
    }
    let one = |part: &Needed| match part.at_hand {
        Some(true) => format!("{} (on the shelf)", part.what),
        Some(false) => format!("{} (to buy)", part.what),
        None => part.what.clone(),
    };
    list(&parts.iter().map(one).collect::<Vec<_>>())
}

#[cfg(test)]
mod tests {
    use super::*;

    const FITTED: Setup = Setup { front_teeth: 14, rear_teeth: 48, links: 118 };

    #[test]
    fn what_is_fitted_needs_nothing_and_a_shelf_that_was_not_named_is_not_known() {
        assert_eq!(words(&needed(FITTED, FITTED, &Shelf::default())), "no part");
        assert_eq!(words(&needed(FITTED, FITTED.pair(13, 48), &Shelf::default())), "front sprocket 13");
    }

    #[test]
    fn what_lies_there_is_told_from_what_is_to_buy_and_a_longer_chain_can_be_cut() {
        let shelf = Shelf::of(&[13, 50, 120]);
        assert_eq!((&shelf.fronts[..], &shelf.rears[..], &shelf.links[..]), (&[13][..], &[50][..], &[120][..]));
        let parts = needed(FITTED, FITTED.pair(13, 52).with_links(116), &shelf);
        assert_eq!(
            words(&parts),
            "front sprocket 13 (on the shelf), rear sprocket 52 (to buy) and chain of 116 links (on the shelf)"
        );
        assert_eq!(to_buy(&parts), 1);
        assert_eq!(to_buy(&needed(FITTED, FITTED.with_links(122), &shelf)), 1);
    }
}
