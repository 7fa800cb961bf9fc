//! Material removal: the depth map of the sheet, what each move takes away, cuts and pieces.
//!
//! Knows nothing of time and forces. Pure: same toolpath and setup give the same result on any
//! machine with any number of threads.

mod bins;
mod columns;
mod cutting;
mod engagement;
pub mod grid;
mod leg;
pub mod map;
mod mask;
pub mod moves;
pub mod profile;
mod ramp;
mod rig;
mod scaled;
pub mod setup;
mod span;
pub mod sweep;
mod tile;

pub use grid::{Grid, MapError};
pub use map::{Cell, DepthMap};
pub use moves::{MoveColumns, MoveFlags};
pub use profile::{Profile, ProfileGap, Shape};
pub use rig::GapReason;
pub use setup::{BodyPart, Cutter, Part, StockSetup, StockTool};
pub use sweep::{Stock, SweepGap, SweepOptions, sweep};
