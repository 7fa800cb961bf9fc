#![doc = include_str!("rating_missing.md")]

use crate::Context;
use crate::registry::check_info;
use kw_base::FindingLog;

check_info!(
    "rating-missing",
    Care,
    "a turning tool has no highest speed on record",
    "rating_missing.md"
);

/// Takes a call of a tool number at a block.
pub fn visit(ctx: &Context<'_>, number: u32, block_at: u32, log: &mut FindingLog) {
    let Some(entry) = ctx.setup.tool(number) else { return };
    if entry.kind.rpmx.is_some() || !entry.kind.kind.turns() || !INFO.wanted(log) {
        return;
    }
    let setting = ctx.setup.settings.tools.find(&format!("type.{}.RPMX", entry.kind.id));
    log.push_wanted(
        INFO.finding(
            ctx.place_of_first_word(block_at, &['T', 'M']),
            format!("tool {number}, {}, has no highest speed on record", entry.kind.name),
        )
        .with_label(format!("no `RPMX` in {setting}"))
        .with_limit_source(setting)
        .with_help("enter RPMX from the tool's marking or its maker's sheet; do not guess it"),
    );
}
