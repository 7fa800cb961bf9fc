#![doc = include_str!("plunge_not_possible.md")]

use super::Material;
use crate::Context;
use crate::registry::check_info;
use kw_base::FindingLog;
use kw_stock::MoveFlags;

check_info!(
    "plunge-not-possible",
    Stop,
    "a tool that cannot cut to its middle plunges into material",
    "plunge_not_possible.md"
);

/// Looks at every straight plunge into material.
pub fn check(ctx: &Context<'_>, material: &Material, log: &mut FindingLog) {
    for (index, flags) in material.stock.moves.flags.iter().enumerate() {
        if !flags.has(MoveFlags::PLUNGE) {
            continue;
        }
        let m = ctx.reading.toolpath.get(index);
        let Some(entry) = ctx.tool(m.state) else { continue };
        if entry.kind.x_can_plunge || !entry.kind.kind.turns() || !INFO.wanted(log) {
            continue;
        }
        let setting =
            ctx.setup.settings.tools.find(&format!("type.{}.x_can_plunge", entry.kind.id));
        log.push_wanted(
            INFO.finding(
                ctx.place_of_word(m.block_at, 'Z'),
                format!(
                    "tool {}, {}, goes straight down into material and does not cut to its middle",
                    entry.tool.number, entry.kind.name
                ),
            )
            .with_label(format!("x_can_plunge is false, set in {setting}"))
            .with_limit_source(setting)
            .at_move(index as u32, m.tip_to_mm().to_array())
            .with_help("ramp in, start where the material is cleared, or drill first"),
        );
    }
}
