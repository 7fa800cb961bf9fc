//! `kerfwright check`: one program against machine, tools and sheet.

use crate::{Outcome, input, render, summary};
use anyhow::Result;
use clap::Args;
use kw_api::Report;
use std::io::Write;
use std::path::PathBuf;

/// Options of `check`.
#[derive(Args)]
pub struct CheckArguments {
    /// The NC program.
    program: PathBuf,
    /// Folder that describes the shop.
    #[arg(long, value_name = "DIR")]
    shop: PathBuf,
    /// Machine; the program's entry in the shop or the shop's default if left out.
    #[arg(long, value_name = "ID")]
    machine: Option<String>,
    /// Sheet; the program's entry in the shop or the shop's default if left out.
    #[arg(long, value_name = "ID")]
    sheet: Option<String>,
    /// Print one JSON document (`kerfwright schema report`).
    #[arg(long)]
    json: bool,
}

/// Checks and prints.
pub fn run(arguments: &CheckArguments) -> Result<Outcome> {
    let sources = input::program(&arguments.program)?;
    let shop = input::shop(&arguments.shop)?;
    let setup = input::setup(
        &shop,
        &arguments.program,
        arguments.machine.as_deref(),
        arguments.sheet.as_deref(),
    )?;
    let analysis = kw_checks::analyse(&sources, &setup)?;
    let report = Report::of(&analysis, &sources, &setup);
    let mut out = std::io::BufWriter::new(anstream::stdout().lock());
    if arguments.json {
        serde_json::to_writer_pretty(&mut out, &report)?;
        writeln!(out)?;
    } else {
        for finding in analysis.findings.findings() {
            writeln!(out, "{}\n", render::finding(finding, &sources))?;
        }
        summary::print(&mut out, &report)?;
    }
    out.flush()?;
    Ok(if report.summary.stop > 0 { Outcome::MustStop } else { Outcome::Fine })
}
