//! Invariants of the network (section 4 of the fact sheet) on random networks.

use crate::random::{self, chance, seeded, spread};
use kw_holddown::flow::Orifice;
use kw_holddown::network::{Network, NetworkError, Solution, solve};
use kw_holddown::pump::{CheckValve, PumpCurve, deadhead_pa};
use kw_holddown::{Air, Pump};
use rand::RngExt;

fn pressures(solution: &Solution) -> impl Iterator<Item = f64> {
    solution.zone_pa.iter().chain(&solution.manifold_pa).copied()
}

/// Flow into each node minus flow out of it, from the public solution alone.
fn worst_balance(network: &Network, solution: &Solution) -> f64 {
    use kw_holddown::network::Node;
    let zones = network.zones.len();
    let index = |node| match node {
        Node::Zone(i) => i,
        Node::Manifold(i) => zones + i,
    };
    let mut balance: Vec<f64> = solution.zone_leak_kg_s.clone();
    for (manifold, &p) in network.manifolds.iter().zip(&solution.manifold_pa) {
        let drawn: f64 = manifold.pumps.iter().map(|pump| pump.flow(p, &network.air).kg_s).sum();
        balance.push(manifold.leak.flow(p, &network.air).kg_s - drawn);
    }
    for (branch, flow) in network.branches.iter().zip(&solution.branch_kg_s) {
        balance[index(branch.ends[0])] -= flow;
        balance[index(branch.ends[1])] += flow;
    }
    for seam in &network.seams {
        let [a, b] = seam.zones;
        let (pa, pb) = (solution.zone_pa[a], solution.zone_pa[b]);
        let flow = seam.conductance_kg_s_pa2 * (pa * pa - pb * pb);
        balance[a] -= flow;
        balance[b] += flow;
    }
    balance.iter().fold(0.0, |most, b| most.max(b.abs()))
}

/// The solver settles on every one of 4000 networks, within bounds and in balance; a warm start ends at
/// the same pressures.
#[test]
fn every_valid_network_settles_in_balance() {
    let mut random = seeded(5);
    let (mut most, mut total) = (0, 0);
    for case in 0..4000 {
        let network = random::network(&mut random);
        let solution =
            solve(&network, None).unwrap_or_else(|e| panic!("case {case}: {e}\n{network:?}"));
        most = most.max(solution.iterations);
        total += solution.iterations;
        for p in pressures(&solution) {
            assert!(p > 0.0 && p <= network.air.ambient_pa, "case {case}: {p} Pa");
        }
        // Rounding of p² on the shortest branches alone makes about 1e-9 kg/s.
        let left = worst_balance(&network, &solution);
        assert!(left < 1e-8, "case {case}: {left:e} kg/s {solution:?} {network:?}");
        let mut changed = network.clone();
        let zone = random.random_range(0..network.zones.len());
        changed.zones[zone].leak = random::leak(&mut random);
        let cold = solve(&changed, None).unwrap();
        let warm = solve(&changed, Some(&solution)).unwrap();
        for (a, b) in pressures(&cold).zip(pressures(&warm)) {
            assert!((a - b).abs() < 1e-3, "case {case}: {a} {b}");
        }
    }
    // 100 000 such networks took 35 steps at most and 9 in the mean.
    assert!(most < 60 && total < 4000 * 12, "{most} steps at most, {total} in all");
}

/// Figures spread over the whole accepted range, far outside any workshop: still a solution each time
/// (tried with 300 000).
#[test]
fn the_wildest_accepted_networks_settle() {
    let mut random = seeded(7);
    for case in 0..4000 {
        let network = random::wild_network(&mut random);
        let solution =
            solve(&network, None).unwrap_or_else(|e| panic!("case {case}: {e}\n{network:?}"));
        assert!(
            pressures(&solution).all(|p| p > 0.0 && p <= network.air.ambient_pa),
            "case {case}"
        );
    }
}

/// Raising any one leak lowers no pressure: 1500 random networks.
#[test]
fn more_leak_lowers_no_pressure() {
    let mut random = seeded(17);
    for case in 0..1500 {
        let mut network = random::network(&mut random);
        let before = solve(&network, None).unwrap();
        let node = random.random_range(0..network.zones.len() + network.manifolds.len());
        let leak = match node.checked_sub(network.zones.len()) {
            None => &mut network.zones[node].leak,
            Some(manifold) => &mut network.manifolds[manifold].leak,
        };
        if chance(&mut random, 0.5) {
            leak.board_kg_s_pa2 += spread(&mut random, 1e-15, 1e-11);
        } else {
            leak.orifices.push(Orifice::effective(spread(&mut random, 1e-7, 1e-4)));
        }
        let after = solve(&network, None).unwrap();
        for (before, after) in pressures(&before).zip(pressures(&after)) {
            assert!(after - before >= -1e-6, "case {case}: {before} to {after} Pa");
        }
    }
}

/// Scaling permeability and pump speed by one factor leaves pressures alone where no hole, branch loss or
/// gap takes part.
#[test]
fn scaling_boards_and_pumps_alike_changes_nothing() {
    let mut random = seeded(23);
    for _ in 0..200 {
        let mut network = random::network(&mut random);
        for zone in &mut network.zones {
            zone.leak.orifices.clear();
            zone.leak.board_kg_s_pa2 += 1e-13;
        }
        for manifold in &mut network.manifolds {
            manifold.leak.orifices.clear();
            for pump in &mut manifold.pumps {
                pump.check_valve = CheckValve::Fitted;
            }
        }
        for branch in &mut network.branches {
            branch.law.quadratic = 0.0;
        }
        let before = solve(&network, None).unwrap();
        let factor = spread(&mut random, 0.1, 10.0);
        network.zones.iter_mut().for_each(|zone| zone.leak.board_kg_s_pa2 *= factor);
        network.seams.iter_mut().for_each(|seam| seam.conductance_kg_s_pa2 *= factor);
        network.branches.iter_mut().for_each(|branch| branch.law.laminar /= factor);
        for manifold in &mut network.manifolds {
            manifold.leak.board_kg_s_pa2 *= factor;
            manifold.pumps.iter_mut().for_each(|pump| *pump = faster(pump, factor));
        }
        let after = solve(&network, None).unwrap();
        for (before, after) in pressures(&before).zip(pressures(&after)) {
            assert!((before - after).abs() < 0.01, "{before} {after}");
        }
    }
}

/// The same pump with its speed times a factor; tables become positive displacement.
fn faster(pump: &Pump, factor: f64) -> Pump {
    let mut pump = pump.clone();
    match &mut pump.curve {
        PumpCurve::PositiveDisplacement { speed_m3_h, .. }
        | PumpCurve::Regenerative { speed_m3_h, .. }
        | PumpCurve::LiquidRing { speed_m3_h, .. } => *speed_m3_h *= factor,
        PumpCurve::Table(table) => *table = table.times(factor),
    }
    pump
}

/// Without leaks every open zone is at the end pressure of the pumps.
#[test]
fn without_leaks_all_open_zones_reach_the_deadhead() {
    let mut random = seeded(29);
    for case in 0..200 {
        let mut network = random::network(&mut random);
        network.manifolds.truncate(1);
        network.branches.retain(|b| b.ends[0] != b.ends[1]);
        network.branches.truncate(network.zones.len());
        for (zone, branch) in network.branches.iter_mut().enumerate() {
            branch.ends =
                [kw_holddown::network::Node::Zone(zone), kw_holddown::network::Node::Manifold(0)];
            branch.open = true;
        }
        network.zones.iter_mut().for_each(|zone| zone.leak = Default::default());
        let manifold = &mut network.manifolds[0];
        manifold.leak = Default::default();
        manifold.pumps.iter_mut().for_each(|pump| pump.check_valve = CheckValve::Fitted);
        let end = deadhead_pa(&network.manifolds[0].pumps, &network.air);
        let solution = solve(&network, None).unwrap();
        for p in pressures(&solution) {
            assert!((p - end).abs() < 1.0, "case {case}: {p} Pa, pumps end at {end} Pa");
        }
    }
}

/// Pumps off: ambient, if anything leaks.
#[test]
fn pumps_off_gives_ambient() {
    let mut random = seeded(31);
    for _ in 0..200 {
        let mut network = random::network(&mut random);
        for manifold in &mut network.manifolds {
            manifold.leak.board_kg_s_pa2 += 1e-13;
            manifold.pumps.iter_mut().for_each(|pump| pump.running = false);
        }
        let solution = solve(&network, None).unwrap();
        assert!(pressures(&solution).all(|p| p == network.air.ambient_pa));
    }
}

#[test]
fn contradictions_are_named() {
    let mut random = seeded(41);
    let good = random::network(&mut random);
    let error = |change: &dyn Fn(&mut Network)| {
        let mut network = good.clone();
        change(&mut network);
        solve(&network, None).unwrap_err()
    };
    assert_eq!(error(&|n| n.zones.clear()), NetworkError::NoZone);
    let undecided = error(&|n| {
        n.zones.iter_mut().for_each(|zone| zone.leak = Default::default());
        n.branches.iter_mut().for_each(|branch| branch.open = true);
        for manifold in &mut n.manifolds {
            manifold.leak = Default::default();
            for pump in &mut manifold.pumps {
                pump.running = false;
                pump.check_valve = CheckValve::Fitted;
            }
        }
    });
    assert!(matches!(undecided, NetworkError::NoPumpNoLeak { .. }), "{undecided}");
    assert!(undecided.to_string().contains("no running pump and no leak"));
    let negative = error(&|n| n.zones[0].leak.board_kg_s_pa2 = -1e-13);
    assert!(negative.to_string().contains("zone 1: leak conductance"), "{negative}");
    let nan = error(&|n| n.air.ambient_pa = f64::NAN);
    assert!(nan.to_string().contains("ambient pressure"), "{nan}");
    let lossless = error(&|n| n.branches[0].law.laminar = 0.0);
    assert!(lossless.to_string().contains("branch 1: laminar"), "{lossless}");
    let end = error(&|n| n.branches[0].ends[0] = kw_holddown::network::Node::Zone(99));
    assert!(matches!(end, NetworkError::BadBranch { branch: 0, .. }));
    let seam = error(&|n| {
        n.seams.push(kw_holddown::network::Seam { zones: [0, 0], conductance_kg_s_pa2: 1e-13 });
    });
    assert!(matches!(seam, NetworkError::BadSeam { .. }));
    let pump = error(&|n| {
        n.manifolds[0].pumps[0].curve =
            PumpCurve::PositiveDisplacement { speed_m3_h: -1.0, ultimate_pa: 1e3 };
    });
    assert!(pump.to_string().starts_with("manifold 1, pump 1: pump: speed"), "{pump}");
    let many = error(&|n| n.zones = vec![Default::default(); 600]);
    assert!(matches!(many, NetworkError::TooLarge { .. }));
}

/// A shut zone without any leak is taken as ambient and said to be.
#[test]
fn a_shut_tight_zone_counts_as_ambient() {
    let mut random = seeded(43);
    let mut network = random::network(&mut random);
    network.seams.clear();
    network.zones[0].leak = Default::default();
    network.set_zone_open(0, false);
    let solution = solve(&network, None).unwrap();
    assert_eq!(solution.zone_pa[0], network.air.ambient_pa);
    assert!(solution.assumed_ambient.contains(&kw_holddown::network::Node::Zone(0)));
    assert_ne!(network.air, Air::default());
}
