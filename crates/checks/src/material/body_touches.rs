#![doc = include_str!("body_touches.md")]

use super::Material;
use crate::Context;
use crate::excursion::Excursion;
use crate::registry::check_info;
use kw_base::FindingLog;
use kw_stock::MoveFlags;

check_info!("body-touches", Stop, "shank or holder of a tool touches the sheet", "body_touches.md");

/// Looks at every move for contact above the edge.
pub fn check(ctx: &Context<'_>, material: &Material, log: &mut FindingLog) {
    for (flag, part, limit) in
        [(MoveFlags::SHANK_TOUCHES, "shank", "LU"), (MoveFlags::HOLDER_TOUCHES, "holder", "LPR")]
    {
        let mut run = Excursion::default();
        for (index, flags) in material.stock.moves.flags.iter().enumerate() {
            let touches = if flags.has(flag) { 1.0 } else { 0.0 };
            if let Some(worst) = run.visit(index, touches) {
                tell(ctx, worst.move_index, part, limit, log);
            }
        }
        if let Some(worst) = run.finish() {
            tell(ctx, worst.move_index, part, limit, log);
        }
    }
}

fn tell(ctx: &Context<'_>, index: usize, part: &str, limit: &str, log: &mut FindingLog) {
    if !INFO.wanted(log) {
        return;
    }
    let m = ctx.reading.toolpath.get(index);
    let Some(entry) = ctx.tool(m.state) else { return };
    let depth = ctx.sheet_top_z_mm - m.tip_bounds().min.z;
    let reach = match limit {
        "LU" => entry.kind.lu_mm.or(entry.kind.apmx_mm),
        _ => entry.kind.lpr_mm,
    };
    let setting = ctx.setup.settings.tools.find(&format!("type.{}.{limit}", entry.kind.id));
    log.push_wanted(
        INFO.finding(
            ctx.place_of_first_word(m.block_at, &['Z', 'X', 'Y']),
            format!(
                "the {part} of tool {}, {}, touches the sheet {depth:.2} mm deep",
                entry.tool.number, entry.kind.name
            ),
        )
        .with_label(format!("{limit} {:.2} mm, set in {setting}", reach.unwrap_or(0.0)))
        .with_value(depth, "mm")
        .with_limit(reach.unwrap_or(0.0), Some(setting))
        .at_move(index as u32, m.tip_to_mm().to_array())
        .with_help("take a tool with more usable length, cut a wider way, or cut less deep"),
    );
}
