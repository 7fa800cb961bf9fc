//! Whether a piece stays put: its contact force from the zones under it, and its margins against the
//! loads of the cutter.

pub mod anchor;
pub mod case;
mod cell_map;
pub mod contact;
mod polygon;
pub mod shape;
pub mod verdict;

mod edge;
mod twist;

pub use anchor::Anchor;
pub use case::{Bed, CASES, Case, HoldRanges, Loads, Outlook, RangedPiece, Verdict};
pub use cell_map::CellMap;
pub use contact::{Contact, Grip, GrippedPiece};
pub use shape::{PieceError, PieceShape, ShapeOptions};
pub use verdict::{Criterion, Load, Margin, Margins, TwistMemo};
