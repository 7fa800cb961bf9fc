//! What a request asks for, refused in the API's own words where it cannot be used.

use crate::error::ApiError;
use axum::extract::{FromRequestParts, Path, Query};
use axum::http::StatusCode;
use axum::http::request::Parts;
use kw_shop::ProgramId;
use serde::de::DeserializeOwned;

/// Where a person finds what can be asked.
const SEE: &str = "/api/v1/openapi.json tells what can be asked";

/// The query of a request.
pub struct Asked<T>(pub T);

impl<T: DeserializeOwned, S: Send + Sync> FromRequestParts<S> for Asked<T> {
    type Rejection = ApiError;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, ApiError> {
        match Query::try_from_uri(&parts.uri) {
            Ok(Query(asked)) => Ok(Self(asked)),
            Err(why) => Err(ApiError::new(StatusCode::BAD_REQUEST, why.body_text(), SEE)),
        }
    }
}

/// The number of a program in a request's path.
pub struct Number(pub ProgramId);

impl<S: Send + Sync> FromRequestParts<S> for Number {
    type Rejection = ApiError;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, ApiError> {
        match Path::<i64>::from_request_parts(parts, state).await {
            Ok(Path(number)) => Ok(Self(ProgramId(number))),
            Err(why) => Err(ApiError::new(
                StatusCode::BAD_REQUEST,
                format!("{} names no program: {}", parts.uri.path(), why.body_text()),
                "open one from the list of programs",
            )),
        }
    }
}
