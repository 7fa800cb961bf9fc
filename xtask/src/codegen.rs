//! `cargo xtask codegen`: files made from the code. With `--check` only compares.

use crate::process::{cargo, npm, output_of, root, run};

/// Generated files: path, and the arguments of `kerfwright` that print it.
const GENERATED: &[(&str, &[&str])] = &[
    ("web/openapi.json", &["schema", "openapi"]),
    ("docs/schema/report.schema.json", &["schema", "report"]),
    ("docs/schema/read.schema.json", &["schema", "read"]),
];

/// Types of the page's HTTP client, made from `web/openapi.json`.
const CLIENT_TYPES: &str = "web/src/api/schema.d.ts";

/// Writes or compares every generated file.
pub fn codegen(arguments: &[String]) -> Result<(), String> {
    let only_check = arguments.iter().any(|a| a == "--check");
    for (path, print) in GENERATED {
        let mut call = vec!["run", "--quiet", "--package", "kerfwright", "--"];
        call.extend(*print);
        settle(path, &output_of("", &cargo(), &call)?, only_check)?;
    }
    let before = read(CLIENT_TYPES);
    run("web", npm(), &["run", "--silent", "api-types"])?;
    if only_check && before != read(CLIENT_TYPES) {
        return Err(stale(CLIENT_TYPES));
    }
    Ok(())
}

fn settle(path: &str, text: &str, only_check: bool) -> Result<(), String> {
    if only_check {
        return if read(path).as_deref() == Some(text) { Ok(()) } else { Err(stale(path)) };
    }
    let target = root().join(path);
    if let Some(folder) = target.parent() {
        std::fs::create_dir_all(folder).map_err(|error| format!("{path}: {error}"))?;
    }
    std::fs::write(target, text).map_err(|error| format!("{path}: {error}"))
}

fn read(path: &str) -> Option<String> {
    std::fs::read_to_string(root().join(path)).ok()
}

fn stale(path: &str) -> String {
    format!("{path} is stale: run `cargo xtask codegen` and commit it")
}
