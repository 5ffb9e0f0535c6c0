//! The index: every page by name, from the same list that routes them.

use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use maud::html;

use crate::frame::Head;
use crate::serve::{AppState, Page, Visit};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[Page::new("/pages", "All pages", || get(show))];

async fn show(State(state): State<AppState>, visit: Visit) -> Response {
    let main = html! {
        h1 { "All pages" }
        ul class="list" {
            @for page in state.site().pages() {
                @if let Some(address) = page.visits(&state).first() {
                    li { a href=(address) { (page.title) } }
                }
            }
        }
    };
    visit.show(Head::titled("All pages"), &main)
}
