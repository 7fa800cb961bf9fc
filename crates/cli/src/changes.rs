//! What the verbs that change a program share: the job at hand, the comparison, the new file.

use crate::{Outcome, input, summary};
use anyhow::{Context, Result, bail};
use clap::Args;
use kw_base::{Severity, Sources};
use kw_change::{Comparison, Figures, FindingLine};
use kw_checks::Analysis;
use kw_model::Setup;
use serde_json::{Value, json};
use std::io::Write;
use std::path::{Path, PathBuf};

/// The program, what it is for, and where the result goes.
#[derive(Args)]
pub struct JobArguments {
    /// The NC program; it is never changed.
    pub program: PathBuf,
    /// Folder that describes the shop.
    #[arg(long, value_name = "DIR")]
    pub shop: PathBuf,
    /// Machine; the program's entry in the shop or the shop's default if left out.
    #[arg(long, value_name = "ID")]
    pub machine: Option<String>,
    /// Sheet; the program's entry in the shop or the shop's default if left out.
    #[arg(long, value_name = "ID")]
    pub sheet: Option<String>,
    /// File for the new program; nothing is written if left out.
    #[arg(short = 'o', long = "out", value_name = "OUT")]
    pub out: Option<PathBuf>,
    /// Print one JSON document.
    #[arg(long)]
    pub json: bool,
}

/// A program with its setup and what is known of it.
pub struct Job {
    /// The program.
    pub sources: Sources,
    /// Machine, tools, sheet.
    pub setup: Setup,
    /// What is known of it.
    pub analysis: Analysis,
}

impl JobArguments {
    /// Reads and analyses the program.
    pub fn job(&self) -> Result<Job> {
        if let Some(out) = &self.out {
            refuse_source(&self.program, out)?;
        }
        let sources = input::program(&self.program)?;
        let shop = input::shop(&self.shop)?;
        let (machine, sheet) = (self.machine.as_deref(), self.sheet.as_deref());
        let setup = input::setup(&shop, &self.program, machine, sheet)?;
        let analysis = kw_checks::analyse(&sources, &setup)?;
        Ok(Job { sources, setup, analysis })
    }

    /// Writes the new program if a file is named.
    pub fn write(&self, text: &[u8]) -> Result<()> {
        let Some(out) = &self.out else { return Ok(()) };
        refuse_source(&self.program, out)?;
        std::fs::write(out, text).with_context(|| format!("{}: cannot be written", out.display()))
    }

    /// Name of the new program in findings.
    pub fn out_name(&self) -> String {
        let path = self.out.as_deref().unwrap_or(&self.program);
        path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned())
    }
}

/// The program as received is never overwritten, by whatever name it goes.
fn refuse_source(program: &Path, out: &Path) -> Result<()> {
    let same = match (program.canonicalize(), out.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => program == out,
    };
    if same {
        bail!("{}: is the program itself, which is never overwritten", out.display());
    }
    Ok(())
}

/// 1 if something must stop the changed program.
pub fn outcome(comparison: &Comparison) -> Outcome {
    if comparison.after.stop > 0 { Outcome::MustStop } else { Outcome::Fine }
}

/// Prints figures before and after, and findings that came or went.
pub fn print_comparison(out: &mut impl Write, comparison: &Comparison) -> Result<()> {
    let Comparison { before, after, added, removed, .. } = comparison;
    let counts = |f: &Figures| format!("{} stop, {} care, {} note", f.stop, f.care, f.note);
    let clock = |f: &Figures| summary::clock(f.time_s);
    writeln!(out, "           before                          after")?;
    writeln!(out, "  time     {:<30}  {}", clock(before), clock(after))?;
    writeln!(out, "  findings {:<30}  {}", counts(before), counts(after))?;
    writeln!(out, "  moves    {:<30}  {}", before.moves, after.moves)?;
    if before.moves == after.moves {
        writeln!(out, "  {} moves differ", comparison.moves_changed)?;
    }
    for (word, list) in [("new", added), ("gone", removed)] {
        for finding in list {
            let at = finding.line.map_or_else(String::new, |line| format!("line {line}: "));
            let severity = finding.severity.word();
            writeln!(out, "  {word}: {severity}[{}] {at}{}", finding.check, finding.message)?;
        }
    }
    Ok(())
}

/// The comparison for scripts.
pub fn comparison_json(comparison: &Comparison) -> Value {
    let figures = |f: &Figures| {
        json!({ "time_s": f.time_s, "stop": f.stop, "care": f.care, "note": f.note,
                "moves": f.moves })
    };
    let finding = |f: &FindingLine| {
        json!({ "check": f.check, "severity": word(f.severity), "line": f.line,
                "message": f.message })
    };
    let list = |l: &[FindingLine]| l.iter().map(finding).collect::<Vec<_>>();
    json!({
        "before": figures(&comparison.before),
        "after": figures(&comparison.after),
        "added": list(&comparison.added),
        "removed": list(&comparison.removed),
        "moves_changed": comparison.moves_changed,
    })
}

fn word(severity: Severity) -> &'static str {
    severity.word()
}

/// Prints a JSON document.
pub fn print_json(document: &Value) -> Result<()> {
    let mut out = anstream::stdout().lock();
    serde_json::to_writer_pretty(&mut out, document)?;
    writeln!(out)?;
    Ok(())
}

/// Two numbers with a comma between them.
pub fn pair(text: &str) -> Result<(f64, f64)> {
    let parts: Vec<f64> = text.split(',').filter_map(|p| p.trim().parse().ok()).collect();
    match parts[..] {
        [x, y] if x.is_finite() && y.is_finite() && text.split(',').count() == 2 => Ok((x, y)),
        _ => bail!("{text}: two numbers with a comma are wanted, e.g. 100,-20"),
    }
}
