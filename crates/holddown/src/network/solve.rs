//! Damped Newton descent of the network's convex function.

use super::cholesky::Symmetric;
use super::system::{System, pressure};
use super::{Network, NetworkError, Node};

/// Steps before giving up; valid networks need 5 to 15.
const MOST_STEPS: usize = 200;
/// Settled when no node is out of balance by more than this share of what the pumps draw at ambient: far
/// below any reading, far above rounding ...
const BALANCE: f64 = 1e-12;
/// ... and a full step moves no ψ by more than this share of pa²; near a pump's end pressure flows are
/// small although pressures are still off.
const SMALL_STEP: f64 = 1e-9;
/// Settled, too, when a full step moves no ψ by more than this share of pa²: rounding.
const STANDSTILL: f64 = 1e-14;
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
    let descent = Descent::new(&system, network).run(&mut psi)?;
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
        iterations: descent.0,
        residual_kg_s: descent.1,
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

/// One run of the damped Newton method.
struct Descent<'a> {
    system: &'a System<'a>,
    balance_kg_s: f64,
    small_pa2: f64,
    standstill_pa2: f64,
    gradient: Vec<f64>,
    trial: Vec<f64>,
    trial_gradient: Vec<f64>,
}

impl<'a> Descent<'a> {
    fn new(system: &'a System<'a>, network: &Network) -> Self {
        let air = &network.air;
        let draw: f64 = network
            .manifolds
            .iter()
            .map(|m| crate::pump::total_flow(&m.pumps, air.ambient_pa, air).kg_s.abs())
            .sum();
        let size = system.size();
        Self {
            system,
            balance_kg_s: BALANCE * draw,
            small_pa2: SMALL_STEP * air.ambient_pa * air.ambient_pa,
            standstill_pa2: STANDSTILL * air.ambient_pa * air.ambient_pa,
            gradient: vec![0.0; size],
            trial: vec![0.0; size],
            trial_gradient: vec![0.0; size],
        }
    }

    /// Moves `psi` to the solution; gives steps taken and largest unbalanced flow.
    fn run(mut self, psi: &mut [f64]) -> Result<(usize, f64), NetworkError> {
        let mut hessian = Symmetric::new(psi.len());
        for iterations in 0..MOST_STEPS {
            self.system.evaluate(psi, &mut self.gradient, Some(&mut hessian));
            let residual_kg_s = largest(&self.gradient);
            let mut step: Vec<f64> = self.gradient.iter().map(|g| -g).collect();
            hessian.solve(&mut step);
            let moved = largest(&step);
            let balanced = residual_kg_s <= self.balance_kg_s && moved <= self.small_pa2;
            if balanced || moved <= self.standstill_pa2 {
                psi.iter_mut().zip(&step).for_each(|(psi, step)| *psi += step);
                return Ok((iterations + 1, residual_kg_s));
            }
            let length = self.search(psi, &step);
            psi.iter_mut().zip(&step).for_each(|(psi, step)| *psi += length * step);
        }
        self.system.evaluate(psi, &mut self.gradient, None);
        let residual_kg_s = largest(&self.gradient);
        Err(NetworkError::NotSettled { residual_kg_s, iterations: MOST_STEPS })
    }

    /// Length of step along which the convex function falls: its slope rises along the line, so two
    /// slopes bound the change.
    fn search(&mut self, psi: &[f64], step: &[f64]) -> f64 {
        let start: f64 = dot(&self.gradient, step);
        let mut length = 1.0;
        for _ in 0..60 {
            let end = self.slope(psi, step, length);
            if end <= 0.0 {
                return length;
            }
            if end <= -0.5 * start && self.slope(psi, step, 0.5 * length) + end <= 0.0 {
                return length;
            }
            // Secant to where the slope vanishes, kept inside the interval.
            let share = -start / (end - start);
            length *= share.clamp(0.05, 0.7);
        }
        length
    }

    fn slope(&mut self, psi: &[f64], step: &[f64], length: f64) -> f64 {
        for ((trial, psi), step) in self.trial.iter_mut().zip(psi).zip(step) {
            *trial = psi + length * step;
        }
        self.system.evaluate(&self.trial, &mut self.trial_gradient, None);
        dot(&self.trial_gradient, step)
    }
}

fn largest(values: &[f64]) -> f64 {
    // A value that is no number must not pass for 0.
    values.iter().fold(0.0, |most, value| if value.abs() <= most { most } else { value.abs() })
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
