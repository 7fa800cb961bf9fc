//! Surface speed, feed per tooth, and the chip a cutter takes at a given radial engagement.
//!
//! Sources: P. N. Rao, Manufacturing Technology vol. 2, 2nd ed. 2009, section 7 (definitions);
//! El-Hofy, Fundamentals of Machining Processes, 2nd ed., p. 174 (thickness at an angle);
//! Dietrich/Tschätsch, Praxis der Zerspantechnik, 11th ed. 2014 (mean thickness, edges in cut).

mod edge;
mod engagement;
mod speed;

pub use edge::{edge_path_per_tooth_mm, edges_in_cut, most_edges_in_cut};
pub use engagement::{Engagement, Side};
pub use speed::{feed_mm_min, feed_per_tooth_mm, spindle_speed_rpm, surface_speed_m_s};
