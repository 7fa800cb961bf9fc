//! The tools of a toolpath's states in the units of the map.

use crate::leg::{Leg, LegMaker, MoveAt};
use crate::map::DepthMap;
use crate::profile::ProfileGap;
use crate::scaled::Contour;
use crate::setup::{BodyPart, Cutter, Part, StockSetup};
use kw_geometry::Vec3;
use kw_nc::toolpath::{MoveKind, Toolpath};

/// What one tool does, in cells and depth steps.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RigTool {
    pub number: u32,
    pub contour: Contour,
    /// Turning tools remove what they lower; knives only sever.
    pub removes: bool,
    /// Radius of the true edge, cells; smaller than the contour's for thin blades.
    pub true_radius: f64,
    pub body: Vec<RigBody>,
}

/// A body part in cells and depth steps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct RigBody {
    pub bit: u8,
    pub contour_radius: f64,
    pub from: f64,
}

/// Why moves cannot be swept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GapReason {
    /// No tool is in the spindle.
    NoTool,
    /// The setup has no tool of this number.
    UnknownTool(u32),
    /// The tool's type lacks a figure.
    ToolData(u32, ProfileGap),
    /// The move leads farther than 1 km away or its numbers are not finite.
    OutOfReach,
}

/// Tools by state of the toolpath, and how moves become legs.
pub(crate) struct Rig {
    pub maker: LegMaker,
    tools: Vec<RigTool>,
    /// For each state: index into `tools`, nothing for markers, or why it cannot be swept.
    by_state: Vec<Result<Option<usize>, GapReason>>,
    /// For each state: tip of the tool relative to the axis position, mm.
    tip_offset_mm: Vec<Vec3>,
}

/// Kerf of a knife in the map, cells: a blade thinner than a cell must still part the cells on
/// both sides, which needs a width of one cell; a little more covers rounding.
const LEAST_KERF_CELLS: f64 = 1.001;

/// Bits of [`RigBody::bit`] and of the tallies.
pub(crate) const SHANK_BIT: u8 = 1;
pub(crate) const HOLDER_BIT: u8 = 2;

impl Rig {
    pub fn new(
        path: &Toolpath,
        setup: &StockSetup,
        map: &DepthMap,
        chord_tolerance_mm: f64,
    ) -> Self {
        let maker = LegMaker {
            grid: map.grid,
            top_z_mm: map.top_z_mm,
            depth_step_mm: map.depth_step_mm,
            chord_tolerance_mm,
            dog_leg_speed_mm_min: setup.dog_leg_speed_mm_min,
        };
        let mut tools: Vec<RigTool> = Vec::new();
        let mut by_state = Vec::with_capacity(path.states.len());
        for state in &path.states {
            by_state.push(state.tool.ok_or(GapReason::NoTool).and_then(|number| {
                if let Some(known) = tools.iter().position(|t| t.number == number) {
                    return Ok(Some(known));
                }
                let tool = setup.tool(number).ok_or(GapReason::UnknownTool(number))?;
                let cutter =
                    tool.cutter.as_ref().map_err(|&gap| GapReason::ToolData(number, gap))?;
                let Some((contour, removes, true_radius)) = contour_of(cutter, map) else {
                    return Ok(None);
                };
                let body = tool.body.iter().map(|part| rig_body(part, map)).collect();
                tools.push(RigTool { number, contour, removes, true_radius, body });
                Ok(Some(tools.len() - 1))
            }));
        }
        let tip_offset_mm = path.states.iter().map(|state| state.tip_offset_mm).collect();
        Self { maker, tools, by_state, tip_offset_mm }
    }

    /// The tool of a move; `Ok(None)` for one that only marks.
    pub fn tool(&self, path: &Toolpath, index: usize) -> Result<Option<&RigTool>, GapReason> {
        let tool = self.by_state.get(path.state[index] as usize).copied();
        tool.unwrap_or(Err(GapReason::NoTool)).map(|tool| tool.and_then(|t| self.tools.get(t)))
    }

    /// A move with its tip before and after it.
    #[inline]
    pub fn place<'a>(&self, path: &'a Toolpath, index: usize) -> MoveAt<'a> {
        let offset = self.tip_offset_mm[path.state[index] as usize];
        let from = match index.checked_sub(1) {
            Some(before) => path.end_mm[before],
            None => path.start_mm,
        };
        MoveAt { path, index, from: from + offset, to: path.end_mm[index] + offset }
    }

    /// The legs of a move with its tool; nothing for moves that are not swept.
    pub fn legs(&self, path: &Toolpath, index: usize, legs: &mut Vec<Leg>) -> Option<&RigTool> {
        legs.clear();
        let tool = self.tool(path, index).ok().flatten()?;
        let at = self.place(path, index);
        self.maker.legs(at, tool.contour.is_flat(), legs).then_some(tool)
    }

    /// Whether the cells under the tool at the start of a move were cut, as the tool stands there,
    /// by the move before it.
    pub fn starts_cut(&self, path: &Toolpath, index: usize) -> bool {
        if index == 0 || path.kind[index - 1] == MoveKind::Turn {
            return false;
        }
        let (now, before) = (path.state[index], path.state[index - 1]);
        now == before || {
            let (now, before) = (&path.states[now as usize], &path.states[before as usize]);
            now.tool == before.tool && now.tip_offset_mm == before.tip_offset_mm
        }
    }
}

fn contour_of(cutter: &Cutter, map: &DepthMap) -> Option<(Contour, bool, f64)> {
    match cutter {
        Cutter::Turning(profile) => {
            let contour = Contour::of(profile, map.grid.step_mm, map.depth_step_mm);
            let radius = contour.radius;
            Some((contour, true, radius))
        }
        Cutter::Knife { thickness_mm } => {
            let radius = 0.5 * thickness_mm / map.grid.step_mm;
            Some((Contour::flat(radius.max(0.5 * LEAST_KERF_CELLS)), false, radius))
        }
        Cutter::Marker => None,
    }
}

fn rig_body(part: &BodyPart, map: &DepthMap) -> RigBody {
    RigBody {
        bit: if part.part == Part::Shank { SHANK_BIT } else { HOLDER_BIT },
        contour_radius: part.radius_mm / map.grid.step_mm,
        from: part.from_mm / map.depth_step_mm,
    }
}

impl RigTool {
    /// Body parts that go below the sheet's upper face at a tip depth, depth steps.
    pub fn bodies_below(&self, deepest: f64) -> impl Iterator<Item = &RigBody> {
        let cutting = self.contour.radius;
        self.body.iter().filter(move |b| deepest > b.from && b.contour_radius > cutting)
    }

    /// Radius within which a leg of this depth can meet the sheet, cells.
    pub fn reach(&self, deepest: f64) -> f64 {
        let body = self.bodies_below(deepest).map(|b| b.contour_radius);
        body.fold(self.contour.radius, f64::max)
    }
}
