//! Legs whose depth changes: the deepest that the tool reaches at each cell over the whole leg.
//!
//! The depth at a cell is the greatest of `tip depth(t) − height(distance to tip(t))` over the
//! way t. Closed forms for flat, ball and cone along a line and for flat along a helix; any other
//! contour is searched numerically.

use crate::band::ArcBand;
use crate::cutting::{Line, Sink, arc_blocks, clamp, line_blocks};
use crate::scaled::{Cone, Form, Height, Round};
use kw_base::math::{self, PI, TAU};
use kw_geometry::Vec2;

/// A ramp along a line with any contour.
pub(crate) fn line(sink: &mut impl Sink, line: &Line<'_>, depth: [f64; 2], form: &Form) {
    let stadium = &line.stadium;
    let ramp = Ramp {
        depth: depth[0] as f32,
        slope: ((depth[1] - depth[0]) / stadium.length) as f32,
        length: stadium.length as f32,
        radius: stadium.radius as f32,
    };
    match form {
        Form::Flat => line_blocks(sink, line, |along, across| ramp.flat(along, across)),
        Form::Round(round) if round.core <= 0.0 => {
            line_blocks(sink, line, |along, across| ramp.ball(round, along, across));
        }
        Form::Round(round) => line_blocks(sink, line, |u, v| ramp.search(round, u, v)),
        Form::Cone(cone) => line_blocks(sink, line, |u, v| ramp.cone(cone, u, v)),
        Form::Table(table) => line_blocks(sink, line, |u, v| ramp.search(table, u, v)),
    }
}

/// A straight ramp, in cells and depth steps.
struct Ramp {
    /// Depth at the start.
    depth: f32,
    /// Depth gained per cell of way.
    slope: f32,
    length: f32,
    radius: f32,
}

impl Ramp {
    fn at(&self, way: f32) -> f32 {
        self.depth + self.slope * way
    }

    /// Half of the way over which a cell lies under the tool.
    fn half_chord(radius: f32, across: f32) -> f32 {
        let square = radius * radius - across * across;
        if square > 0.0 { square.sqrt() } else { 0.0 }
    }

    /// A flat tool is deepest at a cell when it leaves it (going down) or meets it (going up).
    fn flat(&self, along: f32, across: f32) -> f32 {
        let half = Self::half_chord(self.radius, across);
        let way = if self.slope > 0.0 { along + half } else { along - half };
        self.at(clamp(way, 0.0, self.length))
    }

    /// Ball of radius b: with w² = b² − across², the derivative vanishes at
    /// way = along + μ·w/√(1 + μ²), μ the slope of the way.
    fn ball(&self, ball: &Round, along: f32, across: f32) -> f32 {
        let half = Self::half_chord(ball.round, across);
        let incline = self.slope / ball.scale;
        let lead = incline / (1.0 + incline * incline).sqrt();
        let way = clamp(along + lead * half, 0.0, self.length);
        let over = along - way;
        let rest = half * half - over * over;
        let rest = if rest > 0.0 { rest.sqrt() } else { 0.0 };
        self.at(way) - (ball.round - rest) * ball.scale
    }

    /// Cone with a flat core: as for the ball, the best way either lies where the flank touches,
    /// at over = −μ·|across|/√(1 − μ²), or on the rim of the core, or as far as the tool reaches.
    fn cone(&self, cone: &Cone, along: f32, across: f32) -> f32 {
        let reach = Self::half_chord(self.radius, across);
        let incline = self.slope / cone.rise;
        let rest = 1.0 - incline * incline;
        let lead = if rest > 0.0 { incline * across.abs() / rest.sqrt() } else { f32::INFINITY };
        let rim = Self::half_chord(cone.core, across);
        let lead = if lead.abs() > rim { lead.abs() } else { rim };
        let lead = if lead < reach { lead } else { reach };
        let way = clamp(along + lead * incline.signum(), 0.0, self.length);
        let over = along - way;
        self.at(way) - cone.at(across * across + over * over)
    }

    /// Any contour: coarse samples, then golden section around the best; exact for contours that
    /// bulge towards the sheet, and within a sample's width for others.
    fn search(&self, height: &impl Height, along: f32, across: f32) -> f32 {
        let reach = Self::half_chord(self.radius, across);
        let low = clamp(along - reach, 0.0, self.length);
        let high = clamp(along + reach, 0.0, self.length);
        let depth = |way: f32| {
            let over = along - way;
            self.at(way) - height.at(across * across + over * over)
        };
        let width = (high - low) / SAMPLES as f32;
        let sample = |index: usize| depth(low + width * index as f32);
        let best = (0..=SAMPLES).fold(0, |b, i| if sample(i) > sample(b) { i } else { b });
        let mut left = clamp(low + width * (best as f32 - 1.0), low, high);
        let mut right = clamp(low + width * (best as f32 + 1.0), low, high);
        for _ in 0..GOLDEN_STEPS {
            let (a, b) = (right - (right - left) * GOLDEN, left + (right - left) * GOLDEN);
            if depth(a) > depth(b) { right = b } else { left = a }
        }
        let middle = depth(0.5 * (left + right));
        middle.max(sample(best))
    }
}

/// Samples over the way in which a cell lies under the tool.
const SAMPLES: usize = 16;
/// Each step shortens the stretch to 0.618: 16 steps reach 1/2000 of two samples.
const GOLDEN_STEPS: usize = 16;
const GOLDEN: f32 = 0.618_034;

/// A flat tool along a helix: like [`Ramp::flat`] with the angle as the way. A cell at distance ρ
/// from the centre lies under the tool within ±acos((ρ² + R² − r²) / 2ρR) of its own angle.
pub(crate) fn helix(sink: &mut impl Sink, band: &ArcBand, depth: [f64; 2]) {
    let [d0, d1] = depth;
    let (path, radius) = (band.path_radius, band.radius);
    let start = band.start - band.centre;
    let goes_down = d1 > d0;
    arc_blocks(sink, band, |place| {
        let spoke = place - band.centre;
        let distance = spoke.length();
        let cosine = (distance * distance + path * path - radius * radius)
            / (2.0 * distance * path).max(f64::MIN_POSITIVE);
        let half = math::acos(cosine.clamp(-1.0, 1.0));
        let angle = turned(start, spoke, band.counterclockwise);
        match best_angle(angle, half, band.angle, goes_down) {
            Some(best) => (d0 + (d1 - d0) * best / band.angle) as f32,
            None => 0.0,
        }
    });
}

/// Angle from one vector to another in the sense of travel, [0, 2π).
fn turned(from: Vec2, to: Vec2, counterclockwise: bool) -> f64 {
    let angle = math::atan2(from.cross(to), from.dot(to));
    let angle = if counterclockwise { angle } else { -angle };
    if angle < 0.0 { angle + TAU } else { angle }
}

/// Greatest (or least) angle in [0, swept] within `half` of `angle` on the circle; with a little
/// slack, since cells on the rim of an end disc meet the sweep in a single angle.
fn best_angle(angle: f64, half: f64, swept: f64, greatest: bool) -> Option<f64> {
    if half >= PI {
        return Some(if greatest { swept } else { 0.0 });
    }
    let mut best: Option<f64> = None;
    for shift in [-TAU, 0.0, TAU] {
        let (low, high) = (angle - half + shift, angle + half + shift);
        if high < -RIM_SLACK_RAD || low > swept + RIM_SLACK_RAD {
            continue;
        }
        let candidate = if greatest { high.clamp(0.0, swept) } else { low.clamp(0.0, swept) };
        best = Some(match best {
            Some(b) if greatest => b.max(candidate),
            Some(b) => b.min(candidate),
            None => candidate,
        });
    }
    best
}

/// Rounding of angles near the rim of the tool, rad.
const RIM_SLACK_RAD: f64 = 1e-6;
