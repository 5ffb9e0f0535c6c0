//! Every figure and its source: what it takes, how it is computed, who says so.

use axum::response::Response;
use axum::routing::get;
use maud::html;

use crate::frame::Head;
use crate::serve::{Page, Visit};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[Page::new("/figures", "Every figure and its source", || get(list))];

async fn list(visit: Visit) -> Response {
    let main = html! {
        h1 { "Every figure and its source" }
        ul class="list" {
            @for figure in figures::all() {
                li { a href={ "/figures/" (figure.name) } { (figure.name) } p { (figure.says) } }
            }
        }
    };
    visit.show(Head::titled("Figures"), &main)
}
