//! Which tools are in the magazine for which job of a queue, and the order of jobs that saves swaps.
//!
//! Every job needs a set of tools at once; the magazine holds `capacity` tools of any kind, each in
//! one pocket. [`load`] gives the fewest swaps for a given order, with every swap explained;
//! [`solve`] searches for the order: least lateness first, fewest swaps second.
//!
//! Counting: without known contents the first filling is free (as many tools as fit); each later
//! insertion of a tool is one swap. With known contents every insertion is one swap, also into an
//! empty pocket. Not covered: tools that need more than one pocket or a place of their own.
//! Sources: keeping the tools that are needed soonest is optimal for a given order (Tang, Denardo
//! 1988, Operations Research 36, 767-777).

mod anneal;
mod chart;
mod lateness;
mod loading;
mod sets;
mod solve;

pub use lateness::{completion_times_s, lateness_s};
pub use loading::{LoadingPlan, LoadingStep, Swap, TakenOut, load};
pub use solve::solve;

use crate::precedence::{Precedence, RuleError};
use crate::search::Ended;

/// Most jobs of one queue.
pub const MAX_JOBS: usize = 1000;

/// Most different tools that the jobs of one queue use together.
pub const MAX_TOOLS: usize = 1024;

/// One job of a queue.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Job {
    /// Tools it needs, by number; a number twice counts once.
    pub tools: Vec<u32>,
    /// How long it takes, >= 0.
    pub duration_s: i64,
    /// When it should be done, counted from the start of the queue; `None`: any time will do.
    pub due_s: Option<i64>,
    /// How much each second of lateness weighs against that of other jobs; 0 counts as 1.
    pub weight: u16,
}

/// A queue of jobs for one machine.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Queue {
    /// The jobs; they are named by their index.
    pub jobs: Vec<Job>,
    /// Pockets of the magazine.
    pub capacity: usize,
    /// Pairs (earlier, later) of jobs that must keep this order.
    pub before: Vec<(usize, usize)>,
    /// Tool in each pocket now, `None` for an empty pocket; pockets beyond the end are empty.
    /// `None` as a whole: unknown, so the first filling is free.
    pub pockets: Option<Vec<Option<u32>>>,
}

/// Why a queue cannot be planned.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum QueueError {
    /// The order rules contradict one another or name unknown jobs.
    #[error(transparent)]
    Rules(#[from] RuleError),
    /// A job needs more tools than fit into the magazine.
    #[error("job {job} needs {tools} tools at once, but the magazine holds {capacity}")]
    JobTooLarge {
        /// Index of the job.
        job: usize,
        /// Different tools it needs.
        tools: usize,
        /// Pockets.
        capacity: usize,
    },
    /// More pockets are listed than the magazine has.
    #[error("contents of {listed} pockets are given, but the magazine holds {capacity} tools")]
    TooManyPockets {
        /// Pockets listed.
        listed: usize,
        /// Pockets there are.
        capacity: usize,
    },
    /// A tool is listed in two pockets.
    #[error("tool {tool} is listed in pocket {first} and in pocket {second} (counted from 0)")]
    ToolTwice {
        /// The tool.
        tool: u32,
        /// Index of one pocket.
        first: usize,
        /// Index of the other.
        second: usize,
    },
    /// A job's duration is negative, or a time is beyond [`MAX_TIME_S`].
    #[error(
        "job {job} has a duration of {duration_s} s and a due time of {due_s:?} s; times must lie between 0 and {MAX_TIME_S} s, due times may also be as much negative"
    )]
    TimeOutOfRange {
        /// Index of the job.
        job: usize,
        /// Its duration.
        duration_s: i64,
        /// Its due time.
        due_s: Option<i64>,
    },
    /// More jobs or tools than are planned in one go.
    #[error(
        "{jobs} jobs with {tools} tools are too many: at most {MAX_JOBS} jobs and {MAX_TOOLS} tools are planned in one go"
    )]
    TooMany {
        /// Jobs in the queue.
        jobs: usize,
        /// Different tools they need.
        tools: usize,
    },
    /// A list of jobs is not an order of this queue.
    #[error("the order given does not hold every job of the queue once, or breaks a rule")]
    NotAnOrder,
}

/// Longest duration and latest due time that are accepted, in seconds (about three years); with it
/// no sum of weighted lateness can overflow.
pub const MAX_TIME_S: i64 = 100_000_000;

/// An order of jobs and what is known about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Schedule {
    /// Every job once.
    pub order: Vec<usize>,
    /// Weighted sum of the seconds by which jobs are done after their due time.
    pub lateness_s: i64,
    /// Swaps that the best loading for this order needs.
    pub swaps: usize,
    /// No order needs fewer swaps than this: tools that must come in some time.
    pub swaps_at_least: usize,
    /// How the search went.
    pub stats: ScheduleStats,
}

/// How a search went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ScheduleStats {
    /// Moves tried by all lanes together.
    pub moves: u64,
    /// Moves accepted by all lanes together.
    pub accepted: u64,
    /// Rounds of annealing.
    pub rounds: u32,
    /// Why the search ended.
    pub ended: Ended,
}

impl Queue {
    /// Checks the queue and gives its order rules.
    fn checked(&self) -> Result<Precedence, QueueError> {
        for (job, Job { duration_s, due_s, .. }) in self.jobs.iter().enumerate() {
            let due_fits = due_s.is_none_or(|due| (-MAX_TIME_S..=MAX_TIME_S).contains(&due));
            if !(0..=MAX_TIME_S).contains(duration_s) || !due_fits {
                let (duration_s, due_s) = (*duration_s, *due_s);
                return Err(QueueError::TimeOutOfRange { job, duration_s, due_s });
            }
        }
        let used = sets::used_tools(self);
        let (jobs, tools) = (self.jobs.len(), used.len());
        if jobs > MAX_JOBS || tools > MAX_TOOLS {
            return Err(QueueError::TooMany { jobs, tools });
        }
        let capacity = self.capacity;
        for job in 0..jobs {
            let tools = sets::tools_of(self, job).len();
            if tools > capacity {
                return Err(QueueError::JobTooLarge { job, tools, capacity });
            }
        }
        self.check_pockets()?;
        Ok(Precedence::new(jobs, &self.before)?)
    }

    fn check_pockets(&self) -> Result<(), QueueError> {
        let Some(pockets) = &self.pockets else { return Ok(()) };
        let (listed, capacity) = (pockets.len(), self.capacity);
        if listed > capacity {
            return Err(QueueError::TooManyPockets { listed, capacity });
        }
        for (second, tool) in pockets.iter().enumerate() {
            let Some(tool) = *tool else { continue };
            if let Some(first) = pockets[..second].iter().position(|&other| other == Some(tool)) {
                return Err(QueueError::ToolTwice { tool, first, second });
            }
        }
        Ok(())
    }
}

/// Fewest swaps for the jobs in this order, without the steps; see [`load`] for those.
///
/// Errors: a queue that cannot be planned, or a list that is not an order of it.
pub fn fewest_swaps(queue: &Queue, order: &[usize]) -> Result<usize, QueueError> {
    if !queue.checked()?.allows(order) {
        return Err(QueueError::NotAnOrder);
    }
    Ok(sets::with_sets(queue, chart::CountSwaps { order }))
}
