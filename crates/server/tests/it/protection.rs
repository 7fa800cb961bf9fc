//! Other hosts' names, other sites' pages, paths out of the page, and headers on every answer.

use crate::desk::{Answer, HOST, Served};
use axum::body::Body;
use axum::http::Request;
use kw_server::Limits;

const PROTECTIVE: &[&str] = &[
    "content-security-policy",
    "x-content-type-options",
    "x-frame-options",
    "referrer-policy",
    "cross-origin-opener-policy",
    "cross-origin-resource-policy",
    "cache-control",
];

#[tokio::test]
async fn every_answer_carries_the_protective_headers() {
    let served = Served::with(Limits { program_bytes: 100, ..Limits::default() }).await;
    let tag = served.get("/").await.header("etag").to_owned();
    let delete = Request::delete("/api/v1/shop").body(Body::empty()).unwrap();
    let answers: Vec<(u16, Answer)> = vec![
        (200, served.get("/").await),
        (200, served.get("/api/v1/shop").await),
        (200, served.get("/api/v1/openapi.json").await),
        (201, served.post("a.nc", "G0 X1").await),
        (200, served.get("/api/v1/programs/1/source").await),
        (200, served.get("/api/v1/programs/1/drawing").await),
        (304, served.get_with("/", &[("if-none-match", &tag)]).await),
        (400, served.get("/api/v1/programs/x").await),
        (403, served.get_with("/", &[("host", HOST)]).await),
        (404, served.get("/nothing.js").await),
        (404, served.get("/api/v1/programs/99").await),
        (405, served.ask(delete).await),
        (406, served.get_with("/", &[("accept-encoding", "identity;q=0")]).await),
        (413, served.post("b.nc", "G".repeat(101)).await),
        (421, served.get_with("/", &[("host", "example.com")]).await),
        (422, served.post("c.nc", "").await),
    ];
    for (status, answer) in answers.iter().filter(|(status, _)| *status != 403) {
        assert_eq!(answer.status, *status, "{answer:?}");
        for name in PROTECTIVE {
            assert!(!answer.header(name).is_empty(), "{status} lacks {name}");
        }
    }
}

#[tokio::test]
async fn requests_for_other_hosts_are_refused() {
    let served = Served::new().await;
    for host in ["example.com", "localhost.example.com", "127.0.0.1.example.com:8270", ""] {
        let words = served.get_with("/api/v1/shop", &[("host", host)]).await.refusal(421);
        assert!(words.contains(host), "{words}");
    }
    for host in ["localhost", "LocalHost:1", "127.0.0.1:8270", "[::1]:8270"] {
        let answer = served.get_with("/api/v1/shop", &[("host", host)]).await;
        assert_eq!(answer.status, 200, "{host}");
    }
}

#[tokio::test]
async fn pages_of_other_sites_change_nothing() {
    let served = Served::new().await;
    let post = |origin: &str| {
        Request::post("/api/v1/programs?name=a.nc")
            .header("host", HOST)
            .header("origin", origin)
            .body(Body::from("G0 X1"))
            .unwrap()
    };
    for origin in ["https://example.com", "null", "", "http://localhost:9", "http://localhost"] {
        let words = served.ask(post(origin)).await.refusal(403);
        assert!(words.contains("another site"), "{words}");
    }
    assert_eq!(served.get("/api/v1/programs").await.json(), serde_json::json!([]));
    assert_eq!(served.ask(post(&format!("http://{HOST}"))).await.status, 201);
    // Looking is answered, but no other site's page can read it: nothing allows it to.
    let looked = served.get_with("/api/v1/shop", &[("origin", "https://example.com")]).await;
    assert_eq!(looked.status, 200);
    assert!(!looked.headers.contains_key("access-control-allow-origin"));
}

#[tokio::test]
async fn no_path_leads_out_of_the_page() {
    let served = Served::new().await;
    for path in [
        "/../Cargo.toml",
        "/../../Cargo.toml",
        "/../package.json",
        "/%2e%2e/package.json",
        "/%2e%2e%2fpackage.json",
        "/..%2fpackage.json",
        "/..%5cpackage.json",
        "/assets/../../package.json",
        "/assets/%2e%2e/%2e%2e/package.json",
        "/./../package.json",
        "//etc/passwd",
        "/%2fetc%2fpasswd",
        "/../../../../../../../../etc/passwd",
        "/%00",
        "/index.html%00.js",
    ] {
        let answer = served.get(path).await;
        let is_page = answer.header("content-type").starts_with("text/html");
        assert!(answer.status == 404 || is_page, "{path}: {answer:?}");
        let body = String::from_utf8_lossy(&answer.body);
        for secret in ["[workspace]", "\"dependencies\"", "root:"] {
            assert!(!body.contains(secret), "{path} gave {secret}");
        }
    }
}

#[tokio::test]
async fn the_page_is_sent_once_and_then_known() {
    let served = Served::new().await;
    let first = served.get("/").await;
    assert!(first.header("content-type").starts_with("text/html"));
    assert_eq!(first.header("cache-control"), "no-cache");
    let tag = first.header("etag").to_owned();
    assert!(tag.starts_with("W/\"") && tag.len() > 20, "{tag}");
    let strong = tag.trim_start_matches("W/");
    for known in [tag.as_str(), strong, "*", &format!("\"other\", {tag}")] {
        let again = served.get_with("/index.html", &[("if-none-match", known)]).await;
        assert_eq!((again.status.as_u16(), again.body.len()), (304, 0), "{known}");
        assert_eq!((again.header("etag"), again.header("cache-control")), (&*tag, "no-cache"));
    }
    for unknown in ["", "\"other\"", &tag[..tag.len() - 2]] {
        let again = served.get_with("/", &[("if-none-match", unknown)]).await;
        assert_eq!((again.status.as_u16(), &again.body), (200, &first.body), "{unknown}");
    }
    // An address inside the page opens the page.
    assert_eq!(served.get("/program/7").await.body, first.body);
}

#[tokio::test]
async fn hashed_files_of_the_page_stay_with_the_browser() {
    let Ok(files) = std::fs::read_dir(crate::desk::root().join("web/dist/assets")) else {
        println!("the page is not built: its files were NOT tested");
        return;
    };
    let served = Served::new().await;
    for file in files {
        let name = file.unwrap().file_name().into_string().unwrap();
        let answer = served.get(&format!("/assets/{name}")).await;
        assert_eq!(answer.status, 200, "{name}");
        assert!(answer.header("cache-control").contains("immutable"), "{name}");
    }
}

#[tokio::test]
async fn answers_are_compressed_for_who_takes_it() {
    let served = Served::new().await;
    let plain = served.get("/api/v1/openapi.json").await;
    assert_eq!(plain.header("content-encoding"), "");
    for encoding in ["gzip", "br"] {
        let headers = [("accept-encoding", encoding)];
        let packed = served.get_with("/api/v1/openapi.json", &headers).await;
        assert_eq!(packed.header("content-encoding"), encoding);
        assert!(packed.header("vary").contains("accept-encoding"));
        assert!(packed.body.len() * 3 < plain.body.len(), "{encoding}: {}", packed.body.len());
    }
}
