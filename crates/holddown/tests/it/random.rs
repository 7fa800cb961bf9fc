//! Random networks over the whole range of workshop figures and beyond.

use kw_holddown::flow::{BranchLaw, Discharge, Orifice};
use kw_holddown::network::{Branch, Leak, Manifold, Network, Node, Seam, Zone};
use kw_holddown::pump::{CheckValve, PumpTable};
use kw_holddown::{Air, Pump, PumpCurve};
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

pub type Random = Xoshiro256PlusPlus;

pub fn seeded(seed: u64) -> Random {
    Random::seed_from_u64(seed)
}

/// A value spread evenly over its logarithm.
pub fn spread(random: &mut Random, low: f64, high: f64) -> f64 {
    low * kw_base::math::pow(high / low, random.random_range(0.0..1.0))
}

pub fn chance(random: &mut Random, probability: f64) -> bool {
    random.random_range(0.0..1.0) < probability
}

fn orifice(random: &mut Random) -> Orifice {
    let discharge = if chance(random, 0.5) { Discharge::Fixed(0.61) } else { Discharge::Perry };
    Orifice { area_m2: spread(random, 1e-7, 1e-3), discharge }
}

pub fn leak(random: &mut Random) -> Leak {
    let board = if chance(random, 0.9) { spread(random, 1e-16, 1e-10) } else { 0.0 };
    let slip = if chance(random, 0.2) { spread(random, 100.0, 30_000.0) } else { 0.0 };
    let holes = if chance(random, 0.3) { 1 } else { 0 };
    Leak {
        board_kg_s_pa2: board,
        slip_pa: slip,
        orifices: (0..holes).map(|_| orifice(random)).collect(),
    }
}

pub fn pump(random: &mut Random) -> Pump {
    let speed_m3_h = spread(random, 5.0, 2000.0);
    let curve = match random.random_range(0..4) {
        0 => PumpCurve::PositiveDisplacement {
            speed_m3_h,
            ultimate_pa: spread(random, 50.0, 30_000.0),
        },
        1 => PumpCurve::Regenerative { speed_m3_h, limit_vacuum_pa: random.random_range(8e3..7e4) },
        2 => PumpCurve::LiquidRing {
            speed_m3_h,
            water_temperature_k: random.random_range(278.0..320.0),
        },
        _ => table(random, speed_m3_h),
    };
    let check_valve = if chance(random, 0.7) {
        CheckValve::Fitted
    } else {
        CheckValve::Missing { idle_opening_m2: spread(random, 1e-6, 1e-3) }
    };
    let relief = chance(random, 0.3).then(|| random.random_range(10_000.0..80_000.0));
    Pump { curve, relief_vacuum_pa: relief, check_valve, running: chance(random, 0.9) }
}

/// A pump table whose mass flow never falls.
fn table(random: &mut Random, speed_m3_h: f64) -> PumpCurve {
    let rows = random.random_range(2..8);
    let mut pressure = spread(random, 500.0, 20_000.0);
    let mut flow = speed_m3_h * random.random_range(0.0..0.8) * pressure;
    let points: Vec<(f64, f64)> = (0..rows)
        .map(|_| {
            let row = (pressure, flow / pressure);
            let before = pressure;
            pressure *= random.random_range(1.05..1.8);
            flow += speed_m3_h * (pressure - before) * random.random_range(0.0..1.0);
            row
        })
        .collect();
    PumpCurve::Table(PumpTable::new(&points).unwrap())
}

fn law(random: &mut Random) -> BranchLaw {
    let quadratic = if chance(random, 0.9) { spread(random, 1e8, 1e15) } else { 0.0 };
    BranchLaw { laminar: spread(random, 1e4, 1e10), quadratic }
}

/// 1 to 12 zones on 1 to 3 manifolds, each with at least one leak and one running pump.
pub fn network(random: &mut Random) -> Network {
    let zone_count = random.random_range(1..=12);
    let manifold_count = random.random_range(1..=3);
    let mut manifolds: Vec<Manifold> = (0..manifold_count)
        .map(|_| Manifold {
            pumps: (0..random.random_range(1..=3)).map(|_| pump(random)).collect(),
            leak: if chance(random, 0.3) { leak(random) } else { Leak::default() },
        })
        .collect();
    for manifold in &mut manifolds {
        manifold.pumps[0].running = true;
    }
    let zones: Vec<Zone> = (0..zone_count).map(|_| Zone { leak: leak(random) }).collect();
    let mut branches: Vec<Branch> = (0..zone_count)
        .map(|zone| Branch {
            ends: [Node::Zone(zone), Node::Manifold(random.random_range(0..manifold_count))],
            law: law(random),
            open: chance(random, 0.8),
        })
        .collect();
    if manifold_count > 1 && chance(random, 0.5) {
        let ends = [Node::Manifold(0), Node::Manifold(1)];
        branches.push(Branch { ends, law: law(random), open: true });
    }
    let seams = (1..zone_count)
        .filter_map(|zone| {
            let conductance_kg_s_pa2 = spread(random, 1e-16, 1e-12);
            chance(random, 0.6).then_some(Seam { zones: [zone - 1, zone], conductance_kg_s_pa2 })
        })
        .collect();
    let air = Air::at_altitude(random.random_range(0.0..2500.0), random.random_range(278.0..313.0));
    Network { air, zones, manifolds, branches, seams }
}

/// A network with every figure spread over all that is accepted.
pub fn wild_network(random: &mut Random) -> Network {
    let mut network = network(random);
    let manifolds = network.manifolds.iter_mut().map(|manifold| &mut manifold.leak);
    for leak in network.zones.iter_mut().map(|zone| &mut zone.leak).chain(manifolds) {
        leak.board_kg_s_pa2 = spread(random, 1e-24, 1e-6);
        leak.orifices.iter_mut().for_each(|hole| hole.area_m2 = spread(random, 1e-12, 10.0));
        leak.slip_pa = spread(random, 1e-3, 1e7);
    }
    for branch in &mut network.branches {
        branch.law =
            BranchLaw { laminar: spread(random, 1e3, 1e14), quadratic: spread(random, 1e-3, 1e18) };
    }
    for seam in &mut network.seams {
        seam.conductance_kg_s_pa2 = spread(random, 1e-24, 1e-6);
    }
    for manifold in &mut network.manifolds {
        for pump in &mut manifold.pumps {
            match &mut pump.curve {
                PumpCurve::PositiveDisplacement { speed_m3_h, ultimate_pa } => {
                    *speed_m3_h = spread(random, 1e-3, 9e5);
                    *ultimate_pa = spread(random, 1.01, 70_000.0);
                }
                PumpCurve::Regenerative { speed_m3_h, limit_vacuum_pa } => {
                    *speed_m3_h = spread(random, 1e-3, 9e5);
                    *limit_vacuum_pa = spread(random, 1.01, 70_000.0);
                }
                PumpCurve::LiquidRing { speed_m3_h, .. } => *speed_m3_h = spread(random, 1e-3, 9e5),
                PumpCurve::Table(table) => *table = table.times(spread(random, 1e-6, 1e3)),
            }
            pump.relief_vacuum_pa = pump.relief_vacuum_pa.map(|_| spread(random, 0.1, 150_000.0));
        }
    }
    network
}
