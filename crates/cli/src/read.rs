//! `kerfwright read`: what a program means.

use crate::{Outcome, input, render};
use anyhow::{Context, Result, bail};
use clap::Args;
use kw_api::ReadReport;
use kw_base::{Sources, Span};
use kw_geometry::Vec3;
use kw_model::Dialect;
use kw_nc::ReadContext;
use std::io::Write;
use std::path::PathBuf;

/// Options of `read`.
#[derive(Args)]
pub struct ReadArguments {
    /// The NC program.
    program: PathBuf,
    /// Folder that describes the shop; plain RS-274 with all origins zero if left out.
    #[arg(long, value_name = "DIR", requires = "machine")]
    shop: Option<PathBuf>,
    /// Machine of the shop whose dialect, datums and tools are used.
    #[arg(long, value_name = "ID", requires = "shop")]
    machine: Option<String>,
    /// Position before the first block, mm.
    #[arg(long, value_name = "X,Y,Z", allow_hyphen_values = true)]
    start: Option<String>,
    /// Skip blocks that begin with `/`.
    #[arg(long)]
    block_delete: bool,
    /// Read by the published report's rules only.
    #[arg(long, conflicts_with = "shop")]
    strict: bool,
    /// Print one JSON document (`kerfwright schema read`).
    #[arg(long)]
    json: bool,
    /// List every move.
    #[arg(long)]
    moves: bool,
    /// Tell each block in words, with the state after it.
    #[arg(long)]
    explain: bool,
}

/// Reads and prints.
pub fn run(arguments: &ReadArguments) -> Result<Outcome> {
    let sources = input::program(&arguments.program)?;
    let start = arguments.start.as_deref().map(parse_start).transpose()?;
    let setup = match (&arguments.shop, &arguments.machine) {
        (Some(folder), Some(machine)) => {
            let shop = input::shop(folder)?;
            Some(input::setup(&shop, &arguments.program, Some(machine), None)?)
        }
        _ => None,
    };
    let plain = if arguments.strict { Dialect::published() } else { Dialect::default() };
    let mut context = match &setup {
        Some(setup) => ReadContext::from_setup(setup),
        None => ReadContext::plain(&plain),
    };
    context.block_delete = arguments.block_delete;
    if let Some(start) = start {
        context.start_mm = start;
    }
    let reading = kw_nc::read(&sources, &context);
    let report = ReadReport::of(&reading, &sources, arguments.moves);
    let mut out = std::io::BufWriter::new(anstream::stdout().lock());
    if arguments.json {
        let mut document = serde_json::to_value(&report)?;
        if arguments.explain {
            document["explain"] = explanation_json(&sources, &context);
        }
        serde_json::to_writer_pretty(&mut out, &document)?;
        writeln!(out)?;
    } else {
        for finding in reading.findings.findings() {
            writeln!(out, "{}\n", render::finding(finding, &sources))?;
        }
        if arguments.explain {
            print_explanation(&mut out, &sources, &context)?;
        }
        print(&mut out, &report)?;
    }
    out.flush()?;
    let stops = reading.findings.count(kw_base::Severity::Stop);
    Ok(if stops > 0 { Outcome::MustStop } else { Outcome::Fine })
}

/// Bytes of a place in the text, as words.
fn text_at(sources: &Sources, span: Span) -> String {
    let bytes = sources.file_of(span.start).map_or(&[][..], |f| f.slice(span));
    String::from_utf8_lossy(bytes).into_owned()
}

fn line_of(sources: &Sources, span: Span) -> u32 {
    sources.file_of(span.start).map_or(0, |f| f.line_column(span.start).line)
}

fn print_explanation(
    out: &mut impl Write,
    sources: &Sources,
    context: &ReadContext<'_>,
) -> Result<()> {
    let mut result = Ok(());
    kw_nc::explain(sources, context, |block| {
        if result.is_ok() {
            result = print_block(out, sources, &block);
        }
    });
    result
}

fn print_block(
    out: &mut impl Write,
    sources: &Sources,
    block: &kw_nc::BlockExplanation,
) -> Result<()> {
    let line = line_of(sources, block.span);
    writeln!(out, "{line:>6}  {}", text_at(sources, block.span))?;
    for word in &block.words {
        writeln!(out, "          {:<10} {}", text_at(sources, word.span), word.meaning)?;
    }
    writeln!(out, "        then: {}\n", block.after)?;
    Ok(())
}

fn explanation_json(sources: &Sources, context: &ReadContext<'_>) -> serde_json::Value {
    let mut blocks = Vec::new();
    kw_nc::explain(sources, context, |block| {
        let word = |word: &kw_nc::explain::WordExplanation| serde_json::json!({ "word": text_at(sources, word.span), "meaning": word.meaning });
        blocks.push(serde_json::json!({
            "line": line_of(sources, block.span),
            "block": text_at(sources, block.span),
            "words": block.words.iter().map(word).collect::<Vec<_>>(),
            "moves": block.moves,
            "after": block.after.to_string(),
        }));
    });
    serde_json::Value::Array(blocks)
}

fn parse_start(text: &str) -> Result<Vec3> {
    let parts: Vec<f64> = text
        .split(',')
        .map(|p| p.trim().parse::<f64>())
        .collect::<std::result::Result<_, _>>()
        .with_context(|| format!("--start {text}: three numbers with commas are wanted"))?;
    match parts[..] {
        [x, y, z] if parts.iter().all(|v| v.is_finite()) => Ok(Vec3::new(x, y, z)),
        _ => bail!("--start {text}: three finite numbers with commas are wanted, e.g. 0,0,50"),
    }
}

fn print(out: &mut impl Write, report: &ReadReport) -> Result<()> {
    for m in report.path.iter().flatten() {
        let [x, y, z] = m.to;
        writeln!(out, "{:>8}  {:<6} to {x:.4} {y:.4} {z:.4}  feed {:.1}", m.line, m.kind, m.feed)?;
    }
    writeln!(out, "{} blocks, {} moves", report.blocks, report.moves)?;
    let end = &report.end;
    writeln!(out, "ends at X {:.4} Y {:.4} Z {:.4} mm", end.x, end.y, end.z)?;
    let length = &report.length_mm;
    writeln!(out, "{:.3} mm at feed, {:.3} mm rapid", length.feed, length.rapid)?;
    let time = &report.time_s;
    writeln!(out, "{:.2} s at feed without acceleration, {:.2} s dwell", time.feed, time.dwell)?;
    Ok(())
}
