//! What the sweep must know of sheet, tools and machine.

use crate::profile::{Profile, ProfileGap};
use kw_geometry::Polygon;
use kw_model::machine::AxisLetter;
use kw_model::setup::SetupTool;
use kw_model::{Setup, ToolKind};

/// Sheet, tools and the machine's habit on rapids, in machine coordinates.
#[derive(Clone, Debug, PartialEq)]
pub struct StockSetup {
    /// Outline of the sheet where it lies.
    pub outline: Polygon,
    /// Z of the sheet's upper face, mm.
    pub top_z_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// How deep cuts may go into the spoilboard, mm; the map reaches 3 mm deeper still.
    pub cut_into_spoilboard_mm: f64,
    /// The tools.
    pub tools: Vec<StockTool>,
    /// Highest axis speeds where each axis runs a rapid at its own full rate, so that the path
    /// bends; `None` where rapids run straight.
    pub dog_leg_speed_mm_min: Option<[f64; 3]>,
}

/// A tool as the sweep sees it.
#[derive(Clone, Debug, PartialEq)]
pub struct StockTool {
    /// Number that programs call.
    pub number: u32,
    /// What it does to the sheet; an error where its type lacks a figure.
    pub cutter: Result<Cutter, ProfileGap>,
    /// Parts above the usable length that must not touch, lowest first.
    pub body: Vec<BodyPart>,
}

/// What a tool does to the sheet.
#[derive(Clone, Debug, PartialEq)]
pub enum Cutter {
    /// Turns and takes material away.
    Turning(Profile),
    /// Severs along a line; takes nothing away.
    Knife {
        /// Thickness of the blade, mm; 0 if not stated.
        thickness_mm: f64,
    },
    /// Creases or draws: leaves a mark, severs nothing.
    Marker,
}

/// A cylinder of the assembly above the usable length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BodyPart {
    /// Which part.
    pub part: Part,
    /// Its radius, mm.
    pub radius_mm: f64,
    /// Height of its lower end above the tip, mm.
    pub from_mm: f64,
}

/// Part of a tool assembly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Shank above the usable length.
    Shank,
    /// Holder.
    Holder,
}

impl StockSetup {
    /// From the setup of a run.
    pub fn of(setup: &Setup) -> Self {
        let speed = |letter| setup.machine.axis(letter).map(|axis| axis.max_speed_mm_min);
        let speeds = [AxisLetter::X, AxisLetter::Y, AxisLetter::Z].map(speed);
        let dog_leg_speed_mm_min = match speeds {
            [Some(x), Some(y), Some(z)] if setup.machine.path.rapid_dog_leg => Some([x, y, z]),
            _ => None,
        };
        Self {
            outline: setup.sheet_outline(),
            top_z_mm: setup.sheet_top_z_mm(),
            thickness_mm: setup.sheet.thickness_mm,
            cut_into_spoilboard_mm: setup.machine.table.cut_into_spoilboard_mm,
            tools: setup.tools.iter().map(StockTool::of).collect(),
            dog_leg_speed_mm_min,
        }
    }

    /// The tool that programs call by this number.
    pub fn tool(&self, number: u32) -> Option<&StockTool> {
        self.tools.iter().find(|t| t.number == number)
    }

    /// Z of the sheet's lower face, mm.
    pub fn bottom_z_mm(&self) -> f64 {
        self.top_z_mm - self.thickness_mm
    }
}

impl StockTool {
    /// From a tool and its type.
    pub fn of(tool: &SetupTool) -> Self {
        let kind = &tool.kind;
        let cutter = match kind.kind {
            ToolKind::DragKnife | ToolKind::TangentialKnife | ToolKind::OscillatingKnife => {
                Ok(Cutter::Knife { thickness_mm: kind.x_blade_thickness_mm.unwrap_or(0.0) })
            }
            ToolKind::CreasingWheel | ToolKind::Pen => Ok(Cutter::Marker),
            _ => Profile::of(kind, tool.tool.diameter_mm).map(Cutter::Turning),
        };
        let part = |part, diameter: Option<f64>, from: Option<f64>| {
            Some(BodyPart { part, radius_mm: diameter? / 2.0, from_mm: from? })
        };
        let shank_from = kind.lu_mm.or(kind.apmx_mm);
        let body = if kind.kind.turns() {
            [
                part(Part::Shank, kind.dmm_mm, shank_from),
                part(Part::Holder, kind.bdx_mm, kind.lpr_mm),
            ]
            .into_iter()
            .flatten()
            .collect()
        } else {
            Vec::new()
        };
        Self { number: tool.tool.number, cutter, body }
    }

    /// Largest radius that takes part in cutting, mm; half the blade for knives, 0 for markers and
    /// tools without data.
    pub fn cutting_radius_mm(&self) -> f64 {
        match &self.cutter {
            Ok(Cutter::Turning(profile)) => profile.radius_mm,
            Ok(Cutter::Knife { thickness_mm }) => thickness_mm / 2.0,
            _ => 0.0,
        }
    }
}
