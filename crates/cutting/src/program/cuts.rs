//! Loads of each cut: least, median and greatest over its way.

use super::columns::{Load, ProgramLoads};
use super::spread::Spread;
use super::tool::band;
use crate::knife::{FRICTION_FACTOR, drag_force_n};
use kw_base::Band;
use kw_model::Setup;
use kw_nc::Toolpath;
use kw_stock::{Cut, Stock};
use rayon::prelude::*;
use std::ops::Range;

/// What a cut was made with, beside its loads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// Axial depth, mm.
    Axial,
    /// Radial width, mm.
    Radial,
    /// Programmed feed, mm/min.
    Feed,
    /// Spindle speed, 1/min.
    Speed,
    /// Which way the edges met the material: 1 climb, −1 conventional.
    Climb,
}

const MEASURES: [Measure; 5] =
    [Measure::Axial, Measure::Radial, Measure::Feed, Measure::Speed, Measure::Climb];

/// Loads of one cut.
#[derive(Clone, Debug, PartialEq)]
pub struct CutLoads {
    /// Its tool.
    pub tool: u32,
    /// Its rows in the columns; empty for knives and for cuts of plunges only.
    pub rows: Range<usize>,
    /// Way of its rows, mm.
    pub way_mm: f64,
    /// Force that drags a knife through, N; `None` for turning tools or without severing force.
    pub knife_force_n: Option<Band>,
    loads: [Option<Spread>; Load::ALL.len()],
    measures: [Option<Spread>; MEASURES.len()],
}

impl CutLoads {
    /// Least, median and greatest of a load over the way; `None` where it is not known.
    pub fn load(&self, load: Load) -> Option<Spread> {
        self.loads[load as usize]
    }

    /// The same of what the cut was made with.
    pub fn measure(&self, measure: Measure) -> Option<Spread> {
        self.measures[measure as usize]
    }
}

/// What the loads are of.
pub(super) struct Material<'a> {
    pub path: &'a Toolpath,
    pub stock: &'a Stock,
    pub setup: &'a Setup,
}

impl Material<'_> {
    fn value(&self, measure: Measure, index: usize) -> f32 {
        let moves = &self.stock.moves;
        match measure {
            Measure::Axial => moves.axial_depth_mm[index],
            Measure::Radial => moves.radial_width_mm[index],
            Measure::Climb => moves.climb[index],
            Measure::Feed => self.path.feed[index] as f32,
            Measure::Speed => self.path.states[self.path.state[index] as usize].spindle_rpm as f32,
        }
    }

    fn knife_force_n(&self, cut: &Cut) -> Option<Band> {
        let entry = self.setup.tool(cut.tool).filter(|t| is_knife(t))?;
        let severing = band(self.setup.material.severing_n_mm.as_ref()?);
        let most = entry.kind.x_max_cut_depth_mm.unwrap_or(f64::INFINITY);
        let depth_mm = cut.depth_mm.min(self.setup.sheet.thickness_mm).min(most);
        Some(drag_force_n(severing, depth_mm, FRICTION_FACTOR))
    }
}

fn is_knife(entry: &kw_model::setup::SetupTool) -> bool {
    matches!(kw_stock::StockTool::of(entry).cutter, Ok(kw_stock::setup::Cutter::Knife { .. }))
}

/// Loads of cuts, column by column side by side.
pub(super) fn of_cuts(
    loads: &ProgramLoads,
    material: &Material<'_>,
    cuts: &[Cut],
) -> Vec<CutLoads> {
    let rows: Vec<Range<usize>> = cuts.iter().map(|cut| loads.rows_of(&cut.moves)).collect();
    let spreads = |value: &(dyn Fn(usize) -> f32 + Sync)| -> Vec<Option<Spread>> {
        let of = |rows: &Range<usize>| {
            Spread::of(rows.clone().map(|row| (value(row), loads.way_mm[row])))
        };
        rows.par_iter().map(of).collect()
    };
    let by_load: Vec<Vec<Option<Spread>>> = Load::ALL
        .iter()
        .map(|&load| {
            let column = loads.column(load);
            spreads(&|row| column.get(row).copied().unwrap_or(f32::NAN))
        })
        .collect();
    let by_measure: Vec<Vec<Option<Spread>>> = MEASURES
        .iter()
        .map(|&m| spreads(&|row| material.value(m, loads.move_index[row] as usize)))
        .collect();
    cuts.iter()
        .zip(rows)
        .enumerate()
        .map(|(i, (cut, rows))| CutLoads {
            tool: cut.tool,
            way_mm: loads.way_mm[rows.clone()].iter().map(|&way| f64::from(way)).sum(),
            rows,
            knife_force_n: material.knife_force_n(cut),
            loads: std::array::from_fn(|column| by_load[column][i]),
            measures: std::array::from_fn(|measure| by_measure[measure][i]),
        })
        .collect()
}
