#![doc = include_str!("torque_above_spindle.md")]

use super::spindle::{Short, Taken, curve_setting, taken};
use super::{SET_BY, View, Weighed, WorstOfTool, worst_by_tool};
use crate::Context;
use crate::registry::check_info;
use kw_base::{Finding, FindingLog, Severity};

check_info!(
    "torque-above-spindle",
    Stop,
    "a cut takes more torque than the spindle gives at any speed",
    "torque_above_spindle.md"
);

/// Looks at the torque of every move.
pub(crate) fn check(ctx: &Context<'_>, view: &View<'_>, log: &mut FindingLog) {
    let over = taken(ctx, view).filter_map(|t| {
        let (short, severity) = t.short_of()?;
        let share = t.torque_nm[0] / t.has_torque_nm;
        (short == Short::Torque).then_some((t.tool, share, (t, severity)))
    });
    for worst in worst_by_tool(over).values() {
        tell(ctx, worst, log);
    }
}

fn tell(ctx: &Context<'_>, worst: &WorstOfTool<(Taken, Severity)>, log: &mut FindingLog) {
    let (t, severity) = worst.at;
    let m = ctx.reading.toolpath.get(t.move_index);
    let [likely, high] = t.torque_nm;
    let setting = curve_setting(ctx, t.move_index);
    Weighed { check: INFO.name, severity }.push(log, |w| {
        Finding::new(
            w.check,
            w.severity,
            ctx.place_of_first_word(m.block_at, &SET_BY),
            format!(
                "tool {} takes {likely:.2} N·m here, up to {high:.2} N·m in the material's band{}",
                t.tool,
                worst.others("moves")
            ),
        )
        .with_label(format!(
            "the spindle gives at most {:.2} N·m, set in {setting}",
            t.has_torque_nm
        ))
        .with_value(if severity == Severity::Stop { likely } else { high }, "N·m")
        .with_limit(t.has_torque_nm, Some(setting.clone()))
        .at_move(t.move_index as u32, m.tip_to_mm().to_array())
        .with_help("cut less deep or less wide, feed slower, or take a smaller cutter")
    });
}
