//! Speed of hold-down: 100 pieces, 12 zones, 1000 events must take at most a second on two cores.

#![allow(clippy::unwrap_used, reason = "a bench may fail by panic")]

use divan::{Bencher, black_box};
use kw_base::Band;
use kw_base::math::PI;
use kw_geometry::{Polygon, Vec2};
use kw_holddown::board::openings::{Kerf, Openings};
use kw_holddown::flow::{BranchLaw, Orifice};
use kw_holddown::network::{Branch, Leak, Manifold, Network, Node, Seam, Zone, solve};
use kw_holddown::piece::{Bed, HoldRanges, Load, PieceShape, RangedPiece, ShapeOptions};
use kw_holddown::plan::{Stage, StagePiece, ZoneSet, least_open_zones};
use kw_holddown::run::{Event, LoadedPiece, Run, Setup};
use kw_holddown::{Air, Board, Pump, PumpCurve};

const ZONES: usize = 12;
const PIECES: usize = 100;
const EVENTS: usize = 1000;

fn main() {
    divan::main();
}

/// Six by two zones of 500 × 750 mm.
fn zones() -> Vec<Polygon> {
    (0..ZONES)
        .map(|i| {
            let at = Vec2::new((i % 6) as f64 * 500.0, (i / 6) as f64 * 750.0);
            Polygon::rectangle(at, at + Vec2::new(500.0, 750.0))
        })
        .collect()
}

/// Outlines of 36 corners, about 220 × 120 mm, in rows over the whole table: some across two zones.
fn shapes(zones: &[Polygon]) -> Vec<PieceShape> {
    (0..PIECES)
        .map(|i| {
            let middle = Vec2::new((i % 12) as f64 * 245.0 + 130.0, (i / 12) as f64 * 160.0 + 80.0);
            let corner = |j: i32| {
                let r = 1.0 - 0.15 * f64::from(j % 3);
                let turned = Vec2::new(r, 0.0).rotated(f64::from(j) * PI / 18.0);
                middle + Vec2::new(turned.x * 110.0, turned.y * 65.0)
            };
            let outline = Polygon { points: (0..36).map(corner).collect() };
            PieceShape::from_outline(&outline, &[], zones, ShapeOptions::default()).unwrap()
        })
        .collect()
}

fn ranges() -> HoldRanges {
    HoldRanges {
        friction: Band { low: 0.22, likely: 0.3, high: 0.4 },
        permeability_m2: Band { low: 1e-13, likely: 2e-13, high: 4e-13 },
        gap_m: Band { low: 0.0, likely: 20e-6, high: 50e-6 },
        force_factor: Band { low: 0.8, likely: 1.0, high: 1.3 },
    }
}

fn bed() -> Bed {
    Bed { board: Some(Board::new(0.018, 2e-13)), sheet: None }
}

fn network() -> Network {
    let law = BranchLaw { laminar: 6.0e7, quadratic: 1.353e11 };
    let pump =
        |speed_m3_h| Pump::new(PumpCurve::PositiveDisplacement { speed_m3_h, ultimate_pa: 5000.0 });
    let mut zones = vec![Zone::default(); ZONES];
    zones[3].leak.orifices.push(Orifice::round(0.006, 0.61));
    Network {
        air: Air::default(),
        zones,
        manifolds: vec![Manifold { pumps: vec![pump(250.0), pump(250.0)], leak: Leak::default() }],
        branches: (0..ZONES)
            .map(|i| Branch { ends: [Node::Zone(i), Node::Manifold(0)], law, open: true })
            .collect(),
        seams: (1..ZONES)
            .filter(|i| i % 6 != 0)
            .map(|i| Seam { zones: [i - 1, i], conductance_kg_s_pa2: 2.4e-14 })
            .collect(),
    }
}

fn setup<'a>(shapes: &'a [PieceShape]) -> Setup<'a> {
    let piece = |shape: &'a PieceShape| RangedPiece::new(shape, 3.0, &bed(), &ranges());
    Setup {
        network: network(),
        bed: bed(),
        ranges: ranges(),
        pieces: shapes.iter().map(piece).collect(),
    }
}

/// Every event opens more kerf and loads every piece at a new point in a new direction.
fn events(shapes: &[PieceShape]) -> Vec<Event> {
    let load = |event: usize, piece: usize| {
        let angle = (event * 7 + piece * 3) as f64 * 0.37;
        Load {
            force_n: Vec2::new(60.0, 0.0).rotated(angle * 1.7),
            at_mm: shapes[piece].centre() + Vec2::new(90.0, 0.0).rotated(angle),
            height_mm: 18.0,
            up_n: 5.0,
        }
    };
    (0..EVENTS)
        .map(|event| Event {
            openings: (0..ZONES)
                .map(|zone| {
                    let length_m = 0.01 * (event + zone) as f64;
                    let kerf = Kerf { length_m, width_m: 0.006, into_board_m: 0.000_3, skin: None };
                    Openings { bare_area_m2: 0.02, kerfs: vec![kerf], ..Openings::default() }
                })
                .collect(),
            open: vec![true; ZONES],
            pieces: (0..PIECES)
                .map(|piece| LoadedPiece {
                    piece,
                    loads: vec![load(event, piece)],
                    anchors: Vec::new(),
                })
                .collect(),
        })
        .collect()
}

/// The whole run: 3 networks and 100 verdicts (each of 3 cases) an event, a new load each time.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn a_thousand_events_with_a_hundred_pieces(bencher: Bencher) {
    let shapes = shapes(&zones());
    let setup = setup(&shapes);
    let events = events(&shapes);
    bencher.bench(|| {
        let mut run = Run::new(&setup).unwrap();
        events.iter().map(|event| run.step(event).unwrap().verdicts.len()).sum::<usize>()
    });
}

/// The networks alone.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn a_thousand_events_without_pieces(bencher: Bencher) {
    let shapes = shapes(&zones());
    let setup = setup(&shapes);
    let mut events = events(&shapes);
    events.iter_mut().for_each(|event| event.pieces.clear());
    bencher.bench(|| {
        let mut run = Run::new(&setup).unwrap();
        events.iter().map(|event| run.step(event).unwrap().solutions[0].iterations).sum::<usize>()
    });
}

/// Cutting outlines into cells, done once a program.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn a_hundred_footprints(bencher: Bencher) {
    let zones = zones();
    bencher.bench(|| shapes(black_box(&zones)).len());
}

/// One cold solution of 12 zones.
#[divan::bench]
fn one_network(bencher: Bencher) {
    let mut network = network();
    network.zones.iter_mut().for_each(|zone| zone.leak.board_kg_s_pa2 = 4e-13);
    bencher.bench(|| solve(black_box(&network), None).unwrap().iterations);
}

/// The least zones of 12 for 10 pieces over five zones.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn a_zone_plan(bencher: Bencher) {
    let shapes = shapes(&zones());
    let setup = setup(&shapes);
    let event = &events(&shapes)[EVENTS / 2];
    let networks = ranges().cases().map(|case| {
        let mut network = network();
        let board = Board::new(0.018, case.permeability_m2);
        for (zone, openings) in network.zones.iter_mut().zip(&event.openings) {
            zone.leak.board_kg_s_pa2 = openings.conductance(&board, &network.air);
        }
        network
    });
    let piece = |i: usize| StagePiece { piece: &setup.pieces[i], loads: &event.pieces[i].loads };
    let stage = Stage {
        networks,
        pieces: (0..10).map(piece).collect(),
        allowed: ZoneSet::first(ZONES),
        asked_margin: 2.0,
        exact_up_to: 12,
    };
    bencher.bench(|| least_open_zones(black_box(&stage)).unwrap().solved);
}
