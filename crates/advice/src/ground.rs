//! The ground that a ride was on: what it takes to roll, what it holds, how much the wheel slips.
//!
//! # Source
//! Rolling and grip from handbook values for car and plant tyres, seen quoted; no published table for off-road
//! motorcycle tyres was found. Slip is common practice, no source. The replay's own doubt runs move all three.

use serde::Serialize;

/// One kind of ground.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Ground {
    /// The word that commands and forms use.
    pub word: &'static str,
    /// What a rider calls it.
    pub name: &'static str,
    /// Coefficient of rolling resistance.
    pub crr: f64,
    /// Coefficient of grip.
    pub mu: f64,
    /// Part of the wheel's turning that is lost in the ground.
    pub slip: f64,
}

/// Kinds of ground, hard to soft.
pub const GROUNDS: [Ground; 8] = [
    Ground { word: "road", name: "asphalt or concrete", crr: 0.015, mu: 0.75, slip: 0.03 },
    Ground { word: "fire-road", name: "packed gravel, fire road", crr: 0.025, mu: 0.50, slip: 0.06 },
    Ground { word: "gravel", name: "loose or wet gravel", crr: 0.06, mu: 0.40, slip: 0.10 },
    Ground { word: "trail", name: "hard-pack trail, medium soil", crr: 0.06, mu: 0.60, slip: 0.06 },
    Ground { word: "clay", name: "dry clay", crr: 0.05, mu: 0.40, slip: 0.06 },
    Ground { word: "grass", name: "grass field", crr: 0.08, mu: 0.35, slip: 0.10 },
    Ground { word: "sand", name: "loose sand", crr: 0.15, mu: 0.50, slip: 0.15 },
    Ground { word: "mud", name: "mud", crr: 0.15, mu: 0.30, slip: 0.15 },
];

/// The ground that stands where none was named.
pub const USUAL: Ground = GROUNDS[3];

/// The ground of a word; `None` for a word that is none.
#[must_use]
pub fn named(word: &str) -> Option<Ground> {
    GROUNDS.into_iter().find(|ground| ground.word == word)
}
