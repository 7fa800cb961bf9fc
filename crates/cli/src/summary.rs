//! The summary below the findings.

use anyhow::Result;
use kw_api::Report;
use kw_api::loads::ToolWearOut;
use kw_api::report::{BoundsOut, LeftOut, PieceKind, SeverityOut, ToolUseOut};
use std::io::Write;

/// Prints counts, boxes, tools, lengths, times and cautions.
pub fn print(out: &mut impl Write, report: &Report) -> Result<()> {
    for left in &report.left_out {
        writeln!(out, "{}\n", left_out(left))?;
    }
    let s = &report.summary;
    writeln!(out, "{} on {}, {}", report.program.file, report.machine.name, report.sheet.name)?;
    writeln!(out, "  on the table  {}", bounds(&s.bounds))?;
    writeln!(out, "  on the sheet  {}", bounds(&s.bounds_on_sheet))?;
    if !report.tools.is_empty() {
        writeln!(out, "  tools in order")?;
    }
    for tool in &report.tools {
        writeln!(out, "    {}", tool_line(tool))?;
    }
    for line in report.wear.iter().filter_map(wear_line) {
        writeln!(out, "    {line}")?;
    }
    writeln!(
        out,
        "  length        {:.1} m at feed, {:.1} m rapid; {} blocks, {} moves",
        s.cut_length_mm / 1000.0,
        s.rapid_length_mm / 1000.0,
        s.blocks,
        s.moves
    )?;
    writeln!(
        out,
        "  time          {}: {} at feed, {} rapid, {} changes, starts and waits without people",
        clock(s.time_s),
        clock(s.feed_time_s),
        clock(s.rapid_time_s),
        clock(s.other_time_s)
    )?;
    if !report.pieces.is_empty() {
        let slugs = report.pieces.iter().filter(|p| p.kind == PieceKind::Slug).count();
        writeln!(
            out,
            "  pieces        {} come free, {slugs} of them slugs; the first after {}",
            report.pieces.len(),
            clock(report.pieces[0].freed_at_s)
        )?;
    }
    if s.waits_for_person > 0 {
        writeln!(out, "  a person must act {} times on the way", s.waits_for_person)?;
    }
    writeln!(out, "  {} stop, {} care, {} note", s.stop, s.care, s.note)?;
    writeln!(out)?;
    for caution in &report.cautions {
        writeln!(out, "  ! {caution}")?;
    }
    Ok(())
}

fn left_out(left: &LeftOut) -> String {
    let word = match left.severity {
        SeverityOut::Stop => "stop",
        SeverityOut::Care => "care",
        SeverityOut::Note => "note",
    };
    format!("{word}[{}] and {} more of the same that are not listed", left.check, left.count)
}

fn bounds(b: &BoundsOut) -> String {
    let axis = |i: usize, name: &str| format!("{name} {:.1} to {:.1}", b.min[i], b.max[i]);
    format!("{}, {}, {} mm", axis(0, "X"), axis(1, "Y"), axis(2, "Z"))
}

fn tool_line(tool: &ToolUseOut) -> String {
    let name = if tool.name.is_empty() { "not in the shop" } else { &tool.name };
    format!(
        "{:>4}  {:<34} {:<12} {:>8}  {:>8.1} m  down to {:.1} mm",
        tool.number,
        name,
        tool.place,
        clock(tool.time_s),
        tool.cut_length_mm / 1000.0,
        tool.lowest_mm
    )
}

/// Life before and after a run; none where it is not known.
fn wear_line(wear: &ToolWearOut) -> Option<String> {
    let life = wear.life.as_ref()?;
    let runs = match life.runs_left {
        Some(runs) => format!("{runs} such runs until change"),
        None => "no end in sight".to_owned(),
    };
    Some(format!(
        "{:>4}  life {:.1} % before, {:.1} % after: {runs}",
        wear.number,
        life.used_before * 100.0,
        life.used_after * 100.0
    ))
}

/// Minutes and seconds, hours where there are any.
pub fn clock(time_s: f64) -> String {
    let seconds = time_s.round().max(0.0) as u64;
    match (seconds / 3600, seconds / 60 % 60, seconds % 60) {
        (0, m, s) => format!("{m}:{s:02} min"),
        (h, m, s) => format!("{h}:{m:02}:{s:02} h"),
    }
}
