//! From a network to its pressures and flows.

use super::descent::Descent;
use super::system::{System, pressure};
use super::{Network, NetworkError, Node};

/// Pressure all nodes start from without a previous solution, share of ambient.
const START: f64 = 0.6;

/// Pressures and flows of a solved network.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// Pressure of each zone, Pa absolute, in (0, ambient].
    pub zone_pa: Vec<f64>,
    /// Pressure of each manifold, Pa absolute.
    pub manifold_pa: Vec<f64>,
    /// Flow of each branch, kg/s, positive from its first end to its second; 0 if shut.
    pub branch_kg_s: Vec<f64>,
    /// What each pump of each manifold draws, kg/s.
    pub pump_kg_s: Vec<Vec<f64>>,
    /// What leaks into each zone from ambient, kg/s.
    pub zone_leak_kg_s: Vec<f64>,
    /// Shut nodes without any leak: nothing sets their pressure, so no vacuum is counted on there.
    pub assumed_ambient: Vec<Node>,
    /// Newton steps taken.
    pub iterations: usize,
    /// Largest unbalanced flow before the last step, kg/s.
    pub residual_kg_s: f64,
}

/// Pressures of all nodes.
///
/// `warm` starts from an earlier solution of a network with the same zones and manifolds; it changes
/// the result only within the tolerance. Pressures are good to about 1e-9 of ambient.
///
/// # Errors
/// [`NetworkError`] names what is wrong with the description.
pub fn solve(network: &Network, warm: Option<&Solution>) -> Result<Solution, NetworkError> {
    network.validate()?;
    let islands = network.islands()?;
    let system = System::new(network, &islands.unknown);
    let ambient = network.air.ambient_pa;
    let mut psi = start(network, &islands.unknown, warm);
    let (iterations, residual_kg_s) = Descent::new(&system, network).run(&mut psi)?;
    let mut pressures = vec![ambient; network.node_count()];
    for (&index, &psi) in islands.unknown.iter().zip(&psi) {
        pressures[index] = pressure(psi).0.clamp(f64::MIN_POSITIVE, ambient);
    }
    let manifold_pa = pressures.split_off(network.zones.len());
    let mut solution = Solution {
        zone_pa: pressures,
        manifold_pa,
        branch_kg_s: Vec::new(),
        pump_kg_s: Vec::new(),
        zone_leak_kg_s: Vec::new(),
        assumed_ambient: islands.assumed_ambient,
        iterations,
        residual_kg_s,
    };
    solution.fill_flows(network);
    Ok(solution)
}

fn start(network: &Network, unknown: &[usize], warm: Option<&Solution>) -> Vec<f64> {
    let ambient = network.air.ambient_pa;
    let usable = warm.filter(|s| {
        s.zone_pa.len() == network.zones.len() && s.manifold_pa.len() == network.manifolds.len()
    });
    let at = |&index: &usize| {
        let p = usable.map_or(START * ambient, |s| s.pressure_pa(network.node(index)));
        p * p
    };
    unknown.iter().map(at).collect()
}

impl Solution {
    /// Pressure of a node, Pa; 0 for a node that does not exist.
    pub fn pressure_pa(&self, node: Node) -> f64 {
        let found = match node {
            Node::Zone(index) => self.zone_pa.get(index),
            Node::Manifold(index) => self.manifold_pa.get(index),
        };
        found.copied().unwrap_or(0.0)
    }

    fn fill_flows(&mut self, network: &Network) {
        let square = |node| self.pressure_pa(node) * self.pressure_pa(node);
        let flow = |branch: &super::Branch| {
            let [first, second] = branch.ends;
            if branch.open { branch.law.flow(square(first) - square(second)).kg_s } else { 0.0 }
        };
        self.branch_kg_s = network.branches.iter().map(flow).collect();
        let pumps = network.manifolds.iter().zip(&self.manifold_pa);
        self.pump_kg_s = pumps
            .map(|(m, &p)| m.pumps.iter().map(|pump| pump.flow(p, &network.air).kg_s).collect())
            .collect();
        let zones = network.zones.iter().zip(&self.zone_pa);
        self.zone_leak_kg_s = zones.map(|(z, &p)| z.leak.flow(p, &network.air).kg_s).collect();
    }
}
