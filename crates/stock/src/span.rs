//! Where a row of cells crosses the area that a disc sweeps along a line or an arc.
//!
//! All coordinates in cells. Every area is widened by [`EDGE_SLACK`], so that a cell centre that
//! lies on the border counts as inside whichever way the border was computed.

use crate::tile::{Side, TILE};
use kw_base::math::PI;
use kw_geometry::Vec2;

/// Widening of every swept area, cells. Must exceed rounding (about 1e-11 cells on a sheet) so
/// that the same border met by two moves holds the same cells; far below what anyone measures.
pub(crate) const EDGE_SLACK: f64 = 1e-7;

/// A stretch of a row, low end first.
pub(crate) type Interval = (f64, f64);

/// The area swept by a disc along a straight line.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stadium {
    pub a: Vec2,
    pub b: Vec2,
    /// Unit vector from a to b; (1, 0) for a point.
    pub along: Vec2,
    pub length: f64,
    pub radius: f64,
}

impl Stadium {
    pub fn new(a: Vec2, b: Vec2, radius: f64) -> Self {
        let length = a.distance(b);
        let along = if length > 1e-9 { (b - a) * (1.0 / length) } else { Vec2::new(1.0, 0.0) };
        Self { a, b, along, length, radius: radius + EDGE_SLACK }
    }

    /// Rows of a tile that it may cross.
    pub fn rows(&self) -> std::ops::Range<usize> {
        let low = self.a.y.min(self.b.y) - self.radius;
        let high = self.a.y.max(self.b.y) + self.radius;
        first_cell(low)..end_cell(high)
    }

    /// The stretch of a row inside; `None` if there is none.
    pub fn interval(&self, y: f64) -> Option<Interval> {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for centre in [self.a, self.b] {
            if let Some((l, h)) = disc_interval(centre, self.radius, y) {
                low = low.min(l);
                high = high.max(h);
            }
        }
        if let Some((l, h)) = self.band(y - self.a.y) {
            low = low.min(l + self.a.x);
            high = high.max(h + self.a.x);
        }
        (low <= high).then_some((low, high))
    }

    /// The stretch of a row inside the rectangle between the end discs, relative to a.
    fn band(&self, dy: f64) -> Option<Interval> {
        let (tx, ty) = (self.along.x, self.along.y);
        // Across: |tx·dy − ty·x| ≤ radius. Along: 0 ≤ tx·x + ty·dy ≤ length.
        let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
        if ty.abs() > FLAT {
            let (p, q) = ((tx * dy - self.radius) / ty, (tx * dy + self.radius) / ty);
            (low, high) = (p.min(q), p.max(q));
        } else if dy.abs() > self.radius {
            return None;
        }
        if tx.abs() > FLAT {
            let (p, q) = (-ty * dy / tx, (self.length - ty * dy) / tx);
            (low, high) = (low.max(p.min(q)), high.min(p.max(q)));
        } else if !(0.0..=self.length).contains(&(ty * dy)) {
            return None;
        }
        (low <= high).then_some((low, high))
    }

    /// Where the path's line crosses a row, and the side of what lies before that.
    pub fn breaks(&self, y: f64) -> Breaks {
        let (tx, ty) = (self.along.x, self.along.y);
        let dy = y - self.a.y;
        if ty.abs() <= FLAT {
            let first = if tx * dy > 0.0 { Side::Left } else { Side::Right };
            return Breaks { at: [f64::INFINITY; 2], first };
        }
        let first = if ty > 0.0 { Side::Left } else { Side::Right };
        Breaks { at: [self.a.x + tx * dy / ty, f64::INFINITY], first }
    }
}

/// Component of a unit vector below which a direction counts as parallel to the other axis: at the
/// length of the longest sheets the difference stays below a thousandth of a cell.
const FLAT: f64 = 1e-9;

/// The stretch of a row inside a disc.
pub(crate) fn disc_interval(centre: Vec2, radius: f64, y: f64) -> Option<Interval> {
    let dy = y - centre.y;
    let square = radius * radius - dy * dy;
    if square < 0.0 {
        return None;
    }
    let half = square.sqrt();
    Some((centre.x - half, centre.x + half))
}

/// Places where a row crosses the path itself.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Breaks {
    /// Rising; infinite if unused.
    pub at: [f64; 2],
    /// Side of what lies before the first; it changes at each.
    pub first: Side,
}

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

/// First whole number not below `x`, kept within a tile.
pub(crate) fn first_cell(x: f64) -> usize {
    let x = x.clamp(0.0, TILE as f64);
    let floor = x as usize;
    floor + usize::from((floor as f64) < x)
}

/// One past the last whole number not above `x`, kept within a tile.
pub(crate) fn end_cell(x: f64) -> usize {
    (x + 1.0).clamp(0.0, TILE as f64) as usize
}

/// Cells of a row stretch without those in `skip`, split by side.
pub(crate) fn cells(
    interval: Interval,
    skip: Option<Interval>,
    breaks: Breaks,
    mut each: impl FnMut(usize, usize, Side),
) {
    let (start, end) = (first_cell(interval.0), end_cell(interval.1));
    let (skip_start, skip_end) = skip.map_or((end, end), |(low, high)| {
        let from = first_cell(low).clamp(start, end.max(start));
        (from, end_cell(high).clamp(from, end.max(from)))
    });
    for (start, end) in [(start, skip_start), (skip_end, end)] {
        let mut from = start;
        let mut side = breaks.first;
        for at in breaks.at {
            let until = end_cell(at).min(end);
            if until > from {
                each(from, until, side);
                from = until;
            }
            side = side.other();
        }
        if end > from {
            each(from, end, side);
        }
    }
}
