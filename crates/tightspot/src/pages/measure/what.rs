//! What to measure: each reading with its minutes, and what it tells.

use axum::response::Response;
use maud::{Markup, html};

use crate::frame::{Head, Place};
use crate::serve::Visit;

const HEAD: Head<'static> = Head::new("Measure the drive", Place::Drive);

/// Address, name, minutes, what it tells.
const READINGS: [(&str, &str, u32, &str); 5] = [
    (
        "slack",
        "Slack",
        3,
        "Is there enough left in line, and how far do I turn? At 4 places, or at 12 to find a tight spot.",
    ),
    ("elongation", "Length of the chain", 5, "Is it worn, and for how many hours will it last?"),
    ("alignment", "Axle left and right", 5, "Is the wheel straight, and how much room is left?"),
    ("teeth", "Look at the teeth", 2, "Do the sprockets still carry the chain?"),
    ("meter", "Hour meter", 1, "What does it show, or was it changed?"),
];

/// `GET /drive/measure`.
pub(super) async fn show(visit: Visit) -> Result<Response, Response> {
    visit.bike()?;
    Ok(visit.show(HEAD, &page()))
}

fn page() -> Markup {
    html! {
        h1 { "What do you measure?" }
        ul class="choices" {
            @for (address, name, minutes, tells) in READINGS {
                li {
                    a class="button" href={ "/drive/measure/" (address) } { (name) ", " (minutes) " min" }
                    p { (tells) }
                }
            }
            li {
                a class="button" href="/drive/geometry" { "Slack along the travel, 20 min" }
                p { "Where does the countershaft lie, and how much slack does that ask for? Six readings, once in a bike's life." }
            }
            li {
                a class="button" href="/drive/first-day" { "First day of a bike bought used" }
                p { "Nobody counted its hours? As a range: what is left, and what would narrow it." }
            }
        }
        p class="buttons" { a class="button" href="/drive/history" { "What was read, and what ran" } }
    }
}
