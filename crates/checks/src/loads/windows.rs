//! Cuts whose chip can be held against the material's window.

use super::View;
use crate::Context;
use kw_cutting::program::{CutLoads, Load, Measure, chip_family};
use kw_cutting::windows::{ChipFamily, ChipWindow};
use kw_model::ToolKind;

/// Shorter cuts are ramps and corners rather than feeds that somebody chose, mm. Our choice.
const LEAST_WAY_MM: f64 = 100.0;

/// Thinner strips are finishing passes, where the depth map's cells are too coarse to tell the
/// width; as a share of the diameter. Our choice.
const LEAST_RADIAL_SHARE: f64 = 0.1;

/// A cut, its chip and its window.
#[derive(Clone, Copy)]
pub(super) struct Judged {
    pub cut: usize,
    pub tool: u32,
    pub chip_mm: f64,
    pub window: ChipWindow,
    pub diameter_mm: f64,
    pub axial_mm: f64,
    pub family: ChipFamily,
}

/// Long cuts of flat end mills with more than a finishing width: only these have a chip that can
/// be held against a window by diameter.
pub(super) fn judged<'a>(
    ctx: &'a Context<'_>,
    view: &'a View<'_>,
) -> impl Iterator<Item = Judged> + 'a {
    let family = chip_family(ctx.setup.material.family);
    let cuts = view.work.loads.cuts.iter().enumerate();
    cuts.filter_map(move |(index, cut)| judge(ctx, index, cut, family?))
}

fn judge(ctx: &Context<'_>, index: usize, cut: &CutLoads, family: ChipFamily) -> Option<Judged> {
    let entry = ctx.setup.tool(cut.tool)?;
    let diameter_mm = entry.tool.diameter_mm.or(entry.kind.dc_mm)?;
    let axial_mm = cut.measure(Measure::Axial)?.median;
    let radial_mm = cut.measure(Measure::Radial)?.median;
    let chip_mm = cut.load(Load::MaxChip)?.median;
    let bulk = entry.kind.kind == ToolKind::EndMill
        && cut.way_mm >= LEAST_WAY_MM
        && radial_mm >= LEAST_RADIAL_SHARE * diameter_mm;
    let window = family.window(diameter_mm, axial_mm)?;
    let tool = cut.tool;
    bulk.then_some(Judged { cut: index, tool, chip_mm, window, diameter_mm, axial_mm, family })
}

impl Judged {
    /// The window in words.
    pub fn window_in_words(&self, ctx: &Context<'_>) -> String {
        format!(
            "{} wants {:.2} to {:.2} mm from a {:.1} mm cutter {:.1} mm deep ({})",
            ctx.setup.material.name,
            self.window.low_mm,
            self.window.high_mm,
            self.diameter_mm,
            self.axial_mm,
            self.window.source
        )
    }
}
