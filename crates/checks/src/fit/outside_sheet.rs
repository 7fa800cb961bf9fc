#![doc = include_str!("outside_sheet.md")]

use crate::Context;
use crate::excursion::{Excursion, Worst};
use crate::registry::check_info;
use kw_base::{Finding, FindingLog};
use kw_geometry::{Bounds, Vec2};
use kw_nc::Move;

check_info!("outside-sheet", Stop, "a cut runs beside the sheet", "outside_sheet.md");

/// How far beyond its own radius the tool may run past the edge, mm. Our choice: lets an edge be
/// trimmed with some overlap; larger would let a part hang over the edge unseen.
pub const EDGE_OVERRUN_MM: f64 = 0.5;

/// Longest step at which a path is held against an irregular outline, mm. Our choice: a corner of
/// an offcut missed by this much shifts the value told by less than a millimetre.
const SAMPLE_STEP_MM: f64 = 5.0;

/// Most samples on one move.
const MAX_SAMPLES: usize = 2000;

/// Follows cuts past the sheet's outline.
#[derive(Default)]
pub struct OutsideSheet {
    excursion: Excursion,
}

impl OutsideSheet {
    /// Takes the next move with the box of its tip positions.
    pub fn visit(&mut self, ctx: &Context<'_>, m: &Move<'_>, tip: &Bounds, log: &mut FindingLog) {
        let excess = if m.is_feed() && ctx.reaches_below_surface(tip) {
            excess_mm(ctx, m, tip)
        } else {
            0.0
        };
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

/// How far the tool's centre lies beyond what is allowed past the edge, mm; not above 0 if inside.
fn excess_mm(ctx: &Context<'_>, m: &Move<'_>, tip: &Bounds) -> f64 {
    let (min, max) = ctx.sheet_extent;
    let past = [min.x - tip.min.x, tip.max.x - max.x, min.y - tip.min.y, tip.max.y - max.y];
    let past_box = past.into_iter().fold(f64::NEG_INFINITY, f64::max);
    let allowed = ctx.radius_mm(m.state) + EDGE_OVERRUN_MM;
    if ctx.setup.sheet.outline_mm.is_empty() || past_box > allowed {
        return past_box - allowed;
    }
    past_outline_mm(ctx, m) - allowed
}

fn past_outline_mm(ctx: &Context<'_>, m: &Move<'_>) -> f64 {
    let steps = ((m.length_mm() / SAMPLE_STEP_MM).ceil() as usize).clamp(1, MAX_SAMPLES);
    let arc = m.tip_arc();
    let (from, to) = (m.tip_from_mm(), m.tip_to_mm());
    (0..=steps)
        .map(|i| i as f64 / steps as f64)
        .map(|t| arc.map_or_else(|| from.lerp(to, t), |a| a.point_at(t)).xy())
        .map(|p| distance_outside_mm(ctx, p))
        .fold(0.0, f64::max)
}

fn distance_outside_mm(ctx: &Context<'_>, p: Vec2) -> f64 {
    if ctx.sheet_outline.contains(p) { 0.0 } else { ctx.sheet_outline.distance_to_border_mm(p) }
}

fn report(ctx: &Context<'_>, worst: Worst, log: &mut FindingLog) {
    if INFO.wanted(log) {
        log.push_wanted(finding(ctx, worst));
    }
}

fn finding(ctx: &Context<'_>, worst: Worst) -> Finding {
    let m = ctx.reading.toolpath.get(worst.move_index);
    let radius = ctx.radius_mm(m.state);
    let beyond = worst.excess + radius + EDGE_OVERRUN_MM;
    let setting = ctx.setup.settings.sheets.find(&format!("sheet.{}.size_mm", ctx.setup.sheet.id));
    let [x, y] = ctx.setup.sheet.size_mm;
    INFO.finding(
        ctx.place_of_first_word(m.block_at, &['X', 'Y', 'I', 'J', 'R']),
        format!("the cut runs {beyond:.2} mm beyond the edge of the sheet{}", worst.others()),
    )
    .with_label(format!("sheet {x:.1} by {y:.1} mm, set in {setting}; tool radius {radius:.2} mm"))
    .with_value(beyond, "mm")
    .with_limit(radius + EDGE_OVERRUN_MM, Some(setting))
    .at_move(m.index as u32, m.tip_to_mm().to_array())
    .with_help("move the program on the sheet, take a larger sheet, or check the datum")
}
