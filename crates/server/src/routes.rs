//! All routes, and the OpenAPI document made from them.

mod analyses;
mod programs;
mod shop;

use crate::assets::asset;
use crate::guard::{AllowedHosts, guard};
use crate::{Desk, error};
use axum::http::StatusCode;
use axum::response::IntoResponse;
use axum::{Router, middleware};
use std::sync::Arc;
use std::time::Duration;
use tower_http::compression::CompressionLayer;
use tower_http::timeout::TimeoutLayer;
use tower_http::trace::TraceLayer;
use utoipa::OpenApi;
use utoipa_axum::router::OpenApiRouter;
use utoipa_axum::routes;

/// Largest program taken, bytes.
pub const MAX_PROGRAM_BYTES: usize = 500_000_000;

/// Longest a request may take until its answer begins. Our choice: a very large check.
const REQUEST_TIMEOUT: Duration = Duration::from_secs(120);

#[derive(OpenApi)]
#[openapi(info(
    title = "Kerfwright",
    description = "Checks NC programs for flatbed routing and knife cutting. It advises; it never starts, stops or guards a machine."
))]
struct Document;

fn api() -> OpenApiRouter<Arc<Desk>> {
    OpenApiRouter::with_openapi(Document::openapi())
        .routes(routes!(shop::get_shop))
        .routes(routes!(shop::get_checks))
        .routes(routes!(programs::list_programs, programs::add_program))
        .routes(routes!(programs::get_program))
        .routes(routes!(programs::get_text))
        .routes(routes!(programs::get_source))
        .routes(routes!(analyses::get_report))
        .routes(routes!(analyses::get_drawing))
        .routes(routes!(analyses::get_timeline))
}

/// The OpenAPI document of the API.
pub fn openapi_json() -> String {
    let (_, document) = api().split_for_parts();
    let mut value = serde_json::to_value(document).unwrap_or_default();
    if let Some(info) = value.get_mut("info").and_then(|i| i.as_object_mut()) {
        info.remove("contact");
        info.remove("license");
    }
    serde_json::to_string_pretty(&value).unwrap_or_default() + "\n"
}

/// The whole server as one service.
pub fn router(desk: Arc<Desk>, hosts: AllowedHosts) -> Router {
    let (api, _) = api().split_for_parts();
    let api = api
        .route("/api/v1/openapi.json", axum::routing::get(|| async { openapi_json() }))
        .fallback(unknown_unless_page)
        .with_state(desk);
    api.layer(middleware::from_fn_with_state(hosts, guard))
        .layer(CompressionLayer::new())
        .layer(TimeoutLayer::with_status_code(StatusCode::GATEWAY_TIMEOUT, REQUEST_TIMEOUT))
        .layer(TraceLayer::new_for_http())
}

async fn unknown_unless_page(
    uri: axum::http::Uri,
    method: axum::http::Method,
    headers: axum::http::HeaderMap,
) -> axum::response::Response {
    if uri.path().starts_with("/api/") || method != axum::http::Method::GET {
        return error::ApiError::new(
            StatusCode::NOT_FOUND,
            format!("there is nothing at {}", uri.path()),
            "/api/v1/openapi.json lists what there is",
        )
        .into_response();
    }
    asset(uri, headers).await
}
