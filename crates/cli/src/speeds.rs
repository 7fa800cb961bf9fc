//! `kerfwright speeds`: speeds and feeds of a program against what tool, machine and material allow.

use crate::{Outcome, input};
use anyhow::Result;
use clap::Args;
use kw_api::speeds::{CutSpeeds, OverrideOut, ProposalOut, SettingOut, SpeedsReport};
use std::io::Write;
use std::path::PathBuf;

/// Options of `speeds`.
#[derive(Args)]
pub struct SpeedsArguments {
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
    /// Print one JSON document (`kerfwright schema speeds`).
    #[arg(long)]
    json: bool,
}

/// Computes and prints.
pub fn run(arguments: &SpeedsArguments) -> Result<Outcome> {
    let sources = input::program(&arguments.program)?;
    let shop = input::shop(&arguments.shop)?;
    let setup = input::setup(
        &shop,
        &arguments.program,
        arguments.machine.as_deref(),
        arguments.sheet.as_deref(),
    )?;
    let analysis = kw_checks::analyse(&sources, &setup)?;
    let report = SpeedsReport::of(&analysis, &setup);
    let mut out = std::io::BufWriter::new(anstream::stdout().lock());
    if arguments.json {
        serde_json::to_writer_pretty(&mut out, &report)?;
        writeln!(out)?;
    } else {
        print(&mut out, &report)?;
    }
    out.flush()?;
    Ok(Outcome::Fine)
}

fn print(out: &mut impl Write, report: &SpeedsReport) -> Result<()> {
    if report.cuts.is_empty() {
        writeln!(out, "no cut of a turning tool whose speeds can be judged")?;
    }
    for cut in &report.cuts {
        print_cut(out, cut)?;
    }
    if !report.has_forces {
        writeln!(
            out,
            "{} has no cutting forces: power, torque and bending limit nothing here",
            report.material
        )?;
    }
    writeln!(
        out,
        "Windows are common practice and forces have wide bands: try a setting on scrap."
    )?;
    Ok(())
}

fn print_cut(out: &mut impl Write, cut: &CutSpeeds) -> Result<()> {
    writeln!(
        out,
        "tool {}, {}: {} cut{}, {:.1} m, {:.1} mm deep, {:.1} mm wide",
        cut.tool,
        cut.name,
        cut.cuts,
        if cut.cuts == 1 { "" } else { "s" },
        cut.way_mm / 1000.0,
        cut.axial_mm,
        cut.radial_mm
    )?;
    let verdict = if cut.within { "within all limits, closest" } else { "breaks" };
    let binding = cut.binding.as_deref().unwrap_or("nothing");
    writeln!(out, "  program   {}: {verdict}: {binding}", setting(&cut.program))?;
    match (cut.window_rpm, cut.window_feed_mm_min) {
        (Some([slow, fast]), Some([low, high])) => {
            writeln!(
                out,
                "  allowed   S{slow:.0} to S{fast:.0}, F{low:.0} to F{high:.0}, not all together"
            )?;
        }
        _ => {
            let why = cut.blocked_by.as_deref().unwrap_or("unknown limits");
            writeln!(out, "  allowed   nothing: {why}")?;
        }
    }
    for (name, proposal) in [("fastest", &cut.fastest), ("cheapest", &cut.cheapest)] {
        if let Some(proposal) = proposal {
            writeln!(out, "  {name:<9} {}", proposal_line(proposal))?;
        }
    }
    match cut.safe_override {
        Some([low, high]) => {
            writeln!(out, "  override  safe from {:.0} % to {:.0} %", low * 100.0, high * 100.0)?;
        }
        None => writeln!(out, "  override  no position from 50 % to 200 % keeps all limits")?,
    }
    for step in &cut.overrides {
        writeln!(out, "    {}", override_line(step))?;
    }
    writeln!(out)?;
    Ok(())
}

fn setting(setting: &SettingOut) -> String {
    format!("S{:.0} F{:.0}", setting.speed_rpm, setting.feed_mm_min)
}

fn proposal_line(proposal: &ProposalOut) -> String {
    let limits: Vec<&str> = [&proposal.feed_limit, &proposal.speed_limit]
        .into_iter()
        .flatten()
        .map(String::as_str)
        .collect();
    let held =
        if limits.is_empty() { String::new() } else { format!(", held by {}", limits.join(", ")) };
    let cost = proposal.cost_per_m.map_or_else(String::new, |cost| format!(", {cost:.3} a metre"));
    format!("{}{held}{cost}", setting(&proposal.setting))
}

fn override_line(step: &OverrideOut) -> String {
    let [likely, high] = step.power_w;
    let power =
        if high > 0.0 { format!("  {likely:>5.0} to {high:>5.0} W") } else { String::new() };
    let verdict = if step.within { "ok  " } else { "over" };
    let binding = step.binding.as_deref().unwrap_or("");
    format!(
        "{:>4.0} %  chip {:.3} mm{power}  {verdict} {binding}",
        step.share * 100.0,
        step.chip_mm
    )
}
