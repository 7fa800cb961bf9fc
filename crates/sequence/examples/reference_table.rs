//! Runs the open reference instances and prints a table: instance, reference, ours, gap, seconds.
//!
//! Usage: `reference_table [--only PART-OF-NAME] [--seconds S] [--seeds N] [--moves M]`. Without
//! `--seconds` each instance gets the time its goal allows: 10 s, or 60 s for tool switching
//! instances whose optimum is not proven.
#![allow(clippy::disallowed_methods, reason = "a measuring program needs the clock")]
#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "a measuring program prints")]

#[path = "../tests/it/data.rs"]
mod data;

use kw_sequence::{Ended, SearchOptions, magazine, tour};
use std::time::{Duration, Instant};

struct Settings {
    only: String,
    seconds: Option<f64>,
    seeds: u64,
    moves: u64,
}

fn settings() -> Settings {
    let mut settings = Settings { only: String::new(), seconds: None, seeds: 1, moves: u64::MAX };
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let value = words.next().unwrap();
        match word.as_str() {
            "--only" => settings.only = value,
            "--seconds" => settings.seconds = Some(value.parse().unwrap()),
            "--seeds" => settings.seeds = value.parse().unwrap(),
            "--moves" => settings.moves = value.parse().unwrap(),
            _ => panic!("unknown option {word}"),
        }
    }
    settings
}

/// What one run gave.
struct Line {
    ours: i64,
    at_least: Option<i64>,
    moves: u64,
    ended: Ended,
}

/// Runs one instance for every seed and prints a line for each.
fn run(
    settings: &Settings,
    instance: (&str, i64),
    seconds: f64,
    solve: impl Fn(SearchOptions) -> Line,
) {
    let (name, reference) = instance;
    if !name.contains(&settings.only) {
        return;
    }
    for seed in 1..=settings.seeds {
        let begin = Instant::now();
        let limit = Duration::from_secs_f64(settings.seconds.unwrap_or(seconds));
        let should_stop = move || begin.elapsed() >= limit;
        let options = SearchOptions {
            seed,
            iterations: settings.moves,
            lanes: 2,
            should_stop: &should_stop,
            start: None,
        };
        let line = solve(options);
        let took_s = begin.elapsed().as_secs_f64();
        let gap = (line.ours - reference) as f64 * 100.0 / reference as f64;
        let at_least = line.at_least.map_or("-".to_string(), |bound| bound.to_string());
        println!(
            "| {name} | {seed} | {reference} | {} | {gap:.2} % | {at_least} | {took_s:.1} | {:.1} | {:?} |",
            line.ours,
            line.moves as f64 / 1e6,
            line.ended
        );
    }
}

fn main() {
    let Some(folder) = data::folder() else { return };
    let settings = settings();
    println!(
        "| instance | seed | reference | ours | gap | at least | seconds | million moves | ended |"
    );
    println!("|---|---|---|---|---|---|---|---|---|");
    for instance in data::tours(&folder) {
        run(&settings, (&instance.name, instance.best_known), 10.0, |options| {
            let tour = tour::solve(&instance.problem, options).unwrap();
            let (moves, ended) = (tour.stats.moves, tour.stats.ended);
            Line { ours: tour.cost, at_least: tour.cost_at_least, moves, ended }
        });
    }
    for instance in data::magazines(&folder) {
        let seconds = if instance.optimal { 10.0 } else { 60.0 };
        run(&settings, (&instance.name, instance.best_known as i64), seconds, |options| {
            let found = magazine::solve(&instance.queue, options).unwrap();
            let counted = magazine::load(&instance.queue, &found.order).unwrap().swaps();
            assert_eq!(counted, found.swaps, "the loading plan must need what the search counted");
            let (moves, ended) = (found.stats.moves, found.stats.ended);
            let at_least = Some(found.swaps_at_least as i64);
            Line { ours: found.swaps as i64, at_least, moves, ended }
        });
    }
}
