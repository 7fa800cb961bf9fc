#![doc = include_str!("chip_too_thin.md")]

use super::windows::{Judged, judged};
use super::{SET_BY, View, Weighed, WorstOfTool, longest_move, worst_by_tool};
use crate::Context;
use crate::registry::check_info;
use kw_base::{Finding, FindingLog, Severity};

check_info!(
    "chip-too-thin",
    Care,
    "the chip is thinner than the material wants",
    "chip_too_thin.md"
);

/// Chips are told as thin below this share of the window's lower end. Our choice: the windows are
/// common practice and careful shops run below them; at half, the edge's path and heat double.
const TOLD_SHARE: f64 = 0.5;

/// Looks at the median chip of every long cut.
pub(crate) fn check(ctx: &Context<'_>, view: &View<'_>, log: &mut FindingLog) {
    let thin = judged(ctx, view)
        .filter(|cut| cut.chip_mm < TOLD_SHARE * cut.window.low_mm || rubs(cut))
        .map(|cut| (cut.tool, cut.window.low_mm / cut.chip_mm, cut));
    for worst in worst_by_tool(thin).values() {
        tell(ctx, view, worst, log);
    }
}

/// Whether a chip is both below the window and so thin that the edge rubs.
fn rubs(cut: &Judged) -> bool {
    let rubbing = cut.family.rubbing_chip_mm();
    cut.chip_mm < cut.window.low_mm && rubbing.is_some_and(|chip| cut.chip_mm < chip.likely)
}

fn tell(ctx: &Context<'_>, view: &View<'_>, worst: &WorstOfTool<Judged>, log: &mut FindingLog) {
    let cut = worst.at;
    let Some(index) = longest_move(&view.work.loads, &view.work.loads.cuts[cut.cut]) else {
        return;
    };
    let m = ctx.reading.toolpath.get(index);
    let severity = if rubs(&cut) { Severity::Care } else { Severity::Note };
    let words = if rubs(&cut) {
        "so thin that the edge rubs and burns"
    } else {
        "less than half of the thinnest usual"
    };
    Weighed { check: INFO.name, severity }.push(log, |w| {
        Finding::new(
            w.check,
            w.severity,
            ctx.place_of_first_word(m.block_at, &SET_BY),
            format!(
                "tool {} takes chips of {:.3} mm, {words}{}",
                cut.tool,
                cut.chip_mm,
                worst.others("cuts")
            ),
        )
        .with_label(cut.window_in_words(ctx))
        .with_value(cut.chip_mm, "mm")
        .with_limit(cut.window.low_mm, None)
        .at_move(index as u32, m.tip_to_mm().to_array())
        .with_help("feed faster, turn slower, or take a cutter with fewer edges")
    });
}
