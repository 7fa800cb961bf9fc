//! Transforms and their inverses, and what must not change under them.

use crate::demo::{programs, read};
use kw_change::{Transform, WriteOptions, first_difference, transform, write};
use kw_geometry::{Vec2, Vec3};
use kw_nc::toolpath::Origin;
use kw_nc::{MoveKind, ReadContext, Toolpath};
use proptest::prelude::*;

fn feed_length_mm(path: &Toolpath) -> f64 {
    path.moves().filter(|m| m.kind != MoveKind::Rapid).map(|m| m.length_mm()).sum()
}

fn nearly_same(a: &Toolpath, b: &Toolpath, tolerance_mm: f64) {
    assert_eq!(a.len(), b.len());
    for (m, n) in a.moves().zip(b.moves()).filter(|(m, _)| m.origin != Origin::Home) {
        // A straight lift keeps the XY of the move before it, which may be a machine position.
        let gap = m.to_mm.distance(n.to_mm);
        assert!(gap < tolerance_mm, "move {}: {gap} mm apart", m.index);
        if let (Some(p), Some(q)) = (m.arc, n.arc) {
            assert!((p.sweep_rad - q.sweep_rad).abs() < 1e-9, "move {}", m.index);
        }
    }
}

#[test]
fn a_quarter_turn_four_times_changes_nothing() {
    for (name, sources, setup) in programs() {
        let original = kw_nc::read(&sources, &ReadContext::from_setup(&setup)).toolpath;
        let quarter = Transform {
            about_mm: Vec2::new(600.0, 400.0),
            turn_rad: std::f64::consts::FRAC_PI_2,
            ..Transform::default()
        };
        let mut path = original.clone();
        for _ in 0..4 {
            path = transform(&path, &quarter).unwrap().toolpath;
        }
        let length = feed_length_mm(&path) - feed_length_mm(&original);
        assert!(length.abs() < 1e-6, "{name}: {length}");
        nearly_same(&original, &path, 1e-6);
    }
}

#[test]
fn mirroring_swaps_sides_and_arc_sense() {
    let (_, sources, setup) = programs().into_iter().find(|p| p.0 == "hive-floor.nc").unwrap();
    let original = kw_nc::read(&sources, &ReadContext::from_setup(&setup)).toolpath;
    let t = Transform { mirror_x: true, about_mm: Vec2::new(500.0, 0.0), ..Transform::default() };
    let done = transform(&original, &t).unwrap();
    assert!(done.sides_swapped);
    assert!(!original.arcs.is_empty());
    for (a, b) in original.arcs.iter().zip(&done.toolpath.arcs) {
        assert_eq!(a.sweep_rad, -b.sweep_rad);
    }
}

#[test]
fn an_upright_arc_becomes_chords_only_where_it_must() {
    let text = "G21 G90 G18 G54 G0 X100 Y50 Z20\nG2 X110 Z20 I5 K0 F1000\nM30\n";
    let (_, _, setup) = programs().remove(0);
    let (_, reading) = read(text, &setup);
    let turned = |turn_deg: f64| {
        let t = Transform { turn_rad: turn_deg.to_radians(), ..Transform::default() };
        transform(&reading.toolpath, &t).unwrap()
    };
    assert_eq!(turned(90.0).arcs_as_chords, 0);
    assert_eq!(turned(180.0).arcs_as_chords, 0);
    let oblique = turned(30.0);
    assert_eq!(oblique.arcs_as_chords, 1);
    let change = feed_length_mm(&oblique.toolpath) - feed_length_mm(&reading.toolpath);
    // Chords within 0.01 mm of a semicircle of radius 5 are shorter by less than 0.05 mm.
    assert!(change < 0.0 && change > -0.05, "{change}");
}

#[test]
fn figures_that_are_none_are_refused() {
    let path = Toolpath::default();
    for t in [
        Transform { turn_rad: f64::NAN, ..Transform::default() },
        Transform { chord_tolerance_mm: 0.0, ..Transform::default() },
        Transform { shift_mm: Vec3::new(f64::INFINITY, 0.0, 0.0), ..Transform::default() },
    ] {
        assert!(transform(&path, &t).is_err());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_transform_and_its_inverse_give_the_program_back(
        turn_deg in -180.0..180.0_f64,
        mirror_x: bool,
        x in -200.0..200.0_f64,
        y in -200.0..200.0_f64,
        which in 0_usize..8,
    ) {
        let (name, sources, setup) = programs().swap_remove(which);
        let context = ReadContext::from_setup(&setup);
        let original = kw_nc::read(&sources, &context).toolpath;
        let shift_mm = Vec3::new(x, y, 0.0);
        let there = Transform {
            about_mm: Vec2::new(300.0, 200.0),
            turn_rad: turn_deg.to_radians(),
            mirror_x,
            shift_mm,
            ..Transform::default()
        };
        let moved = transform(&original, &there).unwrap().toolpath;
        // The written text must mean the transformed toolpath.
        let text = write(&moved, &context, &WriteOptions::default()).unwrap();
        let (_, read_again) = read(&text, &setup);
        prop_assert_eq!(first_difference(&moved, &read_again.toolpath), None, "{}", name);
        let back_turn = if mirror_x { there.turn_rad } else { -there.turn_rad };
        let unshift = Transform { shift_mm: -shift_mm, ..Transform::default() };
        let unturn = Transform {
            about_mm: there.about_mm,
            turn_rad: back_turn,
            mirror_x,
            ..Transform::default()
        };
        let unshifted = transform(&moved, &unshift).unwrap().toolpath;
        let back = transform(&unshifted, &unturn).unwrap().toolpath;
        nearly_same(&original, &back, 1e-6);
    }
}
