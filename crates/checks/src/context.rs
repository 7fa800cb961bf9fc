//! What every check sees.

use crate::material::Material;
use kw_base::{Place, Sources, Span};
use kw_geometry::{Bounds, Polygon, Vec2};
use kw_model::Setup;
use kw_model::setup::SetupTool;
use kw_nc::{Move, MoveState, Reading, block_span, word_span};

/// A program as read, in its setup, with what several checks need ready.
pub struct Context<'a> {
    /// The program's text.
    pub sources: &'a Sources,
    /// What it means.
    pub reading: &'a Reading,
    /// What it is checked against.
    pub setup: &'a Setup,
    /// What it makes of the sheet; `None` if that could not be followed.
    pub material: Option<&'a Material>,
    /// Z of the sheet's upper face, machine coordinates, mm.
    pub sheet_top_z_mm: f64,
    /// Outline of the sheet where it lies, machine coordinates.
    pub sheet_outline: Polygon,
    /// Extent of that outline, mm.
    pub sheet_extent: (Vec2, Vec2),
}

/// How far below the upper face a tip counts as in the sheet, mm. Our choice: less than the
/// thickness of paper, more than rounding; larger would hide shallow engraving, smaller would call
/// a pass at the surface a cut.
pub const SURFACE_TOLERANCE_MM: f64 = 0.01;

impl<'a> Context<'a> {
    /// Gathers what the checks need.
    pub fn new(
        sources: &'a Sources,
        reading: &'a Reading,
        setup: &'a Setup,
        material: Option<&'a Material>,
    ) -> Self {
        let sheet_outline = setup.sheet_outline();
        let sheet_extent = sheet_outline.extent().unwrap_or_default();
        let sheet_top_z_mm = setup.sheet_top_z_mm();
        Self { sources, reading, setup, material, sheet_top_z_mm, sheet_outline, sheet_extent }
    }

    /// The tool in work during a state.
    pub fn tool(&self, state: &MoveState) -> Option<&'a SetupTool> {
        state.tool.and_then(|number| self.setup.tool(number))
    }

    /// Radius that the tool in work sweeps, mm; 0 for knives and unknown tools.
    pub fn radius_mm(&self, state: &MoveState) -> f64 {
        let diameter = self.tool(state).and_then(|t| t.tool.diameter_mm.or(t.kind.dc_mm));
        diameter.unwrap_or(0.0) / 2.0
    }

    /// Whether a box of tip positions reaches into the sheet's thickness.
    pub fn reaches_below_surface(&self, tip: &Bounds) -> bool {
        tip.min.z < self.sheet_top_z_mm - SURFACE_TOLERANCE_MM
    }

    /// The word of this letter in a block, else the whole block.
    pub fn place_of_word(&self, block_at: u32, letter: char) -> Place {
        let span = word_span(self.sources, block_at, letter)
            .unwrap_or_else(|| block_span(self.sources, block_at));
        Place::Text(span)
    }

    /// The first of these words that a block holds, else the whole block.
    pub fn place_of_first_word(&self, block_at: u32, letters: &[char]) -> Place {
        let word = letters.iter().find_map(|&l| word_span(self.sources, block_at, l));
        Place::Text(word.unwrap_or_else(|| block_span(self.sources, block_at)))
    }

    /// The block of a move.
    pub fn block(&self, m: &Move<'_>) -> Span {
        block_span(self.sources, m.block_at)
    }
}

/// Name of a work system: `G54` to `G59.3`.
pub fn work_system_name(system: u8) -> &'static str {
    match system {
        1 => "G54",
        2 => "G55",
        3 => "G56",
        4 => "G57",
        5 => "G58",
        6 => "G59",
        7 => "G59.1",
        8 => "G59.2",
        9 => "G59.3",
        _ => "no work system",
    }
}
