//! Nodes with several entries against all orders and entries.

use kw_sequence::SearchOptions;
use kw_sequence::tour::{
    EntryChoice, EntryCosts, Rules, TourError, best_entries, solve_with_entries,
};
use proptest::prelude::*;

/// Costs in a table over all entries of all nodes.
#[derive(Clone, Debug)]
struct Table {
    entries: Vec<usize>,
    own: Vec<i64>,
    steps: Vec<i64>,
}

impl Table {
    fn number(&self, choice: EntryChoice) -> usize {
        self.entries[..choice.node].iter().sum::<usize>() + choice.entry
    }

    fn cost(&self, choices: &[EntryChoice]) -> i64 {
        let own: i64 = choices.iter().map(|&choice| self.own(choice)).sum();
        own + choices.windows(2).map(|pair| self.step(pair[0], pair[1])).sum::<i64>()
    }
}

impl EntryCosts for Table {
    fn nodes(&self) -> usize {
        self.entries.len()
    }

    fn entries(&self, node: usize) -> usize {
        self.entries[node]
    }

    fn own(&self, choice: EntryChoice) -> i64 {
        self.own[self.number(choice)]
    }

    fn step(&self, from: EntryChoice, to: EntryChoice) -> i64 {
        self.steps[self.number(from) * self.own.len() + self.number(to)]
    }
}

fn tables() -> impl Strategy<Value = Table> {
    prop::collection::vec(1usize..=3, 1..=5).prop_flat_map(|entries| {
        let all: usize = entries.iter().sum();
        let own = prop::collection::vec(0i64..20, all);
        let steps = prop::collection::vec(0i64..100, all * all);
        (Just(entries), own, steps).prop_map(|(entries, own, steps)| Table { entries, own, steps })
    })
}

/// Cheapest entries by trying all.
fn by_all_entries(table: &Table, order: &[usize], chosen: &mut Vec<EntryChoice>) -> i64 {
    let Some(&node) = order.get(chosen.len()) else { return table.cost(chosen) };
    let mut best = i64::MAX;
    for entry in 0..table.entries[node] {
        chosen.push(EntryChoice { node, entry });
        best = best.min(by_all_entries(table, order, chosen));
        chosen.pop();
    }
    best
}

proptest! {
    #![proptest_config(crate::cases(60))]

    #[test]
    fn entries_for_a_fixed_order_are_the_best_of_all(table in tables()) {
        let order: Vec<usize> = (0..table.nodes()).rev().collect();
        let (choices, cost) = best_entries(&order, &table).unwrap();
        prop_assert_eq!(table.cost(&choices), cost);
        prop_assert_eq!(cost, by_all_entries(&table, &order, &mut Vec::new()));
        let nodes: Vec<usize> = choices.iter().map(|choice| choice.node).collect();
        prop_assert_eq!(nodes, order);
    }

    #[test]
    fn order_and_entries_are_the_best_of_all(table in tables(), seed in 0u64..9) {
        let rules = Rules::default();
        let options = SearchOptions { seed, ..SearchOptions::with_iterations(60_000) };
        let tour = solve_with_entries(&rules, &table, options).unwrap();
        prop_assert_eq!(table.cost(&tour.order), tour.cost);
        let mut best = i64::MAX;
        let mut order: Vec<usize> = (0..table.nodes()).collect();
        permute(&mut order, 0, &mut |order| {
            best = best.min(by_all_entries(&table, order, &mut Vec::new()));
        });
        prop_assert_eq!(tour.cost, best);
    }
}

fn permute(order: &mut Vec<usize>, from: usize, visit: &mut impl FnMut(&[usize])) {
    if from == order.len() {
        return visit(order);
    }
    for at in from..order.len() {
        order.swap(from, at);
        permute(order, from + 1, visit);
        order.swap(from, at);
    }
}

#[test]
fn a_node_without_entries_is_told() {
    let table = Table { entries: vec![1, 0], own: vec![0], steps: vec![0] };
    let error = TourError::NoEntry { node: 1 };
    assert_eq!(best_entries(&[0, 1], &table).unwrap_err(), error);
    let options = SearchOptions::with_iterations(1);
    assert_eq!(solve_with_entries(&Rules::default(), &table, options).unwrap_err(), error);
    assert_eq!(best_entries(&[], &table).unwrap(), (Vec::new(), 0));
}
