//! Random tiny tours against all orders.

use kw_sequence::SearchOptions;
use kw_sequence::tour::{CostMatrix, Problem, Rules, TourError, price, solve};
use kw_sequence::{Ended, RuleError};
use proptest::prelude::*;

/// A problem of up to seven nodes; rules follow a hidden order, so that they never contradict.
fn problems() -> impl Strategy<Value = Problem> {
    (1usize..=7).prop_flat_map(|nodes| {
        let costs = prop::collection::vec(-9i64..90, nodes * nodes);
        let hidden = Just((0..nodes).collect::<Vec<_>>()).prop_shuffle();
        let pairs = prop::collection::vec((0..nodes, 0..nodes), 0..6);
        let groups = prop::option::of(prop::collection::vec(0u32..3, nodes));
        let loaded = prop::option::of(0u32..3);
        let ends = (any::<bool>(), any::<bool>());
        (costs, hidden, pairs, groups, loaded, ends).prop_map(
            move |(costs, hidden, pairs, groups, loaded, ends)| {
                let ordered = pairs.into_iter().filter(|(a, b)| a < b);
                let before = ordered.map(|(a, b)| (hidden[a], hidden[b])).collect();
                let first = ends.0.then(|| hidden[0]);
                let last = (ends.1 && nodes > 1).then(|| hidden[nodes - 1]);
                let rules = Rules { before, first, last, groups, loaded };
                let costs = CostMatrix::from_fn(nodes, |a, b| costs[a * nodes + b]).unwrap();
                Problem { costs, rules }
            },
        )
    })
}

fn best_of_all_orders(problem: &Problem) -> (usize, i64) {
    fn go(problem: &Problem, order: &mut Vec<usize>, best: &mut Option<(usize, i64)>) {
        let nodes = problem.costs.nodes();
        if order.len() == nodes {
            let priced = price(problem, order).unwrap();
            *best = [*best, priced].into_iter().flatten().min();
        }
        for node in 0..nodes {
            if !order.contains(&node) {
                order.push(node);
                go(problem, order, best);
                order.pop();
            }
        }
    }
    let mut best = None;
    go(problem, &mut Vec::new(), &mut best);
    best.unwrap()
}

proptest! {
    #![proptest_config(crate::cases(60))]

    #[test]
    fn tiny_tours_are_as_good_as_the_best_of_all_orders(problem in problems(), seed in 0u64..9) {
        let options = SearchOptions { seed, ..SearchOptions::with_iterations(40_000) };
        let tour = solve(&problem, options).unwrap();
        prop_assert_eq!(price(&problem, &tour.order).unwrap(), Some((tour.changes, tour.cost)));
        prop_assert_eq!((tour.changes, tour.cost), best_of_all_orders(&problem));
        prop_assert!(tour.cost_at_least.is_none_or(|bound| bound <= tour.cost));
    }
}

fn chain(nodes: usize) -> Problem {
    let costs = CostMatrix::from_fn(nodes, |a, b| (a as i64 - b as i64).abs()).unwrap();
    Problem { costs, rules: Rules::default() }
}

#[test]
fn empty_and_single_problems_have_an_order() {
    for nodes in 0..2 {
        let tour = solve(&chain(nodes), SearchOptions::with_iterations(10)).unwrap();
        assert_eq!((tour.order.len(), tour.cost, tour.stats.ended), (nodes, 0, Ended::Proven));
    }
}

#[test]
fn contradictions_and_misfits_are_told() {
    let mut problem = chain(4);
    problem.rules.before = vec![(0, 1), (1, 2), (2, 0)];
    let circle = TourError::Rules(RuleError::Circle(vec![0, 1, 2]));
    let run = |problem: &Problem| solve(problem, SearchOptions::with_iterations(10)).unwrap_err();
    assert_eq!(run(&problem), circle);
    problem.rules.before = vec![(3, 2)];
    problem.rules.first = Some(2);
    assert_eq!(run(&problem), TourError::Rules(RuleError::Circle(vec![2, 3])));
    problem.rules = Rules { last: Some(4), ..Rules::default() };
    let unknown = TourError::Rules(RuleError::UnknownNode { node: 4, nodes: 4 });
    assert_eq!(run(&problem), unknown);
    problem.rules = Rules { groups: Some(vec![1]), ..Rules::default() };
    assert_eq!(run(&problem), TourError::GroupCount { groups: 1, nodes: 4 });
    let costs = CostMatrix::from_fn(3, |_, _| i64::MAX / 2).unwrap();
    let large = Problem { costs, rules: Rules::default() };
    assert!(matches!(run(&large), TourError::CostTooLarge { nodes: 3, .. }));
    assert!(CostMatrix::from_fn(5000, |_, _| 0).is_err());
}

#[test]
fn stopping_at_once_gives_a_valid_order() {
    let mut problem = chain(30);
    problem.rules.before = (0..29).map(|node| (node + 1, node)).collect();
    let options =
        SearchOptions { should_stop: &|| true, ..SearchOptions::with_iterations(1 << 40) };
    let tour = solve(&problem, options).unwrap();
    assert_eq!(tour.order, (0..30).rev().collect::<Vec<_>>());
}

#[test]
fn a_better_order_given_is_kept_and_a_broken_one_is_not() {
    let mut problem = chain(12);
    problem.rules.before = vec![(11, 0)];
    let given: Vec<usize> = (0..12).rev().collect();
    let with_start = |start: &[usize]| {
        solve(&problem, SearchOptions { start: Some(start), ..SearchOptions::with_iterations(0) })
    };
    assert_eq!(with_start(&given).unwrap().order, given);
    let broken: Vec<usize> = (0..12).collect();
    let tour = with_start(&broken).unwrap();
    assert_eq!(price(&problem, &tour.order).unwrap(), Some((0, tour.cost)));
}
