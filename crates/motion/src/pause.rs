//! What takes time between motions: tool changes, heads, spindle ramps, dwells, codes.

use crate::limits::{HeadTimes, Limits};
use crate::options::{PlanOptions, SpindleWait};
use kw_model::{Action, ToolPlace};
use kw_nc::{Event, EventKind, MoveState, SpindleTurn};

/// A time in which the axes stand still.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pause {
    /// It ends before the move of this index; the number of moves if after the last.
    pub before_move: u32,
    /// Index of the event in the toolpath that causes it; `None` where motion waits for a
    /// spindle started earlier or a head changes without a code of its own.
    pub event: Option<u32>,
    /// Why.
    pub kind: PauseKind,
    /// Time at its start, s.
    pub start_s: f64,
    /// How long, s.
    pub duration_s: f64,
}

impl Pause {
    /// Time at its end, s.
    pub fn end_s(&self) -> f64 {
        self.start_s + self.duration_s
    }
}

/// Why the axes stand still.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PauseKind {
    /// The magazine changes the tool.
    ToolChange,
    /// A person loads a tool.
    HandLoad,
    /// A head comes into work.
    HeadSelect,
    /// Motion waits for a spindle or knife to reach its speed or to stand still.
    Ramp,
    /// A dwell.
    Dwell,
    /// A machine-specific code takes its time.
    Code,
    /// The program waits for a person; counted as 0 s.
    Stop,
}

impl PauseKind {
    /// All kinds.
    pub const ALL: [Self; 7] = [
        Self::ToolChange,
        Self::HandLoad,
        Self::HeadSelect,
        Self::Ramp,
        Self::Dwell,
        Self::Code,
        Self::Stop,
    ];

    /// Whether a person must come.
    pub fn waits_for_person(self) -> bool {
        matches!(self, Self::HandLoad | Self::Stop)
    }
}

/// The spindle and the clock while the program runs.
#[derive(Debug)]
pub(crate) struct Pauses<'a> {
    limits: &'a Limits,
    options: &'a PlanOptions,
    /// Speed asked for, 1/min, with its sign: counterclockwise negative.
    asked_rpm: f64,
    /// Time at which the spindle has the speed asked for, s.
    ready_s: f64,
    /// Whether the next feed move must wait for `ready_s`.
    feed_waits: bool,
    /// Head in work.
    head: u16,
    found: Vec<Pause>,
}

/// Where in the program events stand.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Between<'a> {
    /// Index of the move that follows.
    pub before_move: u32,
    /// State of the move before; the same as after for the first.
    pub before: Option<&'a MoveState>,
    /// State of the move that follows, if any.
    pub after: Option<&'a MoveState>,
}

/// Whether motion stops for an event.
pub(crate) fn stops_motion(kind: &EventKind, options: &PlanOptions) -> bool {
    match kind {
        EventKind::ToolChange { .. } | EventKind::Spindle { .. } | EventKind::End => true,
        EventKind::Dwell(_) => true,
        EventKind::Stop { optional } => !optional || options.optional_stops,
        EventKind::Mapped { action, duration_s, .. } => {
            *duration_s > 0.0 || matches!(action, Action::SelectHead | Action::Pause)
        }
        EventKind::ToolSelected(_)
        | EventKind::Coolant(..)
        | EventKind::Message(_)
        | EventKind::LengthOffset(_)
        | EventKind::WorkSystem(_) => false,
    }
}

impl<'a> Pauses<'a> {
    pub fn new(limits: &'a Limits, options: &'a PlanOptions) -> Self {
        Self {
            limits,
            options,
            asked_rpm: 0.0,
            ready_s: 0.0,
            feed_waits: false,
            head: 0,
            found: Vec::new(),
        }
    }

    pub fn into_found(self) -> Vec<Pause> {
        self.found
    }

    /// Whether the next feed move must begin from rest to look whether the spindle is up to speed.
    pub fn feed_waits(&self) -> bool {
        self.feed_waits
    }

    /// Lets the first feed move after a spindle start wait; gives the time after it.
    pub fn before_feed(&mut self, before_move: u32, now_s: f64) -> f64 {
        self.feed_waits = false;
        self.wait_ready(before_move, None, now_s)
    }

    /// Goes through the events between two moves; gives the time after them.
    pub fn run(&mut self, events: &[Event], first: usize, at: Between<'_>, now_s: f64) -> f64 {
        let mut now_s = now_s;
        self.head = at.before.or(at.after).map_or(0, |s| s.head);
        let head_after = at.after.map_or(self.head, |s| s.head);
        for (offset, event) in events.iter().enumerate() {
            let cause = Cause { before_move: at.before_move, event: Some((first + offset) as u32) };
            now_s = match &event.kind {
                EventKind::ToolChange { from, to } => self.change(cause, *from, *to, now_s),
                EventKind::Spindle { turn, speed_rpm } => {
                    self.spindle(cause, signed(*turn, *speed_rpm), now_s)
                }
                EventKind::Dwell(seconds) => {
                    self.add(cause, PauseKind::Dwell, sane(*seconds), now_s)
                }
                EventKind::Stop { optional } if !optional || self.options.optional_stops => {
                    self.add(cause, PauseKind::Stop, 0.0, now_s)
                }
                EventKind::Mapped { action, code_index, duration_s } => {
                    let code = Code { action: *action, duration_s: sane(*duration_s) };
                    let target = self.limits.selects_head.get(*code_index as usize);
                    self.code(cause, code, target.copied().flatten(), now_s)
                }
                _ => now_s,
            };
        }
        if self.head != head_after {
            let cause = Cause { before_move: at.before_move, event: None };
            now_s = self.select(cause, head_after, 0.0, now_s);
        }
        now_s
    }

    fn code(&mut self, cause: Cause, code: Code, target: Option<u16>, now_s: f64) -> f64 {
        match (code.action, target) {
            (Action::SelectHead, Some(target)) if target != self.head => {
                self.select(cause, target, code.duration_s, now_s)
            }
            (Action::Pause, _) => {
                let now_s = self.add(cause, PauseKind::Stop, 0.0, now_s);
                self.add(cause, PauseKind::Code, code.duration_s, now_s)
            }
            (Action::KnifeOn, _) if code.duration_s == 0.0 => {
                let ramp_s = self.head_times().map_or(0.0, |h| h.ramp_s);
                self.begin_ramp(cause, ramp_s, now_s)
            }
            _ => self.add(cause, PauseKind::Code, code.duration_s, now_s),
        }
    }

    /// A head comes into work: the code's own time where it states one, else the head's.
    fn select(&mut self, cause: Cause, head: u16, code_s: f64, now_s: f64) -> f64 {
        self.head = head;
        let head_s = self.head_times().map_or(0.0, |h| h.select_s);
        let duration_s = if code_s > 0.0 { code_s } else { head_s };
        self.add(cause, PauseKind::HeadSelect, duration_s, now_s)
    }

    /// The spindle must stand; then the magazine's part, then the person's.
    fn change(&mut self, cause: Cause, from: Option<u32>, to: Option<u32>, now_s: f64) -> f64 {
        if from == to {
            return now_s;
        }
        let place = |tool: Option<u32>| tool.map(|number| self.limits.place(number));
        let places = [place(from), place(to)];
        let has = |wanted: fn(ToolPlace) -> bool| places.iter().flatten().any(|p| wanted(*p));
        let by_magazine = has(|p| matches!(p, ToolPlace::Pocket(_)));
        let by_hand = has(|p| matches!(p, ToolPlace::HandLoad | ToolPlace::Shelf));
        if !by_magazine && !by_hand {
            return now_s;
        }
        let mut now_s = self.stop_spindle(cause, now_s);
        if by_magazine {
            let change_s = self.limits.change_s.unwrap_or(0.0);
            now_s = self.add(cause, PauseKind::ToolChange, change_s, now_s);
        }
        if by_hand {
            now_s = self.add(cause, PauseKind::HandLoad, self.limits.hand_load_s, now_s);
        }
        now_s
    }

    fn stop_spindle(&mut self, cause: Cause, now_s: f64) -> f64 {
        self.feed_waits = false;
        if self.asked_rpm != 0.0 {
            self.ready_s = now_s + self.ramp_s(self.asked_rpm, 0.0);
            self.asked_rpm = 0.0;
        }
        self.wait_ready(cause.before_move, cause.event, now_s)
    }

    fn spindle(&mut self, cause: Cause, rpm: f64, now_s: f64) -> f64 {
        let ramp_s = self.ramp_s(self.asked_rpm, rpm);
        self.asked_rpm = rpm;
        if rpm == 0.0 {
            // It runs down while the axes go on; only a tool change waits for it.
            self.ready_s = now_s + ramp_s;
            self.feed_waits = false;
            return now_s;
        }
        self.begin_ramp(cause, ramp_s, now_s)
    }

    fn begin_ramp(&mut self, cause: Cause, ramp_s: f64, now_s: f64) -> f64 {
        if ramp_s <= 0.0 {
            return now_s;
        }
        self.ready_s = now_s + ramp_s;
        match self.options.spindle_wait {
            SpindleWait::AtCode => self.wait_ready(cause.before_move, cause.event, now_s),
            SpindleWait::BeforeFeed => {
                self.feed_waits = true;
                now_s
            }
        }
    }

    /// Time from one speed to another, s; through standstill where the sense changes.
    fn ramp_s(&self, from_rpm: f64, to_rpm: f64) -> f64 {
        let Some(head) = self.head_times() else { return 0.0 };
        match head.full_speed_rpm {
            Some(full) => head.ramp_s * ((to_rpm - from_rpm).abs() / full).min(2.0),
            None if from_rpm == to_rpm => 0.0,
            None => head.ramp_s,
        }
    }

    fn head_times(&self) -> Option<&'a HeadTimes> {
        self.limits.heads.get(self.head as usize)
    }

    fn wait_ready(&mut self, before_move: u32, event: Option<u32>, now_s: f64) -> f64 {
        if self.ready_s <= now_s {
            return now_s;
        }
        let wait_s = self.ready_s - now_s;
        self.add(Cause { before_move, event }, PauseKind::Ramp, wait_s, now_s)
    }

    fn add(&mut self, cause: Cause, kind: PauseKind, duration_s: f64, now_s: f64) -> f64 {
        if duration_s <= 0.0 && kind != PauseKind::Stop {
            return now_s;
        }
        let Cause { before_move, event } = cause;
        self.found.push(Pause { before_move, event, kind, start_s: now_s, duration_s });
        now_s + duration_s
    }
}

#[derive(Clone, Copy)]
struct Cause {
    before_move: u32,
    event: Option<u32>,
}

#[derive(Clone, Copy)]
struct Code {
    action: Action,
    duration_s: f64,
}

/// Longest single pause taken as meant, s: a day.
const LONGEST_S: f64 = 86_400.0;

fn sane(seconds: f64) -> f64 {
    if seconds.is_finite() { seconds.clamp(0.0, LONGEST_S) } else { 0.0 }
}

fn signed(turn: SpindleTurn, speed_rpm: f64) -> f64 {
    let speed_rpm = if speed_rpm.is_finite() { speed_rpm } else { 0.0 };
    match turn {
        SpindleTurn::Still => 0.0,
        SpindleTurn::Clockwise => speed_rpm,
        SpindleTurn::Counterclockwise => -speed_rpm,
    }
}
