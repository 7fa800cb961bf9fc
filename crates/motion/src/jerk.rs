//! Speeds over one stretch from rest to rest, limited by acceleration and jerk.
//!
//! A backward and a forward pass carry speed and acceleration over the nodes: speed grows as fast
//! as the jerk allows until a limit holds it. Between two nodes that a limit holds, the fastest
//! jerk-limited run is taken whole, whatever moves it is made of, so that splitting a move changes
//! nothing. The limits of such a run are the least of its moves. Where a row of close corners
//! holds the speed, the acceleration goes on through them at its mean.

use crate::ramp::{Stretch, Timed};
use crate::scurve::{Hill, PathLimits, Profile, Walk};

/// Stands for "no jerk limit" along a direction while other axes have one, as share of the
/// acceleration per second: full acceleration within 10 µs.
const NO_JERK_LIMIT: f64 = 1e5;

/// Relative difference of two speed limits that counts as none.
const SAME_SPEED: f64 = 1e-9;

/// Speed and acceleration carried over a node.
#[derive(Clone, Copy, Debug, Default)]
struct Node {
    speed: f64,
    /// Acceleration on the way up to this node, coming from the start; not negative.
    rising: f64,
    /// Deceleration on the way down from this node, going to the end; not negative.
    falling: f64,
    /// Whether a corner or a change of the speed limit holds the speed here.
    held: bool,
}

impl Node {
    /// Acceleration with which the run goes through the node; none at a peak or a valley.
    fn acceleration(&self) -> f64 {
        match (self.rising > 0.0, self.falling > 0.0) {
            (true, false) => self.rising,
            (false, true) => -self.falling,
            _ => 0.0,
        }
    }
}

/// Scratch of the passes, kept between stretches.
#[derive(Debug, Default)]
pub(crate) struct JerkPass {
    nodes: Vec<Node>,
}

impl JerkPass {
    /// Plans a stretch and hands over what each step comes to.
    pub fn run(&mut self, stretch: &Stretch, mut each: impl FnMut(Timed)) {
        let count = stretch.length.len();
        self.nodes.clear();
        self.nodes.resize(count + 1, Node::default());
        self.look_back(stretch);
        self.look_forward(stretch);
        let mut first = 0;
        for node in 1..=count {
            if node == count || self.nodes[node].held {
                self.run_hill(stretch, first..node, &mut each);
                first = node;
            }
        }
    }

    fn look_back(&mut self, stretch: &Stretch) {
        let (mut next, mut leg) = (Node::default(), 0.0);
        for i in (0..stretch.length.len()).rev() {
            leg += stretch.length[i];
            let mut cap_squared = stretch.speed_squared[i];
            if stretch.per_leg[i].is_finite() {
                cap_squared = cap_squared.min(stretch.per_leg[i] * leg);
                leg = 0.0;
            }
            let cap = cap_squared.sqrt();
            let limits = limits_of(stretch, i);
            let climb = Climb { speed: next.speed, acceleration: next.falling, limits };
            let (speed, falling, clipped) = climb.up_to(cap, stretch.length[i]);
            let held = clipped && !is_level(stretch, i, cap);
            next = Node { speed, falling, held, rising: 0.0 };
            self.nodes[i] = next;
        }
    }

    fn look_forward(&mut self, stretch: &Stretch) {
        let (mut speed, mut rising) = (0.0, 0.0);
        self.nodes[0] = Node::default();
        for i in 0..stretch.length.len() {
            let node = &mut self.nodes[i + 1];
            let limits = limits_of(stretch, i);
            let climb = Climb { speed, acceleration: rising, limits };
            let (reached, acceleration, clipped) = climb.up_to(node.speed, stretch.length[i]);
            node.held &= clipped;
            if !clipped {
                node.falling = 0.0;
            }
            node.speed = reached;
            node.rising = acceleration;
            (speed, rising) = (reached, acceleration);
        }
    }

    fn run_hill(
        &self,
        stretch: &Stretch,
        steps: std::ops::Range<usize>,
        each: &mut impl FnMut(Timed),
    ) {
        let (entry, exit) = (&self.nodes[steps.start], &self.nodes[steps.end]);
        let mut limits = PathLimits { speed: 0.0, acceleration: f64::MAX, jerk: f64::MAX };
        let (mut length, mut fastest) = (0.0, 0.0_f64);
        for i in steps.clone() {
            let of = limits_of(stretch, i);
            if stretch.length[i] > 0.0 {
                length += stretch.length[i];
                limits.acceleration = limits.acceleration.min(of.acceleration);
                limits.jerk = limits.jerk.min(of.jerk);
                let (v0, v1) = (self.nodes[i].speed, self.nodes[i + 1].speed);
                let top = 0.5 * (v0 * v0 + v1 * v1) + of.acceleration * stretch.length[i];
                limits.speed = limits.speed.max(top.sqrt().min(of.speed));
                fastest = fastest.max(of.speed);
            }
        }
        let lengths = &stretch.length[steps];
        match Profiled::between(entry, exit, Course { length, limits, fastest }) {
            Some(run) => run.hand_over(lengths, each),
            None => {
                let squared = |node: &Node| node.speed * node.speed;
                let (entry_squared, exit_squared) = (squared(entry), squared(exit));
                Even { entry_squared, exit_squared, length }.hand_over(lengths, each);
            }
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

/// Whether the speed at a node is only the same speed limit on both sides of it.
fn is_level(stretch: &Stretch, node: usize, cap: f64) -> bool {
    let Some(before) = node.checked_sub(1) else { return false };
    let (a, b) = (stretch.speed[before], stretch.speed[node]);
    let same = |x: f64, y: f64| (x - y).abs() <= SAME_SPEED * y;
    same(a, b) && same(cap, a.min(b))
}

/// Speeding up over one step, in either sense of time.
struct Climb {
    speed: f64,
    acceleration: f64,
    limits: PathLimits,
}

impl Climb {
    /// Speed and acceleration at the end, and whether `cap` holds it.
    fn up_to(&self, cap: f64, length: f64) -> (f64, f64, bool) {
        if cap <= self.speed {
            return (cap, 0.0, true);
        }
        if length <= 0.0 {
            return (self.speed, self.acceleration, false);
        }
        let mean = (cap * cap - self.speed * self.speed) / (2.0 * length);
        if mean <= self.limits.acceleration {
            let time = length / cap;
            let within = self.acceleration.min(self.limits.acceleration);
            // A lower bound of what is reached saves solving the cubic.
            let grown = within + self.limits.jerk * time;
            let sure = grown <= self.limits.acceleration
                && self.speed + time * 0.5 * (within + grown) >= cap;
            if sure || self.limits.reach(self.speed, self.acceleration, length).0 >= cap {
                return (cap, self.through(cap, length, mean), true);
            }
        }
        let (speed, acceleration) = self.limits.reach(self.speed, self.acceleration, length);
        (speed, acceleration, false)
    }

    /// Acceleration left at the end of a step whose end is held: none where the step has room to
    /// come up and level out, else the mean.
    fn through(&self, cap: f64, length: f64, mean: f64) -> f64 {
        let time = 2.0 * length / (self.speed + cap);
        if self.limits.ramp_s(cap - self.speed) <= time { 0.0 } else { mean }
    }
}

/// A run that is part of a profile without acceleration at its ends.
struct Profiled {
    profile: Profile,
    /// Length and time of the profile before the run.
    before: Extension,
    /// Time of the profile at the end of the run, s.
    end_s: f64,
    /// Factor on all times of the profile.
    stretch: f64,
    exit: f64,
    fastest: f64,
}

/// Bounds of a run between two held nodes.
#[derive(Clone, Copy)]
struct Course {
    length: f64,
    limits: PathLimits,
    /// Highest speed limit of its steps.
    fastest: f64,
}

/// A run with constant acceleration, between the squares of two speeds.
struct Even {
    entry_squared: f64,
    exit_squared: f64,
    length: f64,
}

impl Even {
    fn hand_over(&self, lengths: &[f64], each: &mut impl FnMut(Timed)) {
        let Self { entry_squared, exit_squared, length } = *self;
        let per_mm = (exit_squared - entry_squared) / length.max(f64::MIN_POSITIVE);
        let (mut at, mut entry) = (0.0, entry_squared.sqrt());
        for (i, step) in lengths.iter().enumerate() {
            at += step;
            let last = i + 1 == lengths.len();
            let squared = if last { exit_squared } else { entry_squared + per_mm * at };
            let exit_speed = squared.max(0.0).sqrt();
            let duration_s = if *step > 0.0 { 2.0 * step / (entry + exit_speed) } else { 0.0 };
            each(Timed { duration_s, exit_speed, peak_speed: entry.max(exit_speed) });
            entry = exit_speed;
        }
    }
}

impl Profiled {
    /// A node passed with acceleration is an end without acceleration a little further out.
    /// `None` where the course is too short for the change of speed without acceleration at its
    /// ends.
    fn between(entry: &Node, exit: &Node, course: Course) -> Option<Self> {
        let Course { length, limits, fastest } = course;
        let (a0, a1) = (entry.acceleration(), exit.acceleration());
        if length <= 0.0 || (a0 < 0.0 && a1 > 0.0) {
            return None;
        }
        let before = Extension::new(entry.speed, a0, limits.jerk);
        let after = Extension::new(exit.speed, -a1, limits.jerk);
        let highest_end = before.speed.max(after.speed);
        let through = a0 < 0.0 || a1 > 0.0;
        let speed = if through { highest_end } else { limits.speed.max(highest_end) };
        let hill = Hill {
            entry: before.speed,
            exit: after.speed,
            length: length + before.length + after.length,
            limits: PathLimits { speed, ..limits },
        };
        let profile = hill.profile()?;
        let end_s = profile.duration_s() - after.time_s;
        let run_s = end_s - before.time_s;
        if run_s <= 0.0 {
            return None;
        }
        let even_s = 2.0 * length / (entry.speed + exit.speed);
        let stretch = run_s.min(even_s).max(length / fastest) / run_s;
        Some(Self { profile, before, end_s, stretch, exit: exit.speed, fastest })
    }

    fn hand_over(&self, lengths: &[f64], each: &mut impl FnMut(Timed)) {
        let crest = self.profile.crest_s();
        let mut walk = Walk::along(&self.profile);
        let (mut at, mut time_s, mut entry) = (self.before.length, self.before.time_s, 0.0_f64);
        for (i, length) in lengths.iter().enumerate() {
            at += length;
            let last = i + 1 == lengths.len();
            let (end_s, exit_speed) = if last { (self.end_s, self.exit) } else { walk.at(at) };
            let over_crest = time_s <= crest[1] && end_s >= crest[0];
            let peak = if over_crest { self.profile.peak() } else { entry.max(exit_speed) };
            each(Timed {
                duration_s: (end_s - time_s).max(0.0) * self.stretch,
                exit_speed,
                peak_speed: peak.min(self.fastest),
            });
            (time_s, entry) = (end_s, exit_speed);
        }
    }
}

/// What lies between a node passed with acceleration and the end without acceleration.
#[derive(Clone, Copy)]
struct Extension {
    speed: f64,
    length: f64,
    time_s: f64,
}

impl Extension {
    /// `acceleration` positive where speed grows away from the virtual end.
    fn new(speed: f64, acceleration: f64, jerk: f64) -> Self {
        let time_s = acceleration.abs() / jerk;
        let change = 0.5 * acceleration * time_s;
        let end = speed - change;
        Self { speed: end.max(0.0), length: time_s * (end + change / 3.0), time_s }
    }
}
