//! Keeps strangers out: other hosts' names, other sites' pages, framing, sniffing.

use crate::error::ApiError;
use crate::hosts::Hosts;
use axum::extract::{Request, State};
use axum::http::header::{CACHE_CONTROL, HOST, HeaderName, HeaderValue, ORIGIN};
use axum::http::uri::Authority;
use axum::http::{Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;

const HEADERS: &[(&str, &str)] = &[
    (
        "content-security-policy",
        "default-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; \
         object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'",
    ),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
];

/// Refuses requests under another host's name (a page elsewhere that points its own name at this
/// computer) and changes asked for by pages of other origins; adds the protective headers.
pub async fn guard(State(hosts): State<Arc<Hosts>>, request: Request, next: Next) -> Response {
    let mut response = match refusal(&hosts, &request) {
        Some(error) => error.into_response(),
        None => next.run(request).await,
    };
    let headers = response.headers_mut();
    for &(name, value) in HEADERS {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    // Programs are the shop's own: no copy stays in a browser unless a route says so.
    headers.entry(CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}

fn refusal(hosts: &Hosts, request: &Request) -> Option<ApiError> {
    let named = request.headers().get_all(HOST).iter().map(|h| h.to_str().unwrap_or_default());
    let mut named = named.chain(request.uri().authority().map(Authority::as_str));
    let host = named.next().unwrap_or_default();
    if let Some(stranger) = [host].into_iter().chain(named).find(|name| !hosts.take(name)) {
        return Some(ApiError::new(
            StatusCode::MISDIRECTED_REQUEST,
            format!("this server is not called \"{stranger}\""),
            "open the address that the server printed when it started",
        ));
    }
    let changes = !matches!(*request.method(), Method::GET | Method::HEAD | Method::OPTIONS);
    // Programs that are no browser send no origin.
    let origin = request.headers().get(ORIGIN)?.to_str().unwrap_or_default();
    let same = origin.split_once("://").is_some_and(|(_, rest)| rest.eq_ignore_ascii_case(host));
    (changes && !same).then(|| {
        ApiError::new(
            StatusCode::FORBIDDEN,
            "a page of another site asked for a change",
            "open Kerfwright by its own address",
        )
    })
}
