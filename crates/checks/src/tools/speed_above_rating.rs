#![doc = include_str!("speed_above_rating.md")]

use crate::Context;
use crate::registry::check_info;
use kw_base::FindingLog;
use kw_model::ToolType;

check_info!(
    "speed-above-rating",
    Stop,
    "the spindle turns faster than the tool is rated for",
    "speed_above_rating.md"
);

/// Takes a spindle running at `speed_rpm` with a tool, set at a block.
pub fn visit(
    ctx: &Context<'_>,
    kind: &ToolType,
    speed_rpm: f64,
    block_at: u32,
    log: &mut FindingLog,
) {
    let Some(rated) = kind.rpmx else { return };
    if speed_rpm <= rated || !INFO.wanted(log) {
        return;
    }
    let setting = ctx.setup.settings.tools.find(&format!("type.{}.RPMX", kind.id));
    log.push_wanted(
        INFO.finding(
            ctx.place_of_first_word(block_at, &['S', 'T', 'M']),
            format!(
                "{speed_rpm:.0} 1/min is above the {rated:.0} 1/min that {} is rated for",
                kind.name
            ),
        )
        .with_label(format!("RPMX set in {setting}"))
        .with_value(speed_rpm, "1/min")
        .with_limit(rated, Some(setting))
        .with_help(format!("set S to at most {rated:.0}, and the feed down in the same ratio")),
    );
}
