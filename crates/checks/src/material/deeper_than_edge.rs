#![doc = include_str!("deeper_than_edge.md")]

use super::Material;
use crate::Context;
use crate::excursion::{Excursion, Worst};
use crate::registry::check_info;
use kw_base::FindingLog;

check_info!(
    "deeper-than-edge",
    Stop,
    "a move cuts deeper than the tool's edge is long",
    "deeper_than_edge.md"
);

/// Bites beyond the edge by less than this are rounding of the depth map, mm.
const ROUNDING_MM: f64 = 0.02;

/// Looks at every move for a bite deeper than the edge.
pub fn check(ctx: &Context<'_>, material: &Material, log: &mut FindingLog) {
    let path = &ctx.reading.toolpath;
    let edges: Vec<f64> = path
        .states
        .iter()
        .map(|state| ctx.tool(state).and_then(|t| t.kind.apmx_mm).unwrap_or(f64::INFINITY))
        .collect();
    let mut run = Excursion::default();
    for (index, &bite) in material.stock.moves.bite_mm.iter().enumerate() {
        let edge = edges[path.state[index] as usize];
        if let Some(worst) = run.visit(index, f64::from(bite) - edge - ROUNDING_MM) {
            tell(ctx, worst, log);
        }
    }
    if let Some(worst) = run.finish() {
        tell(ctx, worst, log);
    }
}

fn tell(ctx: &Context<'_>, worst: Worst, log: &mut FindingLog) {
    if !INFO.wanted(log) {
        return;
    }
    let m = ctx.reading.toolpath.get(worst.move_index);
    let Some(entry) = ctx.tool(m.state) else { return };
    let edge = entry.kind.apmx_mm.unwrap_or(0.0);
    let bite = edge + worst.excess + ROUNDING_MM;
    let setting = ctx.setup.settings.tools.find(&format!("type.{}.APMX", entry.kind.id));
    log.push_wanted(
        INFO.finding(
            ctx.place_of_first_word(m.block_at, &['Z', 'X', 'Y']),
            format!(
                "one pass cuts {bite:.2} mm deep with an edge {edge:.2} mm long{}",
                worst.others()
            ),
        )
        .with_label(format!("APMX of {}, set in {setting}", entry.kind.name))
        .with_value(bite, "mm")
        .with_limit(edge, Some(setting))
        .at_move(m.index as u32, m.tip_to_mm().to_array())
        .with_help("cut in more passes, or take a tool with a longer edge"),
    );
}
