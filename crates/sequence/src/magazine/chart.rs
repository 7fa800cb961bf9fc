//! Counting swaps of an order, again and again while the order changes a little.
//!
//! A tool is kept from one use to the next if every job between has a pocket left for it. Swaps are
//! all needs less all keeps, so keeps are to be as many as possible. Going through the uses from
//! front to back and keeping whatever still fits is optimal: if a keep that ends first is left out of
//! a best choice, it can take the place of any one that is in its way at the first full job, which
//! covers the rest of it too. The same count as loading by what is needed soonest, but in a form that
//! can be redone for a part of the order only.

use super::sets::{Sets, WithSets};

/// An order with its count of keeps, and a changed order on trial.
pub(super) struct Chart<'a, const W: usize> {
    sets: &'a Sets<W>,
    held: Record,
    trial: Record,
    /// Positions of the trial that were counted: from the first changed to the last that differed.
    counted: std::ops::RangeInclusive<usize>,
    taken: Vec<u16>,
}

/// For each position: the job, the keeps that end there, and the free pockets of all earlier
/// positions after these.
#[derive(Clone)]
struct Record {
    order: Vec<u32>,
    keeps: Vec<u16>,
    free: Vec<u16>,
    total: usize,
}

impl<'a, const W: usize> Chart<'a, W> {
    /// `order` is one of [`Sets::positions`].
    pub fn new(sets: &'a Sets<W>, order: Vec<u32>) -> Self {
        let jobs = order.len();
        let empty = Record { order, keeps: vec![0; jobs], free: vec![0; jobs * jobs], total: 0 };
        let mut chart =
            Self { sets, trial: empty.clone(), held: empty, counted: 0..=0, taken: vec![0; jobs] };
        if jobs > 0 {
            chart.count_trial(0, jobs - 1);
            chart.accept();
        }
        chart
    }

    /// The order held.
    pub fn order(&self) -> &[u32] {
        &self.held.order
    }

    /// The order on trial; change positions `from..=to` only, then call [`Chart::count_trial`] with
    /// them, then [`Chart::accept`] or [`Chart::reject`].
    pub fn trial_order(&mut self) -> &mut [u32] {
        &mut self.trial.order
    }

    /// Swaps of the order held.
    pub fn swaps(&self) -> usize {
        self.swaps_for(self.held.total)
    }

    fn swaps_for(&self, keeps: usize) -> usize {
        (self.sets.needs - keeps).saturating_sub(self.sets.free_insertions)
    }

    /// Swaps of the trial, of which positions `from..=to` differ from the order held.
    ///
    /// Counting stops as soon as everything that still matters is as in the order held: from some
    /// position on that has no pocket left, so that no keep crosses it, all is the same.
    pub fn count_trial(&mut self, from: usize, to: usize) -> usize {
        let jobs = self.trial.order.len();
        let mut gained = 0;
        let mut lost = 0;
        let mut last = from;
        let mut floor = 0;
        for end in from..jobs {
            last = end;
            floor = self.start_row(end, from, floor);
            self.trial.keeps[end] = self.keep_to(end);
            gained += self.trial.keeps[end] as usize;
            lost += self.held.keeps[end] as usize;
            if end > to && self.is_settled(end, to) {
                break;
            }
        }
        self.counted = from..=last;
        self.trial.total = self.held.total + gained - lost;
        self.swaps_for(self.trial.total)
    }

    /// Copies the free pockets before `end` from the row before, down to the last full position.
    fn start_row(&mut self, end: usize, from: usize, floor: usize) -> usize {
        let jobs = self.trial.order.len();
        let own = self.sets.free[self.trial.order[end] as usize];
        let Self { held, trial, .. } = self;
        if end == 0 {
            trial.free[0] = own;
            return 0;
        }
        let before = (end - 1) * jobs;
        if end == from {
            trial.free[end * jobs..][..end].copy_from_slice(&held.free[before..][..end]);
        } else {
            trial.free.copy_within(before + floor..before + end, end * jobs + floor);
        }
        let row = &mut trial.free[end * jobs..][..=end];
        row[end] = own;
        row.iter().rposition(|&free| free == 0).unwrap_or(0).max(floor)
    }

    /// Keeps as many tools as fit for the job at `end`, nearest earlier use first.
    fn keep_to(&mut self, end: usize) -> u16 {
        let Self { sets, trial, taken, .. } = self;
        let jobs = trial.order.len();
        let row = &mut trial.free[end * jobs..][..end];
        let mut wanted = sets.tools[trial.order[end] as usize];
        let (mut keeps, mut room, mut lowest) = (0, u16::MAX, end);
        for start in (0..end).rev() {
            lowest = start;
            let there = &sets.tools[trial.order[start] as usize];
            let (mut same, mut left) = (0, 0);
            for word in 0..W {
                same += (wanted[word] & there[word]).count_ones();
                wanted[word] &= !there[word];
                left |= wanted[word];
            }
            let take = (same as u16).min(room);
            taken[start] = take;
            keeps += take;
            room = (room - take).min(row[start]);
            if left == 0 || room == 0 {
                break;
            }
        }
        let mut crossing = 0;
        for at in lowest..end {
            row[at] -= crossing;
            crossing += taken[at];
        }
        keeps
    }

    /// Whether the rows of trial and order held are the same at `end` down to a full position after
    /// the change.
    fn is_settled(&self, end: usize, to: usize) -> bool {
        let jobs = self.trial.order.len();
        let (new, old) = (&self.trial.free[end * jobs..], &self.held.free[end * jobs..]);
        for at in (to + 1..=end).rev() {
            if new[at] != old[at] {
                return false;
            }
            if new[at] == 0 {
                return true;
            }
        }
        false
    }

    /// Makes the trial the order held.
    pub fn accept(&mut self) {
        let jobs = self.trial.order.len();
        let (from, to) = (*self.counted.start(), *self.counted.end());
        let Self { held, trial, .. } = self;
        held.order.copy_from_slice(&trial.order);
        held.keeps[from..=to].copy_from_slice(&trial.keeps[from..=to]);
        held.free[from * jobs..(to + 1) * jobs]
            .copy_from_slice(&trial.free[from * jobs..(to + 1) * jobs]);
        held.total = trial.total;
    }

    /// Gives up the trial, of which positions `from..=to` were changed.
    pub fn reject(&mut self, from: usize, to: usize) {
        self.trial.order[from..=to].copy_from_slice(&self.held.order[from..=to]);
    }
}

/// Counts the swaps of one order.
pub(super) struct CountSwaps<'a> {
    pub order: &'a [usize],
}

impl WithSets for CountSwaps<'_> {
    type Output = usize;

    fn run<const W: usize>(self, sets: &Sets<W>) -> usize {
        Chart::new(sets, sets.positions(self.order)).swaps()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dice::Dice;
    use crate::magazine::{Job, Queue, load, sets};

    /// A queue of `jobs` jobs with up to `most` of `tools` tools each.
    fn queue(dice: &mut Dice, jobs: usize, tools: usize, most: usize, known: bool) -> Queue {
        let mut job = || Job {
            tools: (0..1 + dice.below(most)).map(|_| dice.below(tools) as u32).collect(),
            ..Job::default()
        };
        let jobs = (0..jobs).map(|_| job()).collect();
        let pockets = known.then(|| (0..most as u32).map(|tool| Some(2 * tool)).collect());
        Queue { jobs, capacity: most + 2, pockets, ..Queue::default() }
    }

    /// Random changes of part of an order, some kept: the count of every trial is that of the loading
    /// plan, which is made in another way.
    struct Changes {
        queue: Queue,
        dice: Dice,
    }

    impl WithSets for Changes {
        type Output = ();

        fn run<const W: usize>(mut self, sets: &Sets<W>) {
            let jobs = self.queue.jobs.len();
            let first = usize::from(sets.has_contents);
            let start: Vec<usize> = (0..jobs).collect();
            let mut chart = Chart::new(sets, sets.positions(&start));
            for _ in 0..300 {
                let at = [self.dice.below(jobs), self.dice.below(jobs)];
                let (from, to) = (first + at[0].min(at[1]), first + at[0].max(at[1]));
                chart.trial_order()[from..=to].reverse();
                let turn = self.dice.below(to - from + 1);
                chart.trial_order()[from..=to].rotate_left(turn);
                let order: Vec<usize> =
                    chart.trial_order()[first..].iter().map(|&job| job as usize).collect();
                let expected = load(&self.queue, &order).unwrap().swaps();
                assert_eq!(chart.count_trial(from, to), expected);
                if self.dice.below(2) == 0 {
                    chart.accept();
                    assert_eq!(chart.swaps(), expected);
                } else {
                    chart.reject(from, to);
                }
            }
        }
    }

    #[test]
    fn counting_a_part_anew_agrees_with_the_loading_plan() {
        for (seed, (jobs, tools, most)) in
            [(12, 9, 3), (30, 20, 5), (20, 90, 12), (16, 200, 30), (14, 400, 60)]
                .into_iter()
                .enumerate()
        {
            for known in [false, true] {
                let mut dice = Dice::new(seed as u64, usize::from(known));
                let queue = queue(&mut dice, jobs, tools, most, known);
                sets::with_sets(&queue.clone(), Changes { queue, dice });
            }
        }
    }
}
