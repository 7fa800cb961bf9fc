//! Questions to a finished plan: what happens at a time, where the tool is, how long each tool and
//! each block takes.

use crate::pause::Pause;
use crate::plan::TimePlan;
use kw_geometry::Vec3;
use kw_nc::{Move, MoveKind, Toolpath};
use std::collections::BTreeMap;
use std::ops::Range;

/// A toolpath with its plan. Both must belong together.
#[derive(Clone, Copy, Debug)]
pub struct TimeLine<'a> {
    toolpath: &'a Toolpath,
    plan: &'a TimePlan,
}

/// What happens at a time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doing {
    /// The move of this index runs.
    Move(usize),
    /// The pause of this index in the plan.
    Pause(usize),
    /// The program has ended, or never begins.
    Nothing,
}

/// The state of the machine at a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// What happens.
    pub doing: Doing,
    /// Axis position, machine coordinates, mm.
    pub axis_mm: Vec3,
    /// Tool tip, machine coordinates, mm.
    pub tip_mm: Vec3,
    /// Rotary position, degrees.
    pub rotary_deg: f64,
    /// Speed along the path, mm/s (degrees/s for turns).
    pub speed: f64,
}

/// Time by what the machine does, s.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TimeShares {
    /// In rapids.
    pub rapid_s: f64,
    /// In moves at feed.
    pub feed_s: f64,
    /// In turns of the rotary axis alone.
    pub turn_s: f64,
    /// In pauses.
    pub pause_s: f64,
}

impl TimeShares {
    /// All together, s.
    pub fn total_s(&self) -> f64 {
        self.rapid_s + self.feed_s + self.turn_s + self.pause_s
    }

    fn add(&mut self, kind: MoveKind, duration_s: f64) {
        match kind {
            MoveKind::Rapid => self.rapid_s += duration_s,
            MoveKind::Turn => self.turn_s += duration_s,
            MoveKind::Line | MoveKind::Arc | MoveKind::Probe => self.feed_s += duration_s,
        }
    }
}

/// Time of one tool.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToolTime {
    /// The tool; `None` for none in work.
    pub tool: Option<u32>,
    /// Its times. A pause before a move counts for the tool of that move, so a change counts for
    /// the tool that comes.
    pub time: TimeShares,
}

/// Time of one block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BlockTime {
    /// Byte offset of the block in the sources.
    pub block_at: u32,
    /// Index of its first move or, without one, of the move that follows it.
    pub first_move: u32,
    /// Its time over all its runs, pauses it causes included, s.
    pub duration_s: f64,
}

impl<'a> TimeLine<'a> {
    /// The time line of a toolpath and its plan.
    pub fn new(toolpath: &'a Toolpath, plan: &'a TimePlan) -> Self {
        debug_assert_eq!(toolpath.len(), plan.len());
        Self { toolpath, plan }
    }

    /// What happens at a time, s; at the border of two the later one. Takes time logarithmic in
    /// the number of moves.
    pub fn doing(&self, time_s: f64) -> Doing {
        let time_s = time_s.max(0.0);
        let pauses = &self.plan.pauses;
        let upto = pauses.partition_point(|p| p.start_s <= time_s);
        if let Some(last) = upto.checked_sub(1)
            && time_s < pauses[last].end_s()
        {
            return Doing::Pause(last);
        }
        let index = self.plan.end_s.partition_point(|&end_s| end_s <= time_s);
        if index < self.plan.len() { Doing::Move(index) } else { Doing::Nothing }
    }

    /// Where the machine is at a time, s.
    ///
    /// Inside a move the speed is taken to rise and fall evenly; exact but for rounding without a
    /// jerk limit. With one the ends of the move are exact and places inside may be off by the
    /// rounding of its ramps. A dog-leg rapid is shown on the straight line.
    pub fn moment(&self, time_s: f64) -> Moment {
        let doing = self.doing(time_s);
        match doing {
            Doing::Move(index) => self.within(index, time_s),
            Doing::Pause(pause) => self.standing(doing, self.plan.pauses[pause].before_move),
            Doing::Nothing => self.standing(doing, self.plan.len() as u32),
        }
    }

    fn standing(&self, doing: Doing, before_move: u32) -> Moment {
        let path = self.toolpath;
        let index = (before_move as usize).min(path.len());
        let axis_mm = path.from_mm(index);
        let state = index.checked_sub(1).or((!path.is_empty()).then_some(0));
        let offset = state.map_or(Vec3::ZERO, |i| path.get(i).state.tip_offset_mm);
        let rotary_deg =
            index.checked_sub(1).map_or(path.start_rotary_deg, |i| path.rotary_after_deg(i));
        Moment { doing, axis_mm, tip_mm: axis_mm + offset, rotary_deg, speed: 0.0 }
    }

    fn within(&self, index: usize, time_s: f64) -> Moment {
        let m = self.toolpath.get(index);
        let start_s = self.plan.start_s(index);
        let shape = Shape {
            duration_s: self.plan.end_s[index] - start_s,
            length: along(&m),
            entry: f64::from(self.plan.entry_speed(index)),
            exit: f64::from(self.plan.exit_speed[index]),
            peak: f64::from(self.plan.peak_speed[index]),
        };
        let (fraction, speed) = shape.at(time_s - start_s);
        let axis_mm = match m.axis_arc() {
            Some(arc) => arc.point_at(fraction),
            None => m.from_mm.lerp(m.to_mm, fraction),
        };
        Moment {
            doing: Doing::Move(index),
            axis_mm,
            tip_mm: axis_mm + m.state.tip_offset_mm,
            rotary_deg: m.rotary_deg.0 + (m.rotary_deg.1 - m.rotary_deg.0) * fraction,
            speed,
        }
    }

    /// Times of the whole program.
    pub fn shares(&self) -> TimeShares {
        let mut shares = self.shares_of(0..self.plan.len());
        let after = self.plan.pauses.iter().filter(|p| p.before_move as usize >= self.plan.len());
        shares.pause_s += after.map(|p| p.duration_s).sum::<f64>();
        shares
    }

    /// Times of a run of moves and of the pauses before each of them; empty for a range that is
    /// not inside the program.
    pub fn shares_of(&self, moves: Range<usize>) -> TimeShares {
        let mut shares = TimeShares::default();
        if moves.start >= moves.end || moves.end > self.plan.len() {
            return shares;
        }
        let pauses = self.pauses_before(moves.clone());
        shares.pause_s = pauses.iter().map(|p| p.duration_s).sum();
        for index in moves {
            shares.add(self.toolpath.kind[index], self.plan.duration_s(index));
        }
        shares
    }

    fn pauses_before(&self, moves: Range<usize>) -> &'a [Pause] {
        let pauses = &self.plan.pauses;
        let first = pauses.partition_point(|p| (p.before_move as usize) < moves.start);
        let last = pauses.partition_point(|p| (p.before_move as usize) < moves.end);
        &pauses[first..last]
    }

    /// Time of each tool, in order of its first move.
    pub fn tools(&self) -> Vec<ToolTime> {
        let mut tools: Vec<ToolTime> = Vec::new();
        let mut of_state: Vec<Option<usize>> = vec![None; self.toolpath.states.len()];
        let mut before_s = 0.0;
        for (index, (start_s, duration_s)) in self.plan.times().enumerate() {
            let state = self.toolpath.state[index] as usize;
            let slot = *of_state[state].get_or_insert_with(|| {
                let tool = self.toolpath.states[state].tool;
                tools.iter().position(|t| t.tool == tool).unwrap_or_else(|| {
                    tools.push(ToolTime { tool, time: TimeShares::default() });
                    tools.len() - 1
                })
            });
            let time = &mut tools[slot].time;
            time.pause_s += start_s - before_s;
            time.add(self.toolpath.kind[index], duration_s);
            before_s = self.plan.end_s[index];
        }
        tools
    }

    /// Time of each block that moves or pauses, in order of its place in the sources.
    pub fn blocks(&self) -> Vec<BlockTime> {
        let mut blocks: BTreeMap<u32, BlockTime> = BTreeMap::new();
        let mut add = |block_at: u32, first_move: u32, duration_s: f64| {
            let new = BlockTime { block_at, first_move, duration_s: 0.0 };
            blocks.entry(block_at).or_insert(new).duration_s += duration_s;
        };
        for (index, (_, duration_s)) in self.plan.times().enumerate() {
            add(self.toolpath.block_at[index], index as u32, duration_s);
        }
        for pause in &self.plan.pauses {
            let by_event = pause.event.and_then(|e| self.toolpath.events.get(e as usize));
            let by_move = self.toolpath.block_at.get(pause.before_move as usize).copied();
            if let Some(block_at) = by_event.map(|e| e.block_at).or(by_move) {
                add(block_at, pause.before_move, pause.duration_s);
            }
        }
        blocks.into_values().collect()
    }
}

/// Length that a move's speed counts along: mm, or degrees where only the rotary axis turns.
fn along(m: &Move<'_>) -> f64 {
    let length = m.length_mm();
    if length > 0.0 { length } else { m.turn_deg() }
}

/// How a move runs: up to its peak speed, along it, and down again.
struct Shape {
    duration_s: f64,
    length: f64,
    entry: f64,
    exit: f64,
    peak: f64,
}

impl Shape {
    /// Fraction of the length and speed at a time from its start. The acceleration is the one
    /// that makes length and duration fit.
    fn at(&self, time_s: f64) -> (f64, f64) {
        let Self { duration_s, length, entry, exit, peak } = *self;
        if duration_s <= 0.0 || length <= 0.0 {
            return (1.0, exit);
        }
        let t = time_s.clamp(0.0, duration_s);
        let (up, down) = ((peak - entry).max(0.0), (peak - exit).max(0.0));
        // Length lost against running at the peak speed all the time.
        let lost = peak * duration_s - length;
        let ramps = up * up + down * down;
        if ramps <= 0.0 || lost <= 0.0 {
            return (t / duration_s, length / duration_s);
        }
        let acceleration = (0.5 * ramps / lost).max((up + down) / duration_s);
        let (up_s, down_s) = (up / acceleration, down / acceleration);
        let run = |t: f64| {
            let rising = t.min(up_s);
            let falling = (t - (duration_s - down_s)).max(0.0);
            peak * t - up * rising + 0.5 * acceleration * (rising * rising - falling * falling)
        };
        let whole = run(duration_s);
        let speed = if t < up_s {
            entry + acceleration * t
        } else if t > duration_s - down_s {
            exit + acceleration * (duration_s - t)
        } else {
            peak
        };
        ((run(t) / whole).clamp(0.0, 1.0), speed)
    }
}
