//! Areas and outlines of random contours against an exact polygon library (i_overlay 9.1, integer
//! grid of 64 bits): the union of one stadium per side, its round ends as 720-gons of equal area.

use crate::pencil::{FLAT, Pencil, THICK, sheet};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kw_base::math::{PI, TAU, sin, sincos};
use kw_geometry::{Polygon, Vec2};
use kw_stock::{PieceOptions, SweepOptions, pieces, sweep};

type Contour = Vec<[f64; 2]>;

/// A stadium counterclockwise.
fn stadium(a: Vec2, b: Vec2, radius: f64) -> Contour {
    let half = 360;
    // Radius at which a polygon with this many corners has the area of the circle.
    let step = PI / f64::from(half);
    let radius = radius * (step / sin(step)).sqrt();
    let along = b - a;
    let start = along.angle_rad() - PI / 2.0;
    let round = |centre: Vec2, from: f64| {
        (0..=half).map(move |i| {
            let (sin, cos) = sincos(from + step * f64::from(i));
            [centre.x + radius * cos, centre.y + radius * sin]
        })
    };
    round(b, start).chain(round(a, start + PI)).collect()
}

fn union(contours: &[Contour]) -> Vec<Vec<Contour>> {
    let nothing: Vec<Contour> = Vec::new();
    contours.to_vec().overlay_as::<i64>(&nothing, OverlayRule::Union, FillRule::NonZero)
}

fn area(contour: &Contour) -> f64 {
    let points = contour.iter().map(|&p| Vec2::from(p)).collect();
    Polygon { points }.signed_area_mm2()
}

fn swept_area(contours: &[Contour]) -> f64 {
    union(contours).iter().flatten().map(area).sum::<f64>().abs()
}

/// Deterministic numbers in [0, 1): a linear congruential generator (constants of Knuth's MMIX).
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

fn random_path(numbers: &mut Numbers, corners: usize) -> Vec<Vec2> {
    (0..corners)
        .map(|_| Vec2::new(10.0 + 140.0 * numbers.next(), 10.0 + 100.0 * numbers.next()))
        .collect()
}

fn along(path: &[Vec2], z: f64) -> Pencil {
    let mut pencil = Pencil::with(FLAT);
    pencil.plunge(path[0].x, path[0].y, z);
    for point in &path[1..] {
        pencil.line(point.x, point.y, z);
    }
    pencil.retract();
    pencil
}

#[test]
fn swept_area_agrees_and_the_error_shrinks_with_the_step() {
    let mut numbers = Numbers(7);
    let mut errors = [0.0_f64; 3];
    for _ in 0..24 {
        let path = random_path(&mut numbers, 7);
        let contours: Vec<Contour> =
            path.windows(2).map(|pair| stadium(pair[0], pair[1], 3.0)).collect();
        let exact = swept_area(&contours);
        let border: f64 = path.windows(2).map(|p| 2.0 * p[0].distance(p[1])).sum();
        for (step, sum) in [1.0, 0.5, 0.25].into_iter().zip(&mut errors) {
            let options = SweepOptions { step_mm: step, ..SweepOptions::default() };
            let stock = sweep(&along(&path, -5.0).path, &sheet(160.0, 120.0), &options).unwrap();
            let error = (stock.map.area_at_depth_mm2(5.0) - exact).abs();
            // Cells misplaced along a border cancel but for a small share of the border's strip.
            assert!(error < 0.03 * border * step, "{error} mm² at {step} mm, border {border} mm");
            *sum += error;
        }
    }
    assert!(errors[1] < 0.7 * errors[0] && errors[2] < 0.7 * errors[1], "{errors:?}");
}

#[test]
fn outlines_agree_with_the_polygon_library() {
    let mut numbers = Numbers(3);
    for _ in 0..12 {
        // A star-shaped contour cut out with its tool centre on the line.
        let (turn, count) = (numbers.next(), 9);
        let mut path: Vec<Vec2> = (0..count)
            .map(|i| {
                let (sin, cos) = sincos(TAU * (f64::from(i) + turn) / f64::from(count));
                let radius = 25.0 + 25.0 * numbers.next();
                Vec2::new(80.0 + radius * cos, 60.0 + radius * sin)
            })
            .collect();
        path.push(path[0]);
        let pencil = along(&path, -THICK - 0.5);
        let setup = sheet(160.0, 120.0);
        let options = SweepOptions::default();
        let stock = sweep(&pencil.path, &setup, &options).unwrap();
        let found = pieces(&stock, &pencil.path, &setup, &PieceOptions::default());
        let contours: Vec<Contour> =
            path.windows(2).map(|pair| stadium(pair[0], pair[1], 3.0)).collect();
        let shapes = union(&contours);
        assert_eq!(shapes.len(), 1);
        let mut holes: Vec<&Contour> =
            shapes[0][1..].iter().filter(|h| area(h).abs() > 4.0).collect();
        holes.sort_by(|a, b| area(a).abs().total_cmp(&area(b).abs()));
        let mut parts: Vec<_> =
            found.all.iter().filter(|p| !p.at_border).filter_map(|p| p.rest.as_ref()).collect();
        parts.sort_by(|a, b| a.area_mm2.total_cmp(&b.area_mm2));
        assert_eq!(parts.len(), holes.len());
        for (part, hole) in parts.iter().zip(holes) {
            let exact = Polygon { points: hole.iter().map(|&p| Vec2::from(p)).collect() };
            let border: f64 = exact.edges().map(|(a, b)| a.distance(b)).sum();
            let error = (part.area_mm2 - exact.signed_area_mm2().abs()).abs();
            assert!(error < 0.02 * border, "{error} mm² along {border} mm");
            for corner in &part.outline.points {
                let distance = exact.distance_to_border_mm(*corner);
                // The outline tolerance, and half as much for restored corners.
                assert!(distance < 0.03, "{corner:?} lies {distance} mm off");
            }
            for corner in &exact.points {
                let distance = part.outline.distance_to_border_mm(*corner);
                assert!(distance < 0.5, "{corner:?} is missed by {distance} mm");
            }
        }
    }
}
