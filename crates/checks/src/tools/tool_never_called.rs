#![doc = include_str!("tool_never_called.md")]

use crate::Context;
use crate::registry::check_info;
use kw_base::FindingLog;
use kw_geometry::Bounds;
use kw_nc::Move;

check_info!(
    "tool-never-called",
    Care,
    "the program cuts before it has called a tool",
    "tool_never_called.md"
);

/// Tells the first cut made before any tool was called.
#[derive(Default)]
pub struct ToolNeverCalled {
    told: bool,
}

impl ToolNeverCalled {
    /// Takes the next move with the box of its tip positions.
    pub fn visit(&mut self, ctx: &Context<'_>, m: &Move<'_>, tip: &Bounds, log: &mut FindingLog) {
        if self.told || m.state.tool.is_some() || !m.is_feed() || !ctx.reaches_below_surface(tip) {
            return;
        }
        self.told = true;
        if INFO.wanted(log) {
            log.push_wanted(
                INFO.finding(
                    kw_base::Place::Text(ctx.block(m)),
                    "the first cut runs before any tool was called",
                )
                .with_label("cuts with whatever tool is in the head")
                .at_move(m.index as u32, m.tip_to_mm().to_array())
                .with_help("add the tool call before this block, e.g. T1 M6"),
            );
        }
    }
}
