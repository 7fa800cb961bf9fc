//! The equations: unbalanced flow at each unknown node as the gradient of a convex function of ψ = p².

use super::cholesky::Symmetric;
use super::{Network, Node};
use crate::flow::Flow;
use crate::pump;

/// Below this pressure (Pa) p runs straight on in ψ, so that any ψ has a pressure.
const LOWEST_PA: f64 = 1.0;

/// The wall below gives all that the pumps draw over this share of pa².
const WALL_WIDTH: f64 = 1e-3;

/// Pressure of a ψ and its derivative.
pub(super) fn pressure(psi: f64) -> (f64, f64) {
    if psi > LOWEST_PA * LOWEST_PA {
        let p = psi.sqrt();
        (p, 0.5 / p)
    } else {
        let slope = 0.5 / LOWEST_PA;
        (LOWEST_PA + (psi - LOWEST_PA * LOWEST_PA) * slope, slope)
    }
}

/// Equations of the unknown nodes; all other nodes are at ambient.
pub(super) struct System<'a> {
    network: &'a Network,
    /// Node index of each unknown.
    unknown: &'a [usize],
    /// Links as (place of first, place of second, law); a place without unknown is ambient.
    links: Vec<Link>,
    ambient_psi: f64,
    /// Inflow per Pa² below the lowest pressure, kg/(s Pa²): leads the search back; no solution lies there.
    wall: f64,
}

struct Link {
    ends: [Option<usize>; 2],
    law: Law,
}

enum Law {
    Pipe(crate::flow::BranchLaw),
    Linear(f64),
}

impl Law {
    fn flow(&self, difference: f64) -> Flow {
        match self {
            Self::Pipe(law) => law.flow(difference),
            Self::Linear(g) => Flow { kg_s: g * difference, slope: *g },
        }
    }
}

impl<'a> System<'a> {
    pub(super) fn new(network: &'a Network, unknown: &'a [usize]) -> Self {
        let place = |node: Node| unknown.binary_search(&network.index(node)).ok();
        let pipes = network
            .branches
            .iter()
            .filter(|branch| branch.open)
            .map(|branch| Link { ends: branch.ends.map(place), law: Law::Pipe(branch.law) });
        let seams = network.seams.iter().map(|seam| Link {
            ends: seam.zones.map(|zone| place(Node::Zone(zone))),
            law: Law::Linear(seam.conductance_kg_s_pa2),
        });
        let links =
            pipes.chain(seams).filter(|link| link.ends.iter().any(Option::is_some)).collect();
        let ambient_psi = network.air.ambient_pa * network.air.ambient_pa;
        let wall = network.draw_at_ambient_kg_s() / (WALL_WIDTH * ambient_psi);
        Self { network, unknown, links, ambient_psi, wall }
    }

    pub(super) fn size(&self) -> usize {
        self.unknown.len()
    }

    /// Flow out of minus flow into each unknown node, kg/s; and its derivative, if asked for.
    pub(super) fn evaluate(
        &self,
        psi: &[f64],
        gradient: &mut [f64],
        mut hessian: Option<&mut Symmetric>,
    ) {
        let air = &self.network.air;
        if let Some(h) = hessian.as_deref_mut() {
            h.clear();
        }
        for (place, &index) in self.unknown.iter().enumerate() {
            let (p, p_slope) = pressure(psi[place]);
            let leak = self.network.leak(index);
            // In ψ, not p: below the lowest pressure p² is no longer ψ.
            let board = leak.board_kg_s_pa2 * (self.ambient_psi - psi[place]);
            let beside = leak.flow_beside_board(p, air);
            let outward = pump::total_flow(self.network.pumps(index), p, air);
            let wall = self.wall * (LOWEST_PA * LOWEST_PA - psi[place]).max(0.0);
            gradient[place] = outward.kg_s - beside.kg_s - board - wall;
            if let Some(h) = hessian.as_deref_mut() {
                let own = (outward.slope - beside.slope) * p_slope
                    + leak.board_kg_s_pa2
                    + if wall > 0.0 { self.wall } else { 0.0 };
                h.add(place, place, own);
            }
        }
        for link in &self.links {
            let at = |end: Option<usize>| end.map_or(self.ambient_psi, |place| psi[place]);
            let [first, second] = link.ends;
            let flow = link.law.flow(at(first) - at(second));
            if let Some(place) = first {
                gradient[place] += flow.kg_s;
            }
            if let Some(place) = second {
                gradient[place] -= flow.kg_s;
            }
            let Some(h) = hessian.as_deref_mut() else { continue };
            for place in [first, second].into_iter().flatten() {
                h.add(place, place, flow.slope);
            }
            if let (Some(a), Some(b)) = (first, second) {
                h.add(a, b, -flow.slope);
            }
        }
    }
}
