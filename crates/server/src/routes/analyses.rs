//! Report, drawing and time line of a program in a setup.

use crate::Desk;
use crate::desk::on_worker;
use crate::error::{ApiError, ErrorOut};
use crate::extract::{Asked, Number};
use axum::Json;
use axum::extract::State;
use axum::http::header::CONTENT_TYPE;
use axum::response::IntoResponse;
use kw_api::{Report, TimelineOut};
use serde::Deserialize;
use std::sync::Arc;
use utoipa::IntoParams;

/// Segments a drawing has at most unless asked otherwise.
const USUAL_SEGMENTS: usize = 150_000;

/// Segments a drawing may be asked for.
const SEGMENTS: std::ops::RangeInclusive<usize> = 100..=2_000_000;

/// Steps of a time line unless asked otherwise.
const USUAL_STEPS: usize = 1200;

/// Machine and sheet; what is left out is as the shop suggests.
#[derive(Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct SetupQuery {
    /// Machine id.
    machine: Option<String>,
    /// Sheet id.
    sheet: Option<String>,
}

/// Machine and sheet, and how fine a drawing.
#[derive(Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct DrawingQuery {
    /// Machine id.
    machine: Option<String>,
    /// Sheet id.
    sheet: Option<String>,
    /// Segments at most: 150000 unless told otherwise, 100 to 2000000.
    budget: Option<usize>,
}

/// Machine and sheet, and how fine a time line.
#[derive(Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct TimelineQuery {
    /// Machine id.
    machine: Option<String>,
    /// Sheet id.
    sheet: Option<String>,
    /// Even steps of each track: 1200 unless told otherwise, 1 to 20000.
    steps: Option<usize>,
}

/// What the checks have to say.
#[utoipa::path(
    get,
    path = "/api/v1/programs/{id}/report",
    params(("id" = i64, Path), SetupQuery),
    responses(
        (status = 200, body = Report),
        (status = 400, body = ErrorOut),
        (status = 404, body = ErrorOut),
    )
)]
pub async fn get_report(
    State(desk): State<Arc<Desk>>,
    Number(id): Number,
    Asked(query): Asked<SetupQuery>,
) -> Result<Json<Report>, ApiError> {
    let done = desk.analysed(id, query.machine.as_deref(), query.sheet.as_deref()).await?;
    on_worker("the report", move || {
        Json(Report::of(&done.analysis, &done.text.sources, &done.setup))
    })
    .await
}

/// The toolpath as the page draws it; the binary layout is told in the API's documentation.
#[utoipa::path(
    get,
    path = "/api/v1/programs/{id}/drawing",
    params(("id" = i64, Path), DrawingQuery),
    responses(
        (status = 200, body = Vec<u8>, content_type = "application/octet-stream"),
        (status = 400, body = ErrorOut),
        (status = 404, body = ErrorOut),
    )
)]
pub async fn get_drawing(
    State(desk): State<Arc<Desk>>,
    Number(id): Number,
    Asked(query): Asked<DrawingQuery>,
) -> Result<impl IntoResponse, ApiError> {
    let done = desk.analysed(id, query.machine.as_deref(), query.sheet.as_deref()).await?;
    let budget = query.budget.unwrap_or(USUAL_SEGMENTS).clamp(*SEGMENTS.start(), *SEGMENTS.end());
    let bytes = on_worker("the drawing", move || {
        kw_api::drawing(&done.analysis, &done.text.sources, &done.setup, budget)
    })
    .await?;
    Ok(([(CONTENT_TYPE, "application/octet-stream")], bytes))
}

/// What fills the time, and quantities over time.
#[utoipa::path(
    get,
    path = "/api/v1/programs/{id}/timeline",
    params(("id" = i64, Path), TimelineQuery),
    responses(
        (status = 200, body = TimelineOut),
        (status = 400, body = ErrorOut),
        (status = 404, body = ErrorOut),
    )
)]
pub async fn get_timeline(
    State(desk): State<Arc<Desk>>,
    Number(id): Number,
    Asked(query): Asked<TimelineQuery>,
) -> Result<Json<TimelineOut>, ApiError> {
    let done = desk.analysed(id, query.machine.as_deref(), query.sheet.as_deref()).await?;
    let steps = query.steps.unwrap_or(USUAL_STEPS);
    on_worker("the time line", move || Json(kw_api::timeline(&done.analysis, &done.setup, steps)))
        .await
}
