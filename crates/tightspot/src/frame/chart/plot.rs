//! The picture of a chart.

use std::fmt::Write as _;

use maud::{Markup, html};

use super::scale::Scale;
use super::{Chart, Layer, Point};
use crate::frame::number::fixed;

/// Height of the plot between its axes, in pixels of the page.
const HEIGHT: f64 = 200.0;
/// The least distance between two labels' base lines.
const LABEL_GAP: f64 = 17.0;

/// Both axes.
struct Scales {
    along: Scale,
    up: Scale,
}

impl Scales {
    fn of(chart: &Chart<'_>) -> Self {
        let along = chart.layers.iter().flat_map(alongs).chain(chart.along.reach.iter().copied());
        let up = chart.layers.iter().flat_map(heights).chain(chart.up.reach.iter().copied());
        let counted = chart.along.decimals == 0 && chart.along.unit.is_empty();
        let along = Scale::just(along, 4);
        Self { along: if counted { along.counted() } else { along }, up: Scale::over(up, 4) }
    }

    /// Percent of the plot's width.
    fn percent(&self, along: f64) -> String {
        format!("{:.2}%", self.along.fraction(along) * 100.0)
    }

    /// Pixels from the plot's top.
    fn pixels(&self, up: f64) -> f64 {
        (1.0 - self.up.fraction(up)) * HEIGHT
    }

    /// A point of the stretched picture, which is 1000 by 1000.
    fn stretched(&self, along: f64, up: f64) -> String {
        format!("{:.1} {:.1}", self.along.fraction(along) * 1000.0, (1.0 - self.up.fraction(up)) * 1000.0)
    }
}

fn alongs(layer: &Layer<'_>) -> Vec<f64> {
    match layer {
        Layer::Band { points, .. } => points.iter().map(|(along, ..)| *along).collect(),
        Layer::Limit { .. } => Vec::new(),
        Layer::Upright { at, .. } => vec![*at],
        _ => points_of(layer).iter().map(|(along, _)| *along).collect(),
    }
}

fn heights(layer: &Layer<'_>) -> Vec<f64> {
    match layer {
        Layer::Band { points, .. } => points.iter().flat_map(|(_, low, high)| [*low, *high]).collect(),
        Layer::Limit { at, .. } => vec![*at],
        _ => points_of(layer).iter().filter_map(|(_, up)| *up).collect(),
    }
}

const fn points_of<'a>(layer: &Layer<'a>) -> &'a [Point] {
    match layer {
        Layer::Line { points, .. }
        | Layer::Ahead { points, .. }
        | Layer::Step { points, .. }
        | Layer::Marks { points, .. } => points,
        Layer::Band { .. } | Layer::Limit { .. } | Layer::Upright { .. } => &[],
    }
}

/// The whole picture.
pub(super) fn picture(chart: &Chart<'_>) -> Markup {
    let scales = Scales::of(chart);
    let (title, desc) = (format!("{}-title", chart.id), format!("{}-desc", chart.id));
    html! {
        // The picture is the plot; ticks and names stand outside it, in the margins that the style sheet keeps free.
        svg class="picture" role="img" width="100%" height=(HEIGHT) aria-labelledby=(title) aria-describedby=(desc) {
            title id=(title) { (chart.title) }
            desc id=(desc) { (chart.finding) }
            (grid(chart, &scales))
            svg class="stretched" viewBox="0 0 1000 1000" preserveAspectRatio="none" width="100%" height="100%" {
                @for (place, layer) in chart.layers.iter().enumerate() { (stroke(layer, place, &scales)) }
            }
            @for (place, layer) in chart.layers.iter().enumerate() { (marks(layer, place, &scales)) }
            (labels(chart, &scales))
        }
    }
}

fn named(name: &str, unit: &str) -> String {
    if unit.is_empty() { name.to_owned() } else { format!("{name}, {unit}") }
}

fn grid(chart: &Chart<'_>, scales: &Scales) -> Markup {
    let (along_decimals, up_decimals) = (scales.along.decimals(), scales.up.decimals());
    html! {
        text class="axis-name" x="-40" y="-12" { (named(chart.up.name, chart.up.unit)) }
        @for tick in scales.up.ticks() {
            @let y = format!("{:.1}", scales.pixels(tick));
            line class="grid" x1="0" x2="100%" y1=(y) y2=(y) {}
            text class="tick" x="-8" y=(y) dy="5" text-anchor="end" { (fixed(tick, up_decimals)) }
        }
        @for tick in scales.along.ticks() {
            @let x = scales.percent(tick);
            line class="notch" x1=(x) x2=(x) y1=(HEIGHT) y2=(HEIGHT + 6.0) {}
            text class="tick" x=(x) y=(HEIGHT + 20.0) text-anchor="middle" { (fixed(tick, along_decimals)) }
        }
        line class="base" x1="0" x2="100%" y1=(HEIGHT) y2=(HEIGHT) {}
        text class="axis-name" x="100%" y=(HEIGHT + 38.0) text-anchor="end" { (named(chart.along.name, chart.along.unit)) }
    }
}

/// The look of the n-th layer: each has its own colour, dash and mark.
fn series(place: usize) -> String {
    format!("series-{}", place % 4 + 1)
}

fn stroke(layer: &Layer<'_>, place: usize, scales: &Scales) -> Markup {
    let line = |class: &str, d: &str| {
        html! { path class={ (class) " " (series(place)) } vector-effect="non-scaling-stroke" d=(d) {} }
    };
    match layer {
        Layer::Line { points, .. } => line("line", &path(points, scales, false)),
        Layer::Ahead { points, .. } => line("line ahead", &path(points, scales, false)),
        Layer::Step { points, .. } => line("line", &path(points, scales, true)),
        Layer::Band { points, .. } => {
            let there = points.iter().map(|(along, low, _)| scales.stretched(*along, *low));
            let back = points.iter().rev().map(|(along, _, high)| scales.stretched(*along, *high));
            let corners: Vec<String> = there.chain(back).collect();
            html! { path class={ "band " (series(place)) } vector-effect="non-scaling-stroke" d={ "M" (corners.join("L")) "Z" } {} }
        }
        Layer::Marks { .. } | Layer::Limit { .. } | Layer::Upright { .. } => html! {},
    }
}

/// The path through known points; after an unknown one it begins anew.
fn path(points: &[Point], scales: &Scales, stepped: bool) -> String {
    let mut d = String::new();
    let mut last: Option<f64> = None;
    for (along, up) in points {
        if let Some(up) = up {
            if let (true, Some(before)) = (stepped, last) {
                let _ = write!(d, "L{}", scales.stretched(*along, before));
            }
            let _ = write!(d, "{}{}", if last.is_some() { 'L' } else { 'M' }, scales.stretched(*along, *up));
        } else if let (true, Some(before)) = (stepped, last) {
            let _ = write!(d, "L{}", scales.stretched(*along, before));
        }
        last = *up;
    }
    d
}

fn marks(layer: &Layer<'_>, place: usize, scales: &Scales) -> Markup {
    match layer {
        Layer::Marks { points, .. } => html! {
            @for (along, up) in points.iter().filter_map(|(along, up)| up.map(|up| (*along, up))) {
                svg class="mark-at" x=(scales.percent(along)) y=(format!("{:.1}", scales.pixels(up))) overflow="visible" {
                    path class={ "dot " (series(place)) } d=(mark(place)) {}
                }
            }
        },
        Layer::Limit { at, .. } => {
            let y = format!("{:.1}", scales.pixels(*at));
            html! { line class="limit" x1="0" x2="100%" y1=(y) y2=(y) {} }
        }
        Layer::Upright { at, .. } => {
            let x = scales.percent(*at);
            html! { line class="limit" x1=(x) x2=(x) y1="0" y2=(HEIGHT) {} }
        }
        _ => html! {},
    }
}

/// Disc, square, triangle, diamond, about eleven pixels wide.
const fn mark(place: usize) -> &'static str {
    match place % 4 {
        0 => "M-5.5 0a5.5 5.5 0 1 0 11 0a5.5 5.5 0 1 0 -11 0",
        1 => "M-5-5H5V5H-5z",
        2 => "M0-6.5L6.5 5H-6.5z",
        _ => "M0-7L7 0L0 7L-7 0z",
    }
}

/// One label: its words, how far along, its base line.
struct Label<'a> {
    words: &'a str,
    class: String,
    fraction: f64,
    base: f64,
}

fn labels(chart: &Chart<'_>, scales: &Scales) -> Markup {
    let mut all: Vec<Label<'_>> = chart
        .layers
        .iter()
        .enumerate()
        .filter_map(|(place, layer)| {
            let (words, along, up, class) = match layer {
                Layer::Limit { words, at } => (*words, scales.along.low, *at, "limit-words".to_owned()),
                Layer::Upright { words, at } => (*words, *at, scales.up.low, "limit-words".to_owned()),
                Layer::Band { name, points } => {
                    let (along, _, high) = points.last()?;
                    (*name, *along, *high, series(place))
                }
                Layer::Line { name, points }
                | Layer::Ahead { name, points }
                | Layer::Step { name, points }
                | Layer::Marks { name, points } => {
                    let (along, up) = points.iter().rev().find_map(|(along, up)| up.map(|up| (*along, up)))?;
                    (*name, along, up, series(place))
                }
            };
            (!words.is_empty()).then_some(())?;
            Some(Label { words, class, fraction: scales.along.fraction(along), base: scales.pixels(up) - 9.0 })
        })
        .collect();
    spread(&mut all);
    html! {
        @for label in &all {
            text class={ "label " (label.class) } x=(format!("{:.2}%", label.fraction * 100.0)) y=(format!("{:.1}", label.base))
                text-anchor=(if label.fraction > 0.5 { "end" } else { "start" }) { (label.words) }
        }
    }
}

/// Moves labels apart, downwards, and back up where the plot ends.
fn spread(labels: &mut [Label<'_>]) {
    labels.sort_by(|one, other| one.base.total_cmp(&other.base));
    let mut least = 6.0;
    for label in labels.iter_mut() {
        label.base = label.base.max(least);
        least = label.base + LABEL_GAP;
    }
    let mut most = HEIGHT - 5.0;
    for label in labels.iter_mut().rev() {
        label.base = label.base.min(most);
        most = label.base - LABEL_GAP;
    }
}
