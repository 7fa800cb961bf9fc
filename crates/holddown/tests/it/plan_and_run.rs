//! Zone plans against brute force, and runs over events.

use crate::random::{Random, chance, seeded};
use kw_base::Band;
use kw_geometry::{Polygon, Vec2};
use kw_holddown::board::openings::{Kerf, Openings};
use kw_holddown::flow::BranchLaw;
use kw_holddown::network::{Branch, Leak, Manifold, Network, Node, Seam, Zone, solve};
use kw_holddown::piece::{
    Anchor, Bed, CASES, HoldRanges, Load, Loads, PieceShape, RangedPiece, ShapeOptions, TwistMemo,
};
use kw_holddown::plan::{PlanError, Stage, StagePiece, ZoneChoice, ZoneSet, least_open_zones};
use kw_holddown::run::{Event, LoadedPiece, Run, RunError, Setup};
use kw_holddown::{Air, Board, Pump, PumpCurve};
use rand::RngExt;

const WIDTH: f64 = 400.0;

/// Zones side by side, each 400 × 1000 mm.
fn zones(count: usize) -> Vec<Polygon> {
    (0..count)
        .map(|i| {
            let x = i as f64 * WIDTH;
            Polygon::rectangle(Vec2::new(x, 0.0), Vec2::new(x + WIDTH, 1000.0))
        })
        .collect()
}

fn ranges() -> HoldRanges {
    HoldRanges {
        friction: Band { low: 0.22, likely: 0.3, high: 0.4 },
        permeability_m2: Band { low: 1e-13, likely: 2e-13, high: 3e-13 },
        gap_m: Band { low: 0.0, likely: 20e-6, high: 30e-6 },
        force_factor: Band { low: 0.8, likely: 1.0, high: 1.2 },
    }
}

fn bed() -> Bed {
    Bed { board: Some(Board::new(0.018, 2e-13)), sheet: None }
}

fn network(bare_m2: &[f64], permeability_m2: f64, seam: f64) -> Network {
    let air = Air::default();
    let board = Board::new(0.018, permeability_m2);
    let zone = |&bare_area_m2: &f64| {
        let openings = Openings { bare_area_m2, ..Openings::default() };
        Zone { leak: Leak::through_board(openings.conductance(&board, &air)) }
    };
    let pump =
        Pump::new(PumpCurve::PositiveDisplacement { speed_m3_h: 150.0, ultimate_pa: 5000.0 });
    let law = BranchLaw { laminar: 6.0e7, quadratic: 1.353e11 };
    Network {
        air,
        zones: bare_m2.iter().map(zone).collect(),
        manifolds: vec![Manifold { pumps: vec![pump], leak: Leak::default() }],
        branches: (0..bare_m2.len())
            .map(|i| Branch { ends: [Node::Zone(i), Node::Manifold(0)], law, open: true })
            .collect(),
        seams: (1..bare_m2.len())
            .map(|i| Seam { zones: [i - 1, i], conductance_kg_s_pa2: seam })
            .collect(),
    }
}

/// Random rectangles over the zones with one load each.
fn pieces(random: &mut Random, count: usize, zones: &[Polygon]) -> Vec<(PieceShape, Load)> {
    (0..count)
        .map(|_| {
            let at = Vec2::new(
                random.random_range(0.0..WIDTH * (zones.len() as f64 - 0.5)),
                random.random_range(0.0..700.0),
            );
            let size =
                Vec2::new(random.random_range(120.0..500.0), random.random_range(100.0..300.0));
            let outline = Polygon::rectangle(at, at + size);
            let shape =
                PieceShape::from_outline(&outline, &[], zones, ShapeOptions::default()).unwrap();
            let force = Vec2::new(random.random_range(10.0..120.0), 0.0);
            let load = Load {
                force_n: force.rotated(random.random_range(0.0..6.0)),
                at_mm: at + Vec2::new(size.x * random.random_range(0.0..1.0), 0.0),
                height_mm: 18.0,
                up_n: random.random_range(0.0..10.0),
            };
            (shape, load)
        })
        .collect()
}

/// The best set by looking at everything, without bounds or early stops.
fn brute_force(stage: &Stage, zones: usize) -> (Option<ZoneSet>, f64) {
    let mut best: Option<(ZoneSet, f64)> = None;
    let mut most = f64::NEG_INFINITY;
    for bits in 0..1_u32 << zones {
        let open = (0..zones).filter(|z| bits >> z & 1 == 1).fold(ZoneSet::EMPTY, ZoneSet::with);
        let solutions: Vec<_> = stage
            .networks
            .iter()
            .map(|network| {
                let mut network = network.clone();
                (0..zones).for_each(|zone| network.set_zone_open(zone, open.has(zone)));
                solve(&network, None).unwrap()
            })
            .collect();
        let pressures: [&[f64]; CASES] = std::array::from_fn(|case| &solutions[case].zone_pa[..]);
        let margin = stage
            .pieces
            .iter()
            .map(|of| {
                let loads = Loads { loads: of.loads, anchors: &[] };
                let air = stage.networks[0].air;
                of.piece.judge(pressures, &air, loads, &mut TwistMemo::default()).unfavourable.value
            })
            .fold(f64::INFINITY, f64::min);
        most = most.max(margin);
        if margin >= stage.asked_margin
            && best.is_none_or(|(set, of)| {
                open.len() < set.len() || (open.len() == set.len() && margin > of)
            })
        {
            best = Some((open, margin));
        }
    }
    (best.map(|(set, _)| set), most)
}

/// Plans a random stage; gives the choice and what brute force finds.
fn random_stage(random: &mut Random, exact_up_to: usize) -> (ZoneChoice, Option<ZoneSet>, f64) {
    let count = random.random_range(2..=6);
    let zones = zones(count);
    let pieces = pieces(random, 3, &zones);
    let bed = bed();
    let ranged: Vec<RangedPiece> =
        pieces.iter().map(|(shape, _)| RangedPiece::new(shape, 3.0, &bed, &ranges())).collect();
    let bare: Vec<f64> = (0..count)
        .map(|_| if chance(random, 0.5) { random.random_range(0.0..0.5) } else { 0.02 })
        .collect();
    let seam = if chance(random, 0.5) { 2e-14 } else { 0.0 };
    let networks = ranges().cases().map(|case| network(&bare, case.permeability_m2, seam));
    let stage = Stage {
        networks,
        pieces: ranged
            .iter()
            .zip(&pieces)
            .map(|(piece, (_, load))| StagePiece { piece, loads: std::slice::from_ref(load) })
            .collect(),
        allowed: ZoneSet::first(count),
        asked_margin: 1.5,
        exact_up_to,
    };
    let choice = least_open_zones(&stage).unwrap();
    let (set, most) = brute_force(&stage, count);
    (choice, set, most)
}

#[test]
fn exact_plans_agree_with_brute_force() {
    let mut random = seeded(21);
    let mut kept = 0;
    for case in 0..40 {
        let (choice, set, most) = random_stage(&mut random, 12);
        assert!(choice.exact);
        assert_eq!(choice.keeps, set.is_some(), "case {case}: {choice:?}");
        match set {
            Some(set) => {
                assert_eq!(choice.open, set, "case {case}");
                kept += 1;
            }
            // A zone under nothing can shift the pull between two zones and so the edge margin a little;
            // the plan does not look at such sets.
            None => assert!(
                choice.margin <= most * (1.0 + 1e-4) && choice.margin > 0.97 * most,
                "case {case}: {choice:?} {most}"
            ),
        }
    }
    assert!((8..=36).contains(&kept), "{kept} of 40 stages could be held: choose loads anew");
}

#[test]
fn stepwise_plans_keep_the_margin_and_are_seldom_larger() {
    let mut random = seeded(22);
    let (mut larger, mut missed) = (0, 0);
    for case in 0..40 {
        let (choice, set, _) = random_stage(&mut random, 0);
        assert!(!choice.exact);
        match set {
            Some(set) if choice.keeps => {
                assert!(choice.margin >= 1.5 && choice.open.len() >= set.len(), "case {case}");
                larger += usize::from(choice.open.len() > set.len());
            }
            Some(_) => missed += 1,
            None => assert!(!choice.keeps, "case {case}"),
        }
    }
    assert!(larger + missed <= 6, "{larger} larger, {missed} missed of 40");
}

#[test]
fn zones_under_nothing_stay_shut_and_barred_zones_too() {
    let zones = zones(12);
    let outline = Polygon::rectangle(Vec2::new(850.0, 100.0), Vec2::new(1150.0, 400.0));
    let shape = PieceShape::from_outline(&outline, &[], &zones, ShapeOptions::default()).unwrap();
    let bed = bed();
    let piece = RangedPiece::new(&shape, 3.0, &bed, &ranges());
    let load = Load {
        force_n: Vec2::new(20.0, 0.0),
        at_mm: Vec2::new(1000.0, 100.0),
        height_mm: 18.0,
        up_n: 0.0,
    };
    let networks = ranges().cases().map(|case| network(&[0.1; 12], case.permeability_m2, 0.0));
    let mut stage = Stage {
        networks,
        pieces: vec![StagePiece { piece: &piece, loads: std::slice::from_ref(&load) }],
        allowed: ZoneSet::first(12),
        asked_margin: 2.0,
        exact_up_to: 12,
    };
    let choice = least_open_zones(&stage).unwrap();
    assert!(choice.keeps);
    assert_eq!(choice.open.zones().collect::<Vec<_>>(), [2]);
    assert!(choice.solved <= 4, "{} sets solved", choice.solved);
    stage.allowed = stage.allowed.without(2);
    let barred = least_open_zones(&stage).unwrap();
    assert!(!barred.keeps && barred.piece == Some(0));
    stage.pieces.clear();
    let nothing = least_open_zones(&stage).unwrap();
    assert!(nothing.keeps && nothing.open.is_empty() && nothing.margin == f64::INFINITY);
    stage.networks = std::array::from_fn(|_| network(&[0.1; 65], 2e-13, 0.0));
    assert!(matches!(least_open_zones(&stage), Err(PlanError::TooManyZones { zones: 65 })));
}

fn setup<'a>(shapes: &'a [PieceShape], zone_count: usize) -> Setup<'a> {
    let mut network = network(&vec![0.0; zone_count], 2e-13, 2e-14);
    network.zones.iter_mut().for_each(|zone| zone.leak = Leak::default());
    Setup {
        network,
        bed: bed(),
        ranges: ranges(),
        pieces: shapes
            .iter()
            .map(|shape| RangedPiece::new(shape, 3.0, &bed(), &ranges()))
            .collect(),
    }
}

fn event(zone_count: usize, kerf_m: f64, pieces: Vec<LoadedPiece>) -> Event {
    let kerf = Kerf { length_m: kerf_m, width_m: 0.006, into_board_m: 0.0, skin: None };
    let openings = Openings { bare_area_m2: 0.05, kerfs: vec![kerf], ..Openings::default() };
    Event { openings: vec![openings; zone_count], open: vec![true; zone_count], pieces }
}

/// As kerfs open, pressures rise and margins fall; a tab brings the margin back; stepping anew gives the
/// same.
#[test]
fn margins_fall_as_kerfs_open() {
    let outline = Polygon::rectangle(Vec2::new(300.0, 100.0), Vec2::new(600.0, 400.0));
    let shapes =
        [PieceShape::from_outline(&outline, &[], &zones(3), ShapeOptions::default()).unwrap()];
    let setup = setup(&shapes, 3);
    let load = Load {
        force_n: Vec2::new(0.0, 60.0),
        at_mm: Vec2::new(590.0, 250.0),
        height_mm: 18.0,
        up_n: 5.0,
    };
    let loaded = |anchors| LoadedPiece { piece: 0, loads: vec![load], anchors };
    let mut run = Run::new(&setup).unwrap();
    let mut last = f64::INFINITY;
    for step in 0..20 {
        let result = run.step(&event(3, f64::from(step) * 2.0, vec![loaded(Vec::new())])).unwrap();
        let verdict = result.verdicts[0].1;
        assert!(
            verdict.unfavourable.value < last && verdict.unfavourable.value < verdict.likely.value
        );
        last = verdict.unfavourable.value;
    }
    let end = event(3, 38.0, vec![loaded(Vec::new())]);
    let fresh = Run::new(&setup).unwrap().step(&end).unwrap();
    let again = run.step(&end).unwrap();
    assert!(
        (fresh.verdicts[0].1.unfavourable.value / again.verdicts[0].1.unfavourable.value - 1.0)
            .abs()
            < 1e-4
    );
    let tab = Anchor::tab(Vec2::new(600.0, 250.0), 5.0, 3.0, 5.0);
    let tied = run.step(&event(3, 38.0, vec![loaded(vec![tab])])).unwrap();
    assert!(tied.verdicts[0].1.unfavourable.value > last * 1.1);
}

/// A hard table with seals: no board to lose vacuum in, holes and edges leak.
#[test]
fn a_hard_table_holds_with_its_full_vacuum() {
    let outline = Polygon::rectangle(Vec2::new(100.0, 100.0), Vec2::new(200.0, 200.0));
    let shapes =
        [PieceShape::from_outline(&outline, &[], &zones(1), ShapeOptions::default()).unwrap()];
    let bed = Bed { board: None, sheet: None };
    let mut setup = setup(&shapes, 1);
    setup.bed = bed;
    setup.pieces = vec![RangedPiece::new(&shapes[0], 3.0, &bed, &ranges())];
    let mut run = Run::new(&setup).unwrap();
    let load = Load {
        force_n: Vec2::new(50.0, 0.0),
        at_mm: Vec2::new(150.0, 150.0),
        height_mm: 0.0,
        up_n: 0.0,
    };
    let loaded = LoadedPiece { piece: 0, loads: vec![load], anchors: Vec::new() };
    let holes = vec![kw_holddown::flow::Orifice::round(0.004, 0.61)];
    let openings = vec![Openings { holes, bare_area_m2: 1.0, ..Openings::default() }];
    let result = run.step(&Event { openings, open: vec![true], pieces: vec![loaded] }).unwrap();
    let vacuum = Air::default().ambient_pa - result.solutions[0].zone_pa[0];
    assert!(vacuum > 60_000.0);
    let expected = 0.3 * (vacuum * 0.01 + 3.0) / 50.0;
    let got = result.verdicts[0].1.likely.value;
    assert!((got / expected - 1.0).abs() < 1e-6, "{got} {expected}");
}

#[test]
fn setups_that_cannot_be_meant_are_refused() {
    let shapes = [];
    let refused = |change: &dyn Fn(&mut Setup)| {
        let mut setup = setup(&shapes, 2);
        change(&mut setup);
        Run::new(&setup).unwrap_err().to_string()
    };
    let friction = refused(&|s| s.ranges.friction = Band { low: 0.4, likely: 0.3, high: 0.2 });
    assert!(
        friction.starts_with("friction runs from 0.4 over 0.3 to 0.2; it must rise"),
        "{friction}"
    );
    let gap = refused(&|s| s.ranges.gap_m.high = 20.0);
    assert!(gap.starts_with("contact gap in m"), "{gap}");
    let board = refused(&|s| s.bed.board = Some(Board::new(0.0, 2e-13)));
    assert!(board.starts_with("board or sheet: thickness in m is 0"), "{board}");
    let sheet = kw_holddown::Layer { thickness_m: 18.0, permeability_m2: 0.0 };
    assert!(refused(&|s| s.bed.sheet = Some(sheet)).contains("thickness in m is 18"));
}

#[test]
fn events_that_do_not_fit_are_refused() {
    let outline = Polygon::rectangle(Vec2::new(300.0, 100.0), Vec2::new(600.0, 400.0));
    let shapes =
        [PieceShape::from_outline(&outline, &[], &zones(2), ShapeOptions::default()).unwrap()];
    let setup = setup(&shapes, 2);
    let mut run = Run::new(&setup).unwrap();
    let short = run.step(&event(1, 0.0, Vec::new()));
    assert!(matches!(short, Err(RunError::WrongZones { openings: 1, zones: 2, .. })));
    let missing =
        run.step(&event(2, 0.0, vec![LoadedPiece { piece: 4, ..LoadedPiece::default() }]));
    assert!(matches!(missing, Err(RunError::NoSuchPiece { piece: 4, pieces: 1 })));
    let mut unit = event(2, 0.0, Vec::new());
    unit.openings[0].bare_area_m2 = 1e12;
    assert!(matches!(run.step(&unit), Err(RunError::Network(_))));
    assert!(run.step(&event(2, 1.0, Vec::new())).is_ok());
}
