//! From a program's text and a setup to everything that is known of it.

use crate::fit::into_stop::IntoStop;
use crate::fit::outside_sheet::OutsideSheet;
use crate::fit::outside_table::OutsideTable;
use crate::fit::rapid_below_surface::RapidBelowSurface;
use crate::fit::too_deep::TooDeep;
use crate::fit::travel_exceeded::TravelExceeded;
use crate::loads::{self, ToolWork, View};
use crate::material::{self, Material, sheet_not_mapped};
use crate::program::cut_without_spindle::CutWithoutSpindle;
use crate::program::feed_above_axis::FeedAboveAxis;
use crate::program::feed_zero::FeedZero;
use crate::program::{plane_not_stated, program_not_ended, units_not_stated};
use crate::tools::length_not_applied::LengthNotApplied;
use crate::tools::tool_never_called::ToolNeverCalled;
use crate::tools::{
    rating_missing, speed_above_rating, speed_outside_spindle, tool_not_in_magazine,
    tool_not_measured, tool_unknown,
};
use crate::totals::{ToolUse, Totals, add_up};
use crate::{Context, infos};
use kw_base::{FindingLog, Sources};
use kw_model::Setup;
use kw_motion::{Limits, LimitsError, PlanOptions, TimePlan};
use kw_nc::{Event, EventKind, Move, ReadContext, Reading, SpindleTurn};

/// Everything that is known of one program in one setup.
pub struct Analysis {
    /// What the program means.
    pub reading: Reading,
    /// When each move runs.
    pub plan: TimePlan,
    /// What the program makes of the sheet; `None` if the sheet could not be mapped.
    pub material: Option<Material>,
    /// What its tools go through; `None` if the sheet could not be mapped.
    pub work: Option<ToolWork>,
    /// What reading and checks have to say, heaviest first.
    pub findings: FindingLog,
    /// Lengths, times, boxes.
    pub totals: Totals,
    /// What each tool does, in order of first use.
    pub tools: Vec<ToolUse>,
}

/// Reads a program, plans its time and runs every check.
///
/// The first file of `sources` is the program, any others hold subprograms. What cannot be read is
/// a finding. Errors: a machine that lacks what any program needs.
pub fn analyse(sources: &Sources, setup: &Setup) -> Result<Analysis, LimitsError> {
    analyse_with(sources, setup, &AnalyseOptions::default())
}

/// How a program is analysed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnalyseOptions {
    /// Side of a cell of the depth map, mm; 0.1 to 2.
    pub step_mm: f64,
}

impl Default for AnalyseOptions {
    fn default() -> Self {
        Self { step_mm: 0.5 }
    }
}

/// As [`analyse`], with options.
pub fn analyse_with(
    sources: &Sources,
    setup: &Setup,
    options: &AnalyseOptions,
) -> Result<Analysis, LimitsError> {
    let limits = Limits::from_setup(setup)?;
    let mut reading = kw_nc::read(sources, &ReadContext::from_setup(setup));
    let mut findings = std::mem::take(&mut reading.findings);
    let plan = kw_motion::plan(&reading.toolpath, &limits, &PlanOptions::default());
    let swept = Material::of(&reading.toolpath, setup, options.step_mm);
    let ctx = Context::new(sources, &reading, setup, swept.as_ref().ok());
    if let Err(error) = &swept {
        sheet_not_mapped::tell(&ctx, error, &mut findings);
    }
    check_moves(&ctx, &mut findings);
    check_events(&ctx, &mut findings);
    material::check(&ctx, &mut findings);
    let work = ctx.material.map(|material| {
        let work = ToolWork::of(&reading.toolpath, &plan, material, setup);
        loads::check(&ctx, &View { plan: &plan, work: &work }, &mut findings);
        work
    });
    units_not_stated::check(&ctx, &mut findings);
    plane_not_stated::check(&ctx, &mut findings);
    program_not_ended::check(&ctx, &mut findings);
    findings.sort();
    debug_assert!(findings.findings().iter().all(|f| infos().iter().any(|i| i.name == f.check)));
    let (totals, tools) = add_up(&ctx, &plan);
    let material = swept.ok();
    Ok(Analysis { reading, plan, material, work, findings, totals, tools })
}

/// The checks that look at every move, in one pass.
struct MoveChecks<'a> {
    travel: TravelExceeded,
    sheet: OutsideSheet,
    table: OutsideTable,
    stop: IntoStop<'a>,
    deep: TooDeep,
    rapid: RapidBelowSurface,
    feed_zero: FeedZero,
    feed_axis: FeedAboveAxis,
    spindle: CutWithoutSpindle,
    no_tool: ToolNeverCalled,
    length: LengthNotApplied,
}

fn check_moves(ctx: &Context<'_>, log: &mut FindingLog) {
    let path = &ctx.reading.toolpath;
    let mut checks = MoveChecks {
        travel: TravelExceeded::default(),
        sheet: OutsideSheet::default(),
        table: OutsideTable::default(),
        stop: IntoStop::new(&ctx.setup.machine.stop, &path.events),
        deep: TooDeep::default(),
        rapid: RapidBelowSurface::default(),
        feed_zero: FeedZero::default(),
        feed_axis: FeedAboveAxis::new(ctx),
        spindle: CutWithoutSpindle::default(),
        no_tool: ToolNeverCalled::default(),
        length: LengthNotApplied::default(),
    };
    for m in path.moves() {
        checks.visit(ctx, &m, log);
    }
    checks.finish(ctx, log);
}

impl MoveChecks<'_> {
    fn visit(&mut self, ctx: &Context<'_>, m: &Move<'_>, log: &mut FindingLog) {
        let axes = m.axis_bounds();
        let tip = axes.shifted(m.state.tip_offset_mm);
        self.travel.visit(ctx, m, &axes, log);
        self.sheet.visit(ctx, m, &tip, log);
        self.table.visit(ctx, m, &tip, log);
        self.stop.visit(ctx, m, &tip, log);
        self.deep.visit(ctx, m, &tip, log);
        self.rapid.visit(ctx, m, &tip, log);
        self.feed_zero.visit(ctx, m, log);
        self.feed_axis.visit(ctx, m, log);
        self.spindle.visit(ctx, m, &tip, log);
        self.no_tool.visit(ctx, m, &tip, log);
        self.length.visit(ctx, m, &tip, log);
    }

    fn finish(&mut self, ctx: &Context<'_>, log: &mut FindingLog) {
        self.travel.finish(ctx, log);
        self.sheet.finish(ctx, log);
        self.table.finish(ctx, log);
        self.deep.finish(ctx, log);
        self.feed_zero.finish(ctx, log);
        self.feed_axis.finish(ctx, log);
        self.spindle.finish(ctx, log);
    }
}

fn check_events(ctx: &Context<'_>, log: &mut FindingLog) {
    let mut tool = None;
    for event in &ctx.reading.toolpath.events {
        match event.kind {
            EventKind::ToolChange { to, .. } => {
                tool = to;
                if let Some(number) = to {
                    tool_unknown::visit(ctx, number, event.block_at, log);
                    tool_not_in_magazine::visit(ctx, number, event.block_at, log);
                    tool_not_measured::visit(ctx, number, event.block_at, log);
                    rating_missing::visit(ctx, number, event.block_at, log);
                }
            }
            EventKind::Spindle { turn, speed_rpm } if turn != SpindleTurn::Still => {
                check_speed(ctx, event, tool, speed_rpm, log);
            }
            _ => {}
        }
    }
}

fn check_speed(
    ctx: &Context<'_>,
    event: &Event,
    tool: Option<u32>,
    speed_rpm: f64,
    log: &mut FindingLog,
) {
    if let Some(entry) = tool.and_then(|number| ctx.setup.tool(number)) {
        speed_above_rating::visit(ctx, &entry.kind, speed_rpm, event.block_at, log);
    }
    let path = &ctx.reading.toolpath;
    let next = (event.before_move as usize).min(path.len().saturating_sub(1));
    let head = path.state.get(next).map_or(0, |&s| path.states[s as usize].head);
    if let Some(head) = ctx.setup.machine.head.get(usize::from(head)) {
        speed_outside_spindle::visit(ctx, head, speed_rpm, event.block_at, log);
    }
}
