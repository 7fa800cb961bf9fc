//! `cargo xtask test`: builds and passes all tests, doing its own set-up.

use crate::process::{cargo, exists, npm, output_of, root, run, run_with};
use crate::{browser, codegen, demo, tidy, web};

/// Runs every step in order; stops at the first that fails.
pub fn test(_: &[String]) -> Result<(), String> {
    let cargo = cargo();
    run("", &cargo, &["fmt", "--all", "--check"])?;
    tidy::tidy(&[])?;
    demo::run(&["--check".to_owned()])?;
    web::web(&[])?;
    let lints = ["clippy", "--workspace", "--all-targets", "--", "-D", "warnings"];
    run("", &cargo, &lints)?;
    let docs = ["doc", "--workspace", "--no-deps", "--quiet"];
    run_with("", &cargo, &docs, &[("RUSTDOCFLAGS", "-D warnings")])?;
    run_with("", &cargo, &rust_tests(&cargo), &[("INSTA_UPDATE", "no")])?;
    run("", &cargo, &["test", "--workspace", "--doc", "--quiet"])?;
    run("", &cargo, &["build", "--package", "kerfwright"])?;
    codegen::codegen(&["--check".to_owned()])?;
    for script in ["check", "lint", "format:check", "test"] {
        run("web", npm(), &["run", script])?;
    }
    browser::install_if_missing()?;
    let binary = target_folder().join("debug/kerfwright");
    let binary = binary.to_string_lossy();
    run_with("web", npm(), &["run", "e2e"], &[("KERFWRIGHT", &binary)])
}

/// Where cargo builds.
fn target_folder() -> std::path::PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root().join("target"), |t| root().join(t))
}

/// nextest where it is installed, else cargo's own runner.
fn rust_tests(cargo: &str) -> Vec<&'static str> {
    let has_nextest =
        exists("cargo-nextest") || output_of("", cargo, &["nextest", "--version"]).is_ok();
    if has_nextest {
        vec!["nextest", "run", "--workspace", "--no-fail-fast"]
    } else {
        vec!["test", "--workspace", "--no-fail-fast", "--lib", "--bins", "--tests"]
    }
}
