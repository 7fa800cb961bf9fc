//! The run over one interval: a jerk-limited profile where it fits below the caps, else ramps.

use super::SAME_SPEED;
use super::interval::{Interval, StepRun};
use crate::ramp::{Stretch, Timed};
use crate::scurve::{Hill, PathLimits, Profile, Walk};
use std::ops::Range;

/// Most rounds in which the mean acceleration of the ramps is fitted to their height; each takes
/// the error of the peak speed to a quarter or less.
const ROUNDS: usize = 20;

/// Relative change of the peak speed at which the rounds end.
const PEAK_SETTLED: f64 = 1e-12;

/// A stretch and its plan without jerk; the plan is written over where an interval needs ramps.
pub(super) struct Course<'a> {
    pub stretch: &'a Stretch,
    /// Speed limit of each step with small bumps levelled.
    pub level: &'a [f64],
    /// Square of the speed at each node.
    pub squared: &'a mut [f64],
    /// Highest speed within each step.
    pub peak: &'a mut [f64],
    /// Scratch: time and speed at the end of each step of an interval.
    pub marks: &'a mut Vec<(f64, f64)>,
}

impl Course<'_> {
    /// Hands over what each step of an interval comes to; gives the speed at its end.
    pub fn run(&mut self, interval: &Interval, each: &mut impl FnMut(Timed)) -> f64 {
        let Interval { entry, exit, length, .. } = *interval;
        if length <= 0.0 {
            for _ in interval.steps.clone() {
                each(Timed { duration_s: 0.0, exit_speed: exit, peak_speed: exit });
            }
            return exit;
        }
        let limits = PathLimits { speed: self.highest(&interval.steps), ..interval.limits };
        if let Some(profile) = (Hill { entry, exit, length, limits }).profile()
            && self.keeps_below_caps(interval, &profile)
        {
            self.hand_over(interval, &profile, each);
            return exit;
        }
        self.under_caps(interval, each)
    }

    fn highest(&self, steps: &Range<usize>) -> f64 {
        self.peak[steps.clone()].iter().copied().fold(0.0, f64::max)
    }

    /// Marks where a profile stands at the end of each step, and whether it breaks no cap.
    fn keeps_below_caps(&mut self, interval: &Interval, profile: &Profile) -> bool {
        let slack = 1.0 + SAME_SPEED;
        let crest = Crest::of(profile);
        let mut walk = Walk::along(profile);
        let (mut at, mut before) = (0.0, (0.0, interval.entry));
        self.marks.clear();
        for i in interval.steps.clone() {
            at += self.stretch.length[i];
            let last = i + 1 == interval.steps.end;
            let mark = if last { (profile.duration_s(), interval.exit) } else { walk.at(at) };
            let speed = self.stretch.speed[i] * slack;
            let too_fast = self.stretch.length[i] > 0.0 && crest.peak(before, mark) > speed;
            let cap = self.stretch.speed_squared.get(i + 1).copied().unwrap_or(0.0);
            if too_fast || (!last && mark.1 * mark.1 > cap * slack * slack) {
                return false;
            }
            self.marks.push(mark);
            before = mark;
        }
        true
    }

    fn hand_over(&self, interval: &Interval, profile: &Profile, each: &mut impl FnMut(Timed)) {
        let crest = Crest::of(profile);
        let mut before = (0.0, interval.entry);
        for &mark in self.marks.iter() {
            each(Timed {
                duration_s: (mark.0 - before.0).max(0.0),
                exit_speed: mark.1,
                peak_speed: crest.peak(before, mark),
            });
            before = mark;
        }
    }

    /// Ramps under the caps. A ramp with rounded ends takes the time and length of one with
    /// constant acceleration of the same mean; the mean depends on the height of the ramp, which
    /// is found in rounds.
    fn under_caps(&mut self, interval: &Interval, each: &mut impl FnMut(Timed)) -> f64 {
        let mut highest = self.highest(&interval.steps);
        let mut shares = Shares { up: 1.0, down: 1.0 };
        let mut fall = 0.0;
        for _ in 0..ROUNDS {
            shares = Shares {
                up: mean_share(interval.limits, highest - interval.entry),
                down: mean_share(interval.limits, highest - interval.exit),
            };
            let top = self.ramps(interval, shares);
            let change = highest - top;
            if change.abs() <= PEAK_SETTLED * highest {
                break;
            }
            // The falls shrink evenly: after two of them the end of the row is known (Aitken).
            let ratio = change / fall;
            let sum =
                if (0.0..0.5).contains(&ratio) { change * ratio / (1.0 - ratio) } else { 0.0 };
            (highest, fall) = if sum > 0.0 { (top - sum, 0.0) } else { (top, change) };
        }
        for i in interval.steps.clone() {
            let run = self.step_run(shares, i);
            let duration_s = run.time_s(self.peak[i]);
            each(Timed { duration_s, exit_speed: run.exit, peak_speed: self.peak[i] });
        }
        self.squared[interval.steps.end].sqrt()
    }

    /// Backward and forward pass with the given shares of the acceleration; gives the peak.
    fn ramps(&mut self, interval: &Interval, shares: Shares) -> f64 {
        let Range { start, end } = interval.steps;
        let Self { stretch, level, .. } = *self;
        let gain = |i: usize| 2.0 * stretch.acceleration[i] * stretch.length[i];
        self.squared[end] = interval.exit * interval.exit;
        for i in (start..end).rev() {
            let reach = self.squared[i + 1] + shares.down * gain(i);
            let before = if i > start { level[i - 1] } else { f64::INFINITY };
            let ceiling = level[i].min(before);
            self.squared[i] = stretch.speed_squared[i].min(reach).min(ceiling * ceiling);
        }
        self.squared[start] = self.squared[start].min(interval.entry * interval.entry);
        let mut highest = 0.0_f64;
        for (i, &level) in level.iter().enumerate().take(end).skip(start) {
            let reach = self.squared[i] + shares.up * gain(i);
            self.squared[i + 1] = self.squared[i + 1].min(reach);
            let run = self.step_run(shares, i);
            self.peak[i] = run.top().min(level.max(run.entry).max(run.exit));
            highest = highest.max(self.peak[i]);
        }
        highest
    }

    fn step_run(&self, shares: Shares, i: usize) -> StepRun {
        let a = self.stretch.acceleration[i];
        StepRun {
            length: self.stretch.length[i],
            entry: self.squared[i].sqrt(),
            exit: self.squared[i + 1].sqrt(),
            up: shares.up * a,
            down: shares.down * a,
        }
    }
}

/// Mean acceleration of the ramps up and down as shares of the highest.
#[derive(Clone, Copy)]
struct Shares {
    up: f64,
    down: f64,
}

/// Mean acceleration of a rounded ramp as share of the highest, in (0, 1].
fn mean_share(limits: PathLimits, change: f64) -> f64 {
    // No ramp at all must still divide.
    const LEAST: f64 = 1e-9;
    let change = change.max(LEAST);
    (change / (limits.acceleration * limits.ramp_s(change))).max(LEAST)
}

/// When a profile runs at its peak speed.
struct Crest {
    speed: f64,
    time_s: [f64; 2],
}

impl Crest {
    fn of(profile: &Profile) -> Self {
        Self { speed: profile.peak(), time_s: profile.crest_s() }
    }

    /// Highest speed between two marks of (time, speed).
    fn peak(&self, from: (f64, f64), to: (f64, f64)) -> f64 {
        let over = from.0 <= self.time_s[1] && to.0 >= self.time_s[0];
        if over { self.speed } else { from.1.max(to.1) }
    }
}
