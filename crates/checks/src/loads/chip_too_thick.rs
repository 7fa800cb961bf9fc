#![doc = include_str!("chip_too_thick.md")]

use super::windows::{Judged, judged};
use super::{SET_BY, View, Weighed, WorstOfTool, longest_move, worst_by_tool};
use crate::Context;
use crate::registry::check_info;
use kw_base::{Finding, FindingLog, Severity};

check_info!(
    "chip-too-thick",
    Care,
    "the chip is thicker than the edge bears in this material",
    "chip_too_thick.md"
);

/// Beyond this multiple of the window's upper end the run must not go on. Our choice: the windows
/// are common practice, so a little more is only care.
const STOP_FACTOR: f64 = 1.5;

/// Looks at the median chip of every long cut.
pub(crate) fn check(ctx: &Context<'_>, view: &View<'_>, log: &mut FindingLog) {
    let thick = judged(ctx, view)
        .filter(|cut| cut.chip_mm > cut.window.high_mm)
        .map(|cut| (cut.tool, cut.chip_mm / cut.window.high_mm, cut));
    for worst in worst_by_tool(thick).values() {
        tell(ctx, view, worst, log);
    }
}

fn tell(ctx: &Context<'_>, view: &View<'_>, worst: &WorstOfTool<Judged>, log: &mut FindingLog) {
    let cut = worst.at;
    let Some(index) = longest_move(&view.work.loads, &view.work.loads.cuts[cut.cut]) else {
        return;
    };
    let m = ctx.reading.toolpath.get(index);
    let severity = if worst.excess > STOP_FACTOR { Severity::Stop } else { Severity::Care };
    Weighed { check: INFO.name, severity }.push(log, |w| {
        Finding::new(
            w.check,
            w.severity,
            ctx.place_of_first_word(m.block_at, &SET_BY),
            format!(
                "tool {} takes chips of {:.2} mm, {:.1} times the thickest usual{}",
                cut.tool,
                cut.chip_mm,
                worst.excess,
                worst.others("cuts")
            ),
        )
        .with_label(cut.window_in_words(ctx))
        .with_value(cut.chip_mm, "mm")
        .with_limit(cut.window.high_mm, None)
        .at_move(index as u32, m.tip_to_mm().to_array())
        .with_help("feed slower, turn faster within the tool's rating, or cut less deep")
    });
}
