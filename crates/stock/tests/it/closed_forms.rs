//! Areas and volumes that are known in closed form. Bound: each mm of border can misplace at most
//! half a cell's diagonal to either side; on average over a border it is far less.

use crate::pencil::{BALL, CORNER, FLAT, Pencil, VEE, sheet};
use kw_base::math::PI;
use kw_stock::{MoveFlags, Stock, SweepOptions, sweep};

fn run(pencil: &Pencil, step_mm: f64) -> Stock {
    let options = SweepOptions { step_mm, ..SweepOptions::default() };
    sweep(&pencil.path, &sheet(160.0, 120.0), &options).unwrap()
}

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} against {expected} ± {within}");
}

#[test]
fn a_plunge_makes_a_disc() {
    for (step, bound) in [(0.5, 0.03), (0.1, 0.004)] {
        let stock = run(Pencil::with(FLAT).plunge(60.3, 50.2, -5.0), step);
        let area = stock.map.area_at_depth_mm2(4.9);
        near(area / (9.0 * PI), 1.0, bound);
        near(stock.map.removed_volume_mm3(), area * 5.0, 1e-6);
        let flags = stock.moves.flags[2];
        assert!(flags.has(MoveFlags::PLUNGE) && flags.has(MoveFlags::CUTS));
    }
}

#[test]
fn a_slot_makes_a_stadium() {
    for step in [0.5, 0.2] {
        let (x, y) = (90.0 * 0.8, 90.0 * 0.6);
        let stock =
            run(Pencil::with(FLAT).plunge(20.0, 20.0, -3.0).line(20.0 + x, 20.0 + y, -3.0), step);
        let area = 90.0 * 6.0 + 9.0 * PI;
        near(stock.map.area_at_depth_mm2(3.0), area, area * 0.01 * step);
        near(f64::from(stock.moves.radial_width_mm[3]), 6.0, 0.06);
        near(f64::from(stock.moves.axial_depth_mm[3]), 3.0, 1e-4);
        near(f64::from(stock.moves.climb[3]), 0.0, 0.02);
        near(f64::from(stock.moves.volume_mm3[3]), 90.0 * 6.0 * 3.0, 20.0);
    }
}

#[test]
fn an_arc_makes_a_ring_sector_with_round_ends() {
    for degrees in [37.0, 90.0, -150.0, 180.0, 250.0, -359.0] {
        let mut pencil = Pencil::with(FLAT);
        pencil.plunge(100.0, 60.0, -4.0).arc((70.0, 60.0), degrees, -4.0);
        let stock = run(&pencil, 0.25);
        let angle = f64::to_radians(f64::abs(degrees));
        let mut expected = angle * 30.0 * 6.0 + 9.0 * PI;
        if degrees == -359.0 {
            expected = PI * (33.0_f64.powi(2) - 27.0_f64.powi(2));
        }
        near(stock.map.area_at_depth_mm2(4.0) / expected, 1.0, 0.003);
    }
}

#[test]
fn an_arc_tighter_than_the_tool_leaves_no_core() {
    let stock =
        run(Pencil::with(FLAT).plunge(72.07, 60.04, -4.0).arc((70.07, 60.04), 360.0, -4.0), 0.25);
    near(stock.map.area_at_depth_mm2(4.0) / (25.0 * PI), 1.0, 0.005);
}

#[test]
fn a_ball_slot_has_a_round_bottom() {
    let stock = run(Pencil::with(BALL).plunge(20.0, 60.0, -4.0).line(120.0, 60.0, -4.0), 0.25);
    // Half cylinder and two halves of a half ball.
    let expected = 100.0 * PI * 16.0 / 2.0 + 2.0 / 3.0 * PI * 64.0;
    near(stock.map.removed_volume_mm3() / expected, 1.0, 0.002);
}

#[test]
fn a_corner_radius_slot_lacks_its_corners() {
    let stock = run(Pencil::with(CORNER).plunge(20.0, 60.0, -2.0).line(120.0, 60.0, -2.0), 0.125);
    let section = 8.0 * 2.0 - 2.0 * (1.0 - PI / 4.0);
    let end = {
        // Turned around the axis: flat disc to 3 mm, quarter round to 4 mm (Pappus).
        let quarter = PI / 4.0;
        let centroid = 3.0 + 4.0 / (3.0 * PI);
        PI * 9.0 * 2.0 + (PI * 16.0 - PI * 9.0) * 1.0 + 2.0 * PI * centroid * quarter
    };
    near(stock.map.removed_volume_mm3() / (100.0 * section + end), 1.0, 0.003);
}

#[test]
fn a_vee_groove_is_a_trapezium() {
    let stock = run(Pencil::with(VEE).plunge(20.0, 60.3, -3.0).line(120.0, 60.3, -3.0), 0.2);
    let section = 3.0 * (1.0 + 7.0) / 2.0;
    let end = PI * 3.0 / 3.0 * (0.25 + 0.5 * 3.5 + 12.25);
    near(stock.map.removed_volume_mm3() / (100.0 * section + end), 1.0, 0.002);
}

#[test]
fn a_flat_ramp_is_deepest_where_the_tool_leaves() {
    let stock = run(Pencil::with(FLAT).plunge(20.0, 60.0, 0.0).line(120.0, 60.0, -10.0), 0.5);
    // On the path the tool leaves a place 3 mm after its centre passed.
    let depth = stock.map.depth_at_mm(kw_geometry::Vec2::new(70.25, 60.25)).unwrap();
    let half = (9.0_f64 - 0.0625).sqrt();
    near(depth, (50.25 + half) / 10.0, 2e-3);
    let depth = stock.map.depth_at_mm(kw_geometry::Vec2::new(122.25, 60.25)).unwrap();
    near(depth, 10.0, 1e-9);
}

#[test]
fn a_helix_goes_down_evenly() {
    let mut pencil = Pencil::with(FLAT);
    pencil.plunge(80.0, 60.0, 0.0);
    for turn in 1..=5 {
        pencil.arc((70.0, 60.0), 360.0, f64::from(-turn) * 2.0);
    }
    pencil.arc((70.0, 60.0), 360.0, -10.0);
    let stock = run(&pencil, 0.25);
    let ring = PI * (13.0_f64.powi(2) - 7.0_f64.powi(2));
    near(stock.map.area_at_depth_mm2(9.99) / ring, 1.0, 0.005);
    near(stock.map.removed_volume_mm3() / (ring * 10.0), 1.0, 0.005);
    // A quarter turn after the start of the second turn, just behind the tool's reach:
    let half_helix = {
        let mut pencil = Pencil::with(FLAT);
        pencil.plunge(80.0, 60.0, 0.0).arc((70.0, 60.0), 180.0, -4.0);
        run(&pencil, 0.25)
    };
    // On the path at 90° the tool covers ±acos(1 − r²/2R²) of angle.
    let reach = kw_base::math::acos(1.0 - 9.0 / 200.0);
    let depth = half_helix.map.depth_at_mm(kw_geometry::Vec2::new(70.125, 70.125)).unwrap();
    near(depth, 4.0 * (PI / 2.0 + reach) / PI, 0.03);
}

#[test]
fn an_arc_in_zx_scoops_a_round_trough() {
    // Ball of 4 mm on an arc of 20 mm that dips to 3 mm: the lowest line is the arc itself.
    let mut pencil = Pencil::with(BALL);
    pencil.plunge(50.0, 60.0, 1.0);
    let half = kw_base::math::asin((20.0_f64.powi(2) - 17.0_f64.powi(2)).sqrt() / 20.0);
    let reach = 20.0 * kw_base::math::sin(half);
    pencil.line(70.0 - reach, 60.0, 0.0).arc_zx((17.0, 70.0), -2.0 * half.to_degrees());
    let stock = run(&pencil, 0.25);
    let depth = stock.map.depth_at_mm(kw_geometry::Vec2::new(70.0, 60.0)).unwrap();
    near(depth, 3.0, 0.02);
    near(
        f64::from(stock.moves.volume_mm3.iter().sum::<f32>()),
        stock.map.removed_volume_mm3(),
        1.0,
    );
}
