//! What happens at the edge of a tool: chip, force, power, deflection, wear and tool life.
//!
//! Pure functions of plain figures. Lengths in mm, forces in N, speeds and feeds as named, angles
//! in radians. Figures of materials come as [`kw_base::Band`]s and stay bands to the end, so that
//! a check can use the unsafe end. [`program`] binds them to a toolpath, its
//! time plan and the swept sheet. Knows nothing of vacuum or stores.

pub mod chip;
pub mod deflection;
pub mod force;
pub mod knife;
pub mod life;
pub mod loads;
mod log_line;
mod numeric;
pub mod power;
pub mod program;
pub mod speeds;
pub mod wear;
pub mod windows;
