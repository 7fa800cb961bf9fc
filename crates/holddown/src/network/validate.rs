//! What makes a network unusable.

use super::{Leak, Network, Node};
use crate::pump::PumpFault;

/// Most nodes of a network; the equations are solved densely.
pub const MOST_NODES: usize = 512;

// Bounds far outside any table, to catch wrong units before they meet the solver.
const AMBIENT_RANGE_PA: (f64, f64) = (20_000.0, 200_000.0);
const TEMPERATURE_RANGE_K: (f64, f64) = (200.0, 400.0);
const VISCOSITY_RANGE_PA_S: (f64, f64) = (1e-6, 1e-4);
const CONDUCTANCE_RANGE: (f64, f64) = (0.0, 1e-6);
const SLIP_RANGE_PA: (f64, f64) = (0.0, 1e7);
const HOLE_RANGE_M2: (f64, f64) = (0.0, 10.0);
const COEFFICIENT_RANGE: (f64, f64) = (0.0, 1.0);
const LAMINAR_RANGE: (f64, f64) = (1e3, 1e14);
const QUADRATIC_RANGE: (f64, f64) = (0.0, 1e18);

/// Why a network has no solution.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NetworkError {
    /// No zone at all.
    #[error("the vacuum network has no zone; describe at least one zone of the table")]
    NoZone,
    /// More nodes than are solved.
    #[error("the vacuum network has {nodes} zones and manifolds; at most 512 are solved")]
    TooLarge {
        /// Zones and manifolds together.
        nodes: usize,
    },
    /// A branch ends at a node that does not exist, or at the same node twice.
    #[error("branch {} ends at {end}, which does not exist or is its other end too", branch + 1)]
    BadBranch {
        /// Index of the branch.
        branch: usize,
        /// The end in question.
        end: Node,
    },
    /// A seam names a zone that does not exist, or the same zone twice.
    #[error("seam {} joins zones {} and {}, which do not exist or are the same", seam + 1, zones[0] + 1, zones[1] + 1)]
    BadSeam {
        /// Index of the seam.
        seam: usize,
        /// The two zones named.
        zones: [usize; 2],
    },
    /// A figure outside what can be meant.
    #[error("{place}: {what} is {value}; it must lie between {low} and {high}: check its unit")]
    OutOfRange {
        /// Where.
        place: String,
        /// Which figure, with unit.
        what: &'static str,
        /// Value given.
        value: f64,
        /// Smallest value taken.
        low: f64,
        /// Largest value taken.
        high: f64,
    },
    /// A pump with unusable figures.
    #[error("manifold {}, pump {}: {fault}", manifold + 1, pump + 1)]
    Pump {
        /// Index of the manifold.
        manifold: usize,
        /// Index of the pump there.
        pump: usize,
        /// What is wrong.
        fault: PumpFault,
    },
    /// Joined nodes with neither a running pump nor a leak: any pressure would do.
    #[error(
        "{} are joined but have no running pump and no leak, so nothing sets their pressure; switch a pump on or describe the leaks",
        list(nodes)
    )]
    NoPumpNoLeak {
        /// The nodes concerned.
        nodes: Vec<Node>,
    },
    /// The solver ended above its tolerance. Not known to happen with valid input.
    #[error(
        "zone pressures did not settle: {residual_kg_s:.3e} kg/s remain after {iterations} steps; please report the input"
    )]
    NotSettled {
        /// Largest unbalanced flow, kg/s.
        residual_kg_s: f64,
        /// Steps taken.
        iterations: usize,
    },
}

fn list(nodes: &[Node]) -> String {
    nodes.iter().map(Node::to_string).collect::<Vec<_>>().join(", ")
}

impl Network {
    /// Checks indices and ranges.
    pub(super) fn validate(&self) -> Result<(), NetworkError> {
        if self.zones.is_empty() {
            return Err(NetworkError::NoZone);
        }
        if self.node_count() > MOST_NODES {
            return Err(NetworkError::TooLarge { nodes: self.node_count() });
        }
        self.validate_air()?;
        for index in 0..self.node_count() {
            validate_leak(self.leak(index), self.node(index))?;
        }
        self.validate_pumps()?;
        self.validate_links()
    }

    fn validate_air(&self) -> Result<(), NetworkError> {
        let place = || "air".to_owned();
        within(place, "ambient pressure in Pa", self.air.ambient_pa, AMBIENT_RANGE_PA)?;
        within(place, "temperature in K", self.air.temperature_k, TEMPERATURE_RANGE_K)?;
        within(place, "viscosity in Pa s", self.air.viscosity_pa_s, VISCOSITY_RANGE_PA_S)
    }

    fn validate_pumps(&self) -> Result<(), NetworkError> {
        for (manifold, of) in self.manifolds.iter().enumerate() {
            for (pump, this) in of.pumps.iter().enumerate() {
                if let Some(fault) = this.fault(&self.air) {
                    return Err(NetworkError::Pump { manifold, pump, fault });
                }
            }
        }
        Ok(())
    }

    fn validate_links(&self) -> Result<(), NetworkError> {
        let exists = |node| match node {
            Node::Zone(index) => index < self.zones.len(),
            Node::Manifold(index) => index < self.manifolds.len(),
        };
        for (index, branch) in self.branches.iter().enumerate() {
            let [first, second] = branch.ends;
            if !exists(first) || first == second {
                return Err(NetworkError::BadBranch { branch: index, end: first });
            }
            if !exists(second) {
                return Err(NetworkError::BadBranch { branch: index, end: second });
            }
            let place = || format!("branch {}", index + 1);
            within(place, "laminar loss in Pa² s/kg", branch.law.laminar, LAMINAR_RANGE)?;
            within(place, "quadratic loss in Pa² s²/kg²", branch.law.quadratic, QUADRATIC_RANGE)?;
        }
        for (index, seam) in self.seams.iter().enumerate() {
            let [first, second] = seam.zones;
            if first == second || first.max(second) >= self.zones.len() {
                return Err(NetworkError::BadSeam { seam: index, zones: seam.zones });
            }
            let place = || format!("seam {}", index + 1);
            within(
                place,
                "conductance in kg/(s Pa²)",
                seam.conductance_kg_s_pa2,
                CONDUCTANCE_RANGE,
            )?;
        }
        Ok(())
    }
}

fn validate_leak(leak: &Leak, node: Node) -> Result<(), NetworkError> {
    let place = || node.to_string();
    within(place, "leak conductance in kg/(s Pa²)", leak.board_kg_s_pa2, CONDUCTANCE_RANGE)?;
    within(place, "slip pressure in Pa", leak.slip_pa, SLIP_RANGE_PA)?;
    for hole in &leak.orifices {
        within(place, "hole area in m²", hole.area_m2, HOLE_RANGE_M2)?;
        if let crate::flow::Discharge::Fixed(coefficient) = hole.discharge {
            within(place, "discharge coefficient", coefficient, COEFFICIENT_RANGE)?;
        }
    }
    Ok(())
}

fn within(
    place: impl Fn() -> String,
    what: &'static str,
    value: f64,
    (low, high): (f64, f64),
) -> Result<(), NetworkError> {
    if value >= low && value <= high {
        Ok(())
    } else {
        Err(NetworkError::OutOfRange { place: place(), what, value, low, high })
    }
}
