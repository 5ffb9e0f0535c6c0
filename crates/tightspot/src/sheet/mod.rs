//! The printed sheet: the plan of the bench as a PDF, out of the same view as the page.
//!
//! Black only, text of at least 11 pt, figures to set of at least 14 pt, boxes to tick of 6 mm, blanks 8 mm high and
//! numbered as the steps, no step split over two pages, every caution that stops on the first page, pictures last.
//! The same view and day give the same bytes.
//!
//! Layout: `paper` sizes · `face` type and lines · `block` what is never split, and pages of it · `front` first page ·
//! `steps` · `picture` · `file` the PDF itself.

mod block;
mod face;
mod file;
mod front;
mod paper;
mod picture;
mod steps;
#[cfg(test)]
mod tests;

use advice::plan::PlanView;
use jiff::civil::Date;
use upkeep::bike::Bike;

use self::block::{Block, pages, room_left};
use self::face::{Faces, Run, printable};
use self::file::Title;
use self::front::{heading, text};
use self::paper::BESIDE_PT;
pub(crate) use self::paper::Paper;
use crate::problem::Problem;

/// Marks that stand for a reason given once on the first page.
const MARKS: [&str; 6] = ["†", "‡", "§", "¶", "††", "‡‡"];
/// The picture that stands on every sheet that has it.
const ALWAYS: &str = "crossing-order";
/// Its width.
const STAR_PT: f32 = 100.0;
/// A block higher than this part of a page is parted.
const PAGE_PART: f32 = 0.9;

/// The sheet of a plan as a file.
///
/// # Errors
/// Only if the binary itself is damaged.
pub(crate) fn pdf(bike: &Bike, view: &PlanView, day: Date, paper: Paper) -> Result<Vec<u8>, Problem> {
    let faces = Faces::load().ok_or_else(|| Problem::failed("The sheet's typeface cannot be read."))?;
    let invented = if bike.invented { " (invented)" } else { "" };
    let title = view.title();
    let head = format!("{}{invented} · {title}", bike.name);
    let [head, title] = [head, title].map(|words| printable(&words));
    let blocks = blocks(&faces, view, paper);
    let pages = pages(&blocks, Paper::top(), paper.bottom());
    let title = Title { head: &head, title: &title, day };
    file::write(&faces, paper, &title, &blocks, &pages).ok_or_else(|| Problem::failed("The sheet cannot be written."))
}

/// Everything on the sheet, in reading order.
fn blocks(faces: &Faces, view: &PlanView, paper: Paper) -> Vec<Block> {
    let width = paper.inner_width();
    let mut blocks = front::blocks(faces, view, width);
    blocks.push(heading(faces, 2, "Steps", width));
    blocks.extend(steps::blocks(faces, view, width));
    let star = view.pictures.iter().find(|shown| shown.id == ALWAYS);
    let room = width - star.map_or(0.0, |_| STAR_PT + BESIDE_PT);
    let tail = tail(faces, view, room);
    match star {
        Some(star) => blocks.extend(picture::beside(faces, star, (STAR_PT, room), tail)),
        None => blocks.extend(tail),
    }
    pictures(faces, view, paper, &mut blocks);
    // A heading stays with what follows it: the two together must find room, too.
    let most = PAGE_PART * (paper.bottom() - Paper::top());
    blocks.into_iter().flat_map(|block| block.parted(most)).collect()
}

/// What a sheet ends with, in words: what is due afterwards, the last line, the figures with their sources.
fn tail(faces: &Faces, view: &PlanView, width: f32) -> Vec<Block> {
    let due = view.later.iter().map(|due| text(faces, width, &[Run::bold("Afterwards: "), Run::plain(due.as_str())]));
    let mut blocks: Vec<Block> = due.collect();
    blocks.push(text(faces, width, &[Run::bold(view.closing.as_str())]));
    blocks.extend(figures(faces, view, width));
    blocks
}

/// Every figure to set once, with its source, in one paragraph.
fn figures(faces: &Faces, view: &PlanView, width: f32) -> Option<Block> {
    let mut seen: Vec<(&str, &str)> = Vec::new();
    let mut runs = vec![Run::bold("Figures and where they stand: ")];
    for figure in view.steps.iter().flat_map(|step| &step.to_set) {
        if figure.source.is_empty() || seen.contains(&(&figure.label, &figure.value)) {
            continue;
        }
        seen.push((&figure.label, &figure.value));
        runs.push(Run::plain(format!("{}: ", figure.label)));
        runs.push(Run::figure(figure.value.as_str()));
        runs.push(Run::plain(format!(" ({}).  ", figure.source)));
    }
    (!seen.is_empty()).then(|| text(faces, width, &runs))
}

/// The pictures beside the crossing order in rows of three, as far as the last page has room for them.
fn pictures(faces: &Faces, view: &PlanView, paper: Paper, blocks: &mut Vec<Block>) {
    let gap = 14.0;
    let width = (paper.inner_width() - 2.0 * gap) / 3.0;
    let others = view.pictures.iter().filter(|shown| shown.id != ALWAYS);
    let drawn: Vec<Block> = others.map(|shown| picture::block(faces, shown, width, width * 0.62)).collect();
    for row in drawn.chunks(3) {
        let kept: Vec<&Block> = row.iter().collect();
        let high = kept.iter().map(|block| block.height).fold(0.0, f32::max);
        if high <= room_left(blocks, Paper::top(), paper.bottom()) {
            blocks.extend(side_by_side(&kept, width + gap));
        }
    }
}

/// Blocks beside one another: all but the last take no room of their own, so that they stand on one page.
fn side_by_side(row: &[&Block], step: f32) -> Vec<Block> {
    let high = row.iter().map(|block| block.height).fold(0.0, f32::max);
    let mut x = 0.0;
    let mut placed = Vec::new();
    for (at, block) in row.iter().enumerate() {
        let mut moved = (*block).clone();
        moved.move_right(x);
        x += step;
        let last = at + 1 == row.len();
        moved.height = if last { high } else { 0.0 };
        moved.keeps_next = !last;
        placed.push(moved);
    }
    placed
}

/// The reasons behind stop points, each with its mark.
fn marks(view: &PlanView) -> Vec<(&'static str, &str)> {
    let mut whys: Vec<&str> = Vec::new();
    for stop in view.steps.iter().flat_map(|step| &step.stops) {
        if !stop.why.is_empty() && !whys.contains(&stop.why.as_str()) {
            whys.push(&stop.why);
        }
    }
    MARKS.into_iter().zip(whys).collect()
}
