//! The cheapest order of nodes that keeps every "this before that" (sequential ordering).
//!
//! Path through all nodes once, no return. Costs may differ by direction. With groups (the tool of
//! each cut) the objective is lexicographic: fewest group changes first, then least cost.
//!
//! Method: a greedy start, then annealing that swaps two neighbouring blocks (three arcs change,
//! nothing is turned round) and, more rarely, turns a block round, in rounds that get longer; lanes
//! exchange their best between rounds. An assignment bound and, where rules leave few
//! possibilities, a dynamic programme over sets prove the result.
//! Sources: block exchange under precedence after Gambardella, Dorigo 2000, INFORMS J. on Computing
//! 12, 237-255; dynamic programme after Held, Karp 1962 (both from memory).

mod anneal;
mod assignment;
mod entries;
mod exact;
mod groups;
mod model;
mod moves;
mod proof;
mod solve;
mod start;

pub use entries::{EntryChoice, EntryCosts, best_entries};
pub use groups::{Fewest, fewest_changes};
pub use solve::{solve, solve_with_entries};

use crate::precedence::{MAX_NODES, Precedence, RuleError};
use crate::search::Ended;

/// Dense table of costs from node to node; the diagonal is ignored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CostMatrix {
    nodes: usize,
    values: Vec<i64>,
}

impl CostMatrix {
    /// From a function of (from, to); asked once for every pair of different nodes.
    ///
    /// Errors: more than [`MAX_NODES`] nodes.
    pub fn from_fn(
        nodes: usize,
        mut cost: impl FnMut(usize, usize) -> i64,
    ) -> Result<Self, TourError> {
        if nodes > MAX_NODES {
            return Err(RuleError::TooManyNodes { nodes }.into());
        }
        let mut values = Vec::with_capacity(nodes * nodes);
        for from in 0..nodes {
            values.extend((0..nodes).map(|to| if from == to { 0 } else { cost(from, to) }));
        }
        Ok(Self { nodes, values })
    }

    /// Number of nodes.
    pub fn nodes(&self) -> usize {
        self.nodes
    }

    /// Cost of going straight from one node to another; both below `nodes`.
    pub fn cost(&self, from: usize, to: usize) -> i64 {
        self.values[from * self.nodes + to]
    }
}

/// What an order must keep, apart from costs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Rules {
    /// Pairs (earlier, later).
    pub before: Vec<(usize, usize)>,
    /// The node every order starts with.
    pub first: Option<usize>,
    /// The node every order ends with.
    pub last: Option<usize>,
    /// Group of each node, such as the number of its tool; a step between different groups is one
    /// change, and fewer changes beat any cost.
    pub groups: Option<Vec<u32>>,
    /// The group that is in use before the first node; starting with another counts as a change.
    /// `None`: the first group is free.
    pub loaded: Option<u32>,
}

/// A tour problem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Costs; the number of nodes is theirs. A step that must not be taken gets a high cost.
    pub costs: CostMatrix,
    /// Rules.
    pub rules: Rules,
}

/// Why a tour problem cannot be searched.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TourError {
    /// The rules contradict one another or do not fit the nodes.
    #[error(transparent)]
    Rules(#[from] RuleError),
    /// The list of groups has another length than the list of nodes.
    #[error("groups are given for {groups} nodes, but there are {nodes} nodes")]
    GroupCount {
        /// Length of the list of groups.
        groups: usize,
        /// Number of nodes.
        nodes: usize,
    },
    /// Costs are so large that sums of them would overflow.
    #[error(
        "costs from {least} to {greatest} are too far apart to be added up for {nodes} nodes; use a coarser unit"
    )]
    CostTooLarge {
        /// Lowest cost.
        least: i64,
        /// Highest cost.
        greatest: i64,
        /// Number of nodes.
        nodes: usize,
    },
    /// Together the nodes offer more entries than are searched.
    #[error("the nodes offer more than {MAX_NODES} entries together; offer fewer for each node")]
    TooManyEntries,
    /// A node offers no way to enter it.
    #[error("node {node} offers no entry")]
    NoEntry {
        /// The node.
        node: usize,
    },
}

/// An order and what is known about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tour {
    /// Every node once.
    pub order: Vec<usize>,
    /// Sum of the steps.
    pub cost: i64,
    /// Group changes; 0 without groups.
    pub changes: usize,
    /// No order with as few changes costs less than this; `None` where nothing useful is known.
    pub cost_at_least: Option<i64>,
    /// How the search went.
    pub stats: TourStats,
}

/// An order with the entry of each node, and what is known about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntryTour {
    /// Every node once, with its entry.
    pub order: Vec<EntryChoice>,
    /// Sum of the steps and of what the entries cost by themselves.
    pub cost: i64,
    /// Group changes; 0 without groups.
    pub changes: usize,
    /// As for [`Tour::cost_at_least`]; `None` if any node has several entries.
    pub cost_at_least: Option<i64>,
    /// How the search went.
    pub stats: TourStats,
}

/// How a search went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TourStats {
    /// Moves tried by all lanes together.
    pub moves: u64,
    /// Moves accepted by all lanes together.
    pub accepted: u64,
    /// Rounds of annealing.
    pub rounds: u32,
    /// Why the search ended.
    pub ended: Ended,
}

/// Changes and cost of an order, counted plainly from the problem; `None` if a rule is broken.
pub fn price(problem: &Problem, order: &[usize]) -> Result<Option<(usize, i64)>, TourError> {
    let rules = &problem.rules;
    let nodes = problem.costs.nodes();
    let precedence = rules.precedence(nodes)?;
    if !precedence.allows(order) {
        return Ok(None);
    }
    let cost = order.windows(2).map(|step| problem.costs.cost(step[0], step[1])).sum();
    Ok(Some((rules.changes(order), cost)))
}

impl Rules {
    /// The rules as precedence: a fixed first node comes before all others, a last one after them.
    ///
    /// Errors: those of [`Precedence::new`], or groups for another number of nodes.
    pub fn precedence(&self, nodes: usize) -> Result<Precedence, TourError> {
        if let Some(groups) = &self.groups
            && groups.len() != nodes
        {
            return Err(TourError::GroupCount { groups: groups.len(), nodes });
        }
        let mut pairs = self.before.clone();
        if let Some(first) = self.first {
            pairs.extend((0..nodes).filter(|&node| node != first).map(|node| (first, node)));
            pairs.extend((first >= nodes).then_some((first, first)));
        }
        if let Some(last) = self.last {
            pairs.extend((0..nodes).filter(|&node| node != last).map(|node| (node, last)));
            pairs.extend((last >= nodes).then_some((last, last)));
        }
        Ok(Precedence::new(nodes, &pairs)?)
    }

    /// Group changes of an order of nodes; nodes without a group change nothing.
    pub fn changes(&self, order: &[usize]) -> usize {
        let Some(groups) = &self.groups else { return 0 };
        let used: Vec<u32> = order.iter().filter_map(|&node| groups.get(node).copied()).collect();
        let visits = self.loaded.iter().chain(&used).copied().collect::<Vec<u32>>();
        visits.windows(2).filter(|step| step[0] != step[1]).count()
    }
}
