//! Open tool switching instances with their best known numbers of switches.

use crate::data;
use kw_sequence::SearchOptions;
use kw_sequence::magazine::{fewest_swaps, load, solve};

/// Values computed for this data by other programs; see the README beside the data.
#[test]
fn the_best_known_orders_need_the_swaps_that_are_written() {
    let Some(folder) = data::folder() else { return };
    for instance in data::magazines(&folder) {
        let counted = fewest_swaps(&instance.queue, &instance.best_order).unwrap();
        assert_eq!(counted, instance.best_known, "{}", instance.name);
        let plan = load(&instance.queue, &instance.best_order).unwrap();
        assert_eq!(plan.swaps(), instance.best_known, "{}", instance.name);
    }
}

#[test]
fn a_short_search_reaches_the_proven_optimum() {
    let Some(folder) = data::folder() else { return };
    for instance in data::magazines(&folder).iter().filter(|instance| instance.optimal) {
        let found = solve(&instance.queue, SearchOptions::with_iterations(150_000)).unwrap();
        assert_eq!(found.swaps, instance.best_known, "{}", instance.name);
        assert_eq!(fewest_swaps(&instance.queue, &found.order).unwrap(), found.swaps);
        assert!(found.swaps_at_least <= found.swaps);
    }
}

#[test]
fn the_result_depends_on_the_seed_but_not_on_threads() {
    let Some(folder) = data::folder() else { return };
    let instances = data::magazines(&folder);
    let queue = &instances.iter().find(|i| i.name == "crama-t1-s3n001").unwrap().queue;
    let run = |threads: usize, seed: u64| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let options = SearchOptions { seed, ..SearchOptions::with_iterations(10_000) };
        pool.install(|| solve(queue, options).unwrap())
    };
    assert_eq!(run(1, 3), run(2, 3));
    assert_ne!(run(1, 3).order, run(1, 4).order);
}
