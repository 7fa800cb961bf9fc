#![doc = include_str!("cut_without_spindle.md")]

use crate::Context;
use crate::excursion::{Excursion, Worst};
use crate::registry::check_info;
use kw_base::FindingLog;
use kw_geometry::Bounds;
use kw_model::HeadKind;
use kw_nc::{Move, MoveState, SpindleTurn};

check_info!(
    "cut-without-spindle",
    Stop,
    "a cut runs while the spindle stands or the knife does not stroke",
    "cut_without_spindle.md"
);

/// Follows runs of cuts with a tool that should turn or stroke and does not.
#[derive(Default)]
pub struct CutWithoutSpindle {
    excursion: Excursion,
}

impl CutWithoutSpindle {
    /// Takes the next move with the box of its tip positions.
    pub fn visit(&mut self, ctx: &Context<'_>, m: &Move<'_>, tip: &Bounds, log: &mut FindingLog) {
        let cuts = m.is_feed() && ctx.reaches_below_surface(tip);
        let idle = cuts && stands(ctx, m.state);
        if let Some(worst) = self.excursion.visit(m.index, if idle { 1.0 } else { 0.0 }) {
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

/// Whether the tool in work should move by itself and does not.
fn stands(ctx: &Context<'_>, state: &MoveState) -> bool {
    match ctx.setup.machine.head.get(usize::from(state.head)).map(|h| h.kind) {
        Some(HeadKind::Spindle) => state.spindle == SpindleTurn::Still || state.spindle_rpm <= 0.0,
        Some(HeadKind::OscillatingKnife) => !state.knife_on,
        _ => false,
    }
}

fn report(ctx: &Context<'_>, worst: Worst, log: &mut FindingLog) {
    if !INFO.wanted(log) {
        return;
    }
    let m = ctx.reading.toolpath.get(worst.move_index);
    let what = match ctx.setup.machine.head.get(usize::from(m.state.head)).map(|h| h.kind) {
        Some(HeadKind::OscillatingKnife) => "the knife does not stroke",
        _ => "the spindle stands still",
    };
    let more = match worst.moves {
        1 => String::new(),
        2 => ", and on the move after it".to_owned(),
        n => format!(", and on the {} moves after it", n - 1),
    };
    log.push_wanted(
        INFO.finding(
            kw_base::Place::Text(ctx.block(&m)),
            format!("{what} during this cut{more}"),
        )
        .with_label("cuts below the sheet's surface")
        .at_move(m.index as u32, m.tip_to_mm().to_array())
        .with_help("start it before the cut: S with M3, or the knife's own code, and look for an M5 that stops it"),
    );
}
