//! Tool life at a condition, wear along the edge's path, life used over a program, and the
//! economics of changing.

mod accumulate;
mod economics;
mod edge_path;
mod reference;
mod table;
mod taylor;

pub use accumulate::{Crossing, LifeTrack, Segment, follow_life, minutes_left, whole_runs_left};
pub use economics::{CostRates, PartTime};
pub use edge_path::EdgePathWear;
pub use reference::{CuttingCondition, ReferenceLife, TaylorExponents};
pub use table::time_at_wear_min;
pub use taylor::{Regression, Taylor, TaylorFit, TaylorFitError};
