//! Windows of a program's text.

use crate::desk::Served;
use serde_json::{Value, json};

async fn window(served: &Served, id: i64, query: &str) -> Value {
    served.get(&format!("/api/v1/programs/{id}/text{query}")).await.json()
}

#[tokio::test]
async fn windows_are_cut_from_the_text() {
    let served = Served::new().await;
    let id = served.add("t.nc", b"G21\nG90\r\nG0 X1\rM30\n").await;
    let all = json!({"from": 1, "lines": ["G21", "G90", "G0 X1", "M30"], "total": 4});
    assert_eq!(window(&served, id, "").await, all);
    assert_eq!(window(&served, id, "?from=0").await, all);
    assert_eq!(
        window(&served, id, "?from=2&count=2").await,
        json!({"from": 2, "lines": ["G90", "G0 X1"], "total": 4})
    );
    for (query, from) in [
        ("?count=0", 1),
        ("?from=3&count=0", 3),
        ("?from=5", 5),
        ("?from=4294967295&count=4294967295", 4_294_967_295_u32),
    ] {
        let nothing = json!({"from": from, "lines": [], "total": 4});
        assert_eq!(window(&served, id, query).await, nothing, "{query}");
    }
}

#[tokio::test]
async fn a_line_is_shown_in_its_own_encoding() {
    let served = Served::new().await;
    let mut text = b"(Gr\xf6\xdfe \x80 5)\n(Gr\xc3\xb6\xc3\x9fe)\nG0\x01\x02\n".to_vec();
    text.extend(b"(a few odd bytes are no reason to refuse a long program)\n".repeat(5));
    let id = served.add("w.nc", &text).await;
    let lines = &window(&served, id, "?count=3").await["lines"];
    assert_eq!(*lines, json!(["(Größe € 5)", "(Größe)", "G0\u{1}\u{2}"]));
}

#[tokio::test]
async fn windows_and_lines_have_an_end() {
    let served = Served::new().await;
    let mut text = b"(".to_vec();
    text.extend(std::iter::repeat_n(0xfc, 1_000_000));
    text.extend(b")\n");
    text.extend("G1 X1\n".repeat(5000).into_bytes());
    let id = served.add("long.nc", &text).await;
    let shown = window(&served, id, "?count=4000000000").await;
    let lines = shown["lines"].as_array().unwrap();
    assert_eq!((lines.len(), &shown["total"]), (2000, &json!(5001)));
    assert_eq!(lines[0].as_str().unwrap().chars().count(), 2000);
    assert_eq!(window(&served, id, "?from=5001&count=9").await["lines"], json!(["G1 X1"]));
}
