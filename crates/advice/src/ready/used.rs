//! Hours known as a range: what their worst end makes of the sprockets, and which ranges stand.

use upkeep::record::{Role, SET_ROLES};

use crate::ask::Gap;
use crate::record::Record;
use crate::record::replace::known::{looked_at, sprocket_life};
use crate::record::used::{self, End, Span};
use crate::verdict::{Reason, Verdict};
use crate::words::number;

/// The sprockets whose most hours pass their life and whose teeth nobody looked at.
pub(super) fn reasons(record: &Record<'_>) -> Vec<Reason> {
    let both = [(Role::Front, "front"), (Role::Rear, "rear")];
    both.into_iter().filter_map(|(role, word)| sprocket(record, role, word).ok().flatten()).collect()
}

fn sprocket(record: &Record<'_>, role: Role, word: &str) -> Result<Option<Reason>, Gap> {
    let Some(span) = used::of(record, role)?.filter(|_| looked_at(record, role).is_none()) else { return Ok(None) };
    let (life_h, whose) = sprocket_life(record, role)?;
    Ok((span.end(End::High) >= life_h).then(|| {
        let text = format!(
            "The {word} sprocket has {} on it ({}): at the worst end past the {} h that one is taken to last ({whose}).",
            span.words(),
            span.because(),
            number(life_h, 0)
        );
        Reason::new(Verdict::Care, "", text).cleared_at("drive/measure/teeth", "Look at its teeth", 2)
    }))
}

/// Every range that stands: the bike's own, then part by part.
pub(super) fn spans(record: &Record<'_>, of_bike: Option<Span>) -> Vec<Span> {
    let parts = SET_ROLES.into_iter().filter_map(|role| used::of(record, role).ok().flatten());
    let mut all: Vec<Span> = of_bike.into_iter().chain(parts).collect();
    // The bike's range stands once, however many parts it speaks for.
    all.dedup_by_key(|span| span.entry);
    all
}
