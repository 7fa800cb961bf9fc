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
use crate::step::{Along, Reciprocal, Step};
use kw_nc::{Move, MoveKind, MoveState, Toolpath};

/// Smallest override; anything less, or not a number, counts as this.
const LEAST_OVERRIDE: f64 = 1e-3;

/// Plans a whole program with look-ahead from its start to its end.
///
/// Every axis keeps within its own speed, acceleration and jerk along straight moves; on arcs the
/// worst direction of the arc counts, and speeding up along an arc and turning with it are limited
/// one by one. A move whose feed is not stated runs as fast as the axes can and is counted. Empty
/// moves take no time. Probe moves are taken as reaching their end and stop there.
pub fn plan(toolpath: &Toolpath, limits: &Limits, options: &PlanOptions) -> TimePlan {
    let mut planner = Planner::new(toolpath, limits, options);
    let mut event = 0;
    for m in toolpath.moves() {
        let first = event;
        while toolpath.events.get(event).is_some_and(|e| e.before_move as usize <= m.index) {
            event += 1;
        }
        if first < event {
            planner.events(first..event, Some(m.state));
        }
        planner.step(&m);
    }
    planner.finish(event)
}

struct Planner<'a> {
    toolpath: &'a Toolpath,
    options: PlanOptions,
    limits: &'a Limits,
    reciprocal: Reciprocal,
    pauses: Pauses<'a>,
    stretch: Stretch,
    /// Where the machine limits jerk.
    jerk: Option<JerkPass>,
    /// The last step that moves anything in this stretch, and its state.
    last: Option<(Step, &'a MoveState)>,
    before: Option<&'a MoveState>,
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
                feed_override: options.feed_override.max(LEAST_OVERRIDE),
                rapid_override: options.rapid_override.max(LEAST_OVERRIDE),
                ..*options
            },
            limits,
            reciprocal: Reciprocal::of(limits),
            pauses: Pauses::new(limits, options),
            stretch: Stretch::default(),
            jerk: limits.limits_jerk().then(JerkPass::default),
            last: None,
            before: None,
            now_s: 0.0,
            plan,
        }
    }

    fn events(&mut self, range: std::ops::Range<usize>, after: Option<&'a MoveState>) {
        let events = &self.toolpath.events[range.clone()];
        let heads_differ = matches!((self.before, after), (Some(b), Some(a)) if b.head != a.head);
        if heads_differ || events.iter().any(|e| stops_motion(&e.kind, &self.options)) {
            self.rest();
            let before_move = self.plan.len() as u32;
            let at = Between { before_move, before: self.before, after };
            self.now_s = self.pauses.run(events, range.start, at, self.now_s);
        }
    }

    fn step(&mut self, m: &Move<'a>) {
        let step =
            Step::of(m, &self.reciprocal, self.options.feed_override, self.options.rapid_override);
        self.before = Some(m.state);
        if step.along == Along::Nothing {
            self.plan.empty_moves += 1;
            self.stretch.push(&step, Corner::FREE);
            return;
        }
        if m.kind != MoveKind::Rapid && !is_stated(m.feed) {
            self.plan.moves_without_feed += 1;
        }
        if self.pauses.feed_waits() && m.kind != MoveKind::Rapid {
            self.rest();
            self.now_s = self.pauses.before_feed(m.index as u32, self.now_s);
        }
        if m.kind == MoveKind::Rapid && self.limits.rapid_dog_leg {
            self.rest();
            let timed = dog_leg(m, self.limits, self.options.rapid_override);
            self.now_s += timed.duration_s;
            record(&mut self.plan, self.now_s, timed);
            return;
        }
        let corner = self.corner_to(&step, m.state);
        if corner == Corner::STOP || m.kind == MoveKind::Probe {
            self.rest();
            self.stretch.push(&step, Corner::STOP);
        } else {
            self.stretch.push(&step, corner);
        }
        self.last = Some((step, m.state));
        if m.kind == MoveKind::Probe {
            self.rest();
        }
    }

    fn corner_to(&self, step: &Step, state: &MoveState) -> Corner {
        let Some((before, state_before)) = &self.last else { return Corner::STOP };
        let machine_mm = self.limits.corner_tolerance_mm;
        match corner::tolerance_mm(state_before.corner, state.corner, machine_mm) {
            Some(tolerance_mm) => Corner::between(before, step, tolerance_mm, &self.reciprocal),
            None => Corner::STOP,
        }
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
            Some(pass) => pass.run(&mut self.stretch, each),
            None => self.stretch.run(each),
        }
        self.stretch.clear();
    }

    fn finish(mut self, event: usize) -> TimePlan {
        self.rest();
        if event < self.toolpath.events.len() {
            self.events(event..self.toolpath.events.len(), None);
        }
        TimePlan { pauses: self.pauses.into_found(), total_s: self.now_s, ..self.plan }
    }
}

fn is_stated(feed: f64) -> bool {
    feed > 0.0
}

fn record(plan: &mut TimePlan, end_s: f64, timed: Timed) {
    plan.end_s.push(end_s);
    plan.exit_speed.push(timed.exit_speed as f32);
    plan.peak_speed.push(timed.peak_speed as f32);
}

/// A rapid in which each axis runs at its own full rate from rest to rest; the slowest counts.
fn dog_leg(m: &Move<'_>, limits: &Limits, factor: f64) -> Timed {
    let way = (m.to_mm - m.from_mm).to_array();
    let rotary = limits.rotary.map(|limit| (m.turn_deg(), limit));
    let axes = way.into_iter().zip(limits.axis).chain(rotary);
    let mut timed = Timed { duration_s: 0.0, exit_speed: 0.0, peak_speed: 0.0 };
    let mut peak_squared = 0.0;
    for (way, axis) in axes {
        let length = way.abs();
        if !(length > 0.0 && length.is_finite()) {
            continue;
        }
        let AxisLimits { speed, acceleration, jerk } = axis;
        let limits = PathLimits { speed: speed * factor, acceleration, jerk };
        timed.duration_s = timed.duration_s.max(limits.rest_to_rest_s(length));
        peak_squared += limits.speed.powi(2).min(acceleration * length);
    }
    timed.peak_speed = f64::sqrt(peak_squared);
    timed
}
