//! What was asked of the drive: typed text → setup and readings, every fault at its field; and the fields themselves.

use advice::slack::Read;
use advice::{Gap, Setup};
use maud::{Markup, html};
use measure::{Bound, bounds, entry};
use upkeep::bike::Bike;

use crate::asked::Door;
use crate::frame::field::Field;
use crate::frame::fold;
use crate::pages::typed::Typed;

/// The counts of a setup, in the order of the form.
const COUNTS: [(&str, &str); 3] = [("front_teeth", "Front teeth"), ("rear_teeth", "Rear teeth"), ("links", "Links")];
/// The readings, with what holds them.
const READINGS: [(&str, &str, &Bound); 3] = [
    ("slack_mm", "Slack as read", &bounds::record::SLACK),
    ("left_mm", "Left", &bounds::slack::SIDE),
    ("right_mm", "Right", &bounds::slack::SIDE),
];

/// What was typed, and what came of it.
pub(super) struct Question {
    /// The texts and their faults.
    pub(super) typed: Typed,
    /// What is fitted, or the count that the sheet lacks.
    fitted: Result<Setup, Gap>,
    /// The setup asked about; none where the sheet lacks a count and nothing was typed for it.
    pub(super) setup: Result<Setup, Gap>,
    /// What was read off the bike.
    pub(super) read: Read,
}

impl Question {
    /// Reads the fields of the form; what is left out is what is fitted, or not read.
    pub(super) fn read(bike: &Bike, typed: Typed) -> Self {
        let fitted = Setup::fitted(bike);
        let mut question = Self { typed, setup: fitted.clone(), fitted, read: Read::default() };
        let mut door = Door::default();
        let [front, rear, links] = COUNTS.map(|(name, _)| question.typed.given(name));
        let typed_all = [front, rear, links].iter().all(|text| text.is_some_and(|text| !text.trim().is_empty()));
        // With all three typed nothing of what is fitted is left, known or not.
        let any = Setup { front_teeth: 0, rear_teeth: 0, links: 0 };
        let base = question.fitted.clone().or_else(|gap| if typed_all { Ok(any) } else { Err(gap) });
        let setup = match base {
            Ok(base) => Ok(door.teeth(base, front, rear, links)),
            Err(gap) => {
                door.teeth(any, front, rear, links);
                Err(gap)
            }
        };
        let [slack, left, right] = READINGS.map(|(name, ..)| question.typed.given(name));
        question.read = door.read(slack, left, right);
        question.setup = setup;
        question.typed.take(door.faults);
        question
    }

    /// Takes a gap as a fault where it lies in what was typed; whether it did.
    pub(super) fn takes(&mut self, gap: &Gap) -> bool {
        let names = COUNTS.map(|(name, _)| name).into_iter().chain(READINGS.map(|(name, ..)| name));
        let Some(field) = names.into_iter().find(|name| gap.field == *name).filter(|_| !gap.missing) else {
            return false;
        };
        self.typed.fault_at(field, &gap.text);
        true
    }

    /// Whether the setup asked about is the one that is fitted.
    pub(super) fn asks_what_is_fitted(&self) -> bool {
        self.setup == self.fitted
    }

    /// All faults inside the part that is renewed while somebody types.
    pub(super) fn faults_in_part(&self) -> Markup {
        html! { @for fault in self.typed.faults() { p class="fault" { (fault.text) } } }
    }

    /// What was understood of readings typed in another unit.
    pub(super) fn echoes(&self) -> Vec<String> {
        let echo = |(name, label, bound): (&str, &str, &Bound)| {
            let typed = entry::number(self.typed.given(name)?, bound).ok()?;
            typed.converted.then(|| format!("{label} {}", typed.understood))
        };
        READINGS.into_iter().filter_map(echo).collect()
    }

    /// The fields: the reading in front, the rest folded away until one of it is used.
    pub(super) fn fields(&self) -> Markup {
        let [slack, left, right] = READINGS.map(|(name, label, _)| Field::decimal(name, label, "mm").optional());
        let slack =
            slack.hint("On the stand, mid lower run, fully down to fully up, at the tightest place of the chain.");
        let sides = html! {
            p { "From each axle block to the same kind of reference: best pivot centre to axle centre on both sides. Larger is further back." }
            div class="form-grid" { (self.typed.field(left)) (self.typed.field(right)) }
        };
        let others = !self.asks_what_is_fitted() || self.typed.is_wrong_in(&COUNTS.map(|(name, _)| name));
        html! {
            (self.typed.field(slack))
            (self.typed.unfolding("Left and right of the wheel", &["left_mm", "right_mm"], &sides))
            (fold("Other sprockets or chain", others, &self.counts()))
        }
    }

    /// The three counts side by side; what is fitted stands in them until something else is typed.
    fn counts(&self) -> Markup {
        let fitted = self.fitted.as_ref().ok();
        let fitted = fitted.map(|setup| [setup.front_teeth, setup.rear_teeth, setup.links].map(|n| n.to_string()));
        let fitted = fitted.unwrap_or_default();
        html! {
            p { "Left empty: what the bike sheet says is fitted." }
            div class="trio" {
                @for ((name, label), fitted) in COUNTS.into_iter().zip(&fitted) {
                    (self.typed.field(Field::whole(name, label, "").value(fitted).optional()))
                }
            }
        }
    }
}
