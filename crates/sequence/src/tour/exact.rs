//! Proof where rules or costs leave few possibilities: dynamic programme over sets of done nodes.

use super::assignment::Assignment;
use super::model::Model;

/// Most nodes (without the added ends) the programme is tried for.
pub(super) const MAX_EXACT_NODES: usize = 126;

/// Most partial orders made from one layer; 64 bytes each.
const LAYER_LIMIT: usize = 1 << 20;

/// What the programme found below a limit.
pub(super) enum Exact {
    /// No order has a total below the limit.
    NothingBelow,
    /// The cheapest order of all, with both ends.
    Cheapest(Vec<u32>),
    /// Too many possibilities for the work allowed, too many nodes, or stopped.
    GaveUp,
}

/// How much the programme may do.
#[derive(Clone, Copy)]
pub(super) struct Work<'a> {
    /// Partial orders that may be made.
    pub partials: u64,
    pub should_stop: &'a (dyn Fn() -> bool + Sync),
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Partial {
    done: u128,
    last: u32,
    reduced: i64,
    parent: u32,
}

/// Looks for the cheapest order with a total below `limit`, where every node has one entry.
///
/// Costs are reduced by the dual prices of the assignment, so that no step is below zero and the
/// total is the sum of reduced costs plus the bound. A partial order is dropped when its reduced cost
/// and the least that must still come leave no total below the limit.
pub(super) fn cheapest_below(model: &Model, prices: &Assignment, limit: i64, work: Work) -> Exact {
    if model.inner_nodes() > MAX_EXACT_NODES || model.inner_nodes() == 0 {
        return Exact::GaveUp;
    }
    let programme = Programme::new(model, prices, limit);
    let start = model.inner_nodes() as u32;
    let mut layer = vec![Partial { done: 1 << start, last: start, reduced: 0, parent: 0 }];
    let mut trail = vec![vec![(start, 0)]];
    let mut left = work.partials;
    for _ in 1..model.size {
        if (work.should_stop)() {
            return Exact::GaveUp;
        }
        let limit = LAYER_LIMIT.min(usize::try_from(left).unwrap_or(usize::MAX));
        let Some(next) = programme.next_layer(&layer, limit) else { return Exact::GaveUp };
        left -= next.len() as u64;
        layer = programme.kept(next);
        trail.push(layer.iter().map(|partial| (partial.last, partial.parent)).collect());
    }
    match layer.iter().enumerate().min_by_key(|(_, partial)| partial.reduced) {
        Some((at, _)) => Exact::Cheapest(read_back(&trail, at)),
        None => Exact::NothingBelow,
    }
}

/// A reduced cost and the node at the other end of the step.
type Way = (i64, u32);

struct Programme {
    size: usize,
    /// Nodes that must be done before each node, as bits.
    needs: Vec<u128>,
    /// For each node the steps away from it and into it, cheapest first.
    exits: Vec<Vec<Way>>,
    entries: Vec<Vec<Way>>,
    /// Reduced costs must stay below this.
    room: i64,
}

impl Programme {
    fn new(model: &Model, prices: &Assignment, limit: i64) -> Self {
        let size = model.size;
        let needs = |node: usize| {
            model.precedence.predecessors(node).iter().fold(0u128, |bits, &p| bits | 1 << p)
        };
        let (mut exits, mut entries) = (vec![Vec::new(); size], vec![Vec::new(); size]);
        for (from, exits) in exits.iter_mut().enumerate() {
            for to in (0..size).filter(|&to| model.precedence.can_follow(from, to)) {
                let cost = model.costs[from * size + to] - prices.left[from] - prices.entered[to];
                exits.push((cost, to as u32));
                entries[to].push((cost, from as u32));
            }
        }
        for ways in exits.iter_mut().chain(&mut entries) {
            ways.sort_unstable();
        }
        let room = limit - prices.bound;
        Self { size, needs: (0..size).map(needs).collect(), exits, entries, room }
    }

    /// All ways to go one node further; `None` if they are more than `limit`.
    fn next_layer(&self, layer: &[Partial], limit: usize) -> Option<Vec<Partial>> {
        let mut next = Vec::new();
        for (parent, partial) in layer.iter().enumerate() {
            if next.len() > limit {
                return None;
            }
            for &(step, to) in &self.exits[partial.last as usize] {
                if step >= self.room - partial.reduced {
                    break;
                }
                if partial.done >> to & 1 == 0 && self.needs[to as usize] & !partial.done == 0 {
                    next.push(Partial {
                        done: partial.done | 1 << to,
                        last: to,
                        reduced: partial.reduced + step,
                        parent: parent as u32,
                    });
                }
            }
        }
        (next.len() <= limit).then_some(next)
    }

    /// The cheapest of those with the same set and last node, if they can lead anywhere.
    fn kept(&self, mut layer: Vec<Partial>) -> Vec<Partial> {
        layer.sort_unstable();
        layer.dedup_by(|later, earlier| later.done == earlier.done && later.last == earlier.last);
        layer.retain(|partial| self.rest_at_least(partial) < self.room - partial.reduced);
        layer
    }

    /// A lower bound of the reduced cost from a partial order to the end: every node that is left
    /// must be entered, and the last node and all left but the end must be gone away from.
    fn rest_at_least(&self, partial: &Partial) -> i64 {
        let left = !partial.done;
        let sources = left | 1 << partial.last;
        let cheapest = |ways: &[Way], among: u128| {
            ways.iter().find(|&&(_, other)| among >> other & 1 == 1).map_or(self.room, |way| way.0)
        };
        let (mut entering, mut leaving) = (0i64, 0i64);
        for node in 0..self.size {
            if left >> node & 1 == 1 {
                entering = entering.saturating_add(cheapest(&self.entries[node], sources));
            }
            if sources >> node & 1 == 1 && node != self.size - 1 {
                leaving = leaving.saturating_add(cheapest(&self.exits[node], left));
            }
        }
        entering.max(leaving)
    }
}

/// Follows the parents, kept by layer as (node, parent), from a partial order of the last layer.
fn read_back(trail: &[Vec<(u32, u32)>], mut at: usize) -> Vec<u32> {
    let mut order = Vec::with_capacity(trail.len());
    for layer in trail.iter().rev() {
        let (node, parent) = layer[at];
        order.push(node);
        at = parent as usize;
    }
    order.reverse();
    order
}
