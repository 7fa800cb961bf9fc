//! What is said of single moves.

use crate::pencil::{BALL, FLAT, KNIFE, PEN, Pencil, SHORT, THICK, sheet};
use kw_nc::toolpath::SpindleTurn;
use kw_stock::{GapReason, MapError, MoveFlags, Stock, StockTool, SweepOptions, cuts, sweep};

fn run(pencil: &Pencil) -> Stock {
    sweep(&pencil.path, &sheet(160.0, 120.0), &SweepOptions::default()).unwrap()
}

#[track_caller]
fn near(found: f32, expected: f32, within: f32) {
    assert!((found - expected).abs() <= within, "{found} against {expected} ± {within}");
}

#[test]
fn a_rapid_through_material_is_told_from_one_in_a_slot() {
    let mut pencil = Pencil::with(FLAT);
    pencil.plunge(20.0, 40.0, -5.0).line(100.0, 40.0, -5.0);
    pencil.rapid(20.0, 40.0, -5.0).rapid(20.0, 80.0, -5.0).retract();
    let flags = run(&pencil).moves.flags;
    let rapid: Vec<bool> = flags.iter().map(|f| f.has(MoveFlags::RAPID_CUTS)).collect();
    assert_eq!(rapid, [false, false, false, false, false, true, false]);
    // Back along a ball's groove rounding alone must not count.
    let mut pencil = Pencil::with(BALL);
    pencil.plunge(20.3, 40.7, -3.0).line(100.9, 61.3, -3.0).rapid(20.3, 40.7, -3.0).retract();
    let flags = run(&pencil).moves.flags;
    assert!(flags.iter().all(|f| !f.has(MoveFlags::RAPID_CUTS)));
}

#[test]
fn engagement_of_a_side_pass() {
    // A slot, then a pass 2 mm beside it: climb on the right, conventional on the left.
    for (offset, expected) in [(-2.0, 1.0), (2.0, -1.0)] {
        let mut pencil = Pencil::with(FLAT);
        pencil.plunge(20.0, 60.0, -6.0).line(120.0, 60.0, -6.0).retract();
        pencil.plunge(20.0, 60.0 + offset, -6.0).line(120.0, 60.0 + offset, -6.0);
        let stock = run(&pencil);
        let side = pencil.path.len() - 1;
        near(stock.moves.radial_width_mm[side], 2.0, 0.04);
        near(stock.moves.axial_depth_mm[side], 6.0, 1e-3);
        near(stock.moves.climb[side], expected, 0.03);
        near(stock.moves.volume_mm3[side], 1200.0, 20.0);
        pencil.path.states[0].spindle = SpindleTurn::Counterclockwise;
        near(run(&pencil).moves.climb[side], -expected, 0.03);
        pencil.path.states[0].spindle = SpindleTurn::Still;
        near(run(&pencil).moves.climb[side], 0.0, 0.0);
    }
}

#[test]
fn an_arc_knows_its_sides() {
    // Widening a round hole counterclockwise: material outside, to the right, so climb.
    let mut pencil = Pencil::with(FLAT);
    pencil.plunge(90.0, 60.0, -4.0).arc((80.0, 60.0), 360.0, -4.0);
    pencil.line(91.5, 60.0, -4.0).arc((80.0, 60.0), 360.0, -4.0);
    let stock = run(&pencil);
    near(stock.moves.climb[5], 1.0, 0.02);
    let width = stock.moves.radial_width_mm[5];
    // Area of the ring from 13 mm to 14.5 mm, less what the step outwards took, over the way.
    let ring = kw_base::math::PI as f32 * (14.5_f32.powi(2) - 13.0_f32.powi(2));
    near(width, (ring - stock.moves.swept_mm2[4]) / (2.0 * kw_base::math::PI as f32 * 11.5), 0.03);
}

#[test]
fn short_moves_share_their_engagement() {
    let mut pencil = Pencil::with(FLAT);
    pencil.plunge(20.0, 60.0, -3.0);
    for index in 1..=400 {
        let x = 20.0 + 0.2 * f64::from(index);
        pencil.line(x, 60.0, -3.0);
    }
    let stock = run(&pencil);
    for index in 30..380 {
        if stock.moves.flags[index].has(MoveFlags::CUTS) {
            near(stock.moves.radial_width_mm[index], 6.0, 0.6);
        }
    }
}

#[test]
fn depth_below_the_sheet_counts_on_and_beside_it() {
    let mut pencil = Pencil::with(FLAT);
    pencil.plunge(20.0, 60.0, -THICK - 0.4).line(300.0, 60.0, -THICK - 1.1).retract();
    let below = run(&pencil).moves.below_bottom_mm;
    near(below[2], 0.4, 1e-5);
    near(below[3], 1.1, 1e-5);
    near(below[1], 0.0, 0.0);
}

#[test]
fn a_shank_thicker_than_its_flutes_touches_where_the_slot_is_narrow() {
    let touches = |depth: f64, widened: bool| {
        let mut pencil = Pencil::with(FLAT);
        if widened {
            pencil.plunge(20.0, 60.0, -4.0).line(120.0, 60.0, -4.0).retract();
        }
        pencil.change(SHORT).plunge(30.0, 60.0, -depth).line(110.0, 60.0, -depth);
        let flags = *run(&pencil).moves.flags.last().unwrap();
        (flags.has(MoveFlags::SHANK_TOUCHES), flags.has(MoveFlags::HOLDER_TOUCHES))
    };
    assert_eq!(touches(9.9, false), (false, false));
    assert_eq!(touches(13.0, false), (true, false));
    // The slot of 6 mm is 4 mm deep: shank of 6 mm from 10 mm above the tip clears down to 14 mm.
    assert_eq!(touches(13.9, true), (false, false));
    assert_eq!(touches(14.2, true), (true, false));
    let mut deep = Pencil::with(SHORT);
    deep.plunge(30.0, 60.0, -25.5).line(40.0, 60.0, -25.5);
    let flags = run(&deep).moves.flags[3];
    assert!(flags.has(MoveFlags::HOLDER_TOUCHES));
}

#[test]
fn knives_sever_and_pens_mark() {
    let mut pencil = Pencil::with(KNIFE);
    pencil.plunge(20.0, 60.0, -THICK).line(120.0, 67.0, -THICK).retract();
    pencil.change(PEN).plunge(20.0, 30.0, -0.2).line(120.0, 30.0, -0.2).retract();
    let stock = run(&pencil);
    assert!(stock.moves.flags[3].has(MoveFlags::SEVERS));
    assert!(stock.moves.flags[9].has(MoveFlags::MARKS));
    assert!(!stock.moves.flags[9].has(MoveFlags::CUTS));
    assert_eq!(stock.moves.volume_mm3[3], 0.0);
    assert_eq!(cuts(&pencil.path, &stock).len(), 2);
}

#[test]
fn cuts_run_from_plunge_to_retract() {
    let mut pencil = Pencil::with(FLAT);
    pencil.rectangle((30.0, 20.0), (90.0, 70.0), -9.0);
    pencil.rectangle((30.0, 20.0), (90.0, 70.0), -THICK);
    pencil.change(BALL).plunge(100.0, 100.0, -2.0).line(120.0, 100.0, 3.0);
    // A pass beside the sheet cuts nothing and is no cut.
    pencil.plunge(200.0, 20.0, -5.0).line(200.0, 60.0, -5.0).retract();
    let stock = run(&pencil);
    let found = cuts(&pencil.path, &stock);
    let runs: Vec<(u32, u32, u32)> =
        found.iter().map(|cut| (cut.tool, cut.moves.start, cut.moves.end)).collect();
    assert_eq!(runs, [(FLAT, 2, 7), (FLAT, 10, 15), (BALL, 19, 21)]);
    assert!((found[0].way_mm - (29.0 + 220.0)).abs() < 1e-9);
    assert!((found[0].depth_mm - 9.0).abs() < 1e-9);
    let volume: f64 = found.iter().map(|cut| cut.volume_mm3).sum();
    assert!((volume / stock.map.removed_volume_mm3() - 1.0).abs() < 1e-4);
}

#[test]
fn what_cannot_be_swept_is_said() {
    let mut pencil = Pencil::with(99);
    pencil.plunge(20.0, 60.0, -5.0).line(60.0, 60.0, -5.0).retract();
    pencil.change(42).plunge(20.0, 60.0, -5.0).retract();
    pencil.change(FLAT).plunge(20.0, 60.0, -5.0).line(f64::NAN, 60.0, -5.0);
    pencil.line(20.0, 60.0, -5.0).line(1e9, 60.0, -5.0);
    pencil.path.states[1].tool = None;
    let stock = run(&pencil);
    let reasons: Vec<(GapReason, u32)> =
        stock.gaps.iter().map(|gap| (gap.reason, gap.moves)).collect();
    let expected =
        [(GapReason::UnknownTool(99), 3), (GapReason::NoTool, 2), (GapReason::OutOfReach, 3)];
    assert_eq!(reasons, expected);
    assert!(stock.moves.flags[2].has(MoveFlags::NOT_SWEPT));
}

#[test]
fn a_bent_rapid_cuts_where_it_really_runs() {
    // X and Y at equal speed: 80 mm and 20 mm run the diagonal first, then along X.
    let mut pencil = Pencil::with(FLAT);
    pencil.plunge(20.0, 20.0, -5.0).rapid(100.0, 40.0, -5.0);
    let mut setup = sheet(160.0, 120.0);
    setup.dog_leg_speed_mm_min = Some([30_000.0, 30_000.0, 10_000.0]);
    let bent = sweep(&pencil.path, &setup, &SweepOptions::default()).unwrap();
    let at =
        |stock: &Stock, x, y| stock.map.depth_at_mm(kw_geometry::Vec2::new(x, y)).unwrap() > 0.0;
    let straight = run(&pencil);
    assert!(at(&bent, 40.0, 40.0) && !at(&bent, 60.0, 30.0));
    assert!(!at(&straight, 40.0, 40.0) && at(&straight, 60.0, 30.0));
}

#[test]
fn sheets_that_cannot_be_mapped_are_refused() {
    let path = Pencil::with(FLAT).path;
    let options = SweepOptions::default();
    let mut setup = sheet(160.0, 120.0);
    setup.thickness_mm = f64::NAN;
    assert!(matches!(sweep(&path, &setup, &options), Err(MapError::Thickness(_))));
    let wide = sheet(1e7, 1e7);
    let Err(MapError::Cells { step_mm, .. }) = sweep(&path, &wide, &options) else {
        panic!("that many cells must be refused");
    };
    assert!(step_mm > 1000.0);
    let mut bare = sheet(160.0, 120.0);
    bare.outline.points.clear();
    assert_eq!(sweep(&path, &bare, &options), Err(MapError::Outline));
    let fine = SweepOptions { step_mm: 0.0, ..options };
    assert_eq!(sweep(&path, &sheet(9.0, 9.0), &fine), Err(MapError::Step(0.0)));
}

#[test]
fn a_tool_without_figures_names_what_is_missing() {
    let mut setup = sheet(160.0, 120.0);
    let gap = kw_stock::ProfileGap::Angle;
    setup.tools = vec![StockTool { number: FLAT, cutter: Err(gap), body: Vec::new() }];
    let mut pencil = Pencil::with(FLAT);
    pencil.plunge(20.0, 60.0, -5.0);
    let stock = sweep(&pencil.path, &setup, &SweepOptions::default()).unwrap();
    assert_eq!(stock.gaps[0].reason, GapReason::ToolData(FLAT, gap));
    assert!(gap.to_string().contains("SIG"));
}
