//! One shape for every error the API sends.

use axum::Json;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use kw_shop::StoreError;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// What the API sends when it cannot do what it was asked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct ErrorOut {
    /// The error.
    pub error: ErrorWords,
}

/// An error in words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct ErrorWords {
    /// What happened.
    pub what: String,
    /// What to do.
    pub help: String,
}

/// An error with its HTTP status.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ApiError {
    status: StatusCode,
    what: String,
    help: String,
}

impl ApiError {
    /// An error of a status, in words.
    pub fn new(status: StatusCode, what: impl Into<String>, help: impl Into<String>) -> Self {
        Self { status, what: what.into(), help: help.into() }
    }

    /// The computer, not the person, is at fault.
    pub fn internal(what: impl Into<String>) -> Self {
        Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            what,
            "what was kept before is not lost; try again, and look at the server's log",
        )
    }
}

impl IntoResponse for ApiError {
    fn into_response(self) -> Response {
        if self.status.is_server_error() {
            tracing::error!(status = self.status.as_u16(), what = self.what, "request failed");
        }
        let words = ErrorWords { what: self.what, help: self.help };
        (self.status, Json(ErrorOut { error: words })).into_response()
    }
}

impl From<StoreError> for ApiError {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::NoSuchProgram(id) => Self::new(
                StatusCode::NOT_FOUND,
                format!("there is no program {id}"),
                "open one from the list of programs",
            ),
            other => Self::internal(other.to_string()),
        }
    }
}
