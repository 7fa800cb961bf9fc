//! Convex hull (Andrew's monotone chain, 1979).

use kw_geometry::Vec2;

/// Corners of the convex hull, counterclockwise; fewer than three for degenerate input.
pub(crate) fn hull(mut points: Vec<Vec2>) -> Vec<Vec2> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let mut corners: Vec<Vec2> = Vec::with_capacity(points.len());
    chain(&mut corners, points.iter().copied());
    corners.pop();
    let lower = corners.len();
    let mut upper: Vec<Vec2> = Vec::with_capacity(points.len());
    chain(&mut upper, points.iter().rev().copied());
    upper.pop();
    debug_assert!(lower > 0);
    corners.extend(upper);
    corners
}

fn chain(corners: &mut Vec<Vec2>, points: impl Iterator<Item = Vec2>) {
    for point in points {
        while let [.., a, b] = corners[..]
            && (b - a).cross(point - a) <= 0.0
        {
            corners.pop();
        }
        corners.push(point);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inner_and_edge_points_are_dropped() {
        let points =
            [(0.0, 0.0), (2.0, 0.0), (1.0, 0.0), (2.0, 2.0), (0.0, 2.0), (1.0, 1.0), (0.0, 0.0)];
        let corners = hull(points.map(|(x, y)| Vec2::new(x, y)).into());
        assert_eq!(corners.len(), 4);
        assert_eq!(hull(vec![Vec2::new(1.0, 1.0); 5]).len(), 1);
    }
}
