//! Keeps strangers out: other hosts' names, other sites' pages, framing, sniffing.

use crate::error::ApiError;
use axum::extract::{Request, State};
use axum::http::header::{HOST, HeaderName, HeaderValue, ORIGIN};
use axum::http::{Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;

/// Host names by which this server may be addressed; empty means any.
#[derive(Clone, Debug, Default)]
pub struct AllowedHosts(pub Arc<Vec<String>>);

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
pub async fn guard(State(hosts): State<AllowedHosts>, request: Request, next: Next) -> Response {
    let mut response = match refusal(&hosts, &request) {
        Some(error) => error.into_response(),
        None => next.run(request).await,
    };
    for &(name, value) in HEADERS {
        response
            .headers_mut()
            .entry(HeaderName::from_static(name))
            .or_insert(HeaderValue::from_static(value));
    }
    response
}

fn refusal(hosts: &AllowedHosts, request: &Request) -> Option<ApiError> {
    let host = text(request, &HOST).or_else(|| request.uri().host().map(str::to_owned))?;
    let name = without_port(&host);
    if !hosts.0.is_empty() && !hosts.0.iter().any(|h| h.eq_ignore_ascii_case(name)) {
        return Some(ApiError::new(
            StatusCode::MISDIRECTED_REQUEST,
            format!("this server is not called {name}"),
            "open the address that the server printed when it started",
        ));
    }
    let changes = !matches!(*request.method(), Method::GET | Method::HEAD | Method::OPTIONS);
    let origin = text(request, &ORIGIN)?;
    let same = origin.split_once("://").is_some_and(|(_, rest)| rest == host);
    (changes && !same).then(|| {
        ApiError::new(
            StatusCode::FORBIDDEN,
            "a page of another site asked for a change",
            "open Kerfwright by its own address",
        )
    })
}

fn text(request: &Request, name: &HeaderName) -> Option<String> {
    request.headers().get(name)?.to_str().ok().map(str::to_owned)
}

/// `[::1]:8080` and `localhost:8080` without their ports.
fn without_port(host: &str) -> &str {
    match host.rsplit_once(':') {
        Some((name, port)) if port.bytes().all(|b| b.is_ascii_digit()) => name,
        _ => host,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ports_are_cut_off() {
        assert_eq!(without_port("localhost:8080"), "localhost");
        assert_eq!(without_port("[::1]:8080"), "[::1]");
        assert_eq!(without_port("127.0.0.1"), "127.0.0.1");
    }
}
