//! The parts without the form.

use maud::{Markup, html};

use crate::frame::details;
use crate::frame::figure::{Figure, SaysWho, figures, pairs};
use crate::frame::notice::{Level, caution, notice, saved};
use crate::frame::number::{fixed, signed};
use crate::frame::reasons::{Clear, Reason, reasons};
use crate::frame::table::{Column, Row, table};
use crate::frame::verdict::{Verdict, tag, tag_saying, verdict};

/// Verdict, reasons, figures, table, cautions.
pub(super) fn parts(shown: Verdict) -> Markup {
    html! {
        (verdict(shown, "Invented: two days in the hills on Saturday.", &html! {}))
        (reasons(&some_reasons()))
        (figures(some_figures()))
        (some_table())
        (words())
    }
}

fn some_reasons() -> [Reason<'static>; 3] {
    let clear = |words, address, minutes| Some(Clear { words, address, minutes });
    [
        Reason {
            verdict: Verdict::Stop,
            says: "The chain is off.",
            figure: "job 12 · step 11 of 36 · since Tuesday",
            clear: clear("Go on with the job", "/kit#more", Some(55)),
        },
        Reason {
            verdict: Verdict::Care,
            says: "The oil comes due inside the ride.",
            figure: "0.9 h left · 15 h · changed at 274.8 h",
            clear: clear("Change it", "/kit#more", Some(25)),
        },
        Reason {
            verdict: Verdict::Unknown,
            says: "No slack reading since the wheel was out.",
            figure: "",
            clear: None,
        },
    ]
}

fn some_figures() -> [Figure<'static>; 3] {
    let says = |sources| SaysWho {
        figure: None,
        sources,
        change: "A new reading, or another figure on the bike sheet.",
        entered: "",
    };
    [
        Figure {
            name: "Slack on the stand",
            value: "85",
            unit: "mm",
            why: "82 to 88 on the bike sheet.",
            says: says(&["geometry"]),
        },
        Figure {
            name: "Worst elongation",
            value: "1.07",
            unit: "%",
            why: "± 0.12; the limit is 1.0.",
            says: says(&["practice"]),
        },
        Figure { name: "Axle left", value: "4.7 – 7.5", unit: "mm", why: "To the rear stop.", says: says(&[]) },
    ]
}

fn some_table() -> Markup {
    let columns = [
        Column::words("Pair"),
        Column::digits("Ratio", ""),
        Column::digits("Crawl", "km/h"),
        Column::digits("Against now", "%"),
        Column::digits("Centre", "mm"),
        Column::words("Fit"),
    ];
    let row = |pair: &str, ratio: f64, change: f64, centre: f64, fit: Markup| {
        let numbers = [fixed(ratio, 3), fixed(40.0 / ratio, 1), signed(change, 1), fixed(centre, 1)];
        let numbers = numbers.map(|number| html! { (number) });
        Row::of([html! { (pair) }].into_iter().chain(numbers).chain([fit]))
    };
    let rows = [
        row("13/48", 3.692, 7.7, 688.9, tag_saying(Verdict::Ready, "fits")),
        row("14/48", 3.429, 0.0, 685.2, tag_saying(Verdict::Ready, "fits")).marked(),
        row("14/51", 3.643, 6.3, 672.1, tag_saying(Verdict::Care, "fits, close")),
        row("14/53", 3.786, 10.4, 663.4, tag_saying(Verdict::Stop, "does not fit")),
    ];
    table("pairs", "Pairs that can be built (invented)", &columns, &rows)
}

fn words() -> Markup {
    html! {
        (saved("Saved: 85 mm at 288.9 h.", &html! { a href="/kit" { "Undo" } }))
        (caution(Level::Stop, "Keep fingers and rag away from the chain: engine off, wheel turned by hand."))
        (caution(Level::Warn, "Grease on the disc is brake gone. Cover it first."))
        (caution(Level::Note, "A gloved hand reads a rule two millimetres too long."))
        (notice("117 links are odd: they need a cranked link."))
        p { (tag(Verdict::Ready)) " " (tag(Verdict::Care)) " " (tag(Verdict::Unknown)) " " (tag(Verdict::Stop)) }
        div id="more" {
            (details("How the slack is measured", &html! { p { "Push down, read; push up, read; the difference is the slack." } }))
            (details("Figures in a list", &pairs([("Chain", html! { "118 links" }), ("Pitch", html! { "15.875 mm" })])))
        }
    }
}
