//! "This before that": rules between nodes, their closure, and contradictions.

/// Most nodes or jobs of one problem; a dense cost matrix of this size is 128 MiB.
pub const MAX_NODES: usize = 4096;

/// Why a set of rules describes no order.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RuleError {
    /// Each named node must come before the next, and the last before the first.
    #[error("{} must come before one another in a circle, which no order can keep", list(.0))]
    Circle(Vec<usize>),
    /// A rule names a node that does not exist.
    #[error("a rule names node {node}, but there are only {nodes} nodes, numbered from 0")]
    UnknownNode {
        /// The number used.
        node: usize,
        /// How many nodes there are.
        nodes: usize,
    },
    /// More nodes than are searched.
    #[error(
        "{nodes} nodes are more than the {MAX_NODES} that are ordered in one go; split the problem"
    )]
    TooManyNodes {
        /// How many were given.
        nodes: usize,
    },
}

fn list(nodes: &[usize]) -> String {
    let names: Vec<String> = nodes.iter().map(ToString::to_string).collect();
    format!("nodes {}", names.join(" -> "))
}

/// Rules without contradiction among `len` nodes.
///
/// Kept twice: the closure (everything that must come later, as bits) and the direct rules that are
/// left when everything implied is dropped. An order that keeps the direct rules keeps them all.
#[derive(Clone, Debug)]
pub struct Precedence {
    later: Vec<u64>,
    words: usize,
    successors: Vec<Vec<u32>>,
    predecessors: Vec<Vec<u32>>,
}

impl Precedence {
    /// From pairs (earlier, later); repeated and implied pairs are fine.
    ///
    /// Errors: a circle (named), an unknown node, or more than [`MAX_NODES`] nodes.
    pub fn new(nodes: usize, pairs: &[(usize, usize)]) -> Result<Self, RuleError> {
        if nodes > MAX_NODES {
            return Err(RuleError::TooManyNodes { nodes });
        }
        Self::of_any_size(nodes, pairs)
    }

    /// Like [`Precedence::new`], for callers that added nodes of their own to a checked number.
    pub(crate) fn of_any_size(nodes: usize, pairs: &[(usize, usize)]) -> Result<Self, RuleError> {
        let mut stated = vec![Vec::new(); nodes];
        for &(earlier, later) in pairs {
            if let Some(&node) = [earlier, later].iter().find(|&&node| node >= nodes) {
                return Err(RuleError::UnknownNode { node, nodes });
            }
            stated[earlier].push(later as u32);
        }
        let sorted = sorted_or_circle(&stated)?;
        Ok(Self::reduced(&stated, &sorted))
    }

    fn reduced(stated: &[Vec<u32>], sorted: &[usize]) -> Self {
        let nodes = stated.len();
        let words = nodes.div_ceil(64);
        let mut place = vec![0; nodes];
        for (at, &node) in sorted.iter().enumerate() {
            place[node] = at;
        }
        let mut result = Self {
            later: vec![0; nodes * words],
            words,
            successors: vec![Vec::new(); nodes],
            predecessors: vec![Vec::new(); nodes],
        };
        for &node in sorted.iter().rev() {
            let mut targets = stated[node].clone();
            targets.sort_by_key(|&target| place[target as usize]);
            for target in targets {
                if !result.is_before(node, target as usize) {
                    result.take_over(node, target as usize);
                    result.successors[node].push(target);
                }
            }
        }
        for node in 0..nodes {
            for target in result.successors[node].clone() {
                result.predecessors[target as usize].push(node as u32);
            }
        }
        result
    }

    /// Marks `target` and everything after it as later than `node`.
    fn take_over(&mut self, node: usize, target: usize) {
        for word in 0..self.words {
            self.later[node * self.words + word] |= self.later[target * self.words + word];
        }
        self.later[node * self.words + target / 64] |= 1 << (target % 64);
    }

    /// Number of nodes.
    pub fn len(&self) -> usize {
        self.successors.len()
    }

    /// Whether there are no nodes at all.
    pub fn is_empty(&self) -> bool {
        self.successors.is_empty()
    }

    /// Whether `earlier` must come before `later`, directly or through others. Both below `len`.
    pub fn is_before(&self, earlier: usize, later: usize) -> bool {
        self.later[earlier * self.words + later / 64] >> (later % 64) & 1 == 1
    }

    /// Whether `to` can come right after `from`: no rule against it, and nothing must be between.
    pub fn can_follow(&self, from: usize, to: usize) -> bool {
        from != to
            && !self.is_before(to, from)
            && (!self.is_before(from, to) || self.successors[from].contains(&(to as u32)))
    }

    /// Nodes that must come later by a rule that no other rules imply.
    pub fn successors(&self, node: usize) -> &[u32] {
        &self.successors[node]
    }

    /// Nodes that must come earlier by a rule that no other rules imply.
    pub fn predecessors(&self, node: usize) -> &[u32] {
        &self.predecessors[node]
    }

    /// Whether `order` holds every node once and keeps every rule.
    pub fn allows(&self, order: &[usize]) -> bool {
        let mut place = vec![usize::MAX; self.len()];
        for (at, &node) in order.iter().enumerate() {
            match place.get_mut(node) {
                Some(slot) if *slot == usize::MAX => *slot = at,
                _ => return false,
            }
        }
        let kept = |node: usize| {
            self.successors[node].iter().all(|&later| place[node] < place[later as usize])
        };
        order.len() == self.len() && (0..self.len()).all(kept)
    }
}

/// Nodes in an order that keeps all pairs, lowest number first where there is a choice.
fn sorted_or_circle(stated: &[Vec<u32>]) -> Result<Vec<usize>, RuleError> {
    let mut waiting = vec![0usize; stated.len()];
    for &later in stated.iter().flatten() {
        waiting[later as usize] += 1;
    }
    let mut ready: std::collections::BTreeSet<usize> =
        (0..stated.len()).filter(|&node| waiting[node] == 0).collect();
    let mut sorted = Vec::with_capacity(stated.len());
    while let Some(node) = ready.pop_first() {
        sorted.push(node);
        for &later in &stated[node] {
            waiting[later as usize] -= 1;
            if waiting[later as usize] == 0 {
                ready.insert(later as usize);
            }
        }
    }
    if sorted.len() == stated.len() {
        return Ok(sorted);
    }
    Err(RuleError::Circle(shortest_circle(stated, &waiting)))
}

/// A shortest circle among the nodes that still wait; empty only if none waits.
fn shortest_circle(stated: &[Vec<u32>], waiting: &[usize]) -> Vec<usize> {
    let mut best: Vec<usize> = Vec::new();
    for start in (0..stated.len()).filter(|&node| waiting[node] > 0).take(CIRCLE_STARTS) {
        if let Some(circle) = circle_through(stated, start)
            && (best.is_empty() || circle.len() < best.len())
        {
            best = circle;
        }
    }
    if best.is_empty() { any_circle(stated, waiting) } else { best }
}

/// Start nodes tried for a short circle; each costs one walk over the rules.
const CIRCLE_STARTS: usize = 256;

/// The shortest circle through `start`, by breadth first.
fn circle_through(stated: &[Vec<u32>], start: usize) -> Option<Vec<usize>> {
    let mut from = vec![usize::MAX; stated.len()];
    let mut queue = std::collections::VecDeque::from([start]);
    while let Some(node) = queue.pop_front() {
        for &next in &stated[node] {
            let next = next as usize;
            if next == start {
                let mut circle = vec![node];
                while let Some(&last) = circle.last()
                    && last != start
                {
                    circle.push(from[last]);
                }
                circle.reverse();
                return Some(circle);
            }
            if from[next] == usize::MAX {
                from[next] = node;
                queue.push_back(next);
            }
        }
    }
    None
}

/// Some circle: every waiting node has a waiting node before it, so walking back must repeat.
fn any_circle(stated: &[Vec<u32>], waiting: &[usize]) -> Vec<usize> {
    let mut before = vec![usize::MAX; stated.len()];
    for node in (0..stated.len()).filter(|&node| waiting[node] > 0) {
        for &later in &stated[node] {
            before[later as usize] = node;
        }
    }
    let Some(mut node) = (0..stated.len()).find(|&node| waiting[node] > 0) else {
        return Vec::new();
    };
    let mut walked = Vec::new();
    while !walked.contains(&node) {
        walked.push(node);
        node = before[node];
    }
    let mut circle: Vec<usize> = walked.into_iter().skip_while(|&seen| seen != node).collect();
    circle.reverse();
    circle
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn implied_pairs_are_dropped_and_known() {
        let rules = Precedence::new(4, &[(0, 2), (0, 1), (1, 2), (0, 1)]).unwrap();
        assert_eq!(rules.successors(0), &[1]);
        assert_eq!(rules.predecessors(2), &[1]);
        assert!(rules.is_before(0, 2) && !rules.is_before(2, 0) && !rules.is_before(0, 3));
        assert!(rules.can_follow(0, 1) && !rules.can_follow(0, 2) && rules.can_follow(3, 2));
        assert!(rules.allows(&[0, 3, 1, 2]));
        assert!(!rules.allows(&[1, 0, 2, 3]) && !rules.allows(&[0, 1, 2]));
        assert!(!rules.allows(&[0, 1, 2, 2]) && !rules.allows(&[0, 1, 2, 9]));
    }

    #[test]
    fn a_circle_is_named_by_its_shortest_form() {
        let pairs = [(0, 1), (1, 2), (2, 3), (3, 0), (4, 5), (5, 4), (0, 4), (6, 0)];
        let error = Precedence::new(7, &pairs).unwrap_err();
        assert_eq!(error, RuleError::Circle(vec![4, 5]));
        assert_eq!(
            error.to_string(),
            "nodes 4 -> 5 must come before one another in a circle, which no order can keep"
        );
        assert_eq!(Precedence::new(2, &[(1, 1)]).unwrap_err(), RuleError::Circle(vec![1]));
    }

    #[test]
    fn a_circle_far_behind_many_waiting_nodes_is_still_found() {
        let mut pairs: Vec<(usize, usize)> = (0..600).map(|node| (node + 1, node)).collect();
        pairs.push((600, 602));
        pairs.push((602, 601));
        pairs.push((601, 600));
        let RuleError::Circle(circle) = Precedence::new(603, &pairs).unwrap_err() else {
            panic!("a circle was expected");
        };
        let mut sorted = circle.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, [600, 601, 602]);
        for (at, &node) in circle.iter().enumerate() {
            assert!(pairs.contains(&(node, circle[(at + 1) % circle.len()])));
        }
    }

    #[test]
    fn unknown_nodes_and_too_many_are_refused() {
        let unknown = RuleError::UnknownNode { node: 3, nodes: 3 };
        assert_eq!(Precedence::new(3, &[(0, 3)]).unwrap_err(), unknown);
        let many = RuleError::TooManyNodes { nodes: MAX_NODES + 1 };
        assert_eq!(Precedence::new(MAX_NODES + 1, &[]).unwrap_err(), many);
        assert!(Precedence::new(0, &[]).unwrap().is_empty());
    }
}
