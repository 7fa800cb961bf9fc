#![doc = include_str!("length_not_applied.md")]

use crate::Context;
use crate::registry::check_info;
use kw_base::FindingLog;
use kw_geometry::Bounds;
use kw_nc::Move;

check_info!(
    "length-not-applied",
    Stop,
    "a tool cuts with another length than its own applied",
    "length_not_applied.md"
);

/// Applied and measured length may differ by this much, mm. Our choice: below what is measured.
const LENGTH_TOLERANCE_MM: f64 = 0.001;

/// Tells each state once that cuts with a wrong length.
#[derive(Default)]
pub struct LengthNotApplied {
    told: Vec<Option<u32>>,
}

impl LengthNotApplied {
    /// Takes the next move with the box of its tip positions.
    pub fn visit(&mut self, ctx: &Context<'_>, m: &Move<'_>, tip: &Bounds, log: &mut FindingLog) {
        if !m.is_feed() || self.told.contains(&m.state.tool) {
            return;
        }
        let Some(entry) = ctx.tool(m.state) else { return };
        let Some(length) = entry.tool.length_mm else { return };
        let applied = if m.state.length_applied { m.state.applied_length_mm } else { 0.0 };
        let near = ctx.sheet_top_z_mm + length;
        if (applied - length).abs() <= LENGTH_TOLERANCE_MM || tip.min.z > near {
            return;
        }
        self.told.push(m.state.tool);
        if !INFO.wanted(log) {
            return;
        }
        let number = entry.tool.number;
        let setting = ctx.setup.settings.tools.find(&format!("tool.{number}.length_mm"));
        log.push_wanted(
            INFO.finding(
                ctx.place_of_word(m.block_at, 'Z'),
                format!(
                    "tool {number} is {length:.3} mm long, but {applied:.3} mm are applied here"
                ),
            )
            .with_label(format!("length measured in {setting}"))
            .with_value(applied, "mm")
            .with_limit(length, Some(setting))
            .at_move(m.index as u32, m.tip_to_mm().to_array())
            .with_help(format!("apply its length after the change: G43 H{number}")),
        );
    }
}
