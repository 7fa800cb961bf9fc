#![doc = include_str!("knife_corner_without_lift.md")]

use super::headings::knife_moves;
use super::worst_by_tool;
use crate::Context;
use crate::registry::check_info;
use kw_base::FindingLog;

check_info!(
    "knife-corner-without-lift",
    Care,
    "a knife turns in the material at a sharp corner",
    "knife_corner_without_lift.md"
);

/// Turns up to this much above the limit are rounding of the program's numbers, degrees.
const ROUNDING_DEG: f64 = 0.5;

/// Looks at every corner that a turned knife takes in the material.
pub(crate) fn check(ctx: &Context<'_>, log: &mut FindingLog) {
    let limit_deg = ctx.setup.machine.dialect.knife_lift_deg;
    let corners = knife_moves(ctx).into_iter().filter_map(|k| {
        let turn_deg = k.turn_rad.to_degrees();
        (turn_deg > limit_deg + ROUNDING_DEG).then_some((k.tool, turn_deg, k.move_index))
    });
    for (tool, worst) in &worst_by_tool(corners) {
        if !INFO.wanted(log) {
            continue;
        }
        let m = ctx.reading.toolpath.get(worst.at);
        let setting = ctx.setup.settings.machine.find("dialect.knife_lift_deg");
        log.push_wanted(
            INFO.finding(
                ctx.place_of_first_word(m.block_at, &['X', 'Y', 'I', 'J', 'R']),
                format!(
                    "knife {tool} turns {:.0}° in the material{}",
                    worst.excess,
                    worst.others("corners")
                ),
            )
            .with_label(format!("above {limit_deg:.0}° it must lift, set in {setting}"))
            .with_value(worst.excess, "°")
            .with_limit(limit_deg, Some(setting))
            .at_move(worst.at as u32, m.tip_from_mm().to_array())
            .with_help("lift, turn and lower again at the corner, or round the corner"),
        );
    }
}
