//! Networks, edge losses and twist capacities recorded by tests/reference/holddown.py with scipy.

use kw_geometry::{Polygon, Vec2};
use kw_holddown::board::retention::{Footprint, Retention};
use kw_holddown::flow::{BranchLaw, Orifice};
use kw_holddown::network::{Branch, Leak, Manifold, Network, Node, Seam, Zone, solve};
use kw_holddown::piece::{Grip, GrippedPiece, Load, PieceShape, ShapeOptions};
use kw_holddown::{Air, Board, Pump, PumpCurve};
use serde_json::Value;

fn record() -> Value {
    serde_json::from_str(include_str!("../reference/holddown.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap()
}

fn index(value: &Value) -> usize {
    value.as_u64().unwrap() as usize
}

fn point(value: &Value) -> Vec2 {
    Vec2::new(number(&value[0]), number(&value[1]))
}

fn polygon(value: &Value) -> Polygon {
    Polygon { points: list(value).iter().map(point).collect() }
}

fn network(case: &Value) -> Network {
    let zone = |leak: &Value| {
        let hole = number(&leak["hole"]);
        Zone {
            leak: Leak {
                board_kg_s_pa2: number(&leak["board"]),
                slip_pa: number(&leak["slip"]),
                orifices: vec![Orifice::effective(hole)],
            },
        }
    };
    let pump = |pump: &Value| {
        let (speed_m3_h, limit) = (number(&pump["speed"]), number(&pump["limit"]));
        Pump::new(match pump["kind"].as_str().unwrap() {
            "displacement" => PumpCurve::PositiveDisplacement { speed_m3_h, ultimate_pa: limit },
            _ => PumpCurve::Regenerative { speed_m3_h, limit_vacuum_pa: limit },
        })
    };
    let branch = |branch: &Value| Branch {
        ends: [Node::Zone(index(&branch["zone"])), Node::Manifold(index(&branch["manifold"]))],
        law: BranchLaw { laminar: number(&branch["a"]), quadratic: number(&branch["b"]) },
        open: true,
    };
    let seam = |seam: &Value| Seam {
        zones: [index(&seam["zones"][0]), index(&seam["zones"][1])],
        conductance_kg_s_pa2: number(&seam["g"]),
    };
    let manifold = |of: &Value| Manifold { pumps: vec![pump(of)], leak: Leak::default() };
    Network {
        air: Air {
            ambient_pa: number(&case["ambient"]),
            temperature_k: number(&case["temperature"]),
            ..Air::default()
        },
        zones: list(&case["zones"]).iter().map(zone).collect(),
        manifolds: list(&case["pumps"]).iter().map(manifold).collect(),
        branches: list(&case["branches"]).iter().map(branch).collect(),
        seams: list(&case["seams"]).iter().map(seam).collect(),
    }
}

#[test]
fn networks_agree_with_scipy() {
    let record = record();
    let tolerance = number(&record["networks"]["relative_tolerance"]);
    let cases = list(&record["networks"]["cases"]);
    assert_eq!(cases.len(), 24);
    for (i, case) in cases.iter().enumerate() {
        let solution = solve(&network(case), None).unwrap();
        let ours = solution.zone_pa.iter().chain(&solution.manifold_pa);
        for (got, expected) in ours.zip(list(&case["pressures"])) {
            let expected = number(expected);
            assert!(
                (got / expected - 1.0).abs() < tolerance,
                "network {i}: {got} Pa, scipy {expected} Pa"
            );
        }
    }
}

/// The estimate is never above finite differences and not uselessly below.
#[test]
fn retention_stays_below_finite_differences() {
    let record = record();
    let slack = number(&record["retention"]["absolute_tolerance"]);
    let board = Board::new(1.0, 1e-13);
    for case in list(&record["retention"]["cases"]) {
        let footprint =
            Footprint { perimeter_m: number(&case["perimeter"]), area_m2: number(&case["area"]) };
        let retention = Retention::new(footprint, &board, 0.0);
        for (ratio, exact) in list(&case["ratios"]).iter().zip(list(&case["kept"])) {
            let (got, exact) = (retention.at(number(ratio)), number(exact));
            assert!(got < exact + slack, "{}: {got} above {exact}", case["name"]);
            assert!(got > 0.6 * exact, "{}: {got} far below {exact}", case["name"]);
        }
    }
}

#[test]
fn twist_capacities_agree_with_a_fine_point_set() {
    let record = record();
    let tolerance = number(&record["twist"]["relative_tolerance"]);
    let everywhere = |x0: f64, x1: f64| Polygon::rectangle(Vec2::new(x0, -1e3), Vec2::new(x1, 1e3));
    for case in list(&record["twist"]["cases"]) {
        let zones = match case["seam"].as_f64() {
            None => vec![everywhere(-1e3, 1e3)],
            Some(x) => vec![everywhere(-1e3, x), everywhere(x, 1e3)],
        };
        let holes: Vec<Polygon> = list(&case["holes"]).iter().map(polygon).collect();
        let outline = polygon(&case["outline"]);
        let shape =
            PieceShape::from_outline(&outline, &holes, &zones, ShapeOptions::default()).unwrap();
        let grip = Grip { board: None, sheet: None, gap_m: 0.0, friction: 1.0 };
        let piece = GrippedPiece::new(&shape, 0.0, &grip);
        let air = Air::default();
        // Pulls of 1 and 0.3.
        let contact = piece.contact(&[air.ambient_pa - 50_000.0, air.ambient_pa - 15_000.0], &air);
        let load = Load {
            force_n: point(&case["direction"]),
            at_mm: point(&case["at"]),
            ..Load::default()
        };
        let got = piece.margins(&contact, &load, &[]).slide / contact.force_n();
        let expected = number(&case["factor"]);
        assert!(
            (got / expected - 1.0).abs() < tolerance,
            "{}, seam {}: {got}, scipy {expected}",
            case["name"],
            case["seam"]
        );
    }
}
