//! The built page, embedded; read from its folder in debug builds.

use axum::body::Body;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, ETAG, IF_NONE_MATCH};
use axum::http::{HeaderMap, StatusCode, Uri};
use axum::response::{IntoResponse, Response};
use rust_embed::{EmbeddedFile, RustEmbed};

#[derive(RustEmbed)]
#[folder = "../../web/dist"]
struct Page;

/// A file of the page; unknown paths without a dot give the page itself, so that addresses inside
/// the page can be opened directly. `None` if there is nothing at that path.
pub fn asset(uri: &Uri, headers: &HeaderMap) -> Option<Response> {
    let path = uri.path().trim_start_matches('/');
    let wanted = if path.is_empty() { "index.html" } else { path };
    if let Some(file) = Page::get(wanted) {
        return Some(send(wanted, &file, headers));
    }
    let is_address_in_page = !wanted.contains('.');
    let page = Page::get("index.html").filter(|_| is_address_in_page)?;
    Some(send("index.html", &page, headers))
}

fn send(path: &str, file: &EmbeddedFile, headers: &HeaderMap) -> Response {
    let hash: String =
        file.metadata.sha256_hash()[..16].iter().map(|b| format!("{b:02x}")).collect();
    // Weak, because the same file is sent compressed or not.
    let tag = format!("W/\"{hash}\"");
    // The page's build puts a hash of the content into the names below `assets/`.
    let cache = if path.starts_with("assets/") {
        "public, max-age=31536000, immutable"
    } else {
        "no-cache"
    };
    let known = [(CACHE_CONTROL, cache.to_owned()), (ETAG, tag.clone())];
    if is_known(headers, &tag) {
        return (StatusCode::NOT_MODIFIED, known).into_response();
    }
    let kind = [(CONTENT_TYPE, file.metadata.mimetype().to_owned())];
    (known, kind, Body::from(file.data.clone().into_owned())).into_response()
}

/// Whether the browser has this state of the file (RFC 9110, 13.1.2: a list, compared weakly).
fn is_known(headers: &HeaderMap, tag: &str) -> bool {
    let opaque = |t: &str| t.trim().trim_start_matches("W/").to_owned();
    headers
        .get_all(IF_NONE_MATCH)
        .iter()
        .filter_map(|value| value.to_str().ok())
        .flat_map(|value| value.split(','))
        .any(|t| t.trim() == "*" || opaque(t) == opaque(tag))
}
