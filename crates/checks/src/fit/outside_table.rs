#![doc = include_str!("outside_table.md")]

use crate::Context;
use crate::excursion::{Excursion, Worst};
use crate::registry::check_info;
use kw_base::{Finding, FindingLog};
use kw_geometry::Bounds;
use kw_nc::Move;

check_info!("outside-table", Stop, "a low move leaves the table", "outside_table.md");

/// Follows low moves past the edge of the table.
#[derive(Default)]
pub struct OutsideTable {
    excursion: Excursion,
}

impl OutsideTable {
    /// Takes the next move with the box of its tip positions.
    pub fn visit(&mut self, ctx: &Context<'_>, m: &Move<'_>, tip: &Bounds, log: &mut FindingLog) {
        let table = &ctx.setup.machine.table;
        let past = [
            table.x_mm[0] - tip.min.x,
            tip.max.x - table.x_mm[1],
            table.y_mm[0] - tip.min.y,
            tip.max.y - table.y_mm[1],
        ];
        let beyond = past.into_iter().fold(f64::NEG_INFINITY, f64::max);
        let excess = if ctx.reaches_below_surface(tip) { beyond } else { 0.0 };
        if let Some(worst) = self.excursion.visit(m.index, excess) {
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
    let table = &ctx.setup.machine.table;
    let setting = ctx.setup.settings.machine.find("table.x_mm");
    INFO.finding(
        ctx.place_of_first_word(m.block_at, &['X', 'Y', 'I', 'J', 'R']),
        format!(
            "the tool is {:.2} mm beside the table while lower than the sheet's surface{}",
            worst.excess,
            worst.others()
        ),
    )
    .with_label(format!(
        "table X {:.0} to {:.0} mm, Y {:.0} to {:.0} mm, set in {setting}",
        table.x_mm[0], table.x_mm[1], table.y_mm[0], table.y_mm[1]
    ))
    .with_value(worst.excess, "mm")
    .with_limit(0.0, Some(setting))
    .at_move(m.index as u32, m.tip_to_mm().to_array())
    .with_help("move the program onto the table, or raise the move above the sheet")
}
