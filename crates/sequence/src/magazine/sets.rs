//! Tool sets as bits, in as many words as the queue needs.

use super::Queue;
use std::collections::{BTreeMap, BTreeSet};

/// Different tools of one job.
pub(super) fn tools_of(queue: &Queue, job: usize) -> BTreeSet<u32> {
    queue.jobs[job].tools.iter().copied().collect()
}

/// Different tools of all jobs.
pub(super) fn used_tools(queue: &Queue) -> BTreeSet<u32> {
    queue.jobs.iter().flat_map(|job| job.tools.iter().copied()).collect()
}

/// Tool sets of all jobs, and what the counting needs besides.
///
/// With known contents of the magazine they are one more job, the last, which must come first.
#[derive(Clone, Debug)]
pub(super) struct Sets<const W: usize> {
    pub tools: Vec<[u64; W]>,
    /// Pockets left free by each job; for the contents 0.
    pub free: Vec<u16>,
    /// Tools of all jobs, each counted as often as a job needs it.
    pub needs: usize,
    /// Insertions that count for nothing.
    pub free_insertions: usize,
    /// Tools that must be brought in some time in any order.
    pub swaps_at_least: usize,
    /// Whether the last set is the contents of the magazine.
    pub has_contents: bool,
}

impl<const W: usize> Sets<W> {
    fn new(queue: &Queue) -> Self {
        let used = used_tools(queue);
        let number: BTreeMap<u32, usize> =
            used.iter().enumerate().map(|(at, &tool)| (tool, at)).collect();
        let bits = |tools: &BTreeSet<u32>| {
            let mut set = [0u64; W];
            for at in tools.iter().filter_map(|tool| number.get(tool)) {
                set[at / 64] |= 1 << (at % 64);
            }
            set
        };
        let needed: Vec<BTreeSet<u32>> =
            (0..queue.jobs.len()).map(|job| tools_of(queue, job)).collect();
        let mut sets = Self {
            tools: needed.iter().map(bits).collect(),
            free: needed.iter().map(|tools| free_pockets(queue.capacity, tools.len())).collect(),
            needs: needed.iter().map(BTreeSet::len).sum(),
            free_insertions: queue.capacity.min(used.len()),
            swaps_at_least: used.len().saturating_sub(queue.capacity),
            has_contents: false,
        };
        if let Some(pockets) = &queue.pockets {
            let contents: BTreeSet<u32> = pockets.iter().flatten().copied().collect();
            sets.tools.push(bits(&contents));
            sets.free.push(0);
            sets.free_insertions = 0;
            sets.swaps_at_least = used.difference(&contents).count();
            sets.has_contents = true;
        }
        sets
    }

    /// An order of jobs as positions: the contents first, if known.
    pub fn positions(&self, order: &[usize]) -> Vec<u32> {
        let contents = self.has_contents.then(|| self.tools.len() as u32 - 1);
        contents.into_iter().chain(order.iter().map(|&job| job as u32)).collect()
    }
}

/// Pockets a job leaves free. More than all tools of a queue make no difference.
fn free_pockets(capacity: usize, tools: usize) -> u16 {
    capacity.saturating_sub(tools).min(super::MAX_TOOLS) as u16
}

/// Something done with the sets of a queue, whatever their number of words.
pub(super) trait WithSets {
    type Output;
    fn run<const W: usize>(self, sets: &Sets<W>) -> Self::Output;
}

/// Runs `task` with sets that have room for all tools of a checked queue.
pub(super) fn with_sets<T: WithSets>(queue: &Queue, task: T) -> T::Output {
    match used_tools(queue).len() {
        0..=64 => task.run::<1>(&Sets::new(queue)),
        65..=128 => task.run::<2>(&Sets::new(queue)),
        129..=256 => task.run::<4>(&Sets::new(queue)),
        _ => task.run::<16>(&Sets::new(queue)),
    }
}
