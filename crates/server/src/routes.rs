//! All routes, and the OpenAPI document made from them.

mod analyses;
mod document;
mod programs;
mod shop;
mod text;

use crate::assets::asset;
use crate::error::ApiError;
use crate::guard::guard;
use crate::{Desk, Hosts, Limits};
use axum::Router;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, Method, StatusCode, Uri};
use axum::middleware::{Next, from_fn_with_state};
use axum::response::{IntoResponse, Response};
use std::sync::Arc;
use tower_http::compression::CompressionLayer;
use tower_http::trace::TraceLayer;
use utoipa::OpenApi;
use utoipa_axum::router::OpenApiRouter;
use utoipa_axum::routes;

pub use document::openapi_json;

/// Where a person finds what can be asked.
const SEE: &str = "/api/v1/openapi.json lists what there is";

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
        .routes(routes!(text::get_text))
        .routes(routes!(text::get_source))
        .routes(routes!(analyses::get_report))
        .routes(routes!(analyses::get_drawing))
        .routes(routes!(analyses::get_timeline))
        .routes(routes!(document::get_openapi))
}

/// The whole server as one service.
pub fn router(desk: Arc<Desk>, hosts: Hosts) -> Router {
    let (api, _) = api().split_for_parts();
    let limits = desk.limits;
    api.fallback(page_or_nothing)
        .method_not_allowed_fallback(wrong_method)
        .with_state(desk)
        .layer(CompressionLayer::new())
        .layer(from_fn_with_state(limits, in_time))
        .layer(from_fn_with_state(Arc::new(hosts), guard))
        .layer(TraceLayer::new_for_http())
}

/// Answers in time, if only to say that it takes longer.
async fn in_time(State(limits): State<Limits>, request: Request, next: Next) -> Response {
    let receives = !matches!(*request.method(), Method::GET | Method::HEAD);
    let most = if receives { limits.receive + limits.answer } else { limits.answer };
    match tokio::time::timeout(most, next.run(request)).await {
        Ok(response) => response,
        Err(_) => ApiError::new(
            StatusCode::SERVICE_UNAVAILABLE,
            format!("no answer within {} s", most.as_secs()),
            "a large program takes longer; the work goes on, ask again in a minute",
        )
        .into_response(),
    }
}

async fn wrong_method(method: Method, uri: Uri) -> ApiError {
    ApiError::new(
        StatusCode::METHOD_NOT_ALLOWED,
        format!("{method} is not possible at {}", uri.path()),
        SEE,
    )
}

async fn page_or_nothing(uri: Uri, method: Method, headers: HeaderMap) -> Response {
    let path = uri.path();
    let is_page = path != "/api" && !path.starts_with("/api/");
    let looks = matches!(method, Method::GET | Method::HEAD);
    let found = if is_page && looks { asset(&uri, &headers) } else { None };
    found.unwrap_or_else(|| {
        ApiError::new(StatusCode::NOT_FOUND, format!("there is nothing at {path}"), SEE)
            .into_response()
    })
}
