//! Material removal: the depth map of the sheet, what each move takes away, cuts and pieces.
//!
//! Knows nothing of time and forces. Pure: same toolpath and setup give the same result on any
//! machine with any number of threads.
//!
//! How exact it is. A cell counts as cut where its centre is, as deep as the tool reaches there,
//! rounded to the map's depth step (a whole number of µm, 1 µm up to a reach of 32 mm). Lines,
//! ramps, arcs and flat-tool helices in XY are swept in closed form; arcs outside XY, spirals,
//! and helices of contoured tools as chords within [`SweepOptions::chord_tolerance_mm`]. So areas
//! and volumes err by misplaced border cells only, and a strip thinner than a cell that runs along
//! the grid may be found too thin or too wide by up to a cell. Outlines of pieces do not have that
//! error: their borders are crossed exactly between cells ([`Rest::outline`]).

mod band;
mod bins;
mod columns;
pub mod compare;
mod crossing;
pub mod cuts;
mod cutting;
mod engagement;
mod fit;
pub mod grid;
mod leg;
pub mod map;
mod mask;
pub mod moves;
pub mod pieces;
pub mod profile;
mod ramp;
pub mod remains;
mod rig;
mod runs;
mod scaled;
pub mod setup;
pub mod shading;
mod span;
mod split;
pub mod sweep;
mod tile;
pub mod touch;
mod trace;

pub use compare::{CompareOptions, Difference, compare};
pub use cuts::{Cut, cuts};
pub use grid::{Grid, MapError};
pub use map::{Cell, DepthMap};
pub use moves::{MoveColumns, MoveFlags};
pub use pieces::{CellRun, Piece, PieceClass, PieceEnd, PieceOptions, Pieces, Rest, pieces};
pub use profile::{Profile, ProfileGap, Shape};
pub use remains::Remain;
pub use rig::GapReason;
pub use setup::{BodyPart, Cutter, Part, StockSetup, StockTool};
pub use shading::Shading;
pub use sweep::{Stock, SweepGap, SweepOptions, sweep};
pub use touch::Touch;
