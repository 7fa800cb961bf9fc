//! Clipping a polygon by half planes (Sutherland and Hodgman, 1974).
//!
//! A polygon that is not convex may come back with pieces joined along the cut by coincident edges; area
//! and moments stay exact.

use kw_geometry::Vec2;

/// A half plane: points with normal · p ≤ offset stay.
#[derive(Clone, Copy)]
pub(crate) struct HalfPlane {
    pub(crate) normal: Vec2,
    pub(crate) offset: f64,
}

impl HalfPlane {
    pub(crate) fn left_of(x: f64) -> Self {
        Self { normal: Vec2::new(1.0, 0.0), offset: x }
    }

    pub(crate) fn right_of(x: f64) -> Self {
        Self { normal: Vec2::new(-1.0, 0.0), offset: -x }
    }

    pub(crate) fn below(y: f64) -> Self {
        Self { normal: Vec2::new(0.0, 1.0), offset: y }
    }

    pub(crate) fn above(y: f64) -> Self {
        Self { normal: Vec2::new(0.0, -1.0), offset: -y }
    }

    /// The side to the left of a directed line.
    fn left_of_line(from: Vec2, to: Vec2) -> Self {
        let normal = -(to - from).perpendicular();
        Self { normal, offset: normal.dot(from) }
    }

    fn excess(&self, point: Vec2) -> f64 {
        self.normal.dot(point) - self.offset
    }
}

/// The part of a polygon in a half plane.
pub(crate) fn clip(points: &[Vec2], plane: HalfPlane) -> Vec<Vec2> {
    let mut kept = Vec::with_capacity(points.len() + 2);
    let Some(&last) = points.last() else { return kept };
    let (mut from, mut from_excess) = (last, plane.excess(last));
    for &to in points {
        let to_excess = plane.excess(to);
        if (from_excess > 0.0) != (to_excess > 0.0) {
            let share = from_excess / (from_excess - to_excess);
            kept.push(from + (to - from) * share);
        }
        if to_excess <= 0.0 {
            kept.push(to);
        }
        (from, from_excess) = (to, to_excess);
    }
    kept
}

/// The part of a polygon in a triangle with counterclockwise corners.
pub(crate) fn clip_to_triangle(points: &[Vec2], triangle: [Vec2; 3]) -> Vec<Vec2> {
    let [a, b, c] = triangle;
    let mut part = clip(points, HalfPlane::left_of_line(a, b));
    part = clip(&part, HalfPlane::left_of_line(b, c));
    clip(&part, HalfPlane::left_of_line(c, a))
}

/// Triangles from the first corner whose signed sum is the polygon; counterclockwise, with sign.
pub(crate) fn fan(points: &[Vec2]) -> impl Iterator<Item = ([Vec2; 3], f64)> + '_ {
    (2..points.len()).filter_map(move |i| {
        let (a, b, c) = (points[0], points[i - 1], points[i]);
        let cross = (b - a).cross(c - a);
        if cross > 0.0 {
            Some(([a, b, c], 1.0))
        } else if cross < 0.0 {
            Some(([a, c, b], -1.0))
        } else {
            None
        }
    })
}

#[cfg(test)]
mod tests {
    use super::super::moments::Moments;
    use super::*;
    use kw_geometry::Polygon;

    fn points(list: &[(f64, f64)]) -> Vec<Vec2> {
        list.iter().map(|&(x, y)| Vec2::new(x, y)).collect()
    }

    #[test]
    fn cutting_a_u_shape_keeps_its_area() {
        // A U open to the right, cut through both arms.
        let u = points(&[
            (0.0, 0.0),
            (4.0, 0.0),
            (4.0, 1.0),
            (1.0, 1.0),
            (1.0, 2.0),
            (4.0, 2.0),
            (4.0, 3.0),
            (0.0, 3.0),
        ]);
        let left = Moments::of_polygon(&clip(&u, HalfPlane::left_of(2.0)));
        let right = Moments::of_polygon(&clip(&u, HalfPlane::right_of(2.0)));
        assert!((right.area - 4.0).abs() < 1e-12);
        assert!((left.area + right.area - Polygon { points: u }.signed_area_mm2()).abs() < 1e-12);
    }

    #[test]
    fn fans_sum_to_overlaps_of_any_shape() {
        // An L against a square: overlap by hand 3.
        let l = points(&[(0.0, 0.0), (3.0, 0.0), (3.0, 1.0), (1.0, 1.0), (1.0, 3.0), (0.0, 3.0)]);
        let square = points(&[(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]);
        let overlap: f64 = fan(&l)
            .map(|(t, sign)| sign * Moments::of_polygon(&clip_to_triangle(&square, t)).area)
            .sum();
        assert!((overlap - 3.0).abs() < 1e-12);
    }
}
