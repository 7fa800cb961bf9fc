//! What the tools of a program go through, as wire types.

use kw_checks::Analysis;
use kw_cutting::program::{LevelCrossing, Peak, Spread, ToolLoads, ToolWear};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Loads of one turning tool; what is not known is left out as null.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ToolLoadsOut {
    /// Number that the program calls.
    pub number: u32,
    /// Largest chip thickness over the way in the material, mm.
    pub chip_mm: Option<SpreadOut>,
    /// Power at its greatest, W.
    pub power_w: Option<PeakOut>,
    /// Torque at its greatest, N·m.
    pub torque_nm: Option<PeakOut>,
    /// Peak force in the plane of the sheet, N.
    pub in_plane_n: Option<PeakOut>,
    /// Peak lift, N; negative presses the part down.
    pub lift_n: Option<PeakOut>,
    /// Movement of the tip, mm.
    pub deflection_mm: Option<PeakOut>,
}

/// Least, median and greatest value.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SpreadOut {
    /// Least.
    pub min: f64,
    /// Median over the way.
    pub median: f64,
    /// Greatest.
    pub max: f64,
}

/// A greatest value with the unsafe end of its band.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PeakOut {
    /// Likely value.
    pub likely: f64,
    /// Unsafe end of the band.
    pub high: f64,
    /// Index of the move.
    pub move_index: u32,
}

/// Wear of one turning tool in this program.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ToolWearOut {
    /// Number that the program calls.
    pub number: u32,
    /// Time in the material, straight plunges not counted, min.
    pub cutting_min: f64,
    /// Path of each edge in the material, m.
    pub edge_path_m: f64,
    /// Life; null where the type's life is not known.
    pub life: Option<LifeOut>,
}

/// Life of one tool before and after a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct LifeOut {
    /// Share used before, 1 is worn out.
    pub used_before: f64,
    /// Share used after.
    pub used_after: f64,
    /// Where it passes its care level; null if it does not.
    pub crosses_care: Option<CrossingOut>,
    /// Where it passes its change level; null if it does not.
    pub crosses_stop: Option<CrossingOut>,
    /// Whole runs that fit before the change level, this one counted; null if there is no end.
    pub runs_left: Option<u64>,
}

/// Where a level of life is passed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CrossingOut {
    /// Index of the move.
    pub move_index: u32,
    /// Time since the start, s.
    pub time_s: f64,
}

/// Loads by tool; empty if the sheet could not be mapped.
pub fn loads_of(analysis: &Analysis) -> Vec<ToolLoadsOut> {
    let tools = analysis.work.as_ref().map(|work| work.loads.tools.as_slice());
    tools.unwrap_or_default().iter().map(ToolLoadsOut::from).collect()
}

/// Wear by tool; empty if the sheet could not be mapped.
pub fn wear_of(analysis: &Analysis) -> Vec<ToolWearOut> {
    let tools = analysis.work.as_ref().map(|work| work.wear.as_slice());
    tools.unwrap_or_default().iter().map(ToolWearOut::from).collect()
}

impl From<&ToolLoads> for ToolLoadsOut {
    fn from(tool: &ToolLoads) -> Self {
        Self {
            number: tool.number,
            chip_mm: tool.chip_mm.map(SpreadOut::from),
            power_w: tool.power_w.map(PeakOut::from),
            torque_nm: tool.torque_nm.map(PeakOut::from),
            in_plane_n: tool.in_plane_n.map(PeakOut::from),
            lift_n: tool.lift_n.map(PeakOut::from),
            deflection_mm: tool.deflection_mm.map(PeakOut::from),
        }
    }
}

impl From<Spread> for SpreadOut {
    fn from(spread: Spread) -> Self {
        Self { min: spread.min, median: spread.median, max: spread.max }
    }
}

impl From<Peak> for PeakOut {
    fn from(peak: Peak) -> Self {
        Self { likely: peak.likely, high: peak.high, move_index: peak.move_index }
    }
}

impl From<&ToolWear> for ToolWearOut {
    fn from(wear: &ToolWear) -> Self {
        Self {
            number: wear.number,
            cutting_min: wear.cutting_min,
            edge_path_m: wear.edge_path_m,
            life: wear.life.map(|life| LifeOut {
                used_before: life.used_before,
                used_after: life.used_after,
                crosses_care: life.crosses_care.map(CrossingOut::from),
                crosses_stop: life.crosses_stop.map(CrossingOut::from),
                runs_left: life.runs_left,
            }),
        }
    }
}

impl From<LevelCrossing> for CrossingOut {
    fn from(at: LevelCrossing) -> Self {
        Self { move_index: at.move_index, time_s: at.time_s }
    }
}
