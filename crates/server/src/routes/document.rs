//! The OpenAPI document.

use axum::http::header::CONTENT_TYPE;
use axum::response::IntoResponse;

/// What this API can be asked, as an OpenAPI document.
#[utoipa::path(
    get,
    path = "/api/v1/openapi.json",
    responses((status = 200, body = serde_json::Value, content_type = "application/json"))
)]
pub async fn get_openapi() -> impl IntoResponse {
    ([(CONTENT_TYPE, "application/json")], openapi_json())
}

/// The OpenAPI document of the API.
pub fn openapi_json() -> String {
    let (_, document) = super::api().split_for_parts();
    let mut value = serde_json::to_value(document).unwrap_or_default();
    if let Some(info) = value.get_mut("info").and_then(|i| i.as_object_mut()) {
        info.remove("contact");
        info.remove("license");
    }
    serde_json::to_string_pretty(&value).unwrap_or_default() + "\n"
}
