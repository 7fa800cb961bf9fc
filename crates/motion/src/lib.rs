//! How fast the machine really goes: speeds over a whole program, the time line, and limits fitted
//! from measured run times.
//!
//! Knows no chips, forces or checks: only motion, pauses and time. Speeds inside are mm/s along
//! the path of the axes (degrees/s where only the rotary axis turns).

pub mod band;
pub mod corner;
pub mod fit;
mod jerk;
pub mod limits;
pub mod options;
pub mod pause;
pub mod plan;
mod planner;
mod ramp;
pub mod scurve;
mod step;
pub mod timeline;

pub use band::{Spread, band};
pub use fit::{Fit, TimedRun, Unknown, fit};
pub use limits::{Limits, LimitsError};
pub use options::{PlanOptions, SpindleWait};
pub use pause::{Pause, PauseKind};
pub use plan::TimePlan;
pub use planner::plan;
pub use scurve::PathLimits;
pub use timeline::{Doing, Moment, TimeLine, TimeShares};
