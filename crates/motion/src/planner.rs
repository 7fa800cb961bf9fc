//! From a toolpath to a time plan: cuts the program into stretches from rest to rest, plans each,
//! and puts the pauses between.

use crate::corner::{self, Corner};
use crate::jerk::JerkPass;
use crate::limits::{AxisLimits, Limits};
use crate::options::PlanOptions;
use crate::pause::{Between, Pauses, stops_motion};
use crate::plan::TimePlan;
use crate::ramp::{Stretch, Timed};
use crate::scurve::PathLimits;
use crate::step::{Along, Ask, Reciprocal, Step, is_length};
use kw_geometry::Vec3;
use kw_nc::{Move, MoveKind, Toolpath};
use std::ops::Range;

/// Smallest and largest override; what lies outside counts as the nearer, not a number as the
/// smallest.
const OVERRIDES: [f64; 2] = [1e-3, 1e3];

/// Smallest feed taken as stated, mm/min or degrees/min; less would take longer than any run.
const LEAST_FEED: f64 = 1e-6;

/// Steps after which a stretch is planned as far as nothing to come can change it.
const SETTLE_AT: usize = 1 << 14;

/// The same where jerk is limited: longer, for the cut is a place chosen among these.
const SETTLE_JERK_AT: usize = 1 << 16;

/// Plans a whole program with look-ahead from its start to its end.
///
/// Every axis keeps within its own speed, acceleration and jerk along straight moves; on arcs the
/// worst direction of the arc counts, and speeding up along an arc and turning with it are limited
/// one by one. Corners run at the speed of [`crate::corner`]; their rounding is not taken off the
/// way. A move whose feed is not stated runs as fast as the axes can and is counted. Empty moves
/// take no time. Probe moves are taken as reaching their end and stop there.
///
/// Without a jerk limit the time is the least that these limits allow, to rounding. With one it is
/// exact for moves and runs of moves between corners that hold the speed one by one; where corners
/// in a row hold it, it lies within −1 % to +6 % of the least time found by a general optimiser
/// (`tests/reference/paths.py`). Time and memory are linear in the number of moves.
pub fn plan(toolpath: &Toolpath, limits: &Limits, options: &PlanOptions) -> TimePlan {
    let mut planner = Planner::new(toolpath, limits, options);
    let events = &toolpath.events;
    let mut event = 0;
    for index in 0..toolpath.len() {
        if events.get(event).is_some_and(|e| e.before_move as usize <= index) {
            let due = events[event..].iter().take_while(|e| e.before_move as usize <= index);
            let next = event + due.count();
            planner.events(event..next, Some(toolpath.state[index]));
            event = next;
        }
        planner.step(index);
    }
    planner.rest();
    if event < events.len() {
        planner.events(event..events.len(), None);
    }
    let Planner { pauses, now_s, plan, .. } = planner;
    TimePlan { pauses: pauses.into_found(), total_s: now_s, ..plan }
}

struct Planner<'a> {
    toolpath: &'a Toolpath,
    options: PlanOptions,
    limits: &'a Limits,
    reciprocal: Reciprocal,
    pauses: Pauses<'a>,
    stretch: Stretch,
    /// Empty; takes over what is not settled.
    spare: Stretch,
    /// Where the machine limits jerk.
    jerk: Option<JerkPass>,
    /// The last step that moves anything in this stretch.
    last: Option<Step>,
    /// Index of the state of the move before.
    state: Option<u32>,
    /// Number of steps at which the stretch is settled as far as possible.
    settle_at: usize,
    at_mm: Vec3,
    rotary_deg: f64,
    now_s: f64,
    plan: TimePlan,
}

impl<'a> Planner<'a> {
    fn new(toolpath: &'a Toolpath, limits: &'a Limits, options: &'a PlanOptions) -> Self {
        let moves = toolpath.len();
        let plan = TimePlan {
            end_s: Vec::with_capacity(moves),
            exit_speed: Vec::with_capacity(moves),
            peak_speed: Vec::with_capacity(moves),
            ..TimePlan::default()
        };
        Self {
            toolpath,
            options: PlanOptions {
                feed_override: in_range(options.feed_override),
                rapid_override: in_range(options.rapid_override),
                ..*options
            },
            limits,
            reciprocal: Reciprocal::of(limits),
            pauses: Pauses::new(limits, options),
            stretch: Stretch::default(),
            spare: Stretch::default(),
            jerk: limits.limits_jerk().then(JerkPass::default),
            last: None,
            state: None,
            settle_at: if limits.limits_jerk() { SETTLE_JERK_AT } else { SETTLE_AT },
            at_mm: toolpath.start_mm,
            rotary_deg: toolpath.start_rotary_deg,
            now_s: 0.0,
            plan,
        }
    }

    /// Goes through the events before a move of state `after`.
    fn events(&mut self, range: Range<usize>, after: Option<u32>) {
        let events = &self.toolpath.events[range.clone()];
        let state = |index: u32| &self.toolpath.states[index as usize];
        let (before, after) = (self.state.map(state), after.map(state));
        let heads_differ = matches!((before, after), (Some(b), Some(a)) if b.head != a.head);
        if heads_differ || events.iter().any(|e| stops_motion(&e.kind, &self.options)) {
            self.rest();
            let before_move = self.plan.len() as u32;
            let at = Between { before_move, before, after };
            self.now_s = self.pauses.run(events, range.start, at, self.now_s);
        }
    }

    fn step(&mut self, index: usize) {
        let kind = self.toolpath.kind[index];
        let step = self.take(index);
        let state_before = self.state.replace(self.toolpath.state[index]);
        if step.along == Along::Nothing {
            self.plan.empty_moves += 1;
            self.stretch.push(&step, Corner::FREE);
            return;
        }
        let rapid = kind == MoveKind::Rapid;
        if !rapid {
            self.before_feed(index);
        }
        if rapid && self.limits.rapid_dog_leg {
            self.rest();
            let timed = dog_leg(&self.toolpath.get(index), self.limits, self.options);
            self.now_s += timed.duration_s;
            record(&mut self.plan, self.now_s, timed);
            return;
        }
        let corner = self.corner_to(&step, state_before);
        if corner == Corner::STOP || kind == MoveKind::Probe {
            self.rest();
            self.stretch.push(&step, Corner::STOP);
        } else {
            self.stretch.push(&step, corner);
        }
        self.last = Some(step);
        if kind == MoveKind::Probe {
            self.rest();
        } else if self.stretch.len() >= self.settle_at {
            self.settle();
        }
    }

    /// The step of a move; goes on to its end.
    #[inline]
    fn take(&mut self, index: usize) -> Step {
        let path = self.toolpath;
        let (from, to) = (self.at_mm, path.end_mm[index]);
        let rotary_deg = path.rotary_after_deg(index);
        let turn_deg = rotary_deg - self.rotary_deg;
        let (kind, feed) = (path.kind[index], path.feed[index]);
        let rapid = kind == MoveKind::Rapid;
        let free = rapid || !is_stated(feed);
        let ask = Ask {
            speed: if free { f64::INFINITY } else { feed * self.options.feed_override / 60.0 },
            axis_factor: if rapid { self.options.rapid_override } else { 1.0 },
            turn_deg: if is_length(turn_deg.abs()) { turn_deg } else { 0.0 },
        };
        (self.at_mm, self.rotary_deg) = (to, rotary_deg);
        if kind == MoveKind::Arc {
            let arc = path.arcs[path.arc_index[index] as usize].between(from, to);
            Step::round(&arc, ask, &self.reciprocal)
        } else {
            Step::straight(to - from, ask, &self.reciprocal)
        }
    }

    /// Counts moves without feed, and lets the first feed move wait for the spindle.
    fn before_feed(&mut self, index: usize) {
        if !is_stated(self.toolpath.feed[index]) {
            self.plan.moves_without_feed += 1;
        }
        if self.pauses.feed_waits() {
            self.rest();
            self.now_s = self.pauses.before_feed(index as u32, self.now_s);
        }
    }

    fn corner_to(&self, step: &Step, state_before: Option<u32>) -> Corner {
        let (Some(before), Some(state)) = (&self.last, state_before) else { return Corner::STOP };
        let mode = |state: u32| self.toolpath.states[state as usize].corner;
        let (ended, begun) = (mode(state), mode(self.state.unwrap_or(state)));
        match corner::tolerance_mm(ended, begun, self.limits.corner_tolerance_mm) {
            Some(tolerance_mm) => {
                let leg = self.stretch.leg();
                Corner::between(before, step, (leg, tolerance_mm), &self.reciprocal)
            }
            None => Corner::STOP,
        }
    }

    /// Plans what nothing to come can slow down, so that long stretches need little memory. With
    /// limited jerk the cut is made at the slowest place, where the acceleration is zero anyway.
    fn settle(&mut self) {
        let (plan, now_s) = (&mut self.plan, &mut self.now_s);
        let each = |timed: Timed| {
            *now_s += timed.duration_s;
            record(plan, *now_s, timed);
        };
        match &mut self.jerk {
            None => self.stretch.run_settled(each),
            Some(pass) => {
                if let Some((node, speed_squared)) = self.stretch.slowest_settled() {
                    let exit = speed_squared.sqrt();
                    self.stretch.apply_legs(node);
                    self.stretch.split_off(node, &mut self.spare);
                    self.spare.entry = pass.run(&self.stretch, exit, each);
                    std::mem::swap(&mut self.stretch, &mut self.spare);
                    self.spare.clear();
                }
            }
        }
        self.settle_at = self.first_settle_at().max(2 * self.stretch.len());
    }

    fn first_settle_at(&self) -> usize {
        if self.jerk.is_some() { SETTLE_JERK_AT } else { SETTLE_AT }
    }

    /// Plans the stretch up to here, so that the machine stands.
    fn rest(&mut self) {
        self.last = None;
        if self.stretch.is_empty() {
            return;
        }
        let (plan, now_s) = (&mut self.plan, &mut self.now_s);
        let each = |timed: Timed| {
            *now_s += timed.duration_s;
            record(plan, *now_s, timed);
        };
        match &mut self.jerk {
            None => self.stretch.run(each),
            Some(pass) => {
                self.stretch.apply_legs(self.stretch.len());
                pass.run(&self.stretch, 0.0, each);
            }
        }
        self.stretch.clear();
        self.settle_at = self.first_settle_at();
    }
}

fn in_range(factor: f64) -> f64 {
    if factor.is_nan() { OVERRIDES[0] } else { factor.clamp(OVERRIDES[0], OVERRIDES[1]) }
}

fn is_stated(feed: f64) -> bool {
    feed >= LEAST_FEED
}

fn record(plan: &mut TimePlan, end_s: f64, timed: Timed) {
    plan.end_s.push(end_s);
    plan.exit_speed.push(timed.exit_speed as f32);
    plan.peak_speed.push(timed.peak_speed as f32);
}

/// A rapid in which each axis runs at its own full rate from rest to rest; the slowest counts.
fn dog_leg(m: &Move<'_>, limits: &Limits, options: PlanOptions) -> Timed {
    let way = (m.to_mm - m.from_mm).to_array();
    let rotary = limits.rotary.map(|limit| (m.turn_deg(), limit));
    let axes = way.into_iter().zip(limits.axis).chain(rotary);
    let mut timed = Timed { duration_s: 0.0, exit_speed: 0.0, peak_speed: 0.0 };
    let mut peak_squared = 0.0;
    for (way, axis) in axes {
        let length = way.abs();
        if !is_length(length) {
            continue;
        }
        let AxisLimits { speed, acceleration, jerk } = axis;
        let limits = PathLimits { speed: speed * options.rapid_override, acceleration, jerk };
        timed.duration_s = timed.duration_s.max(limits.rest_to_rest_s(length));
        peak_squared += limits.speed.powi(2).min(acceleration * length);
    }
    timed.peak_speed = f64::sqrt(peak_squared);
    timed
}
