//! Area and first and second moments of plane figures.

use kw_geometry::Vec2;
use std::ops::{Add, AddAssign, Mul, Sub};

/// ∫ 1, x, y, x², y², xy over a figure, mm², mm³, mm⁴.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub(crate) struct Moments {
    pub(crate) area: f64,
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) xx: f64,
    pub(crate) yy: f64,
    pub(crate) xy: f64,
}

impl Moments {
    /// Signed moments of a polygon, positive for counterclockwise corners (Green's theorem; Steger,
    /// "On the calculation of arbitrary moments of polygons", 1996).
    pub(crate) fn of_polygon(points: &[Vec2]) -> Self {
        let mut sum = Self::default();
        let next = points.iter().cycle().skip(1);
        for (p, q) in points.iter().zip(next) {
            let cross = p.cross(*q);
            sum += Self {
                area: cross / 2.0,
                x: cross * (p.x + q.x) / 6.0,
                y: cross * (p.y + q.y) / 6.0,
                xx: cross * (p.x * p.x + p.x * q.x + q.x * q.x) / 12.0,
                yy: cross * (p.y * p.y + p.y * q.y + q.y * q.y) / 12.0,
                xy: cross * (2.0 * p.x * p.y + p.x * q.y + q.x * p.y + 2.0 * q.x * q.y) / 24.0,
            };
        }
        sum
    }

    /// A square of this side about a point, times a share of its area.
    pub(crate) fn of_square(centre: Vec2, side: f64, share: f64) -> Self {
        let area = side * side * share;
        let own = side * side / 12.0;
        Self {
            area,
            x: area * centre.x,
            y: area * centre.y,
            xx: area * (centre.x * centre.x + own),
            yy: area * (centre.y * centre.y + own),
            xy: area * centre.x * centre.y,
        }
    }

    /// Centre of area; the origin without area.
    pub(crate) fn centre(&self) -> Vec2 {
        if self.area == 0.0 {
            return Vec2::default();
        }
        Vec2::new(self.x / self.area, self.y / self.area)
    }

    /// Mean of (x², y², xy) about the centre; zero without area.
    pub(crate) fn spread(&self) -> [f64; 3] {
        if self.area == 0.0 {
            return [0.0; 3];
        }
        let c = self.centre();
        [
            self.xx / self.area - c.x * c.x,
            self.yy / self.area - c.y * c.y,
            self.xy / self.area - c.x * c.y,
        ]
    }
}

impl Add for Moments {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            area: self.area + other.area,
            x: self.x + other.x,
            y: self.y + other.y,
            xx: self.xx + other.xx,
            yy: self.yy + other.yy,
            xy: self.xy + other.xy,
        }
    }
}

impl Mul<f64> for Moments {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self {
            area: self.area * factor,
            x: self.x * factor,
            y: self.y * factor,
            xx: self.xx * factor,
            yy: self.yy * factor,
            xy: self.xy * factor,
        }
    }
}

impl Sub for Moments {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + other * -1.0
    }
}

impl AddAssign for Moments {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rectangle_has_its_textbook_moments() {
        let points = [(1.0, 2.0), (5.0, 2.0), (5.0, 4.0), (1.0, 4.0)].map(|(x, y)| Vec2::new(x, y));
        let m = Moments::of_polygon(&points);
        assert!((m.area - 8.0).abs() < 1e-12);
        assert!(m.centre().distance(Vec2::new(3.0, 3.0)) < 1e-12);
        let [xx, yy, xy] = m.spread();
        assert!((xx - 16.0 / 12.0).abs() < 1e-12 && (yy - 4.0 / 12.0).abs() < 1e-12);
        assert!(xy.abs() < 1e-12);
        let square = Moments::of_square(Vec2::new(3.0, 3.0), 2.0, 1.0);
        assert!((square.spread()[0] - 4.0 / 12.0).abs() < 1e-12);
    }
}
