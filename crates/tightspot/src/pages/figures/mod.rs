//! Every figure and its source: what it takes, how it is computed, who says so, and a form to ask it.
//!
//! Layout: [`form`] typed text → the given object · [`view`] the pages · here the handlers.

mod form;
mod view;

use axum::extract::Path;
use axum::response::Response;
use axum::routing::get;

use crate::frame::Head;
use crate::pages::typed::Typed;
use crate::serve::{AppState, Fault, Page, Visit, beside};
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
async fn show(visit: Visit, Path(name): Path<String>, typed: Typed) -> Result<Response, Fault> {
    let figure = figures::named(&name)
        .ok_or_else(|| Fault::not_found(format!("“{name}” is no figure. The list of figures names them all.")))?;
    let asked = beside(move || Asked::read(figure, typed.texts())).await?;
    if visit.wants(view::ANSWER) {
        return Ok(visit.fragment(view::answer(figure, &asked)));
    }
    let head = Head::titled(figure.name);
    let page = view::page(figure, &asked);
    Ok(if asked.faults.is_empty() { visit.show(head, &page) } else { visit.show_faults(head, &page) })
}
