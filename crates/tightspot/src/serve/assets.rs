//! The few files the pages need, inside the binary, under names that change with their content.

use std::io::Write as _;
use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::header::{ACCEPT_ENCODING, CACHE_CONTROL, CONTENT_ENCODING, CONTENT_TYPE, HeaderMap, VARY};
use axum::response::{IntoResponse as _, Response};
use flate2::Compression;
use flate2::write::GzEncoder;

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
    ASSETS.each_ref().map(|asset| format!("{}.{}.{}", asset.stem, store::mark(asset.bytes), asset.ending))
});

/// Each file compressed as far as it goes, once; empty where it could not be.
static PACKED: LazyLock<[Vec<u8>; 3]> = LazyLock::new(|| {
    ASSETS.each_ref().map(|asset| {
        let mut packer = GzEncoder::new(Vec::new(), Compression::best());
        packer.write_all(asset.bytes).and_then(|()| packer.finish()).unwrap_or_default()
    })
});

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
pub(crate) async fn get(Path(name): Path<String>, asked: HeaderMap) -> Result<Response, Fault> {
    let found = NAMES.iter().zip(&ASSETS).zip(&*PACKED).find(|((known, _), _)| **known == name);
    let ((_, asset), packed) =
        found.ok_or_else(|| Fault::not_found("Open the page again: its files have new names."))?;
    let headers = [(CONTENT_TYPE, asset.kind), (CACHE_CONTROL, "public, max-age=31536000, immutable")];
    if packed.is_empty() || !takes_gzip(&asked) {
        return Ok((headers, asset.bytes).into_response());
    }
    let packing = [(CONTENT_ENCODING, "gzip"), (VARY, "accept-encoding")];
    Ok((headers, packing, packed.as_slice()).into_response())
}

/// Whether whoever asks unpacks: by name, and not refused.
fn takes_gzip(asked: &HeaderMap) -> bool {
    let lines = asked.get_all(ACCEPT_ENCODING).iter().filter_map(|line| line.to_str().ok());
    let refused = |part: &str| part.strip_prefix("q=").is_some_and(|weight| weight.parse() == Ok(0.0_f32));
    lines.flat_map(|line| line.split(',')).any(|one| {
        let mut parts = one.split(';').map(str::trim);
        parts.next().is_some_and(|name| name.eq_ignore_ascii_case("gzip")) && !parts.any(refused)
    })
}

/// `GET /favicon.ico`, which browsers ask for unbidden.
pub(crate) async fn favicon() -> Response {
    let headers = [(CONTENT_TYPE, ASSETS[2].kind), (CACHE_CONTROL, "public, max-age=86400")];
    (headers, ASSETS[2].bytes).into_response()
}

#[cfg(test)]
mod tests {
    use std::io::Read as _;

    use super::*;
    use crate::serve::driven::{fetch, fetch_with, server, wait};

    #[test]
    fn whoever_unpacks_gets_the_same_file_packed() {
        for (asset, packed) in ASSETS.iter().zip(&*PACKED) {
            let mut text = Vec::new();
            flate2::read::GzDecoder::new(packed.as_slice()).read_to_end(&mut text).expect("unpacked");
            assert_eq!(text, asset.bytes, "{}", asset.stem);
            assert!(packed.len() < asset.bytes.len(), "{}", asset.stem);
        }
        wait(async {
            let (server, style) = (server(), style());
            let plain = fetch(&server, &style).await;
            assert!(plain.header("content-encoding").is_empty() && plain.body == crate::frame::STYLE);
            let packed = fetch_with(&server, &style, &[("accept-encoding", "br, gzip;q=0.8")]).await;
            assert_eq!(packed.header("content-encoding"), "gzip");
        });
    }

    #[test]
    fn packing_is_taken_where_it_is_named_and_not_refused() {
        let takes =
            |text: &'static str| takes_gzip(&HeaderMap::from_iter([(ACCEPT_ENCODING, text.parse().expect("a value"))]));
        assert!(["gzip", "deflate, GZIP", "br;q=1, gzip;q=0.5"].into_iter().all(takes));
        assert!(!["", "br", "gzip;q=0", "gzip; q=0.0", "xgzip"].into_iter().any(takes));
    }
}
