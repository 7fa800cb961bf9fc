//! Closed outlines of lines and arcs, and their offsets by a cutter's radius.

/// A point of the plane, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Along the sheet.
    pub x: f64,
    /// Across.
    pub y: f64,
}

impl Point {
    /// From its coordinates.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Shifted by another.
    pub fn plus(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y)
    }

    /// The way from another to this.
    pub fn minus(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y)
    }

    /// Stretched.
    pub fn times(self, factor: f64) -> Self {
        Self::new(self.x * factor, self.y * factor)
    }

    /// Distance to another.
    pub fn distance(self, other: Self) -> f64 {
        let d = self.minus(other);
        (d.x * d.x + d.y * d.y).sqrt()
    }

    /// Between this (0) and another (1).
    pub fn toward(self, other: Self, share: f64) -> Self {
        self.plus(other.minus(self).times(share))
    }

    /// The point at this distance on the way to another.
    pub fn step_toward(self, other: Self, distance: f64) -> Self {
        self.toward(other, distance / self.distance(other))
    }

    /// At an angle and radius about this point.
    pub fn around(self, radius: f64, angle_deg: f64) -> Self {
        let (sin, cos) = angle_deg.to_radians().sin_cos();
        self.plus(Self::new(radius * cos, radius * sin))
    }
}

/// One side of an outline.
#[derive(Clone, Copy, Debug)]
pub struct Side {
    /// Its end.
    pub to: Point,
    /// Centre and whether clockwise, for arcs.
    pub arc: Option<(Point, bool)>,
}

/// A closed outline: the last side ends at the start.
#[derive(Clone, Debug)]
pub struct Outline {
    /// Where it starts.
    pub start: Point,
    /// Its sides.
    pub sides: Vec<Side>,
}

impl Outline {
    /// Start of each side with the side.
    pub fn with_starts(&self) -> impl Iterator<Item = (Point, Side)> + '_ {
        let starts = std::iter::once(self.start).chain(self.sides.iter().map(|s| s.to));
        starts.zip(self.sides.iter().copied())
    }

    /// A circle that starts at its right.
    pub fn circle(centre: Point, radius: f64, clockwise: bool) -> Self {
        let quarter = if clockwise { -90.0 } else { 90.0 };
        let side = |k: usize| Side {
            to: centre.around(radius, quarter * k as f64),
            arc: Some((centre, clockwise)),
        };
        Self { start: centre.around(radius, 0.0), sides: (1..=4).map(side).collect() }
    }

    /// A rectangle with rounded corners, counterclockwise, that starts in the middle of its lower
    /// side; sharp corners for radius 0.
    pub fn rectangle(corner: Point, size: Point, radius: f64) -> Self {
        let far = corner.plus(size);
        let corners = [Point::new(far.x, corner.y), far, Point::new(corner.x, far.y), corner];
        let start = Point::new((corner.x + far.x) / 2.0, corner.y);
        let mut sides = Vec::new();
        for (k, &vertex) in corners.iter().enumerate() {
            let next = if k == 3 { start } else { corners[k + 1] };
            let before = if k == 0 { start } else { corners[k - 1] };
            if radius > 0.0 {
                let [a, b] = [before, next].map(|p| vertex.step_toward(p, radius));
                let centre = a.plus(b).minus(vertex);
                sides.push(Side { to: a, arc: None });
                sides.push(Side { to: b, arc: Some((centre, false)) });
            } else {
                sides.push(Side { to: vertex, arc: None });
            }
        }
        sides.push(Side { to: start, arc: None });
        Self { start, sides }
    }

    /// The same outline the other way round.
    pub fn reversed(&self) -> Self {
        let mut sides: Vec<Side> = self
            .with_starts()
            .map(|(start, side)| Side { to: start, arc: side.arc.map(|(c, cw)| (c, !cw)) })
            .collect();
        sides.reverse();
        Self { start: self.start, sides }
    }
}

/// The way of a cutter's centre around a polygon given counterclockwise, clockwise, so that a
/// cutter turning right climbs. It starts in the middle of the polygon's first side. At inner
/// corners the cutter runs on toward the corner, so that a square one fits.
pub fn around_polygon(corners: &[Point], cutter_radius: f64) -> Outline {
    let count = corners.len();
    let outward = |k: usize| {
        let way = corners[(k + 1) % count].minus(corners[k]);
        let length = way.distance(Point::new(0.0, 0.0));
        Point::new(way.y, -way.x).times(1.0 / length)
    };
    let start = corners[0].toward(corners[1], 0.5).plus(outward(0).times(cutter_radius));
    let mut sides = Vec::new();
    for k in 1..=count {
        let vertex = corners[k % count];
        let (before, after) = (outward(k - 1), outward(k % count));
        let turn = before.x * after.y - before.y * after.x;
        if turn > 0.0 {
            sides.push(Side { to: vertex.plus(before.times(cutter_radius)), arc: None });
            let to = vertex.plus(after.times(cutter_radius));
            sides.push(Side { to, arc: Some((vertex, false)) });
        } else {
            let cosine = before.x * after.x + before.y * after.y;
            let middle = before.plus(after).times(cutter_radius / (1.0 + cosine));
            let inner = vertex.plus(middle);
            let reach = inner.step_toward(vertex, inner.distance(vertex) - cutter_radius);
            for to in [inner, reach, inner] {
                sides.push(Side { to, arc: None });
            }
        }
    }
    sides.push(Side { to: start, arc: None });
    Outline { start, sides }.reversed()
}
