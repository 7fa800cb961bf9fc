//! Circular arcs and helices about an axis parallel to X, Y or Z.

use crate::{Bounds, Vec2, Vec3};
use kw_base::math::{self, FRAC_PI_2};

/// The plane in which an arc turns; its normal is the third axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum Plane {
    /// X first, Y second, Z normal (G17).
    #[default]
    Xy,
    /// Z first, X second, Y normal (G18).
    Zx,
    /// Y first, Z second, X normal (G19).
    Yz,
}

impl Plane {
    /// The two coordinates in the plane (first, second) and the one along its normal.
    pub fn split(self, p: Vec3) -> (Vec2, f64) {
        match self {
            Self::Xy => (Vec2::new(p.x, p.y), p.z),
            Self::Zx => (Vec2::new(p.z, p.x), p.y),
            Self::Yz => (Vec2::new(p.y, p.z), p.x),
        }
    }

    /// Inverse of [`Self::split`].
    pub fn join(self, in_plane: Vec2, normal: f64) -> Vec3 {
        match self {
            Self::Xy => Vec3::new(in_plane.x, in_plane.y, normal),
            Self::Zx => Vec3::new(in_plane.y, normal, in_plane.x),
            Self::Yz => Vec3::new(normal, in_plane.x, in_plane.y),
        }
    }
}

/// An arc or helix: turns `sweep_rad` (counterclockwise positive) about `centre` in `plane` while
/// the normal coordinate runs evenly from start to end.
///
/// Start and end may differ a little in radius (within the reader's tolerance); the radius then
/// runs evenly too, so that both ends are met exactly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// Start point, mm.
    pub start: Vec3,
    /// End point, mm.
    pub end: Vec3,
    /// Centre in the plane (first, second coordinate), mm.
    pub centre: Vec2,
    /// Swept angle, rad; counterclockwise positive, magnitude in (0, 2π].
    pub sweep_rad: f64,
    /// Plane of turning.
    pub plane: Plane,
}

impl Arc {
    /// Radius at the start, mm.
    pub fn radius_mm(&self) -> f64 {
        self.plane.split(self.start).0.distance(self.centre)
    }

    /// Length along the helix, mm: √((r·sweep)² + rise²) with the mean of both end radii.
    pub fn length_mm(&self) -> f64 {
        let end_radius = self.plane.split(self.end).0.distance(self.centre);
        let around = 0.5 * (self.radius_mm() + end_radius) * self.sweep_rad.abs();
        let rise = self.plane.split(self.end).1 - self.plane.split(self.start).1;
        (around * around + rise * rise).sqrt()
    }

    /// Point at a fraction 0 to 1 of the sweep.
    pub fn point_at(&self, fraction: f64) -> Vec3 {
        if fraction <= 0.0 {
            return self.start;
        }
        if fraction >= 1.0 {
            return self.end;
        }
        let (start, start_normal) = self.plane.split(self.start);
        let (end, end_normal) = self.plane.split(self.end);
        let (r0, r1) = (start.distance(self.centre), end.distance(self.centre));
        let stretch = if r0 > 0.0 { 1.0 + (r1 / r0 - 1.0) * fraction } else { 1.0 };
        let spoke = (start - self.centre).rotated(self.sweep_rad * fraction) * stretch;
        self.plane.join(self.centre + spoke, start_normal + (end_normal - start_normal) * fraction)
    }

    /// Unit direction of travel in the plane at a fraction of the sweep (rise left out); `None` for
    /// radius zero.
    pub fn direction_in_plane(&self, fraction: f64) -> Option<Vec2> {
        let spoke = self.plane.split(self.start).0 - self.centre;
        let turned = spoke.rotated(self.sweep_rad * fraction).perpendicular();
        (turned * self.sweep_rad.signum()).unit()
    }

    /// Smallest box that holds the whole arc, exact.
    pub fn bounds(&self) -> Bounds {
        let mut bounds = Bounds::EMPTY;
        bounds.add(self.start);
        bounds.add(self.end);
        let start_angle = (self.plane.split(self.start).0 - self.centre).angle_rad();
        let (from, to) = if self.sweep_rad >= 0.0 {
            (start_angle, start_angle + self.sweep_rad)
        } else {
            (start_angle + self.sweep_rad, start_angle)
        };
        let first = (from / FRAC_PI_2).ceil() as i64;
        let last = (to / FRAC_PI_2).floor() as i64;
        for quarter in first..=last.min(first + 4) {
            let angle = quarter as f64 * FRAC_PI_2;
            let turned = (angle - start_angle) / self.sweep_rad;
            bounds.add(self.point_at(turned));
        }
        bounds
    }

    /// Number of equal chords that keep within `tolerance_mm` of the arc; at least 1.
    pub fn chord_count(&self, tolerance_mm: f64) -> usize {
        let radius = self.radius_mm();
        let share = (1.0 - tolerance_mm / radius).clamp(-1.0, 1.0);
        let step = 2.0 * math::acos(share);
        if step <= 0.0 || !step.is_finite() {
            return 1;
        }
        ((self.sweep_rad.abs() / step).ceil() as usize).clamp(1, 1 << 20)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kw_base::math::{PI, TAU};

    fn quarter() -> Arc {
        Arc {
            start: Vec3::new(50.0, 0.0, 0.0),
            end: Vec3::new(0.0, 50.0, -2.0),
            centre: Vec2::new(0.0, 0.0),
            sweep_rad: FRAC_PI_2,
            plane: Plane::Xy,
        }
    }

    #[test]
    fn length_includes_the_rise() {
        let flat = 50.0 * FRAC_PI_2;
        assert!((quarter().length_mm() - (flat * flat + 4.0).sqrt()).abs() < 1e-12);
    }

    #[test]
    fn a_zx_semicircle_passes_below() {
        // NIST RS274/NGC report, section 3.5.3: seen from +Y, G18 G2 looks mirrored.
        let arc = Arc {
            start: Vec3::ZERO,
            end: Vec3::new(10.0, 0.0, 0.0),
            centre: Vec2::new(0.0, 5.0),
            sweep_rad: -PI,
            plane: Plane::Zx,
        };
        assert!(arc.point_at(0.5).distance(Vec3::new(5.0, 0.0, -5.0)) < 1e-12);
        assert!((arc.bounds().min.z + 5.0).abs() < 1e-12);
    }

    #[test]
    fn bounds_of_a_full_circle_hold_all_quarters() {
        let start = Vec3::new(20.0, 0.0, 0.0);
        let arc =
            Arc { start, end: start, centre: Vec2::default(), sweep_rad: -TAU, plane: Plane::Xy };
        let bounds = arc.bounds();
        assert!((bounds.min.x + 20.0).abs() < 1e-9 && (bounds.max.y - 20.0).abs() < 1e-9);
    }

    #[test]
    fn chords_keep_their_tolerance() {
        // Circle to chords: n >= pi / acos(1 - tol/R); R 50, tol 0.01 gives 158.
        let start = Vec3::new(50.0, 0.0, 0.0);
        let arc =
            Arc { start, end: start, centre: Vec2::default(), sweep_rad: TAU, plane: Plane::Xy };
        assert_eq!(arc.chord_count(0.01), 158);
    }
}
