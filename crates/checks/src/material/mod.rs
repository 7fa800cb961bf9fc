//! Is the cut right? What the material stage shows: contact at rapid, depth, plunges, bodies.

pub mod body_touches;
pub mod deeper_than_edge;
pub mod plunge_not_possible;
pub mod sheet_not_mapped;
pub mod slot_too_deep;

use crate::Context;
use kw_base::FindingLog;
use kw_model::Setup;
use kw_nc::Toolpath;
use kw_stock::{Cut, MapError, PieceOptions, Pieces, Stock, StockSetup, SweepOptions};

/// What a program makes of the sheet.
pub struct Material {
    /// The sheet afterwards, and what each move did.
    pub stock: Stock,
    /// Runs of moves in the material.
    pub cuts: Vec<Cut>,
    /// The pieces into which the sheet falls.
    pub pieces: Pieces,
}

impl Material {
    /// Sweeps a toolpath across the sheet of a setup. Errors: a sheet that cannot be mapped.
    pub fn of(path: &Toolpath, setup: &Setup, step_mm: f64) -> Result<Self, MapError> {
        let stock_setup = StockSetup::of(setup);
        let options = SweepOptions { step_mm, ..SweepOptions::default() };
        let stock = kw_stock::sweep(path, &stock_setup, &options)?;
        let cuts = kw_stock::cuts(path, &stock);
        let pieces = kw_stock::pieces(&stock, path, &stock_setup, &PieceOptions::default());
        Ok(Self { stock, cuts, pieces })
    }
}

/// Runs every check of this family.
pub(crate) fn check(ctx: &Context<'_>, log: &mut FindingLog) {
    let Some(material) = ctx.material else { return };
    body_touches::check(ctx, material, log);
    deeper_than_edge::check(ctx, material, log);
    plunge_not_possible::check(ctx, material, log);
    slot_too_deep::check(ctx, material, log);
}
