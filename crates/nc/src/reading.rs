//! What reading a program gives.

use crate::Toolpath;
use crate::context::ReadContext;
use crate::interpret::Interpreter;
use crate::parameters::Parameters;
use kw_base::{FindingLog, Sources};
use kw_geometry::{Plane, Vec3};

/// A program as read: what moves, what is wrong, and the state at the end.
#[derive(Clone, Debug)]
pub struct Reading {
    /// Motions and events.
    pub toolpath: Toolpath,
    /// What is wrong with the text, in order of running.
    pub findings: FindingLog,
    /// What the program states about itself.
    pub stated: Stated,
    /// Different blocks read; blank lines and `%` are not counted, repeats neither.
    pub blocks: u64,
    /// Numbered parameters at the end.
    pub parameters: Parameters,
    /// State at the end.
    pub end: EndState,
}

/// What a program states about itself: byte offsets of the blocks where it does so first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Stated {
    /// G20 or G21.
    pub units: Option<u32>,
    /// G17, G18 or G19.
    pub plane: Option<u32>,
    /// G90 or G91.
    pub distance: Option<u32>,
    /// G54 to G59.3.
    pub work_system: Option<u32>,
    /// A feed, F.
    pub feed: Option<u32>,
    /// A spindle speed, S.
    pub speed: Option<u32>,
    /// The end, M2 or M30.
    pub end: Option<u32>,
    /// The second of a pair of `%` lines, where it ends the program instead of M2 or M30.
    pub percent_end: Option<u32>,
    /// The first block that moves.
    pub first_move: Option<u32>,
    /// The first block that moves at feed.
    pub first_feed_move: Option<u32>,
    /// The first arc or canned cycle, which depend on the plane.
    pub first_in_plane: Option<u32>,
    /// Whether the dialect states the units for every program (`start_codes`).
    pub units_by_dialect: bool,
    /// Whether the dialect states the plane for every program (`start_codes`).
    pub plane_by_dialect: bool,
}

/// State after the last block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EndState {
    /// Axis position, mm.
    pub axis_mm: Vec3,
    /// The same in the coordinates of the program: work system, offsets and tool length taken off,
    /// mm.
    pub program_mm: Vec3,
    /// Rotary position, degrees.
    pub rotary_deg: f64,
    /// Whether units are inches.
    pub inch: bool,
    /// Whether positions are absolute.
    pub absolute: bool,
    /// Plane of arcs.
    pub plane: Plane,
    /// Work system 1 to 9.
    pub work_system: u8,
}

/// Reads a program: file 0 of `sources` is the main program, the others hold subprograms.
///
/// Never fails: whatever the bytes, what can be understood becomes motion, the rest findings.
/// Cost is linear in the blocks run; these are bounded by the text and the dialect's
/// `max_blocks_run`.
pub fn read(sources: &Sources, context: &ReadContext<'_>) -> Reading {
    let mut interpreter = Interpreter::new(sources, context);
    interpreter.run();
    interpreter.finish()
}
