//! What every search here takes and tells: seed, budget, and why it ended.

use rayon::prelude::*;

/// How a search is run.
#[derive(Clone, Copy)]
pub struct SearchOptions<'a> {
    /// Seed of the random moves; the same seed gives the same result.
    pub seed: u64,
    /// Moves tried by each lane before the search ends; 0 returns the constructed start.
    pub iterations: u64,
    /// Independent searches side by side, at least 1 (0 counts as 1), at most [`MAX_LANES`].
    /// The result depends on this number, never on the number of threads that work on it.
    pub lanes: usize,
    /// Asked every few thousand moves; `true` ends the search with the best found so far.
    pub should_stop: &'a (dyn Fn() -> bool + Sync),
    /// An order to start from, such as yesterday's plan; ignored unless it keeps every rule.
    pub start: Option<&'a [usize]>,
}

/// More lanes than this are not run: each keeps its own tables.
pub const MAX_LANES: usize = 64;

impl SearchOptions<'static> {
    /// Two lanes, seed 1, no start, and a search that ends after `iterations` moves in each lane.
    pub fn with_iterations(iterations: u64) -> Self {
        Self { seed: 1, iterations, lanes: 2, should_stop: &|| false, start: None }
    }
}

impl std::fmt::Debug for SearchOptions<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("SearchOptions")
            .field("seed", &self.seed)
            .field("iterations", &self.iterations)
            .field("lanes", &self.lanes)
            .field("start", &self.start)
            .finish_non_exhaustive()
    }
}

/// Why a search ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// Nothing better exists.
    Proven,
    /// The iterations were used up.
    Iterations,
    /// `should_stop` said so.
    Stopped,
}

/// What a lane did in one run, or all lanes in one round.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Done {
    pub moves: u64,
    pub accepted: u64,
    pub stopped: bool,
}

/// Runs all lanes, on as many threads as there are, and adds up what they did.
pub(crate) fn run_lanes<L: Send>(
    lanes: &mut [L],
    run: impl Fn(&mut L) -> Done + Sync + Send,
) -> Done {
    let done: Vec<Done> = lanes.par_iter_mut().map(run).collect();
    done.into_iter().fold(Done::default(), |sum, lane| Done {
        moves: sum.moves + lane.moves,
        accepted: sum.accepted + lane.accepted,
        stopped: sum.stopped || lane.stopped,
    })
}

/// Moves between two questions to `should_stop`.
pub(crate) const MOVES_PER_QUESTION: u64 = 2048;
