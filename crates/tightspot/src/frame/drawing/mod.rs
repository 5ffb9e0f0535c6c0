//! Drawings to scale: circles, lines and arcs in millimetres, so that a rule laid on the picture tells the truth.
//!
//! The picture's own coordinates are millimetres from the swingarm pivot, x forward; y is down as pictures have it,
//! so y = −z. Every element carries `data-id`, the name of what it shows: whoever doubts a drawing can read the
//! geometry back from it. Words stand in a second picture over the first at percentages, so they do not shrink.

#[cfg(test)]
mod tests;

use advice::picture::Picture;
pub(crate) use advice::picture::{Ink, Shape, Spot};
use maud::{Markup, html};
use measure::shown;

/// The class that an ink has on a page.
const fn class(ink: Ink) -> &'static str {
    match ink {
        Ink::Chain => "chain",
        Ink::Steel => "steel",
        Ink::Help => "help",
        Ink::Limit => "limit",
        Ink::Other => "other",
    }
}

/// A thing drawn with its name and its ink.
pub(crate) struct Piece<'a> {
    /// Name of what it shows, as the figure calls it (`front_pitch_circle`).
    pub(crate) id: &'a str,
    /// How it is drawn.
    pub(crate) ink: Ink,
    /// What is drawn.
    pub(crate) shape: Shape,
}

/// Words at a spot.
pub(crate) struct Label<'a> {
    /// Where.
    pub(crate) at: Spot,
    /// The words.
    pub(crate) words: &'a str,
}

/// A drawing.
pub(crate) struct Drawing<'a> {
    /// Its id on the page.
    pub(crate) id: &'a str,
    /// What it shows.
    pub(crate) title: &'a str,
    /// What it says, in one sentence.
    pub(crate) finding: &'a str,
    /// What is drawn, from the back to the front.
    pub(crate) pieces: &'a [Piece<'a>],
    /// Words on it.
    pub(crate) labels: &'a [Label<'a>],
}

/// The frame of a drawing in millimetres.
struct Sheet {
    left: f64,
    top: f64,
    width: f64,
    height: f64,
}

/// A picture of `advice` as a page shows it; `id` tells it from the same picture elsewhere on the page.
pub(crate) fn picture(picture: &Picture, id: &str) -> Markup {
    let pieces: Vec<Piece<'_>> = picture
        .pieces
        .iter()
        .map(|piece| Piece { id: &piece.id, ink: piece.ink, shape: piece.shape.clone() })
        .collect();
    let labels: Vec<Label<'_>> =
        picture.labels.iter().map(|label| Label { at: label.at, words: &label.words }).collect();
    let drawing = Drawing { id, title: &picture.title, finding: &picture.finding, pieces: &pieces, labels: &labels };
    drawn_with(&drawing, Sheet::with_words(&drawing), picture.to_scale)
}

/// A drawing to scale with its scale bar.
pub(crate) fn drawing(drawing: &Drawing<'_>) -> Markup {
    drawn_with(drawing, Sheet::around(drawing), true)
}

/// A drawing, with a scale bar where its lengths are true.
fn drawn_with(drawing: &Drawing<'_>, sheet: Sheet, to_scale: bool) -> Markup {
    let (title, desc) = (format!("{}-title", drawing.id), format!("{}-desc", drawing.id));
    let (bar, bar_words) = scale_bar(sheet.width);
    let bar_at = Spot::new(sheet.left + sheet.width * 0.02, -(sheet.top + sheet.height * 0.97));
    html! {
        figure class="drawing" {
            figcaption { strong { (drawing.title) } " " (drawing.finding) }
            div class="overlaid" {
                svg class="to-scale" role="img" aria-labelledby=(title) aria-describedby=(desc) viewBox=(sheet.view()) {
                    title id=(title) { (drawing.title) }
                    desc id=(desc) { (drawing.finding) }
                    @for piece in drawing.pieces { (drawn(piece)) }
                    @if to_scale { line class="bar" data-id="scale_bar" vector-effect="non-scaling-stroke"
                        x1=(mm(bar_at.x_mm)) y1=(mm(-bar_at.z_mm)) x2=(mm(bar_at.x_mm + bar)) y2=(mm(-bar_at.z_mm)) {} }
                }
                svg class="on-drawing" width="100%" height="100%" aria-hidden="true" focusable="false" {
                    @for label in drawing.labels { (words(&sheet, label, "middle")) }
                    @if to_scale { (words(&sheet, &Label { at: bar_at, words: &bar_words }, "start")) }
                }
            }
        }
    }
}

impl Sheet {
    /// Everything drawn, with a little room around it and room for the scale bar below.
    fn around(drawing: &Drawing<'_>) -> Self {
        let start = (f64::INFINITY, f64::NEG_INFINITY, f64::INFINITY, f64::NEG_INFINITY);
        let grow = |(x0, x1, z0, z1): (f64, f64, f64, f64), (spot, around): (Spot, f64)| {
            (
                x0.min(spot.x_mm - around),
                x1.max(spot.x_mm + around),
                z0.min(spot.z_mm - around),
                z1.max(spot.z_mm + around),
            )
        };
        let (x0, x1, z0, z1) = drawing.pieces.iter().flat_map(|piece| piece.shape.reach()).fold(start, grow);
        let (x0, x1, z0, z1) = if x0 > x1 { (0.0, 100.0, 0.0, 100.0) } else { (x0, x1, z0, z1) };
        let room = ((x1 - x0).max(z1 - z0) * 0.04).max(1.0);
        Self { left: x0 - room, top: -z1 - room, width: x1 - x0 + 2.0 * room, height: z1 - z0 + 3.5 * room }
    }

    /// The same with room for the words, as wide as they are on a small phone.
    fn with_words(drawing: &Drawing<'_>) -> Self {
        let plain = Self::around(drawing);
        let (mut right, mut bottom) = (plain.left + plain.width, plain.top + plain.height);
        let (mut left, mut top) = (plain.left, plain.top);
        for label in drawing.labels {
            let letters = f64::from(u16::try_from(label.words.chars().count()).unwrap_or(u16::MAX));
            let (half, up) = (letters * plain.width * 0.016, plain.width * 0.09);
            (left, right) = (left.min(label.at.x_mm - half), right.max(label.at.x_mm + half));
            (top, bottom) = (top.min(-label.at.z_mm - up), bottom.max(-label.at.z_mm));
        }
        Self { left, top, width: right - left, height: bottom - top }
    }

    fn view(&self) -> String {
        [self.left, self.top, self.width, self.height].map(mm).join(" ")
    }
}

fn drawn(piece: &Piece<'_>) -> Markup {
    let (id, class) = (piece.id, class(piece.ink));
    match &piece.shape {
        Shape::Circle { centre, radius_mm } => html! {
            circle class=(class) data-id=(id) vector-effect="non-scaling-stroke" cx=(mm(centre.x_mm)) cy=(mm(-centre.z_mm)) r=(mm(*radius_mm)) {}
        },
        Shape::Segment { from, to } => html! {
            line class=(class) data-id=(id) vector-effect="non-scaling-stroke"
                x1=(mm(from.x_mm)) y1=(mm(-from.z_mm)) x2=(mm(to.x_mm)) y2=(mm(-to.z_mm)) {}
        },
        Shape::Arc { centre, radius_mm, from, to, clockwise } => html! {
            path class=(class) data-id=(id) data-cx=(mm(centre.x_mm)) data-cy=(mm(-centre.z_mm)) data-r=(mm(*radius_mm))
                vector-effect="non-scaling-stroke" d=(arc(*centre, *radius_mm, *from, *to, *clockwise)) {}
        },
        Shape::Through(spots) => {
            let spots: Vec<String> = spots.iter().map(|spot| format!("{} {}", mm(spot.x_mm), mm(-spot.z_mm))).collect();
            html! { path class=(class) data-id=(id) vector-effect="non-scaling-stroke" d={ "M" (spots.join("L")) } {} }
        }
        Shape::Dot(spot) => {
            let at = format!("{} {}", mm(spot.x_mm), mm(-spot.z_mm));
            html! {
                // A line of no length with round ends: a dot that keeps its size on every screen.
                path class={ "dot " (class) } data-id=(id) data-cx=(mm(spot.x_mm)) data-cy=(mm(-spot.z_mm))
                    vector-effect="non-scaling-stroke" d={ "M" (at) "L" (at) } {}
            }
        }
    }
}

/// The path of an arc; whether it is the long way round follows from its ends and its turning.
fn arc(centre: Spot, radius_mm: f64, from: Spot, to: Spot, clockwise: bool) -> String {
    let angle = |spot: Spot| (spot.z_mm - centre.z_mm).atan2(spot.x_mm - centre.x_mm);
    let turn = (angle(to) - angle(from)) * if clockwise { -1.0 } else { 1.0 };
    let large = u8::from(turn.rem_euclid(std::f64::consts::TAU) > std::f64::consts::PI);
    let (radius, sweep) = (mm(radius_mm), u8::from(clockwise));
    let (x1, y1, x2, y2) = (mm(from.x_mm), mm(-from.z_mm), mm(to.x_mm), mm(-to.z_mm));
    format!("M{x1} {y1}A{radius} {radius} 0 {large} {sweep} {x2} {y2}")
}

fn words(sheet: &Sheet, label: &Label<'_>, anchor: &str) -> Markup {
    let x = (label.at.x_mm - sheet.left) / sheet.width * 100.0;
    let y = (-label.at.z_mm - sheet.top) / sheet.height * 100.0;
    html! { text x=(format!("{x:.2}%")) y=(format!("{y:.2}%")) dy="-6" text-anchor=(anchor) { (label.words) } }
}

/// Millimetres with three decimals, as the picture holds them.
fn mm(value: f64) -> String {
    let text = format!("{value:.3}");
    if text == "-0.000" { "0.000".to_owned() } else { text }
}

/// The bar that is about a fifth of the width, its length in millimetres and in words: round in the unit that is read.
fn scale_bar(width_mm: f64) -> (f64, String) {
    let one = shown::value(1.0, "mm");
    let round = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];
    let length = round.into_iter().rfind(|length| *length <= width_mm * one / 4.0).unwrap_or(0.1);
    (length / one, format!("{length} {}", shown::unit("mm")))
}
