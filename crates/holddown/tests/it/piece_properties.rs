//! Invariants of pieces: bounds, cutting into cells, symmetries, anchors.

use crate::random::{Random, seeded};
use kw_base::Band;
use kw_geometry::{Polygon, Vec2};
use kw_holddown::piece::{
    Anchor, Bed, CASES, CellMap, Grip, GrippedPiece, HoldRanges, Load, Loads, Margins, Outlook,
    PieceShape, RangedPiece, ShapeOptions, TwistMemo,
};
use kw_holddown::{Air, Board};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use rand::RngExt;

fn config() -> Config {
    Config {
        cases: 64,
        rng_seed: RngSeed::Fixed(1),
        failure_persistence: None,
        ..Config::default()
    }
}

fn near(a: f64, b: f64, relative: f64) -> bool {
    a == b || (a - b).abs() <= relative * a.abs().max(b.abs())
}

fn zones() -> Vec<Polygon> {
    vec![
        Polygon::rectangle(Vec2::new(-500.0, -500.0), Vec2::new(40.0, 500.0)),
        Polygon::rectangle(Vec2::new(40.0, -500.0), Vec2::new(500.0, 500.0)),
    ]
}

/// A star-shaped outline about (40, 40) with 5 to 12 corners.
fn star(random: &mut Random) -> Polygon {
    let corners = random.random_range(5..=12);
    let corner = |i: i32| {
        let angle = std::f64::consts::TAU * f64::from(i) / f64::from(corners);
        Vec2::new(40.0, 40.0) + Vec2::new(random.random_range(25.0..120.0), 0.0).rotated(angle)
    };
    Polygon { points: (0..corners).map(corner).collect() }
}

fn load(random: &mut Random) -> Load {
    let angle = random.random_range(0.0..std::f64::consts::TAU);
    Load {
        force_n: Vec2::new(random.random_range(5.0..150.0), 0.0).rotated(angle),
        at_mm: Vec2::new(random.random_range(-40.0..120.0), random.random_range(-40.0..120.0)),
        height_mm: random.random_range(0.0..25.0),
        up_n: random.random_range(0.0..30.0),
    }
}

fn grip() -> Grip {
    Grip { board: Some(Board::new(0.018, 2e-13)), sheet: None, gap_m: 20e-6, friction: 0.3 }
}

fn margins(outline: &Polygon, zones: &[Polygon], load: &Load, cells: usize) -> (f64, Margins) {
    let shape = PieceShape::from_outline(outline, &[], zones, ShapeOptions { cells }).unwrap();
    let piece = GrippedPiece::new(&shape, 2.0, &grip());
    let contact = piece.contact(&[40_000.0, 60_000.0], &Air::default());
    (contact.vacuum_n, piece.margins(&contact, load, &[]))
}

#[test]
fn finer_cells_leave_the_force_alone_and_the_margins_nearly() {
    let mut random = seeded(3);
    for case in 0..40 {
        let (outline, load) = (star(&mut random), load(&mut random));
        let (force, coarse) = margins(&outline, &zones(), &load, 100);
        let (same, fine) = margins(&outline, &zones(), &load, 5000);
        assert!(near(force, same, 1e-9), "case {case}");
        assert!(near(coarse.lift, fine.lift, 1e-9), "case {case}");
        assert!(near(coarse.slide, fine.slide, 3e-3), "case {case}: {coarse:?} {fine:?}");
        assert!(near(coarse.edge_lift, fine.edge_lift, 1e-6), "case {case}: {coarse:?} {fine:?}");
    }
}

#[test]
fn shifting_turning_and_mirroring_change_nothing() {
    let mut random = seeded(4);
    let quarter = |p: Vec2| Vec2::new(-p.y, p.x);
    let shift = |p: Vec2| p + Vec2::new(1234.5, -987.0);
    let mirror = |p: Vec2| Vec2::new(-p.x, p.y);
    for case in 0..40 {
        let (outline, load) = (star(&mut random), load(&mut random));
        let (force, before) = margins(&outline, &zones(), &load, 100);
        type Map<'a> = &'a dyn Fn(Vec2) -> Vec2;
        let moves: [(Map, Map); 3] = [(&quarter, &quarter), (&shift, &|v| v), (&mirror, &mirror)];
        for (of_point, of_vector) in moves {
            let moved =
                |p: &Polygon| Polygon { points: p.points.iter().map(|&q| of_point(q)).collect() };
            let zones: Vec<Polygon> = zones().iter().map(moved).collect();
            let load =
                Load { force_n: of_vector(load.force_n), at_mm: of_point(load.at_mm), ..load };
            let (same, after) = margins(&moved(&outline), &zones, &load, 100);
            assert!(near(force, same, 1e-9), "case {case}");
            assert!(near(before.slide, after.slide, 1e-5), "case {case}: {before:?} {after:?}");
            assert!(near(before.edge_lift, after.edge_lift, 1e-7), "case {case}");
        }
    }
}

/// More vacuum under any zone raises neither lift nor slide risk; force stays below ambient times area.
#[test]
fn more_vacuum_never_harms_lift_or_slide() {
    let mut random = seeded(5);
    let air = Air::default();
    for case in 0..60 {
        let outline = star(&mut random);
        let shape =
            PieceShape::from_outline(&outline, &[], &zones(), ShapeOptions::default()).unwrap();
        let piece = GrippedPiece::new(&shape, 1.0, &grip());
        let load = load(&mut random);
        let pressures: [f64; 2] =
            [random.random_range(20_000.0..101_325.0), random.random_range(20_000.0..101_325.0)];
        let mut lower = pressures;
        lower[random.random_range(0..2)] *= random.random_range(0.3..1.0);
        let (before, after) = (piece.contact(&pressures, &air), piece.contact(&lower, &air));
        assert!(after.vacuum_n >= before.vacuum_n - 1e-9, "case {case}");
        assert!(after.vacuum_n <= air.ambient_pa * shape.area_mm2() * 1e-6, "case {case}");
        let (before, after) =
            (piece.margins(&before, &load, &[]), piece.margins(&after, &load, &[]));
        assert!(after.lift >= before.lift - 1e-9, "case {case}");
        assert!(after.slide >= before.slide * (1.0 - 1e-4), "case {case}: {before:?} {after:?}");
    }
}

#[test]
fn anchors_only_help() {
    let mut random = seeded(6);
    let air = Air::default();
    for case in 0..60 {
        let outline = star(&mut random);
        let shape =
            PieceShape::from_outline(&outline, &[], &zones(), ShapeOptions::default()).unwrap();
        let piece = GrippedPiece::new(&shape, 1.0, &grip());
        let contact = piece.contact(&[50_000.0, 50_000.0], &air);
        let load = load(&mut random);
        let free = piece.margins(&contact, &load, &[]);
        let tabs: Vec<Anchor> =
            outline.points.iter().take(3).map(|&at| Anchor::tab(at, 5.0, 3.0, 5.0)).collect();
        let tied = piece.margins(&contact, &load, &tabs);
        assert!(tied.lift > free.lift && tied.slide > free.slide, "case {case}: {free:?} {tied:?}");
        // Without vacuum the tabs alone carry: at most their sum.
        let bare = piece.contact(&[air.ambient_pa; 2], &air);
        let alone = piece.margins(&bare, &Load { up_n: 0.0, ..load }, &tabs).slide;
        assert!(alone * load.force_n.length() <= 225.0 + 1.0, "case {case}: {alone}");
    }
}

/// A cell map of a shape gives the margins of its outline or somewhat lower ones.
#[test]
fn cell_map_and_outline_agree() {
    let mut random = seeded(8);
    let air = Air::default();
    for case in 0..10 {
        let (outline, load) = (star(&mut random), load(&mut random));
        let step_mm = 0.5;
        let (columns, rows) = (520, 520);
        let origin = Vec2::new(-90.0, -90.0);
        let filled = (0..rows * columns)
            .map(|i| {
                let at =
                    Vec2::new((i % columns) as f64 + 0.5, (i / columns) as f64 + 0.5) * step_mm;
                if outline.contains(origin + at) { 1.0 } else { 0.0 }
            })
            .collect();
        let map = CellMap { origin, step_mm, columns, rows, filled };
        let by_cells = PieceShape::from_cells(&map, &zones(), ShapeOptions::default()).unwrap();
        let by_outline =
            PieceShape::from_outline(&outline, &[], &zones(), ShapeOptions::default()).unwrap();
        assert!(near(by_cells.area_mm2(), by_outline.area_mm2(), 5e-3), "case {case}");
        let ratio = by_cells.perimeter_mm() / by_outline.perimeter_mm();
        assert!((0.99..1.09).contains(&ratio), "case {case}: {ratio}");
        let of = |shape: &PieceShape| {
            let piece = GrippedPiece::new(shape, 2.0, &grip());
            piece.margins(&piece.contact(&[40_000.0, 60_000.0], &air), &load, &[])
        };
        // A perimeter up to 8 % long costs vacuum, most on slender pieces.
        let (cells, exact) = (of(&by_cells), of(&by_outline));
        for (got, of) in [
            (cells.lift, exact.lift),
            (cells.slide, exact.slide),
            (cells.edge_lift, exact.edge_lift),
        ] {
            assert!(got < 1.01 * of && got > 0.75 * of, "case {case}: {cells:?} {exact:?}");
        }
    }
}

fn ranges() -> HoldRanges {
    HoldRanges {
        friction: Band { low: 0.22, likely: 0.3, high: 0.4 },
        permeability_m2: Band { low: 1e-13, likely: 2e-13, high: 4e-13 },
        gap_m: Band { low: 0.0, likely: 20e-6, high: 50e-6 },
        force_factor: Band { low: 0.8, likely: 1.0, high: 1.3 },
    }
}

/// The memo gives what a fresh computation gives, over changing pressures and several loads.
#[test]
fn remembering_changes_no_verdict() {
    let mut random = seeded(9);
    let air = Air::default();
    let bed = Bed { board: Some(Board::new(0.018, 2e-13)), sheet: None };
    for _ in 0..20 {
        let outline = star(&mut random);
        let shape =
            PieceShape::from_outline(&outline, &[], &zones(), ShapeOptions::default()).unwrap();
        let piece = RangedPiece::new(&shape, 2.0, &bed, &ranges());
        let mut memo = TwistMemo::default();
        let loads: Vec<Load> = (0..3).map(|_| load(&mut random)).collect();
        for _ in 0..20 {
            let pressures: [[f64; 2]; CASES] = std::array::from_fn(|_| {
                std::array::from_fn(|_| random.random_range(20_000.0..101_325.0))
            });
            let pressures: [&[f64]; CASES] = std::array::from_fn(|case| &pressures[case][..]);
            let loads = Loads { loads: &loads, anchors: &[] };
            let remembered = piece.judge(pressures, &air, loads, &mut memo);
            let fresh = piece.judge(pressures, &air, loads, &mut TwistMemo::default());
            assert!(near(remembered.likely.value, fresh.likely.value, 1e-4));
            assert!(near(remembered.unfavourable.value, fresh.unfavourable.value, 1e-4));
            assert!(remembered.unfavourable.value <= remembered.likely.value);
        }
    }
}

#[test]
fn the_unfavourable_end_decides_the_outlook() {
    let air = Air::default();
    let outline = Polygon::rectangle(Vec2::new(0.0, 0.0), Vec2::new(400.0, 300.0));
    let shape = PieceShape::from_outline(&outline, &[], &zones(), ShapeOptions::default()).unwrap();
    let bed = Bed { board: Some(Board::new(0.018, 2e-13)), sheet: None };
    let piece = RangedPiece::new(&shape, 5.0, &bed, &ranges());
    let outlook = |force: f64| {
        let load = Load {
            force_n: Vec2::new(force, 0.0),
            at_mm: Vec2::new(200.0, 0.0),
            height_mm: 18.0,
            up_n: 0.0,
        };
        let loads = Loads { loads: &[load], anchors: &[] };
        let pressures: [&[f64]; CASES] = [&[50_000.0; 2]; CASES];
        piece.judge(pressures, &air, loads, &mut TwistMemo::default()).outlook(2.0)
    };
    assert_eq!(outlook(1.0), Outlook::Holds);
    assert_eq!(outlook(600.0), Outlook::AtRisk);
    assert_eq!(outlook(1e5), Outlook::Moves);
}

/// What is no number holds nothing and never passes for a margin.
#[test]
fn what_is_no_number_holds_nothing() {
    let outline = Polygon::rectangle(Vec2::new(0.0, 0.0), Vec2::new(40.0, 30.0));
    let shape = PieceShape::from_outline(&outline, &[], &zones(), ShapeOptions::default()).unwrap();
    let load = Load {
        force_n: Vec2::new(20.0, 0.0),
        at_mm: Vec2::new(20.0, 0.0),
        height_mm: 18.0,
        up_n: 1.0,
    };
    let air = Air::default();
    let piece = GrippedPiece::new(&shape, 0.0, &grip());
    let blind = piece.contact(&[f64::NAN; 2], &air);
    assert_eq!(blind.vacuum_n, 0.0);
    assert_eq!(piece.margins(&blind, &load, &[]).smallest().0, 0.0);
    let contact = piece.contact(&[40_000.0; 2], &air);
    let nan = f64::NAN;
    let loads = [
        Load { force_n: Vec2::new(nan, 0.0), ..load },
        Load { at_mm: Vec2::new(nan, 0.0), ..load },
        Load { up_n: nan, ..load },
        Load { height_mm: f64::INFINITY, ..load },
    ];
    for load in loads {
        assert_eq!(piece.margins(&contact, &load, &[]).smallest().0, 0.0, "{load:?}");
    }
    let thin = Grip { board: Some(Board::new(0.0, 2e-13)), ..grip() };
    let on_nothing = GrippedPiece::new(&shape, nan, &Grip { friction: nan, ..thin });
    let contact = on_nothing.contact(&[40_000.0; 2], &air);
    assert!(on_nothing.margins(&contact, &load, &[]).smallest().0 >= 0.0);
    let bad_tab = Anchor { at_mm: Vec2::default(), force_n: nan };
    assert!(piece.margins(&contact, &load, &[bad_tab]).smallest().0 >= 0.0);
}

proptest! {
    #![proptest_config(config())]

    /// No load and no pressure makes the margins negative or not a number.
    #[test]
    fn margins_are_numbers(
        pressures in prop::array::uniform2(-1e6..1e6_f64),
        force in prop::array::uniform2(-1e6..1e6_f64),
        at in prop::array::uniform2(-1e5..1e5_f64),
        up in -1e4..1e4_f64,
        height in -10.0..1e3_f64,
        size in prop::array::uniform2(0.01..3000.0_f64),
    ) {
        let outline = Polygon::rectangle(Vec2::default(), Vec2::from(size));
        let shape = PieceShape::from_outline(&outline, &[], &zones(), ShapeOptions::default()).unwrap();
        let piece = GrippedPiece::new(&shape, 1.0, &grip());
        let contact = piece.contact(&pressures, &Air::default());
        prop_assert!(contact.vacuum_n >= 0.0);
        let load = Load { force_n: force.into(), at_mm: at.into(), height_mm: height, up_n: up };
        let margins = piece.margins(&contact, &load, &[]);
        for margin in [margins.lift, margins.slide, margins.edge_lift] {
            prop_assert!(margin >= 0.0, "{margins:?}");
        }
        // Friction can give no more than μN.
        let normal = contact.force_n() - up;
        prop_assert!(margins.slide * load.force_n.length() <= 0.3 * normal.max(0.0) * (1.0 + 1e-9));
    }
}
