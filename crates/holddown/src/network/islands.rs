//! Which nodes hang together, and what can be said of an island without solving.

use super::{Network, NetworkError, Node};

/// How each node gets its pressure.
pub(super) struct Islands {
    /// Nodes whose pressure must be solved for, in rising order.
    pub(super) unknown: Vec<usize>,
    /// Nodes taken as ambient because nothing reaches them: shut zones without any leak.
    pub(super) assumed_ambient: Vec<Node>,
}

impl Network {
    /// Sorts the nodes: an island with a running pump must be solved; one without is at ambient if it
    /// leaks or is shut off, and undecided if it is joined to a manifold.
    pub(super) fn islands(&self) -> Result<Islands, NetworkError> {
        let count = self.node_count();
        let mut root: Vec<usize> = (0..count).collect();
        let mut piped = vec![false; count];
        for branch in self.branches.iter().filter(|branch| branch.open) {
            let [a, b] = branch.ends.map(|end| self.index(end));
            join(&mut root, a, b);
            piped[a] = true;
            piped[b] = true;
        }
        for seam in self.seams.iter().filter(|seam| seam.conductance_kg_s_pa2 > 0.0) {
            join(&mut root, seam.zones[0], seam.zones[1]);
        }
        let roots: Vec<usize> = (0..count).map(|index| find(&mut root, index)).collect();
        let mut pumped = vec![false; count];
        let mut leaking = vec![false; count];
        let mut joined = vec![false; count];
        for index in 0..count {
            let of = roots[index];
            pumped[of] |= self.pumps(index).iter().any(|pump| pump.running);
            leaking[of] |= !self.leak(index).is_tight() || self.leaks_through_pump(index);
            joined[of] |= piped[index];
        }
        let mut islands = Islands { unknown: Vec::new(), assumed_ambient: Vec::new() };
        for index in 0..count {
            let of = roots[index];
            if pumped[of] {
                islands.unknown.push(index);
            } else if !leaking[of] && joined[of] {
                let nodes = (0..count).filter(|&other| roots[other] == of).map(|i| self.node(i));
                return Err(NetworkError::NoPumpNoLeak { nodes: nodes.collect() });
            } else if !leaking[of] {
                islands.assumed_ambient.push(self.node(index));
            }
        }
        Ok(islands)
    }

    fn leaks_through_pump(&self, index: usize) -> bool {
        let air = &self.air;
        self.pumps(index)
            .iter()
            .any(|pump| !pump.running && pump.flow(0.5 * air.ambient_pa, air).kg_s < 0.0)
    }
}

fn find(root: &mut [usize], mut index: usize) -> usize {
    while root[index] != index {
        root[index] = root[root[index]];
        index = root[index];
    }
    index
}

fn join(root: &mut [usize], a: usize, b: usize) {
    let (a, b) = (find(root, a), find(root, b));
    let (low, high) = (a.min(b), a.max(b));
    root[high] = low;
}
