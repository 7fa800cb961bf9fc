//! Random tiny queues against all orders and all loadings.

use kw_sequence::magazine::{Job, Queue, QueueError, fewest_swaps, lateness_s, load, solve};
use kw_sequence::{Ended, RuleError, SearchOptions};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

type Tools = BTreeSet<u32>;

fn queues(max_jobs: usize) -> impl Strategy<Value = Queue> {
    let job =
        (prop::collection::vec(1u32..=6, 0..=3), 0i64..30, prop::option::of(0i64..80), 0u16..3);
    let jobs = prop::collection::vec(job, 1..=max_jobs);
    let contents = prop::option::of(prop::collection::vec(prop::option::of(1u32..=8), 0..=3));
    let pairs = prop::collection::vec((0usize..max_jobs, 0usize..max_jobs), 0..3);
    (jobs, 3usize..=4, contents, pairs).prop_map(|(jobs, capacity, contents, pairs)| {
        let known = |&(a, b): &(usize, usize)| a < b && b < jobs.len();
        let before = pairs.into_iter().filter(known).collect();
        let jobs = jobs.into_iter().map(|(tools, duration_s, due_s, weight)| Job {
            tools,
            duration_s,
            due_s,
            weight,
        });
        let pockets = contents.map(without_repeats);
        Queue { jobs: jobs.collect(), capacity, before, pockets }
    })
}

fn without_repeats(pockets: Vec<Option<u32>>) -> Vec<Option<u32>> {
    let mut seen = Tools::new();
    pockets.into_iter().map(|tool| tool.filter(|&tool| seen.insert(tool))).collect()
}

/// Fewest insertions over all ways to load, one layer of possible contents for each job.
fn by_all_loadings(queue: &Queue, order: &[usize]) -> usize {
    let used: Tools = queue.jobs.iter().flat_map(|job| job.tools.clone()).collect();
    let mut layer: BTreeMap<Tools, usize> = match &queue.pockets {
        Some(pockets) => [(pockets.iter().flatten().copied().collect(), 0)].into(),
        None => subsets(&used, queue.capacity).into_iter().map(|contents| (contents, 0)).collect(),
    };
    for &job in order {
        let needed: Tools = queue.jobs[job].tools.iter().copied().collect();
        let mut next: BTreeMap<Tools, usize> = BTreeMap::new();
        for (contents, insertions) in &layer {
            let reach: Tools = contents.union(&used).copied().collect();
            for after in subsets(&reach, queue.capacity) {
                if needed.is_subset(&after) {
                    let total = insertions + after.difference(contents).count();
                    let known = next.entry(after).or_insert(total);
                    *known = total.min(*known);
                }
            }
        }
        layer = next;
    }
    layer.into_values().min().unwrap()
}

fn subsets(tools: &Tools, limit: usize) -> Vec<Tools> {
    let list: Vec<u32> = tools.iter().copied().collect();
    let pick = |bits: u32| (0..list.len()).filter(move |at| bits >> at & 1 == 1);
    (0..1u32 << list.len())
        .filter(|bits| bits.count_ones() as usize <= limit)
        .map(|bits| pick(bits).map(|at| list[at]).collect())
        .collect()
}

fn all_orders(queue: &Queue) -> Vec<Vec<usize>> {
    fn go(queue: &Queue, order: &mut Vec<usize>, all: &mut Vec<Vec<usize>>) {
        if order.len() == queue.jobs.len() {
            all.push(order.clone());
        }
        for job in 0..queue.jobs.len() {
            let waits = queue.before.iter().any(|&(a, b)| b == job && !order.contains(&a));
            if !waits && !order.contains(&job) {
                order.push(job);
                go(queue, order, all);
                order.pop();
            }
        }
    }
    let mut all = Vec::new();
    go(queue, &mut Vec::new(), &mut all);
    all
}

proptest! {
    #![proptest_config(crate::cases(40))]

    #[test]
    fn loading_is_as_good_as_the_best_of_all_loadings(queue in queues(4)) {
        for order in all_orders(&queue).iter().take(3) {
            let plan = load(&queue, order).unwrap();
            prop_assert_eq!(plan.swaps(), by_all_loadings(&queue, order));
            prop_assert_eq!(fewest_swaps(&queue, order).unwrap(), plan.swaps());
            let mut pockets = plan.first.clone();
            for step in &plan.steps {
                for swap in &step.swaps {
                    prop_assert_eq!(pockets[swap.pocket], swap.taken_out.map(|out| out.tool));
                    pockets[swap.pocket] = Some(swap.put_in);
                }
                prop_assert_eq!(&pockets, &step.pockets);
                let held: Tools = pockets.iter().flatten().copied().collect();
                prop_assert!(queue.jobs[step.job].tools.iter().all(|tool| held.contains(tool)));
                prop_assert!(pockets.len() <= queue.capacity);
            }
        }
    }

    #[test]
    fn schedules_are_as_good_as_the_best_of_all_orders(queue in queues(6), seed in 0u64..9) {
        let options = SearchOptions { seed, ..SearchOptions::with_iterations(20_000) };
        let found = solve(&queue, options).unwrap();
        prop_assert_eq!(found.lateness_s, lateness_s(&queue, &found.order));
        prop_assert_eq!(found.swaps, fewest_swaps(&queue, &found.order).unwrap());
        prop_assert!(found.swaps_at_least <= found.swaps);
        let worth = |order: &Vec<usize>| {
            (lateness_s(&queue, order), fewest_swaps(&queue, order).unwrap())
        };
        let best = all_orders(&queue).iter().map(worth).min().unwrap();
        prop_assert_eq!((found.lateness_s, found.swaps), best);
    }
}

#[test]
fn contradictions_are_told_and_an_empty_queue_is_planned() {
    let job = |tools: &[u32]| Job { tools: tools.to_vec(), ..Job::default() };
    let mut queue = Queue { jobs: vec![job(&[1]), job(&[2])], capacity: 1, ..Queue::default() };
    queue.before = vec![(0, 1), (1, 0)];
    let run = |queue: &Queue| solve(queue, SearchOptions::with_iterations(100));
    assert_eq!(run(&queue).unwrap_err(), QueueError::Rules(RuleError::Circle(vec![0, 1])));
    queue.before.clear();
    queue.jobs[1].tools = vec![2, 3];
    assert!(matches!(run(&queue).unwrap_err(), QueueError::JobTooLarge { job: 1, .. }));
    let empty = run(&Queue::default()).unwrap();
    assert_eq!((empty.order.len(), empty.swaps, empty.stats.ended), (0, 0, Ended::Proven));
    let many = Queue { jobs: vec![job(&[]); 1001], ..Queue::default() };
    assert_eq!(run(&many).unwrap_err(), QueueError::TooMany { jobs: 1001, tools: 0 });
}

/// Due times come first even when they cost swaps, and rules before both.
#[test]
fn due_times_come_before_swaps() {
    let job = |tool: u32, due_s: i64| Job {
        tools: vec![tool],
        duration_s: 10,
        due_s: Some(due_s),
        weight: 1,
    };
    // by swaps alone: 1 1 2 2; the due times want 1 2 1 2
    let jobs = vec![job(1, 10), job(2, 20), job(1, 30), job(2, 40)];
    let mut queue = Queue { jobs, capacity: 1, ..Queue::default() };
    let run = |queue: &Queue| solve(queue, SearchOptions::with_iterations(5000)).unwrap();
    let kept = run(&queue);
    assert_eq!((kept.order, kept.lateness_s, kept.swaps), (vec![0, 1, 2, 3], 0, 3));
    queue.jobs[1].due_s = Some(30);
    let freer = run(&queue);
    assert_eq!((freer.order, freer.lateness_s, freer.swaps), (vec![0, 2, 1, 3], 0, 1));
    queue.before = vec![(3, 0)];
    let ruled = run(&queue);
    assert_eq!(ruled.order[..2], [3, 0]);
    assert_eq!(ruled.lateness_s, 10 + 10);
}
