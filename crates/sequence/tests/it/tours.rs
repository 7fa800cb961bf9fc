//! Open tour instances (TSPLIB 95, G. Reinelt, class SOP) with their best known costs.

use crate::data;
use kw_sequence::SearchOptions;
use kw_sequence::tour::{price, solve};

/// Best known costs of three public lists that agree; see the README beside the data.
#[test]
fn the_best_known_tours_cost_what_is_written() {
    let Some(folder) = data::folder() else { return };
    for instance in data::tours(&folder) {
        let priced = price(&instance.problem, &instance.best_tour).unwrap();
        assert_eq!(priced, Some((0, instance.best_known)), "{}", instance.name);
    }
}

#[test]
fn a_short_search_reaches_the_best_known_cost() {
    let Some(folder) = data::folder() else { return };
    let short = ["ESC07", "ESC12", "ESC25", "ESC47", "br17.10", "p43.2", "rbg109a"];
    let proven = ["ESC07", "ESC12", "ESC25", "ESC47", "br17.10", "rbg109a"];
    for instance in data::tours(&folder).iter().filter(|i| short.contains(&i.name.as_str())) {
        let tour = solve(&instance.problem, SearchOptions::with_iterations(800_000)).unwrap();
        assert_eq!(tour.cost, instance.best_known, "{}", instance.name);
        assert_eq!(price(&instance.problem, &tour.order).unwrap(), Some((0, tour.cost)));
        let known = tour.cost_at_least == Some(tour.cost);
        assert_eq!(known, proven.contains(&instance.name.as_str()), "{}", instance.name);
    }
}

#[test]
fn the_result_depends_on_seed_and_lanes_but_not_on_threads() {
    let Some(folder) = data::folder() else { return };
    let instances = data::tours(&folder);
    let problem = &instances.iter().find(|i| i.name == "ry48p.1").unwrap().problem;
    let run = |threads: usize, seed: u64| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let options = SearchOptions { seed, ..SearchOptions::with_iterations(60_000) };
        pool.install(|| solve(problem, options).unwrap())
    };
    assert_eq!(run(1, 3), run(2, 3));
    assert_ne!(run(1, 3).order, run(1, 4).order);
}
