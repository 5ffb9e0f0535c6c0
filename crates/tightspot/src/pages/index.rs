//! The index: every page by name, from the same list that routes them.

use std::convert::Infallible;

use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use crate::frame::Head;
use crate::serve::{AppState, Page, Visit};

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[Page::list("/pages", "All pages", || get(show))];

async fn show(State(state): State<AppState>, visit: Visit) -> Response {
    // Which address a page is visited by hangs on the record; it is asked of every page.
    let work = || Ok::<_, Infallible>(all(&state));
    let Ok(all) = state.worked_out("", "all pages".to_owned(), work);
    visit.show(Head::titled("All pages"), &html! { h1 { "All pages" } (all) })
}

fn all(state: &AppState) -> Markup {
    html! {
        ul class="list" {
            @for page in state.site().pages() {
                @if let Some(address) = page.first(state) {
                    li { a href=(address) { (page.title) } }
                }
            }
        }
    }
}
