//! The API: figures for programs, refusals as problem documents.

use axum::Router;
use axum::extract::rejection::JsonRejection;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Json;
use axum::routing::{get, post};
use figures::{NoTracks, Refusal};
use serde_json::{Map, Value, json};

use crate::serve::{AppState, Fault, Pointed};

/// The routes under `/api/v1`.
pub(crate) fn router() -> Router<AppState> {
    Router::new().route("/api/v1/figures/{name}", post(ask)).route("/api/v1/routes", get(routes))
}

/// Every address that a visitor can look at, from the list that routes the pages.
async fn routes(State(state): State<AppState>) -> Json<Value> {
    let pages = state.site().pages().iter();
    let pages = pages
        .filter(|page| !page.title.is_empty())
        .map(|page| json!({"path": page.path, "title": page.title, "visits": page.visits(&state)}));
    Json(json!({"pages": pages.collect::<Vec<_>>()}))
}

async fn ask(
    Path(name): Path<String>,
    given: Result<Json<Map<String, Value>>, JsonRejection>,
) -> Result<Json<Value>, Fault> {
    let Json(given) = given.map_err(|why| Fault::new(why.status(), "The body is no JSON object", why.body_text()))?;
    let answer =
        tokio::task::spawn_blocking(move || figures::ask(&name, &given, &NoTracks).map(|answer| (name, answer)));
    let (name, answer) = answer.await.map_err(|cause| Fault::broken(&cause))?.map_err(refused)?;
    let notices = answer.notices.iter().map(|one| json!({"code": one.code, "text": one.text}));
    Ok(Json(json!({
        "figure": name,
        "answer": answer.values(),
        "notices": notices.collect::<Vec<_>>(),
        "sources": answer.sources,
    })))
}

fn refused(refusal: Refusal) -> Fault {
    let unknown = refusal.code == "unknown_figure";
    let status = if unknown { StatusCode::NOT_FOUND } else { StatusCode::UNPROCESSABLE_ENTITY };
    let pointer = format!("/{}", refusal.field.replace('~', "~0").replace('.', "/"));
    let pointed = Pointed { pointer, code: refusal.code.to_owned(), detail: refusal.text.clone() };
    Fault::new(status, "No figure for this", refusal.text).pointed(vec![pointed])
}
