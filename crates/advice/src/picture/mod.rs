//! Pictures for what words do badly at the bench, as geometry: a page draws them as SVG, the printed sheet as PDF.
//!
//! x points forward with the front of the bike to the right, z up, in millimetres where the picture is to scale.
//! Whoever draws one adds nothing: the finding is its text alternative.
//!
//! Layout: `shape` what a picture is made of · `ring` order of tightening · `link` clip, cut, press width · `run` slack and
//! in-running places.

#[cfg(test)]
mod laws;
mod link;
mod ring;
mod run;
mod shape;
#[cfg(test)]
mod tests;

use upkeep::bike::Bike;

use crate::Setup;

pub use shape::{Ink, Label, Picture, Piece, Shape, Spot};

/// Names of the pictures, in the order in which a sheet ends with them.
const STAR: &str = "crossing-order";
const CLIP: &str = "clip-direction";
const CUT: &str = "cut-pin";
const PRESS: &str = "press-width";
const SLACK: &str = "slack-place";
const NIP: &str = "nip-places";

/// Which pictures a step needs, by its name in the plan; `in_full` are the cautions that stand there in full.
#[must_use]
pub fn names_for(bike: &Bike, token: &str, in_full: &[&str]) -> Vec<&'static str> {
    let clip = matches!(bike.word("joint"), Some("clip") | None);
    let mut names = match token {
        "do:rear-sprocket-swap" => vec![STAR],
        "do:measure-drivetrain" | "do:chain-slack-set" | "do:chain-slack-recheck" => vec![SLACK],
        "do:lay-up-new-chain" | "do:count-twice" | "do:grind-and-press" => vec![CUT],
        "close:chain-open" | "do:check-connecting-link" if clip => vec![CLIP, PRESS],
        "close:chain-open" | "do:check-connecting-link" => vec![PRESS],
        "do:nip-axle" | "do:oil-new-chain" | "do:chain-clean" => vec![NIP],
        _ => Vec::new(),
    };
    if in_full.contains(&"pinch") && !names.contains(&NIP) {
        names.push(NIP);
    }
    names
}

/// The picture of a name for a bike; none where the sheet lacks what it shows.
#[must_use]
pub fn of(name: &str, bike: &Bike, setup: Setup) -> Option<Picture> {
    match name {
        STAR => ring::crossing(bike.whole("rear_fasteners")?),
        CLIP => Some(link::clip()),
        CUT => Some(link::cut(bike, setup)),
        PRESS => Some(link::press()),
        SLACK => run::slack(bike, setup),
        NIP => Some(run::nips()),
        _ => None,
    }
}
