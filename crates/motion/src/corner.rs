//! How fast a corner between two moves is taken.
//!
//! The corner is rounded by a circular arc that touches both legs, passes the corner at no more
//! than the tolerance and uses at most half of each leg. With the turn angle φ the arc's radius
//! is at most `tolerance·cos(φ/2) / (1 − cos(φ/2))` and `half leg / tan(φ/2)`; its speed is
//! √(acceleration · radius). Plain geometry. The rounding of the path itself is not taken off its
//! length. Many short legs along a curve thereby get the speed of the curve's own radius.

use crate::step::{Along, Reciprocal, Step};
use kw_geometry::Vec3;
use kw_nc::toolpath::CornerMode;

/// Departure from the path that every control allows itself in exact path mode, mm: with none at
/// all it would stop at each vertex of a curve. Common practice, no source.
pub const EXACT_PATH_TOLERANCE_MM: f64 = 0.001;

/// Lag that the rotary axis is allowed where its rate of turn per mm changes at once, degrees.
/// Common practice, no source; too small makes knife paths crawl at each vertex.
pub const ROTARY_LAG_DEG: f64 = 0.1;

/// Half the change of direction, rad, under which two legs count as one straight leg: above what
/// rounding of split points gives, far below any corner that limits speed.
const STRAIGHT: f64 = 1e-7;

/// What a corner allows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Corner {
    /// Square of the speed that the tolerance allows, mm²/s².
    pub speed_squared: f64,
    /// Square of the speed allowed per mm of the shorter leg, mm/s²; infinite on a straight.
    pub per_leg: f64,
}

impl Corner {
    pub const FREE: Self = Self { speed_squared: f64::INFINITY, per_leg: f64::INFINITY };
    pub const STOP: Self = Self { speed_squared: 0.0, per_leg: 0.0 };

    /// Holds back no speed, but ends a straight leg.
    const OPEN: Self = Self { speed_squared: f64::INFINITY, per_leg: f64::MAX };

    /// The corner from one step to the next, neither empty, after a straight leg of a length.
    pub fn between(
        before: &Step,
        after: &Step,
        (leg, tolerance_mm): (f64, f64),
        limits: &Reciprocal,
    ) -> Self {
        if before.along != after.along {
            return Self::STOP;
        }
        if before.along == Along::Turn {
            return if before.direction_out == after.direction_in {
                Self::FREE
            } else {
                Self::STOP
            };
        }
        let (from, to) = (before.direction_out, after.direction_in);
        let change = to - from;
        let sin_squared = 0.25 * change.dot(change);
        let speed = before.speed.min(after.speed);
        // Where even the weakest axes could turn faster than the moves run, the rest need not be
        // known.
        let radius = speed * speed / limits.least_acceleration();
        let wide = tolerance_mm * (1.0 - sin_squared) * (2.0 - sin_squared) >= radius * sin_squared;
        let half_leg = 0.5 * leg.min(after.length);
        let long = half_leg * half_leg * (1.0 - sin_squared) >= radius * radius * sin_squared;
        let bend = if sin_squared < STRAIGHT * STRAIGHT {
            Self::FREE
        } else if wide && long {
            Self::OPEN
        } else {
            Self::of_directions(from, to, tolerance_mm, limits)
        };
        let change_per_mm = after.turn_per_mm - before.turn_per_mm;
        if change_per_mm == 0.0 { bend } else { bend.with_rotary(change_per_mm.abs(), limits) }
    }

    fn of_directions(from: Vec3, to: Vec3, tolerance_mm: f64, limits: &Reciprocal) -> Self {
        let change = to - from;
        let sin_half = 0.5 * change.length();
        let cos_half_squared = 1.0 - sin_half * sin_half;
        if cos_half_squared <= STRAIGHT * STRAIGHT {
            return Self::STOP;
        }
        let cos_half = cos_half_squared.sqrt();
        let acceleration = acceleration_through(from, to, sin_half, cos_half, limits);
        let radius = tolerance_mm * cos_half * (1.0 + cos_half) / (sin_half * sin_half);
        Self {
            speed_squared: acceleration * radius,
            per_leg: 0.5 * acceleration * cos_half / sin_half,
        }
    }

    /// The rotary axis changes its rate within its acceleration and lags by no more than
    /// [`ROTARY_LAG_DEG`]: (change of rate)² ≤ 8 · acceleration · lag.
    fn with_rotary(self, change_per_mm: f64, limits: &Reciprocal) -> Self {
        let acceleration = limits.rotary_acceleration();
        if change_per_mm <= 0.0 || acceleration.is_infinite() {
            return self;
        }
        let allowed = 8.0 * acceleration * ROTARY_LAG_DEG / (change_per_mm * change_per_mm);
        Self { speed_squared: self.speed_squared.min(allowed), ..self }
    }
}

/// Acceleration that the axes can give across the corner: least over the normals at the start, in
/// the middle and at the end of the rounding.
fn acceleration_through(
    from: Vec3,
    to: Vec3,
    sin_half: f64,
    cos_half: f64,
    limits: &Reciprocal,
) -> f64 {
    let cos = 1.0 - 2.0 * sin_half * sin_half;
    let per_sin = 0.5 / (sin_half * cos_half);
    let first = (to - from * cos) * per_sin;
    let last = (to * cos - from) * per_sin;
    let middle = (to - from) * (0.5 / sin_half);
    let share = |a: f64, b: f64, c: f64| a.abs().max(b.abs()).max(c.abs());
    limits.acceleration_along([
        share(first.x, middle.x, last.x),
        share(first.y, middle.y, last.y),
        share(first.z, middle.z, last.z),
    ])
}

/// Tolerance at the end of a move followed by another, mm; `None` for a full stop.
pub(crate) fn tolerance_mm(before: CornerMode, after: CornerMode, machine_mm: f64) -> Option<f64> {
    match (before, after) {
        (CornerMode::ExactStop, _) => None,
        (CornerMode::Continuous, CornerMode::Continuous) => Some(machine_mm),
        _ => Some(machine_mm.min(EXACT_PATH_TOLERANCE_MM)),
    }
}
