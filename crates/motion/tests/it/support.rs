//! Toolpaths and limits for tests.

use kw_geometry::{Plane, Vec2, Vec3};
use kw_motion::limits::{AxisLimits, HeadTimes, Limits};
use kw_nc::toolpath::{ArcData, CornerMode, NewMove, Origin};
use kw_nc::{Event, EventKind, MoveKind, MoveState, Toolpath};

/// The same speed (mm/s) and acceleration (mm/s²) on all axes, no jerk limit.
pub fn even(speed: f64, acceleration: f64) -> Limits {
    Limits {
        axis: [AxisLimits { speed, acceleration, jerk: f64::INFINITY }; 3],
        rotary: Some(AxisLimits { speed: 360.0, acceleration: 3600.0, jerk: f64::INFINITY }),
        corner_tolerance_mm: 0.05,
        rapid_dog_leg: false,
        heads: vec![
            HeadTimes { ramp_s: 3.0, full_speed_rpm: Some(24_000.0), select_s: 0.0 },
            HeadTimes { ramp_s: 0.0, full_speed_rpm: None, select_s: 4.0 },
        ],
        change_s: Some(12.0),
        hand_load_s: 90.0,
        places: vec![],
        selects_head: vec![],
    }
}

/// The same with a jerk limit, mm/s³.
pub fn with_jerk(mut limits: Limits, jerk: f64) -> Limits {
    for axis in &mut limits.axis {
        axis.jerk = jerk;
    }
    limits
}

/// Builds a toolpath move by move, starting at the origin with one continuous state.
pub struct Path(pub Toolpath);

impl Path {
    pub fn new() -> Self {
        Self(Toolpath { states: vec![MoveState::default()], ..Toolpath::default() })
    }

    pub fn mode(mut self, corner: CornerMode) -> Self {
        self.0.states.push(MoveState { corner, ..MoveState::default() });
        self
    }

    pub fn at(&self) -> Vec3 {
        self.0.from_mm(self.0.len())
    }

    fn push(self, kind: MoveKind, end_mm: Vec3, arc: Option<ArcData>, feed: f64) -> Self {
        self.any(kind, end_mm, arc, (feed, None))
    }

    /// Any move, with feed and rotary position.
    pub fn any(
        mut self,
        kind: MoveKind,
        end_mm: Vec3,
        arc: Option<ArcData>,
        (feed, rotary_deg): (f64, Option<f64>),
    ) -> Self {
        let state = self.0.states.len() as u32 - 1;
        let block_at = self.0.len() as u32 * 10;
        let origin = Origin::Written;
        self.0.push(NewMove { kind, origin, end_mm, arc, rotary_deg, feed, block_at, state });
        self
    }

    /// A straight move during which the rotary axis turns to an angle.
    pub fn turning(self, kind: MoveKind, x: f64, rotary_deg: f64, feed: f64) -> Self {
        self.any(kind, Vec3::new(x, 0.0, 0.0), None, (feed, Some(rotary_deg)))
    }

    pub fn line(self, x: f64, y: f64, z: f64, feed: f64) -> Self {
        self.push(MoveKind::Line, Vec3::new(x, y, z), None, feed)
    }

    pub fn rapid(self, x: f64, y: f64, z: f64) -> Self {
        self.push(MoveKind::Rapid, Vec3::new(x, y, z), None, 0.0)
    }

    /// An arc in XY about a centre, at constant height.
    pub fn arc(self, centre: (f64, f64), sweep_rad: f64, feed: f64) -> Self {
        let centre_mm = Vec2::new(centre.0, centre.1);
        let from = self.at();
        let end = centre_mm + (from.xy() - centre_mm).rotated(sweep_rad);
        let arc = ArcData { centre_mm, sweep_rad, plane: Plane::Xy };
        self.push(MoveKind::Arc, Vec3::new(end.x, end.y, from.z), Some(arc), feed)
    }

    pub fn event(mut self, kind: EventKind) -> Self {
        let before_move = self.0.len() as u32;
        self.0.events.push(Event { before_move, block_at: before_move * 10, kind });
        self
    }
}

/// Total time with default options, s.
pub fn total(path: &Toolpath, limits: &Limits) -> f64 {
    kw_motion::plan(path, limits, &kw_motion::PlanOptions::default()).total_s
}

/// Relative difference.
pub fn off(value: f64, expected: f64) -> f64 {
    (value - expected).abs() / expected.abs().max(1e-300)
}
