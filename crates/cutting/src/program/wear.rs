//! Life that a program takes of each tool.

use super::columns::ProgramLoads;
use super::sums::rows_by_tool;
use super::tool::{CutterBinding, bindings, snapped_radial_mm};
use crate::chip::{Engagement, feed_per_tooth_mm, surface_speed_m_s};
use crate::loads::edge_path_m_min;
use crate::wear::{
    CuttingCondition, ReferenceLife, Segment, TaylorExponents, follow_life, whole_runs_left,
};
use kw_model::setup::SetupTool;
use kw_model::{Setup, ToolType};
use kw_motion::TimePlan;
use kw_nc::Toolpath;
use kw_stock::Stock;
use rayon::prelude::*;

/// Exponent of feed in the extended Taylor equation where the shop states none. From memory:
/// order of textbook figures for metals; none was found for panels. Life changes with feed to the
/// power −0.15/n; too high a figure lets tools that are fed fast seem to wear out early.
pub const FEED_EXPONENT: f64 = 0.15;

/// Exponent of depth, likewise.
pub const DEPTH_EXPONENT: f64 = 0.1;

/// Where a tool passes a level of life.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LevelCrossing {
    /// Move in which it passes.
    pub move_index: u32,
    /// Time since the start of the program, s.
    pub time_s: f64,
}

/// Life used of one tool.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LifeUse {
    /// Share used before the run.
    pub used_before: f64,
    /// Share used after the run; above 1 it is worn out on the way.
    pub used_after: f64,
    /// Where it passes its care level in this run.
    pub crosses_care: Option<LevelCrossing>,
    /// Where it passes its stop level in this run.
    pub crosses_stop: Option<LevelCrossing>,
    /// Whole runs of this program that fit before its stop level, this one counted; `None` if
    /// there is no end to them.
    pub runs_left: Option<u64>,
}

/// Wear of one tool in one program.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToolWear {
    /// Number that programs call.
    pub number: u32,
    /// Time in the material, straight plunges not counted, min.
    pub cutting_min: f64,
    /// Path of each edge in the material, m.
    pub edge_path_m: f64,
    /// Life used; `None` if the type's life is not known.
    pub life: Option<LifeUse>,
}

/// Life of a type at its reference, in material of abrasion 1; `None` without `x_life`.
pub fn reference_life(kind: &ToolType) -> Option<ReferenceLife> {
    let life = kind.x_life.as_ref()?;
    Some(ReferenceLife {
        life_min: life.minutes,
        at: CuttingCondition {
            speed_m_min: life.speed_m_min,
            feed_per_tooth_mm: life.feed_per_tooth_mm,
            depth_mm: life.depth_mm,
            abrasion: 1.0,
        },
        exponents: TaylorExponents {
            life: life.taylor_exponent,
            feed: FEED_EXPONENT,
            depth: DEPTH_EXPONENT,
        },
    })
}

/// Wear of each turning tool that cuts, by number: life by the extended Taylor equation at the
/// speed, feed reached and depth of each move.
pub fn tool_wear(
    loads: &ProgramLoads,
    path: &Toolpath,
    plan: &TimePlan,
    stock: &Stock,
    setup: &Setup,
) -> Vec<ToolWear> {
    let run = Run { loads, path, plan, stock, setup, bindings: bindings(path, setup) };
    let rows = rows_by_tool(loads, path);
    rows.iter().filter_map(|(&tool, rows)| run.of_tool(setup.tool(tool)?, rows)).collect()
}

struct Run<'a> {
    loads: &'a ProgramLoads,
    path: &'a Toolpath,
    plan: &'a TimePlan,
    stock: &'a Stock,
    setup: &'a Setup,
    bindings: Vec<Option<CutterBinding>>,
}

/// A move of a tool in the material.
struct Stretch {
    row: usize,
    time_min: f64,
    edge_path_m: f64,
    /// How long the tool would last like this, min; endless if its life is not known.
    life_min: f64,
}

impl Run<'_> {
    fn of_tool(&self, entry: &SetupTool, rows: &[usize]) -> Option<ToolWear> {
        let life = reference_life(&entry.kind);
        let stretches: Vec<Stretch> = rows
            .par_iter()
            .with_min_len(1024)
            .filter_map(|&row| self.stretch(row, life.as_ref()))
            .collect();
        Some(ToolWear {
            number: entry.tool.number,
            cutting_min: stretches.iter().map(|s| s.time_min).sum(),
            edge_path_m: stretches.iter().map(|s| s.edge_path_m).sum(),
            life: life.map(|_| self.life_use(entry, &stretches)),
        })
    }

    fn stretch(&self, row: usize, life: Option<&ReferenceLife>) -> Option<Stretch> {
        let index = self.loads.move_index[row] as usize;
        let binding = self.bindings[self.path.state[index] as usize].as_ref()?;
        let moves = &self.stock.moves;
        let measured = f64::from(moves.radial_width_mm[index]);
        let cutter = binding.at_depth(f64::from(moves.bite_mm[index]), measured);
        let diameter = cutter.diameter_mm;
        let cut = Engagement::new(diameter, snapped_radial_mm(measured, diameter))?;
        let time_min = f64::from(self.loads.duration_s[row]) / 60.0;
        let way = f64::from(self.loads.way_mm[row]);
        let feed = if time_min > 0.0 { way / time_min } else { self.path.feed[index] };
        let condition = CuttingCondition {
            speed_m_min: surface_speed_m_s(diameter, binding.speed_rpm) * 60.0,
            feed_per_tooth_mm: feed_per_tooth_mm(feed, binding.speed_rpm, cutter.flutes)?,
            depth_mm: f64::from(moves.axial_depth_mm[index]),
            abrasion: self.setup.material.relative_abrasion,
        };
        Some(Stretch {
            row,
            time_min,
            edge_path_m: edge_path_m_min(&cut, binding.speed_rpm) * time_min,
            life_min: life.map_or(f64::INFINITY, |life| life.life_min(&condition)),
        })
    }

    fn life_use(&self, entry: &SetupTool, stretches: &[Stretch]) -> LifeUse {
        let segments =
            || stretches.iter().map(|s| Segment { time_min: s.time_min, life_min: s.life_min });
        let tool = &entry.tool;
        let crossing = |level: f64| {
            if tool.life_used >= level {
                return None;
            }
            let at = follow_life(tool.life_used, level, segments()).crossing?;
            let row = stretches[at.segment].row;
            let index = self.loads.move_index[row];
            let start_s = self.plan.start_s(index as usize);
            let time_s = start_s + at.fraction * f64::from(self.loads.duration_s[row]);
            Some(LevelCrossing { move_index: index, time_s })
        };
        let track = follow_life(tool.life_used, tool.life_stop, segments());
        let used = track.used_at_end - tool.life_used;
        LifeUse {
            used_before: tool.life_used,
            used_after: track.used_at_end,
            crosses_care: crossing(tool.life_care),
            crosses_stop: crossing(tool.life_stop),
            runs_left: whole_runs_left(tool.life_used, tool.life_stop, used),
        }
    }
}
