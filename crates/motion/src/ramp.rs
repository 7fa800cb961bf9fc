//! Speeds over one stretch from rest to rest, limited by acceleration.
//!
//! A backward and a forward pass over the squares of the speeds at the nodes give the highest
//! speeds that every limit allows; between two nodes the speed rises, holds and falls.

use crate::corner::Corner;
use crate::step::Step;

/// The moves of one stretch in columns; node `i` lies before step `i`.
#[derive(Debug, Default)]
pub(crate) struct Stretch {
    pub length: Vec<f64>,
    pub speed: Vec<f64>,
    pub acceleration: Vec<f64>,
    pub jerk: Vec<f64>,
    /// Square of the speed at each node before the step of the same index.
    pub speed_squared: Vec<f64>,
    /// Limit of that square per mm of the leg that follows.
    pub per_leg: Vec<f64>,
    /// Length of the straight leg up to now.
    leg: f64,
    /// Speed at its start.
    pub entry: f64,
}

/// What one step comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Timed {
    pub duration_s: f64,
    pub exit_speed: f64,
    pub peak_speed: f64,
}

impl Stretch {
    /// Number of steps.
    pub fn len(&self) -> usize {
        self.length.len()
    }

    pub fn is_empty(&self) -> bool {
        self.length.is_empty()
    }

    /// Length of the straight leg up to now, mm.
    pub fn leg(&self) -> f64 {
        self.leg
    }

    pub fn clear(&mut self) {
        self.length.clear();
        self.speed.clear();
        self.acceleration.clear();
        self.jerk.clear();
        self.speed_squared.clear();
        self.per_leg.clear();
        self.leg = 0.0;
        self.entry = 0.0;
    }

    /// Adds a step after the corner that leads to it; an empty step takes [`Corner::FREE`].
    pub fn push(&mut self, step: &Step, corner: Corner) {
        let cap = if corner.per_leg.is_finite() {
            let by_leg = corner.per_leg * self.leg;
            self.leg = 0.0;
            corner.speed_squared.min(by_leg)
        } else {
            corner.speed_squared
        };
        self.leg += step.length;
        let before = self.speed.last().map_or(0.0, |s| s * s);
        self.speed_squared.push(cap.min(step.speed * step.speed).min(before));
        self.per_leg.push(corner.per_leg);
        self.length.push(step.length);
        self.speed.push(step.speed);
        self.acceleration.push(step.acceleration);
        self.jerk.push(step.jerk);
    }

    /// Applies the limit by the following leg to the first nodes.
    pub fn apply_legs(&mut self, steps: usize) {
        let mut leg = self.leg_after(steps);
        for i in (0..steps).rev() {
            leg += self.length[i];
            if self.per_leg[i].is_finite() {
                self.speed_squared[i] = self.speed_squared[i].min(self.per_leg[i] * leg);
                leg = 0.0;
            }
        }
    }

    /// Moves the steps from a node on into an empty stretch.
    pub fn split_off(&mut self, node: usize, into: &mut Self) {
        let move_over = |from: &mut Vec<f64>, to: &mut Vec<f64>| {
            to.extend_from_slice(&from[node..]);
            from.truncate(node);
        };
        move_over(&mut self.length, &mut into.length);
        move_over(&mut self.speed, &mut into.speed);
        move_over(&mut self.acceleration, &mut into.acceleration);
        move_over(&mut self.jerk, &mut into.jerk);
        move_over(&mut self.speed_squared, &mut into.speed_squared);
        move_over(&mut self.per_leg, &mut into.per_leg);
        into.leg = self.leg;
    }

    /// Plans the stretch to rest at its end and hands over what each step comes to.
    pub fn run(&mut self, each: impl FnMut(Timed)) {
        self.run_steps(self.length.len(), 0.0, each);
    }

    /// Plans the steps that nothing to come can slow down any more, hands them over and forgets
    /// them.
    pub fn run_settled(&mut self, each: impl FnMut(Timed)) {
        let last = self.settled().next();
        if let Some((node, speed_squared)) = last {
            let exit = self.run_steps(node, speed_squared, each);
            self.forget(node, exit);
        }
    }

    /// The slowest settled node in the later three quarters, and the square of its speed.
    pub fn slowest_settled(&self) -> Option<(usize, f64)> {
        let first = self.len() / 4;
        self.settled()
            .take_while(|(node, _)| *node >= first)
            .min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)))
    }

    /// Nodes whose limit could still be held if the machine had to stop at the end of what is
    /// known, from the last on, with the squares of their speeds.
    fn settled(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        let (mut next, mut leg, mut leg_ended) = (0.0_f64, 0.0_f64, false);
        (1..self.len()).rev().filter_map(move |i| {
            leg += self.length[i];
            let corner = self.per_leg[i].is_finite();
            let by_leg = if corner { self.per_leg[i] * leg } else { f64::INFINITY };
            let cap = self.speed_squared[i].min(by_leg);
            let reach = next + 2.0 * self.acceleration[i] * self.length[i];
            let settled = cap <= reach && leg_ended;
            next = cap.min(reach);
            if corner {
                (leg, leg_ended) = (0.0, true);
            }
            settled.then_some((i, cap))
        })
    }

    fn forget(&mut self, steps: usize, entry: f64) {
        let columns = [
            &mut self.length,
            &mut self.speed,
            &mut self.acceleration,
            &mut self.jerk,
            &mut self.speed_squared,
            &mut self.per_leg,
        ];
        for column in columns {
            column.drain(..steps);
        }
        self.entry = entry;
    }

    /// Plans the first steps to at most an exit speed; gives the exit speed.
    fn run_steps(&mut self, steps: usize, exit_squared: f64, mut each: impl FnMut(Timed)) -> f64 {
        self.look_back(steps, exit_squared);
        let (mut entry_squared, mut entry) = (self.entry * self.entry, self.entry);
        for i in 0..steps {
            let (length, acceleration) = (self.length[i], self.acceleration[i]);
            let wanted = if i + 1 == steps { exit_squared } else { self.speed_squared[i + 1] };
            let exit_squared = wanted.min(entry_squared + 2.0 * acceleration * length);
            let exit = exit_squared.sqrt();
            let span = Span { length, speed: self.speed[i], acceleration };
            each(span.timed((entry, entry_squared), (exit, exit_squared)));
            (entry, entry_squared) = (exit, exit_squared);
        }
        entry
    }

    /// Lowers each node's speed so that the first steps can still come to an exit speed.
    fn look_back(&mut self, steps: usize, exit_squared: f64) {
        let mut next = exit_squared;
        let mut leg = self.leg_after(steps);
        for i in (0..steps).rev() {
            let length = self.length[i];
            leg += length;
            let reach = next + 2.0 * self.acceleration[i] * length;
            let mut here = self.speed_squared[i].min(reach);
            if self.per_leg[i].is_finite() {
                here = here.min(self.per_leg[i] * leg);
                leg = 0.0;
            }
            self.speed_squared[i] = here;
            next = here;
        }
    }

    /// Length from a node to the next corner or the end of what is known; 0 at a corner.
    fn leg_after(&self, node: usize) -> f64 {
        let mut leg = 0.0;
        for i in node..self.length.len() {
            if self.per_leg[i].is_finite() {
                break;
            }
            leg += self.length[i];
        }
        leg
    }
}

/// A step with a speed at either end.
#[derive(Clone, Copy, Debug)]
struct Span {
    length: f64,
    speed: f64,
    acceleration: f64,
}

impl Span {
    fn timed(self, (v0, w0): (f64, f64), (v1, w1): (f64, f64)) -> Timed {
        if self.length <= 0.0 {
            return Timed { duration_s: 0.0, exit_speed: v1, peak_speed: v1 };
        }
        let a = self.acceleration;
        let peak_squared = 0.5 * (w0 + w1) + a * self.length;
        let speed_squared = self.speed * self.speed;
        let (peak, cruise) = if peak_squared > speed_squared {
            (self.speed, (peak_squared - speed_squared) / (a * self.speed))
        } else {
            (peak_squared.sqrt(), 0.0)
        };
        let duration_s = (2.0 * peak - v0 - v1).max(0.0) / a + cruise;
        Timed { duration_s, exit_speed: v1, peak_speed: peak }
    }
}
