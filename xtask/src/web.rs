//! The page: its packages, its build, and whether they are fresh.

use crate::process::{exists, npm, root, run};
use std::path::Path;
use std::time::SystemTime;

/// Written after a good build; the server's placeholder page has none, so it never counts as fresh.
const STAMP: &str = "web/dist/.built";

/// What the page is built from.
const SOURCES: &[&str] = &[
    "web/src",
    "web/public",
    "web/index.html",
    "web/package-lock.json",
    "web/svelte.config.js",
    "web/tsconfig.json",
    "web/vite.config.ts",
];

/// `cargo xtask web`: builds the page if anything it is made from is newer.
pub fn web(_: &[String]) -> Result<(), String> {
    install_packages()?;
    let built = modified(&root().join(STAMP));
    let newest = SOURCES.iter().filter_map(|s| newest_below(&root().join(s))).max();
    if built.is_some() && built >= newest {
        return Ok(());
    }
    run("web", npm(), &["run", "build"])?;
    std::fs::write(root().join(STAMP), "").map_err(|error| format!("{STAMP}: {error}"))
}

/// Installs the npm packages if the lock file is newer than what is installed.
pub fn install_packages() -> Result<(), String> {
    if !exists(npm()) {
        return Err("npm is missing: install Node 20 or newer (it brings npm)".to_owned());
    }
    let lock = modified(&root().join("web/package-lock.json"));
    let installed = modified(&root().join("web/node_modules/.package-lock.json"));
    if installed.is_some() && installed >= lock {
        return Ok(());
    }
    run("web", npm(), &["ci", "--no-audit", "--no-fund"])
}

fn newest_below(path: &Path) -> Option<SystemTime> {
    let Ok(entries) = std::fs::read_dir(path) else { return modified(path) };
    entries.flatten().filter_map(|entry| newest_below(&entry.path())).max()
}

fn modified(path: &Path) -> Option<SystemTime> {
    std::fs::metadata(path).and_then(|m| m.modified()).ok()
}
