//! The loads of a whole program: the physics of this crate bound to toolpath, time plan and swept
//! material.
//!
//! Chips come from the feed really reached (length over time of each move), forces, power and
//! bending from the programmed feed, so that a ramp up to speed hides nothing. Straight plunges,
//! rapids and moves of tools without diameter or flutes have no loads. Forms that widen upwards
//! count with their width at the depth of the bite.

mod columns;
mod cuts;
mod spread;
mod sums;
mod tool;
mod wear;
mod windowed;

pub use columns::{Load, ProgramLoads};
pub use cuts::{CutLoads, Measure};
pub use spread::Spread;
pub use sums::{Peak, ToolLoads};
pub use tool::{CutterBinding, chip_family, cutting_law};
pub use wear::{
    DEPTH_EXPONENT, FEED_EXPONENT, LevelCrossing, LifeUse, ToolWear, reference_life, tool_wear,
};
pub use windowed::{BoundCut, CutGroup, DEFLECTION_TOLERANCE_MM, cut_groups, spindle_curve};

use kw_model::Setup;
use kw_motion::TimePlan;
use kw_nc::Toolpath;
use kw_stock::{Cut, Stock};

/// Loads of every cutting move, of every cut and of every tool. All arguments must belong to the
/// same program; moves beyond the shortest of them are left out.
///
/// Without force figures of the material the force columns are empty; chips are there.
pub fn program_loads(
    path: &Toolpath,
    plan: &TimePlan,
    stock: &Stock,
    cuts: &[Cut],
    setup: &Setup,
) -> ProgramLoads {
    let bindings = tool::bindings(path, setup);
    let mut loads =
        columns::fill(&columns::Program { path, plan, stock, bindings: &bindings }, setup);
    loads.cuts = cuts::of_cuts(&loads, &cuts::Material { path, stock, setup }, cuts);
    loads.tools = sums::of_tools(&loads, path);
    loads
}
