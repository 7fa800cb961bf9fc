//! A program told to a learner: each block in words, with the state after it.

mod codes;
mod words;

use crate::context::ReadContext;
use crate::interpret::Interpreter;
use crate::interpret::modal::FeedMode;
use crate::lex::{Block, Code};
use crate::toolpath::{CompensationSide, SpindleTurn};
use kw_base::{Sources, Span};
use kw_geometry::{Plane, Vec3};
use std::fmt;

/// One block in words.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockExplanation {
    /// The block in the text.
    pub span: Span,
    /// How many subprograms it is inside of.
    pub depth: usize,
    /// Its words in order.
    pub words: Vec<WordExplanation>,
    /// Number of motions it gave; a canned cycle gives many.
    pub moves: usize,
    /// What is in force after it.
    pub after: StateAfter,
}

/// One word of a block and what it does there.
#[derive(Clone, Debug, PartialEq)]
pub struct WordExplanation {
    /// The word in the text.
    pub span: Span,
    /// What it does, in words with units.
    pub meaning: String,
}

/// What is in force after a block. Its text form is one line for people.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StateAfter {
    /// Position in program coordinates, mm.
    pub program_mm: Vec3,
    /// Rotary position in program coordinates, degrees.
    pub rotary_deg: f64,
    /// Tool in work.
    pub tool: Option<u32>,
    /// How the spindle turns.
    pub spindle: SpindleTurn,
    /// Spindle speed, 1/min.
    pub spindle_rpm: f64,
    /// Whether positions are absolute.
    pub absolute: bool,
    /// Whether units are inches.
    pub inch: bool,
    /// Plane of arcs.
    pub plane: Plane,
    /// Work system 1 to 9.
    pub work_system: u8,
    /// Side of cutter compensation.
    pub compensation: CompensationSide,
    pub(crate) feed: Option<f64>,
    pub(crate) feed_unit: &'static str,
    pub(crate) feed_mode: FeedMode,
    pub(crate) motion: Code,
}

/// Reads a program and hands each block in words to `sink`, in order of running; blocks of
/// subprograms the first time only.
///
/// Faults are not part of it: [`crate::read`] reports them. Cost is linear in the blocks run.
pub fn explain(
    sources: &Sources,
    context: &ReadContext<'_>,
    mut sink: impl FnMut(BlockExplanation),
) {
    Interpreter::new(sources, context).run_watched(|interpreter, block, shown| {
        if shown.repeated {
            return;
        }
        sink(BlockExplanation {
            span: crate::spans::block_span(sources, block.at),
            depth: shown.depth,
            words: words_of(sources, interpreter, block),
            moves: shown.moves,
            after: interpreter.state_after(),
        });
    });
}

fn words_of(
    sources: &Sources,
    interpreter: &Interpreter<'_>,
    block: &Block,
) -> Vec<WordExplanation> {
    let after = interpreter.state_after();
    crate::spans::words_of(sources, block.at)
        .map(|word| WordExplanation {
            span: word.span,
            meaning: words::meaning(interpreter, block, &after, &word),
        })
        .collect()
}

impl fmt::Display for StateAfter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (per, unit) = if self.inch { (25.4, "in") } else { (1.0, "mm") };
        let p = self.program_mm * (1.0 / per);
        let short = |value: f64| words::rounded(value, 4);
        write!(f, "X {} Y {} Z {} {unit}", short(p.x), short(p.y), short(p.z))?;
        if self.rotary_deg != 0.0 {
            write!(f, ", turned to {} deg", short(self.rotary_deg))?;
        }
        write!(f, " from {}", crate::interpret::system_name(self.work_system))?;
        match self.tool {
            Some(tool) => write!(f, "; tool {tool}")?,
            None => write!(f, "; no tool")?,
        }
        let turn = match self.spindle {
            SpindleTurn::Still => "spindle still".to_owned(),
            SpindleTurn::Clockwise => format!("spindle clockwise {} 1/min", self.spindle_rpm),
            SpindleTurn::Counterclockwise => {
                format!("spindle counterclockwise {} 1/min", self.spindle_rpm)
            }
        };
        write!(f, "; {turn}; {}", words::feed(self.feed, self))?;
        write!(f, "; {}", codes::motion_in_force(self.motion))?;
        let distance = if self.absolute { "absolute" } else { "incremental" };
        let plane = match self.plane {
            Plane::Xy => "XY",
            Plane::Zx => "ZX",
            Plane::Yz => "YZ",
        };
        write!(f, "; {distance}, {plane} plane")?;
        match self.compensation {
            CompensationSide::Off => Ok(()),
            CompensationSide::Left => write!(f, ", tool left of the contour"),
            CompensationSide::Right => write!(f, ", tool right of the contour"),
        }
    }
}
