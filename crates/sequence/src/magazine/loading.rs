//! What to load and unload for an order of jobs, step by step.

use super::{Queue, QueueError, sets};
use std::collections::{BTreeMap, BTreeSet};

/// Contents of the magazine for every job of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoadingPlan {
    /// Tool in each pocket before the first job: as the queue says, or the free first filling.
    pub first: Vec<Option<u32>>,
    /// One step for each job, in order.
    pub steps: Vec<LoadingStep>,
}

/// What is done before one job, and what the magazine then holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoadingStep {
    /// Index of the job.
    pub job: usize,
    /// Swaps before the job, by tool number.
    pub swaps: Vec<Swap>,
    /// Tool in each pocket during the job.
    pub pockets: Vec<Option<u32>>,
}

/// One tool put in, because the job of this step needs it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Swap {
    /// Index of the pocket.
    pub pocket: usize,
    /// The tool put in.
    pub put_in: u32,
    /// The tool taken out for it; `None` if the pocket was empty.
    pub taken_out: Option<TakenOut>,
}

/// A tool taken out, and why this one: no other that the job can spare is needed later than it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TakenOut {
    /// The tool.
    pub tool: u32,
    /// Job that needs it next, and how many jobs later that is; `None`: not needed again.
    pub next_use: Option<NextUse>,
}

/// When a tool is needed again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NextUse {
    /// Index of the job that needs it.
    pub job: usize,
    /// Jobs from the present one to that one, at least 1.
    pub jobs_later: usize,
}

impl std::fmt::Display for TakenOut {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.next_use {
            None => write!(f, "tool {} is not needed again", self.tool),
            Some(NextUse { job, jobs_later }) => write!(
                f,
                "tool {} is needed again only for job {job}, {jobs_later} later; no tool that could \
                 go instead is needed after that",
                self.tool
            ),
        }
    }
}

impl LoadingPlan {
    /// Number of swaps of the whole plan.
    pub fn swaps(&self) -> usize {
        self.steps.iter().map(|step| step.swaps.len()).sum()
    }
}

/// The fewest swaps for the jobs in this order, each with its pocket and its reason.
///
/// A tool is put in only when a job needs it; taken out is the tool that is needed last of those the
/// job can spare (of equals the one in the lowest pocket), so no plan for this order has fewer swaps.
/// Tools that stay do not move to another pocket. Errors: a queue that cannot be planned, or a list
/// that is not an order of it.
pub fn load(queue: &Queue, order: &[usize]) -> Result<LoadingPlan, QueueError> {
    if !queue.checked()?.allows(order) {
        return Err(QueueError::NotAnOrder);
    }
    let needed: Vec<BTreeSet<u32>> = order.iter().map(|&job| sets::tools_of(queue, job)).collect();
    let mut uses: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for (at, tools) in needed.iter().enumerate() {
        for &tool in tools {
            uses.entry(tool).or_default().push(at);
        }
    }
    let mut pockets = first_contents(queue, &needed);
    let first = pockets.clone();
    let mut steps = Vec::with_capacity(order.len());
    for (at, &job) in order.iter().enumerate() {
        let missing = needed[at].iter().filter(|&&tool| !pockets.contains(&Some(tool)));
        let missing: Vec<u32> = missing.copied().collect();
        let mut swaps = Vec::with_capacity(missing.len());
        for put_in in missing {
            let Some(pocket) = pocket_for(&pockets, &needed[at], |tool| next_use(&uses, tool, at))
            else {
                break;
            };
            let taken_out = pockets[pocket].map(|tool| {
                let next_use = next_use(&uses, tool, at)
                    .map(|next| NextUse { job: order[next], jobs_later: next - at });
                TakenOut { tool, next_use }
            });
            pockets[pocket] = Some(put_in);
            swaps.push(Swap { pocket, put_in, taken_out });
        }
        steps.push(LoadingStep { job, swaps, pockets: pockets.clone() });
    }
    Ok(LoadingPlan { first, steps })
}

/// Position after `at` where a tool is needed next.
fn next_use(uses: &BTreeMap<u32, Vec<usize>>, tool: u32, at: usize) -> Option<usize> {
    let positions = uses.get(&tool)?;
    positions.get(positions.partition_point(|&position| position <= at)).copied()
}

/// Known contents with all pockets, or the tools needed first, as many as fit.
fn first_contents(queue: &Queue, needed: &[BTreeSet<u32>]) -> Vec<Option<u32>> {
    let used = sets::used_tools(queue).len();
    if let Some(pockets) = &queue.pockets {
        // More empty pockets than tools could ever fill are of no use.
        let size = queue.capacity.min(pockets.len() + used);
        let mut contents = pockets.clone();
        contents.resize(size, None);
        return contents;
    }
    let mut contents: Vec<Option<u32>> = Vec::new();
    for &tool in needed.iter().flatten() {
        if contents.len() < queue.capacity && !contents.contains(&Some(tool)) {
            contents.push(Some(tool));
        }
    }
    contents
}

/// The lowest empty pocket, else that of the tool that is needed last and not by this job.
fn pocket_for(
    pockets: &[Option<u32>],
    needed_now: &BTreeSet<u32>,
    next_use: impl Fn(u32) -> Option<usize>,
) -> Option<usize> {
    if let Some(empty) = pockets.iter().position(Option::is_none) {
        return Some(empty);
    }
    let spare = pockets.iter().enumerate().filter_map(|(at, tool)| tool.map(|tool| (at, tool)));
    let spare = spare.filter(|(_, tool)| !needed_now.contains(tool));
    let last = spare
        .max_by_key(|&(at, tool)| (next_use(tool).unwrap_or(usize::MAX), std::cmp::Reverse(at)));
    last.map(|(at, _)| at)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::magazine::{Job, fewest_swaps};

    fn queue(jobs: &[&[u32]], capacity: usize, pockets: Option<Vec<Option<u32>>>) -> Queue {
        let jobs = jobs.iter().map(|tools| Job { tools: tools.to_vec(), ..Job::default() });
        Queue { jobs: jobs.collect(), capacity, pockets, ..Queue::default() }
    }

    #[test]
    fn the_tool_needed_last_goes_and_the_reason_is_told() {
        let queue = queue(&[&[1, 2], &[3], &[1], &[2], &[4]], 2, None);
        let plan = load(&queue, &[0, 1, 2, 3, 4]).unwrap();
        assert_eq!(plan.first, [Some(1), Some(2)]);
        let swap = plan.steps[1].swaps[0];
        assert_eq!((swap.pocket, swap.put_in), (1, 3));
        assert_eq!(
            swap.taken_out.unwrap().to_string(),
            "tool 2 is needed again only for job 3, 2 later; no tool that could go instead is needed \
             after that"
        );
        let swap = plan.steps[3].swaps[0];
        assert_eq!((swap.pocket, swap.put_in), (0, 2));
        assert_eq!(swap.taken_out.unwrap().to_string(), "tool 1 is not needed again");
        assert_eq!(plan.swaps(), 3);
    }

    #[test]
    fn known_contents_count_every_insertion_and_stay_in_their_pockets() {
        let queue = queue(&[&[1, 2], &[2, 5]], 3, Some(vec![Some(5), Some(2)]));
        let plan = load(&queue, &[0, 1]).unwrap();
        assert_eq!(plan.steps[0].swaps, [Swap { pocket: 2, put_in: 1, taken_out: None }]);
        assert_eq!(plan.steps[1].pockets, [Some(5), Some(2), Some(1)]);
        assert_eq!((plan.swaps(), fewest_swaps(&queue, &[0, 1]).unwrap()), (1, 1));
    }

    #[test]
    fn wrong_queues_and_orders_are_told() {
        let fits = queue(&[&[1, 2, 2]], 2, None);
        assert!(load(&fits, &[0]).is_ok());
        assert_eq!(load(&fits, &[1]).unwrap_err(), QueueError::NotAnOrder);
        let large = queue(&[&[1, 2, 3]], 2, None);
        assert_eq!(
            load(&large, &[0]).unwrap_err().to_string(),
            "job 0 needs 3 tools at once, but the magazine holds 2"
        );
        let twice = queue(&[&[1]], 2, Some(vec![Some(1), Some(1)]));
        let expected = QueueError::ToolTwice { tool: 1, first: 0, second: 1 };
        assert_eq!(load(&twice, &[0]).unwrap_err(), expected);
        let many = queue(&[&[1]], 1, Some(vec![None, None]));
        let expected = QueueError::TooManyPockets { listed: 2, capacity: 1 };
        assert_eq!(load(&many, &[0]).unwrap_err(), expected);
        let mut early = queue(&[&[1]], 1, None);
        early.jobs[0].duration_s = -1;
        assert!(matches!(load(&early, &[0]), Err(QueueError::TimeOutOfRange { job: 0, .. })));
        assert!(load(&queue(&[], 0, None), &[]).unwrap().steps.is_empty());
    }
}
