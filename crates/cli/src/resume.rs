//! `kerfwright resume`: a stopped program started again in the middle.

use crate::changes::{self, Job, JobArguments};
use crate::{Outcome, render};
use anyhow::{Context, Result};
use clap::Args;
use kw_base::{Severity, Sources};
use kw_change::{Restart, RestartOptions, compare, restart};
use kw_model::machine::AxisLetter;
use kw_nc::ReadContext;
use serde_json::json;
use std::io::Write;

/// Options of `resume`.
#[derive(Args)]
pub struct ResumeArguments {
    #[command(flatten)]
    job: JobArguments,
    /// Line at which the program stopped.
    #[arg(long, value_name = "N", required_unless_present = "at_move")]
    at_line: Option<u32>,
    /// Move at which the program stopped, from 0.
    #[arg(long, value_name = "N", conflicts_with = "at_line")]
    at_move: Option<usize>,
    /// Way back along the path already cut, mm.
    #[arg(long, value_name = "MM", default_value_t = 10.0)]
    back: f64,
    /// Height above the sheet for going over, mm: above everything that stands there.
    #[arg(long, value_name = "MM", default_value_t = 15.0, allow_hyphen_values = true)]
    clear: f64,
}

/// Starts again, runs all checks on the result and prints.
pub fn run(arguments: &ResumeArguments) -> Result<Outcome> {
    let job = arguments.job.job()?;
    let at_move = at_move(arguments, &job)?;
    let surface_z_mm = job.setup.sheet_top_z_mm();
    let top = job.setup.machine.axis(AxisLetter::Z).context("the machine has no Z axis")?;
    let options = RestartOptions {
        back_mm: arguments.back,
        clear_z_mm: surface_z_mm + arguments.clear,
        surface_z_mm,
        top_axis_z_mm: top.max_mm,
    };
    let context = ReadContext::from_setup(&job.setup);
    let new = restart(&job.analysis.reading.toolpath, &context, at_move, &options)?;
    let sources = Sources::single(&arguments.job.out_name(), new.text.clone().into_bytes())?;
    let analysis = kw_checks::analyse(&sources, &job.setup)?;
    let comparison = compare((&job.analysis, &job.sources), (&analysis, &sources));
    arguments.job.write(new.text.as_bytes())?;
    let corner = job.setup.sheet_corner_mm;
    let tip = new.entry_tip_mm;
    let entry_mm = [tip.x - corner.x, tip.y - corner.y, tip.z - surface_z_mm];
    if arguments.job.json {
        changes::print_json(&json!({
            "at_move": at_move,
            "first_move": new.first_move,
            "entry_on_sheet_mm": entry_mm,
            "restored": new.restored,
            "comparison": changes::comparison_json(&comparison),
            "written": arguments.job.out,
        }))?;
    } else {
        let mut out = anstream::stdout().lock();
        let stops = analysis.findings.findings().iter().filter(|f| f.severity == Severity::Stop);
        for finding in stops {
            writeln!(out, "{}\n", render::finding(finding, &sources))?;
        }
        say(&mut out, &new, at_move, entry_mm)?;
        changes::print_comparison(&mut out, &comparison)?;
        if let Some(path) = &arguments.job.out {
            writeln!(out, "  written to {}", path.display())?;
        }
    }
    Ok(changes::outcome(&comparison))
}

/// The move asked for: the first one of the line or of the lines after it.
fn at_move(arguments: &ResumeArguments, job: &Job) -> Result<usize> {
    if let Some(index) = arguments.at_move {
        return Ok(index);
    }
    let line = arguments.at_line.unwrap_or(1);
    let file = job.sources.files().first().context("there is no program")?;
    let path = &job.analysis.reading.toolpath;
    let after = path.block_at.iter().position(|&at| file.line_column(at).line >= line);
    after.with_context(|| format!("nothing moves at line {line} or after it"))
}

fn say(out: &mut impl Write, new: &Restart, at_move: usize, entry_mm: [f64; 3]) -> Result<()> {
    let [x, y, z] = entry_mm;
    writeln!(out, "starts again in move {} for a stop in move {at_move}", new.first_move)?;
    writeln!(out, "enters at X {x:.3} Y {y:.3} Z {z:.3} mm from the sheet's corner and face")?;
    if !new.restored.is_empty() {
        writeln!(out, "switched again first: {}", new.restored.join(", "))?;
    }
    writeln!(
        out,
        "before start: the sheet must not have moved, cut pieces must still be held, and the tool \
         must be whole"
    )?;
    Ok(())
}
