//! Plane figures: moments, clipping, hull.

pub(crate) mod clip;
pub(crate) mod hull;
pub(crate) mod moments;
