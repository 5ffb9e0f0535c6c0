//! Which pair makes this bike feel like another one of the store.

use advice::Setup;
use advice::alike::{self, AlikeView, By};
use advice::{Gap, Verdict};
use maud::{Markup, html};
use upkeep::bike::Bike;

use super::fit::fit_tag;
use super::question::{Question, address};
use super::{ANSWER, Asked};
use crate::frame::field::{Choice, Field, choice};
use crate::frame::notice::notice;
use crate::frame::table::{Row, table};
use crate::frame::{Head, Place, actions};
use crate::pages::answer;
use crate::pages::typed::Typed;
use crate::serve::AppState;

/// What was asked, and what came of it.
pub(super) struct Known {
    question: Question,
    /// Names of the other bikes.
    others: Vec<(String, String)>,
    chosen: String,
    by: By,
    view: Option<Result<AlikeView, Gap>>,
}

impl Asked for Known {
    const HEAD: Head<'static> = Head::new("Like another bike", Place::Gearing);

    fn ask(state: &AppState, bike: &Bike, fitted: Setup, typed: Typed) -> Self {
        let mut question = Question::read(fitted, typed);
        let bikes = state.garage().store().bikes().unwrap_or_default();
        let others: Vec<(String, String)> =
            bikes.into_iter().filter(|other| other.id != bike.id).map(|other| (other.id, other.name)).collect();
        let first = others.first().map(|(id, _)| id.clone()).unwrap_or_default();
        let chosen = question.text("other").filter(|id| !id.is_empty()).map_or(first, str::to_owned);
        let by = match question.text("by") {
            Some("thrust") => By::Thrust,
            Some("speed" | "") | None => By::Speed,
            Some(word) => {
                let text = format!("\"{word}\" is not in the list; possible: speed, thrust.");
                question.fault_at("by", text);
                By::Speed
            }
        };
        if !chosen.is_empty() && !others.iter().any(|(id, _)| *id == chosen) {
            let text = format!("\"{chosen}\" is none of the other bikes. Choose one from the list.");
            question.fault_at("other", text);
        }
        let asked = (!question.is_faulty() && !chosen.is_empty()).then_some(&chosen);
        let view = asked.and_then(|id| {
            let garage = state.garage();
            let other = garage.store().bike(id).map_err(|why| {
                question.fault_at("other", why.to_string());
            });
            let other = other.ok()?;
            let ridden = garage.ridden_as_one(&other).ok().flatten();
            drop(garage);
            Some(alike::view(bike, &other, by, ridden.as_ref()))
        });
        Self { question, others, chosen, by, view }
    }

    fn question(&self) -> &Question {
        &self.question
    }

    fn said(&self) -> String {
        super::said(self.view.as_ref(), |view| &view.headline)
    }

    fn answer(&self) -> Markup {
        match &self.view {
            // What the other bike's sheet lacks is put there, not on this one's.
            Some(Err(gap)) if self.others.iter().any(|(_, name)| gap.text.starts_with(name.as_str())) => html! {
                (notice(&gap.text))
                @if !gap.how_to.is_empty() { p { "How to find it: " (gap.how_to) } }
                p { "Choose that bike under the bike sheet, put it there, and come back." }
            },
            view => super::answered(view.as_ref(), shown),
        }
    }

    fn page(&self, answer: &Markup) -> Markup {
        let others: Vec<(&str, &str)> = self.others.iter().map(|(id, name)| (id.as_str(), name.as_str())).collect();
        html! {
            @if others.is_empty() {
                p { "There is only this bike. Describe the other one too, and the pair that feels like it is found." }
                p class="buttons" { a class="button primary" href="/bike" { "The bike sheet" } }
            } @else {
                form method="get" action="/gearing/like" data-live=(ANSWER) {
                    (self.question.typed().select(Field::text("other", "It shall feel like").value(&self.chosen), &others))
                    (choice(&Choice {
                        name: "by",
                        legend: "Compared by",
                        hint: "",
                        options: &[
                            ("speed", "speed at the same rpm", "gear by gear; needs only ratios and rollout"),
                            ("thrust", "thrust at the same speed", "needs the torque curve of both"),
                        ],
                        chosen: self.by.word(),
                        fault: self.question.fault("by"),
                    }))
                    (actions(&html! { button type="submit" class="button primary" { "Find the pair" } }))
                }
                (answer)
            }
        }
    }
}

fn shown(view: &AlikeView) -> Markup {
    let columns = answer::columns(&view.table);
    let last = columns.len().saturating_sub(1);
    let rows = view.pairs.iter().zip(&view.table.rows).map(|(near, cells)| {
        Row::of(cells.iter().enumerate().map(|(n, cell)| match n {
            0 => html! { a href=(address("/gearing/fit", near.setup)) { (cell.text) } },
            n if n == last => html! { (fit_tag(near.fit.fit_words())) " " (cell.text) },
            _ => html! { (cell.text) },
        }))
    });
    let rows: Vec<Row> = rows.collect();
    let usable = view.pairs.iter().find(|pair| pair.fit < Verdict::Unknown);
    html! {
        p class="lead" { (view.headline) }
        @if !rows.is_empty() { (table(view.table.key, &view.table.caption, &columns, &rows)) }
        ul class="list" { @for note in &view.notes { li { (note) } } }
        @if let Some(pair) = usable {
            p class="buttons" { a class="button small" href=(address("/gearing", pair.setup)) { "What " (pair.setup.pair_words()) " does" } }
        }
    }
}
