//! The API: places, figures, bikes, rides and the record for programs; refusals as problem documents.
//!
//! Layout: [`places`] answers, the same views as pages and commands · [`buying`] before buying · [`choices`] about parts and rides · [`figures`] one by one · [`bikes`] sheets, with tags ·
//! [`entries`] readings and work · [`orders`] work orders, from [`order_given`] · [`rides`] · [`sets`] · [`supply`] the shelf · [`sent`] a write as it comes · [`lists`] page by page · [`given`] what is sent, checked · [`refusal`] why not ·
//! [`tagged`] · [`replay`] sent twice, done once · [`describe`], [`answers`], [`sheet`], [`operations`], [`openapi`] the description · here the routes.

mod answers;
mod bikes;
mod buying;
mod choices;
pub(crate) mod describe;
mod entries;
mod figures;
mod given;
mod kinds;
mod lists;
pub(crate) mod openapi;
mod operations;
mod order_given;
mod orders;
mod places;
mod refusal;
mod replay;
mod rides;
mod sent;
mod sets;
mod sheet;
mod shown;
mod supply;
mod tagged;

#[cfg(test)]
mod tests;

use std::sync::LazyLock;

use axum::Router;
use axum::extract::State;
use axum::http::header::HeaderMap;
use axum::middleware::from_fn_with_state;
use axum::response::Response;
use axum::routing::{get, post};
use serde_json::json;

pub(crate) use self::replay::Answered;
use self::tagged::Fixed;
use crate::serve::AppState;

/// The routes under `/api/v1`.
pub(crate) fn router(state: &AppState) -> Router<AppState> {
    let fixed = Router::new()
        .route("/api/v1/figures", get(list))
        .route("/api/v1/figures/{name}", post(figures::ask))
        .route("/api/v1/openapi.json", get(describe_all))
        .route("/api/v1/routes", get(routes))
        .route("/api/v1/bikes", get(lists::bikes).post(bikes::add))
        .route("/api/v1/bikes/{bike}", get(bikes::show).put(bikes::put).patch(bikes::patch).delete(bikes::remove))
        .route("/api/v1/rides", get(lists::rides).post(rides::add))
        .route("/api/v1/rides/{ride}", get(rides::show))
        .route("/api/v1/entries", get(lists::entries))
        .route("/api/v1/entries/{entry}", get(entries::show))
        .route("/api/v1/changes", get(lists::changes))
        .route("/api/v1/changes/{change}/undo", post(entries::undo))
        .route("/api/v1/sets", post(sets::keep))
        .route("/api/v1/sets/on", post(sets::on))
        .route("/api/v1/sets/off", post(sets::off))
        .route("/api/v1/sets/forget", post(sets::forget))
        .route("/api/v1/parts/note", post(supply::note))
        .route("/api/v1/orders", get(lists::orders).post(orders::begin))
        .route("/api/v1/orders/{order}", get(orders::show))
        .route("/api/v1/orders/{order}/steps/{step}", get(orders::step))
        .route("/api/v1/orders/{order}/offers", get(orders::offers))
        .route("/api/v1/orders/{order}/tick", post(orders::tick))
        .route("/api/v1/orders/{order}/fail", post(orders::fail))
        .route("/api/v1/orders/{order}/untick", post(orders::untick))
        .route("/api/v1/orders/{order}/add", post(orders::add))
        .route("/api/v1/orders/{order}/figure", post(orders::figure))
        .route("/api/v1/orders/{order}/pause", post(orders::pause))
        .route("/api/v1/orders/{order}/drop", post(orders::drop_it))
        .route("/api/v1/orders/{order}/reopen", post(orders::reopen))
        .route("/api/v1/orders/{order}/close", post(orders::close));
    let read = places::all().fold(fixed, |router, place| router.route(place.path, get(places::answer(place))));
    let all = kinds::KINDS.iter().fold(read, |router, kind| router.route(kind.path, post(entries::add(kind))));
    all.layer(from_fn_with_state(state.clone(), replay::once))
}

async fn list(asked: HeaderMap) -> Response {
    static LIST: LazyLock<Fixed> = LazyLock::new(|| Fixed::of(&describe::all()));
    LIST.answer(&asked)
}

async fn describe_all(asked: HeaderMap) -> Response {
    static DOCUMENT: LazyLock<Fixed> = LazyLock::new(|| Fixed::of(&openapi::document()));
    DOCUMENT.answer(&asked)
}

/// Every address that a visitor can look at, from the list that routes the pages.
async fn routes(State(state): State<AppState>, asked: HeaderMap) -> Response {
    let pages = state.site().pages().iter().filter(|page| !page.title.is_empty());
    let pages = pages
        .map(|page| json!({"path": page.path, "title": page.title, "list": page.list, "visits": page.visits(&state)}));
    Fixed::of(&json!({"pages": pages.collect::<Vec<_>>()})).answer(&asked)
}
