//! T2 to T4, T10, T11 of the fact sheet: pressures of whole networks.
//!
//! Source of each: closed form of the section in brackets; T10 by damped Newton and a general root
//! finder (scipy fsolve), which agree to 1e-8.

use kw_holddown::board::openings::{Kerf, Openings};
use kw_holddown::flow::{BranchLaw, Orifice};
use kw_holddown::network::{Branch, Leak, Manifold, Network, Node, Seam, Zone, solve};
use kw_holddown::{Air, Board, Pump, PumpCurve, Solution};

#[track_caller]
fn near(got: f64, expected: f64, relative: f64) {
    let off = (got / expected - 1.0).abs();
    assert!(off <= relative, "{got} is not {expected} within {relative}: off by {off:.2e}");
}

fn displacement(speed_m3_h: f64, ultimate_pa: f64) -> Pump {
    Pump::new(PumpCurve::PositiveDisplacement { speed_m3_h, ultimate_pa })
}

/// One zone of bare board on pumps, without branch loss.
fn single_zone(area_m2: f64, k: f64, pumps: Vec<Pump>) -> Solution {
    let air = Air::default();
    let bare = Openings { bare_area_m2: area_m2, ..Openings::default() };
    let g = bare.conductance(&Board::new(0.018, k), &air);
    let ends = [Node::Zone(0), Node::Manifold(0)];
    let network = Network {
        air,
        zones: vec![Zone { leak: Leak::through_board(g) }],
        manifolds: vec![Manifold { pumps, ..Manifold::default() }],
        branches: vec![Branch { ends, law: BranchLaw::SHORT, open: true }],
        seams: Vec::new(),
    };
    solve(&network, None).unwrap()
}

/// T2 [1.3, 1.8] Single zone on a positive displacement pump.
#[test]
fn t02_single_zone_on_a_vane_pump() {
    let pump = || vec![displacement(250.0, 5000.0)];
    let first = single_zone(3.25, 1e-13, pump());
    near(first.zone_pa[0], 56_119.0, 1e-3);
    near(first.branch_kg_s[0], 42.19e-3, 1e-3);
    near(first.pump_kg_s[0][0], 42.19e-3, 1e-3);
    near(first.zone_leak_kg_s[0], 42.19e-3, 1e-3);
    near(single_zone(0.65, 1e-13, pump()).zone_pa[0], 19_217.0, 1e-3);
    near(single_zone(3.25, 4e-13, pump()).zone_pa[0], 86_248.0, 1e-3);
}

/// T3 [1.8] The same board on a blower.
#[test]
fn t03_single_zone_on_a_blower() {
    let curve = PumpCurve::Regenerative { speed_m3_h: 500.0, limit_vacuum_pa: 28_000.0 };
    let solution = single_zone(3.25, 1e-13, vec![Pump::new(curve)]);
    near(solution.zone_pa[0], 78_565.0, 1e-3);
    near(solution.branch_kg_s[0], 24.27e-3, 1e-3);
}

/// T4 [1.8] Two positive displacement pumps in parallel act as one of 400 m³/h at 10125 Pa.
#[test]
fn t04_two_pumps_in_parallel() {
    let two =
        single_zone(3.25, 1e-13, vec![displacement(150.0, 2000.0), displacement(250.0, 15_000.0)]);
    near(two.zone_pa[0], 46_504.0, 1e-3);
    let one = single_zone(3.25, 1e-13, vec![displacement(400.0, 10_125.0)]);
    near(two.zone_pa[0], one.zone_pa[0], 1e-9);
}

/// The three-zone reference of T10.
struct Reference {
    bare_m2: [f64; 3],
    kerf_m: [f64; 3],
    hole_m2: f64,
    open: [bool; 3],
    pumps: Vec<Pump>,
}

impl Reference {
    fn base() -> Self {
        Self {
            bare_m2: [0.0, 0.2, 0.7],
            kerf_m: [8.0, 4.0, 0.0],
            hole_m2: 3.05e-5,
            open: [true; 3],
            pumps: vec![displacement(300.0, 5000.0)],
        }
    }

    fn network(&self) -> Network {
        let air = Air::default();
        let board = Board::new(0.018, 2e-13);
        let zone = |i: usize| {
            let kerf =
                Kerf { length_m: self.kerf_m[i], width_m: 0.006, into_board_m: 0.0, skin: None };
            let openings = Openings {
                bare_area_m2: self.bare_m2[i],
                kerfs: vec![kerf],
                ..Openings::default()
            };
            let mut leak = Leak::through_board(openings.conductance(&board, &air));
            if i == 1 {
                leak.orifices.push(Orifice::effective(self.hole_m2));
            }
            Zone { leak }
        };
        let law = BranchLaw { laminar: 6.0e7, quadratic: 1.353e11 };
        let branch =
            |i: usize| Branch { ends: [Node::Zone(i), Node::Manifold(0)], law, open: self.open[i] };
        let seam = |zones| Seam { zones, conductance_kg_s_pa2: 2.363_614e-14 };
        Network {
            air,
            zones: (0..3).map(zone).collect(),
            manifolds: vec![Manifold { pumps: self.pumps.clone(), ..Manifold::default() }],
            branches: (0..3).map(branch).collect(),
            seams: vec![seam([0, 1]), seam([1, 2])],
        }
    }

    fn solve(&self) -> Solution {
        solve(&self.network(), None).unwrap()
    }
}

#[track_caller]
fn check(solution: &Solution, zones: [f64; 3], manifold: f64, sum: f64) {
    for (got, expected) in solution.zone_pa.iter().zip(zones) {
        near(*got, expected, 2e-4);
    }
    near(solution.manifold_pa[0], manifold, 2e-4);
    near(solution.branch_kg_s.iter().sum(), sum, 5e-4);
    near(solution.pump_kg_s[0].iter().sum(), sum, 5e-4);
}

/// T10 [4] Three zones: base, valve shut, zone masked, long kerf.
#[test]
fn t10_three_zone_reference() {
    let base = Reference::base();
    let network = base.network();
    for (zone, g) in network.zones.iter().zip([6.039673e-13, 1.031494e-12, 2.553286e-12]) {
        near(zone.leak.board_kg_s_pa2, g, 1e-5);
    }
    let solution = base.solve();
    check(&solution, [46_507.90, 46_833.83, 47_093.77], 46_469.87, 41.068e-3);
    for (got, expected) in solution.branch_kg_s.iter().zip([4.895e-3, 15.622e-3, 20.551e-3]) {
        near(*got, expected, 5e-4);
    }
    assert!(solution.iterations <= 12, "{} steps", solution.iterations);

    let shut = Reference { open: [true, true, false], ..Reference::base() };
    check(&shut.solve(), [28_270.90, 28_909.11, 100_897.24], 28_186.44, 22.962e-3);

    let mut masked = Reference::base();
    masked.bare_m2[2] = 0.0;
    check(&masked.solve(), [28_068.54, 28_693.95, 27_983.27], 27_983.27, 22.761e-3);

    let mut long_kerf = Reference::base();
    long_kerf.kerf_m[0] = 20.0;
    check(&long_kerf.solve(), [51_578.32, 51_707.40, 51_899.26], 51_398.31, 45.949e-3);
}

/// T11 (a) [4] No leaks: every node at the pump's end pressure.
#[test]
fn t11a_without_leaks_all_nodes_reach_the_pumps_end() {
    let tight =
        Reference { bare_m2: [0.0; 3], kerf_m: [0.0; 3], hole_m2: 0.0, ..Reference::base() };
    let solution = tight.solve();
    for p in solution.zone_pa.iter().chain(&solution.manifold_pa) {
        near(*p, 5000.0, 1e-6);
    }
}

/// T11 (b) [4] Pump off behind its check valve: ambient.
#[test]
fn t11b_with_the_pump_off_all_nodes_are_at_ambient() {
    let mut off = Reference::base();
    off.pumps[0].running = false;
    let solution = off.solve();
    assert!(solution.zone_pa.iter().chain(&solution.manifold_pa).all(|&p| p == 101_325.0));
    assert!(solution.assumed_ambient.is_empty());
}

/// T11 (c) [4] More leak anywhere lowers no pressure, less raises none.
#[test]
fn t11c_more_leak_lowers_no_pressure() {
    let base = Reference::base().solve();
    let changes: [fn(&mut Reference, f64); 4] = [
        |r, f| r.bare_m2[1] *= f,
        |r, f| r.bare_m2[2] *= f,
        |r, f| r.kerf_m[0] *= f,
        |r, f| r.hole_m2 *= f,
    ];
    for change in changes {
        for (factor, sign) in [(1.5, 1.0), (0.5, -1.0)] {
            let mut other = Reference::base();
            change(&mut other, factor);
            let other = other.solve();
            let pairs = base.zone_pa.iter().zip(&other.zone_pa);
            for (before, after) in pairs.chain(base.manifold_pa.iter().zip(&other.manifold_pa)) {
                assert!(sign * (after - before) >= -1e-6, "{before} to {after}");
            }
        }
    }
}

/// T11 (d) [4] A blower past its limit, behind a check valve, changes nothing.
#[test]
fn t11d_a_blower_past_its_limit_gives_nothing() {
    let base = Reference::base().solve();
    let mut with_blower = Reference::base();
    let curve = PumpCurve::Regenerative { speed_m3_h: 400.0, limit_vacuum_pa: 30_000.0 };
    with_blower.pumps.push(Pump::new(curve));
    let solution = with_blower.solve();
    for (with, without) in solution.zone_pa.iter().zip(&base.zone_pa) {
        near(*with, *without, 1e-4);
    }
    assert!(solution.pump_kg_s[0][1].abs() < 1e-7);
}
