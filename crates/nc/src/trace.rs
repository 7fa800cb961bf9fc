//! A program read with a record of every block run, for changes that must know what was in force
//! where.

use crate::context::ReadContext;
use crate::interpret::Interpreter;
use crate::lex::Block;
use crate::reading::Reading;
use kw_base::{Sources, Span};

pub use crate::interpret::modal::FeedMode;

/// One block each time it runs, with the words that changes deal with and what is in force after.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BlockRun {
    /// Byte offset of the block in the sources.
    pub block_at: u32,
    /// Number of moves of the toolpath once the block has run; with cutter compensation the moves
    /// of a block may follow in later runs.
    pub moves_after: u32,
    /// Value of its F word.
    pub feed_word: Option<f64>,
    /// Value of its S word.
    pub speed_word: Option<f64>,
    /// Its Z word, mm, without any offset.
    pub z_word_mm: Option<f64>,
    /// Number of the F in force after it; `None` if there is none.
    pub feed: Option<f64>,
    /// How that number is read.
    pub feed_mode: FeedMode,
    /// mm/min for F1 in the mode of length per minute.
    pub feed_unit_mm_min: f64,
    /// Spindle speed in force after it, 1/min.
    pub speed_rpm: f64,
    /// Tool in work after it.
    pub tool: Option<u32>,
    /// Work system 1 to 9 after it.
    pub work_system: u8,
    /// Whether positions are absolute.
    pub absolute: bool,
    /// mm for one length unit.
    pub unit_mm: f64,
}

/// As [`crate::read`], and hands every block to `sink` each time it has run.
pub fn read_traced(
    sources: &Sources,
    context: &ReadContext<'_>,
    mut sink: impl FnMut(BlockRun),
) -> Reading {
    let mut interpreter = Interpreter::new(sources, context);
    interpreter.run_watched(|interpreter, block, _| sink(interpreter.block_run(block)));
    interpreter.finish()
}

impl Interpreter<'_> {
    fn block_run(&self, block: &Block) -> BlockRun {
        let skipped = block.deletable && self.context().block_delete;
        let word = |letter: u8| block.get(letter).filter(|_| !skipped);
        let after = self.state_after();
        BlockRun {
            block_at: block.at,
            moves_after: self.move_count() as u32,
            feed_word: word(b'F'),
            speed_word: word(b'S'),
            z_word_mm: word(b'Z').map(|_| self.length(block, b'Z')),
            feed: after.feed,
            feed_mode: after.feed_mode,
            feed_unit_mm_min: self.feed_unit_mm_min(),
            speed_rpm: after.spindle_rpm,
            tool: after.tool,
            work_system: after.work_system,
            absolute: after.absolute,
            unit_mm: if after.inch { 25.4 } else { 1.0 },
        }
    }
}

/// A word as it is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WrittenWord<'a> {
    /// Its letter, upper or lower case as written.
    pub letter: char,
    /// Where it stands, letter included, trailing blanks left out.
    pub span: Span,
    /// What follows the letter.
    pub value: &'a [u8],
}

/// The words of the block that starts at an offset, in order; comments and parameter settings are
/// passed over.
pub fn written_words(
    sources: &Sources,
    block_at: u32,
) -> impl Iterator<Item = WrittenWord<'_>> + '_ {
    crate::spans::words_of(sources, block_at).map(|w| WrittenWord {
        letter: w.letter,
        span: w.span,
        value: w.value,
    })
}
