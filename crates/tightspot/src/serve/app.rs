//! The router with everything around it, outermost first: headers, compression, the telling of faults, panics
//! caught, the host's name, where a change comes from, who may come in, the time limit, the size limit, writes apart;
//! around the pages alone: the units that they are read in.

use std::time::Duration;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::routing::get;
use tower_http::CompressionLevel;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::compression::predicate::SizeAbove;
use tower_http::timeout::TimeoutLayer;

use super::{AppState, apart, assets, fault, gate, headers, hosts, origin, read_in};
use crate::api;
use crate::pages::calendar;

/// The largest body of a request; a route for imports sets its own.
pub(crate) const BODY_LIMIT_BYTES: usize = 1 << 20;
/// The longest that a request may take.
const TIME_LIMIT: Duration = Duration::from_secs(30);
/// Answers below this size travel as they are.
const COMPRESS_ABOVE_BYTES: u64 = 1024;

/// The whole application.
pub(crate) fn app(state: AppState) -> Router {
    let compression =
        CompressionLayer::new().quality(CompressionLevel::Fastest).compress_when(SizeAbove::new(COMPRESS_ABOVE_BYTES));
    state
        .site()
        .router()
        .layer(from_fn_with_state(state.clone(), read_in::chosen))
        .merge(api::router(&state))
        .route("/assets/{name}", get(assets::get))
        .route("/calendar.ics", get(calendar::download))
        .route("/favicon.ico", get(assets::favicon))
        .layer(from_fn(apart::writes))
        .layer(DefaultBodyLimit::max(BODY_LIMIT_BYTES))
        .layer(TimeoutLayer::with_status_code(StatusCode::REQUEST_TIMEOUT, TIME_LIMIT))
        .layer(from_fn_with_state(state.clone(), gate::check))
        .layer(from_fn_with_state(state.clone(), origin::check))
        .layer(from_fn_with_state(state.clone(), hosts::check))
        .layer(CatchPanicLayer::custom(fault::of_panic))
        .layer(from_fn_with_state(state.clone(), fault::tell))
        .layer(compression)
        .layer(from_fn_with_state(state.clone(), headers::set))
        .with_state(state)
}
