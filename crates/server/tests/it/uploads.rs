//! Bodies that are too large, broken off, too slow, or no programs.

use crate::desk::Served;
use axum::body::{Body, Bytes, HttpBody};
use hyper::body::Frame;
use kw_server::Limits;
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};
use std::time::Duration;

/// A body of unknown size in pieces of ten bytes; ends as told.
struct Pieces {
    left: u32,
    end: End,
}

#[derive(PartialEq)]
enum End {
    Well,
    BrokenOff,
    Silent,
}

impl HttpBody for Pieces {
    type Data = Bytes;
    type Error = std::io::Error;

    fn poll_frame(
        mut self: Pin<&mut Self>,
        _: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, std::io::Error>>> {
        if self.left > 0 {
            self.left -= 1;
            return Poll::Ready(Some(Ok(Frame::data(Bytes::from_static(b"G1 X1 Y12\n")))));
        }
        match self.end {
            End::Well => Poll::Ready(None),
            End::BrokenOff => Poll::Ready(Some(Err(std::io::ErrorKind::ConnectionReset.into()))),
            End::Silent => Poll::Pending,
        }
    }
}

fn pieces(count: u32, end: End) -> Body {
    Body::new(Pieces { left: count, end })
}

async fn nothing_is_kept(served: &Served) {
    assert_eq!(served.get("/api/v1/programs").await.json(), serde_json::json!([]));
}

#[tokio::test]
async fn a_body_at_the_limit_is_taken_and_one_above_is_not() {
    let served = Served::with(Limits { program_bytes: 1000, ..Limits::default() }).await;
    for size in [1001, 2000, 2001, 100_000] {
        let words = served.post("big.nc", "G".repeat(size)).await.refusal(413);
        assert!(words.contains("big.nc is larger than 1000 bytes"), "{words}");
    }
    for count in [101, 200, 201, 1_000_000_000] {
        served.post("big.nc", pieces(count, End::Well)).await.refusal(413);
    }
    nothing_is_kept(&served).await;
    assert_eq!(served.post("a.nc", pieces(100, End::Well)).await.json()["bytes"], 1000);
    assert_eq!(served.post("b.nc", "G".repeat(1000)).await.json()["bytes"], 1000);
}

#[tokio::test]
async fn a_broken_off_transfer_leaves_nothing() {
    let served = Served::new().await;
    let words = served.post("half.nc", pieces(7, End::BrokenOff)).await.refusal(400);
    assert!(words.contains("half.nc broke off after 70 bytes"), "{words}");
    nothing_is_kept(&served).await;
}

#[tokio::test]
async fn a_silent_sender_is_not_waited_for() {
    let limits = Limits { receive_silence: Duration::from_millis(30), ..Limits::default() };
    let served = Served::with(limits).await;
    let words = served.post("slow.nc", pieces(2, End::Silent)).await.refusal(408);
    assert!(words.contains("slow.nc came too slowly: 20 bytes"), "{words}");
    let limits = Limits { receive: Duration::from_millis(30), ..Limits::default() };
    Served::with(limits).await.post("slow.nc", pieces(2, End::Silent)).await.refusal(408);
    nothing_is_kept(&served).await;
}

#[tokio::test]
async fn who_finds_no_room_waits_for_it() {
    let limits = Limits {
        receiving_bytes: 1_000_000,
        receive: Duration::from_millis(150),
        ..Limits::default()
    };
    let served = Arc::new(Served::with(limits).await);
    let first = tokio::spawn({
        let served = Arc::clone(&served);
        async move { served.post("first.nc", pieces(1, End::Silent)).await.status.as_u16() }
    });
    tokio::time::sleep(Duration::from_millis(50)).await;
    // The first holds all the room until its time is over; this one gets it then.
    assert_eq!(served.post("second.nc", "G0 X1").await.status, 201);
    assert_eq!(first.await.unwrap(), 408);
}

#[tokio::test]
async fn an_answer_that_takes_too_long_is_given_up_but_its_work_is_not() {
    let served =
        Served::with(Limits { answer: Duration::from_millis(5), ..Limits::default() }).await;
    let mut text = Vec::new();
    bench_data::write_program(&mut text, 20_000).unwrap();
    let id = served.add("large.nc", &text).await;
    let path = format!("/api/v1/programs/{id}/report");
    let words = served.get(&path).await.refusal(503);
    assert!(words.contains("ask again"), "{words}");
    for _ in 0..200 {
        tokio::time::sleep(Duration::from_millis(100)).await;
        if served.get(&path).await.status == 200 {
            return;
        }
    }
    panic!("the report never came");
}

#[tokio::test]
async fn what_is_no_program_is_refused() {
    let served = Served::new().await;
    for (body, why) in [
        (b"".to_vec(), "empty"),
        (b" \r\n\t\n".to_vec(), "empty"),
        (b"\xff\xfeG\x000\x00".to_vec(), "UTF-16"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\x0dIHDR\x00\x00".to_vec(), "not text"),
        (vec![0; 1_000_000], "not text"),
    ] {
        let words = served.post("odd.nc", body).await.refusal(422);
        assert!(words.contains("odd.nc") && words.contains(why), "{words}");
    }
    nothing_is_kept(&served).await;
}
