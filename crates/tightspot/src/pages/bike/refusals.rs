//! The gallery of refusals: for every field of the drive's and the sheet's forms, what a person reads when it is
//! empty, no number, negative, huge, in another unit, half-finished or in a notation of machines. Read the snapshot as
//! a rider would: does each sentence say what to type?

use std::fmt::Write as _;

use axum::Router;
use upkeep::bike::{BikeField, FIELDS, Kind};

use crate::serve::driven::{Told, fetch, server, wait};

const TYPED: [&str; 6] = ["", "abc", "-5", "999999", "12,", "1e3"];

/// What a page says at a field: its fault, or that the text was taken.
fn says(page: &Told, field: &str) -> String {
    let Some(from) = page.body.split(&format!("id=\"{field}-fault\">")).nth(1) else { return "taken".to_owned() };
    let text = from.split("</p>").next().unwrap_or_default().rsplit("</span>").next().unwrap_or_default();
    text.replace("&quot;", "\"").replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">")
}

/// A unit that the field cannot have.
fn foreign(unit: &str) -> &'static str {
    match unit {
        "N·m" => "5 bar",
        "mm" | "m" => "5 kg",
        "" => "14 mm",
        _ => "5 lightyears",
    }
}

fn coded(text: &str) -> String {
    text.bytes().map(|byte| format!("%{byte:02X}")).collect()
}

async fn gallery_of(server: &Router, path: &str, field: &str, unit: &str) -> String {
    let mut lines = format!("{field}\n");
    for text in TYPED.into_iter().chain([foreign(unit)]) {
        let page = fetch(server, &format!("{path}{field}={}", coded(text))).await;
        let said = says(&page, field);
        assert_eq!(page.status.as_u16() == 422, said != "taken", "{field} {text}");
        assert!(!said.contains('_'), "{field} {text}: {said}");
        let _ = writeln!(lines, "  {text:<14}{said}");
    }
    lines
}

const fn unit_of(field: &BikeField) -> &'static str {
    match field.kind {
        Kind::Number(_) => field.unit,
        _ => "",
    }
}

#[test]
fn every_refusal_of_the_forms_says_what_to_do() {
    wait(async {
        let server = server();
        let mut gallery = String::from("/drive\n\n");
        for (field, unit) in [
            ("slack_mm", "mm"),
            ("left_mm", "mm"),
            ("right_mm", "mm"),
            ("front_teeth", ""),
            ("rear_teeth", ""),
            ("links", ""),
        ] {
            gallery += &gallery_of(&server, "/drive?", field, unit).await;
        }
        gallery += "\n/bike\n\n";
        for field in FIELDS {
            gallery += &gallery_of(&server, &format!("/bike?field={}&", field.name), field.name, unit_of(field)).await;
        }
        insta::assert_snapshot!("refusals", gallery);
    });
}
