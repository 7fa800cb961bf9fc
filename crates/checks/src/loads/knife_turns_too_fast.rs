#![doc = include_str!("knife_turns_too_fast.md")]

use super::headings::{KnifeMove, knife_moves};
use super::{View, worst_by_tool};
use crate::Context;
use crate::registry::check_info;
use kw_base::FindingLog;
use kw_cutting::knife::heading_rate_rad_s;

check_info!(
    "knife-turns-too-fast",
    Care,
    "a knife must turn faster than its rotary axis can",
    "knife_turns_too_fast.md"
);

/// Room for rounding, as a share of the limit.
const SLACK: f64 = 0.02;

/// Looks at every arc, and every bend between short lines, of a turned knife.
pub(crate) fn check(ctx: &Context<'_>, view: &View<'_>, log: &mut FindingLog) {
    let Some(rotary) = &ctx.setup.machine.rotary else { return };
    let limit_deg_s = rotary.max_speed_deg_min / 60.0;
    let lift_rad = ctx.setup.machine.dialect.knife_lift_deg.to_radians();
    let fast = knife_moves(ctx).into_iter().filter_map(|k| {
        let rate_deg_s = rate_rad_s(view, &k, lift_rad)?.to_degrees();
        (rate_deg_s > limit_deg_s * (1.0 + SLACK)).then_some((k.tool, rate_deg_s, k.move_index))
    });
    for (tool, worst) in &worst_by_tool(fast) {
        if !INFO.wanted(log) {
            continue;
        }
        let m = ctx.reading.toolpath.get(worst.at);
        let setting = ctx.setup.settings.machine.find("rotary.max_speed_deg_min");
        log.push_wanted(
            INFO.finding(
                ctx.place_of_first_word(m.block_at, &['F', 'X', 'Y', 'I', 'J', 'R']),
                format!(
                    "knife {tool} would have to turn {:.0}°/s to follow{}",
                    worst.excess,
                    worst.others("moves")
                ),
            )
            .with_label(format!("the rotary axis turns {limit_deg_s:.0}°/s, set in {setting}"))
            .with_value(worst.excess, "°/s")
            .with_limit(limit_deg_s, Some(setting))
            .at_move(worst.at as u32, m.tip_to_mm().to_array())
            .with_help("feed slower on this curve, or make it wider"),
        );
    }
}

/// Rate of the heading at the speed the plan reaches: along an arc, or over a bend too small to
/// lift for, from the middle of one line to the middle of the next.
fn rate_rad_s(view: &View<'_>, k: &KnifeMove, lift_rad: f64) -> Option<f64> {
    let speed_mm_s = f64::from(view.plan.peak_speed[k.move_index]);
    let on_arc = k.radius_mm.and_then(|radius| heading_rate_rad_s(speed_mm_s, radius));
    let at_bend = k.before.filter(|_| k.turn_rad > 0.0 && k.turn_rad <= lift_rad).map(|before| {
        let time_s = view.plan.duration_s(before) + view.plan.duration_s(k.move_index);
        2.0 * k.turn_rad / time_s.max(f64::MIN_POSITIVE)
    });
    on_arc.into_iter().chain(at_bend).reduce(f64::max)
}
