//! Nodes with several ways in, such as closed outlines that may start at any of their corners.

use super::{Problem, TourError};

/// A node together with one of its entries, both counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EntryChoice {
    /// The node.
    pub node: usize,
    /// Which of its entries.
    pub entry: usize,
}

/// Costs of a problem whose nodes have several entries.
pub trait EntryCosts {
    /// Number of nodes.
    fn nodes(&self) -> usize;
    /// How many entries a node has, at least 1.
    fn entries(&self, node: usize) -> usize;
    /// What choosing this entry costs by itself.
    fn own(&self, choice: EntryChoice) -> i64;
    /// What going from one node to another costs, each with its entry.
    fn step(&self, from: EntryChoice, to: EntryChoice) -> i64;
}

/// A plain problem: one entry for each node.
impl EntryCosts for Problem {
    fn nodes(&self) -> usize {
        self.costs.nodes()
    }

    fn entries(&self, _node: usize) -> usize {
        1
    }

    fn own(&self, _choice: EntryChoice) -> i64 {
        0
    }

    fn step(&self, from: EntryChoice, to: EntryChoice) -> i64 {
        self.costs.cost(from.node, to.node)
    }
}

/// The cheapest entry of every node for a fixed order, and the total; exact.
///
/// Dynamic programme along the order; time is the sum of the products of neighbouring entry counts,
/// with no limit on their number. Errors: a node without entries. An empty order costs 0.
pub fn best_entries(
    order: &[usize],
    costs: &impl EntryCosts,
) -> Result<(Vec<EntryChoice>, i64), TourError> {
    if let Some(&node) = order.iter().find(|&&node| costs.entries(node) == 0) {
        return Err(TourError::NoEntry { node });
    }
    let choices =
        |node: usize| (0..costs.entries(node)).map(move |entry| EntryChoice { node, entry });
    // For each entry of each node in order: cheapest total up to it, and the entry before.
    let mut reached: Vec<Vec<(i64, usize)>> = Vec::with_capacity(order.len());
    for (at, &node) in order.iter().enumerate() {
        let way_in = |to: EntryChoice| {
            let before = at.checked_sub(1).and_then(|at| reached.get(at).map(|r| (order[at], r)));
            let Some((from, totals)) = before else { return (costs.own(to), 0) };
            let ways = choices(from).zip(totals).map(|(from, &(total, _))| {
                (total + costs.step(from, to) + costs.own(to), from.entry)
            });
            ways.min().unwrap_or((costs.own(to), 0))
        };
        let row = choices(node).map(way_in).collect();
        reached.push(row);
    }
    let last = reached.last().and_then(|row| row.iter().enumerate().min_by_key(|(_, way)| way.0));
    let Some((mut entry, &(total, _))) = last else { return Ok((Vec::new(), 0)) };
    let mut chosen = Vec::with_capacity(order.len());
    for (&node, row) in order.iter().zip(&reached).rev() {
        chosen.push(EntryChoice { node, entry });
        entry = row[entry].1;
    }
    chosen.reverse();
    Ok((chosen, total))
}
