//! The fewest group changes that precedence allows.

use crate::precedence::Precedence;
use std::collections::{BTreeMap, BTreeSet};

/// Visits to groups with the fewest changes found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fewest {
    /// Groups in the order they are visited; a group that must be visited twice is in it twice.
    pub visits: Vec<u32>,
    /// Changes: visits, less one if the first group is free or already loaded.
    pub changes: usize,
    /// Nothing fewer is possible; `false` if there were too many possibilities to look at all.
    pub proven: bool,
}

/// Partial plans kept for each number of visits; more are cut to the most promising.
const WIDTH: usize = 2048;

/// Nodes done so far, everything of the current group that may be done being done.
#[derive(Clone)]
struct Partial {
    done: Vec<u64>,
    left: usize,
    groups_left: usize,
    visits: Vec<u32>,
}

/// Visits to groups so that all nodes are done with the fewest changes.
///
/// `groups` has one entry for each node of `precedence`. During a visit everything that may be done
/// is done, which never hurts. A group that can be finished for good is visited at once, which costs
/// nothing: it must be visited some time anyway. What is left is searched breadth first.
/// Empty input gives no visits. Nodes beyond the end of `groups` are left out.
pub fn fewest_changes(precedence: &Precedence, groups: &[u32], loaded: Option<u32>) -> Fewest {
    let search = Search { precedence, groups };
    let free = usize::from(loaded.is_none());
    let mut layer = vec![search.nothing_done()];
    if let Some(group) = loaded {
        search.visit(&mut layer[0], group);
        layer[0].visits.clear();
    }
    let mut proven = true;
    loop {
        if let Some(finished) = layer.iter().find(|partial| partial.left == 0) {
            let mut visits = finished.visits.clone();
            let changes = visits.len().saturating_sub(free);
            let uses_loaded = |&group: &u32| search.can_start_with(group);
            visits.splice(0..0, loaded.filter(uses_loaded));
            return Fewest { visits, changes, proven };
        }
        let mut next: BTreeMap<Vec<u64>, Partial> = BTreeMap::new();
        for partial in &layer {
            for child in search.children(partial) {
                next.entry(child.done.clone()).or_insert(child);
            }
        }
        layer = next.into_values().collect();
        if layer.is_empty() {
            return Fewest { visits: Vec::new(), changes: 0, proven: false };
        }
        if layer.len() > WIDTH {
            proven = false;
            layer.sort_by_key(|partial| (partial.groups_left, partial.left));
            layer.truncate(WIDTH);
        }
    }
}

struct Search<'a> {
    precedence: &'a Precedence,
    groups: &'a [u32],
}

impl Search<'_> {
    fn nodes(&self) -> usize {
        self.groups.len().min(self.precedence.len())
    }

    fn nothing_done(&self) -> Partial {
        let mut partial = Partial {
            done: vec![0; self.nodes().div_ceil(64)],
            left: self.nodes(),
            groups_left: 0,
            visits: Vec::new(),
        };
        partial.groups_left = self.left_by_group(&partial).len();
        partial
    }

    fn can_start_with(&self, group: u32) -> bool {
        (0..self.nodes())
            .any(|node| self.groups[node] == group && self.precedence.predecessors(node).is_empty())
    }

    fn is_ready(&self, partial: &Partial, node: usize) -> bool {
        !has(&partial.done, node)
            && self.precedence.predecessors(node).iter().all(|&p| has(&partial.done, p as usize))
    }

    /// Does everything of `group` that may be done.
    fn visit(&self, partial: &mut Partial, group: u32) {
        partial.visits.push(group);
        let of_group = |&node: &usize| self.groups[node] == group;
        let mut ready: Vec<usize> =
            (0..self.nodes()).filter(of_group).filter(|&n| self.is_ready(partial, n)).collect();
        while let Some(node) = ready.pop() {
            partial.done[node / 64] |= 1 << (node % 64);
            partial.left -= 1;
            let later = self.precedence.successors(node).iter().map(|&later| later as usize);
            let freed = later.filter(|&later| later < self.nodes() && of_group(&later));
            ready.extend(freed.filter(|&later| self.is_ready(partial, later)));
        }
        partial.groups_left = self.left_by_group(partial).len();
    }

    fn left_by_group(&self, partial: &Partial) -> BTreeMap<u32, usize> {
        let mut left = BTreeMap::new();
        for node in (0..self.nodes()).filter(|&node| !has(&partial.done, node)) {
            *left.entry(self.groups[node]).or_insert(0) += 1;
        }
        left
    }

    /// The plans with one more visit that need be looked at.
    fn children(&self, partial: &Partial) -> Vec<Partial> {
        let ready = (0..self.nodes()).filter(|&node| self.is_ready(partial, node));
        let groups: BTreeSet<u32> = ready.map(|node| self.groups[node]).collect();
        let left = self.left_by_group(partial);
        let mut children = Vec::with_capacity(groups.len());
        for group in groups {
            let mut child = partial.clone();
            self.visit(&mut child, group);
            if partial.left - child.left == left[&group] {
                return vec![child];
            }
            children.push(child);
        }
        children
    }
}

fn has(bits: &[u64], node: usize) -> bool {
    bits[node / 64] >> (node % 64) & 1 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fewest(groups: &[u32], pairs: &[(usize, usize)], loaded: Option<u32>) -> Fewest {
        fewest_changes(&Precedence::new(groups.len(), pairs).unwrap(), groups, loaded)
    }

    #[test]
    fn copies_of_one_program_need_one_visit_for_each_tool() {
        // five copies, each drill (1), rout (2), knife (3) in that order
        let groups: Vec<u32> = (0..15).map(|node| node % 3 + 1).collect();
        let pairs: Vec<(usize, usize)> = (0..5)
            .flat_map(|copy| [(3 * copy, 3 * copy + 1), (3 * copy + 1, 3 * copy + 2)])
            .collect();
        let plan = fewest(&groups, &pairs, None);
        assert_eq!(plan, Fewest { visits: vec![1, 2, 3], changes: 2, proven: true });
        assert_eq!(fewest(&groups, &pairs, Some(9)).changes, 3);
        assert_eq!(fewest(&groups, &pairs, Some(1)).changes, 2);
        assert_eq!(fewest(&groups, &pairs, Some(2)).changes, 3);
    }

    #[test]
    fn a_group_on_both_sides_of_another_is_visited_twice() {
        let plan = fewest(&[1, 2, 1, 1], &[(0, 1), (1, 2)], None);
        assert_eq!(plan, Fewest { visits: vec![1, 2, 1], changes: 2, proven: true });
    }

    #[test]
    fn the_loaded_group_is_used_up_first_and_listed() {
        let plan = fewest(&[1, 2], &[], Some(2));
        assert_eq!(plan, Fewest { visits: vec![2, 1], changes: 1, proven: true });
        assert_eq!(fewest(&[], &[], Some(2)).changes, 0);
        assert_eq!(fewest(&[], &[], None), Fewest { visits: vec![], changes: 0, proven: true });
    }

    /// All orders, so that the claim of the search is checked from outside.
    fn by_all_orders(precedence: &Precedence, groups: &[u32]) -> usize {
        fn go(p: &Precedence, groups: &[u32], order: &mut Vec<usize>, best: &mut usize) {
            if order.len() == groups.len() {
                let changes = order.windows(2).filter(|s| groups[s[0]] != groups[s[1]]).count();
                *best = (*best).min(changes);
            }
            for node in 0..groups.len() {
                let ready = p.predecessors(node).iter().all(|&e| order.contains(&(e as usize)));
                if ready && !order.contains(&node) {
                    order.push(node);
                    go(p, groups, order, best);
                    order.pop();
                }
            }
        }
        let mut best = usize::MAX;
        go(precedence, groups, &mut Vec::new(), &mut best);
        best
    }

    #[test]
    fn as_few_as_the_best_of_all_orders() {
        let mut dice = crate::dice::Dice::new(5, 0);
        for _ in 0..60 {
            let groups: Vec<u32> = (0..7).map(|_| dice.below(3) as u32).collect();
            let pairs: Vec<(usize, usize)> =
                (0..6).map(|_| (dice.below(7), dice.below(7))).filter(|(a, b)| a < b).collect();
            let precedence = Precedence::new(7, &pairs).unwrap();
            let plan = fewest_changes(&precedence, &groups, None);
            assert_eq!(plan.changes, by_all_orders(&precedence, &groups), "{groups:?} {pairs:?}");
        }
    }
}
