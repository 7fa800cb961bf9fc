//! How far the time of a program may be off, from how well the machine's limits are known.

use crate::limits::Limits;
use crate::options::PlanOptions;
use crate::planner::plan;
use kw_base::Band;
use kw_nc::Toolpath;

/// How far each stated limit may be off, as a factor ≥ 1 up or down. Common practice, no source:
/// speeds stand in the control's settings, accelerations are seldom told, corner tolerance and
/// jerk are hardly ever known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Of the axes' speeds.
    pub speed: f64,
    /// Of the accelerations.
    pub acceleration: f64,
    /// Of the jerks.
    pub jerk: f64,
    /// Of the corner tolerance.
    pub corner_tolerance: f64,
    /// Of changes, hand loads, head selections and spindle ramps.
    pub pauses: f64,
}

impl Default for Spread {
    fn default() -> Self {
        Self { speed: 1.05, acceleration: 1.3, jerk: 2.0, corner_tolerance: 2.0, pauses: 1.3 }
    }
}

/// The time of a program with its band, s: three plans, with all limits at their slow end, as stated,
/// and at their fast end. Dwells, stated times of codes and feeds are taken as exact.
pub fn band(toolpath: &Toolpath, limits: &Limits, options: &PlanOptions, spread: &Spread) -> Band {
    let likely_s = plan(toolpath, limits, options).total_s;
    let fast = plan(toolpath, &spread.applied(limits, 1.0), options).total_s;
    let slow = plan(toolpath, &spread.applied(limits, -1.0), options).total_s;
    Band { low: fast.min(likely_s), likely: likely_s, high: slow.max(likely_s) }
}

impl Spread {
    /// The limits faster (`sense` 1) or slower (−1) by the spread.
    fn applied(&self, limits: &Limits, sense: f64) -> Limits {
        let up = |factor: f64| if sense > 0.0 { factor.max(1.0) } else { 1.0 / factor.max(1.0) };
        let mut limits = limits.clone();
        for axis in limits.axis.iter_mut().chain(&mut limits.rotary) {
            axis.speed *= up(self.speed);
            axis.acceleration *= up(self.acceleration);
            axis.jerk *= up(self.jerk);
        }
        limits.corner_tolerance_mm *= up(self.corner_tolerance);
        limits.change_s = limits.change_s.map(|s| s / up(self.pauses));
        limits.hand_load_s /= up(self.pauses);
        for head in &mut limits.heads {
            head.ramp_s /= up(self.pauses);
            head.select_s /= up(self.pauses);
        }
        limits
    }
}
