//! Kept programs.

use crate::Desk;
use crate::desk::{Text, on_worker};
use crate::error::{ApiError, ErrorOut};
use crate::extract::{Asked, Number};
use crate::receive::{NotReceived, announced_bytes, receive};
use crate::views::ProgramView;
use axum::Json;
use axum::body::Body;
use axum::extract::State;
use axum::http::StatusCode;
use kw_base::source::Bytes;
use kw_shop::{NewProgram, ProgramStore};
use serde::Deserialize;
use std::sync::Arc;
use tokio::time::{Instant, timeout_at};
use utoipa::IntoParams;

/// Longest file name taken, characters.
const MAX_NAME_CHARACTERS: usize = 200;

/// Name of a dropped program.
#[derive(Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct NameQuery {
    /// File name without folder, of 1 to 200 characters.
    name: String,
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
        (status = 400, body = ErrorOut, description = "a name or a transfer that cannot be used"),
        (status = 408, body = ErrorOut, description = "the transfer was too slow"),
        (status = 413, body = ErrorOut, description = "larger than any program taken"),
        (status = 422, body = ErrorOut, description = "not the text of a program"),
    )
)]
pub async fn add_program(
    State(desk): State<Arc<Desk>>,
    Asked(NameQuery { name }): Asked<NameQuery>,
    body: Body,
) -> Result<(StatusCode, Json<ProgramView>), ApiError> {
    check_name(&name)?;
    let deadline = Instant::now() + desk.limits.receive;
    let room = desk.room_for(announced_bytes(&body, &desk.limits));
    let _room =
        timeout_at(deadline, room).await.map_err(|_| NotReceived::TooSlow(0).told_of(&name))??;
    let bytes = receive(body, &desk.limits, deadline).await.map_err(|why| why.told_of(&name))?;
    let now_ms = jiff::Timestamp::now().as_millisecond();
    let (new, text) =
        on_worker("taking in the program", move || take_in(&name, bytes, now_ms)).await??;
    let (record, added) = desk.store.add_program(&new).await?;
    desk.keep_text(&record, text).await?;
    let status = if added { StatusCode::CREATED } else { StatusCode::OK };
    Ok((status, Json(ProgramView::of(&record, &desk.shop))))
}

/// Counts and hashes; refuses what cannot be the text of a program.
fn take_in(name: &str, mut bytes: Vec<u8>, now_ms: i64) -> Result<(NewProgram, Text), ApiError> {
    if let Some(why) = kw_checks::screen::unusable(&bytes) {
        return Err(ApiError::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            format!("{name}: {why}"),
            "drop the NC program itself, as plain text",
        ));
    }
    bytes.shrink_to_fit();
    let bytes = Arc::new(bytes);
    let text = Text::new(name, Arc::clone(&bytes) as Bytes)?;
    let new = NewProgram::new(name, bytes, text.file.line_count(), now_ms);
    Ok((new, text))
}

fn check_name(name: &str) -> Result<(), ApiError> {
    let is_odd = |c: char| c.is_control() || matches!(c, '/' | '\\') || turns_text(c);
    let fits = !name.trim_matches(['.', ' ']).is_empty()
        && name.chars().count() <= MAX_NAME_CHARACTERS
        && !name.chars().any(is_odd);
    if fits {
        return Ok(());
    }
    Err(ApiError::new(
        StatusCode::BAD_REQUEST,
        "a program needs a file name without folders, of 1 to 200 readable characters",
        "rename the file and drop it again",
    ))
}

/// Characters that make a name read otherwise than it is written: line and paragraph separators
/// and the marks that turn the direction of writing (Unicode, UAX 9).
fn turns_text(c: char) -> bool {
    matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
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
    Number(id): Number,
) -> Result<Json<ProgramView>, ApiError> {
    let record = desk.store.program(id).await?;
    Ok(Json(ProgramView::of(&record, &desk.shop)))
}
