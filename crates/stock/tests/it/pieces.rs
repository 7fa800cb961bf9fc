//! Pieces of programs whose result is known.

use crate::pencil::{FLAT, KNIFE, Pencil, THICK, VEE, sheet};
use kw_base::math::PI;
use kw_geometry::{Polygon, Vec2};
use kw_stock::{
    Piece, PieceClass, PieceEnd, PieceOptions, Pieces, Rest, StockSetup, SweepOptions, pieces,
    sweep,
};

const DEEP: f64 = -THICK - 0.2;

fn find_at(pencil: &Pencil, setup: &StockSetup, step_mm: f64) -> Pieces {
    let options = SweepOptions { step_mm, ..SweepOptions::default() };
    let stock = sweep(&pencil.path, setup, &options).unwrap();
    pieces(&stock, &pencil.path, setup, &PieceOptions::default())
}

fn find(pencil: &Pencil) -> Pieces {
    find_at(pencil, &sheet(160.0, 120.0), 0.5)
}

fn rests(pieces: &Pieces, class: PieceClass) -> Vec<(&Piece, &Rest)> {
    let with_rest = pieces.all.iter().filter_map(|p| p.rest.as_ref().map(|rest| (p, rest)));
    with_rest.filter(|(_, rest)| rest.class == class).collect()
}

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} against {expected} ± {within}");
}

/// Every corner of the found outline lies within `within` of the border of the expected one, and
/// the other way round.
#[track_caller]
fn same_outline(found: &Polygon, expected: &Polygon, within: f64) {
    for (a, b) in [(found, expected), (expected, found)] {
        for point in &a.points {
            let distance = b.distance_to_border_mm(*point);
            assert!(distance <= within, "{point:?} is {distance} mm off");
        }
    }
}

#[test]
fn a_rectangle_is_cut_out() {
    let mut pencil = Pencil::with(FLAT);
    pencil.rectangle((30.13, 20.4), (90.7, 70.21), -9.0);
    pencil.rectangle((30.13, 20.4), (90.7, 70.21), DEEP);
    let found = find(&pencil);
    let (parts, skeletons) = (rests(&found, PieceClass::Part), rests(&found, PieceClass::Skeleton));
    assert_eq!((parts.len(), skeletons.len(), found.all.len()), (1, 1, 3));
    let (piece, rest) = parts[0];
    // The last side of the second pass frees it.
    assert_eq!(piece.freed_by, Some(pencil.path.len() as u32 - 2));
    assert_eq!(piece.loose_since, piece.freed_by);
    assert_eq!(piece.end, PieceEnd::Stays);
    let corners = [Vec2::new(33.13, 23.4), Vec2::new(87.7, 67.21)];
    let expected = Polygon::rectangle(corners[0], corners[1]);
    same_outline(&rest.outline, &expected, 0.002);
    assert_eq!(rest.outline.points.len(), 4);
    near(rest.area_mm2, expected.signed_area_mm2(), 0.05);
    near(piece.centroid_mm.x, (33.13 + 87.7) / 2.0, 0.3);
    near(piece.box_mm[0].x, 33.13, 0.5);
    near(piece.box_mm[1].y, 67.21, 0.5);
    assert_eq!(rest.holes, []);
    let (skeleton, around) = skeletons[0];
    same_outline(&around.outline, &sheet(160.0, 120.0).outline, 1e-3);
    assert_eq!(around.holes.len(), 1);
    // The hole's border is the outside of the kerf: a rectangle with rounded corners.
    let hole = (60.57 + 6.0) * (49.81 + 6.0) - (4.0 - PI) * 9.0;
    near(-around.holes[0].signed_area_mm2(), hole, 0.6);
    assert_eq!((skeleton.loose_since, skeleton.freed_by), (None, piece.freed_by));
    assert_eq!(rest.inside_of.map(|i| &found.all[i as usize]), Some(skeleton));
}

#[test]
fn tabs_and_skins_hold_a_part() {
    let mut skin = Pencil::with(FLAT);
    skin.rectangle((30.0, 20.0), (90.0, 70.0), -THICK + 0.3);
    assert_eq!(find(&skin).all.len(), 1);
    let tabbed = |height: f64| {
        let mut pencil = Pencil::with(FLAT);
        pencil.rectangle((30.0, 20.0), (90.0, 70.0), -12.0).plunge(30.0, 20.0, DEEP);
        for (from, to) in [((30.0, 20.0), (90.0, 20.0)), ((90.0, 70.0), (30.0, 70.0))] {
            let middle = 60.0;
            let side = f64::signum(to.0 - from.0);
            pencil.line(from.0, from.1, DEEP).line(middle - side * 6.0, from.1, DEEP);
            pencil.line(middle - side * 6.0, from.1, height);
            pencil.line(middle + side * 6.0, from.1, height);
            pencil.line(middle + side * 6.0, from.1, DEEP).line(to.0, to.1, DEEP);
        }
        pencil.line(30.0, 20.0, DEEP).retract();
        pencil
    };
    assert_eq!(find(&tabbed(-12.0)).all.len(), 1);
    assert_eq!(find(&tabbed(DEEP)).all.len(), 3);
    // Cutting the tabs one by one: the second one frees it.
    let mut pencil = tabbed(-12.0);
    pencil.plunge(50.0, 20.0, DEEP).line(70.0, 20.0, DEEP).retract();
    assert_eq!(find(&pencil).all.len(), 1);
    pencil.plunge(50.0, 70.0, DEEP).line(70.0, 70.0, DEEP).retract();
    let found = find(&pencil);
    assert_eq!(rests(&found, PieceClass::Part)[0].0.freed_by, Some(pencil.path.len() as u32 - 2));
}

#[test]
fn a_ring_has_a_slug_and_the_slug_may_hold_a_part() {
    let mut pencil = Pencil::with(FLAT);
    for radius in [8.0, 20.0, 40.0] {
        pencil.plunge(80.0 + radius, 60.0, DEEP).arc((80.0, 60.0), 360.0, DEEP).retract();
    }
    let found = find_at(&pencil, &sheet(160.0, 120.0), 0.25);
    let parts = rests(&found, PieceClass::Part);
    let slugs = rests(&found, PieceClass::Slug);
    assert_eq!((parts.len(), slugs.len()), (2, 1));
    let areas: Vec<f64> = parts.iter().map(|(_, rest)| rest.area_mm2).collect();
    let ring = |outer: f64, inner: f64| PI * (outer * outer - inner * inner);
    // The innermost disc lies in the slug's hole, so it is taken for a part.
    let (small, large) = (areas[0].min(areas[1]), areas[0].max(areas[1]));
    near(small, PI * 25.0, 0.5);
    near(large, ring(37.0, 23.0), 3.0);
    near(slugs[0].1.area_mm2, ring(17.0, 11.0), 1.5);
    // Freed inside first, and each hangs on to the sheet until its outer circle is done.
    let freed: Vec<Option<u32>> = found.all.iter().map(|p| p.freed_by).collect();
    assert!(freed.contains(&Some(3)) && freed.contains(&Some(8)) && freed.contains(&Some(13)));
    let circle = &slugs[0].1.outline;
    for point in &circle.points {
        near(point.distance(Vec2::new(80.0, 60.0)), 17.0, 0.01);
    }
}

#[test]
fn pieces_may_come_loose_together_and_part_later() {
    let mut pencil = Pencil::with(FLAT);
    pencil.rectangle((30.0, 20.0), (90.0, 70.0), DEEP);
    let together = pencil.path.len() as u32 - 2;
    pencil.plunge(60.0, 15.0, DEEP).line(60.0, 75.0, DEEP).retract();
    let apart = pencil.path.len() as u32 - 2;
    let found = find(&pencil);
    let parts = rests(&found, PieceClass::Part);
    assert_eq!(parts.len(), 2);
    for (piece, rest) in parts {
        assert_eq!((piece.freed_by, piece.loose_since), (Some(apart), Some(together)));
        let parent = &found.all[piece.parent.unwrap() as usize];
        assert_eq!(parent.freed_by, Some(together));
        assert_eq!(parent.end, PieceEnd::PartedBy(apart));
        assert_eq!(parent.children.len(), 2);
        near(rest.area_mm2, 24.0 * 44.0, 0.1);
        // The move that parts them runs along both while they are loose.
        let touch = rest.touches[0];
        assert!(touch.first_move <= apart && touch.last_move >= apart);
    }
    let alive = |index: Option<u32>| found.after(index).count();
    assert_eq!((alive(None), alive(Some(together)), alive(Some(apart))), (1, 2, 3));
}

#[test]
fn moves_over_a_loose_piece_are_named() {
    let mut pencil = Pencil::with(FLAT);
    pencil.rectangle((30.0, 20.0), (90.0, 70.0), DEEP);
    pencil.plunge(40.0, 45.0, -2.0).line(80.0, 45.0, -2.0).retract();
    let over = pencil.path.len() as u32 - 2;
    pencil.plunge(120.0, 20.0, DEEP).line(120.0, 100.0, DEEP).retract();
    let found = find(&pencil);
    let (_, rest) = rests(&found, PieceClass::Part)[0];
    let touches: Vec<(u32, u32, bool)> =
        rest.touches.iter().map(|t| (t.first_move, t.last_move, t.over)).collect();
    // Plunge, groove and retract; the retract after the last side stands clear of its corner.
    assert_eq!(touches, [(over - 1, over + 1, true)]);
}

#[test]
fn a_knife_parts_cells_without_taking_any() {
    let mut pencil = Pencil::with(KNIFE);
    pencil.plunge(40.3, 30.2, DEEP);
    for (x, y) in [(110.3, 34.9), (95.1, 90.6), (52.0, 78.8), (40.3, 30.2)] {
        pencil.line(x, y, DEEP);
    }
    pencil.retract();
    let setup = sheet(160.0, 120.0);
    let stock = sweep(&pencil.path, &setup, &SweepOptions::default()).unwrap();
    assert_eq!(stock.moves.volume_mm3.iter().sum::<f32>(), 0.0);
    let found = pieces(&stock, &pencil.path, &setup, &PieceOptions::default());
    let (_, rest) = rests(&found, PieceClass::Part)[0];
    let corners = [(40.3, 30.2), (110.3, 34.9), (95.1, 90.6), (52.0, 78.8)];
    let line = Polygon { points: corners.iter().map(|&(x, y)| Vec2::new(x, y)).collect() };
    let length: f64 = line.edges().map(|(a, b)| a.distance(b)).sum();
    // Half the blade inside the line.
    near(rest.area_mm2, line.signed_area_mm2() - 0.3 * length, 1.5);
    for point in &rest.outline.points {
        near(line.distance_to_border_mm(*point), 0.3, 0.15);
    }
}

#[test]
fn a_bevelled_cut_is_judged_at_the_lower_face() {
    let mut pencil = Pencil::with(VEE);
    let mut setup = sheet(160.0, 120.0);
    setup.thickness_mm = 4.0;
    pencil.rectangle((40.0, 30.0), (100.0, 80.0), -4.5);
    let found = find_at(&pencil, &setup, 0.25);
    let (_, rest) = rests(&found, PieceClass::Part)[0];
    // At the depth that counts as through, 3.95 mm, the V is 0.5 + 0.55 mm from its middle.
    same_outline(
        &rest.outline,
        &Polygon::rectangle(Vec2::new(41.05, 31.05), Vec2::new(98.95, 78.95)),
        0.01,
    );
}

#[test]
fn a_sheet_of_any_outline_has_its_border() {
    let mut setup = sheet(160.0, 120.0);
    let corners = [(0.0, 0.0), (150.3, 10.0), (120.0, 110.7), (70.0, 60.0), (5.0, 100.0)];
    setup.outline = Polygon { points: corners.iter().map(|&(x, y)| Vec2::new(x, y)).collect() };
    let found = find_at(&Pencil::with(FLAT), &setup, 0.5);
    assert_eq!(found.all.len(), 1);
    let (piece, rest) = rests(&found, PieceClass::Skeleton)[0];
    same_outline(&rest.outline, &setup.outline, 0.05);
    near(rest.area_mm2, setup.outline.signed_area_mm2(), 1.0);
    near(piece.freed_area_mm2, setup.outline.signed_area_mm2(), 30.0);
}

#[test]
fn what_is_milled_away_ends() {
    let mut pencil = Pencil::with(FLAT);
    pencil.rectangle((40.0, 40.0), (56.0, 56.0), DEEP);
    let freed = pencil.path.len() as u32 - 2;
    pencil.plunge(45.0, 45.0, DEEP).line(51.0, 45.0, DEEP).line(51.0, 51.0, DEEP);
    pencil.line(45.0, 51.0, DEEP).line(45.0, 45.0, DEEP).retract();
    let found = find(&pencil);
    let gone: Vec<&Piece> =
        found.all.iter().filter(|p| matches!(p.end, PieceEnd::CutAwayBy(_))).collect();
    assert_eq!(gone.len(), 1);
    assert_eq!(gone[0].freed_by, Some(freed));
    near(gone[0].freed_area_mm2, 100.0, 3.0);
    assert_eq!(rests(&found, PieceClass::Part).len(), 0);
}

#[test]
fn area_by_zone_adds_up() {
    let mut pencil = Pencil::with(FLAT);
    pencil.rectangle((30.0, 20.0), (90.0, 70.0), DEEP);
    let setup = sheet(160.0, 120.0);
    let stock = sweep(&pencil.path, &setup, &SweepOptions::default()).unwrap();
    let found = pieces(&stock, &pencil.path, &setup, &PieceOptions::default());
    let (_, rest) = rests(&found, PieceClass::Part)[0];
    let part = |x_mm| rest.area_within_mm2(&stock.map.grid, x_mm, [0.0, 120.0]);
    near(part([0.0, 160.0]), 54.0 * 44.0, 1e-6);
    near(part([0.0, 50.0]), 17.0 * 44.0, 1e-6);
    near(part([0.0, 50.0]) + part([50.0, 160.0]), 54.0 * 44.0, 1e-6);
}
