//! `cargo start`: builds everything, page included, and opens Kerfwright on the demo shop.

use crate::process::{cargo, run};
use crate::web::web;

/// Further arguments go to `kerfwright serve`.
pub fn start(arguments: &[String]) -> Result<(), String> {
    web(&[])?;
    let mut all = vec!["run", "--release", "--package", "kerfwright", "--", "serve"];
    if !arguments.iter().any(|a| a == "--shop") {
        all.extend(["--shop", "demo/shop"]);
    }
    all.extend(arguments.iter().map(String::as_str));
    run("", &cargo(), &all)
}
