//! A server on the demo shop and a fresh folder, asked without a network.

use crate::folder::Folder;
use axum::Router;
use axum::body::{Body, Bytes};
use axum::http::{HeaderMap, Request, StatusCode};
use kw_model::{Shop, ShopFile};
use kw_server::{Desk, Hosts, Limits, router};
use kw_store::{Store, StoreOptions};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use tower::ServiceExt;

/// The host name that all requests of these tests give.
pub const HOST: &str = "localhost:8270";

/// The repository's root.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

/// The demo shop.
pub fn shop() -> Shop {
    let folder = root().join("demo/shop");
    let mut files = Vec::new();
    for part in ["", "machines/"] {
        for entry in std::fs::read_dir(folder.join(part)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|e| e == "toml") {
                let name = format!("{part}{}", path.file_name().unwrap().to_str().unwrap());
                files.push(ShopFile { name, text: std::fs::read_to_string(path).unwrap() });
            }
        }
    }
    Shop::read(&files).unwrap_or_else(|errors| panic!("{errors:?}"))
}

/// A demo program.
pub fn demo(name: &str) -> Vec<u8> {
    std::fs::read(root().join("demo/programs").join(name)).unwrap()
}

/// A server without a network.
pub struct Served {
    pub router: Router,
    _folder: Folder,
}

/// What it answered.
#[derive(Debug)]
pub struct Answer {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub body: Bytes,
}

impl Answer {
    pub fn json(&self) -> Value {
        assert_eq!(self.header("content-type"), "application/json", "{self:?}");
        serde_json::from_slice(&self.body).unwrap()
    }

    pub fn header(&self, name: &str) -> &str {
        self.headers.get(name).map_or("", |value| value.to_str().unwrap())
    }

    /// The words of an error of this status.
    pub fn refusal(&self, status: u16) -> String {
        let body = String::from_utf8_lossy(&self.body);
        assert_eq!(self.status, status, "{body}");
        let error = &self.json()["error"];
        let words = [&error["what"], &error["help"]].map(|w| w.as_str().unwrap().to_owned());
        assert!(words.iter().all(|w| !w.is_empty()), "{body}");
        words.join(" | ")
    }
}

impl Served {
    pub async fn new() -> Self {
        Self::with(Limits::default()).await
    }

    pub async fn with(limits: Limits) -> Self {
        let folder = Folder::new("served");
        let file = folder.path().join("kerfwright.db");
        let store = Store::open(&StoreOptions::SqliteFile(file)).await.unwrap();
        let desk = Arc::new(Desk::new(shop(), store, limits));
        let hosts = Hosts::new(([127, 0, 0, 1], 8270).into(), &[]);
        Self { router: router(desk, hosts), _folder: folder }
    }

    /// Any request; the usual host is added where none is given.
    pub async fn ask(&self, mut request: Request<Body>) -> Answer {
        request.headers_mut().entry("host").or_insert(HOST.parse().unwrap());
        let response = self.router.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        let body = axum::body::to_bytes(body, usize::MAX).await.unwrap();
        Answer { status: parts.status, headers: parts.headers, body }
    }

    pub async fn get(&self, path: &str) -> Answer {
        self.ask(Request::get(path).body(Body::empty()).unwrap()).await
    }

    /// A request with headers.
    pub async fn get_with(&self, path: &str, headers: &[(&str, &str)]) -> Answer {
        let mut request = Request::get(path);
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        self.ask(request.body(Body::empty()).unwrap()).await
    }

    pub async fn post(&self, name: &str, body: impl Into<Body>) -> Answer {
        let path = format!("/api/v1/programs?name={name}");
        self.ask(Request::post(path).body(body.into()).unwrap()).await
    }

    /// Drops a program; gives its number.
    pub async fn add(&self, name: &str, text: &[u8]) -> i64 {
        let answer = self.post(name, text.to_vec()).await;
        assert_eq!(answer.status, StatusCode::CREATED, "{answer:?}");
        answer.json()["id"].as_i64().unwrap()
    }
}
