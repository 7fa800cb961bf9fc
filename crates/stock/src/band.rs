//! Where a row of cells crosses the area that a disc sweeps along an arc.

use crate::span::{Breaks, EDGE_SLACK, FLAT, Interval, disc_interval, end_cell, first_cell};
use crate::tile::Side;
use kw_base::math::PI;
use kw_geometry::Vec2;

/// The area swept by a disc along an arc.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ArcBand {
    pub centre: Vec2,
    pub start: Vec2,
    pub end: Vec2,
    /// Unit vectors to both ends, in counterclockwise order.
    from: Vec2,
    to: Vec2,
    /// Swept angle, rad, in (0, 2π].
    pub angle: f64,
    pub counterclockwise: bool,
    /// Radius of the path.
    pub path_radius: f64,
    /// Radius of the disc.
    pub radius: f64,
}

impl ArcBand {
    /// `sweep_rad` counterclockwise positive; `None` if an end lies on the centre.
    pub fn new(start: Vec2, end: Vec2, centre: Vec2, sweep_rad: f64, radius: f64) -> Option<Self> {
        let path_radius = start.distance(centre);
        let (s, e) = ((start - centre).unit()?, (end - centre).unit()?);
        let counterclockwise = sweep_rad > 0.0;
        let (from, to) = if counterclockwise { (s, e) } else { (e, s) };
        Some(Self {
            centre,
            start,
            end,
            from,
            to,
            angle: sweep_rad.abs(),
            counterclockwise,
            path_radius,
            radius: radius + EDGE_SLACK,
        })
    }

    /// Rows of a tile that it may cross.
    pub fn rows(&self) -> std::ops::Range<usize> {
        let reach = self.path_radius + self.radius;
        let (mut low, mut high) = (self.centre.y - reach, self.centre.y + reach);
        if self.angle <= PI / 2.0 {
            // Within a quarter turn the path stays within its sagitta of the chord.
            let bulge = self.start.distance(self.end) * 0.5 + self.radius;
            low = low.max(self.start.y.min(self.end.y) - bulge);
            high = high.min(self.start.y.max(self.end.y) + bulge);
        }
        first_cell(low)..end_cell(high)
    }

    /// Whether a place lies within the angle swept.
    pub fn in_wedge(&self, place: Vec2) -> bool {
        let spoke = place - self.centre;
        let (after, before) = (self.from.cross(spoke) >= 0.0, spoke.cross(self.to) >= 0.0);
        if self.angle <= PI { after && before } else { after || before }
    }

    /// The stretches of a row inside; they may overlap. The start disc is left out if not wanted.
    pub fn intervals(&self, y: f64, with_start: bool) -> Intervals {
        let mut found = Intervals::default();
        let dy = y - self.centre.y;
        let (after, before) = (after_spoke(self.from, dy), before_spoke(self.to, dy));
        for part in self.ring(dy).into_iter().flatten() {
            if self.angle > PI {
                found.push(overlap(part, after), self.centre.x);
                found.push(overlap(part, before), self.centre.x);
            } else {
                found.push(overlap(overlap(part, after), before), self.centre.x);
            }
        }
        for (centre, wanted) in [(self.end, true), (self.start, with_start)] {
            if wanted && let Some(interval) = disc_interval(centre, self.radius, y) {
                found.push(interval, 0.0);
            }
        }
        found
    }

    /// The stretches of a row inside the full ring, relative to the centre.
    fn ring(&self, dy: f64) -> [Option<Interval>; 2] {
        let (outer, inner) = (self.path_radius + self.radius, self.path_radius - self.radius);
        if dy.abs() > outer {
            return [None, None];
        }
        let far = (outer * outer - dy * dy).sqrt();
        if inner <= dy.abs() {
            return [Some((-far, far)), None];
        }
        let near = (inner * inner - dy * dy).sqrt();
        [Some((-far, -near)), Some((near, far))]
    }

    /// Where a row crosses the path's circle.
    pub fn breaks(&self, y: f64) -> Breaks {
        let outside = if self.counterclockwise { Side::Right } else { Side::Left };
        let dy = y - self.centre.y;
        let square = self.path_radius * self.path_radius - dy * dy;
        if square <= 0.0 {
            return Breaks { at: [f64::INFINITY; 2], first: outside };
        }
        let half = square.sqrt();
        Breaks { at: [self.centre.x - half, self.centre.x + half], first: outside }
    }
}

const EVERYWHERE: Interval = (f64::NEG_INFINITY, f64::INFINITY);
const NOWHERE: Interval = (f64::INFINITY, f64::NEG_INFINITY);

/// Where `spoke × (x, dy) ≥ 0`.
fn after_spoke(spoke: Vec2, dy: f64) -> Interval {
    if spoke.y.abs() <= FLAT {
        return if spoke.x * dy >= 0.0 { EVERYWHERE } else { NOWHERE };
    }
    let at = spoke.x * dy / spoke.y;
    if spoke.y > 0.0 { (f64::NEG_INFINITY, at) } else { (at, f64::INFINITY) }
}

/// Where `(x, dy) × spoke ≥ 0`.
fn before_spoke(spoke: Vec2, dy: f64) -> Interval {
    after_spoke(-spoke, dy)
}

fn overlap(a: Interval, b: Interval) -> Interval {
    (a.0.max(b.0), a.1.min(b.1))
}

/// Up to six stretches of a row.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Intervals {
    all: [Interval; 6],
    count: usize,
}

impl Intervals {
    fn push(&mut self, (low, high): Interval, shift: f64) {
        if low <= high && self.count < self.all.len() {
            self.all[self.count] = (low + shift, high + shift);
            self.count += 1;
        }
    }

    pub fn iter(&self) -> impl Iterator<Item = Interval> + '_ {
        self.all[..self.count].iter().copied()
    }
}
