//! Where an edit holds.

use kw_base::Sources;
use kw_nc::Move;

/// Where an edit holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scope {
    /// In the whole program.
    All,
    /// While a tool is in work.
    Tool(u32),
    /// In a range of moves of the toolpath, both ends included, from 0.
    Moves {
        /// First move.
        first: u32,
        /// Last move.
        last: u32,
    },
    /// In a range of lines of the main program, both ends included, from 1.
    Lines {
        /// First line.
        first: u32,
        /// Last line.
        last: u32,
    },
}

impl Scope {
    /// Whether it holds for a move.
    pub(super) fn holds(self, m: &Move<'_>, sources: &Sources) -> bool {
        match self {
            Self::All => true,
            Self::Tool(tool) => m.state.tool == Some(tool),
            Self::Moves { first, last } => (first as usize..=last as usize).contains(&m.index),
            Self::Lines { .. } => self.holds_block(m.block_at, sources),
        }
    }

    /// Whether it holds for what a block switches.
    pub(super) fn holds_block(self, block_at: u32, sources: &Sources) -> bool {
        match self {
            Self::Lines { first, last } => {
                main_line(sources, block_at).is_some_and(|l| (first..=last).contains(&l))
            }
            _ => true,
        }
    }
}

/// Line of an offset if it is in the main program.
pub(super) fn main_line(sources: &Sources, at: u32) -> Option<u32> {
    let file = sources.files().first()?;
    let inside = (at - file.base) as usize <= file.bytes().len();
    inside.then(|| file.line_column(at).line)
}

/// Line of an offset in its own file; 0 if it is in none.
pub(super) fn line(sources: &Sources, at: u32) -> u32 {
    sources.file_of(at).map_or(0, |f| f.line_column(at).line)
}
