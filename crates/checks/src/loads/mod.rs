//! Is the cut right? What the tools go through: chips, power, bending, wear, knives at corners.

pub mod chip_too_thick;
pub mod chip_too_thin;
pub mod conventional_where_climb;
pub mod deflection_above_tolerance;
mod headings;
pub mod knife_corner_without_lift;
pub mod knife_turns_too_fast;
pub mod life_runs_out;
pub mod power_above_spindle;
mod spindle;
pub mod torque_above_spindle;
mod windows;

use crate::{Context, Material};
use kw_base::{Finding, FindingLog, Severity};
use kw_cutting::program::{CutLoads, ProgramLoads, ToolWear, program_loads, tool_wear};
use kw_model::Setup;
use kw_motion::TimePlan;
use kw_nc::Toolpath;
use std::collections::BTreeMap;

/// What the tools of a program go through.
pub struct ToolWork {
    /// Loads by move, cut and tool.
    pub loads: ProgramLoads,
    /// Wear by tool.
    pub wear: Vec<ToolWear>,
}

impl ToolWork {
    /// Loads and wear of a swept program.
    pub fn of(path: &Toolpath, plan: &TimePlan, material: &Material, setup: &Setup) -> Self {
        let loads = program_loads(path, plan, &material.stock, &material.cuts, setup);
        let wear = tool_wear(&loads, path, plan, &material.stock, setup);
        Self { loads, wear }
    }
}

/// What the checks of this family see beside the context.
pub(crate) struct View<'a> {
    pub plan: &'a TimePlan,
    pub work: &'a ToolWork,
}

/// Runs every check of this family.
pub(crate) fn check(ctx: &Context<'_>, view: &View<'_>, log: &mut FindingLog) {
    chip_too_thin::check(ctx, view, log);
    chip_too_thick::check(ctx, view, log);
    torque_above_spindle::check(ctx, view, log);
    power_above_spindle::check(ctx, view, log);
    deflection_above_tolerance::check(ctx, view, log);
    life_runs_out::check(ctx, view, log);
    conventional_where_climb::check(ctx, view, log);
    knife_corner_without_lift::check(ctx, log);
    knife_turns_too_fast::check(ctx, view, log);
}

/// The worst of several places where one tool breaks a limit, and how many there are.
#[derive(Clone, Copy, Debug, PartialEq)]
struct WorstOfTool<T> {
    at: T,
    excess: f64,
    count: usize,
}

/// Gathers, tool by tool, the worst place: a program with a wrong feed is one mistake, not one for
/// every cut.
fn worst_by_tool<T: Copy>(
    places: impl Iterator<Item = (u32, f64, T)>,
) -> BTreeMap<u32, WorstOfTool<T>> {
    let mut worst: BTreeMap<u32, WorstOfTool<T>> = BTreeMap::new();
    for (tool, excess, at) in places {
        let entry = worst.entry(tool).or_insert(WorstOfTool { at, excess, count: 0 });
        entry.count += 1;
        if excess > entry.excess {
            (entry.at, entry.excess) = (at, excess);
        }
    }
    worst
}

impl<T> WorstOfTool<T> {
    /// Words for the other places; empty if there are none.
    fn others(&self, what: &str) -> String {
        match self.count {
            0 | 1 => String::new(),
            n => format!("; worst of {n} {what} of this tool"),
        }
    }
}

/// A finding at a weight that is not always the check's usual one.
struct Weighed {
    check: &'static str,
    severity: Severity,
}

impl Weighed {
    fn push(&self, log: &mut FindingLog, make: impl FnOnce(&Self) -> Finding) {
        if log.wants(self.check, self.severity) {
            log.push_wanted(make(self));
        }
    }
}

/// The longest move of a cut, to point at; `None` without rows.
fn longest_move(loads: &ProgramLoads, cut: &CutLoads) -> Option<usize> {
    let longest = cut
        .rows
        .clone()
        .reduce(|best, row| if loads.way_mm[row] > loads.way_mm[best] { row } else { best })?;
    Some(loads.move_index[longest] as usize)
}

/// Words of a block that a load is set by, the likeliest first.
const SET_BY: [char; 7] = ['F', 'X', 'Y', 'I', 'J', 'R', 'Z'];
