//! The machine: axes, path control, table, stops, heads, magazine, datums.

use crate::Dialect;
use crate::vacuum::{Pump, Spoilboard, Zone};
use kw_geometry::{Polygon, Vec2, Vec3};
use serde::Deserialize;

/// One machine as its TOML file states it.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Machine {
    /// Short name used on the command line.
    pub id: String,
    /// Name shown to people.
    pub name: String,
    /// Linear axes X, Y, Z; each exactly once.
    pub axis: Vec<Axis>,
    /// The rotary axis that turns a knife, if there is one.
    pub rotary: Option<Rotary>,
    /// How the control follows the path.
    pub path: PathControl,
    /// The table.
    pub table: Table,
    /// Things on the table that a tool must not touch.
    #[serde(default)]
    pub stop: Vec<Stop>,
    /// Vacuum zones.
    #[serde(default)]
    pub zone: Vec<Zone>,
    /// Vacuum pumps.
    #[serde(default)]
    pub pump: Vec<Pump>,
    /// What carries tools; the first is the reference head and active at program start.
    pub head: Vec<Head>,
    /// The tool magazine, if there is one.
    pub magazine: Option<Magazine>,
    /// Time to load a tool by hand, door to door, s.
    #[serde(default = "default_hand_load_s")]
    pub hand_load_s: f64,
    /// Work offsets.
    #[serde(default)]
    pub datum: Vec<Datum>,
    /// What the control understands.
    #[serde(default)]
    pub dialect: Dialect,
    /// Axis position before a program starts and goal of G28, mm; else Z highest and X, Y as near to
    /// 0 as they go.
    pub home_mm: Option<[f64; 3]>,
    /// Goal of G30, axis position, mm; the home if left out.
    pub second_home_mm: Option<[f64; 3]>,
    /// Cost of machine and operator together, money per hour; 0 if unknown.
    #[serde(default)]
    pub cost_per_hour: f64,
}

fn default_hand_load_s() -> f64 {
    90.0
}

/// A linear axis.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Axis {
    /// `X`, `Y` or `Z`.
    pub letter: AxisLetter,
    /// Lowest position, mm.
    pub min_mm: f64,
    /// Highest position, mm.
    pub max_mm: f64,
    /// Highest speed, mm/min.
    pub max_speed_mm_min: f64,
    /// Highest acceleration, mm/s².
    pub max_acceleration_mm_s2: f64,
    /// Highest jerk, mm/s³; no limit if left out.
    pub max_jerk_mm_s3: Option<f64>,
}

/// Name of a linear axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum AxisLetter {
    /// Along the table.
    X,
    /// Across the table.
    Y,
    /// Up.
    Z,
}

/// The rotary axis that turns a tangential knife or wheel.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rotary {
    /// Its letter in the program: `A`, `B` or `C`.
    pub letter: char,
    /// Highest speed, degrees per minute.
    pub max_speed_deg_min: f64,
    /// Highest acceleration, degrees/s².
    pub max_acceleration_deg_s2: f64,
    /// Whether the control takes the shorter way round to an absolute angle.
    #[serde(default)]
    pub shortest_way: bool,
    /// Angle of the edge at 0°, degrees counterclockwise from +X.
    #[serde(default)]
    pub zero_heading_deg: f64,
}

/// How the control follows the path.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PathControl {
    /// Largest departure from the programmed path at a corner in continuous mode, mm.
    pub corner_tolerance_mm: f64,
    /// Whether each axis runs a rapid at its own full rate, so that the path bends.
    #[serde(default)]
    pub rapid_dog_leg: bool,
    /// Whether F on a helix applies to its projection in the plane instead of along the helix.
    #[serde(default)]
    pub feed_on_projected_circle: bool,
}

/// The table and the board on it.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Table {
    /// Extent along X, machine coordinates, mm.
    pub x_mm: [f64; 2],
    /// Extent along Y, machine coordinates, mm.
    pub y_mm: [f64; 2],
    /// Z of the top of the spoilboard, where a tool of length zero touches it, mm.
    pub spoilboard_top_z_mm: f64,
    /// How deep a cut may go into the spoilboard, mm.
    pub cut_into_spoilboard_mm: f64,
    /// Where the sheet's corner of least X and Y lies when pushed against the stops, mm.
    pub sheet_corner_mm: [f64; 2],
    /// The board between table and sheet.
    pub spoilboard: Spoilboard,
}

/// Something on the table that a tool must not touch: stop, pin, clamp.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stop {
    /// Name shown to people.
    pub name: String,
    /// Extent along X, machine coordinates, mm.
    pub x_mm: [f64; 2],
    /// Extent along Y, machine coordinates, mm.
    pub y_mm: [f64; 2],
    /// Height above the spoilboard, mm.
    pub height_mm: f64,
    /// Whether it can be drawn in; a fixed one always stands.
    #[serde(default)]
    pub retractable: bool,
}

/// What carries tools.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Head {
    /// Short name used in the dialect.
    pub id: String,
    /// What it is.
    pub kind: HeadKind,
    /// Its tool axis relative to the reference head, mm.
    #[serde(default)]
    pub offset_mm: [f64; 3],
    /// Spindle speeds it can run, 1/min.
    pub speed_rpm: Option<[f64; 2]>,
    /// Time from standstill to full speed and back, s.
    #[serde(default)]
    pub ramp_s: f64,
    /// Time to bring this head into work, s.
    #[serde(default)]
    pub select_s: f64,
    /// Shaft power it can give without limit of time: `[speed in 1/min, power in W]`, speed rising.
    #[serde(default)]
    pub power_curve: Vec<[f64; 2]>,
    /// Share of the electric power that reaches the tool, 0 to 1.
    pub efficiency: Option<f64>,
    /// Largest push along the tool axis, N; knife heads.
    pub max_push_n: Option<f64>,
    /// Stroke of an oscillating knife, peak to peak, mm.
    pub stroke_mm: Option<f64>,
    /// Strokes of an oscillating knife, 1/min.
    pub strokes_per_min: Option<f64>,
}

/// Kind of a head.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HeadKind {
    /// Turns a cutter.
    Spindle,
    /// Knife that trails behind its pivot.
    DragKnife,
    /// Knife turned to the heading by the rotary axis.
    TangentialKnife,
    /// Knife that strokes up and down, turned by the rotary axis.
    OscillatingKnife,
    /// Wheel that presses a crease, turned by the rotary axis.
    CreasingWheel,
    /// Pen.
    Pen,
}

impl HeadKind {
    /// Whether the rotary axis must follow the heading.
    pub fn is_turned(self) -> bool {
        matches!(self, Self::TangentialKnife | Self::OscillatingKnife | Self::CreasingWheel)
    }
}

/// The tool magazine.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Magazine {
    /// Number of pockets, numbered from 1.
    pub pockets: u32,
    /// Time of a change pocket to pocket, spindle ramps not counted, s.
    pub change_s: f64,
    /// Largest body diameter that may sit beside an occupied pocket, mm.
    pub neighbour_diameter_mm: Option<f64>,
}

/// A work offset.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Datum {
    /// `G54` to `G59`, `G59.1` to `G59.3`.
    pub code: String,
    /// What X and Y count from.
    pub xy_from: DatumXy,
    /// What Z counts from.
    pub z_from: DatumZ,
    /// Further shift, mm.
    #[serde(default)]
    pub offset_mm: [f64; 3],
}

/// What X and Y of a datum count from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DatumXy {
    /// The sheet's corner of least X and Y.
    SheetCorner,
    /// The machine's zero.
    Machine,
}

/// What Z of a datum counts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DatumZ {
    /// The upper face of the sheet.
    SheetTop,
    /// The top of the spoilboard.
    SpoilboardTop,
    /// The machine's zero.
    Machine,
}

impl Datum {
    /// System number 1 to 9 of `G54` to `G59.3`; `None` for any other code.
    pub fn system(&self) -> Option<u8> {
        ["G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"]
            .iter()
            .position(|code| *code == self.code)
            .map(|index| index as u8 + 1)
    }
}

impl Machine {
    /// A linear axis; `None` only before the description was validated.
    pub fn axis(&self, letter: AxisLetter) -> Option<&Axis> {
        self.axis.iter().find(|a| a.letter == letter)
    }

    /// Index of a head by its id.
    pub fn head_index(&self, id: &str) -> Option<usize> {
        self.head.iter().position(|h| h.id == id)
    }

    /// The table as a polygon, machine coordinates.
    pub fn table_outline(&self) -> Polygon {
        let (x, y) = (self.table.x_mm, self.table.y_mm);
        Polygon::rectangle(Vec2::new(x[0], y[0]), Vec2::new(x[1], y[1]))
    }
}

impl Head {
    /// Its tool axis relative to the reference head, mm.
    pub fn offset(&self) -> Vec3 {
        self.offset_mm.into()
    }
}
