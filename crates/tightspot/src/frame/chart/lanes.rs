//! Lanes over one axis: for each name a stretch from a low to a high number, two series at most; above them, on the
//! same axis, a heap of shares may show where something was spent.

use maud::{Markup, html};

use measure::shown;

use super::scale::Scale;
use super::{Axis, read_in};
use crate::frame::details;
use crate::frame::number::fixed;
use crate::frame::table::{Column, Row, table};

/// Height of one stretch, pixels.
const BAR: f64 = 24.0;
/// Height of the heap, pixels.
const HEAP: f64 = 110.0;
/// Between heap and lanes: its axis and the lanes' name.
const BETWEEN: f64 = 30.0;

/// From a low to a high number.
pub(crate) type Stretch = (f64, f64);

/// One lane.
pub(crate) struct Lane {
    /// What it is called, at its left.
    pub(crate) name: String,
    /// One stretch for each series, in their order.
    pub(crate) stretches: Vec<Stretch>,
}

/// Shares by class along the axis.
pub(crate) struct Heap<'a> {
    /// What is shared out.
    pub(crate) name: &'a str,
    /// Lower edge of each class, its share in percent; ascending.
    pub(crate) classes: &'a [[f64; 2]],
    /// How wide a class is.
    pub(crate) width: f64,
}

/// A chart of lanes.
pub(crate) struct Lanes<'a> {
    /// Its id on the page.
    pub(crate) id: &'a str,
    /// What it shows.
    pub(crate) title: &'a str,
    /// What it says, in one sentence.
    pub(crate) finding: &'a str,
    /// The axis along the bottom.
    pub(crate) along: Axis<'a>,
    /// What a lane is ("gear").
    pub(crate) each: &'a str,
    /// What the series are called, the first drawn solid, the second dashed.
    pub(crate) series: &'a [String],
    /// The lanes, top to bottom.
    pub(crate) lanes: &'a [Lane],
    /// The shares above them.
    pub(crate) heap: Option<Heap<'a>>,
}

/// A chart of lanes with its finding and its figures, in the units of its reader.
pub(crate) fn lanes(lanes: &Lanes<'_>) -> Markup {
    let unit = lanes.along.unit;
    if shown::unit(unit) == unit {
        return shown_lanes(lanes);
    }
    let turned = |(from, to): &Stretch| (shown::value(*from, unit), shown::value(*to, unit));
    let each = |lane: &Lane| Lane { name: lane.name.clone(), stretches: lane.stretches.iter().map(turned).collect() };
    let all: Vec<Lane> = lanes.lanes.iter().map(each).collect();
    let heap = lanes.heap.as_ref();
    let classes: Option<Vec<[f64; 2]>> =
        heap.map(|heap| heap.classes.iter().map(|[from, share]| [shown::value(*from, unit), *share]).collect());
    let heap = heap.zip(classes.as_deref()).map(|(heap, classes)| Heap {
        name: heap.name,
        classes,
        width: shown::value(heap.width, unit),
    });
    let reach = read_in::reach(&lanes.along);
    let along = read_in::axis(&lanes.along, &reach);
    shown_lanes(&Lanes { along, lanes: &all, heap, ..*lanes })
}

fn shown_lanes(lanes: &Lanes<'_>) -> Markup {
    html! {
        figure class="chart" {
            figcaption { strong { (lanes.title) } " " (lanes.finding) }
            (picture(lanes))
            (details("The same figures in a table", &html! {
                (lane_table(lanes))
                @if let Some(heap) = &lanes.heap { (heap_table(lanes, heap)) }
            }))
        }
    }
}

/// Where everything stands, in pixels from the top.
struct Layout {
    along: Scale,
    lanes_top: f64,
    lane: f64,
    height: f64,
}

impl Layout {
    fn of(lanes: &Lanes<'_>) -> Self {
        let ends = lanes.lanes.iter().flat_map(|lane| lane.stretches.iter().flat_map(|(from, to)| [*from, *to]));
        let edges = lanes.heap.iter().flat_map(|heap| heap.classes.iter().map(|[from, _]| from + heap.width));
        let along = Scale::just(ends.chain(edges).chain(lanes.along.reach.iter().copied()), 4);
        let lanes_top = if lanes.heap.is_some() { HEAP + BETWEEN } else { 0.0 };
        let series = u32::try_from(lanes.series.len().max(1)).map_or(1.0, f64::from);
        let lane = BAR * series + 8.0;
        let count = u32::try_from(lanes.lanes.len()).map_or(0.0, f64::from);
        Self { along, lanes_top, lane, height: lanes_top + lane * count + 4.0 }
    }

    fn percent(&self, along: f64) -> String {
        format!("{:.2}%", self.along.fraction(along) * 100.0)
    }

    fn wide(&self, from: f64, to: f64) -> String {
        format!("{:.2}%", (self.along.fraction(to) - self.along.fraction(from)).max(0.0) * 100.0)
    }
}

fn picture(lanes: &Lanes<'_>) -> Markup {
    let layout = Layout::of(lanes);
    let (title, desc) = (format!("{}-title", lanes.id), format!("{}-desc", lanes.id));
    let height = format!("{:.0}", layout.height);
    html! {
        svg class="picture" role="img" width="100%" height=(height) aria-labelledby=(title) aria-describedby=(desc) {
            title id=(title) { (lanes.title) }
            desc id=(desc) { (lanes.finding) }
            (axis(lanes, &layout))
            @if let Some(heap) = &lanes.heap { (heap_of(heap, &layout)) }
            (all_lanes(lanes, &layout))
        }
    }
}

fn axis(lanes: &Lanes<'_>, layout: &Layout) -> Markup {
    let decimals = layout.along.decimals();
    let y = |more: f64| format!("{:.1}", layout.height + more);
    html! {
        @for tick in layout.along.ticks() {
            @let x = layout.percent(tick);
            line class="grid" x1=(x) x2=(x) y1="0" y2=(y(0.0)) {}
            line class="notch" x1=(x) x2=(x) y1=(y(0.0)) y2=(y(6.0)) {}
            text class="tick" x=(x) y=(y(20.0)) text-anchor="middle" { (fixed(tick, decimals)) }
        }
        line class="base" x1="0" x2="100%" y1=(y(0.0)) y2=(y(0.0)) {}
        text class="axis-name" x="100%" y=(y(38.0)) text-anchor="end" { (lanes.along.name) ", " (lanes.along.unit) }
        text class="axis-name" x="-40" y=(format!("{:.1}", layout.lanes_top - 10.0)) { (lanes.each) }
    }
}

fn heap_of(heap: &Heap<'_>, layout: &Layout) -> Markup {
    let up = Scale::over(heap.classes.iter().map(|[_, share]| *share).chain([0.0]), 2);
    let y = |share: f64| (1.0 - up.fraction(share)) * HEAP;
    let decimals = up.decimals();
    html! {
        text class="axis-name" x="-40" y="-12" { (heap.name) ", %" }
        @for tick in up.ticks() {
            @let at = format!("{:.1}", y(tick));
            line class="grid" x1="0" x2="100%" y1=(at) y2=(at) {}
            text class="tick" x="-8" y=(at) dy="5" text-anchor="end" { (fixed(tick, decimals)) }
        }
        @for [from, share] in heap.classes.iter().filter(|[_, share]| *share > 0.0) {
            rect class="heap" x=(layout.percent(*from)) width=(layout.wide(*from, from + heap.width))
                y=(format!("{:.1}", y(*share))) height=(format!("{:.1}", HEAP - y(*share))) {}
        }
        line class="base" x1="0" x2="100%" y1=(HEAP) y2=(HEAP) {}
    }
}

fn all_lanes(lanes: &Lanes<'_>, layout: &Layout) -> Markup {
    html! {
        @for (n, lane) in (0_u32..).map(f64::from).zip(lanes.lanes) {
            @let top = layout.lanes_top + layout.lane * n + 4.0;
            text class="tick" x="-8" y=(format!("{:.1}", top + layout.lane / 2.0)) text-anchor="end" { (lane.name) }
            @for (k, (from, to)) in (0_u32..).zip(&lane.stretches) {
                @let at = top + BAR * f64::from(k);
                rect class={ "lane series-" (k + 1) } x=(layout.percent(*from)) width=(layout.wide(*from, *to))
                    y=(format!("{:.1}", at + 1.0)) height=(BAR - 2.0) {}
                text x=(layout.percent(*from)) dx="5" y=(format!("{:.1}", at + BAR / 2.0 + 5.0)) {
                    (fixed(*from, 0)) "–" (fixed(*to, 0))
                }
                // With two series the first lane says which is which, at its bars' ends.
                @if let (true, true, Some(name)) = (n == 0.0, lanes.series.len() > 1, lanes.series.get(k as usize)) {
                    text class={ "label series-" (k + 1) } x=(layout.percent(*to)) dx="6" y=(format!("{:.1}", at + BAR / 2.0 + 5.0)) { (name) }
                }
            }
        }
    }
}

fn lane_table(lanes: &Lanes<'_>) -> Markup {
    let heads: Vec<[String; 2]> =
        lanes.series.iter().map(|name| [format!("{name}, from"), format!("{name}, to")]).collect();
    let mut columns = vec![Column::words(lanes.each)];
    columns.extend(heads.iter().flatten().map(|head| Column::digits(head, lanes.along.unit)));
    let rows: Vec<Row> = lanes
        .lanes
        .iter()
        .map(|lane| {
            let ends = lane.stretches.iter().flat_map(|(from, to)| [*from, *to]);
            let cells = ends.map(|end| html! { (fixed(end, lanes.along.decimals)) });
            Row::of(std::iter::once(html! { (lane.name) }).chain(cells))
        })
        .collect();
    table(&format!("{}-figures", lanes.id), lanes.title, &columns, &rows)
}

fn heap_table(lanes: &Lanes<'_>, heap: &Heap<'_>) -> Markup {
    let caption = format!("{} by {}", heap.name, lanes.along.name);
    let columns = [
        Column::digits("From", lanes.along.unit),
        Column::digits("Below", lanes.along.unit),
        Column::digits("Share", "%"),
    ];
    let rows: Vec<Row> = heap
        .classes
        .iter()
        .filter(|[_, share]| *share > 0.0)
        .map(|[from, share]| {
            Row::of([fixed(*from, 0), fixed(from + heap.width, 0), fixed(*share, 1)].map(|cell| html! { (cell) }))
        })
        .collect();
    table(&format!("{}-shares", lanes.id), &caption, &columns, &rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(classes: Option<&[[f64; 2]]>) -> String {
        let stretch = |from, to| vec![(from, to), (from - 2.0, to - 5.0)];
        let all = [
            Lane { name: "1".to_owned(), stretches: stretch(19.8, 56.8) },
            Lane { name: "2".to_owned(), stretches: stretch(25.6, 73.7) },
        ];
        let series = ["14/48".to_owned(), "13/48".to_owned()];
        let heap = classes.map(|classes| Heap { name: "moving time", classes, width: 5.0 });
        let along = Axis { name: "speed", unit: "km/h", decimals: 1, reach: &[0.0] };
        let (id, title, finding, each) = ("gears", "Speed in each gear.", "It reaches.", "gear");
        lanes(&Lanes { id, title, finding, along, each, series: &series, lanes: &all, heap }).into_string()
    }

    #[test]
    fn every_stretch_is_drawn_where_its_numbers_are() {
        let page = drawn(None);
        assert_eq!(page.matches("<rect").count(), 4);
        // 56.8 of 73.7 is the end of the first lane: from 26.87 % over 50.20 %.
        assert!(page.contains("x=\"26.87%\" width=\"50.20%\""), "{page}");
        assert_eq!(page.matches("<tr").count(), 1 + 2);
        assert!(page.contains("14/48, from") && page.contains("56.8"));
    }

    #[test]
    fn an_empty_class_is_no_bar_and_the_heap_has_its_table() {
        let page = drawn(Some(&[[0.0, 1.5], [5.0, 0.0], [10.0, 98.5]]));
        assert_eq!(page.matches("class=\"heap\"").count(), 2);
        assert!(page.contains("98.5"));
        assert!(!page.contains("style="));
    }
}
