//! Material removal: the depth map of the sheet, what each move takes away, cuts and pieces.
//!
//! Knows nothing of time and forces. Pure: same toolpath and setup give the same result on any
//! machine with any number of threads.

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
