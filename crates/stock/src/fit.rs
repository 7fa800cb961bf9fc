//! From a border of closely set exact points to a polygon with few corners.

use kw_geometry::{Polygon, Vec2};

/// Thins a closed border to corners from which no point of the border lies farther than
/// `tolerance`, and restores sharp corners that the cells had cut off. Cells throughout.
pub(crate) fn fit(points: &[Vec2], tolerance: f64) -> Polygon {
    let corners = thin(points, tolerance);
    Polygon { points: sharpen(&corners) }
}

/// Keeps as few points as one pass can: from each kept point on, the farthest one for which all
/// points between lie within the tolerance of the straight line. Linear in the number of points.
fn thin(points: &[Vec2], tolerance: f64) -> Vec<Vec2> {
    if points.len() < 4 {
        return points.to_vec();
    }
    let start = farthest_from_middle(points);
    let at = |index: usize| points[(start + index) % points.len()];
    let mut kept = vec![at(0)];
    let mut anchor = at(0);
    let mut cone = Cone::all_around();
    for index in 1..=points.len() {
        let (before, point) = (at(index - 1), at(index));
        if cone.holds(anchor, point, tolerance) {
            continue;
        }
        anchor = before;
        kept.push(before);
        cone = Cone::all_around();
        cone.holds(anchor, point, tolerance);
    }
    kept
}

/// A point of the border that is surely a corner or an apex: starting in the middle of a straight
/// side would leave a corner there.
fn farthest_from_middle(points: &[Vec2]) -> usize {
    let sum = points.iter().fold(Vec2::default(), |sum, &p| sum + p);
    let middle = sum * (1.0 / points.len() as f64);
    let mut best = (0, -1.0);
    for (index, point) in points.iter().enumerate() {
        let distance = point.distance(middle);
        if distance > best.1 {
            best = (index, distance);
        }
    }
    best.0
}

/// The directions from an anchor that pass all points so far within the tolerance.
struct Cone {
    /// Right and left bound; `None` while every direction is allowed.
    bounds: Option<(Vec2, Vec2)>,
    /// Greatest distance reached: turning back is not straight.
    reach: f64,
}

impl Cone {
    fn all_around() -> Self {
        Self { bounds: None, reach: 0.0 }
    }

    /// Whether the way to a point lies in the cone; if so the cone narrows to it.
    fn holds(&mut self, anchor: Vec2, point: Vec2, tolerance: f64) -> bool {
        let way = point - anchor;
        let distance = way.length();
        if distance <= tolerance {
            return self.bounds.is_none();
        }
        if let Some((right, left)) = self.bounds
            && (right.cross(way) < 0.0
                || way.cross(left) < 0.0
                || distance < self.reach - tolerance)
        {
            return false;
        }
        self.reach = self.reach.max(distance);
        // The cone of half angle asin(tolerance / distance) about the way.
        let forward = (distance * distance - tolerance * tolerance).sqrt();
        let across = way.perpendicular() * (tolerance / distance);
        let ahead = way * (forward / distance);
        let (right, left) = (ahead - across, ahead + across);
        self.bounds = Some(match self.bounds {
            None => (right, left),
            Some((r, l)) => (
                if r.cross(right) > 0.0 { right } else { r },
                if left.cross(l) > 0.0 { left } else { l },
            ),
        });
        true
    }
}

/// A side shorter than this between two long ones is a corner cut off by the cells: at most the
/// diagonal of a cell and what the tolerance adds.
const CHAMFER: f64 = 1.6;
/// What counts as a long side.
const LONG: f64 = 3.0;
/// Sharp corners at least this far from straight (sine of the angle) are restored.
const LEAST_TURN: f64 = 0.2;

fn sharpen(corners: &[Vec2]) -> Vec<Vec2> {
    let count = corners.len();
    if count < 4 {
        return corners.to_vec();
    }
    let at = |index: usize| corners[index % count];
    let is_chamfer: Vec<Option<Vec2>> = (0..count)
        .map(|index| {
            let (a, b, c, d) = (at(index + count - 1), at(index), at(index + 1), at(index + 2));
            apex(a, b, c, d)
        })
        .collect();
    let mut sharp = Vec::with_capacity(count);
    for index in 0..count {
        // Corner `index` ends side `index - 1` and starts side `index`.
        if let Some(corner) = is_chamfer[index] {
            sharp.push(corner);
        } else if is_chamfer[(index + count - 1) % count].is_none() {
            sharp.push(at(index));
        }
    }
    sharp
}

/// Where the sides a–b and c–d would meet if b–c only cuts off their corner.
fn apex(a: Vec2, b: Vec2, c: Vec2, d: Vec2) -> Option<Vec2> {
    let (before, after) = (b - a, d - c);
    if b.distance(c) > CHAMFER || before.length() < LONG || after.length() < LONG {
        return None;
    }
    let turn = before.cross(after);
    let scale = before.length() * after.length();
    if turn.abs() < LEAST_TURN * scale {
        return None;
    }
    let share = (c - b).cross(after) / turn;
    let corner = b + before * share;
    let ahead = share >= 0.0 && (corner - c).dot(after) <= 0.0;
    (ahead && corner.distance(b) <= CHAMFER && corner.distance(c) <= CHAMFER).then_some(corner)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kw_base::math::{TAU, sincos};

    #[test]
    fn a_circle_keeps_its_area_within_the_tolerance() {
        let points: Vec<Vec2> = (0..2000)
            .map(|i| {
                let (sin, cos) = sincos(TAU * f64::from(i) / 2000.0);
                Vec2::new(100.0 * cos, 100.0 * sin)
            })
            .collect();
        let polygon = fit(&points, 0.05);
        assert!(polygon.points.len() < 130, "{}", polygon.points.len());
        let area = std::f64::consts::PI * 10_000.0;
        assert!((polygon.signed_area_mm2() - area).abs() < 0.05 * TAU * 100.0);
    }

    #[test]
    fn cut_off_corners_are_restored() {
        let mut points = Vec::new();
        for (from, to) in [((0.3, 0.0), (19.6, 0.0)), ((20.0, 0.7), (20.0, 9.2))] {
            points.extend([Vec2::new(from.0, from.1), Vec2::new(to.0, to.1)]);
        }
        points.extend([Vec2::new(19.5, 10.0), Vec2::new(0.4, 10.0)]);
        points.extend([Vec2::new(0.0, 9.5), Vec2::new(0.0, 0.4)]);
        let polygon = fit(&points, 0.02);
        assert_eq!(polygon.points.len(), 4, "{:?}", polygon.points);
        assert!((polygon.signed_area_mm2() - 200.0).abs() < 1e-9);
    }
}
