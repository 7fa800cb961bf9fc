//! The OpenAPI document: committed as it is, and whole.

use crate::desk::{Served, root};
use serde_json::Value;
use std::collections::BTreeSet;

#[tokio::test]
async fn the_document_is_the_committed_one() {
    let served = Served::new().await;
    let answer = served.get("/api/v1/openapi.json").await;
    let committed = std::fs::read(root().join("web/openapi.json")).unwrap();
    let committed: Value = serde_json::from_slice(&committed).unwrap();
    assert!(answer.json() == committed, "web/openapi.json is stale: run `cargo xtask codegen`");
    let printed: Value = serde_json::from_str(&kw_server::openapi_json()).unwrap();
    assert!(printed == committed);
}

#[test]
fn the_document_lists_every_route() {
    let document: Value = serde_json::from_str(&kw_server::openapi_json()).unwrap();
    let mut listed = BTreeSet::new();
    for (path, methods) in document["paths"].as_object().unwrap() {
        for (method, told) in methods.as_object().unwrap() {
            assert!(told["responses"]["200"].is_object(), "{path} lacks its answer");
            for parameter in told["parameters"].as_array().into_iter().flatten() {
                let name = parameter["name"].as_str().unwrap();
                let place = if path.contains(&format!("{{{name}}}")) { "path" } else { "query" };
                assert_eq!(parameter["in"], place, "{method} {path}: {name}");
            }
            listed.insert(format!("{method} {path}"));
        }
    }
    let expected = [
        "get /api/v1/checks",
        "get /api/v1/openapi.json",
        "get /api/v1/programs",
        "get /api/v1/programs/{id}",
        "get /api/v1/programs/{id}/drawing",
        "get /api/v1/programs/{id}/report",
        "get /api/v1/programs/{id}/source",
        "get /api/v1/programs/{id}/text",
        "get /api/v1/programs/{id}/timeline",
        "get /api/v1/shop",
        "post /api/v1/programs",
    ];
    assert_eq!(listed, BTreeSet::from(expected.map(str::to_owned)));
}
