#![doc = include_str!("too_deep.md")]

use crate::Context;
use crate::excursion::{Excursion, Worst};
use crate::registry::check_info;
use kw_base::{Finding, FindingLog};
use kw_geometry::Bounds;
use kw_nc::Move;

check_info!("too-deep", Stop, "a move goes deeper into the spoilboard than allowed", "too_deep.md");

/// Depths beyond the limit by less than this are rounding, mm.
const ROUNDING_MM: f64 = 1e-6;

/// Follows moves below the allowed depth.
#[derive(Default)]
pub struct TooDeep {
    excursion: Excursion,
}

impl TooDeep {
    /// Takes the next move with the box of its tip positions.
    pub fn visit(&mut self, ctx: &Context<'_>, m: &Move<'_>, tip: &Bounds, log: &mut FindingLog) {
        let table = &ctx.setup.machine.table;
        let lowest = table.spoilboard_top_z_mm - table.cut_into_spoilboard_mm;
        if let Some(worst) = self.excursion.visit(m.index, lowest - ROUNDING_MM - tip.min.z) {
            report(ctx, worst, log);
        }
    }

    /// Reports a run that lasts to the end of the program.
    pub fn finish(&mut self, ctx: &Context<'_>, log: &mut FindingLog) {
        if let Some(worst) = self.excursion.finish() {
            report(ctx, worst, log);
        }
    }
}

fn report(ctx: &Context<'_>, worst: Worst, log: &mut FindingLog) {
    if INFO.wanted(log) {
        log.push_wanted(finding(ctx, worst));
    }
}

fn finding(ctx: &Context<'_>, worst: Worst) -> Finding {
    let m = ctx.reading.toolpath.get(worst.move_index);
    let allowed = ctx.setup.machine.table.cut_into_spoilboard_mm;
    let depth = allowed + worst.excess;
    let setting = ctx.setup.settings.machine.find("table.cut_into_spoilboard_mm");
    INFO.finding(
        ctx.place_of_word(m.block_at, 'Z'),
        format!(
            "the tip goes {depth:.3} mm into the spoilboard; {allowed:.3} mm are allowed{}",
            worst.others()
        ),
    )
    .with_label(format!(
        "sheet {:.2} mm thick; limit set in {setting}",
        ctx.setup.sheet.thickness_mm
    ))
    .with_value(depth, "mm")
    .with_limit(allowed, Some(setting))
    .at_move(m.index as u32, m.tip_to_mm().to_array())
    .with_help(format!(
        "raise the cut by at least {:.3} mm, or check the sheet's thickness and the tool's length",
        worst.excess
    ))
}
