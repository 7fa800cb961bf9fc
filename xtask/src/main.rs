//! Project tooling: `cargo xtask TASK`. Each task is a module; this file only picks one.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a command-line tool speaks to people"
)]

use std::process::ExitCode;

mod demo;

/// What a task gives back: nothing, or what went wrong in words for people.
type Outcome = Result<(), String>;

struct Task {
    name: &'static str,
    help: &'static str,
    run: fn(&[String]) -> Outcome,
}

const TASKS: &[Task] = &[Task {
    name: "demo",
    help: "write the generated demo programs; with --check only compare them",
    run: demo::run,
}];

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let task = args.first().and_then(|name| TASKS.iter().find(|task| task.name == name));
    let Some(task) = task else {
        eprintln!("usage: cargo xtask TASK [OPTIONS]\n\ntasks:");
        for Task { name, help, .. } in TASKS {
            eprintln!("  {name:10} {help}");
        }
        return ExitCode::from(2);
    };
    match (task.run)(&args[1..]) {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("cargo xtask {}: {message}", task.name);
            ExitCode::FAILURE
        }
    }
}
