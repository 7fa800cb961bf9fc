//! Takes in the body of a request: not too large, not too slow, and once in memory.

use crate::Limits;
use crate::error::ApiError;
use axum::body::{Body, HttpBody};
use axum::http::StatusCode;
use http_body_util::BodyExt;
use tokio::time::{Instant, timeout_at};

/// How far beyond the limit a body is read and thrown away, so that its sender, who listens only
/// after sending, hears why it is refused.
const HEAR_OUT: u64 = 2;

/// Why a body was not taken in.
#[derive(Debug, PartialEq, Eq)]
pub enum NotReceived {
    /// It has more bytes than this.
    TooLarge(u64),
    /// Nothing came for too long, or the whole took too long; so many bytes had come.
    TooSlow(u64),
    /// The connection ended after so many bytes.
    BrokenOff(u64),
}

/// Size that a body says it has; what may come at most if it says nothing.
pub fn announced_bytes(body: &Body, limits: &Limits) -> u64 {
    body.size_hint().exact().unwrap_or(limits.program_bytes).min(limits.program_bytes)
}

/// The whole body. `deadline` is when it must have come.
pub async fn receive(
    mut body: Body,
    limits: &Limits,
    deadline: Instant,
) -> Result<Vec<u8>, NotReceived> {
    let most = limits.program_bytes;
    let mut text: Vec<u8> = Vec::new();
    if body.size_hint().exact().is_some_and(|bytes| bytes <= most) {
        text.reserve_exact(announced_bytes(&body, limits) as usize);
    }
    let mut received = 0_u64;
    loop {
        let patience = deadline.min(Instant::now() + limits.receive_silence);
        let frame = match timeout_at(patience, body.frame()).await {
            Err(_) => return Err(NotReceived::TooSlow(received)),
            Ok(Some(Err(_))) => return Err(NotReceived::BrokenOff(received)),
            Ok(None) => break,
            Ok(Some(Ok(frame))) => frame,
        };
        let Ok(data) = frame.into_data() else { continue };
        received += data.len() as u64;
        if received <= most {
            text.extend_from_slice(&data);
        } else if received <= most.saturating_mul(HEAR_OUT) {
            text = Vec::new();
        } else {
            break;
        }
    }
    if received > most { Err(NotReceived::TooLarge(most)) } else { Ok(text) }
}

impl NotReceived {
    /// The same in words, for a program of a name.
    pub fn told_of(self, name: &str) -> ApiError {
        match self {
            Self::TooLarge(most) => ApiError::new(
                StatusCode::PAYLOAD_TOO_LARGE,
                format!("{name} is larger than {} bytes, the largest program taken", most),
                "split the program into several files",
            ),
            Self::TooSlow(received) => ApiError::new(
                StatusCode::REQUEST_TIMEOUT,
                format!("{name} came too slowly: {received} bytes, then nothing for too long"),
                "drop it again; look at the network if it happens often",
            ),
            Self::BrokenOff(received) => ApiError::new(
                StatusCode::BAD_REQUEST,
                format!("the transfer of {name} broke off after {received} bytes; nothing is kept"),
                "drop it again",
            ),
        }
    }
}
