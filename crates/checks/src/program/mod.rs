//! Is the program itself sound? Feeds, spindle, what it states and leaves out.

pub mod cut_without_spindle;
pub mod feed_above_axis;
pub mod feed_zero;
pub mod plane_not_stated;
pub mod program_not_ended;
pub mod units_not_stated;
