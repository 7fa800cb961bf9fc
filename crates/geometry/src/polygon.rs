//! Simple polygons with straight sides.

use crate::Vec2;

/// A closed polygon without holes; the last point joins the first. Either direction.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Polygon {
    /// Corners in order, mm.
    pub points: Vec<Vec2>,
}

impl Polygon {
    /// The rectangle with these opposite corners, counterclockwise.
    pub fn rectangle(min: Vec2, max: Vec2) -> Self {
        let points = vec![min, Vec2::new(max.x, min.y), max, Vec2::new(min.x, max.y)];
        Self { points }
    }

    /// Area, mm²; positive if the corners run counterclockwise.
    pub fn signed_area_mm2(&self) -> f64 {
        self.edges().map(|(a, b)| a.cross(b)).sum::<f64>() * 0.5
    }

    /// Whether a point lies inside (even-odd rule); points on the border may go either way.
    pub fn contains(&self, point: Vec2) -> bool {
        let mut inside = false;
        for (a, b) in self.edges() {
            if (a.y > point.y) != (b.y > point.y) {
                let x = a.x + (b.x - a.x) * (point.y - a.y) / (b.y - a.y);
                inside ^= point.x < x;
            }
        }
        inside
    }

    /// Distance from a point to the border, mm; infinite without corners.
    pub fn distance_to_border_mm(&self, point: Vec2) -> f64 {
        self.edges().map(|(a, b)| distance_to_segment(point, a, b)).fold(f64::INFINITY, f64::min)
    }

    /// Smallest and largest coordinates; `None` without corners.
    pub fn extent(&self) -> Option<(Vec2, Vec2)> {
        let first = *self.points.first()?;
        Some(self.points.iter().fold((first, first), |(lo, hi), p| {
            (Vec2::new(lo.x.min(p.x), lo.y.min(p.y)), Vec2::new(hi.x.max(p.x), hi.y.max(p.y)))
        }))
    }

    /// Sides as pairs of corners.
    pub fn edges(&self) -> impl Iterator<Item = (Vec2, Vec2)> + '_ {
        let next = self.points.iter().cycle().skip(1);
        self.points.iter().zip(next).map(|(a, b)| (*a, *b))
    }
}

fn distance_to_segment(p: Vec2, a: Vec2, b: Vec2) -> f64 {
    let along = b - a;
    let squared = along.dot(along);
    let t = if squared > 0.0 { ((p - a).dot(along) / squared).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + along * t)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rectangle_knows_inside_area_and_distance() {
        let r = Polygon::rectangle(Vec2::new(0.0, 0.0), Vec2::new(4.0, 3.0));
        assert_eq!(r.signed_area_mm2(), 12.0);
        assert!(r.contains(Vec2::new(1.0, 1.0)) && !r.contains(Vec2::new(5.0, 1.0)));
        assert_eq!(r.distance_to_border_mm(Vec2::new(2.0, 1.0)), 1.0);
        assert_eq!(Polygon::default().signed_area_mm2(), 0.0);
    }
}
