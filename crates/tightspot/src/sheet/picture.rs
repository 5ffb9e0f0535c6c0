//! A picture of `advice` on paper: the same geometry as on the page, black, told apart by weight and dash.

use advice::picture::{Ink, Picture, Shape, Spot};

use super::block::{Block, Mark, Role};
use super::face::{Faces, Run};
use super::paper::BESIDE_PT;

/// Room between a picture and its words.
const GAP_PT: f32 = 6.0;

/// A picture so wide, its drawing at most so high, its title and finding below it.
pub(super) fn block(faces: &Faces, picture: &Picture, width: f32, height: f32) -> Block {
    let mut block = drawing(faces, picture, width, height);
    block.words(faces, 0.0, width, &words(picture));
    block.height += GAP_PT;
    block
}

/// A picture so wide at the left, its title and finding and then other blocks at its right; all on one page.
pub(super) fn beside(faces: &Faces, picture: &Picture, (width, room): (f32, f32), others: Vec<Block>) -> Vec<Block> {
    let drawn = drawing(faces, picture, width, width * 0.85);
    let mut caption = Block::new(Role::Text);
    caption.words(faces, width + BESIDE_PT, room, &words(picture));
    let text: f32 = caption.height + others.iter().map(|block| block.height).sum::<f32>();
    let missing = (drawn.height - text).max(0.0);
    let mut all = vec![Block { height: 0.0, keeps_next: true, ..drawn }, Block { keeps_next: true, ..caption }];
    let last = others.len().saturating_sub(1);
    for (at, mut block) in others.into_iter().enumerate() {
        block.move_right(width + BESIDE_PT);
        block.keeps_next = at < last;
        block.height += if at < last { 0.0 } else { missing };
        all.push(block);
    }
    all
}

fn words(picture: &Picture) -> [Run; 2] {
    [Run::bold(format!("{} ", picture.title)), Run::plain(picture.finding.as_str())]
}

fn drawing(faces: &Faces, picture: &Picture, width: f32, height: f32) -> Block {
    let mut block = Block::new(Role::Picture(format!("{} {}", picture.title, picture.finding)));
    let view = View::around(faces, picture, width, height);
    for piece in &picture.pieces {
        drawn(&mut block, &view, piece.ink, &piece.shape);
    }
    for label in &picture.labels {
        let run = Run::bold(label.words.as_str());
        let (x, y) = view.at(label.at);
        block.marks.push(Mark::Words { x: x - faces.width(&run) / 2.0, y: y - 4.0, run });
    }
    block.at_least(view.height + GAP_PT);
    block
}

/// How a picture's own coordinates lie on paper.
struct View {
    left: f32,
    top: f32,
    scale: f32,
    x: f32,
    height: f32,
}

impl View {
    fn around(faces: &Faces, picture: &Picture, width: f32, height: f32) -> Self {
        let mut spots: Vec<(Spot, f64)> = picture.pieces.iter().flat_map(|piece| piece.shape.reach()).collect();
        spots.extend(picture.labels.iter().map(|label| (label.at, 0.0)));
        let side = |of: fn(&Spot) -> f64, least: bool| {
            let ends = spots.iter().map(|(spot, round)| if least { of(spot) - round } else { of(spot) + round });
            narrow(if least { ends.fold(f64::INFINITY, f64::min) } else { ends.fold(f64::NEG_INFINITY, f64::max) })
        };
        let (x0, x1) = (side(|spot| spot.x_mm, true), side(|spot| spot.x_mm, false));
        let (z0, z1) = (side(|spot| spot.z_mm, true), side(|spot| spot.z_mm, false));
        // Words keep their size; half of the widest may stand out on either side, and one line above.
        let widest = picture.labels.iter().map(|label| faces.width(&Run::bold(label.words.as_str())));
        let (out, line) = (widest.fold(0.0, f32::max) / 2.0, 16.0);
        let scale = ((width - 2.0 * out.min(width / 4.0)) / (x1 - x0)).min((height - line) / (z1 - z0));
        let drawn = (z1 - z0) * scale + line;
        Self { left: x0, top: z1, scale, x: (width - (x1 - x0) * scale) / 2.0, height: drawn }
    }

    fn at(&self, spot: Spot) -> (f32, f32) {
        (self.x + (narrow(spot.x_mm) - self.left) * self.scale, 14.0 + (self.top - narrow(spot.z_mm)) * self.scale)
    }
}

/// Weight and dash of an ink.
const fn pen(ink: Ink) -> (f32, &'static [f32]) {
    match ink {
        Ink::Chain => (1.8, &[]),
        Ink::Steel => (1.0, &[]),
        Ink::Help => (0.5, &[6.0, 2.0, 1.0, 2.0]),
        Ink::Limit => (1.8, &[3.5, 3.0]),
        Ink::Other => (0.9, &[1.0, 2.5]),
    }
}

fn drawn(block: &mut Block, view: &View, ink: Ink, shape: &Shape) {
    let (width, dash) = pen(ink);
    let mut line = |spots: &[Spot]| {
        let points = spots.iter().map(|spot| view.at(*spot)).collect();
        block.marks.push(Mark::Stroke { points, width, dash });
    };
    match shape {
        Shape::Circle { centre, radius_mm } => line(&round(*centre, *radius_mm, 0.0, 360.0)),
        Shape::Segment { from, to } => line(&[*from, *to]),
        Shape::Through(spots) => line(spots),
        Shape::Arc { centre, radius_mm, from, to, clockwise } => {
            let angle = |spot: &Spot| (spot.z_mm - centre.z_mm).atan2(spot.x_mm - centre.x_mm).to_degrees();
            let sign = if *clockwise { -1.0 } else { 1.0 };
            let turn = ((angle(to) - angle(from)) * sign).rem_euclid(360.0);
            line(&round(*centre, *radius_mm, angle(from), sign * turn));
        }
        Shape::Dot(spot) => {
            let (x, y) = view.at(*spot);
            block.marks.push(Mark::Dot { x, y, radius: 2.6 });
        }
    }
}

/// A part of a circle as a line through spots close to one another.
fn round(centre: Spot, radius_mm: f64, from_deg: f64, turn_deg: f64) -> Vec<Spot> {
    (0..=48).map(|step| centre.polar(radius_mm, from_deg + turn_deg * f64::from(step) / 48.0)).collect()
}

/// A coordinate as the paper holds it.
#[expect(clippy::cast_possible_truncation, reason = "a place on paper needs no more than seven digits")]
fn narrow(value: f64) -> f32 {
    value as f32
}
