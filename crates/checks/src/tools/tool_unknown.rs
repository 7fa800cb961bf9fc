#![doc = include_str!("tool_unknown.md")]

use crate::Context;
use crate::registry::check_info;
use kw_base::FindingLog;

check_info!(
    "tool-unknown",
    Stop,
    "a tool is called that the shop does not have",
    "tool_unknown.md"
);

/// Takes a call of a tool number at a block.
pub fn visit(ctx: &Context<'_>, number: u32, block_at: u32, log: &mut FindingLog) {
    if ctx.setup.tool(number).is_some() || !INFO.wanted(log) {
        return;
    }
    let known: Vec<String> = ctx.setup.tools.iter().map(|t| t.tool.number.to_string()).collect();
    let tools_file = ctx.setup.settings.tools.file();
    log.push_wanted(
        INFO.finding(
            ctx.place_of_first_word(block_at, &['T', 'M']),
            format!("tool {number} is not among the tools of {}", ctx.setup.machine.name),
        )
        .with_label(format!("{tools_file} has tools {}", known.join(", ")))
        .with_help(format!(
            "enter tool {number} in {tools_file}, or change the number in the program"
        )),
    );
}
