//! A program as read, with every run of a block and which run each move belongs to.

use super::EditError;
use kw_base::Sources;
use kw_nc::{BlockRun, ReadContext, Reading, read_traced};
use std::ops::Range;

/// Most runs of blocks that edits follow: about 1 GB of notes. Our choice.
const MOST_RUNS: usize = 8_000_000;

pub(super) struct Traced {
    pub(super) reading: Reading,
    pub(super) runs: Vec<BlockRun>,
    /// Index of the run of each move; never falls.
    pub(super) run_of_move: Vec<u32>,
}

impl Traced {
    pub(super) fn read(sources: &Sources, context: &ReadContext<'_>) -> Result<Self, EditError> {
        let mut runs = Vec::new();
        let mut over = false;
        let reading = read_traced(sources, context, |run| {
            over |= runs.len() >= MOST_RUNS;
            if !over {
                runs.push(run);
            }
        });
        if over {
            return Err(EditError::TooLong);
        }
        let run_of_move = assign(&reading, &runs);
        Ok(Self { reading, runs, run_of_move })
    }

    /// Moves of a run.
    pub(super) fn moves_of(&self, run: usize) -> Range<usize> {
        let from = self.run_of_move.partition_point(|&r| (r as usize) < run);
        let to = self.run_of_move.partition_point(|&r| r as usize <= run);
        from..to
    }
}

/// Cutter compensation gives the moves of a block only once it knows the next one, so that a move
/// belongs to the last run of its own block and not always to the run that gave it.
fn assign(reading: &Reading, runs: &[BlockRun]) -> Vec<u32> {
    let mut given_by = 0;
    let mut before = 0;
    let mut result = Vec::with_capacity(reading.toolpath.len());
    for (index, &block_at) in reading.toolpath.block_at.iter().enumerate() {
        while given_by + 1 < runs.len() && runs[given_by].moves_after as usize <= index {
            given_by += 1;
        }
        let back = (before..=given_by)
            .rev()
            .find(|&r| runs.get(r).is_some_and(|run| run.block_at == block_at));
        before = back.unwrap_or(given_by.max(before));
        result.push(before as u32);
    }
    result
}
