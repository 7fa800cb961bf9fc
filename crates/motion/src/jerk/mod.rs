//! Speeds over one stretch from rest to rest, limited by acceleration and jerk.
//!
//! 1. The plan without a jerk limit gives the highest speeds that the caps allow.
//! 2. The nodes where the acceleration must pass through zero are chosen: valleys of that plan and
//!    ends of shelves that last. Dips that the jerk would iron out are left out ([`turns`]).
//! 3. The speeds at these nodes are lowered until a ramp with rounded ends fits between each two.
//! 4. Between two of them the fastest jerk-limited run is taken, exact if it keeps below all caps
//!    on its way ([`solver`]); else ramps under the caps with the mean acceleration of a rounded
//!    ramp of the same height.
//!
//! Splitting a straight move changes nothing, for no step looks at the moves a run is made of.

mod interval;
mod solver;
mod turns;

use crate::ramp::{Stretch, Timed};
use crate::scurve::PathLimits;
use interval::Interval;
use solver::Course;
use turns::Turns;

/// Stands for "no jerk limit" along a direction while other axes have one, as share of the
/// acceleration per second: full acceleration within 10 µs.
const NO_JERK_LIMIT: f64 = 1e5;

/// Relative difference of two speeds that counts as none.
const SAME_SPEED: f64 = 1e-9;

/// Scratch of the passes, kept between stretches.
#[derive(Debug, Default)]
pub(crate) struct JerkPass {
    /// Square of the speed at each node, one more than steps.
    squared: Vec<f64>,
    /// Highest speed within each step.
    peak: Vec<f64>,
    turns: Turns,
    intervals: Vec<Interval>,
    marks: Vec<(f64, f64)>,
}

impl JerkPass {
    /// Plans a stretch whose legs are applied, down to at most an exit speed, and hands over what
    /// each step comes to; gives the speed at its end.
    pub fn run(&mut self, stretch: &Stretch, exit: f64, mut each: impl FnMut(Timed)) -> f64 {
        self.without_jerk(stretch, exit);
        self.turns.find(stretch, &self.squared, &self.peak);
        self.cut(stretch);
        self.fit_speeds();
        let mut course = Course {
            stretch,
            level: self.turns.level(),
            squared: &mut self.squared,
            peak: &mut self.peak,
            marks: &mut self.marks,
        };
        let mut reached = stretch.entry;
        for interval in &mut self.intervals {
            interval.entry = interval.entry.min(reached);
            reached = course.run(interval, &mut each);
        }
        reached
    }

    /// The plan that only acceleration limits.
    fn without_jerk(&mut self, stretch: &Stretch, exit: f64) {
        let count = stretch.length.len();
        self.squared.clear();
        self.squared.resize(count + 1, exit * exit);
        self.peak.clear();
        let mut next = exit * exit;
        for i in (0..count).rev() {
            let reach = next + 2.0 * stretch.acceleration[i] * stretch.length[i];
            next = stretch.speed_squared[i].min(reach);
            self.squared[i] = next;
        }
        let mut entry = stretch.entry * stretch.entry;
        self.squared[0] = entry;
        for i in 0..count {
            let gain = 2.0 * stretch.acceleration[i] * stretch.length[i];
            let exit = self.squared[i + 1].min(entry + gain);
            self.squared[i + 1] = exit;
            let top = 0.5 * (entry + exit + gain);
            let speed = stretch.speed[i];
            let flat = stretch.length[i] <= 0.0;
            let peak = if flat { entry } else { top.max(entry.max(exit)).min(speed * speed) };
            self.peak.push(peak.sqrt());
            entry = exit;
        }
    }

    /// Cuts the stretch into intervals at the nodes that pass without acceleration.
    fn cut(&mut self, stretch: &Stretch) {
        self.intervals.clear();
        let mut first = 0;
        for &node in self.turns.nodes() {
            if node > first {
                self.intervals.push(Interval::of(stretch, &self.squared, first..node));
                first = node;
            }
        }
    }

    /// Lowers the speeds at the ends of the intervals until a rounded ramp fits into each.
    fn fit_speeds(&mut self) {
        let mut next = self.intervals.last().map_or(0.0, |last| last.exit);
        for interval in self.intervals.iter_mut().rev() {
            interval.exit = interval.exit.min(next);
            interval.entry = interval.highest_from(interval.exit, interval.entry);
            next = interval.entry;
        }
        let mut before = self.intervals.first().map_or(0.0, |first| first.entry);
        for interval in &mut self.intervals {
            interval.entry = interval.entry.min(before);
            interval.exit = interval.highest_from(interval.entry, interval.exit);
            before = interval.exit;
        }
    }
}

fn limits_of(stretch: &Stretch, i: usize) -> PathLimits {
    let acceleration = stretch.acceleration[i];
    PathLimits {
        speed: stretch.speed[i],
        acceleration,
        jerk: stretch.jerk[i].min(NO_JERK_LIMIT * acceleration),
    }
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME_SPEED * a.max(b)
}
