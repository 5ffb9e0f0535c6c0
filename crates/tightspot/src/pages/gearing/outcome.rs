//! Did a change do what was promised: rides before and after it, with a band, how it felt, and the rider's own drift.

use advice::demand::Ride;
use advice::drift::{self, DriftView};
use advice::outcome::{self, OutcomeView};
use advice::rides::ground_of;
use advice::{Block, Gap, Setup, change};
use maud::{Markup, html};
use upkeep::bike::Bike;

use super::laid::grounds;
use super::question::Question;
use super::{ANSWER, Asked};
use crate::asked::{self, Door, Faulty};
use crate::frame::chart::{Axis, Chart, Layer, Point, chart};
use crate::frame::field::Field;
use crate::frame::notice::notice;
use crate::frame::{Head, Place, actions, fold};
use crate::pages::answer;
use crate::pages::typed::Typed;
use crate::serve::AppState;

/// What was asked, and what came of it.
pub(super) struct Known {
    question: Question,
    came: Option<Result<OutcomeView, Gap>>,
    /// Why there is no change to judge.
    none: Option<String>,
    drift: Option<Result<DriftView, Gap>>,
}

impl Asked for Known {
    const HEAD: Head<'static> = Head::new("Did a change help?", Place::Gearing);

    fn ask(state: &AppState, bike: &Bike, fitted: Setup, typed: Typed) -> Self {
        let mut question = Question::read(fitted, typed);
        let (mut came, mut none, mut drift) = (None, None, None);
        let pairs = ["old", "new"].map(|name| pair(&mut question, name, fitted));
        let word = question.text("ground").unwrap_or_default().trim().to_owned();
        let ground =
            (!word.is_empty()).then(|| asked::ground(Some(&word)).map_err(|faults| question.fault_all(faults)));
        let ground = ground.and_then(Result::ok);
        let rides = state.garage().ridden(bike).map_err(|why| why.lines().join(" "));
        match rides {
            Ok(rides) if !question.is_faulty() => {
                let alike = |ride: &&Ride| ground.is_none_or(|ground| ground_of(Some(&ride.ground), None) == ground);
                let rides: Vec<&Ride> = rides.iter().filter(alike).collect();
                match change::find(&rides, pairs[0], pairs[1]) {
                    Ok(change) => came = Some(outcome::view(bike, change.pairs, &change.before, &change.after)),
                    Err(why) => none = Some(why),
                }
                drift = (!rides.is_empty()).then(|| drift::view(bike, &rides));
            }
            Ok(_) => {}
            Err(text) => question.fault_at("old", text),
        }
        Self { question, came, none, drift }
    }

    fn question(&self) -> &Question {
        &self.question
    }

    fn said(&self) -> String {
        self.none.clone().unwrap_or_else(|| super::said(self.came.as_ref(), |view| &view.headline))
    }

    fn answer(&self) -> Markup {
        html! {
            @if let Some(why) = &self.none { (notice(why)) }
            (super::answered(self.came.as_ref(), came))
            (super::answered(self.drift.as_ref(), drifted))
        }
    }

    fn page(&self, answer: &Markup) -> Markup {
        html! {
            (answer)
            (fold("Another change, or one ground only", self.question.is_asked(), &form(self.question.typed())))
        }
    }
}

/// A pair that was typed; the fault of either count stands at the pair's own field.
fn pair(question: &mut Question, name: &'static str, fitted: Setup) -> Option<Setup> {
    let typed = question.text(name).map(str::trim).filter(|text| !text.is_empty())?.to_owned();
    let mut door = Door::default();
    let setup = door.setup(fitted, Some(&typed), None);
    let sound = door.faults.is_empty();
    question.fault_all(door.faults.into_iter().map(|fault| Faulty { field: name, ..fault }).collect());
    sound.then_some(setup)
}

/// What came of the change; how it felt stands beside the figures.
fn came(view: &OutcomeView) -> Markup {
    html! {
        @for block in view.blocks().iter().skip(1).take(2) { (answer::one(block)) }
        h2 { "How it felt" }
        @if view.felt.is_empty() {
            p { "Nothing was written down of these rides. A word with each ride (“pulls cleaner out of the hairpins”) stands here beside the figures." }
        } @else {
            ul class="list" { @for words in &view.felt { li { (words) } } }
        }
        (answer::one(&Block::Table(&view.judged)))
        (answer::one(&Block::Table(&view.table)))
        ul class="list" { @for note in &view.notes { li { (note) } } }
    }
}

/// The rider's own speeds, ride by ride.
fn drifted(view: &DriftView) -> Markup {
    let points = |pick: &dyn Fn(&drift::Seen) -> f64| -> Vec<Point> {
        (1_u32..).zip(&view.rides).map(|(n, ride)| (f64::from(n), Some(pick(ride)))).collect()
    };
    let (median, fast) = (points(&|ride| ride.median_kmh), points(&|ride| ride.fast_kmh));
    html! {
        h2 { "Your own speeds" }
        @if view.rides.len() > 1 {
            (chart(&Chart {
                id: "drift-chart",
                title: "Your speeds ride by ride.",
                finding: &view.headline,
                along: Axis { name: "ride, the oldest first", unit: "", decimals: 0, reach: &[] },
                up: Axis { name: "speed", unit: "km/h", decimals: 1, reach: &[0.0] },
                layers: &[
                    Layer::Line { name: "fast end", points: &fast },
                    Layer::Line { name: "median", points: &median },
                ],
            }))
        } @else { p { (view.headline) } }
        (answer::table_of(&view.table, |_| false))
        ul class="list" { @for note in &view.notes { li { (note) } } }
        p class="buttons" {
            a class="button small" href="/gearing?ride=several&half_life_d=60" { "Let recent rides count more" }
        }
    }
}

fn form(typed: &Typed) -> Markup {
    let old = Field::text("old", "Old pair").hint("Such as 14/48. Left empty, the one ridden before the new one.");
    let new = Field::text("new", "New pair").hint("Left empty, that of the latest ride.");
    let words: Vec<(&str, &str)> = grounds()
        .into_iter()
        .map(|(word, name)| if word.is_empty() { ("", "every ground") } else { (word, name) })
        .collect();
    html! {
        form method="get" action="/gearing/outcome" data-live=(ANSWER) {
            div class="form-grid" {
                (typed.field(old.optional()))
                (typed.field(new.optional()))
                (typed.select(Field::text("ground", "Only rides on"), &words))
            }
            (actions(&html! { button type="submit" class="button primary" { "Ask" } }))
        }
    }
}
