//! Whether the zones of a table fit it and one another.

use crate::plane::clip::{clip_to_triangle, fan};
use crate::plane::moments::Moments;
use kw_geometry::{Polygon, Vec2};

/// Overlap or overhang up to this area is taken as drawing error, mm²: a 1 mm strip along 1 m.
pub const AREA_TOLERANCE_MM2: f64 = 1000.0;
/// Most corners of one zone.
pub const MOST_CORNERS: usize = 2000;
/// Most zones.
pub const MOST_ZONES: usize = 256;

/// Something wrong with the zones; indices count from 0, words from 1.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum LayoutFault {
    /// More zones than are read.
    #[error("table has {zones} zones; at most 256 are read")]
    TooManyZones {
        /// Zones given.
        zones: usize,
    },
    /// A zone with too many corners.
    #[error("zone {} has {corners} corners; at most 2000 are read: draw it with fewer", zone + 1)]
    TooManyCorners {
        /// Index of the zone.
        zone: usize,
        /// Corners given.
        corners: usize,
    },
    /// A zone without area or with a corner that is no number.
    #[error("zone {} has an area of {area_mm2} mm²; give it at least three corners that enclose an area", zone + 1)]
    NoArea {
        /// Index of the zone.
        zone: usize,
        /// Its area, mm².
        area_mm2: f64,
    },
    /// A zone reaches beyond the table.
    #[error("zone {} reaches {area_mm2:.0} mm² beyond the table; move its corners inside", zone + 1)]
    LeavesTable {
        /// Index of the zone.
        zone: usize,
        /// Area outside, mm².
        area_mm2: f64,
    },
    /// Two zones cover the same place.
    #[error("zones {} and {} overlap by {area_mm2:.0} mm²; let them share a border instead", zones[0] + 1, zones[1] + 1)]
    Overlap {
        /// Indices of the zones.
        zones: [usize; 2],
        /// Common area, mm².
        area_mm2: f64,
    },
}

/// All faults of the zones of a table, in order of zone. Outlines must not cross themselves; either
/// direction.
pub fn zone_faults(table: &Polygon, zones: &[Polygon]) -> Vec<LayoutFault> {
    if zones.len() > MOST_ZONES {
        return vec![LayoutFault::TooManyZones { zones: zones.len() }];
    }
    let mut faults = Vec::new();
    let mut usable = Vec::new();
    for (zone, polygon) in zones.iter().enumerate() {
        let corners = polygon.points.len();
        let area_mm2 = polygon.signed_area_mm2().abs();
        if corners > MOST_CORNERS {
            faults.push(LayoutFault::TooManyCorners { zone, corners });
        } else if area_mm2.is_nan() || area_mm2 <= AREA_TOLERANCE_MM2 * 1e-3 {
            faults.push(LayoutFault::NoArea { zone, area_mm2 });
        } else {
            usable.push((zone, polygon, area_mm2));
        }
    }
    for (place, &(zone, polygon, area_mm2)) in usable.iter().enumerate() {
        let outside = area_mm2 - common_area_mm2(polygon, table);
        if outside > AREA_TOLERANCE_MM2 {
            faults.push(LayoutFault::LeavesTable { zone, area_mm2: outside });
        }
        for &(other, other_polygon, _) in &usable[..place] {
            let area_mm2 = common_area_mm2(polygon, other_polygon);
            if area_mm2 > AREA_TOLERANCE_MM2 {
                faults.push(LayoutFault::Overlap { zones: [other, zone], area_mm2 });
            }
        }
    }
    faults
}

/// Area that two simple polygons have in common, mm².
pub fn common_area_mm2(a: &Polygon, b: &Polygon) -> f64 {
    let (Some((a_low, a_high)), Some((b_low, b_high))) = (a.extent(), b.extent()) else {
        return 0.0;
    };
    let apart = |low: Vec2, high: Vec2, other_low: Vec2, other_high: Vec2| {
        low.x >= other_high.x
            || high.x <= other_low.x
            || low.y >= other_high.y
            || high.y <= other_low.y
    };
    if apart(a_low, a_high, b_low, b_high) {
        return 0.0;
    }
    let sum: f64 = fan(&b.points)
        .map(|(triangle, sign)| {
            sign * Moments::of_polygon(&clip_to_triangle(&a.points, triangle)).area
        })
        .sum();
    sum.abs()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Polygon {
        Polygon::rectangle(Vec2::new(x0, y0), Vec2::new(x1, y1))
    }

    #[test]
    fn tiles_of_a_table_have_no_fault() {
        let table = rectangle(0.0, 0.0, 3000.0, 1500.0);
        let mut zones: Vec<Polygon> = (0..4)
            .map(|i| rectangle(f64::from(i) * 750.0, 0.0, f64::from(i + 1) * 750.0, 1500.0))
            .collect();
        zones[1].points.reverse();
        assert_eq!(zone_faults(&table, &zones), []);
    }

    #[test]
    fn each_fault_names_zone_and_area() {
        let table = rectangle(0.0, 0.0, 1000.0, 1000.0);
        let zones = [
            rectangle(0.0, 0.0, 600.0, 1000.0),
            rectangle(500.0, 0.0, 1100.0, 1000.0),
            rectangle(0.0, 0.0, 10.0, 0.0),
            Polygon { points: vec![Vec2::new(f64::NAN, 0.0); 3] },
        ];
        let faults = zone_faults(&table, &zones);
        assert_eq!(faults.len(), 4);
        assert!(matches!(faults[0], LayoutFault::NoArea { zone: 2, .. }));
        assert!(matches!(faults[1], LayoutFault::NoArea { zone: 3, .. }));
        let LayoutFault::LeavesTable { zone: 1, area_mm2 } = faults[2] else {
            panic!("{faults:?}")
        };
        assert!((area_mm2 - 100_000.0).abs() < 1e-6);
        let LayoutFault::Overlap { zones: [0, 1], area_mm2 } = faults[3] else {
            panic!("{faults:?}")
        };
        assert!((area_mm2 - 100_000.0).abs() < 1e-6);
        assert_eq!(
            faults[3].to_string(),
            "zones 1 and 2 overlap by 100000 mm²; let them share a border instead"
        );
    }
}
