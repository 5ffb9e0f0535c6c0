//! The few files the pages need, inside the binary, under names that change with their content.

use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse as _, Response};

use super::Fault;

/// One file.
struct Asset {
    stem: &'static str,
    ending: &'static str,
    kind: &'static str,
    bytes: &'static [u8],
}

/// The style sheet, the script and the icon.
static ASSETS: [Asset; 3] = [
    Asset { stem: "frame", ending: "css", kind: "text/css; charset=utf-8", bytes: crate::frame::STYLE.as_bytes() },
    Asset {
        stem: "live",
        ending: "js",
        kind: "text/javascript; charset=utf-8",
        bytes: crate::frame::SCRIPT.as_bytes(),
    },
    Asset { stem: "icon", ending: "svg", kind: "image/svg+xml; charset=utf-8", bytes: crate::frame::ICON.as_bytes() },
];

/// The name of each file with the mark of its content.
static NAMES: LazyLock<[String; 3]> = LazyLock::new(|| {
    ASSETS.each_ref().map(|asset| format!("{}.{:016x}.{}", asset.stem, fnv1a(asset.bytes), asset.ending))
});

/// FNV-1a: tells two contents apart; nothing secret hangs on it.
pub(crate) fn fnv1a(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3))
}

/// Address of the style sheet.
pub(crate) fn style() -> String {
    format!("/assets/{}", NAMES[0])
}

/// Address of the script.
pub(crate) fn script() -> String {
    format!("/assets/{}", NAMES[1])
}

/// Address of the icon.
pub(crate) fn icon() -> String {
    format!("/assets/{}", NAMES[2])
}

/// `GET /assets/{name}`: a name never means another content, so it may be kept for good.
pub(crate) async fn get(Path(name): Path<String>) -> Result<Response, Fault> {
    let found = NAMES.iter().zip(&ASSETS).find(|(known, _)| **known == name);
    let (_, asset) = found.ok_or_else(|| Fault::not_found("Open the page again: its files have new names."))?;
    let headers = [(CONTENT_TYPE, asset.kind), (CACHE_CONTROL, "public, max-age=31536000, immutable")];
    Ok((headers, asset.bytes).into_response())
}

/// `GET /favicon.ico`, which browsers ask for unbidden.
pub(crate) async fn favicon() -> Response {
    let headers = [(CONTENT_TYPE, ASSETS[2].kind), (CACHE_CONTROL, "public, max-age=86400")];
    (headers, ASSETS[2].bytes).into_response()
}
