//! Project tooling: `cargo xtask TASK`. Each task is a module; this file only picks one.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a command-line tool speaks to people"
)]

use std::process::ExitCode;

mod browser;
mod codegen;
mod demo;
mod process;
mod start;
mod test;
mod tidy;
mod web;

/// What a task gives back: nothing, or what went wrong in words for people.
type Outcome = Result<(), String>;

struct Task {
    name: &'static str,
    help: &'static str,
    run: fn(&[String]) -> Outcome,
}

const TASKS: &[Task] = &[
    Task {
        name: "start",
        help: "build everything, page included, and open the demo shop; options go to `serve`",
        run: start::start,
    },
    Task { name: "test", help: "build and pass all tests", run: test::test },
    Task {
        name: "tidy",
        help: "direction of imports, licences, sizes of files, unwanted words",
        run: tidy::tidy,
    },
    Task {
        name: "codegen",
        help: "write the files made from the code; with --check only compare them",
        run: codegen::codegen,
    },
    Task {
        name: "web",
        help: "build the page if anything it is made from is newer",
        run: web::web,
    },
    Task {
        name: "demo",
        help: "write the generated demo programs; with --check only compare them",
        run: demo::run,
    },
];

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
