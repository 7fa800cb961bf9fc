//! Starting other programs, with their output going straight to the person.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The workspace's own folder.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().map(Path::to_path_buf).unwrap_or_default()
}

/// Runs a command in a folder below the workspace; says what failed.
pub fn run(folder: &str, program: &str, arguments: &[&str]) -> Result<(), String> {
    run_with(folder, program, arguments, &[])
}

/// Runs a command with further environment variables.
pub fn run_with(
    folder: &str,
    program: &str,
    arguments: &[&str],
    environment: &[(&str, &str)],
) -> Result<(), String> {
    let shown = format!("{program} {}", arguments.join(" "));
    println!("\n> {shown}");
    let status = Command::new(program)
        .args(arguments)
        .current_dir(root().join(folder))
        .envs(environment.iter().copied())
        .status()
        .map_err(|error| format!("`{program}` cannot be started: {error}"))?;
    if status.success() { Ok(()) } else { Err(format!("`{shown}` ended with {status}")) }
}

/// What a command prints.
pub fn output_of(folder: &str, program: &str, arguments: &[&str]) -> Result<String, String> {
    let output = Command::new(program)
        .args(arguments)
        .current_dir(root().join(folder))
        .stderr(Stdio::inherit())
        .output()
        .map_err(|error| format!("`{program}` cannot be started: {error}"))?;
    if !output.status.success() {
        return Err(format!("`{program} {}` ended with {}", arguments.join(" "), output.status));
    }
    String::from_utf8(output.stdout).map_err(|error| error.to_string())
}

/// Whether a command can be started at all.
pub fn exists(program: &str) -> bool {
    Command::new(program)
        .arg("--version")
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
}

/// The cargo that started us.
pub fn cargo() -> String {
    std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned())
}

/// Name under which npm can be started.
pub fn npm() -> &'static str {
    if cfg!(windows) { "npm.cmd" } else { "npm" }
}
