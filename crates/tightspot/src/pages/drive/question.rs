//! What was asked of the drive: typed text → setup and readings, every fault at its field; and the fields themselves.

use advice::slack::Read;
use advice::{Gap, Setup};
use maud::{Markup, html};
use measure::{Bound, bounds, entry};
use upkeep::bike::Bike;

use crate::asked::{self, Door, Faulty};
use crate::frame::details;
use crate::frame::field::{self, Field, field};
use crate::pages::bike::sentence;

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
    typed: Vec<(String, String)>,
    /// What is fitted, or the count that the sheet lacks.
    fitted: Result<Setup, Gap>,
    /// The setup asked about; none where the sheet lacks a count and nothing was typed for it.
    pub(super) setup: Result<Setup, Gap>,
    /// What was read off the bike.
    pub(super) read: Read,
    /// Every fault.
    pub(super) faults: Vec<Faulty>,
}

impl Question {
    /// Reads the fields of the form; what is left out is what is fitted, or not read.
    pub(super) fn read(bike: &Bike, typed: Vec<(String, String)>) -> Self {
        let fitted = asked::fitted(bike);
        let mut question = Self { typed, setup: fitted.clone(), fitted, read: Read::default(), faults: Vec::new() };
        let mut door = Door::default();
        let [front, rear, links] = COUNTS.map(|(name, _)| question.text(name));
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
        let [slack, left, right] = READINGS.map(|(name, ..)| question.text(name));
        question.read = door.read(slack, left, right);
        question.setup = setup;
        question.faults = door.faults.into_iter().map(told).collect();
        question
    }

    /// The text of a field; `None` if the address does not have it.
    pub(super) fn text(&self, name: &str) -> Option<&str> {
        self.typed.iter().find(|(known, _)| known == name).map(|(_, text)| text.as_str())
    }

    /// Takes a gap as a fault where it lies in what was typed; whether it did.
    pub(super) fn takes(&mut self, gap: &Gap) -> bool {
        let names = COUNTS.map(|(name, _)| name).into_iter().chain(READINGS.map(|(name, ..)| name));
        let Some(field) = names.into_iter().find(|name| gap.field == *name).filter(|_| !gap.missing) else {
            return false;
        };
        self.faults.push(told(Faulty { field, text: gap.text.clone() }));
        true
    }

    /// Whether the setup asked about is the one that is fitted.
    pub(super) fn asks_what_is_fitted(&self) -> bool {
        self.setup == self.fitted
    }

    /// All faults above the form.
    pub(super) fn summary(&self) -> Markup {
        let faults: Vec<field::Fault<'_>> =
            self.faults.iter().map(|fault| field::Fault { field: fault.field, text: &fault.text }).collect();
        field::fault_summary(&faults)
    }

    /// All faults inside the part that is renewed while somebody types.
    pub(super) fn faults_in_part(&self) -> Markup {
        html! { @for fault in &self.faults { p class="fault" { (fault.text) } } }
    }

    /// What was understood of readings typed in another unit.
    pub(super) fn echoes(&self) -> Vec<String> {
        let echo = |(name, label, bound): (&str, &str, &Bound)| {
            let typed = entry::number(self.text(name)?, bound).ok()?;
            typed.converted.then(|| format!("{label} {}", typed.understood))
        };
        READINGS.into_iter().filter_map(echo).collect()
    }

    /// The fields: the reading in front, the rest folded away until one of it is used.
    pub(super) fn fields(&self) -> Markup {
        let [slack, left, right] = READINGS.map(|(name, label, _)| {
            Field::decimal(name, label, "mm").value(self.text(name).unwrap_or("")).fault(self.fault(name)).optional()
        });
        let slack =
            slack.hint("On the stand, mid lower run, fully down to fully up, at the tightest place of the chain.");
        let sides = html! {
            p { "From each axle block to the same kind of reference: best pivot centre to axle centre on both sides. Larger is further back." }
            div class="form-grid" { (field(&left)) (field(&right)) }
        };
        html! {
            (field(&slack))
            (self.unfolding("Left and right of the wheel", READINGS[1..].iter().any(|(name, ..)| self.is_typed(name)), &sides))
            (self.unfolding("Other sprockets or chain", !self.asks_what_is_fitted(), &self.counts()))
        }
    }

    fn unfolding(&self, summary: &str, open: bool, inside: &Markup) -> Markup {
        if open || self.faults.iter().any(|fault| inside.0.contains(&format!("id=\"{}\"", fault.field))) {
            return html! { details class="more" open { summary { (summary) } div class="more-in" { (inside) } } };
        }
        details(summary, inside)
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
                    (field(&Field::whole(name, label, "").value(self.text(name).unwrap_or(fitted)).fault(self.fault(name))))
                }
            }
        }
    }

    fn is_typed(&self, name: &str) -> bool {
        self.text(name).is_some_and(|text| !text.trim().is_empty())
    }

    fn fault(&self, name: &str) -> &str {
        self.faults.iter().find(|fault| fault.field == name).map_or("", |fault| fault.text.as_str())
    }
}

/// A fault as it is read at its field.
fn told(fault: Faulty) -> Faulty {
    Faulty { field: fault.field, text: sentence(fault.field, &fault.text) }
}
