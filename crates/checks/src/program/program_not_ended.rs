#![doc = include_str!("program_not_ended.md")]

use crate::Context;
use crate::registry::check_info;
use kw_base::{FindingLog, Place};

check_info!("program-not-ended", Stop, "the program never ends", "program_not_ended.md");

/// Looks for the end of the program.
pub fn check(ctx: &Context<'_>, log: &mut FindingLog) {
    let stated = &ctx.reading.stated;
    if stated.end.is_some() || stated.percent_end.is_some() || !INFO.wanted(log) {
        return;
    }
    log.push_wanted(
        INFO.finding(last_line(ctx), "the program stops here without an end (M2 or M30)")
            .with_label("last block of the program")
            .with_help(
                "add M30 as the last block; first make sure that nothing of the file is missing",
            ),
    );
}

/// The last line of the program that holds more than blanks.
fn last_line(ctx: &Context<'_>) -> Place {
    let Some(file) = ctx.sources.files().first() else { return Place::Program };
    (1..=file.line_count())
        .rev()
        .filter_map(|line| file.line_span(line))
        .find(|&span| !file.slice(span).trim_ascii().is_empty())
        .map_or(Place::Program, Place::Text)
}
