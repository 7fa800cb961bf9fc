//! Vectors in the plane and in space, mm.

use kw_base::math;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

/// A point or displacement in the plane, mm.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Vec2 {
    /// First coordinate, mm.
    pub x: f64,
    /// Second coordinate, mm.
    pub y: f64,
}

/// A point or displacement in space, mm.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Vec3 {
    /// First coordinate, mm.
    pub x: f64,
    /// Second coordinate, mm.
    pub y: f64,
    /// Third coordinate, mm; up.
    pub z: f64,
}

impl Vec2 {
    /// The point (x, y), mm.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Scalar product, mm².
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// Third component of the vector product, mm²; positive if `other` lies counterclockwise.
    pub fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Length, mm.
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// Distance to another point, mm.
    pub fn distance(self, other: Self) -> f64 {
        (other - self).length()
    }

    /// Turned a quarter turn counterclockwise.
    pub fn perpendicular(self) -> Self {
        Self::new(-self.y, self.x)
    }

    /// Turned counterclockwise by an angle, rad.
    pub fn rotated(self, angle_rad: f64) -> Self {
        let (sin, cos) = math::sincos(angle_rad);
        Self::new(self.x * cos - self.y * sin, self.x * sin + self.y * cos)
    }

    /// Same direction with length 1; `None` for a zero vector.
    pub fn unit(self) -> Option<Self> {
        let length = self.length();
        (length > 0.0).then(|| self * (1.0 / length))
    }

    /// Angle from the first axis, rad, in (−π, π]; 0 for a zero vector.
    pub fn angle_rad(self) -> f64 {
        math::atan2(self.y, self.x)
    }
}

impl Vec3 {
    /// The origin.
    pub const ZERO: Self = Self::new(0.0, 0.0, 0.0);

    /// The point (x, y, z), mm.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    /// Scalar product, mm².
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// Length, mm.
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// Distance to another point, mm.
    pub fn distance(self, other: Self) -> f64 {
        (other - self).length()
    }

    /// The part in the XY plane.
    pub fn xy(self) -> Vec2 {
        Vec2::new(self.x, self.y)
    }

    /// Point on the way from here to `end`; `fraction` 0 gives here, 1 gives `end`.
    pub fn lerp(self, end: Self, fraction: f64) -> Self {
        self + (end - self) * fraction
    }

    /// As `[x, y, z]`, mm.
    pub fn to_array(self) -> [f64; 3] {
        [self.x, self.y, self.z]
    }

    /// Whether all three coordinates are finite.
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite() && self.z.is_finite()
    }
}

impl From<[f64; 3]> for Vec3 {
    fn from([x, y, z]: [f64; 3]) -> Self {
        Self::new(x, y, z)
    }
}

impl From<[f64; 2]> for Vec2 {
    fn from([x, y]: [f64; 2]) -> Self {
        Self::new(x, y)
    }
}

macro_rules! arithmetic {
    ($name:ident, $($field:ident),+) => {
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self { $($field: self.$field + other.$field),+ }
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self { $($field: self.$field - other.$field),+ }
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self { $($field: self.$field * factor),+ }
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self { $($field: -self.$field),+ }
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                *self = *self + other;
            }
        }
        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                *self = *self - other;
            }
        }
    };
}

arithmetic!(Vec2, x, y);
arithmetic!(Vec3, x, y, z);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quarter_turn_is_perpendicular() {
        let turned = Vec2::new(3.0, 4.0).rotated(math::FRAC_PI_2);
        assert!(turned.distance(Vec2::new(3.0, 4.0).perpendicular()) < 1e-12);
        assert!((turned.length() - 5.0).abs() < 1e-12);
    }
}
