//! The setup of one run: a machine, its tools, a sheet on the table.

use crate::machine::{AxisLetter, DatumXy, DatumZ};
use crate::{Machine, Material, SettingIndex, Sheet, Tool, ToolType};
use kw_base::SettingRef;
use kw_geometry::{Polygon, Vec2, Vec3};

/// Everything a program is checked against.
#[derive(Clone, Debug, PartialEq)]
pub struct Setup {
    /// The machine.
    pub machine: Machine,
    /// Tools that belong to it, with their types.
    pub tools: Vec<SetupTool>,
    /// The sheet on the table.
    pub sheet: Sheet,
    /// Its material.
    pub material: Material,
    /// The sheet's corner of least X and Y, machine coordinates, mm.
    pub sheet_corner_mm: Vec2,
    /// Where the settings stand.
    pub settings: SetupSettings,
}

/// A tool and its type.
#[derive(Clone, Debug, PartialEq)]
pub struct SetupTool {
    /// The physical tool.
    pub tool: Tool,
    /// Its type.
    pub kind: ToolType,
}

/// Lines of the shop's files.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetupSettings {
    /// The machine's file.
    pub machine: SettingIndex,
    /// The tools' file.
    pub tools: SettingIndex,
    /// The sheets' file.
    pub sheets: SettingIndex,
    /// The materials' file.
    pub materials: SettingIndex,
}

impl Setup {
    /// The tool that programs call by this number.
    pub fn tool(&self, number: u32) -> Option<&SetupTool> {
        self.tools.iter().find(|t| t.tool.number == number)
    }

    /// Z of the sheet's upper face for a tool of length zero, machine coordinates, mm.
    pub fn sheet_top_z_mm(&self) -> f64 {
        self.machine.table.spoilboard_top_z_mm + self.sheet.thickness_mm
    }

    /// Outline of the sheet where it lies, machine coordinates.
    pub fn sheet_outline(&self) -> Polygon {
        let mut outline = self.sheet.outline();
        for point in &mut outline.points {
            *point += self.sheet_corner_mm;
        }
        outline
    }

    /// Origin of work system 1 to 9, machine coordinates, mm; `None` if the machine's file does
    /// not describe it.
    pub fn datum_origin_mm(&self, system: u8) -> Option<Vec3> {
        let datum = self.machine.datum.iter().find(|d| d.system() == Some(system))?;
        let xy = match datum.xy_from {
            DatumXy::SheetCorner => self.sheet_corner_mm,
            DatumXy::Machine => Vec2::default(),
        };
        let z = match datum.z_from {
            DatumZ::SheetTop => self.sheet_top_z_mm(),
            DatumZ::SpoilboardTop => self.machine.table.spoilboard_top_z_mm,
            DatumZ::Machine => 0.0,
        };
        Some(Vec3::new(xy.x, xy.y, z) + Vec3::from(datum.offset_mm))
    }

    /// Where an axis limit stands in the machine's file.
    pub fn axis_setting(&self, letter: AxisLetter, key: &str) -> SettingRef {
        self.settings.machine.find(&format!("axis.{letter:?}.{key}"))
    }
}
