//! The parts of a stretch between two nodes that are passed without acceleration.

use super::limits_of;
use crate::ramp::Stretch;
use crate::scurve::PathLimits;
use std::ops::Range;

/// Steps between two nodes that are passed without acceleration.
#[derive(Clone, Debug)]
pub(super) struct Interval {
    pub steps: Range<usize>,
    pub length: f64,
    /// Least of the steps; the speed is the highest that any step reaches.
    pub limits: PathLimits,
    /// Speed at its start.
    pub entry: f64,
    /// Speed at its end.
    pub exit: f64,
}

/// One step between two speeds with its own accelerations up and down.
#[derive(Clone, Copy, Debug)]
pub(super) struct StepRun {
    pub length: f64,
    pub entry: f64,
    pub exit: f64,
    pub up: f64,
    pub down: f64,
}

impl StepRun {
    /// Highest speed that the length allows.
    pub fn top(&self) -> f64 {
        let Self { length, entry, exit, up, down } = *self;
        let squared =
            (2.0 * up * down * length + down * entry * entry + up * exit * exit) / (up + down);
        squared.sqrt().max(entry).max(exit)
    }

    /// Time at a peak speed that the length allows, s.
    pub fn time_s(&self, peak: f64) -> f64 {
        if self.length <= 0.0 || peak <= 0.0 {
            return 0.0;
        }
        let ramp = |end: f64, a: f64| {
            let change = (peak - end).max(0.0);
            // Time, and length lost against running at the peak speed.
            (change / a, 0.5 * change * change / a)
        };
        let (up, down) = (ramp(self.entry, self.up), ramp(self.exit, self.down));
        let whole = (self.length + up.1 + down.1) / peak;
        whole.max(up.0 + down.0)
    }
}

impl Interval {
    pub fn of(stretch: &Stretch, squared: &[f64], steps: Range<usize>) -> Self {
        let mut limits = PathLimits { speed: 0.0, acceleration: f64::MAX, jerk: f64::MAX };
        let mut length = 0.0;
        for i in steps.clone() {
            if stretch.length[i] > 0.0 {
                let of = limits_of(stretch, i);
                length += stretch.length[i];
                limits.acceleration = limits.acceleration.min(of.acceleration);
                limits.jerk = limits.jerk.min(of.jerk);
                limits.speed = limits.speed.max(of.speed);
            }
        }
        let entry = squared[steps.start].sqrt();
        let exit = squared[steps.end].sqrt();
        Self { steps, length, limits, entry, exit }
    }

    /// Highest speed up to `wanted` at one end of the interval for a speed at the other.
    pub fn highest_from(&self, other: f64, wanted: f64) -> f64 {
        if wanted <= other { wanted } else { self.limits.highest_over(self.length, other, wanted) }
    }
}
