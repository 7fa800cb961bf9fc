//! The toolpath: every motion of a program in columns, what happens between motions, and the
//! modal state each motion runs under.
//!
//! Positions are **axis positions** in machine coordinates: what the control drives the axes to,
//! mm. The tool tip is the axis position plus the state's `tip_offset_mm`. Axis positions never
//! jump: a move starts where the move before it ended.

use kw_geometry::{Arc, Bounds, Plane, Vec2, Vec3};
use kw_model::Action;

/// Kind of a motion.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[repr(u8)]
pub enum MoveKind {
    /// As fast as the machine can, not meant to cut.
    Rapid,
    /// Straight at feed.
    Line,
    /// Arc or helix at feed.
    Arc,
    /// Only the rotary axis turns, at feed; X, Y and Z stand still.
    Turn,
    /// Straight at feed until the probe touches; taken as reaching its end.
    Probe,
}

/// Why a motion runs, beyond what its own block says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
#[repr(u8)]
pub enum Origin {
    /// Written in the program.
    #[default]
    Written,
    /// One step of a canned cycle.
    Cycle,
    /// Added by cutter compensation at a corner.
    Compensation,
    /// Way to or from a stored position (G28, G30).
    Home,
}

/// All motions of a program in columns of equal length, and all that happens between them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Toolpath {
    /// Axis position before the first motion, mm.
    pub start_mm: Vec3,
    /// Rotary position before the first motion, degrees.
    pub start_rotary_deg: f64,
    /// Kind of each move.
    pub kind: Vec<MoveKind>,
    /// Why each move runs.
    pub origin: Vec<Origin>,
    /// Axis position at the end of each move, mm.
    pub end_mm: Vec<Vec3>,
    /// Feed of each move, mm/min along its path (`Turn`: degrees/min); 0 for rapids, and for feed
    /// moves whose feed is not stated.
    pub feed: Vec<f64>,
    /// Byte offset in the sources of the block that gave each move.
    pub block_at: Vec<u32>,
    /// Index into `states` of each move.
    pub state: Vec<u32>,
    /// Arc data of the moves of kind `Arc`, in order.
    pub arcs: Vec<ArcData>,
    /// For each move of kind `Arc` its index into `arcs`; other moves hold the number of arcs
    /// before them.
    pub arc_index: Vec<u32>,
    /// Rotary position at the end of each move, degrees; empty if the rotary axis never moves.
    pub rotary_deg: Vec<f64>,
    /// The states that occur; each differs from all others.
    pub states: Vec<MoveState>,
    /// What happens between motions, in order.
    pub events: Vec<Event>,
    /// Blocks run, repeats of subprograms counted.
    pub blocks_run: u64,
}

/// The data of one arc beyond its start and end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArcData {
    /// Centre in the plane (first, second coordinate), axis position, mm.
    pub centre_mm: Vec2,
    /// Swept angle, rad, counterclockwise positive, magnitude in (0, 2π].
    pub sweep_rad: f64,
    /// Plane.
    pub plane: Plane,
}

/// The modal state a move runs under.
#[derive(Clone, Debug, PartialEq)]
pub struct MoveState {
    /// Number of the tool in work; `None` before the first change.
    pub tool: Option<u32>,
    /// Index of the active head in the machine's list.
    pub head: u16,
    /// How the spindle turns.
    pub spindle: SpindleTurn,
    /// Spindle speed as programmed, 1/min; 0 if never stated.
    pub spindle_rpm: f64,
    /// Tip of the tool relative to the axis position, mm: minus the tool's length in Z, plus the
    /// head's offset. Uses the measured length where there is one, else what the control applies.
    pub tip_offset_mm: Vec3,
    /// Length the control applies at present (G43 and the like), mm; 0 if none.
    pub applied_length_mm: f64,
    /// Whether a length offset is active.
    pub length_applied: bool,
    /// Work system 1 to 9.
    pub work_system: u8,
    /// How corners are followed.
    pub corner: CornerMode,
    /// Whether mist, flood, or both are on.
    pub mist: bool,
    /// Whether flood is on.
    pub flood: bool,
    /// Side of cutter compensation.
    pub compensation: CompensationSide,
    /// Whether an oscillating knife strokes (mapped codes).
    pub knife_on: bool,
    /// Whether the active head is down in work, for heads that are lowered by code.
    pub head_down: bool,
}

impl Default for MoveState {
    fn default() -> Self {
        Self {
            tool: None,
            head: 0,
            spindle: SpindleTurn::Still,
            spindle_rpm: 0.0,
            tip_offset_mm: Vec3::ZERO,
            applied_length_mm: 0.0,
            length_applied: false,
            work_system: 1,
            corner: CornerMode::Continuous,
            mist: false,
            flood: false,
            compensation: CompensationSide::Off,
            knife_on: false,
            head_down: false,
        }
    }
}

/// How the spindle turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SpindleTurn {
    /// Not at all.
    Still,
    /// Clockwise seen from above the tool (M3).
    Clockwise,
    /// Counterclockwise (M4).
    Counterclockwise,
}

/// How the control goes through corners.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CornerMode {
    /// Along the path exactly, without needless stops (G61).
    ExactPath,
    /// Stopping at the end of each move (G61.1).
    ExactStop,
    /// Rounding corners within the machine's tolerance (G64).
    Continuous,
}

/// Side of cutter compensation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CompensationSide {
    /// None (G40).
    Off,
    /// Left of travel (G41).
    Left,
    /// Right of travel (G42).
    Right,
}

/// Something that happens between motions.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// It happens before the move of this index; the number of moves if after the last.
    pub before_move: u32,
    /// Byte offset in the sources of its block.
    pub block_at: u32,
    /// What happens.
    pub kind: EventKind,
}

/// What happens between motions.
#[derive(Clone, Debug, PartialEq)]
pub enum EventKind {
    /// A tool number was selected for the next change.
    ToolSelected(u32),
    /// A tool was changed; `None` for an empty spindle.
    ToolChange {
        /// Tool before.
        from: Option<u32>,
        /// Tool after.
        to: Option<u32>,
    },
    /// The spindle was started, stopped, or given another speed while turning.
    Spindle {
        /// How it turns from now on.
        turn: SpindleTurn,
        /// Speed from now on, 1/min.
        speed_rpm: f64,
    },
    /// A dwell, s.
    Dwell(f64),
    /// The program waits for a person.
    Stop {
        /// Whether it waits only if the person asked for optional stops.
        optional: bool,
    },
    /// The program ends.
    End,
    /// A machine-specific code: what it does and on what.
    Mapped {
        /// What it does.
        action: Action,
        /// Index into the dialect's list of codes.
        code_index: u32,
        /// Time it takes, s.
        duration_s: f64,
    },
    /// Mist, flood changed: (mist, flood) from now on.
    Coolant(bool, bool),
    /// A message for the operator: byte range in the sources.
    Message(kw_base::Span),
    /// The length offset changed to this length, mm, or was switched off (`None`).
    LengthOffset(Option<f64>),
    /// Another work system (1 to 9) is active.
    WorkSystem(u8),
}

/// One move with all that belongs to it, made from the columns.
#[derive(Clone, Copy, Debug)]
pub struct Move<'a> {
    /// Its index.
    pub index: usize,
    /// Kind.
    pub kind: MoveKind,
    /// Why it runs.
    pub origin: Origin,
    /// Axis position before it, mm.
    pub from_mm: Vec3,
    /// Axis position after it, mm.
    pub to_mm: Vec3,
    /// Arc data, for arcs.
    pub arc: Option<ArcData>,
    /// Rotary position before and after, degrees.
    pub rotary_deg: (f64, f64),
    /// Feed, mm/min (`Turn`: degrees/min); 0 for rapids.
    pub feed: f64,
    /// Byte offset of its block.
    pub block_at: u32,
    /// Index of its state.
    pub state_index: u32,
    /// Its state.
    pub state: &'a MoveState,
}

impl Toolpath {
    /// Number of moves.
    pub fn len(&self) -> usize {
        self.kind.len()
    }

    /// Whether there is no move.
    pub fn is_empty(&self) -> bool {
        self.kind.is_empty()
    }

    /// Axis position before a move, mm.
    pub fn from_mm(&self, index: usize) -> Vec3 {
        if index == 0 { self.start_mm } else { self.end_mm[index - 1] }
    }

    /// Rotary position after a move, degrees.
    pub fn rotary_after_deg(&self, index: usize) -> f64 {
        self.rotary_deg.get(index).copied().unwrap_or(self.start_rotary_deg)
    }

    /// The move of an index; panics if there is none.
    pub fn get(&self, index: usize) -> Move<'_> {
        let state_index = self.state[index];
        let kind = self.kind[index];
        let before =
            index.checked_sub(1).map_or(self.start_rotary_deg, |i| self.rotary_after_deg(i));
        Move {
            index,
            kind,
            origin: self.origin[index],
            from_mm: self.from_mm(index),
            to_mm: self.end_mm[index],
            arc: (kind == MoveKind::Arc).then(|| self.arcs[self.arc_index[index] as usize]),
            rotary_deg: (before, self.rotary_after_deg(index)),
            feed: self.feed[index],
            block_at: self.block_at[index],
            state_index,
            state: &self.states[state_index as usize],
        }
    }

    /// All moves in order.
    pub fn moves(&self) -> impl ExactSizeIterator<Item = Move<'_>> + '_ {
        (0..self.len()).map(|index| self.get(index))
    }

    /// Adds a move; `arc` must be given for moves of kind `Arc` and no others.
    pub fn push(&mut self, new: NewMove) {
        debug_assert_eq!(new.kind == MoveKind::Arc, new.arc.is_some());
        if new.rotary_deg.is_some() && self.rotary_deg.is_empty() {
            self.rotary_deg = vec![self.start_rotary_deg; self.len()];
        }
        if new.rotary_deg.is_some() || !self.rotary_deg.is_empty() {
            let before = self.rotary_deg.last().copied().unwrap_or(self.start_rotary_deg);
            self.rotary_deg.push(new.rotary_deg.unwrap_or(before));
        }
        self.arc_index.push(self.arcs.len() as u32);
        self.arcs.extend(new.arc);
        self.kind.push(new.kind);
        self.origin.push(new.origin);
        self.end_mm.push(new.end_mm);
        self.feed.push(new.feed);
        self.block_at.push(new.block_at);
        self.state.push(new.state);
    }
}

/// A move to add.
#[derive(Clone, Copy, Debug)]
pub struct NewMove {
    /// Kind.
    pub kind: MoveKind,
    /// Why it runs.
    pub origin: Origin,
    /// Axis position at its end, mm.
    pub end_mm: Vec3,
    /// Arc data, for arcs only.
    pub arc: Option<ArcData>,
    /// Rotary position at its end, degrees; `None` if it does not change.
    pub rotary_deg: Option<f64>,
    /// Feed, mm/min (`Turn`: degrees/min); 0 for rapids.
    pub feed: f64,
    /// Byte offset of its block.
    pub block_at: u32,
    /// Index of its state.
    pub state: u32,
}

impl Move<'_> {
    /// Tool tip before the move, machine coordinates, mm.
    pub fn tip_from_mm(&self) -> Vec3 {
        self.from_mm + self.state.tip_offset_mm
    }

    /// Tool tip after the move, machine coordinates, mm.
    pub fn tip_to_mm(&self) -> Vec3 {
        self.to_mm + self.state.tip_offset_mm
    }

    /// The arc the axes follow, for arcs.
    pub fn axis_arc(&self) -> Option<Arc> {
        self.arc.map(|data| data.between(self.from_mm, self.to_mm))
    }

    /// The arc the tool tip follows, for arcs.
    pub fn tip_arc(&self) -> Option<Arc> {
        let offset = self.state.tip_offset_mm;
        self.arc.map(|data| {
            ArcData { centre_mm: data.centre_mm + data.plane.split(offset).0, ..data }
                .between(self.from_mm + offset, self.to_mm + offset)
        })
    }

    /// Length of the path in X, Y, Z, mm.
    pub fn length_mm(&self) -> f64 {
        self.axis_arc().map_or_else(|| self.from_mm.distance(self.to_mm), |arc| arc.length_mm())
    }

    /// Angle the rotary axis turns, degrees, not negative.
    pub fn turn_deg(&self) -> f64 {
        (self.rotary_deg.1 - self.rotary_deg.0).abs()
    }

    /// Smallest box that holds the axis path, exact for arcs.
    pub fn axis_bounds(&self) -> Bounds {
        self.axis_arc().map_or_else(
            || {
                let mut bounds = Bounds::EMPTY;
                bounds.add(self.from_mm);
                bounds.add(self.to_mm);
                bounds
            },
            |arc| arc.bounds(),
        )
    }

    /// Smallest box that holds the tool tip's path, exact for arcs.
    pub fn tip_bounds(&self) -> Bounds {
        self.axis_bounds().shifted(self.state.tip_offset_mm)
    }

    /// Whether it runs at feed and moves X, Y or Z.
    pub fn is_feed(&self) -> bool {
        matches!(self.kind, MoveKind::Line | MoveKind::Arc | MoveKind::Probe)
    }

    /// Time at the programmed feed without acceleration, s; `None` for rapids and where the feed
    /// is not stated.
    pub fn feed_time_s(&self) -> Option<f64> {
        let distance = match self.kind {
            MoveKind::Rapid => return None,
            MoveKind::Turn => self.turn_deg(),
            _ => self.length_mm(),
        };
        (self.feed > 0.0).then(|| distance / self.feed * 60.0)
    }
}

impl ArcData {
    /// The arc from `start` to `end`, mm.
    pub fn between(&self, start: Vec3, end: Vec3) -> Arc {
        Arc { start, end, centre: self.centre_mm, sweep_rad: self.sweep_rad, plane: self.plane }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn new_move(kind: MoveKind, x: f64, rotary_deg: Option<f64>) -> NewMove {
        NewMove {
            kind,
            origin: Origin::Written,
            end_mm: Vec3::new(x, 0.0, 0.0),
            arc: None,
            rotary_deg,
            feed: 600.0,
            block_at: 0,
            state: 0,
        }
    }

    #[test]
    fn moves_join_and_the_rotary_column_starts_late() {
        let mut path = Toolpath { states: vec![MoveState::default()], ..Toolpath::default() };
        path.push(new_move(MoveKind::Line, 10.0, None));
        assert!(path.rotary_deg.is_empty());
        path.push(new_move(MoveKind::Line, 30.0, Some(90.0)));
        path.push(new_move(MoveKind::Line, 40.0, None));
        assert_eq!(path.rotary_deg, [0.0, 90.0, 90.0]);
        let second = path.get(1);
        assert_eq!((second.from_mm.x, second.to_mm.x), (10.0, 30.0));
        assert_eq!(second.rotary_deg, (0.0, 90.0));
        assert_eq!(second.feed_time_s(), Some(2.0));
    }
}
