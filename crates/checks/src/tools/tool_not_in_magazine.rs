#![doc = include_str!("tool_not_in_magazine.md")]

use crate::Context;
use crate::registry::check_info;
use kw_base::FindingLog;
use kw_model::ToolPlace;

check_info!(
    "tool-not-in-magazine",
    Stop,
    "a tool that is called is not at the machine",
    "tool_not_in_magazine.md"
);

/// Takes a call of a tool number at a block.
pub fn visit(ctx: &Context<'_>, number: u32, block_at: u32, log: &mut FindingLog) {
    let Some(entry) = ctx.setup.tool(number) else { return };
    let pockets = ctx.setup.machine.magazine.as_ref().map_or(0, |m| m.pockets);
    let fault = match entry.tool.place {
        ToolPlace::Shelf => format!("tool {number}, {}, is on the shelf", entry.kind.name),
        ToolPlace::Pocket(p) if p == 0 || p > pockets => format!(
            "tool {number}, {}, is said to be in pocket {p}; the magazine has pockets 1 to {pockets}",
            entry.kind.name
        ),
        _ => return,
    };
    if !INFO.wanted(log) {
        return;
    }
    let setting = ctx.setup.settings.tools.find(&format!("tool.{number}.place"));
    log.push_wanted(
        INFO.finding(ctx.place_of_first_word(block_at, &['T', 'M']), fault)
            .with_label(format!("place set in {setting}"))
            .with_limit_source(setting)
            .with_help(
                "put it into a pocket or lay it ready for hand-loading, and enter its place",
            ),
    );
}
