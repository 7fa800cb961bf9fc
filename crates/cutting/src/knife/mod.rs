//! Knife cutting: forces, how far the cut overshoots a corner, and the speeds a turned blade
//! allows.

mod drag;
mod force;
mod oscillating;
mod overcut;
mod tangential;

pub use drag::TrailingKnife;
pub use force::{FRICTION_FACTOR, SlicePush, drag_force_n};
pub use oscillating::{advance_per_stroke_mm, mean_edge_speed_mm_s, slice_push_ratio};
pub use overcut::{round_overcut_mm, straight_overcut_mm};
pub use tangential::{
    LiftRule, chord_step_rad, heading_rate_rad_s, lift_above_rad, speed_limit_mm_s,
};
