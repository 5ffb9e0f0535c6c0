//! Charts: lines, steps, bands, points and limits over one axis, drawn so that a phone and a grey print can be read.
//!
//! The picture stretches with the page but its text does not: lines live in an inner picture that is stretched,
//! words and marks stand at percentages beside it. Every picture has a name, its finding as one sentence, and the
//! same figures in a table below. What is not known is a gap, never zero.
//!
//! Layout: [`scale`] numbers to fractions and nice ticks · [`plot`] the picture · [`figures`] the table ·
//! [`read_in`] in the units of its reader ·
//! [`lanes`] stretches under each other, with a heap of shares above.

mod figures;
pub(crate) mod lanes;
mod plot;
mod read_in;
mod scale;

#[cfg(test)]
mod tests;

use maud::{Markup, html};

use super::details;

/// One axis.
pub(crate) struct Axis<'a> {
    /// What is along it.
    pub(crate) name: &'a str,
    /// Its unit; empty for none.
    pub(crate) unit: &'a str,
    /// Decimals in the table of figures.
    pub(crate) decimals: usize,
    /// Numbers that must be in view even if no point reaches them (zero, a limit).
    pub(crate) reach: &'a [f64],
}

/// A place on the chart; no height where it is not known.
pub(crate) type Point = (f64, Option<f64>);

/// One thing drawn, from the back to the front.
pub(crate) enum Layer<'a> {
    /// A line through points, broken where a height is not known.
    Line {
        /// Its name, written at its end.
        name: &'a str,
        /// Its points, left to right.
        points: &'a [Point],
    },
    /// A projection: dashed, never solid.
    Ahead {
        /// Its name, written at its end.
        name: &'a str,
        /// Its points, left to right.
        points: &'a [Point],
    },
    /// A value that holds until the next one.
    Step {
        /// Its name, written at its end.
        name: &'a str,
        /// Where each value begins.
        points: &'a [Point],
    },
    /// Readings, each with its own mark.
    Marks {
        /// Their name, written at the last one.
        name: &'a str,
        /// The readings.
        points: &'a [Point],
    },
    /// Between a low and a high.
    Band {
        /// Its name, written inside.
        name: &'a str,
        /// Along the axis, low, high.
        points: &'a [(f64, f64, f64)],
    },
    /// A limit, with its words on the line ("limit 1.0 % (bike sheet)").
    Limit {
        /// The words.
        words: &'a str,
        /// Its height.
        at: f64,
    },
    /// Something that happened at a place along the axis (a meter changed).
    Upright {
        /// The words.
        words: &'a str,
        /// Where.
        at: f64,
    },
}

/// A chart.
pub(crate) struct Chart<'a> {
    /// Its id on the page.
    pub(crate) id: &'a str,
    /// What it shows.
    pub(crate) title: &'a str,
    /// What it says, in one sentence.
    pub(crate) finding: &'a str,
    /// The axis along the bottom.
    pub(crate) along: Axis<'a>,
    /// The axis upwards.
    pub(crate) up: Axis<'a>,
    /// What is drawn.
    pub(crate) layers: &'a [Layer<'a>],
}

/// A chart with its finding and its figures.
pub(crate) fn chart(chart: &Chart<'_>) -> Markup {
    read_in::turned(chart, shown_chart)
}

/// The same where the figures fill pages of their own: the way to them in place of the table.
pub(crate) fn chart_told_at(chart: &Chart<'_>, address: &str) -> Markup {
    read_in::turned(chart, |chart| {
        with_figures(chart, &html! { p { a class="in-table" href=(address) { "The same figures in a table" } } })
    })
}

fn shown_chart(chart: &Chart<'_>) -> Markup {
    with_figures(chart, &details("The same figures in a table", &figures::table_of(chart)))
}

fn with_figures(chart: &Chart<'_>, figures: &Markup) -> Markup {
    html! {
        figure class="chart" {
            figcaption { strong { (chart.title) } " " (chart.finding) }
            (plot::picture(chart))
            (figures)
        }
    }
}
