//! Times against closed forms of uniform acceleration (any textbook of kinematics).

use crate::support::{Path, even, off, total};
use kw_base::math::{PI, TAU};
use kw_motion::PlanOptions;
use kw_nc::toolpath::CornerMode;

/// Rest to rest over a length at a speed: trapezoid or triangle.
fn rest_to_rest(length: f64, speed: f64, acceleration: f64) -> f64 {
    if length * acceleration >= speed * speed {
        length / speed + speed / acceleration
    } else {
        2.0 * (length / acceleration).sqrt()
    }
}

#[test]
fn a_single_move_is_a_trapezoid_or_a_triangle() {
    for (length, feed) in [(100.0, 6000.0), (1.0, 6000.0), (10.0, 6000.0), (2500.0, 60_000.0)] {
        let path = Path::new().line(length, 0.0, 0.0, feed).0;
        let expected = rest_to_rest(length, (feed / 60.0_f64).min(500.0), 1000.0);
        assert!(off(total(&path, &even(500.0, 1000.0)), expected) < 1e-12, "{length} {feed}");
    }
}

#[test]
fn a_diagonal_uses_both_axes() {
    // 45 degrees: the path may run and speed up √2 times as fast as each axis.
    let path = Path::new().rapid(100.0, 100.0, 0.0).0;
    let root = 2.0_f64.sqrt();
    let expected = rest_to_rest(100.0 * root, 500.0 * root, 1000.0 * root);
    assert!(off(total(&path, &even(500.0, 1000.0)), expected) < 1e-12);
}

#[test]
fn a_square_slows_to_its_corner_speed() {
    // Rounding of a right angle within δ: r = δ·cos45°/(1 − cos45°); v = √(a·r).
    let (a, v, side, delta) = (1000.0, 100.0, 100.0, 0.05);
    let half = 0.5_f64.sqrt();
    let corner = (a * delta * half / (1.0 - half)).sqrt();
    let path = Path::new().line(side, 0.0, 0.0, 6000.0).line(side, side, 0.0, 6000.0);
    let path = path.line(0.0, side, 0.0, 6000.0).line(0.0, 0.0, 0.0, 6000.0).0;
    // Each side at full speed plus the time lost in ramps: (v − u)²/(2·a·v) per ramp from u to v.
    let lost = |u: f64| (v - u) * (v - u) / (2.0 * a * v);
    let expected = 4.0 * side / v + 2.0 * lost(0.0) + 6.0 * lost(corner);
    assert!(off(total(&path, &even(500.0, a)), expected) < 1e-12);
}

#[test]
fn exact_stop_stops_at_each_corner_of_a_square() {
    let path = Path::new().mode(CornerMode::ExactStop);
    let path = path.line(80.0, 0.0, 0.0, 6000.0).line(80.0, 80.0, 0.0, 6000.0);
    let path = path.line(0.0, 80.0, 0.0, 6000.0).line(0.0, 0.0, 0.0, 6000.0).0;
    let expected = 4.0 * rest_to_rest(80.0, 100.0, 1000.0);
    assert!(off(total(&path, &even(500.0, 1000.0)), expected) < 1e-12);
}

#[test]
fn a_circle_is_limited_by_its_radius() {
    // v = √(a·r) = 100 mm/s at r 10; asked for 200 mm/s.
    let path = Path::new().arc((10.0, 0.0), TAU, 12_000.0).0;
    let expected = rest_to_rest(TAU * 10.0, 100.0, 1000.0);
    assert!(off(total(&path, &even(500.0, 1000.0)), expected) < 1e-12);
}

#[test]
fn a_circle_of_many_legs_gets_the_speed_of_its_radius() {
    let mut path = Path::new();
    for i in 1..=1000 {
        let (sin, cos) = kw_base::math::sincos(TAU * f64::from(i) / 1000.0);
        path = path.line(10.0 - 10.0 * cos, -10.0 * sin, 0.0, 12_000.0);
    }
    let plan = kw_motion::plan(&path.0, &even(500.0, 1000.0), &PlanOptions::default());
    // After half the way the path runs along Y: one axis alone turns it, as on the worst point of
    // an arc. At 45 degrees both axes share the turn: √2 times the acceleration.
    assert!(off(f64::from(plan.peak_speed[500]), 100.0) < 5e-3, "{}", plan.peak_speed[500]);
    let shared = 100.0 * 2.0_f64.sqrt().sqrt();
    assert!(off(f64::from(plan.peak_speed[375]), shared) < 5e-3, "{}", plan.peak_speed[375]);
}

#[test]
fn a_zigzag_turns_from_rest() {
    // Reversals: each leg from rest to rest.
    let mut path = Path::new();
    for i in 0..10 {
        path = path.line(if i % 2 == 0 { 30.0 } else { 0.0 }, 0.0, 0.0, 6000.0);
    }
    let expected = 10.0 * rest_to_rest(30.0, 100.0, 1000.0);
    assert!(off(total(&path.0, &even(500.0, 1000.0)), expected) < 1e-12);
}

#[test]
fn a_half_circle_joins_its_tangents_without_a_stop() {
    let path = Path::new().line(50.0, 0.0, 0.0, 3000.0).arc((50.0, 10.0), PI, 3000.0);
    let path = path.line(0.0, 20.0, 0.0, 3000.0).0;
    let length = 100.0 + PI * 10.0;
    let expected = rest_to_rest(length, 50.0, 1000.0);
    assert!(off(total(&path, &even(500.0, 1000.0)), expected) < 1e-12);
}
