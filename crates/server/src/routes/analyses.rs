//! Report, drawing and time line of a program in a setup.

use crate::Desk;
use crate::error::{ApiError, ErrorOut};
use axum::Json;
use axum::extract::{Path, Query, State};
use axum::http::header::CONTENT_TYPE;
use axum::response::IntoResponse;
use kw_api::{Report, TimelineOut};
use serde::Deserialize;
use std::sync::Arc;
use utoipa::IntoParams;

/// Segments a drawing may have at most.
const MAX_SEGMENTS: usize = 2_000_000;

/// Machine and sheet; what is left out is as the shop suggests.
#[derive(Deserialize, IntoParams)]
pub struct SetupQuery {
    /// Machine id.
    machine: Option<String>,
    /// Sheet id.
    sheet: Option<String>,
    /// Drawing: segments at most (default 150 000).
    budget: Option<usize>,
    /// Time line: even steps (default 1 200).
    steps: Option<usize>,
}

/// What the checks have to say.
#[utoipa::path(
    get,
    path = "/api/v1/programs/{id}/report",
    params(("id" = i64, Path), SetupQuery),
    responses((status = 200, body = Report), (status = 404, body = ErrorOut))
)]
pub async fn get_report(
    State(desk): State<Arc<Desk>>,
    Path(id): Path<i64>,
    Query(query): Query<SetupQuery>,
) -> Result<Json<Report>, ApiError> {
    let done = desk.analysed(id, query.machine.as_deref(), query.sheet.as_deref()).await?;
    Ok(Json(Report::of(&done.analysis, &done.sources, &done.setup)))
}

/// The toolpath as the page draws it; the binary layout is told in the API's documentation.
#[utoipa::path(
    get,
    path = "/api/v1/programs/{id}/drawing",
    params(("id" = i64, Path), SetupQuery),
    responses(
        (status = 200, body = Vec<u8>, content_type = "application/octet-stream"),
        (status = 404, body = ErrorOut),
    )
)]
pub async fn get_drawing(
    State(desk): State<Arc<Desk>>,
    Path(id): Path<i64>,
    Query(query): Query<SetupQuery>,
) -> Result<impl IntoResponse, ApiError> {
    let done = desk.analysed(id, query.machine.as_deref(), query.sheet.as_deref()).await?;
    let budget = query.budget.unwrap_or(150_000).clamp(100, MAX_SEGMENTS);
    let bytes = tokio::task::spawn_blocking(move || {
        kw_api::drawing(&done.analysis, &done.sources, &done.setup, budget)
    })
    .await
    .map_err(|error| ApiError::internal(format!("the drawing broke off: {error}")))?;
    Ok(([(CONTENT_TYPE, "application/octet-stream")], bytes))
}

/// What fills the time, and quantities over time.
#[utoipa::path(
    get,
    path = "/api/v1/programs/{id}/timeline",
    params(("id" = i64, Path), SetupQuery),
    responses((status = 200, body = TimelineOut), (status = 404, body = ErrorOut))
)]
pub async fn get_timeline(
    State(desk): State<Arc<Desk>>,
    Path(id): Path<i64>,
    Query(query): Query<SetupQuery>,
) -> Result<Json<TimelineOut>, ApiError> {
    let done = desk.analysed(id, query.machine.as_deref(), query.sheet.as_deref()).await?;
    Ok(Json(kw_api::timeline(&done.analysis, &done.setup, query.steps.unwrap_or(1200))))
}
