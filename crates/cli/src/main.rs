//! The command line of Kerfwright: one file per verb.

mod changes;
mod check;
mod edit;
mod explain;
mod input;
mod place;
mod read;
mod render;
mod resume;
mod schema;
mod serve;
mod speeds;
mod summary;

use clap::{Parser, Subcommand};
use std::process::ExitCode;

/// Checks NC programs for flatbed routing and knife cutting before a person presses start.
///
/// Kerfwright advises; it never starts, stops or guards a machine.
#[derive(Parser)]
#[command(name = "kerfwright", version)]
struct Arguments {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Subcommand)]
enum Verb {
    /// Check a program against a machine, its tools and a sheet.
    Check(check::CheckArguments),
    /// Read a program and say what it means; nothing is checked against a machine.
    Read(read::ReadArguments),
    /// Hold each cut's speed and feed against what tool, machine and material allow.
    Speeds(speeds::SpeedsArguments),
    /// Change feeds, speeds, tool numbers, depths, pauses or the datum, and show what that does.
    Edit(Box<edit::EditArguments>),
    /// Move, turn or mirror a program, or write it in inches.
    Place(place::PlaceArguments),
    /// Start a stopped program again in the middle.
    Resume(resume::ResumeArguments),
    /// Explain a check, or list all checks.
    Explain(explain::ExplainArguments),
    /// Print a published schema.
    Schema(schema::SchemaArguments),
    /// Open the page: serve it on this computer.
    Serve(serve::ServeArguments),
}

/// How a verb ended: the exit code.
enum Outcome {
    /// Nothing stops the job.
    Fine,
    /// Something must stop the job.
    MustStop,
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let result = match arguments.verb {
        Verb::Check(arguments) => check::run(&arguments),
        Verb::Read(arguments) => read::run(&arguments),
        Verb::Speeds(arguments) => speeds::run(&arguments),
        Verb::Edit(arguments) => edit::run(&arguments),
        Verb::Place(arguments) => place::run(&arguments),
        Verb::Resume(arguments) => resume::run(&arguments),
        Verb::Explain(arguments) => explain::run(&arguments),
        Verb::Schema(arguments) => schema::run(&arguments),
        Verb::Serve(arguments) => serve::run(arguments),
    };
    match result {
        Ok(Outcome::Fine) => ExitCode::SUCCESS,
        Ok(Outcome::MustStop) => ExitCode::from(1),
        Err(error) if is_broken_pipe(&error) => ExitCode::SUCCESS,
        Err(error) => {
            anstream::eprintln!("kerfwright: {error:#}");
            ExitCode::from(2)
        }
    }
}

/// The reader of our output has seen enough, as `head` does.
fn is_broken_pipe(error: &anyhow::Error) -> bool {
    error
        .downcast_ref::<std::io::Error>()
        .is_some_and(|e| e.kind() == std::io::ErrorKind::BrokenPipe)
}
