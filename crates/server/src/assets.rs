//! The built page, embedded; read from its folder in debug builds.

use axum::body::Body;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, ETAG, IF_NONE_MATCH};
use axum::http::{HeaderMap, StatusCode, Uri};
use axum::response::{IntoResponse, Response};
use rust_embed::RustEmbed;

#[derive(RustEmbed)]
#[folder = "../../web/dist"]
struct Page;

/// Sends a file of the page; unknown paths without a dot get the page itself, so that addresses
/// inside the page can be opened directly.
pub async fn asset(uri: Uri, headers: HeaderMap) -> Response {
    let path = uri.path().trim_start_matches('/');
    let wanted = if path.is_empty() { "index.html" } else { path };
    if let Some(file) = Page::get(wanted) {
        return send(wanted, &file, &headers);
    }
    let is_address_in_page = !wanted.starts_with("api/") && !wanted.contains('.');
    match Page::get("index.html").filter(|_| is_address_in_page) {
        Some(page) => send("index.html", &page, &headers),
        None => (StatusCode::NOT_FOUND, "there is nothing here").into_response(),
    }
}

fn send(path: &str, file: &rust_embed::EmbeddedFile, headers: &HeaderMap) -> Response {
    let hash: String =
        file.metadata.sha256_hash()[..16].iter().map(|b| format!("{b:02x}")).collect();
    let tag = format!("\"{hash}\"");
    if headers.get(IF_NONE_MATCH).is_some_and(|t| t.as_bytes() == tag.as_bytes()) {
        return StatusCode::NOT_MODIFIED.into_response();
    }
    // The page's build puts a hash of the content into the names below `assets/`.
    let cache = if path.starts_with("assets/") {
        "public, max-age=31536000, immutable"
    } else {
        "no-cache"
    };
    let kind = file.metadata.mimetype().to_owned();
    let body = Body::from(file.data.clone().into_owned());
    ([(CONTENT_TYPE, kind), (CACHE_CONTROL, cache.to_owned()), (ETAG, tag)], body).into_response()
}
