//! Loads of each tool over the whole program.

use super::columns::{Load, ProgramLoads};
use super::spread::Spread;
use kw_nc::Toolpath;
use std::collections::BTreeMap;

/// The greatest value of a load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// Greatest likely value.
    pub likely: f64,
    /// Unsafe end there.
    pub high: f64,
    /// Move at which it comes.
    pub move_index: u32,
}

/// What one turning tool goes through.
#[derive(Clone, Debug, PartialEq)]
pub struct ToolLoads {
    /// Number that programs call.
    pub number: u32,
    /// Time in the material, straight plunges not counted, min.
    pub cutting_min: f64,
    /// Largest chip thickness over the way, mm.
    pub chip_mm: Option<Spread>,
    /// Power, W.
    pub power_w: Option<Peak>,
    /// Torque, N·m.
    pub torque_nm: Option<Peak>,
    /// Peak force in the plane of the sheet, N.
    pub in_plane_n: Option<Peak>,
    /// Peak lift, N.
    pub lift_n: Option<Peak>,
    /// Movement of the tip, mm.
    pub deflection_mm: Option<Peak>,
}

/// Adds up by tool, in order of number.
pub(super) fn of_tools(loads: &ProgramLoads, path: &Toolpath) -> Vec<ToolLoads> {
    let rows = rows_by_tool(loads, path);
    rows.into_iter().map(|(number, rows)| of_tool(loads, number, &rows)).collect()
}

/// Rows of each tool, in order of number.
pub(super) fn rows_by_tool(loads: &ProgramLoads, path: &Toolpath) -> BTreeMap<u32, Vec<usize>> {
    let mut rows: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for (row, &index) in loads.move_index.iter().enumerate() {
        if let Some(tool) = path.states[path.state[index as usize] as usize].tool {
            rows.entry(tool).or_default().push(row);
        }
    }
    rows
}

fn of_tool(loads: &ProgramLoads, number: u32, rows: &[usize]) -> ToolLoads {
    let chips = loads.column(Load::MaxChip);
    let peak = |likely: Load, high: Load| {
        let (likely, high) = (loads.column(likely), loads.column(high));
        let known =
            rows.iter().copied().filter(|&row| likely.get(row).is_some_and(|v| !v.is_nan()));
        let row = known.reduce(|best, row| if likely[row] > likely[best] { row } else { best })?;
        Some(Peak {
            likely: f64::from(likely[row]),
            high: f64::from(high[row]),
            move_index: loads.move_index[row],
        })
    };
    ToolLoads {
        number,
        cutting_min: rows.iter().map(|&row| f64::from(loads.duration_s[row])).sum::<f64>() / 60.0,
        chip_mm: Spread::of(rows.iter().map(|&row| (chips[row], loads.way_mm[row]))),
        power_w: peak(Load::Power, Load::PowerHigh),
        torque_nm: peak(Load::Torque, Load::TorqueHigh),
        in_plane_n: peak(Load::InPlane, Load::InPlaneHigh),
        lift_n: peak(Load::Lift, Load::LiftHigh),
        deflection_mm: peak(Load::Deflection, Load::DeflectionHigh),
    }
}
