#![doc = include_str!("conventional_where_climb.md")]

use super::{View, longest_move, worst_by_tool};
use crate::Context;
use crate::registry::check_info;
use kw_base::FindingLog;
use kw_cutting::program::{CutLoads, Measure};
use kw_model::ToolKind;

check_info!(
    "conventional-where-climb",
    Note,
    "side cuts run conventional in a material that wants climb",
    "conventional_where_climb.md"
);

/// Shorter cuts are not told, mm. Our choice.
const LEAST_WAY_MM: f64 = 100.0;

/// Wider cuts are slots with both sides, as a share of the diameter. Our choice.
const SIDE_CUT_SHARE: f64 = 0.7;

/// From this share of conventional over climb on a cut counts as conventional. Our choice.
const CONVENTIONAL: f64 = -0.5;

/// Looks at every long side cut of an end mill.
pub(crate) fn check(ctx: &Context<'_>, view: &View<'_>, log: &mut FindingLog) {
    if !ctx.setup.material.climb_wanted {
        return;
    }
    let loads = &view.work.loads;
    let against = loads.cuts.iter().filter(|cut| is_conventional(ctx, cut));
    let told = worst_by_tool(against.map(|cut| (cut.tool, cut.way_mm, cut)));
    for (tool, worst) in &told {
        let Some(index) = longest_move(loads, worst.at).filter(|_| INFO.wanted(log)) else {
            continue;
        };
        let m = ctx.reading.toolpath.get(index);
        let path = format!("material.{}.climb_wanted", ctx.setup.material.id);
        let setting = ctx.setup.settings.materials.find(&path);
        log.push_wanted(
            INFO.finding(
                ctx.place_of_first_word(m.block_at, &['X', 'Y', 'I', 'J', 'R']),
                format!(
                    "tool {tool} cuts the side against the turn (conventional){}",
                    worst.others("cuts")
                ),
            )
            .with_label(format!("{} wants climb, set in {setting}", ctx.setup.material.name))
            .with_limit_source(setting)
            .at_move(index as u32, m.tip_to_mm().to_array())
            .with_help("run the contour the other way round"),
        );
    }
}

fn is_conventional(ctx: &Context<'_>, cut: &CutLoads) -> bool {
    let flat = ctx.setup.tool(cut.tool).filter(|tool| tool.kind.kind == ToolKind::EndMill);
    let diameter_mm = flat.and_then(|tool| tool.tool.diameter_mm.or(tool.kind.dc_mm));
    let median = |measure| cut.measure(measure).map(|spread| spread.median);
    match (diameter_mm, median(Measure::Radial), median(Measure::Climb)) {
        (Some(diameter_mm), Some(radial_mm), Some(climb)) => {
            cut.way_mm >= LEAST_WAY_MM
                && radial_mm < SIDE_CUT_SHARE * diameter_mm
                && climb < CONVENTIONAL
        }
        _ => false,
    }
}
