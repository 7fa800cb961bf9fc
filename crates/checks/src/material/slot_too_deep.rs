#![doc = include_str!("slot_too_deep.md")]

use super::Material;
use crate::Context;
use crate::excursion::{Excursion, Worst};
use crate::registry::check_info;
use kw_base::FindingLog;

check_info!(
    "slot-too-deep",
    Care,
    "a full-width slot is deeper than the material's rule",
    "slot_too_deep.md"
);

/// From this share of the diameter on, a cut counts as a slot. Our choice.
const SLOT_SHARE: f64 = 0.9;

/// Rounding of the depth map, mm.
const ROUNDING_MM: f64 = 0.05;

/// Looks at every move that cuts the tool's full width.
pub fn check(ctx: &Context<'_>, material: &Material, log: &mut FindingLog) {
    let Some(rule) = ctx.setup.material.max_slot_depth_diameters else { return };
    let path = &ctx.reading.toolpath;
    let moves = &material.stock.moves;
    let mut run = Excursion::default();
    for index in 0..moves.flags.len() {
        let diameter = 2.0 * ctx.radius_mm(&path.states[path.state[index] as usize]);
        let is_slot = f64::from(moves.radial_width_mm[index]) >= SLOT_SHARE * diameter;
        let depth = f64::from(moves.axial_depth_mm[index]);
        let excess =
            if is_slot && diameter > 0.0 { depth - rule * diameter - ROUNDING_MM } else { 0.0 };
        if let Some(worst) = run.visit(index, excess) {
            tell(ctx, worst, rule, log);
        }
    }
    if let Some(worst) = run.finish() {
        tell(ctx, worst, rule, log);
    }
}

fn tell(ctx: &Context<'_>, worst: Worst, rule: f64, log: &mut FindingLog) {
    if !INFO.wanted(log) {
        return;
    }
    let m = ctx.reading.toolpath.get(worst.move_index);
    let diameter = 2.0 * ctx.radius_mm(m.state);
    let limit = rule * diameter;
    let depth = limit + worst.excess + ROUNDING_MM;
    let path = format!("material.{}.max_slot_depth_diameters", ctx.setup.material.id);
    let setting = ctx.setup.settings.materials.find(&path);
    log.push_wanted(
        INFO.finding(
            ctx.place_of_first_word(m.block_at, &['Z', 'X', 'Y', 'I', 'J', 'R']),
            format!(
                "a slot of the tool's full width is {depth:.2} mm deep in one pass{}",
                worst.others()
            ),
        )
        .with_label(format!(
            "{} allows {rule:.1} diameters of {diameter:.2} mm, set in {setting}",
            ctx.setup.material.name
        ))
        .with_value(depth, "mm")
        .with_limit(limit, Some(setting))
        .at_move(m.index as u32, m.tip_to_mm().to_array())
        .with_help("cut in more passes, or wider than the tool"),
    );
}
