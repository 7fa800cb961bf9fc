//! Have I the tools? Known, in place, measured, fast enough, not too fast.

pub mod length_not_applied;
pub mod rating_missing;
pub mod speed_above_rating;
pub mod speed_outside_spindle;
pub mod tool_never_called;
pub mod tool_not_in_magazine;
pub mod tool_not_measured;
pub mod tool_unknown;
