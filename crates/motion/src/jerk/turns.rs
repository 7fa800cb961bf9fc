//! Where the acceleration passes through zero: valleys of the plan without a jerk limit, and the
//! ends of shelves on the way between a valley and a peak.

use super::interval::StepRun;
use super::{SAME_SPEED, limits_of, same};
use crate::ramp::Stretch;
use crate::scurve::PathLimits;
use std::ops::Range;

/// Most steps of a bump that may be levelled, which bounds the work; a longer one is followed.
const LONGEST_BUMP: usize = 4096;

/// A valley or a peak of the speed.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Turn {
    speed: f64,
    /// First and last node of a valley; first and last step of a peak.
    at: [usize; 2],
}

/// Finds the nodes at which the acceleration passes through zero.
#[derive(Debug, Default)]
pub(super) struct Turns {
    /// Valley, peak, valley, … from the first node to the last.
    turns: Vec<Turn>,
    nodes: Vec<usize>,
    level: Vec<f64>,
}

impl Turns {
    /// The nodes found, rising; the last node of the stretch is the last.
    pub fn nodes(&self) -> &[usize] {
        &self.nodes
    }

    /// Speed limit of each step with small bumps levelled.
    pub fn level(&self) -> &[f64] {
        &self.level
    }

    pub fn find(&mut self, stretch: &Stretch, squared: &[f64], peak: &[f64]) {
        let plan = Plan { stretch, squared, peak };
        self.collect(plan);
        self.leave_out_dips(&plan);
        self.nodes.clear();
        self.level.clear();
        self.level.extend_from_slice(&stretch.speed);
        let Self { turns, nodes, level } = self;
        let mut shelves = Shelves { stretch, squared, nodes, level };
        for hill in turns.windows(3).step_by(2) {
            shelves.nodes.extend(hill[0].at);
            shelves.find(&hill[0], &hill[1], &hill[2]);
        }
        self.nodes.extend(self.turns.last().map(|last| last.at[0]));
        self.nodes.push(stretch.length.len());
        self.nodes.sort_unstable();
        self.nodes.dedup();
    }

    fn collect(&mut self, plan: Plan<'_>) {
        let Plan { stretch, squared, peak } = plan;
        self.turns.clear();
        let mut turn = Turn { speed: stretch.entry, at: [0; 2] };
        let mut rising = false;
        for i in 0..stretch.length.len() {
            if stretch.length[i] <= 0.0 {
                continue;
            }
            let (high, exit) = (peak[i], squared[i + 1].sqrt());
            let level = same(high, turn.speed);
            if rising && level {
                turn.at[1] = i;
            } else if high > turn.speed && !level {
                if !rising {
                    self.turns.push(turn);
                }
                (turn, rising) = (Turn { speed: high, at: [i; 2] }, true);
            }
            if exit < turn.speed && !same(exit, turn.speed) {
                if rising {
                    self.turns.push(turn);
                }
                (turn, rising) = (Turn { speed: exit, at: [i + 1; 2] }, false);
            } else if !rising {
                turn.at[1] = i + 1;
            }
        }
        self.turns.push(turn);
        if rising {
            let (end, speed) = (stretch.length.len(), squared[stretch.length.len()].sqrt());
            self.turns.push(Turn { speed, at: [end; 2] });
        }
    }

    /// Leaves out small dips and bumps inside larger ramps: where the stay above the dip gains less
    /// than two rounded ends more cost. The pairing is that of rainflow counting (ASTM E1049).
    fn leave_out_dips(&mut self, plan: &Plan<'_>) {
        let mut kept = 0;
        for next in 0..self.turns.len() {
            self.turns[kept] = self.turns[next];
            kept += 1;
            while kept >= 4 && is_dip(&self.turns[kept - 4..kept], plan) {
                self.turns[kept - 3] = self.turns[kept - 1];
                kept -= 2;
            }
        }
        self.turns.truncate(kept);
    }
}

/// Whether the middle two of four turns are not worth following.
fn is_dip(four: &[Turn], plan: &Plan<'_>) -> bool {
    let [a, b, c, d] = [four[0], four[1], four[2], four[3]];
    let (before, depth, after) =
        ((b.speed - a.speed).abs(), (c.speed - b.speed).abs(), (d.speed - c.speed).abs());
    let slack = SAME_SPEED * b.speed.max(c.speed);
    if depth > before + slack || depth > after + slack {
        return false;
    }
    // The bump lies before the valley of a rise and after the valley of a fall.
    let rise = b.speed > a.speed;
    let (bump, valley, outer) = if rise { (b, c, after) } else { (c, b, before) };
    // Time lost by levelling the bump against time lost by rounding twice: the first is what the
    // bump gains over the valley's speed, the second the rounding as share of the speed to come.
    let limits = limits_of(plan.stretch, bump.at[0]);
    let rounding = rounding_s(limits, before.min(after)) * outer / a.speed.max(d.speed);
    let worth = rounding * valley.speed;
    if rise {
        plan.gains_less(worth, c.speed, (0..c.at[0]).rev())
    } else {
        plan.gains_less(worth, b.speed, b.at[1]..plan.peak.len())
    }
}

/// A stretch and its plan without a jerk limit.
#[derive(Clone, Copy)]
struct Plan<'a> {
    stretch: &'a Stretch,
    squared: &'a [f64],
    peak: &'a [f64],
}

impl Plan<'_> {
    /// Whether the steps get ahead of a run at a level by less than a length, as long as they are
    /// above it.
    fn gains_less(&self, than: f64, level: f64, steps: impl Iterator<Item = usize>) -> bool {
        let mut gained = 0.0;
        for i in steps.take(LONGEST_BUMP) {
            let a = self.stretch.acceleration[i];
            let (entry, exit) = (self.squared[i].sqrt(), self.squared[i + 1].sqrt());
            let below = |speed: f64| (level * level - speed * speed).max(0.0) / (2.0 * a);
            let length = (self.stretch.length[i] - below(entry) - below(exit)).max(0.0);
            let (entry_above, exit_above) = (entry.max(level), exit.max(level));
            let run = StepRun { length, entry: entry_above, exit: exit_above, up: a, down: a };
            gained += length - level * run.time_s(self.peak[i]);
            if gained >= than {
                return false;
            }
            if entry.min(exit) < level * (1.0 - SAME_SPEED) {
                return true;
            }
        }
        false
    }
}

/// Time by which rounding its ends lengthens a ramp, s.
fn rounding_s(limits: PathLimits, change: f64) -> f64 {
    limits.ramp_s(change) - change / limits.acceleration
}

/// Levels the way between valley and peak, and finds the levels held for a while.
struct Shelves<'a> {
    stretch: &'a Stretch,
    squared: &'a [f64],
    nodes: &'a mut Vec<usize>,
    level: &'a mut [f64],
}

impl Shelves<'_> {
    /// Sets the level of each step of a hill: no step is faster than what follows on the way up,
    /// or than what came before on the way down. Adds the far end of each shelf on the way up, and
    /// the near end on the way down.
    fn find(&mut self, from: &Turn, top: &Turn, to: &Turn) {
        let (up, down) = (from.at[1]..top.at[0], top.at[1] + 1..to.at[0]);
        let mut lowest = f64::INFINITY;
        for i in up.clone().rev() {
            lowest = lowest.min(self.squared[i + 1]);
            self.level[i] = self.level[i].min(lowest.sqrt());
        }
        lowest = f64::INFINITY;
        for i in down.clone() {
            lowest = lowest.min(self.squared[i]);
            self.level[i] = self.level[i].min(lowest.sqrt());
        }
        let (mut start, mut low) = (up.start, from.speed);
        while start < up.end {
            let end = start + self.alike(start, start + 1..up.end);
            if self.lasts(start..end, low) {
                self.nodes.push(end);
                low = self.level[start];
            }
            start = end;
        }
        let mut end = down.end;
        low = to.speed;
        while end > down.start {
            let start = end - self.alike(end - 1, (down.start..end - 1).rev());
            if self.lasts(start..end, low) {
                self.nodes.push(start);
                low = self.level[end - 1];
            }
            end = start;
        }
    }

    /// Number of steps that share the level of one, itself included.
    fn alike(&self, step: usize, others: impl Iterator<Item = usize>) -> usize {
        let level = self.level[step];
        let on = |i: &usize| same(self.level[*i], level) || self.stretch.length[*i] <= 0.0;
        1 + others.take_while(on).count()
    }

    /// Whether the level of some steps is held long enough for a ramp from below to be rounded.
    fn lasts(&self, steps: Range<usize>, low: f64) -> bool {
        let level = self.level[steps.start];
        if level <= low * (1.0 + SAME_SPEED) {
            return false;
        }
        let rounding_s = rounding_s(limits_of(self.stretch, steps.start), level - low);
        steps.map(|i| self.held_s(i, level)).sum::<f64>() >= 0.5 * rounding_s
    }

    /// How long a step holds its level, s.
    fn held_s(&self, i: usize, level: f64) -> f64 {
        let squared = level * level;
        let below = |node: usize| (squared - self.squared[node]).max(0.0);
        let in_ramps = 0.5 * (below(i) + below(i + 1)) / self.stretch.acceleration[i];
        (self.stretch.length[i] - in_ramps).max(0.0) / level
    }
}
