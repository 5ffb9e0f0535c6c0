//! Notices that several chain figures share: few teeth, odd links.

use measure::{Links, Teeth};

use crate::Answer;

/// Teeth from which the sprocket standard's range begins.
const USUAL_TEETH: u16 = 9;

/// Few teeth: the pulse of the drive is large and tip forms are nominal only. Names the first field below nine.
pub(super) fn few_teeth(answer: Answer, sprockets: &[(&str, Teeth)]) -> Answer {
    match sprockets.iter().find(|(_, teeth)| teeth.count() < USUAL_TEETH) {
        Some((name, teeth)) => answer.notice(
            "few_teeth",
            format!(
                "{name} is {}: below {USUAL_TEETH} teeth the run pulses strongly and tooth tips are nominal only.",
                teeth.count()
            ),
        ),
        None => answer,
    }
}

/// An odd count: inner and outer links cannot alternate all the way round. Names the first odd field.
pub(super) fn odd_links(answer: Answer, chains: &[(&str, Links)]) -> Answer {
    match chains.iter().find(|(_, links)| !links.is_even()) {
        Some((name, links)) => answer.notice(
            "odd_links",
            format!(
                "{name} is {}: an odd count closes only with a cranked link, which is weaker. \
                 Do not run one on this drive; take {} or {}.",
                links.count(),
                links.count() - 1,
                links.count() + 1
            ),
        ),
        None => answer,
    }
}
