#![doc = include_str!("life_runs_out.md")]

use super::{View, Weighed};
use crate::Context;
use crate::registry::check_info;
use kw_base::{Finding, FindingLog, Severity};
use kw_cutting::program::{LevelCrossing, LifeUse};
use kw_model::setup::SetupTool;

check_info!(
    "life-runs-out",
    Care,
    "a tool passes a level of its life in this run",
    "life_runs_out.md"
);

/// Looks at the life used of every tool.
pub(crate) fn check(ctx: &Context<'_>, view: &View<'_>, log: &mut FindingLog) {
    for wear in &view.work.wear {
        let (Some(life), Some(entry)) = (wear.life, ctx.setup.tool(wear.number)) else { continue };
        let (stop, care) = (entry.tool.life_stop, entry.tool.life_care);
        if let Some(at) = life.crosses_stop {
            tell(ctx, (entry, &life), (Severity::Stop, "change", stop), at, log);
        } else if let Some(at) = life.crosses_care {
            tell(ctx, (entry, &life), (Severity::Care, "care", care), at, log);
        }
    }
}

fn tell(
    ctx: &Context<'_>,
    (entry, life): (&SetupTool, &LifeUse),
    (severity, level, share): (Severity, &str, f64),
    at: LevelCrossing,
    log: &mut FindingLog,
) {
    let m = ctx.reading.toolpath.get(at.move_index as usize);
    let block = ctx.block(&m);
    let line = ctx.sources.file_of(block.start).map_or(0, |f| f.line_column(block.start).line);
    let number = entry.tool.number;
    let key = if severity == Severity::Stop { "life_stop" } else { "life_care" };
    let setting = ctx.setup.settings.tools.find(&format!("tool.{number}.{key}"));
    Weighed { check: INFO.name, severity }.push(log, |w| {
        Finding::new(
            w.check,
            w.severity,
            kw_base::Place::Text(block),
            format!(
                "this run takes tool {number} from {:.0} % to {:.0} % of its life: it passes the \
                 {level} level of {:.0} % in line {line}, {} in",
                life.used_before * 100.0,
                life.used_after * 100.0,
                share * 100.0,
                span_in_words(at.time_s)
            ),
        )
        .with_label(format!("{level} level, set in {setting}"))
        .with_value(life.used_after * 100.0, "%")
        .with_limit(share * 100.0, Some(setting.clone()))
        .at_move(at.move_index, m.tip_to_mm().to_array())
        .with_help("put in a fresh tool before the run, or have one ready at this time")
    });
}

/// Minutes from two minutes on, else seconds.
fn span_in_words(time_s: f64) -> String {
    if time_s < 120.0 { format!("{time_s:.0} s") } else { format!("{:.0} min", time_s / 60.0) }
}
