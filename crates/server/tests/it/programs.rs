//! Dropping programs and finding them again.

use crate::desk::{Served, demo};
use std::sync::Arc;

#[tokio::test]
async fn a_dropped_program_is_kept_and_told() {
    let served = Served::new().await;
    let text = demo("hive-body.nc");
    let answer = served.post("hive-body.nc", text.clone()).await;
    assert_eq!(answer.status, 201);
    let program = answer.json();
    assert_eq!(program["name"], "hive-body.nc");
    assert_eq!(program["bytes"], text.len());
    assert_eq!(program["lines"], String::from_utf8(text.clone()).unwrap().lines().count());
    assert_eq!(program["sha256"].as_str().unwrap().len(), 64);
    assert!(program["added_at"].as_str().unwrap().ends_with('Z'), "{program}");
    assert!(!program["title"].as_str().unwrap().is_empty(), "the shop knows this file: {program}");
    let id = program["id"].as_i64().unwrap();
    assert_eq!(served.get(&format!("/api/v1/programs/{id}")).await.json(), program);
    assert_eq!(served.get("/api/v1/programs").await.json(), serde_json::json!([program]));
    let again = served.post("hive-body.nc", text).await;
    assert_eq!((again.status.as_u16(), again.json()), (200, program));
}

#[tokio::test]
async fn the_source_comes_back_byte_for_byte_under_its_name() {
    let served = Served::new().await;
    let text = b"(Gr\xf6\xdfe)\r\nG0 X1\rM30\n\x1a".to_vec();
    let id = served.add("T%C3%BCr%201.nc", &text).await;
    let answer = served.get(&format!("/api/v1/programs/{id}/source")).await;
    assert_eq!(answer.body, text);
    assert_eq!(answer.header("content-type"), "application/octet-stream");
    assert_eq!(
        answer.header("content-disposition"),
        "attachment; filename=\"T_r 1.nc\"; filename*=UTF-8''T%C3%BCr%201.nc"
    );
}

#[tokio::test]
async fn the_same_file_dropped_by_many_at_once_is_one_program() {
    let served = Arc::new(Served::new().await);
    let text = demo("play-panel-maze.nc");
    let drops: Vec<_> = (0..8)
        .map(|_| {
            let (served, text) = (Arc::clone(&served), text.clone());
            tokio::spawn(async move {
                let answer = served.post("maze.nc", text).await;
                (answer.status.as_u16(), answer.json()["id"].as_i64().unwrap())
            })
        })
        .collect();
    let mut answers = Vec::new();
    for drop in drops {
        answers.push(drop.await.unwrap());
    }
    assert_eq!(answers.iter().filter(|a| a.0 == 201).count(), 1, "{answers:?}");
    assert!(answers.iter().all(|a| matches!(a.0, 200 | 201) && a.1 == answers[0].1));
    assert_eq!(served.get("/api/v1/programs").await.json().as_array().unwrap().len(), 1);
}

#[tokio::test]
async fn names_that_are_no_file_names_are_refused() {
    let served = Served::new().await;
    let long = "n".repeat(201);
    for name in [
        "",
        "%20",
        "..",
        ".",
        "a/b.nc",
        "..%2Fa.nc",
        "%2Fetc%2Fpasswd",
        "a%5Cb.nc",
        "a%00.nc",
        "a%0Ab.nc",
        "a%0Db.nc",
        "a%7F.nc",
        "a%C2%85.nc",
        "a%E2%80%AEcn.exe",
        "a%E2%80%A8b",
        &long,
    ] {
        let words = served.post(name, "G0 X1").await.refusal(400);
        assert!(words.contains("1 to 200 readable characters"), "{name}: {words}");
    }
    let request = axum::http::Request::post("/api/v1/programs").body("G0".into()).unwrap();
    assert!(served.ask(request).await.refusal(400).contains("name"));
    for name in ["n", "a%20b.nc", "%C3%A4.nc", "..a", "a%22b.nc", "%F0%9F%90%9D.nc", &long[..200]] {
        served.add(name, format!("(for {name})\nG0 X1").as_bytes()).await;
    }
}
