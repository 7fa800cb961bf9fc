//! Annealing over orders of jobs: lateness as a limit, swaps as the cost.

use super::Queue;
use super::chart::Chart;
use super::lateness::lateness_of;
use super::sets::Sets;
use crate::dice::{Dice, Lengths, Thresholds};
use crate::precedence::Precedence;
use crate::search::{Done, MOVES_PER_QUESTION};

/// What one run of annealing lowers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Goal {
    /// Swaps, with no more lateness than the best order found has.
    Swaps,
    /// Lateness, whatever the swaps.
    Lateness,
}

/// Temperatures in swaps (or seconds of lateness), and the number of moves of one run.
#[derive(Clone, Copy, Debug)]
pub(super) struct Run {
    pub goal: Goal,
    pub hot: f64,
    pub cold: f64,
    pub moves: u64,
}

/// What all lanes share.
pub(super) struct Shared<'a, const W: usize> {
    pub queue: &'a Queue,
    pub sets: &'a Sets<W>,
    pub precedence: &'a Precedence,
    pub should_stop: &'a (dyn Fn() -> bool + Sync),
    pub thresholds: Thresholds,
    pub lengths: Lengths,
    /// Any job has a due time.
    pub has_due_times: bool,
    /// Any job has an order rule.
    pub has_rules: bool,
}

/// An order found, as positions, with what it is worth; compared by worth first.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Found {
    pub lateness_s: i64,
    pub swaps: usize,
    pub positions: Vec<u32>,
}

/// One search among several.
pub(super) struct Lane<'a, const W: usize> {
    shared: &'a Shared<'a, W>,
    chart: Chart<'a, W>,
    dice: Dice,
    /// Start time of the job at each position of the order held.
    starts_s: Vec<i64>,
    lateness_s: i64,
    /// Position of each job, for the order on trial while a move is judged.
    place: Vec<u32>,
    pub best: Found,
}

/// Moves between two changes of temperature.
const MOVES_PER_STEP: u64 = 128;

impl<'a, const W: usize> Lane<'a, W> {
    pub fn new(shared: &'a Shared<'a, W>, start: &Found, dice: Dice) -> Self {
        let positions = start.positions.clone();
        let mut lane = Self {
            shared,
            chart: Chart::new(shared.sets, positions.clone()),
            dice,
            starts_s: vec![0; positions.len()],
            lateness_s: start.lateness_s,
            place: vec![0; positions.len()],
            best: start.clone(),
        };
        lane.restart(start);
        lane
    }

    /// Goes on from `best` if this lane is later than that.
    pub fn catch_up(&mut self, best: &Found) {
        if self.lateness_s.max(self.best.lateness_s) > best.lateness_s {
            self.best = best.clone();
            self.restart(best);
        }
    }

    fn restart(&mut self, from: &Found) {
        self.chart = Chart::new(self.shared.sets, from.positions.clone());
        self.lateness_s = from.lateness_s;
        for (at, &job) in from.positions.iter().enumerate() {
            self.place[job as usize] = at as u32;
        }
        self.renew_starts(0, from.positions.len());
    }

    /// Start times of positions `from..to`.
    fn renew_starts(&mut self, from: usize, to: usize) {
        if !self.shared.has_due_times {
            return;
        }
        for at in from.max(1)..to {
            let before = self.chart.order()[at - 1];
            self.starts_s[at] = self.starts_s[at - 1] + self.duration_s(before);
        }
    }

    /// Duration of a job; the contents of the magazine take no time.
    fn duration_s(&self, job: u32) -> i64 {
        self.shared.queue.jobs.get(job as usize).map_or(0, |job| job.duration_s)
    }

    pub fn run(&mut self, run: Run) -> Done {
        let mut done = Done::default();
        if self.shared.queue.jobs.len() < 2 {
            return done;
        }
        let steps = (run.moves / MOVES_PER_STEP).max(1) as f64;
        let cooling = kw_base::math::pow(run.cold / run.hot, 1.0 / steps);
        let mut temperature = run.hot;
        while done.moves < run.moves {
            if done.moves.is_multiple_of(MOVES_PER_QUESTION) && (self.shared.should_stop)() {
                done.stopped = true;
                break;
            }
            let moves = MOVES_PER_STEP.min(run.moves - done.moves);
            for _ in 0..moves {
                done.accepted += u64::from(self.try_move(run.goal, temperature));
            }
            done.moves += moves;
            temperature *= cooling;
        }
        done
    }

    fn try_move(&mut self, goal: Goal, temperature: f64) -> bool {
        let bits = self.dice.bits();
        let rise_allowed = self.shared.thresholds.rise(temperature, bits);
        let Some((from, to)) = self.propose(bits) else { return false };
        if !self.keeps_rules(from, to) {
            self.chart.reject(from, to);
            return false;
        }
        let lateness_s = self.trial_lateness(from, to);
        let accepted = match goal {
            Goal::Lateness => lateness_s - self.lateness_s <= rise_allowed,
            Goal::Swaps => lateness_s <= self.best.lateness_s,
        };
        if !accepted {
            self.forget(from, to);
            return false;
        }
        let swaps = self.chart.count_trial(from, to);
        let rise = swaps as i64 - self.chart.swaps() as i64;
        let better_time = lateness_s < self.best.lateness_s;
        if goal == Goal::Swaps && rise > rise_allowed && !better_time {
            self.forget(from, to);
            return false;
        }
        self.accept(from, to, lateness_s);
        true
    }

    fn accept(&mut self, from: usize, to: usize, lateness_s: i64) {
        self.chart.accept();
        self.lateness_s = lateness_s;
        self.renew_starts(from, (to + 2).min(self.starts_s.len()));
        let swaps = self.chart.swaps();
        if (lateness_s, swaps) < (self.best.lateness_s, self.best.swaps) {
            self.best.lateness_s = lateness_s;
            self.best.swaps = swaps;
            self.best.positions.clear();
            self.best.positions.extend_from_slice(self.chart.order());
        }
    }

    /// Gives up a trial whose places were renewed.
    fn forget(&mut self, from: usize, to: usize) {
        self.chart.reject(from, to);
        if self.shared.has_rules {
            self.renew_places(from, to);
        }
    }

    fn renew_places(&mut self, from: usize, to: usize) {
        for at in from..=to {
            self.place[self.chart.trial_order()[at] as usize] = at as u32;
        }
    }

    /// Changes the trial order; the first and last changed position, or `None` for no change.
    fn propose(&mut self, bits: u64) -> Option<(usize, usize)> {
        let first = usize::from(self.shared.sets.has_contents);
        let jobs = self.shared.queue.jobs.len();
        let from = first + self.dice.below(jobs.saturating_sub(1));
        let length = self.shared.lengths.draw(&mut self.dice);
        let other = self.shared.lengths.draw(&mut self.dice);
        let end = first + jobs;
        match bits & 3 {
            0 => {
                let to = from + length;
                (to < end).then(|| self.chart.trial_order()[from..=to].reverse())?;
                Some((from, to))
            }
            1 => {
                let to = from + length;
                (to < end).then(|| self.chart.trial_order().swap(from, to))?;
                Some((from, to))
            }
            _ => {
                let to = from + length + other - 1;
                (to < end).then(|| self.chart.trial_order()[from..=to].rotate_left(length))?;
                Some((from, to))
            }
        }
    }

    /// Whether the trial keeps every rule. Renews the places of what was changed, and puts them back
    /// if not.
    fn keeps_rules(&mut self, from: usize, to: usize) -> bool {
        if !self.shared.has_rules {
            return true;
        }
        self.renew_places(from, to);
        let Self { shared, chart, place, .. } = self;
        let kept = chart.trial_order()[from..=to].iter().all(|&job| {
            let later = shared.precedence.successors(job as usize);
            later.iter().all(|&later| place[job as usize] < place[later as usize])
        });
        if !kept {
            self.chart.reject(from, to);
            self.renew_places(from, to);
        }
        kept
    }

    /// Lateness of the trial, of which positions `from..=to` differ from the order held.
    fn trial_lateness(&mut self, from: usize, to: usize) -> i64 {
        if !self.shared.has_due_times {
            return 0;
        }
        let queue = self.shared.queue;
        let late = |order: &[u32], mut clock_s: i64| -> i64 {
            let mut sum = 0;
            for job in order.iter().filter_map(|&job| queue.jobs.get(job as usize)) {
                clock_s += job.duration_s;
                sum += lateness_of(job, clock_s);
            }
            sum
        };
        let start_s = self.starts_s[from];
        let old = late(&self.chart.order()[from..=to], start_s);
        let new = late(&self.chart.trial_order()[from..=to], start_s);
        self.lateness_s + new - old
    }

    /// A typical rise of what `goal` lowers, over moves that are possible now.
    pub fn typical_rise(&mut self, goal: Goal) -> f64 {
        let mut rises: Vec<i64> = Vec::new();
        for _ in 0..SAMPLES {
            let bits = self.dice.bits();
            let Some((from, to)) = self.propose(bits) else { continue };
            if !self.keeps_rules(from, to) {
                continue;
            }
            let rise = match goal {
                Goal::Lateness => self.trial_lateness(from, to) - self.lateness_s,
                Goal::Swaps => self.chart.count_trial(from, to) as i64 - self.chart.swaps() as i64,
            };
            rises.extend((rise > 0).then_some(rise));
            self.forget(from, to);
        }
        rises.sort_unstable();
        rises.get(rises.len() / 4).map_or(1.0, |&rise| rise as f64)
    }
}

const SAMPLES: usize = 500;
