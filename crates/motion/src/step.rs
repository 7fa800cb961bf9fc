//! One move as the planner sees it: a length and the limits along it.

use crate::limits::{AxisLimits, Limits};
use kw_geometry::{Arc, Vec2, Vec3};

/// What the length of a step counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Along {
    /// Nothing moves.
    Nothing,
    /// The path of X, Y and Z, mm.
    Path,
    /// The turn of the rotary axis, degrees.
    Turn,
}

/// One move as the planner sees it. Units mm (or degrees for `Turn`) and seconds.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Step {
    pub along: Along,
    pub length: f64,
    pub speed: f64,
    pub acceleration: f64,
    pub jerk: f64,
    /// Unit direction at its start; for turns the sense in `x`.
    pub direction_in: Vec3,
    /// Unit direction at its end.
    pub direction_out: Vec3,
    /// Degrees that the rotary axis turns per mm, signed.
    pub turn_per_mm: f64,
}

/// What a move asks for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ask {
    /// Speed along the path, mm/s (degrees/s for turns); infinite for as fast as the axes can.
    pub speed: f64,
    /// Factor on the speeds of the axes.
    pub axis_factor: f64,
    /// Angle that the rotary axis turns, degrees, signed.
    pub turn_deg: f64,
}

const NOTHING: Step = Step {
    along: Along::Nothing,
    length: 0.0,
    speed: f64::INFINITY,
    acceleration: 1.0,
    jerk: f64::INFINITY,
    direction_in: Vec3::ZERO,
    direction_out: Vec3::ZERO,
    turn_per_mm: 0.0,
};

/// Reciprocals of the limits, so that a move costs few divisions.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Reciprocal {
    /// Of the speeds of X, Y, Z.
    speed: [f64; 3],
    /// Of the accelerations of X, Y, Z.
    acceleration: [f64; 3],
    /// Of the jerks of X, Y, Z; 0 without a limit.
    jerk: [f64; 3],
    rotary: Option<AxisLimits>,
    has_jerk: bool,
}

impl Reciprocal {
    pub fn of(limits: &Limits) -> Self {
        Self {
            speed: limits.axis.map(|a| 1.0 / a.speed),
            acceleration: limits.axis.map(|a| 1.0 / a.acceleration),
            jerk: limits.axis.map(|a| 1.0 / a.jerk),
            rotary: limits.rotary,
            has_jerk: limits.limits_jerk(),
        }
    }

    /// Acceleration that the axes can give in every direction, mm/s².
    pub fn least_acceleration(&self) -> f64 {
        let [x, y, z] = self.acceleration;
        1.0 / x.max(y).max(z)
    }

    /// Highest acceleration towards a direction whose largest components are `share`, mm/s².
    pub fn acceleration_along(&self, share: [f64; 3]) -> f64 {
        1.0 / largest(share, self.acceleration)
    }

    pub fn rotary_acceleration(&self) -> f64 {
        self.rotary.map_or(f64::INFINITY, |r| r.acceleration)
    }
}

/// Largest product of magnitudes; what a path may do is its reciprocal.
fn largest(share: [f64; 3], reciprocal: [f64; 3]) -> f64 {
    (share[0].abs() * reciprocal[0])
        .max(share[1].abs() * reciprocal[1])
        .max(share[2].abs() * reciprocal[2])
}

impl Step {
    /// The step of a straight move.
    #[inline]
    pub fn straight(way: Vec3, ask: Ask, limits: &Reciprocal) -> Self {
        let length = way.length();
        if !is_length(length) {
            return Self::standing(ask, limits);
        }
        let direction = way * (1.0 / length);
        let share = direction.to_array();
        let slowest = largest(share, limits.speed);
        let speed = if ask.speed * slowest > ask.axis_factor {
            ask.axis_factor / slowest
        } else {
            ask.speed
        };
        let step = Self {
            along: Along::Path,
            length,
            speed,
            acceleration: 1.0 / largest(share, limits.acceleration),
            jerk: if limits.has_jerk { 1.0 / largest(share, limits.jerk) } else { f64::INFINITY },
            direction_in: direction,
            direction_out: direction,
            turn_per_mm: 0.0,
        };
        if ask.turn_deg == 0.0 { step } else { step.turning(ask, limits) }
    }

    /// The step of an arc or helix.
    pub fn round(arc: &Arc, ask: Ask, limits: &Reciprocal) -> Self {
        let Some(bend) = Bend::of(arc) else {
            return Self::straight(arc.end - arc.start, ask, limits);
        };
        let by_axes = ask.axis_factor / largest(bend.tangent, limits.speed);
        let jerk = 1.0 / largest(bend.tangent, limits.jerk);
        let step = Self {
            along: Along::Path,
            length: bend.length,
            speed: ask.speed.min(by_axes).min(bend.speed(limits)),
            acceleration: 1.0 / largest(bend.tangent, limits.acceleration),
            jerk,
            direction_in: bend.direction_in,
            direction_out: bend.direction_out,
            turn_per_mm: 0.0,
        };
        if ask.turn_deg == 0.0 { step } else { step.turning(ask, limits) }
    }

    /// The rotary axis turns evenly along the path.
    fn turning(mut self, ask: Ask, limits: &Reciprocal) -> Self {
        self.turn_per_mm = ask.turn_deg / self.length;
        if let Some(rotary) = limits.rotary {
            let per_mm = self.turn_per_mm.abs();
            self.speed = self.speed.min(ask.axis_factor * rotary.speed / per_mm);
            self.acceleration = self.acceleration.min(rotary.acceleration / per_mm);
        }
        self
    }

    /// X, Y and Z stand: a turn, or nothing.
    fn standing(ask: Ask, limits: &Reciprocal) -> Self {
        let Some(rotary) = limits.rotary else { return NOTHING };
        if ask.turn_deg == 0.0 {
            return NOTHING;
        }
        let sense = Vec3::new(ask.turn_deg.signum(), 0.0, 0.0);
        Self {
            along: Along::Turn,
            length: ask.turn_deg.abs(),
            speed: ask.speed.min(ask.axis_factor * rotary.speed),
            acceleration: rotary.acceleration,
            jerk: rotary.jerk,
            direction_in: sense,
            direction_out: sense,
            turn_per_mm: 0.0,
        }
    }
}

/// Largest length taken as meant, mm or degrees; what is longer counts as no move.
const LONGEST: f64 = 1e12;

/// Whether a length is one that can be run.
pub(crate) fn is_length(length: f64) -> bool {
    length > 0.0 && length <= LONGEST
}

/// How an arc runs and bends.
struct Bend {
    length: f64,
    direction_in: Vec3,
    direction_out: Vec3,
    /// Largest part of each axis in the tangent.
    tangent: [f64; 3],
    /// Largest part of each axis in the normal.
    normal: [f64; 3],
    radius: f64,
    /// Share of the speed that runs in the plane.
    in_plane: f64,
}

impl Bend {
    fn of(arc: &Arc) -> Option<Self> {
        let (start, start_normal) = arc.plane.split(arc.start);
        let (end, end_normal) = arc.plane.split(arc.end);
        let (spoke_in, spoke_out) = (start - arc.centre, end - arc.centre);
        let (radius_in, radius_out) = (spoke_in.length(), spoke_out.length());
        let rise = end_normal - start_normal;
        let around = 0.5 * (radius_in + radius_out) * arc.sweep_rad;
        let length = (around * around + rise * rise).sqrt();
        let radius = radius_in.min(radius_out);
        if !(is_length(radius) && is_length(length)) {
            return None;
        }
        let (unit_in, unit_out) = (spoke_in * (1.0 / radius_in), spoke_out * (1.0 / radius_out));
        let rise = rise / length;
        let in_plane = (1.0 - rise * rise).max(0.0).sqrt();
        let sense = in_plane * arc.sweep_rad.signum();
        let along = |spoke: Vec2| arc.plane.join(spoke.perpendicular() * sense, rise);
        let [first, second] = largest_spokes(unit_in, unit_out, arc.sweep_rad);
        let split = |a, b, n| arc.plane.join(Vec2::new(a, b), n).to_array();
        Some(Self {
            length,
            direction_in: along(unit_in),
            direction_out: along(unit_out),
            tangent: split(second * in_plane, first * in_plane, rise),
            normal: split(first, second, 0.0),
            radius,
            in_plane,
        })
    }

    /// Highest steady speed: v²/r within the acceleration of the normal's worst direction, and
    /// v³/r² within the jerk.
    fn speed(&self, limits: &Reciprocal) -> f64 {
        let by_acceleration = (limits.acceleration_along(self.normal) * self.radius).sqrt();
        if !limits.has_jerk {
            return by_acceleration / self.in_plane;
        }
        let jerk = 1.0 / largest(self.normal, limits.jerk);
        let by_jerk = kw_base::math::cbrt(jerk * self.radius * self.radius);
        by_acceleration.min(by_jerk) / self.in_plane
    }
}

/// Largest magnitudes of both coordinates of a unit spoke that turns from one to another.
///
/// Below half a turn it meets each axis at most once, where the other coordinate changes sign.
fn largest_spokes(from: Vec2, to: Vec2, sweep_rad: f64) -> [f64; 2] {
    let half_turn = sweep_rad.abs() >= kw_base::math::PI;
    let first = if half_turn || from.y * to.y <= 0.0 { 1.0 } else { from.x.abs().max(to.x.abs()) };
    let second = if half_turn || from.x * to.x <= 0.0 { 1.0 } else { from.y.abs().max(to.y.abs()) };
    [first, second]
}
