//! A chart in the units of its reader: every number along an axis is turned before anything is drawn, so that ticks are
//! round in the unit that is read and picture and table say the same.

use measure::shown;

use super::{Axis, Chart, Layer, Point};

/// The points of a layer, turned.
enum Turned {
    Points(Vec<Point>),
    Band(Vec<(f64, f64, f64)>),
    At(f64),
}

/// Hands the chart on in the units that its reader wants.
pub(super) fn turned<T>(chart: &Chart<'_>, draw: impl FnOnce(&Chart<'_>) -> T) -> T {
    let (along, up) = (chart.along.unit, chart.up.unit);
    if shown::unit(along) == along && shown::unit(up) == up {
        return draw(chart);
    }
    let numbers: Vec<Turned> = chart.layers.iter().map(|layer| turn(layer, along, up)).collect();
    let layers: Vec<Layer<'_>> =
        chart.layers.iter().zip(&numbers).map(|(layer, numbers)| over(layer, numbers)).collect();
    let reaches = [reach(&chart.along), reach(&chart.up)];
    draw(&Chart {
        id: chart.id,
        title: chart.title,
        finding: chart.finding,
        along: axis(&chart.along, &reaches[0]),
        up: axis(&chart.up, &reaches[1]),
        layers: &layers,
    })
}

/// An axis in the unit that is read; `reach` is turned already.
pub(super) fn axis<'a>(axis: &Axis<'a>, reach: &'a [f64]) -> Axis<'a> {
    let decimals = shown::decimals(axis.decimals, axis.unit);
    Axis { name: axis.name, unit: shown::unit(axis.unit), decimals, reach }
}

/// What must be in view, turned.
pub(super) fn reach(axis: &Axis<'_>) -> Vec<f64> {
    axis.reach.iter().map(|number| shown::value(*number, axis.unit)).collect()
}

fn turn(layer: &Layer<'_>, along: &str, up: &str) -> Turned {
    let (along, up) = (|number: f64| shown::value(number, along), |number: f64| shown::value(number, up));
    match layer {
        Layer::Line { points, .. }
        | Layer::Ahead { points, .. }
        | Layer::Step { points, .. }
        | Layer::Marks { points, .. } => {
            Turned::Points(points.iter().map(|(at, height)| (along(*at), height.map(up))).collect())
        }
        Layer::Band { points, .. } => {
            Turned::Band(points.iter().map(|(at, low, high)| (along(*at), up(*low), up(*high))).collect())
        }
        Layer::Limit { at, .. } => Turned::At(up(*at)),
        Layer::Upright { at, .. } => Turned::At(along(*at)),
    }
}

/// The same layer over turned numbers; each was turned from this very layer, so they go together.
fn over<'a>(layer: &Layer<'a>, numbers: &'a Turned) -> Layer<'a> {
    let points: &[Point] = if let Turned::Points(points) = numbers { points } else { &[] };
    let band: &[(f64, f64, f64)] = if let Turned::Band(band) = numbers { band } else { &[] };
    let place = if let Turned::At(place) = numbers { *place } else { 0.0 };
    match layer {
        Layer::Line { name, .. } => Layer::Line { name, points },
        Layer::Ahead { name, .. } => Layer::Ahead { name, points },
        Layer::Step { name, .. } => Layer::Step { name, points },
        Layer::Marks { name, .. } => Layer::Marks { name, points },
        Layer::Band { name, .. } => Layer::Band { name, points: band },
        Layer::Limit { words, .. } => Layer::Limit { words, at: place },
        Layer::Upright { words, .. } => Layer::Upright { words, at: place },
    }
}
