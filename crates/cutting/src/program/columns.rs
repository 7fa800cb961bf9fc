//! Loads of each cutting move, in columns.

use super::tool::{CutterBinding, cutting_law, snapped_radial_mm};
use super::{CutLoads, ToolLoads};
use crate::chip::{self, Engagement};
use crate::force::{CuttingLaw, Layer, RADIAL_SHARE};
use crate::loads::{Bite, Loads, Setting};
use kw_base::Band;
use kw_model::Setup;
use kw_motion::TimePlan;
use kw_nc::{MoveKind, Toolpath};
use kw_stock::{MoveFlags, Stock};
use rayon::prelude::*;
use std::ops::Range;

/// A load of a move. Forces, power and bending are likely values; `…High` is the unsafe end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Load {
    /// Mean chip thickness at the feed reached, mm.
    MeanChip,
    /// Largest chip thickness at the feed reached, mm.
    MaxChip,
    /// Mean tangential force, N.
    Tangential,
    /// Peak force in the plane of the sheet, N.
    InPlane,
    /// Its unsafe end, N.
    InPlaneHigh,
    /// Peak force along the axis, N, positive lifting the part.
    Lift,
    /// Its end towards lifting, N.
    LiftHigh,
    /// Cutting power, W.
    Power,
    /// Its unsafe end, W.
    PowerHigh,
    /// Torque, N·m.
    Torque,
    /// Its unsafe end, N·m.
    TorqueHigh,
    /// Movement of the tip, mm; no number where the tool's lengths are not known.
    Deflection,
    /// Its unsafe end, mm.
    DeflectionHigh,
}

/// Number of columns.
const COLUMNS: usize = Load::ALL.len();
/// Number of those that need no force figures; they come first.
const CHIP_COLUMNS: usize = 2;

impl Load {
    /// All loads in the order of their columns.
    pub const ALL: [Self; 13] = [
        Self::MeanChip,
        Self::MaxChip,
        Self::Tangential,
        Self::InPlane,
        Self::InPlaneHigh,
        Self::Lift,
        Self::LiftHigh,
        Self::Power,
        Self::PowerHigh,
        Self::Torque,
        Self::TorqueHigh,
        Self::Deflection,
        Self::DeflectionHigh,
    ];
}

/// Loads of a program: a row for each move that cuts with a turning tool, and what they add up to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ProgramLoads {
    /// Move of each row, rising.
    pub move_index: Vec<u32>,
    /// Time of each row's move, s.
    pub duration_s: Vec<f32>,
    /// Way of each row's move, mm.
    pub way_mm: Vec<f32>,
    columns: Vec<Vec<f32>>,
    /// Loads of each cut, in order of the cuts.
    pub cuts: Vec<CutLoads>,
    /// Loads of each turning tool that cuts, by number.
    pub tools: Vec<ToolLoads>,
}

impl ProgramLoads {
    /// Number of moves with loads.
    pub fn len(&self) -> usize {
        self.move_index.len()
    }

    /// Whether no move has loads.
    pub fn is_empty(&self) -> bool {
        self.move_index.is_empty()
    }

    /// One load by row; empty where the material has no force figures.
    pub fn column(&self, load: Load) -> &[f32] {
        self.columns.get(load as usize).map_or(&[], Vec::as_slice)
    }

    /// Whether forces are known.
    pub fn has_forces(&self) -> bool {
        self.is_empty() || !self.column(Load::Power).is_empty()
    }

    /// Rows of a range of moves.
    pub fn rows_of(&self, moves: &Range<u32>) -> Range<usize> {
        let row = |m: u32| self.move_index.partition_point(|&index| index < m);
        row(moves.start)..row(moves.end).max(row(moves.start))
    }
}

/// What the rows are made of.
pub(super) struct Program<'a> {
    pub path: &'a Toolpath,
    pub plan: &'a TimePlan,
    pub stock: &'a Stock,
    pub bindings: &'a [Option<CutterBinding>],
}

/// Makes all rows.
pub(super) fn fill(program: &Program<'_>, setup: &Setup) -> ProgramLoads {
    let law = cutting_law(&setup.material);
    let mut loads = ProgramLoads::default();
    let end = program.path.len().min(program.stock.moves.flags.len());
    for (index, (_, duration_s)) in program.plan.times().take(end).enumerate() {
        if program.has_loads(index) {
            loads.move_index.push(index as u32);
            loads.duration_s.push(duration_s as f32);
            loads.way_mm.push(program.path.get(index).length_mm() as f32);
        }
    }
    let rows: Vec<[f32; COLUMNS]> = (0..loads.len())
        .into_par_iter()
        .with_min_len(1024)
        .map(|row| {
            let reached = f64::from(loads.way_mm[row]) / f64::from(loads.duration_s[row]) * 60.0;
            program.row(loads.move_index[row] as usize, reached, law)
        })
        .collect();
    let wanted = if law.is_some() { COLUMNS } else { CHIP_COLUMNS };
    loads.columns =
        (0..wanted).into_par_iter().map(|c| rows.iter().map(|row| row[c]).collect()).collect();
    loads
}

impl Program<'_> {
    fn has_loads(&self, index: usize) -> bool {
        let moves = &self.stock.moves;
        let flags = moves.flags[index];
        flags.has(MoveFlags::CUTS)
            && !flags.has(MoveFlags::PLUNGE)
            && matches!(self.path.kind[index], MoveKind::Line | MoveKind::Arc)
            && self.path.feed[index] > 0.0
            && moves.radial_width_mm[index] > 0.0
            && moves.axial_depth_mm[index] > 0.0
            && self.bindings[self.path.state[index] as usize].is_some()
    }

    fn row(&self, index: usize, reached_mm_min: f64, law: Option<CuttingLaw>) -> [f32; COLUMNS] {
        self.loads_of(index, reached_mm_min, law).unwrap_or([f32::NAN; COLUMNS])
    }

    fn loads_of(
        &self,
        index: usize,
        reached_mm_min: f64,
        law: Option<CuttingLaw>,
    ) -> Option<[f32; COLUMNS]> {
        let binding = self.bindings[self.path.state[index] as usize].as_ref()?;
        let moves = &self.stock.moves;
        let measured_mm = f64::from(moves.radial_width_mm[index]);
        let cutter = binding.at_depth(f64::from(moves.bite_mm[index]), measured_mm);
        let radial_mm = snapped_radial_mm(measured_mm, cutter.diameter_mm);
        let cut = Engagement::new(cutter.diameter_mm, radial_mm)?;
        let programmed = self.path.feed[index];
        let feed =
            if reached_mm_min.is_finite() { reached_mm_min.min(programmed) } else { programmed };
        let per_tooth = chip::feed_per_tooth_mm(feed, binding.speed_rpm, cutter.flutes)?;
        let mut row = [f32::NAN; COLUMNS];
        let mut set = |load: Load, value: f64| row[load as usize] = value as f32;
        set(Load::MeanChip, cut.mean_chip_mm(per_tooth));
        set(Load::MaxChip, cut.max_chip_mm(per_tooth));
        if let Some(law) = law {
            let layers = [Layer { thickness_mm: f64::from(moves.axial_depth_mm[index]), law }];
            let bite = Bite {
                layers: &layers,
                radial_mm,
                above_tip_mm: 0.0,
                radial_share: RADIAL_SHARE,
                correction: binding.correction,
            };
            let setting = Setting { speed_rpm: binding.speed_rpm, feed_mm_min: programmed };
            let loads = Loads::of(&cutter, &bite, setting)?;
            let mut pair = |likely: Load, high: Load, band: Band| {
                set(likely, band.likely);
                set(high, band.high);
            };
            pair(Load::InPlane, Load::InPlaneHigh, loads.in_plane_peak_n);
            pair(Load::Lift, Load::LiftHigh, loads.lift_peak_n);
            pair(Load::Power, Load::PowerHigh, loads.power_w);
            pair(Load::Torque, Load::TorqueHigh, loads.torque_nm);
            if let Some(bend) = loads.deflection_mm {
                pair(Load::Deflection, Load::DeflectionHigh, bend);
            }
            set(Load::Tangential, loads.tangential_n.likely);
        }
        Some(row)
    }
}
