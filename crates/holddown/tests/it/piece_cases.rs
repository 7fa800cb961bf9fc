//! T14 to T16, T19 of the fact sheet: forces and margins of single pieces.
//!
//! Source of each: computed from the equations of sections 3.1 to 3.4.

use kw_geometry::{Polygon, Vec2};
use kw_holddown::piece::{Criterion, Grip, GrippedPiece, Load, PieceShape, ShapeOptions};
use kw_holddown::{Air, Board};

#[track_caller]
fn near(got: f64, expected: f64, relative: f64) {
    let off = (got / expected - 1.0).abs();
    assert!(off <= relative, "{got} is not {expected} within {relative}: off by {off:.2e}");
}

const TABLE: f64 = 5000.0;

fn zone() -> Polygon {
    Polygon::rectangle(Vec2::new(-TABLE, -TABLE), Vec2::new(TABLE, TABLE))
}

fn rectangle(a: f64, b: f64) -> PieceShape {
    let outline = Polygon::rectangle(Vec2::new(0.0, 0.0), Vec2::new(a, b));
    PieceShape::from_outline(&outline, &[], &[zone()], ShapeOptions::default()).unwrap()
}

fn disc(radius: f64) -> PieceShape {
    let corner =
        |i: i32| Vec2::new(radius, 0.0).rotated(f64::from(i) * std::f64::consts::TAU / 360.0);
    let outline = Polygon { points: (0..360).map(corner).collect() };
    PieceShape::from_outline(&outline, &[], &[zone()], ShapeOptions::default()).unwrap()
}

/// A hard table: nothing is lost at the edges.
fn lossless(friction: f64) -> Grip {
    Grip { board: None, sheet: None, gap_m: 0.0, friction }
}

/// λ/(μN) of a shape under even pressure.
fn factor(shape: &PieceShape, at: Vec2, direction: Vec2) -> f64 {
    let piece = GrippedPiece::new(shape, 0.0, &lossless(1.0));
    let contact = piece.contact(&[40_000.0], &Air::default());
    let load = Load { force_n: direction, at_mm: at, height_mm: 0.0, up_n: 0.0 };
    piece.margins(&contact, &load, &[]).slide / contact.force_n()
}

const ALONG: Vec2 = Vec2::new(1.0, 0.0);
const ACROSS: Vec2 = Vec2::new(0.0, 1.0);

/// T14 [3.2] Mean radius about the middle: a far load turns the piece about its middle.
#[test]
fn t14_friction_torque() {
    let mean_radius = |shape: &PieceShape, centre: Vec2| {
        let far = 1e6;
        factor(shape, centre + Vec2::new(0.0, far), ALONG) * far
    };
    near(mean_radius(&rectangle(100.0, 50.0), Vec2::new(50.0, 25.0)), 29.662, 5e-4);
    near(mean_radius(&rectangle(400.0, 50.0), Vec2::new(200.0, 25.0)), 101.879, 5e-4);
    near(mean_radius(&rectangle(100.0, 100.0), Vec2::new(50.0, 50.0)), 38.260, 5e-4);
    near(mean_radius(&disc(30.0), Vec2::default()), 20.0, 5e-4);
}

/// T15 [3.1–3.2] Force balance.
#[test]
fn t15_force_balance() {
    let shape = rectangle(100.0, 50.0);
    let weight = 750.0 * 0.1 * 0.05 * 0.018 * kw_holddown::air::GRAVITY_M_S2;
    near(weight, 0.662, 1e-3);
    let piece = GrippedPiece::new(&shape, weight, &lossless(0.3));
    let contact = piece.contact(&[40_000.0], &Air::default());
    near(contact.vacuum_n, 306.63, 1e-3);
    let normal = contact.force_n() - 20.0;
    near(normal, 287.29, 1e-3);
    near(0.3 * normal, 86.19, 1e-3);
    // Through the middle the force only slides and tilts about the long axis; the lift sits there too.
    let middle = Vec2::new(50.0, 25.0);
    let load = Load { force_n: ACROSS * 60.0, at_mm: middle, height_mm: 18.0, up_n: 20.0 };
    let margins = piece.margins(&contact, &load, &[]);
    near(margins.slide, 1.436, 1e-3);
    near(margins.edge_lift, 2.217, 1e-3);
    near(margins.lift, (306.63 + 0.662) / 20.0, 1e-3);
    assert_eq!(margins.smallest().1, Criterion::Slide);
}

/// T16 [3.2] Capacity against slide and twist together.
#[test]
fn t16_twist_capacity() {
    let at = Vec2::new;
    let cases = [
        (rectangle(100.0, 50.0), at(50.0, 50.0), ALONG, 0.7568),
        (rectangle(100.0, 100.0), at(50.0, 100.0), ALONG, 0.5747),
        (rectangle(100.0, 50.0), at(100.0, 25.0), ACROSS, 0.4753),
        (rectangle(400.0, 50.0), at(400.0, 25.0), ACROSS, 0.4207),
        (rectangle(120.0, 80.0), at(120.0, 40.0), ACROSS, 0.5072),
        (disc(40.0), at(40.0, 0.0), ACROSS, 0.5258),
        (rectangle(1000.0, 1.0), at(1000.0, 0.5), ACROSS, 2.0_f64.sqrt() - 1.0),
    ];
    for (shape, at, direction, expected) in cases {
        near(factor(&shape, at, direction), expected, 5e-3);
    }
}

/// The rod of section 3.2 with a side load at an offset: λ = μN·2c/L, c = −e + √(e² + L²/4).
#[test]
fn rod_with_a_side_load_at_any_offset() {
    let length = 1000.0;
    let rod = rectangle(length, 0.5);
    for e in [0.0_f64, 50.0, 200.0, 400.0, 900.0] {
        let c = -e + (e * e + length * length / 4.0).sqrt();
        let got = factor(&rod, Vec2::new(length / 2.0 + e, 0.25), ACROSS);
        near(got, 2.0 * c / length, 2e-3);
    }
}

/// The ellipse rule is over, the linear rule under the exact capacity (section 3.2).
#[test]
fn simple_rules_bracket_the_capacity() {
    let shape = rectangle(100.0, 50.0);
    let exact = factor(&shape, Vec2::new(100.0, 25.0), ACROSS);
    let by_turn: f64 = 50.0 / 29.662;
    let linear = 1.0 / (1.0 + by_turn);
    let ellipse = 1.0 / (1.0 + by_turn * by_turn).sqrt();
    assert!(linear < exact && exact < ellipse, "{linear} {exact} {ellipse}");
    near(linear / exact, 1.0 - 0.23, 0.03);
}

/// T19 [3.4] Worked example.
#[test]
fn t19_worked_example() {
    let shape = rectangle(120.0, 80.0);
    let weight = 750.0 * 0.12 * 0.08 * 0.018 * kw_holddown::air::GRAVITY_M_S2;
    near(weight, 1.271, 1e-3);
    let grip =
        Grip { board: Some(Board::new(0.018, 2e-13)), sheet: None, gap_m: 0.0, friction: 0.30 };
    let piece = GrippedPiece::new(&shape, weight, &grip);
    let contact = piece.contact(&[46_833.83], &Air::default());
    let raw = (101_325.0 - 46_833.83) * 0.12 * 0.08;
    near(raw, 523.1, 1e-3);
    near(contact.vacuum_n / raw, 0.6232, 5e-3);
    near(contact.force_n() - 25.0, 302.3, 5e-3);
    let load = |force| Load {
        force_n: ACROSS * force,
        at_mm: Vec2::new(120.0, 40.0),
        height_mm: 9.0,
        up_n: 25.0,
    };
    let strong = piece.margins(&contact, &load(80.0), &[]);
    near(strong.slide, 0.575, 5e-3);
    near(strong.edge_lift, 2.34, 5e-3);
    assert_eq!(strong.smallest(), (strong.slide, Criterion::Slide));
    near(piece.margins(&contact, &load(20.0), &[]).slide, 2.30, 5e-3);
}
