//! Kept programs.

use super::MAX_PROGRAM_BYTES;
use crate::Desk;
use crate::error::{ApiError, ErrorOut};
use crate::views::{ProgramView, TextWindow};
use axum::Json;
use axum::body::Body;
use axum::extract::{Path, Query, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use kw_base::Sources;
use kw_shop::{NewProgram, ProgramId, ProgramStore};
use serde::Deserialize;
use std::sync::Arc;
use utoipa::IntoParams;

/// Lines sent in one window at most.
const MAX_WINDOW_LINES: u32 = 2000;

/// Characters of one line sent at most.
const MAX_LINE_CHARACTERS: usize = 2000;

/// Longest file name taken, characters.
const MAX_NAME_CHARACTERS: usize = 200;

/// Name of a dropped program.
#[derive(Deserialize, IntoParams)]
pub struct NameQuery {
    /// File name without folder.
    name: String,
}

/// Which lines to send.
#[derive(Deserialize, IntoParams)]
pub struct WindowQuery {
    /// First line, from 1.
    #[serde(default = "one")]
    from: u32,
    /// How many lines.
    #[serde(default = "two_hundred")]
    count: u32,
}

fn one() -> u32 {
    1
}

fn two_hundred() -> u32 {
    200
}

/// All kept programs, newest first.
#[utoipa::path(get, path = "/api/v1/programs", responses((status = 200, body = Vec<ProgramView>)))]
pub async fn list_programs(
    State(desk): State<Arc<Desk>>,
) -> Result<Json<Vec<ProgramView>>, ApiError> {
    let records = desk.store.programs().await?;
    Ok(Json(records.iter().map(|r| ProgramView::of(r, &desk.shop)).collect()))
}

/// Keeps a program: the body is the file as it is.
#[utoipa::path(
    post,
    path = "/api/v1/programs",
    params(NameQuery),
    request_body(content = Vec<u8>, content_type = "application/octet-stream"),
    responses(
        (status = 201, body = ProgramView),
        (status = 200, body = ProgramView, description = "the same file was kept before"),
        (status = 413, body = ErrorOut),
        (status = 422, body = ErrorOut),
    )
)]
pub async fn add_program(
    State(desk): State<Arc<Desk>>,
    Query(NameQuery { name }): Query<NameQuery>,
    body: Body,
) -> Result<(StatusCode, Json<ProgramView>), ApiError> {
    check_name(&name)?;
    let text = axum::body::to_bytes(body, MAX_PROGRAM_BYTES).await.map_err(|_| {
        ApiError::new(
            StatusCode::PAYLOAD_TOO_LARGE,
            format!(
                "{name} is larger than {} MB, or its transfer broke off",
                MAX_PROGRAM_BYTES / 1_000_000
            ),
            "split the program, or drop it again",
        )
    })?;
    if let Some(why) = kw_checks::screen::unusable(&text) {
        return Err(ApiError::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            format!("{name}: {why}"),
            "drop the NC program itself, as plain text",
        ));
    }
    let text = Arc::new(text.to_vec());
    let mut sources = Sources::default();
    sources
        .add(&name, Arc::clone(&text) as kw_base::source::Bytes)
        .map_err(|error| ApiError::internal(error.to_string()))?;
    let lines = sources.files().first().map_or(0, kw_base::SourceFile::line_count);
    let now_ms = jiff::Timestamp::now().as_millisecond();
    let new = NewProgram::new(&name, text, lines, now_ms);
    let (record, added) = desk.store.add_program(&new).await?;
    let status = if added { StatusCode::CREATED } else { StatusCode::OK };
    Ok((status, Json(ProgramView::of(&record, &desk.shop))))
}

fn check_name(name: &str) -> Result<(), ApiError> {
    let fits = !name.is_empty()
        && name.chars().count() <= MAX_NAME_CHARACTERS
        && !name.chars().any(|c| c.is_control() || c == '/' || c == '\\');
    if fits {
        return Ok(());
    }
    Err(ApiError::new(
        StatusCode::BAD_REQUEST,
        "a program needs a file name without folders, of 1 to 200 characters",
        "rename the file and drop it again",
    ))
}

/// One kept program.
#[utoipa::path(
    get,
    path = "/api/v1/programs/{id}",
    params(("id" = i64, Path)),
    responses((status = 200, body = ProgramView), (status = 404, body = ErrorOut))
)]
pub async fn get_program(
    State(desk): State<Arc<Desk>>,
    Path(id): Path<i64>,
) -> Result<Json<ProgramView>, ApiError> {
    let record = desk.store.program(ProgramId(id)).await?;
    Ok(Json(ProgramView::of(&record, &desk.shop)))
}

/// Some lines of a program.
#[utoipa::path(
    get,
    path = "/api/v1/programs/{id}/text",
    params(("id" = i64, Path), WindowQuery),
    responses((status = 200, body = TextWindow), (status = 404, body = ErrorOut))
)]
pub async fn get_text(
    State(desk): State<Arc<Desk>>,
    Path(id): Path<i64>,
    Query(window): Query<WindowQuery>,
) -> Result<Json<TextWindow>, ApiError> {
    let record = desk.store.program(ProgramId(id)).await?;
    let text = desk.store.program_text(record.id).await?;
    let sources = Sources::single(&record.name, text)
        .map_err(|error| ApiError::internal(error.to_string()))?;
    let Some(file) = sources.files().first() else {
        return Err(ApiError::internal("the program has no text"));
    };
    let from = window.from.max(1);
    let count = window.count.min(MAX_WINDOW_LINES);
    let lines = (from..from.saturating_add(count))
        .map_while(|line| file.line_span(line))
        .map(|span| readable(file.slice(span)))
        .collect();
    Ok(Json(TextWindow { from, lines, total: file.line_count() }))
}

fn readable(bytes: &[u8]) -> String {
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(_) => kw_checks::screen::windows_1252(bytes),
    };
    text.chars().take(MAX_LINE_CHARACTERS).collect()
}

/// The program byte for byte as received.
#[utoipa::path(
    get,
    path = "/api/v1/programs/{id}/source",
    params(("id" = i64, Path)),
    responses(
        (status = 200, body = Vec<u8>, content_type = "application/octet-stream"),
        (status = 404, body = ErrorOut),
    )
)]
pub async fn get_source(
    State(desk): State<Arc<Desk>>,
    Path(id): Path<i64>,
) -> Result<Response, ApiError> {
    let record = desk.store.program(ProgramId(id)).await?;
    let text = desk.store.program_text(record.id).await?;
    let safe: String = record
        .name
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() || "._- ".contains(c) { c } else { '_' })
        .collect();
    let disposition = HeaderValue::from_str(&format!("attachment; filename=\"{safe}\""))
        .unwrap_or(HeaderValue::from_static("attachment"));
    let kind = HeaderValue::from_static("application/octet-stream");
    Ok(([(CONTENT_TYPE, kind), (CONTENT_DISPOSITION, disposition)], text).into_response())
}
