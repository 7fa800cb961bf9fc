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
}

/// What one step comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Timed {
    pub duration_s: f64,
    pub exit_speed: f64,
    pub peak_speed: f64,
}

impl Stretch {
    pub fn is_empty(&self) -> bool {
        self.length.is_empty()
    }

    pub fn clear(&mut self) {
        self.length.clear();
        self.speed.clear();
        self.acceleration.clear();
        self.jerk.clear();
        self.speed_squared.clear();
        self.per_leg.clear();
        self.leg = 0.0;
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

    /// Applies the limit by the following leg to all nodes, and lets nothing move between.
    pub fn apply_legs(&mut self) {
        let mut leg = 0.0;
        for i in (0..self.length.len()).rev() {
            leg += self.length[i];
            if self.per_leg[i].is_finite() {
                self.speed_squared[i] = self.speed_squared[i].min(self.per_leg[i] * leg);
                leg = 0.0;
            }
        }
    }

    /// Lowers each node's speed so that the stretch can still come to rest at its end.
    fn look_back(&mut self) {
        let (mut next, mut leg) = (0.0_f64, 0.0_f64);
        for i in (0..self.length.len()).rev() {
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

    /// Plans the stretch and hands over what each step comes to.
    pub fn run(&mut self, mut each: impl FnMut(Timed)) {
        self.look_back();
        let (mut entry_squared, mut entry) = (0.0_f64, 0.0_f64);
        for i in 0..self.length.len() {
            let (length, acceleration) = (self.length[i], self.acceleration[i]);
            let wanted = self.speed_squared.get(i + 1).copied().unwrap_or(0.0);
            let gain = 2.0 * acceleration * length;
            let exit_squared = wanted.min(entry_squared + gain);
            let exit = exit_squared.sqrt();
            let span = Span { length, speed: self.speed[i], acceleration };
            let timed = span.timed((entry, entry_squared), (exit, exit_squared));
            each(timed);
            (entry, entry_squared) = (exit, exit_squared);
        }
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
