//! The vacuum network: zones, branches with valves, manifolds with pumps, seams between zones.
//!
//! Every flow rises with its upstream pressure and falls with its downstream one, so the pressures
//! are unique and each is monotone in every leak. In ψ = p² all flows are slopes of one convex
//! function, which the solver descends: it converges from any start.

mod cholesky;
mod descent;
mod islands;
mod solve;
mod system;
mod validate;

pub use solve::{Solution, solve};
pub use validate::NetworkError;

use crate::air::Air;
use crate::flow::{BranchLaw, Flow, Orifice};
use crate::pump::{self, Pump};

/// A node of the network, by index into [`Network::zones`] or [`Network::manifolds`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Node {
    /// A zone of the table.
    Zone(usize),
    /// A manifold.
    Manifold(usize),
}

impl std::fmt::Display for Node {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Zone(index) => write!(f, "zone {}", index + 1),
            Self::Manifold(index) => write!(f, "manifold {}", index + 1),
        }
    }
}

/// All air that reaches a node from ambient.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Leak {
    /// Conductance G of everything linear in p² (porous board, laminar gaps), kg/(s Pa²), at least 0; see
    /// [`crate::board::openings::Openings::conductance`].
    pub board_kg_s_pa2: f64,
    /// Slip pressure of the board, Pa, at least 0.
    pub slip_pa: f64,
    /// Open holes.
    pub orifices: Vec<Orifice>,
}

impl Leak {
    /// A leak through porous board alone.
    pub fn through_board(conductance_kg_s_pa2: f64) -> Self {
        Self { board_kg_s_pa2: conductance_kg_s_pa2, ..Self::default() }
    }

    /// Both leaks together; the larger slip holds for both, which is on the safe side.
    pub fn joined(mut self, other: &Self) -> Self {
        self.board_kg_s_pa2 += other.board_kg_s_pa2;
        self.slip_pa = self.slip_pa.max(other.slip_pa);
        self.orifices.extend_from_slice(&other.orifices);
        self
    }

    /// Whether nothing leaks.
    pub fn is_tight(&self) -> bool {
        self.board_kg_s_pa2 <= 0.0 && self.orifices.iter().all(|hole| hole.area_m2 <= 0.0)
    }

    /// Inflow at a pressure, kg/s; slope per Pa, at most 0.
    pub fn flow(&self, pressure_pa: f64, air: &Air) -> Flow {
        let board = self.board_kg_s_pa2;
        let squares = air.ambient_pa * air.ambient_pa - pressure_pa * pressure_pa;
        let rest = self.flow_beside_board(pressure_pa, air);
        Flow { kg_s: board * squares + rest.kg_s, slope: -2.0 * board * pressure_pa + rest.slope }
    }

    /// Inflow by slip and holes, all that is not linear in p²; slope per Pa.
    fn flow_beside_board(&self, pressure_pa: f64, air: &Air) -> Flow {
        let slip = 2.0 * self.slip_pa * self.board_kg_s_pa2;
        let start = Flow { kg_s: slip * (air.ambient_pa - pressure_pa), slope: -slip };
        self.orifices.iter().map(|hole| hole.flow(pressure_pa, air)).fold(start, |sum, flow| Flow {
            kg_s: sum.kg_s + flow.kg_s,
            slope: sum.slope + flow.slope,
        })
    }
}

/// A zone of the table: what leaks into it.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Zone {
    /// Leak from ambient.
    pub leak: Leak,
}

/// A manifold: its pumps and its own leak.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Manifold {
    /// Pumps joined to it.
    pub pumps: Vec<Pump>,
    /// Leak from ambient, e.g. an old hose.
    pub leak: Leak,
}

/// A pipe with a valve between two nodes.
#[derive(Clone, Debug, PartialEq)]
pub struct Branch {
    /// The nodes it joins; flow is positive from the first to the second.
    pub ends: [Node; 2],
    /// Its loss.
    pub law: BranchLaw,
    /// Whether its valve is open.
    pub open: bool,
}

/// A leak between two neighbouring zones through the board or under a rib.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seam {
    /// The two zones.
    pub zones: [usize; 2],
    /// Conductance, kg/(s Pa²): flow is this times the difference of p². About mobility · t · width /
    /// distance through the board, or measured.
    pub conductance_kg_s_pa2: f64,
}

/// A network to solve.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Network {
    /// The air.
    pub air: Air,
    /// Zones.
    pub zones: Vec<Zone>,
    /// Manifolds.
    pub manifolds: Vec<Manifold>,
    /// Pipes.
    pub branches: Vec<Branch>,
    /// Leaks between zones.
    pub seams: Vec<Seam>,
}

impl Network {
    /// Number of nodes: zones first, then manifolds.
    fn node_count(&self) -> usize {
        self.zones.len() + self.manifolds.len()
    }

    fn index(&self, node: Node) -> usize {
        match node {
            Node::Zone(index) => index,
            Node::Manifold(index) => self.zones.len() + index,
        }
    }

    fn node(&self, index: usize) -> Node {
        if index < self.zones.len() {
            Node::Zone(index)
        } else {
            Node::Manifold(index - self.zones.len())
        }
    }

    fn leak(&self, index: usize) -> &Leak {
        match self.node(index) {
            Node::Zone(index) => &self.zones[index].leak,
            Node::Manifold(index) => &self.manifolds[index].leak,
        }
    }

    fn pumps(&self, index: usize) -> &[Pump] {
        match self.node(index) {
            Node::Zone(_) => &[],
            Node::Manifold(index) => &self.manifolds[index].pumps,
        }
    }

    /// What all pumps together draw at ambient, kg/s: the scale of the flows.
    fn draw_at_ambient_kg_s(&self) -> f64 {
        let at = |m: &Manifold| pump::total_flow(&m.pumps, self.air.ambient_pa, &self.air).kg_s;
        self.manifolds.iter().map(|manifold| at(manifold).abs()).sum()
    }

    /// Opens or shuts every branch that ends at a zone.
    pub fn set_zone_open(&mut self, zone: usize, open: bool) {
        for branch in &mut self.branches {
            if branch.ends.contains(&Node::Zone(zone)) {
                branch.open = open;
            }
        }
    }
}
