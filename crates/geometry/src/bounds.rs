//! Axis-parallel boxes in space.

use crate::Vec3;

/// A box with sides parallel to the axes, mm; empty until the first point is added.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Smallest coordinates, mm.
    pub min: Vec3,
    /// Largest coordinates, mm.
    pub max: Vec3,
}

impl Default for Bounds {
    fn default() -> Self {
        Self::EMPTY
    }
}

impl Bounds {
    /// The box that holds no point.
    pub const EMPTY: Self = Self {
        min: Vec3::new(f64::INFINITY, f64::INFINITY, f64::INFINITY),
        max: Vec3::new(f64::NEG_INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY),
    };

    /// Whether no point was added.
    pub fn is_empty(&self) -> bool {
        self.min.x > self.max.x
    }

    /// Grows to hold a point.
    pub fn add(&mut self, point: Vec3) {
        self.min.x = self.min.x.min(point.x);
        self.min.y = self.min.y.min(point.y);
        self.min.z = self.min.z.min(point.z);
        self.max.x = self.max.x.max(point.x);
        self.max.y = self.max.y.max(point.y);
        self.max.z = self.max.z.max(point.z);
    }

    /// The same box moved.
    pub fn shifted(&self, by: Vec3) -> Self {
        Self { min: self.min + by, max: self.max + by }
    }
}
