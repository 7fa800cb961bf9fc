//! Vectors, arcs, boxes and outlines. Lengths in mm, angles in radians, counterclockwise positive
//! seen from the positive end of the normal axis.
//!
//! Knows nothing of tools, sheets or NC.

pub mod arc;
pub mod bounds;
pub mod polygon;
pub mod vector;

pub use arc::{Arc, Plane};
pub use bounds::Bounds;
pub use polygon::Polygon;
pub use vector::{Vec2, Vec3};
