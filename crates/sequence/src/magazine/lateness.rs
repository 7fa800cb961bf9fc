//! How late jobs are, and orders that start from due times.

use super::{Job, Queue};
use crate::precedence::Precedence;

/// When each job of an order is done, from the start of the queue, one job right after the other.
///
/// Swaps take no time here: let durations include what a change of jobs usually takes. Unknown jobs
/// are left out.
pub fn completion_times_s(queue: &Queue, order: &[usize]) -> Vec<i64> {
    let jobs = order.iter().filter_map(|&job| queue.jobs.get(job));
    jobs.scan(0, |clock, job| {
        *clock += job.duration_s;
        Some(*clock)
    })
    .collect()
}

/// Weighted sum of the seconds by which jobs are done after their due time. Unknown jobs are left out.
pub fn lateness_s(queue: &Queue, order: &[usize]) -> i64 {
    let known: Vec<&Job> = order.iter().filter_map(|&job| queue.jobs.get(job)).collect();
    let done = completion_times_s(queue, order);
    known.iter().zip(done).map(|(job, done_s)| lateness_of(job, done_s)).sum()
}

/// Weighted lateness of one job that is done at `done_s`.
pub(super) fn lateness_of(job: &Job, done_s: i64) -> i64 {
    job.due_s.map_or(0, |due_s| (done_s - due_s).max(0) * i64::from(job.weight.max(1)))
}

/// Jobs by due time, a job counting as due early enough for those that must follow it.
///
/// If any order has no late job, this one has none (Lawler 1973, from memory).
pub(super) fn by_due_time(queue: &Queue, precedence: &Precedence) -> Vec<usize> {
    let jobs = queue.jobs.len();
    let mut due: Vec<i64> = queue.jobs.iter().map(|job| job.due_s.unwrap_or(i64::MAX)).collect();
    let plain = grown(precedence, |_, ready| ready.iter().min().copied());
    for &job in plain.iter().rev() {
        for &later in precedence.successors(job) {
            let later = later as usize;
            due[job] = due[job].min(due[later].saturating_sub(queue.jobs[later].duration_s));
        }
    }
    let order =
        grown(precedence, |_, ready| ready.iter().min_by_key(|&&job| (due[job], job)).copied());
    debug_assert_eq!(order.len(), jobs);
    order
}

/// An order that keeps all rules, grown by choosing among the jobs that may come next.
pub(super) fn grown(
    precedence: &Precedence,
    choose: impl Fn(&[usize], &[usize]) -> Option<usize>,
) -> Vec<usize> {
    let mut waiting: Vec<usize> =
        (0..precedence.len()).map(|job| precedence.predecessors(job).len()).collect();
    let mut ready: Vec<usize> = (0..precedence.len()).filter(|&job| waiting[job] == 0).collect();
    let mut order = Vec::with_capacity(precedence.len());
    while let Some(job) = choose(&order, &ready) {
        ready.retain(|&other| other != job);
        order.push(job);
        for &later in precedence.successors(job) {
            waiting[later as usize] -= 1;
            if waiting[later as usize] == 0 {
                ready.push(later as usize);
            }
        }
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    fn job(duration_s: i64, due_s: Option<i64>) -> Job {
        Job { duration_s, due_s, ..Job::default() }
    }

    #[test]
    fn lateness_is_weighted_and_never_negative() {
        let mut queue = Queue {
            jobs: vec![job(10, Some(5)), job(10, Some(50)), job(10, None), job(10, Some(-5))],
            ..Queue::default()
        };
        assert_eq!(completion_times_s(&queue, &[0, 1, 2, 3]), [10, 20, 30, 40]);
        assert_eq!(lateness_s(&queue, &[0, 1, 2, 3]), 5 + 45);
        queue.jobs[3].weight = 3;
        assert_eq!(lateness_s(&queue, &[3, 0, 1, 2]), 3 * 15 + 15);
    }

    #[test]
    fn a_job_is_early_enough_for_those_that_must_follow() {
        let queue = Queue {
            jobs: vec![job(10, None), job(10, Some(15)), job(10, Some(20))],
            before: vec![(0, 2)],
            ..Queue::default()
        };
        let precedence = Precedence::new(3, &queue.before).unwrap();
        // job 0 counts as due at 10, so it comes before job 1
        assert_eq!(by_due_time(&queue, &precedence), [0, 1, 2]);
    }
}
