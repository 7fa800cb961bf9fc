//! How far the cut at the top of a sheet runs past the blade's tip: plane geometry, exact.

use kw_base::math;

/// Length, mm, by which the cut at the surface runs ahead of the tip of a straight edge inclined
/// at `edge_angle_rad` to the sheet, tip `depth_mm` below the surface: t/tan β.
///
/// To finish a corner at the bottom the top is overcut by this; to keep the top clean the bottom
/// stays uncut over it. 0 at and beyond a right angle, `None` unless the angle is above 0.
pub fn straight_overcut_mm(depth_mm: f64, edge_angle_rad: f64) -> Option<f64> {
    let depth_mm = depth_mm.max(0.0);
    if edge_angle_rad >= math::FRAC_PI_2 {
        return Some(0.0);
    }
    (edge_angle_rad > 0.0).then(|| depth_mm / math::tan(edge_angle_rad))
}

/// Length, mm, of the cut at the surface on each side of the middle of a round blade of
/// `diameter_mm`, lowest point `depth_mm` below the surface: √(t·(d − t)), at most the radius.
/// `None` for a blade without diameter.
pub fn round_overcut_mm(depth_mm: f64, diameter_mm: f64) -> Option<f64> {
    let depth_mm = depth_mm.clamp(0.0, (diameter_mm / 2.0).max(0.0));
    (diameter_mm > 0.0).then(|| (depth_mm * (diameter_mm - depth_mm)).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn table_of_straight_blades() {
        for (depth_mm, degrees, expected) in
            [(5.0, 60.0, 2.887), (10.0, 45.0, 10.0), (3.0, 80.0, 0.529), (20.0, 75.0, 5.359)]
        {
            let got = straight_overcut_mm(depth_mm, f64::to_radians(degrees)).expect("an angle");
            assert!((got - expected).abs() < 5e-4, "{depth_mm} {degrees}: {got}");
        }
        assert_eq!(straight_overcut_mm(5.0, 2.0), Some(0.0));
        assert_eq!(straight_overcut_mm(5.0, 0.0), None);
        assert_eq!(straight_overcut_mm(5.0, f64::NAN), None);
    }

    #[test]
    fn table_of_round_blades() {
        for (depth_mm, diameter_mm, expected) in [(1.0, 28.0, 5.196), (5.0, 45.0, 14.142)] {
            let got = round_overcut_mm(depth_mm, diameter_mm).expect("a blade");
            assert!((got - expected).abs() < 5e-4);
        }
        assert_eq!(round_overcut_mm(50.0, 28.0), Some(14.0));
        assert_eq!(round_overcut_mm(1.0, 0.0), None);
        assert_eq!(round_overcut_mm(1.0, -5.0), None);
    }
}
