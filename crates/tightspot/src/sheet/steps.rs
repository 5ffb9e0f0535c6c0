//! The steps: a box to tick, what to do, cautions, figures to set, and blanks with the numbers of the steps.

use advice::plan::{Caution, PlanView, Step, Stop};

use super::block::{Block, Mark, Role};
use super::face::{Faces, Run};
use super::front::sentence;
use super::paper::{BLANK_PT, BLANK_WIDTH_PT, INDENT_PT, MM, TICK_PT};

/// Room between two blanks.
const GAP_PT: f32 = 1.5;
/// Width of a column of boxes for yes and no.
const YES_WIDTH_PT: f32 = 13.6 * MM;

/// Each step a block of its own.
pub(super) fn blocks(faces: &Faces, view: &PlanView, width: f32) -> Vec<Block> {
    view.steps.iter().map(|step| one(faces, view, step, width)).collect()
}

fn one(faces: &Faces, view: &PlanView, step: &Step, width: f32) -> Block {
    let mut block = Block::new(Role::Item);
    block.marks.push(Mark::Stroke { points: vec![(0.0, 0.0), (width, 0.0)], width: 0.4, dash: &[] });
    block.tick(0.0, 2.0);
    block.height = 1.0;
    let column = boxes_width(step);
    let right = width - column;
    let below = boxes(faces, &mut block, step, right, column);
    let mut runs = what(step);
    runs.extend(cautions(step));
    runs.extend(figures(step));
    runs.extend(step.stops.iter().flat_map(|stop| check(view, step, stop)));
    let taken = if column > 0.0 { column + 4.0 } else { 0.0 };
    let lines = faces.lines_beside(&runs, width - INDENT_PT, taken, below - block.height);
    block.lines(INDENT_PT, &lines);
    block.at_least(TICK_PT + 3.5);
    block.at_least(below);
    block
}

/// Number, what to do in short where there is a short text, the letter of the tools to pick up.
fn what(step: &Step) -> Vec<Run> {
    let mut runs = vec![Run::bold(format!("{} ", step.number))];
    if step.brief.is_empty() {
        runs.push(Run::bold(format!("{}. ", step.title)));
        runs.push(Run::plain(format!("{} ", step.text)));
    } else {
        runs.push(Run::plain(format!("{} ", step.brief)));
    }
    if !step.kit_letter.is_empty() {
        runs.push(Run::plain(format!("({}) ", step.kit_letter)));
    }
    runs
}

/// Cautions that stop by what can happen, their text being on the first page; the others as the page has them.
fn cautions(step: &Step) -> Vec<Run> {
    let mut runs = Vec::new();
    for (level, word) in [("stop", "STOP: "), ("warn", "TAKE CARE: "), ("note", "NOTE: ")] {
        // A note is said once, at the first step that carries it.
        let said = |caution: &&Caution| level != "note" || !caution.text.is_empty();
        let here: Vec<&Caution> = step.cautions.iter().filter(|caution| caution.level == level).filter(said).collect();
        if here.is_empty() {
            continue;
        }
        runs.push(Run::bold(word));
        let last = here.len() - 1;
        for (at, caution) in here.into_iter().enumerate() {
            let full = level != "stop" || caution.id == "conflict";
            let text = if caution.brief.is_empty() { &caution.text } else { caution.brief };
            let text = if full && !text.is_empty() { format!(": {text}") } else { String::new() };
            // Hazards that are only named are one list.
            let said = if text.is_empty() && at < last {
                format!("{};", caution.hazard)
            } else {
                sentence(&format!("{}{text}", caution.hazard))
            };
            runs.push(Run::plain(format!("{said} ")));
        }
    }
    runs
}

/// Figures to set in their own size; what is missing or only to be looked up in the text's.
fn figures(step: &Step) -> Vec<Run> {
    let mut runs = Vec::new();
    for figure in &step.to_set {
        runs.push(Run::plain(format!("{}: ", figure.label)));
        runs.push(Run::figure(format!("{}  ", figure.value)));
    }
    runs.extend(step.notes.iter().map(|note| Run::plain(format!("{} ", sentence(note)))));
    runs
}

/// What is looked at before going on.
fn check(view: &PlanView, step: &Step, stop: &Stop) -> Vec<Run> {
    let mut runs = vec![Run::bold("Check: "), Run::plain(sentence(&stop.prompt))];
    if !stop.accept.is_empty() && stop.accept != "yes" {
        runs.push(Run::plain(format!(" {}", sentence(&stop.accept))));
    }
    // A missing figure is named among the figures of its step already.
    if !stop.waits_for.is_empty() && !step.notes.iter().any(|note| note.starts_with(&stop.waits_for)) {
        runs.push(Run::bold(" Waits for the manual's figure."));
    }
    if let Some((mark, _)) = super::marks(view).into_iter().find(|(_, why)| *why == stop.why) {
        runs.push(Run::bold(format!(" {mark}")));
    }
    runs.push(Run::plain(" "));
    runs
}

fn is_yes(stop: &Stop) -> bool {
    stop.kind == "yes-no"
}

/// The width of the boxes that a step needs at its right.
fn boxes_width(step: &Step) -> f32 {
    match step.stops.iter().map(is_yes).reduce(|one, other| one && other) {
        None => 0.0,
        Some(true) => YES_WIDTH_PT,
        Some(false) => BLANK_WIDTH_PT,
    }
}

/// The boxes themselves, blanks under the numbers that they have where they are typed in; where they end.
fn boxes(faces: &Faces, block: &mut Block, step: &Step, left: f32, width: f32) -> f32 {
    let mut y = 2.0;
    for stop in &step.stops {
        if is_yes(stop) {
            let words = Run::plain("yes");
            let x = left + width - TICK_PT;
            block.tick(x, y);
            block.marks.push(Mark::Words { x: x - faces.width(&words) - 3.0, y: y + 12.0, run: words });
            y += TICK_PT + GAP_PT;
        } else {
            let unit = Run::plain(stop.unit.as_str());
            block.blank(left, y, width);
            block.marks.push(Mark::Words { x: left + 2.5, y: y + 10.5, run: Run::bold(stop.blank.as_str()) });
            let x = left + width - faces.width(&unit) - 3.0;
            block.marks.push(Mark::Words { x, y: y + BLANK_PT - 4.0, run: unit });
            y += BLANK_PT + GAP_PT;
        }
    }
    y
}
