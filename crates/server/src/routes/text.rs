//! The text of a kept program: some lines, or all of it.

use crate::Desk;
use crate::desk::Text;
use crate::error::{ApiError, ErrorOut};
use crate::extract::{Asked, Number};
use crate::views::TextWindow;
use axum::Json;
use axum::body::{Body, Bytes};
use axum::extract::State;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use kw_shop::ProgramStore;
use serde::Deserialize;
use std::sync::Arc;
use utoipa::IntoParams;

/// Lines sent in one window at most.
const MAX_WINDOW_LINES: u32 = 2000;

/// Characters of one line sent at most.
const MAX_LINE_CHARACTERS: usize = 2000;

/// Which lines to send.
#[derive(Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct WindowQuery {
    /// First line, from 1 (the default).
    #[serde(default = "one")]
    from: u32,
    /// How many lines: 200 unless told otherwise, at most 2000.
    #[serde(default = "two_hundred")]
    count: u32,
}

fn one() -> u32 {
    1
}

fn two_hundred() -> u32 {
    200
}

/// Some lines of a program.
#[utoipa::path(
    get,
    path = "/api/v1/programs/{id}/text",
    params(("id" = i64, Path), WindowQuery),
    responses(
        (status = 200, body = TextWindow),
        (status = 400, body = ErrorOut),
        (status = 404, body = ErrorOut),
    )
)]
pub async fn get_text(
    State(desk): State<Arc<Desk>>,
    Number(id): Number,
    Asked(window): Asked<WindowQuery>,
) -> Result<Json<TextWindow>, ApiError> {
    let record = desk.store.program(id).await?;
    let text = desk.text(&record).await?;
    let file = &text.file;
    let from = window.from.max(1);
    let count = window.count.min(MAX_WINDOW_LINES);
    let lines = (from..from.saturating_add(count))
        .map_while(|line| file.line_span(line))
        .map(|span| readable(file.slice(span)))
        .collect();
    Ok(Json(TextWindow { from, lines, total: file.line_count() }))
}

fn readable(bytes: &[u8]) -> String {
    match std::str::from_utf8(bytes) {
        Ok(text) => text.chars().take(MAX_LINE_CHARACTERS).collect(),
        // One byte is one character here.
        Err(_) => kw_checks::screen::windows_1252(&bytes[..bytes.len().min(MAX_LINE_CHARACTERS)]),
    }
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
    Number(id): Number,
) -> Result<Response, ApiError> {
    let record = desk.store.program(id).await?;
    let text = desk.text(&record).await?;
    let headers = [
        (CONTENT_TYPE, "application/octet-stream".to_owned()),
        (CONTENT_DISPOSITION, attachment(&record.name)),
    ];
    Ok((headers, Body::from(Bytes::from_owner(Whole(text)))).into_response())
}

/// The bytes of a text, shared with the desk.
struct Whole(Arc<Text>);

impl AsRef<[u8]> for Whole {
    fn as_ref(&self) -> &[u8] {
        self.0.file.bytes()
    }
}

/// A name for saving: plain for old browsers, whole for all others (RFC 6266, RFC 8187).
fn attachment(name: &str) -> String {
    let is_plain = |c: char| c.is_ascii_alphanumeric() || "._- ".contains(c);
    let plain: String = name.chars().map(|c| if is_plain(c) { c } else { '_' }).collect();
    let whole: String = name
        .bytes()
        .map(|b| match b {
            b'.' | b'_' | b'-' => char::from(b).to_string(),
            b if b.is_ascii_alphanumeric() => char::from(b).to_string(),
            b => format!("%{b:02X}"),
        })
        .collect();
    format!("attachment; filename=\"{plain}\"; filename*=UTF-8''{whole}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_saved_whole_and_cannot_leave_their_header() {
        assert_eq!(
            attachment("Tür \"1\".nc"),
            "attachment; filename=\"T_r _1_.nc\"; filename*=UTF-8''T%C3%BCr%20%221%22.nc"
        );
    }

    #[test]
    fn long_lines_are_cut_in_either_encoding() {
        assert_eq!(readable(&"ü".repeat(3000).into_bytes()), "ü".repeat(2000));
        assert_eq!(readable(&[0xfc; 3000]), "ü".repeat(2000));
    }
}
