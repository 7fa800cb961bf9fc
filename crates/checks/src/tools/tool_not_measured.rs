#![doc = include_str!("tool_not_measured.md")]

use crate::Context;
use crate::registry::check_info;
use kw_base::FindingLog;

check_info!(
    "tool-not-measured",
    Stop,
    "a tool that is called has no measured length",
    "tool_not_measured.md"
);

/// Takes a call of a tool number at a block.
pub fn visit(ctx: &Context<'_>, number: u32, block_at: u32, log: &mut FindingLog) {
    let Some(entry) = ctx.setup.tool(number) else { return };
    if entry.tool.length_mm.is_some() || !INFO.wanted(log) {
        return;
    }
    let setting = ctx.setup.settings.tools.find(&format!("tool.{number}.length_mm"));
    log.push_wanted(
        INFO.finding(
            ctx.place_of_first_word(block_at, &['T', 'M']),
            format!("tool {number}, {}, has not been measured", entry.kind.name),
        )
        .with_label(format!("no `length_mm` in {setting}"))
        .with_limit_source(setting)
        .with_help("measure it from gauge line to tip and enter the length"),
    );
}
