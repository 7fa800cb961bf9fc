//! Lengths, times and boxes of a whole program and of each tool.

use crate::Context;
use kw_geometry::{Bounds, Vec3};
use kw_motion::{Pause, TimePlan};
use kw_nc::{EventKind, Move, MoveKind, Toolpath};

/// Lengths, times and boxes of a whole program.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Totals {
    /// Total time, s.
    pub time_s: f64,
    /// Time of moves at feed, s.
    pub feed_time_s: f64,
    /// Time of rapid moves, s.
    pub rapid_time_s: f64,
    /// All other time, s.
    pub other_time_s: f64,
    /// Length of moves at feed, mm.
    pub cut_length_mm: f64,
    /// Length of rapid moves, mm.
    pub rapid_length_mm: f64,
    /// Times a person must act.
    pub waits_for_person: u32,
    /// Where the tip goes at feed, machine coordinates.
    pub bounds: Bounds,
    /// The same from the sheet's corner and upper face.
    pub bounds_on_sheet: Bounds,
}

/// What one tool does.
#[derive(Clone, Debug, PartialEq)]
pub struct ToolUse {
    /// Number that the program calls.
    pub number: u32,
    /// Time from its changes to the next ones, its changes included, s.
    pub time_s: f64,
    /// Length of its moves at feed, mm.
    pub cut_length_mm: f64,
    /// Lowest point of its tip, from the sheet's upper face, mm; infinite if it never moves.
    pub lowest_mm: f64,
    /// Least and greatest spindle speed, 1/min.
    pub speed_rpm: [f64; 2],
    /// Least and greatest feed, mm/min.
    pub feed_mm_min: [f64; 2],
}

impl ToolUse {
    fn new(number: u32) -> Self {
        let none = [f64::INFINITY, 0.0];
        Self {
            number,
            time_s: 0.0,
            cut_length_mm: 0.0,
            lowest_mm: f64::INFINITY,
            speed_rpm: none,
            feed_mm_min: none,
        }
    }

    fn add_feed_move(&mut self, m: &Move<'_>, length_mm: f64, lowest_mm: f64) {
        self.cut_length_mm += length_mm;
        self.lowest_mm = self.lowest_mm.min(lowest_mm);
        self.speed_rpm = widened(self.speed_rpm, m.state.spindle_rpm);
        self.feed_mm_min = widened(self.feed_mm_min, m.feed);
    }
}

fn widened([low, high]: [f64; 2], value: f64) -> [f64; 2] {
    [low.min(value), high.max(value)]
}

/// Adds up a program.
pub(crate) fn add_up(ctx: &Context<'_>, plan: &TimePlan) -> (Totals, Vec<ToolUse>) {
    let path = &ctx.reading.toolpath;
    let mut totals = Totals { time_s: plan.total_s, ..Totals::default() };
    let mut tools = tools_called(path);
    let mut current = None;
    for m in path.moves() {
        if let Some(number) = m.state.tool
            && current.is_none_or(|i: usize| tools[i].number != number)
        {
            current = Some(index_of(&mut tools, number));
        }
        let length = m.length_mm();
        let time = plan.duration_s(m.index);
        if m.kind == MoveKind::Rapid {
            totals.rapid_length_mm += length;
            totals.rapid_time_s += time;
        } else {
            totals.cut_length_mm += length;
            totals.feed_time_s += time;
            let tip = m.tip_bounds();
            totals.bounds.add(tip.min);
            totals.bounds.add(tip.max);
            if let Some(index) = current {
                tools[index].add_feed_move(&m, length, tip.min.z - ctx.sheet_top_z_mm);
            }
        }
        if let Some(index) = current {
            tools[index].time_s += time;
        }
    }
    for pause in &plan.pauses {
        if let Some(number) = tool_of_pause(path, pause) {
            let index = index_of(&mut tools, number);
            tools[index].time_s += pause.duration_s;
        }
    }
    totals.other_time_s = (totals.time_s - totals.feed_time_s - totals.rapid_time_s).max(0.0);
    totals.waits_for_person = plan.person_waits() as u32;
    let corner = ctx.setup.sheet_corner_mm;
    let to_sheet = -Vec3::new(corner.x, corner.y, ctx.sheet_top_z_mm);
    totals.bounds_on_sheet = totals.bounds.shifted(to_sheet);
    (totals, tools)
}

/// All tools that the program calls, in order of their first call.
fn tools_called(path: &Toolpath) -> Vec<ToolUse> {
    let mut tools = Vec::new();
    for event in &path.events {
        if let EventKind::ToolChange { to: Some(number), .. } = event.kind {
            index_of(&mut tools, number);
        }
    }
    tools
}

/// A change belongs to the tool that comes, any other pause to the tool in work.
fn tool_of_pause(path: &Toolpath, pause: &Pause) -> Option<u32> {
    let event = pause.event.and_then(|index| path.events.get(index as usize));
    if let Some(EventKind::ToolChange { to, .. }) = event.map(|e| &e.kind) {
        return *to;
    }
    let index = (pause.before_move as usize).min(path.len().checked_sub(1)?);
    path.states[path.state[index] as usize].tool
}

fn index_of(tools: &mut Vec<ToolUse>, number: u32) -> usize {
    tools.iter().position(|t| t.number == number).unwrap_or_else(|| {
        tools.push(ToolUse::new(number));
        tools.len() - 1
    })
}
