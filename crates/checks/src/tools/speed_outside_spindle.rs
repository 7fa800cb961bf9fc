#![doc = include_str!("speed_outside_spindle.md")]

use crate::Context;
use crate::registry::check_info;
use kw_base::FindingLog;
use kw_model::Head;

check_info!(
    "speed-outside-spindle",
    Stop,
    "a speed is called that the spindle cannot run",
    "speed_outside_spindle.md"
);

/// Takes a head whose spindle is set to turn at `speed_rpm` at a block.
pub fn visit(ctx: &Context<'_>, head: &Head, speed_rpm: f64, block_at: u32, log: &mut FindingLog) {
    let Some([low, high]) = head.speed_rpm else { return };
    if (low..=high).contains(&speed_rpm) || !INFO.wanted(log) {
        return;
    }
    let limit = if speed_rpm < low { low } else { high };
    let side = if speed_rpm < low { "below" } else { "above" };
    let setting = ctx.setup.settings.machine.find(&format!("head.{}.speed_rpm", head.id));
    log.push_wanted(
        INFO.finding(
            ctx.place_of_first_word(block_at, &['S', 'M']),
            format!("{speed_rpm:.0} 1/min is {side} the {limit:.0} 1/min that the spindle can run"),
        )
        .with_label(format!("range {low:.0} to {high:.0} 1/min, set in {setting}"))
        .with_value(speed_rpm, "1/min")
        .with_limit(limit, Some(setting))
        .with_help("set S inside the range, and the feed in the same ratio"),
    );
}
