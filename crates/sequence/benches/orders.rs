//! Speed of the searches on invented problems: moves per second, and what stands before the first.
#![allow(clippy::unwrap_used, reason = "benches stop at the first error")]

use divan::counter::ItemsCount;
use kw_sequence::SearchOptions;
use kw_sequence::magazine::{self, Job, Queue};
use kw_sequence::tour::{self, CostMatrix, Problem, Rules};

fn main() {
    divan::main();
}

/// A number from 0 to 999 that looks random.
fn scattered(number: usize) -> i64 {
    (number as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15) as i64 >> 32 & 1023
}

/// Cuts of `copies` parts on a sheet, twenty each, with four tools one after the other.
fn cuts(copies: usize) -> Problem {
    let nodes = copies * 20;
    let at = |node: usize| (scattered(2 * node), scattered(2 * node + 1));
    let travel = |a: (i64, i64), b: (i64, i64)| (a.0 - b.0).abs().max((a.1 - b.1).abs());
    let costs = CostMatrix::from_fn(nodes, |a, b| travel(at(a), at(b))).unwrap();
    let before = (5..nodes).filter(|node| node % 20 >= 5).map(|node| (node - 5, node)).collect();
    let groups = Some((0..nodes).map(|node| (node % 20 / 5) as u32).collect());
    Problem { costs, rules: Rules { before, groups, ..Rules::default() } }
}

/// Jobs with a third of forty tools each.
fn queue(jobs: usize) -> Queue {
    let needs = |job: usize, tool: usize| scattered(job * 1000 + tool) % 3 == 0;
    let tools = |job| (0..40).filter(move |&tool| needs(job, tool)).map(|tool| tool as u32);
    let job = |job| Job { tools: tools(job).collect(), ..Job::default() };
    Queue { jobs: (0..jobs).map(job).collect(), capacity: 24, ..Queue::default() }
}

#[divan::bench(args = [5, 50, 150])]
fn start_of_a_tour(bencher: divan::Bencher, copies: usize) {
    let problem = cuts(copies);
    bencher.bench(|| tour::solve(&problem, SearchOptions::with_iterations(0)).unwrap());
}

#[divan::bench(args = [5, 50, 150], sample_count = 5, sample_size = 1)]
fn moves_of_a_tour(bencher: divan::Bencher, copies: usize) {
    let problem = cuts(copies);
    let options = SearchOptions { lanes: 1, ..SearchOptions::with_iterations(1_000_000) };
    bencher
        .counter(ItemsCount::new(1_000_000usize))
        .bench(|| tour::solve(&problem, options).unwrap());
}

#[divan::bench(args = [10, 30, 100], sample_count = 5, sample_size = 1)]
fn moves_of_a_queue(bencher: divan::Bencher, jobs: usize) {
    let queue = queue(jobs);
    let options = SearchOptions { lanes: 1, ..SearchOptions::with_iterations(200_000) };
    bencher
        .counter(ItemsCount::new(200_000usize))
        .bench(|| magazine::solve(&queue, options).unwrap());
}

#[divan::bench(args = [10, 30, 100])]
fn loading_plan(bencher: divan::Bencher, jobs: usize) {
    let queue = queue(jobs);
    let order: Vec<usize> = (0..jobs).collect();
    bencher.bench(|| magazine::load(&queue, &order).unwrap());
}
