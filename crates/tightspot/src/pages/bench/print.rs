//! An open order on paper, from where it stands, under the numbers that it is typed in by.

use advice::plan::of_order;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use upkeep::job::bench::End;

use super::desk::{AtOrder, cannot, lay_out};
use crate::pages::jobs::file;
use crate::pages::typed::Typed;
use crate::serve::Fault;
use crate::sheet::{Paper, pdf};

/// `GET …/sheet.pdf`; what is not open has nothing to do on paper.
pub(super) async fn show(at: AtOrder, typed: Typed) -> Result<Response, Response> {
    let loaded = at.load()?;
    let Some(paper) = Paper::named(typed.text("paper")).filter(|_| loaded.bench.end() == End::Open) else {
        return Ok(Redirect::to(&format!("/jobs/order/{}/steps", at.id)).into_response());
    };
    let laid = lay_out(&loaded, &at.visit)?;
    let view = of_order(&loaded.desk(), &laid).map_err(|gap| cannot(&at.visit, &gap))?;
    let day = loaded.now.date();
    let sheet = pdf(&loaded.bike, &view, day, paper).map_err(Fault::from)?;
    Ok(file(&format!("order-{}-{day}", at.id), sheet))
}

/// The ways to it.
pub(super) fn links(id: i64) -> Markup {
    html! {
        a href={ "/jobs/order/" (id) "/sheet.pdf?paper=a4" } { "What is left on A4 (PDF)" } ", "
        a href={ "/jobs/order/" (id) "/sheet.pdf?paper=letter" } { "on Letter (PDF)" }
    }
}
