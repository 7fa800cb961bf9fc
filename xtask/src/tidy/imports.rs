//! A crate imports only crates listed above it.

use serde_json::Value;

/// Our crates, each allowed to import those above it; beside each what it may use beyond that
/// rule is nothing. The edges (formats, store, server, kerfwright) alone touch slow dependencies.
const ORDER: &[&str] = &[
    "kw-base",
    "kw-geometry",
    "kw-model",
    "kw-nc",
    "kw-motion",
    "kw-stock",
    "kw-cutting",
    "kw-holddown",
    "kw-checks",
    "kw-nest",
    "kw-sequence",
    "kw-change",
    "kw-formats",
    "kw-shop",
    "kw-store",
    "kw-api",
    "kw-server",
    "kerfwright",
];

/// Crates that must not know some of those above them.
const NOT: &[(&str, &[&str])] = &[
    ("kw-motion", &["kw-stock"]),
    ("kw-stock", &["kw-motion"]),
    (
        "kw-nest",
        &["kw-model", "kw-nc", "kw-motion", "kw-stock", "kw-cutting", "kw-holddown", "kw-checks"],
    ),
    (
        "kw-sequence",
        &["kw-model", "kw-nc", "kw-geometry", "kw-cutting", "kw-holddown", "kw-checks"],
    ),
    ("kw-store", &["kw-geometry", "kw-nc", "kw-checks"]),
    ("kw-api", &["kw-store"]),
];

/// Outside crates that only edges may use.
const EDGE_ONLY: &[&str] = &["axum", "sqlx", "tokio", "tower-http", "clap", "anyhow", "rust-embed"];

/// First crate of [`ORDER`] that is an edge.
const FIRST_EDGE: &str = "kw-formats";

/// Imports that run the wrong way.
pub fn faults(metadata: &Value) -> Vec<String> {
    let mut faults = Vec::new();
    for package in metadata["packages"].as_array().into_iter().flatten() {
        let name = package["name"].as_str().unwrap_or_default();
        let Some(rank) = rank(name) else { continue };
        for dependency in package["dependencies"].as_array().into_iter().flatten() {
            if dependency["kind"].as_str() == Some("dev") {
                continue;
            }
            let target = dependency["name"].as_str().unwrap_or_default();
            if let Some(fault) = fault(name, rank, target) {
                faults.push(fault);
            }
        }
    }
    faults
}

fn rank(name: &str) -> Option<usize> {
    ORDER.iter().position(|n| *n == name)
}

fn fault(name: &str, at: usize, target: &str) -> Option<String> {
    let upwards = rank(target).is_some_and(|t| t >= at);
    let barred = NOT.iter().any(|(n, targets)| *n == name && targets.contains(&target));
    let is_domain = rank(FIRST_EDGE).is_some_and(|edge| at < edge);
    let slow = is_domain && EDGE_ONLY.contains(&target);
    (upwards || barred || slow).then(|| format!("{name} must not import {target}"))
}
