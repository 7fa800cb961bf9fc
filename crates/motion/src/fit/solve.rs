//! Least squares in the logarithms of the factors.

use super::{TimedRun, UNDETERMINED, Unknown};
use crate::limits::Limits;
use crate::planner::plan;

/// Most rounds.
const ROUNDS: u32 = 40;

/// Change of all logarithms that counts as none.
const SETTLED: f64 = 1e-5;

/// Largest logarithm of a factor: 20 times up or down. Beyond, the stated value was nonsense.
const FURTHEST: f64 = 3.0;

/// Step of the logarithm in the coarse grid of starting points: three times up or down.
const COARSE_STEP: f64 = 1.1;

/// Starting points followed.
const STARTS: usize = 3;

/// Step of the logarithm for slopes: large enough to smooth over decisions of the planner.
const STEP: f64 = 0.01;

pub(super) struct Problem<'a> {
    pub runs: &'a [TimedRun<'a>],
    pub stated: &'a Limits,
    pub unknowns: &'a [Unknown],
}

/// Where the least squares ended.
#[derive(Clone, Debug)]
pub(super) struct Solution {
    pub logs: Vec<f64>,
    pub planned_s: Vec<f64>,
    pub covariance: Vec<Vec<f64>>,
    pub squares: f64,
    pub misfit: f64,
    pub rounds: u32,
    pub settled: bool,
}

impl Solution {
    pub fn standard_error(&self, index: usize) -> f64 {
        self.covariance[index][index].max(0.0).sqrt()
    }

    /// The unknown of the largest standard error, if that is too large to say anything or the
    /// factor ran to its bound.
    pub fn least_determined(&self) -> Option<usize> {
        let worst = (0..self.logs.len())
            .max_by(|&a, &b| self.standard_error(a).total_cmp(&self.standard_error(b)))?;
        let at_bound = self.logs.iter().position(|log| log.abs() >= FURTHEST);
        if self.standard_error(worst) > UNDETERMINED { Some(worst) } else { at_bound }
    }
}

/// Residuals over errors, and their slopes by each logarithm.
struct Local {
    planned_s: Vec<f64>,
    residual: Vec<f64>,
    squares: f64,
}

impl Problem<'_> {
    /// The best of the solutions from the most promising starting points.
    pub fn solve(&self) -> Solution {
        let starts = self.starts();
        let solutions = starts.into_iter().map(|logs| self.descend(logs));
        let better = |a: Solution, b: Solution| if b.misfit < a.misfit { b } else { a };
        solutions.reduce(better).unwrap_or_else(|| self.descend(vec![0.0; self.unknowns.len()]))
    }

    /// The best few points of a coarse grid over the unknowns that hide one another, such as
    /// acceleration and jerk: there the sum of squares has several valleys.
    fn starts(&self) -> Vec<Vec<f64>> {
        let coarse: Vec<usize> =
            (0..self.unknowns.len()).filter(|&k| self.unknowns[k].hides_others()).collect();
        let mut points = vec![vec![0.0; self.unknowns.len()]];
        for k in coarse {
            for index in 0..points.len() {
                for log in [-COARSE_STEP, COARSE_STEP] {
                    let mut point = points[index].clone();
                    point[k] = log;
                    points.push(point);
                }
            }
        }
        let mut rated: Vec<(f64, Vec<f64>)> =
            points.into_iter().map(|point| (self.at(&point).squares, point)).collect();
        rated.sort_by(|a, b| a.0.total_cmp(&b.0));
        rated.into_iter().take(STARTS).map(|(_, point)| point).collect()
    }

    fn descend(&self, mut logs: Vec<f64>) -> Solution {
        let count = self.unknowns.len();
        let mut here = self.at(&logs);
        let mut damping = 1e-3;
        let (mut rounds, mut settled) = (0, count == 0);
        while rounds < ROUNDS && !settled {
            rounds += 1;
            let slopes = self.slopes(&logs);
            let (normal, gradient) = normal_equations(&slopes, &here.residual, count);
            let mut moved = false;
            for _ in 0..8 {
                let step = damped_step(&normal, &gradient, damping);
                let trial: Vec<f64> = logs
                    .iter()
                    .zip(&step)
                    .map(|(log, s)| (log + s.clamp(-1.0, 1.0)).clamp(-FURTHEST, FURTHEST))
                    .collect();
                let there = self.at(&trial);
                let change =
                    trial.iter().zip(&logs).fold(0.0_f64, |m, (a, b)| m.max((a - b).abs()));
                if there.squares <= here.squares {
                    settled = change < SETTLED;
                    (logs, here, moved) = (trial, there, true);
                    damping = (damping * 0.2).max(1e-12);
                    break;
                }
                if change < SETTLED {
                    break;
                }
                damping *= 8.0;
            }
            // No step improves it any more: this is the lowest point the slopes can tell.
            settled |= !moved;
        }
        let slopes = self.slopes(&logs);
        let (normal, _) = normal_equations(&slopes, &here.residual, count);
        let free = self.runs.len().saturating_sub(count);
        let scatter = if free > 0 { here.squares / free as f64 } else { 1.0 };
        let covariance = scaled(covariance(normal), scatter.max(1.0));
        let misfit = (here.squares / self.runs.len() as f64).sqrt();
        let planned_s = here.planned_s;
        let squares = here.squares;
        Solution { logs, planned_s, covariance, squares, misfit, rounds, settled }
    }

    fn planned_s(&self, logs: &[f64]) -> Vec<f64> {
        let limits = Unknown::all_scaled(self.unknowns, self.stated, logs);
        self.runs.iter().map(|run| plan(run.toolpath, &limits, &run.options).total_s).collect()
    }

    fn at(&self, logs: &[f64]) -> Local {
        let planned_s = self.planned_s(logs);
        let residual: Vec<f64> = self
            .runs
            .iter()
            .zip(&planned_s)
            .map(|(run, planned)| (run.measured_s - planned) / run.error_s)
            .collect();
        let squares = residual.iter().map(|r| r * r).sum();
        Local { planned_s, residual, squares }
    }

    /// For each unknown the slope of each planned time over its error.
    fn slopes(&self, logs: &[f64]) -> Vec<Vec<f64>> {
        (0..logs.len())
            .map(|k| {
                let shifted = |step: f64| {
                    let mut logs = logs.to_vec();
                    logs[k] += step;
                    self.planned_s(&logs)
                };
                let (high, low) = (shifted(STEP), shifted(-STEP));
                let per_step = |(run, (h, l)): (&TimedRun<'_>, (&f64, &f64))| {
                    (h - l) / (2.0 * STEP * run.error_s)
                };
                self.runs.iter().zip(high.iter().zip(&low)).map(per_step).collect()
            })
            .collect()
    }
}

fn normal_equations(
    slopes: &[Vec<f64>],
    residual: &[f64],
    count: usize,
) -> (Vec<Vec<f64>>, Vec<f64>) {
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
    let normal =
        (0..count).map(|i| (0..count).map(|j| dot(&slopes[i], &slopes[j])).collect()).collect();
    let gradient = slopes.iter().map(|s| dot(s, residual)).collect();
    (normal, gradient)
}

/// Step of the damped normal equations; zero where they have no solution.
fn damped_step(normal: &[Vec<f64>], gradient: &[f64], damping: f64) -> Vec<f64> {
    let mut damped = normal.to_vec();
    let largest = (0..normal.len()).fold(0.0_f64, |m, i| m.max(normal[i][i]));
    for (i, row) in damped.iter_mut().enumerate() {
        row[i] += damping * row[i].max(1e-6 * largest) + f64::MIN_POSITIVE;
    }
    match inverse(&damped) {
        Some(rows) => {
            rows.iter().map(|row| row.iter().zip(gradient).map(|(a, b)| a * b).sum()).collect()
        }
        None => vec![0.0; gradient.len()],
    }
}

/// Inverse of the normal matrix, with a trace of weight against any change, so that what the runs
/// do not tell comes out with a huge error instead of none.
fn covariance(mut normal: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
    const TRACE: f64 = 1e-9;
    let count = normal.len();
    for (i, row) in normal.iter_mut().enumerate() {
        row[i] = row[i] * (1.0 + TRACE) + TRACE;
    }
    inverse(&normal).unwrap_or_else(|| vec![vec![f64::INFINITY; count]; count])
}

fn scaled(mut rows: Vec<Vec<f64>>, factor: f64) -> Vec<Vec<f64>> {
    rows.iter_mut().flatten().for_each(|value| *value *= factor);
    rows
}

/// Inverse of a symmetric positive definite matrix by Gauss–Jordan on its scaled form; `None` if
/// it is singular to working precision.
fn inverse(matrix: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let n = matrix.len();
    let scale: Vec<f64> = (0..n).map(|i| matrix[i][i].sqrt()).collect();
    if scale.iter().any(|s| !(*s > 0.0 && s.is_finite())) {
        return None;
    }
    let mut work: Vec<Vec<f64>> = (0..n)
        .map(|i| {
            let left = (0..n).map(|j| matrix[i][j] / (scale[i] * scale[j]));
            let right = (0..n).map(|j| if i == j { 1.0 } else { 0.0 });
            left.chain(right).collect()
        })
        .collect();
    for column in 0..n {
        let pivot =
            (column..n).max_by(|&a, &b| work[a][column].abs().total_cmp(&work[b][column].abs()))?;
        if work[pivot][column].abs() < 1e-12 {
            return None;
        }
        work.swap(column, pivot);
        let pivot_row = work[column].clone();
        for (row, values) in work.iter_mut().enumerate() {
            let factor = if row == column {
                1.0 - 1.0 / pivot_row[column]
            } else {
                values[column] / pivot_row[column]
            };
            for (value, p) in values.iter_mut().zip(&pivot_row) {
                *value -= factor * p;
            }
        }
    }
    let unscaled = |(i, row): (usize, &Vec<f64>)| {
        row[n..].iter().zip(&scale).map(|(v, s)| v / (scale[i] * s)).collect()
    };
    Some(work.iter().enumerate().map(unscaled).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inverse_of_a_small_matrix() {
        let inverted = inverse(&[vec![4.0, 2.0], vec![2.0, 3.0]]).expect("regular");
        let expected = [[0.375, -0.25], [-0.25, 0.5]];
        for (row, wanted) in inverted.iter().zip(expected) {
            for (value, w) in row.iter().zip(wanted) {
                assert!((value - w).abs() < 1e-14, "{inverted:?}");
            }
        }
        assert!(inverse(&[vec![1.0, 1.0], vec![1.0, 1.0]]).is_none());
    }
}
