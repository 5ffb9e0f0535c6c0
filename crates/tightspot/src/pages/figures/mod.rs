//! Every figure and its source: what it takes, how it is computed, who says so, and a form to ask it.
//!
//! Layout: [`form`] typed text → the given object · [`view`] the pages · here the handlers.

mod form;
mod view;

use axum::extract::{Path, Query};
use axum::response::Response;
use axum::routing::get;

use crate::frame::Head;
use crate::serve::{AppState, Fault, Page, Visit};
use form::Asked;

/// This slice's pages.
pub(crate) const PAGES: &[Page] = &[
    Page::list("/figures", "Every figure and its source", || get(list)),
    Page::new("/figures/{name}", "A figure, asked", || get(show)).at(visits),
];

/// Every figure, and one with a fault.
fn visits(_: &AppState) -> Vec<String> {
    let plain = figures::all().map(|figure| format!("/figures/{}", figure.name));
    let faulty = figures::all().next().map(|figure| format!("/figures/{}?ask=1", figure.name));
    plain.chain(faulty).collect()
}

async fn list(visit: Visit) -> Response {
    visit.show(Head::titled("Every figure and its source"), &view::list())
}

/// `GET /figures/{name}?field=text…`: asking changes nothing, so the whole question stands in the address.
async fn show(
    visit: Visit,
    Path(name): Path<String>,
    Query(typed): Query<Vec<(String, String)>>,
) -> Result<Response, Fault> {
    let figure = figures::named(&name)
        .ok_or_else(|| Fault::not_found(format!("“{name}” is no figure. The list of figures names them all.")))?;
    let asked = crate::serve::beside(move || Asked::read(figure, &typed)).await;
    let asked = asked.map_err(|cause| Fault::broken(&cause))?;
    if visit.wants(view::ANSWER) {
        return Ok(visit.fragment(view::answer(figure, &asked)));
    }
    let head = Head::titled(figure.name);
    let page = view::page(figure, &asked);
    Ok(if asked.faults.is_empty() { visit.show(head, &page) } else { visit.show_faults(head, &page) })
}
