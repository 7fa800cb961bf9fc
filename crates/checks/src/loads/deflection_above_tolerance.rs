#![doc = include_str!("deflection_above_tolerance.md")]

use super::{SET_BY, View};
use crate::Context;
use crate::registry::check_info;
use kw_base::FindingLog;
use kw_cutting::program::DEFLECTION_TOLERANCE_MM;

check_info!(
    "deflection-above-tolerance",
    Care,
    "a cutter bends more than joints forgive",
    "deflection_above_tolerance.md"
);

/// Looks at the most that every tool bends.
pub(crate) fn check(ctx: &Context<'_>, view: &View<'_>, log: &mut FindingLog) {
    for tool in &view.work.loads.tools {
        let Some(bend) = tool.deflection_mm.filter(|b| b.likely > DEFLECTION_TOLERANCE_MM) else {
            continue;
        };
        if !INFO.wanted(log) {
            continue;
        }
        let m = ctx.reading.toolpath.get(bend.move_index as usize);
        log.push_wanted(
            INFO.finding(
                ctx.place_of_first_word(m.block_at, &SET_BY),
                format!(
                    "the tip of tool {} is pushed {:.2} mm aside, up to {:.2} mm in the material's band",
                    tool.number, bend.likely, bend.high
                ),
            )
            .with_label(format!("{DEFLECTION_TOLERANCE_MM:.1} mm is what joints forgive (our choice)"))
            .with_value(bend.likely, "mm")
            .with_limit(DEFLECTION_TOLERANCE_MM, None)
            .at_move(bend.move_index, m.tip_to_mm().to_array())
            .with_help("cut less deep or feed slower, clamp the cutter shorter, or finish in a second pass"),
        );
    }
}
