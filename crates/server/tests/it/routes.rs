//! Every route answers, and what cannot be answered is refused in the API's words.

use crate::desk::{Served, demo};
use axum::body::Body;
use axum::http::Request;

#[tokio::test]
async fn the_shop_and_the_checks_are_told() {
    let served = Served::new().await;
    let shop = served.get("/api/v1/shop").await.json();
    assert!(shop["machines"].as_array().is_some_and(|m| !m.is_empty()), "{shop}");
    let checks = served.get("/api/v1/checks").await.json();
    let checks = checks.as_array().unwrap();
    assert_eq!(checks.len(), kw_checks::infos().len());
    for check in checks {
        for field in ["name", "severity", "title", "explanation"] {
            assert!(check[field].as_str().is_some_and(|t| !t.is_empty()), "{check}");
        }
    }
}

#[tokio::test]
async fn numbers_that_name_no_program_are_refused() {
    let served = Served::new().await;
    for route in ["", "/text", "/source", "/report", "/drawing", "/timeline"] {
        for id in ["1", "0", "-1", "9223372036854775807"] {
            let words = served.get(&format!("/api/v1/programs/{id}{route}")).await.refusal(404);
            assert!(words.contains(&format!("no program {id}")), "{words}");
        }
        for id in ["abc", "1.5", "9223372036854775808", "%20", "1%2f2", "%ff"] {
            let words = served.get(&format!("/api/v1/programs/{id}{route}")).await.refusal(400);
            assert!(words.contains("names no program"), "{words}");
        }
    }
}

#[tokio::test]
async fn machines_and_sheets_that_the_shop_lacks_are_refused() {
    let served = Served::new().await;
    let id = served.add("hive-body.nc", &demo("hive-body.nc")).await;
    for route in ["report", "drawing", "timeline"] {
        for query in ["machine=nowhere", "sheet=nothing", "machine=", "machine=%00"] {
            let path = format!("/api/v1/programs/{id}/{route}?{query}");
            let words = served.get(&path).await.refusal(400);
            assert!(words.contains("machine") || words.contains("sheet"), "{words}");
        }
    }
}

#[tokio::test]
async fn queries_that_cannot_be_used_are_refused() {
    let served = Served::new().await;
    let id = served.add("hive-body.nc", &demo("hive-body.nc")).await;
    for (query, named) in [
        ("text?from=-1", "from"),
        ("text?count=many", "count"),
        ("text?from=4294967296", "from"),
        ("text?until=3", "until"),
        ("report?machin=x", "machin"),
        ("report?budget=5", "budget"),
        ("drawing?budget=-5", "budget"),
        ("drawing?budget=1e5", "budget"),
        ("timeline?steps=", "steps"),
        ("timeline?steps=5&steps=6", "steps"),
    ] {
        let words = served.get(&format!("/api/v1/programs/{id}/{query}")).await.refusal(400);
        assert!(words.contains(named), "{query}: {words}");
    }
}

#[tokio::test]
async fn unknown_places_and_methods_are_refused() {
    let served = Served::new().await;
    for path in ["/api", "/api/", "/api/v1", "/api/v2/shop", "/api/v1/programs/1/2/3", "/no.file"] {
        let words = served.get(path).await.refusal(404);
        assert!(words.contains(path), "{words}");
    }
    for (method, path) in [
        ("DELETE", "/api/v1/programs/1"),
        ("PUT", "/api/v1/programs"),
        ("POST", "/api/v1/shop"),
        ("OPTIONS", "/api/v1/shop"),
    ] {
        let request = Request::builder().method(method).uri(path).body(Body::empty()).unwrap();
        let answer = served.ask(request).await;
        let words = answer.refusal(405);
        assert!(words.contains(method), "{words}");
        assert!(answer.header("allow").contains("GET"), "{:?}", answer.headers);
    }
    let post = Request::post("/").body(Body::empty()).unwrap();
    served.ask(post).await.refusal(404);
}

#[tokio::test]
async fn heads_are_answered_like_gets() {
    let served = Served::new().await;
    for path in ["/", "/api/v1/shop", "/api/v1/programs"] {
        let answer = served.ask(Request::head(path).body(Body::empty()).unwrap()).await;
        assert_eq!((answer.status.as_u16(), answer.body.len()), (200, 0), "{path}");
    }
}
