//! One move as the planner sees it: a length and the limits along it.

use crate::limits::{AxisLimits, Limits};
use kw_geometry::{Arc, Vec3};
use kw_nc::{Move, MoveKind};

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
}

impl Reciprocal {
    pub fn of(limits: &Limits) -> Self {
        Self {
            speed: limits.axis.map(|a| 1.0 / a.speed),
            acceleration: limits.axis.map(|a| 1.0 / a.acceleration),
            jerk: limits.axis.map(|a| 1.0 / a.jerk),
            rotary: limits.rotary,
        }
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
    /// The step of a move; `feed_factor` and `rapid_factor` are the overrides.
    pub fn of(m: &Move<'_>, limits: &Reciprocal, feed_factor: f64, rapid_factor: f64) -> Self {
        let shape = match m.axis_arc() {
            Some(arc) => Shape::of_arc(&arc),
            None => Shape::of_line(m.to_mm - m.from_mm),
        };
        let turn_deg = m.rotary_deg.1 - m.rotary_deg.0;
        let turn_deg = if turn_deg.is_finite() { turn_deg } else { 0.0 };
        let asked = match m.kind {
            MoveKind::Rapid => f64::INFINITY,
            _ if m.feed > 0.0 => m.feed * feed_factor / 60.0,
            _ => f64::INFINITY,
        };
        let axis_factor = if m.kind == MoveKind::Rapid { rapid_factor } else { 1.0 };
        match shape {
            Some(shape) => shape.step(limits, asked, axis_factor, turn_deg),
            None if turn_deg != 0.0 => turn(limits, asked, axis_factor, turn_deg),
            None => NOTHING,
        }
    }
}

/// Largest part of each axis in a path's tangent, and for arcs its normal.
struct Shape {
    length: f64,
    direction_in: Vec3,
    direction_out: Vec3,
    tangent: [f64; 3],
    arc: Option<Bend>,
}

/// How an arc bends.
struct Bend {
    normal: [f64; 3],
    radius: f64,
    /// Share of the speed that runs in the plane.
    in_plane: f64,
}

impl Shape {
    fn of_line(way: Vec3) -> Option<Self> {
        let length = way.length();
        if !(length > 0.0 && length.is_finite()) {
            return None;
        }
        let unit = way * (1.0 / length);
        Some(Self {
            length,
            direction_in: unit,
            direction_out: unit,
            tangent: unit.to_array(),
            arc: None,
        })
    }

    fn of_arc(arc: &Arc) -> Option<Self> {
        let length = arc.length_mm();
        let (start, start_normal) = arc.plane.split(arc.start);
        let (end, end_normal) = arc.plane.split(arc.end);
        let (spoke_in, spoke_out) = (start - arc.centre, end - arc.centre);
        let (unit_in, unit_out) = match (spoke_in.unit(), spoke_out.unit()) {
            (Some(a), Some(b)) if length > 0.0 && length.is_finite() => (a, b),
            _ => return Self::of_line(arc.end - arc.start),
        };
        let rise = (end_normal - start_normal) / length;
        let in_plane = (1.0 - rise * rise).max(0.0).sqrt();
        let sense = in_plane * arc.sweep_rad.signum();
        let join = |spoke: kw_geometry::Vec2| arc.plane.join(spoke.perpendicular() * sense, rise);
        let half_turn = arc.sweep_rad.abs() >= kw_base::math::PI;
        // Below half a turn an arc meets each axis of its plane at most once, where the other
        // coordinate changes sign.
        let first = if half_turn || unit_in.y * unit_out.y <= 0.0 {
            1.0
        } else {
            unit_in.x.abs().max(unit_out.x.abs())
        };
        let second = if half_turn || unit_in.x * unit_out.x <= 0.0 {
            1.0
        } else {
            unit_in.y.abs().max(unit_out.y.abs())
        };
        let plane_vector = |a, b, n| arc.plane.join(kw_geometry::Vec2::new(a, b), n).to_array();
        Some(Self {
            length,
            direction_in: join(unit_in),
            direction_out: join(unit_out),
            tangent: plane_vector(second * in_plane, first * in_plane, rise),
            arc: Some(Bend {
                normal: plane_vector(first, second, 0.0),
                radius: spoke_in.length().min(spoke_out.length()),
                in_plane,
            }),
        })
    }

    fn step(&self, limits: &Reciprocal, asked: f64, axis_factor: f64, turn_deg: f64) -> Step {
        let turn_per_mm = turn_deg / self.length;
        let mut speed = asked.min(axis_factor / largest(self.tangent, limits.speed));
        let mut acceleration = 1.0 / largest(self.tangent, limits.acceleration);
        let jerk = 1.0 / largest(self.tangent, limits.jerk);
        if let (Some(rotary), true) = (limits.rotary, turn_deg != 0.0) {
            speed = speed.min(axis_factor * rotary.speed / turn_per_mm.abs());
            acceleration = acceleration.min(rotary.acceleration / turn_per_mm.abs());
        }
        if let Some(bend) = &self.arc {
            speed = speed.min(bend.speed(limits, jerk));
        }
        Step {
            along: Along::Path,
            length: self.length,
            speed,
            acceleration,
            jerk,
            direction_in: self.direction_in,
            direction_out: self.direction_out,
            turn_per_mm,
        }
    }
}

impl Bend {
    /// Highest steady speed: v²/r within the acceleration of the normal's worst direction, and
    /// v³/r² within the jerk.
    fn speed(&self, limits: &Reciprocal, jerk: f64) -> f64 {
        let acceleration = limits.acceleration_along(self.normal);
        let by_acceleration = (acceleration * self.radius).sqrt();
        let around = if jerk.is_finite() {
            let plane_jerk = 1.0 / largest(self.normal, limits.jerk);
            by_acceleration.min(kw_base::math::cbrt(plane_jerk * self.radius * self.radius))
        } else {
            by_acceleration
        };
        around / self.in_plane
    }
}

fn turn(limits: &Reciprocal, asked: f64, axis_factor: f64, turn_deg: f64) -> Step {
    let Some(rotary) = limits.rotary else { return NOTHING };
    let sense = Vec3::new(turn_deg.signum(), 0.0, 0.0);
    Step {
        along: Along::Turn,
        length: turn_deg.abs(),
        speed: asked.min(axis_factor * rotary.speed),
        acceleration: rotary.acceleration,
        jerk: rotary.jerk,
        direction_in: sense,
        direction_out: sense,
        turn_per_mm: 0.0,
    }
}
