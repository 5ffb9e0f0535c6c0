//! Every part that pages are made of, on one page: to look at, and for the browser tests. Its figures are invented.

mod pictures;

use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use crate::frame::field::{Choice, Fault, Field, Keys, Room, choice, fault_summary, field, long_field, tick};
use crate::frame::figure::{Figure, SaysWho, figures, pairs};
use crate::frame::notice::{Weight, caution, notice, saved};
use crate::frame::number::{fixed, signed};
use crate::frame::reasons::{Clear, Reason, reasons};
use crate::frame::table::{Column, Row, table};
use crate::frame::verdict::{Verdict, tag, tag_saying, verdict};
use crate::frame::{Head, actions, details, live_part};
use crate::serve::{Page, Visit};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[Page::new("/kit", "Parts of a page (invented figures)", || get(show)).at(visits)];

const FAULTY: &str = "Slack is 850 mm; 0 to 200 mm is possible. Type millimetres, as read off the rule.";

fn visits(_: &crate::serve::AppState) -> Vec<String> {
    ["ready", "care", "unknown", "stop"].map(|state| format!("/kit?state={state}")).to_vec()
}

async fn show(visit: Visit, axum::extract::Query(query): axum::extract::Query<Vec<(String, String)>>) -> Response {
    let state = query.iter().find(|(name, _)| name == "state").map(|(_, state)| state.as_str());
    let shown = match state {
        Some("ready") => Verdict::Ready,
        Some("care") => Verdict::Care,
        Some("stop") => Verdict::Stop,
        _ => Verdict::Unknown,
    };
    let main = html! {
        (verdict(shown, "Invented: two days in the hills on Saturday.", &html! {}))
        (reasons(&some_reasons()))
        (figures(some_figures()))
        (some_table())
        (pictures::pictures())
        (words())
        (form(&visit))
    };
    visit.show(Head::titled("Parts of a page"), &main)
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
    let says =
        |sources| SaysWho { figure: None, sources, change: "A new reading, or another figure on the bike sheet." };
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
        (caution(Weight::Stop, "Keep fingers and rag away from the chain: engine off, wheel turned by hand."))
        (caution(Weight::Warn, "Grease on the disc is brake gone. Cover it first."))
        (caution(Weight::Note, "A gloved hand reads a rule two millimetres too long."))
        (notice("117 links are odd: they need a cranked link."))
        p { (tag(Verdict::Ready)) " " (tag(Verdict::Care)) " " (tag(Verdict::Unknown)) " " (tag(Verdict::Stop)) }
        div id="more" {
            (details("How the slack is measured", &html! { p { "Push down, read; push up, read; the difference is the slack." } }))
            (details("Figures in a list", &pairs([("Chain", html! { "118 links" }), ("Pitch", html! { "15.875 mm" })])))
        }
    }
}

fn form(visit: &Visit) -> Markup {
    let states =
        [("stand", "On the stand", "Wheel hanging"), ("ground", "On its wheels", ""), ("rider", "Rider seated", "")];
    let state =
        Choice { name: "state", legend: "How the bike stands", hint: "", options: &states, chosen: "stand", fault: "" };
    html! {
        h2 { "Measure" }
        (fault_summary(&[Fault { field: "slack_mm", text: FAULTY }]))
        form method="get" action="/kit" data-live="echo" {
            (visit.form_key())
            (field(&Field::decimal("slack_mm", "Slack", "mm").hint("Total travel, up and down.").value("850").fault(FAULTY)))
            (field(&Field::whole("links", "Links", "")))
            (field(&Field { keys: Keys::Signed, room: Room::Twelve, ..Field::decimal("offset_mm", "Offset of the marks", "mm") }.optional()))
            (choice(&state))
            (long_field(&Field::text("note", "Note").optional(), 3))
            (tick("oiled", "yes", "Chain oiled, disc dry", true))
            (live_part("echo", "Echo renewed", &html! { p class="soft" { "Nothing is stored here." } }))
            (actions(&html! { button type="submit" class="button primary" { "Measure" } }))
        }
    }
}
