//! Rounds of annealing in lanes over the orders of a queue.

use super::anneal::{Found, Goal, Lane, Run, Shared};
use super::chart::Chart;
use super::lateness::{by_due_time, grown, lateness_s};
use super::sets::{Sets, WithSets, with_sets};
use super::{Queue, QueueError, Schedule, ScheduleStats};
use crate::dice::{Dice, Lengths, Thresholds};
use crate::precedence::Precedence;
use crate::search::{Ended, MAX_LANES, SearchOptions, run_lanes};

/// The best order found: least weighted lateness, and among those the fewest swaps.
///
/// Order rules are kept always; due times are kept if the search finds how, and `lateness_s` says by
/// how much they are not. Errors: a queue that cannot be planned. An empty queue gives an empty order.
pub fn solve(queue: &Queue, options: SearchOptions) -> Result<Schedule, QueueError> {
    let precedence = queue.checked()?;
    Ok(with_sets(queue, Solve { queue, precedence: &precedence, options }))
}

struct Solve<'a> {
    queue: &'a Queue,
    precedence: &'a Precedence,
    options: SearchOptions<'a>,
}

impl WithSets for Solve<'_> {
    type Output = Schedule;

    fn run<const W: usize>(self, sets: &Sets<W>) -> Schedule {
        let start = self.start(sets);
        let shared = Shared {
            queue: self.queue,
            sets,
            precedence: self.precedence,
            should_stop: self.options.should_stop,
            thresholds: Thresholds::new(),
            lengths: Lengths::new(self.queue.jobs.len()),
            has_due_times: self.queue.jobs.iter().any(|job| job.due_s.is_some()),
            has_rules: !self.queue.before.is_empty(),
        };
        let mut search = Search::new(&shared, start, self.options);
        let ended = search.rounds();
        search.finish(ended)
    }
}

impl Solve<'_> {
    /// The best of the orders that need no search.
    fn start<const W: usize>(&self, sets: &Sets<W>) -> Found {
        let found = |order: Vec<usize>| {
            let positions = sets.positions(&order);
            let swaps = Chart::new(sets, positions.clone()).swaps();
            Found { lateness_s: lateness_s(self.queue, &order), swaps, positions }
        };
        let mut best = found(by_due_time(self.queue, self.precedence));
        best = best.min(found(self.alike_next(sets)));
        match self.options.start {
            Some(given) if self.precedence.allows(given) => best.min(found(given.to_vec())),
            _ => best,
        }
    }

    /// Always the job that needs the most of the tools of the one before.
    fn alike_next<const W: usize>(&self, sets: &Sets<W>) -> Vec<usize> {
        let common = |a: usize, b: usize| -> u32 {
            (0..W).map(|word| (sets.tools[a][word] & sets.tools[b][word]).count_ones()).sum()
        };
        let contents = sets.has_contents.then(|| sets.tools.len() - 1);
        grown(self.precedence, |order, ready| {
            let before = order.last().copied().or(contents);
            let likeness = |job: usize| before.map_or(0, |before| common(before, job));
            ready.iter().copied().max_by_key(|&job| (likeness(job), std::cmp::Reverse(job)))
        })
    }
}

struct Search<'a, const W: usize> {
    shared: &'a Shared<'a, W>,
    options: SearchOptions<'a>,
    lanes: Vec<Lane<'a, W>>,
    best: Found,
    stats: ScheduleStats,
}

impl<'a, const W: usize> Search<'a, W> {
    fn new(shared: &'a Shared<'a, W>, start: Found, options: SearchOptions<'a>) -> Self {
        let lane = |number| Lane::new(shared, &start, Dice::new(options.seed, number));
        let lanes = (0..options.lanes.clamp(1, MAX_LANES)).map(lane).collect();
        let stats = ScheduleStats { moves: 0, accepted: 0, rounds: 0, ended: Ended::Iterations };
        Self { shared, options, lanes, best: start, stats }
    }

    fn rounds(&mut self) -> Ended {
        let dice = Dice::new(self.options.seed, MAX_LANES);
        let mut probe = Lane::new(self.shared, &self.best, dice);
        let hot_swaps = (HOT_SWAPS * probe.typical_rise(Goal::Swaps)).max(2.0 * COLD_SWAPS);
        let hot_lateness = probe.typical_rise(Goal::Lateness);
        let mut left = self.options.iterations;
        while left > 0 {
            if self.is_proven() {
                return Ended::Proven;
            }
            let moves = self.round_length().min(left);
            let late_first = self.best.lateness_s > 0 && self.stats.rounds.is_multiple_of(3);
            let run = if late_first {
                Run { goal: Goal::Lateness, hot: hot_lateness, cold: hot_lateness / 100.0, moves }
            } else {
                Run { goal: Goal::Swaps, hot: hot_swaps, cold: COLD_SWAPS, moves }
            };
            if self.round(run) {
                return Ended::Stopped;
            }
            left -= moves;
        }
        if self.is_proven() { Ended::Proven } else { Ended::Iterations }
    }

    fn is_proven(&self) -> bool {
        self.best.lateness_s == 0 && self.best.swaps <= self.shared.sets.swaps_at_least
    }

    /// Moves of the next round in each lane.
    fn round_length(&self) -> u64 {
        let base = 500 * self.shared.queue.jobs.len() as u64;
        base << self.stats.rounds.min(LONGEST_ROUND)
    }

    /// One round in all lanes; true if it was stopped.
    fn round(&mut self, run: Run) -> bool {
        self.lanes.iter_mut().for_each(|lane| lane.catch_up(&self.best));
        let done = run_lanes(&mut self.lanes, |lane| lane.run(run));
        for lane in &self.lanes {
            if (lane.best.lateness_s, lane.best.swaps) < (self.best.lateness_s, self.best.swaps) {
                self.best = lane.best.clone();
            }
        }
        self.stats.rounds += 1;
        self.stats.moves += done.moves;
        self.stats.accepted += done.accepted;
        done.stopped
    }

    fn finish(mut self, ended: Ended) -> Schedule {
        self.stats.ended = ended;
        let contents = usize::from(self.shared.sets.has_contents);
        Schedule {
            order: self.best.positions[contents..].iter().map(|&job| job as usize).collect(),
            lateness_s: self.best.lateness_s,
            swaps: self.best.swaps,
            swaps_at_least: self.shared.sets.swaps_at_least,
            stats: self.stats,
        }
    }
}

/// Temperature at the start of a run, in typical rises; hotter starts were found to be a waste.
const HOT_SWAPS: f64 = 0.33;

/// Temperature at the end of a run: a rise of one swap is then accepted about once in 500 times.
const COLD_SWAPS: f64 = 0.16;

/// Doublings of the length of a round.
const LONGEST_ROUND: u32 = 9;
