//! The machine's unknown limits, fitted from measured run times.
//!
//! Users seldom know what their machine's accelerations are, but can time a program. Each unknown
//! is a factor on the stated limit; the factors are found by least squares (Levenberg–Marquardt in
//! the logarithms of the factors; Marquardt, SIAM J. Appl. Math. 11, 1963). An unknown that the
//! runs do not determine is named and left as stated, unless the stated value contradicts the runs.

mod solve;
mod unknown;

use crate::limits::Limits;
use crate::options::PlanOptions;
use crate::planner::plan;
use kw_nc::Toolpath;
use solve::Problem;
use thiserror::Error;
pub use unknown::Unknown;

/// Relative standard error above which a factor counts as not determined: the value could as well
/// be twice or half as large.
pub const UNDETERMINED: f64 = std::f64::consts::LN_2;

/// One timed run of a program.
#[derive(Clone, Copy, Debug)]
pub struct TimedRun<'a> {
    /// What ran.
    pub toolpath: &'a Toolpath,
    /// Overrides as they stood.
    pub options: PlanOptions,
    /// Measured time without waiting for persons, s, above 0.
    pub measured_s: f64,
    /// Error of the measurement (one standard deviation), s, above 0; 1 s for a stop watch.
    pub error_s: f64,
}

/// Why nothing can be fitted.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum FitError {
    /// There is no run.
    #[error("no run was timed")]
    NoRuns,
    /// There is no unknown, or one stands twice.
    #[error("no unknown is given, or one is given twice")]
    BadUnknowns,
    /// A time or its error is not above 0.
    #[error("run {index}: {measured_s} s with an error of {error_s} s is no measured time")]
    BadTime {
        /// Index of the run.
        index: usize,
        /// Its measured time.
        measured_s: f64,
        /// Its error.
        error_s: f64,
    },
}

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The limits with the fitted factors.
    pub limits: Limits,
    /// What was found for each unknown, in the order asked for.
    pub values: Vec<FittedValue>,
    /// How each run comes out with them.
    pub runs: Vec<FittedRun>,
    /// Root mean square of residual over error of measurement; about 1 if the model explains the
    /// measurements as well as they were taken.
    pub misfit: f64,
    /// Rounds it took.
    pub rounds: u32,
    /// Whether the last round changed nothing that matters.
    pub settled: bool,
    /// Covariance of the logarithms of the determined factors, in their order.
    covariance: Vec<Vec<f64>>,
}

/// What was found for one unknown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FittedValue {
    /// The unknown.
    pub unknown: Unknown,
    /// Factor on the stated limit. If not determined it is 1, or, where the stated value does not
    /// fit the runs, one of the values that do.
    pub factor: f64,
    /// Standard error of the factor's logarithm, that is, relative; infinite if not determined.
    pub standard_error: f64,
    /// Whether the runs determine it.
    pub finding: Determination,
}

/// Whether runs determine an unknown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Determination {
    /// They do.
    Determined,
    /// Doubling it changes no run by more than its error of measurement.
    WithoutEffect {
        /// Largest change of a run when it is doubled, s.
        largest_change_s: f64,
    },
    /// Its effect cannot be told from that of the other unknowns with so few or so alike runs.
    NotSeparable,
}

/// How one run comes out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FittedRun {
    /// Measured, s.
    pub measured_s: f64,
    /// Planned with the fitted limits, s.
    pub planned_s: f64,
}

impl FittedRun {
    /// Measured minus planned, s.
    pub fn residual_s(&self) -> f64 {
        self.measured_s - self.planned_s
    }
}

/// Fits factors on the stated limits to timed runs.
///
/// Every run is planned up to 27 times to find starting points, then some (2 · unknowns + 2) times a
/// round, in 5 to 40 rounds from each of three starts. The standard errors come from the curvature at the solution and the larger of the stated errors of
/// measurement and the scatter found.
pub fn fit(runs: &[TimedRun<'_>], stated: &Limits, unknowns: &[Unknown]) -> Result<Fit, FitError> {
    check(runs, unknowns)?;
    let mut open: Vec<Unknown> = unknowns.to_vec();
    let mut held: Vec<(Unknown, f64)> = Vec::new();
    let mut base = stated.clone();
    let mut solution = Problem { runs, stated: &base, unknowns: &open }.solve();
    while let Some(index) = solution.least_determined() {
        let unknown = open.remove(index);
        let as_stated = Problem { runs, stated: &base, unknowns: &open }.solve();
        if as_stated.squares <= solution.squares + WORSE {
            held.push((unknown, 1.0));
            solution = as_stated;
        } else {
            let factor = kw_base::math::exp(solution.logs[index]);
            held.push((unknown, factor));
            base = unknown.scaled(&base, factor);
            solution = Problem { runs, stated: &base, unknowns: &open }.solve();
        }
    }
    Ok(report(runs, unknowns, Found { open: &open, held: &held, base: &base, solution }))
}

/// Sum of squares by which the stated value of an undetermined unknown may fit worse than another
/// before it is given up: one standard deviation of one measurement.
const WORSE: f64 = 1.0;

/// What the rounds of a fit come to.
struct Found<'a> {
    /// The unknowns that are determined.
    open: &'a [Unknown],
    /// The others with the factor they are held at.
    held: &'a [(Unknown, f64)],
    /// The limits with the held factors.
    base: &'a Limits,
    solution: solve::Solution,
}

fn check(runs: &[TimedRun<'_>], unknowns: &[Unknown]) -> Result<(), FitError> {
    if runs.is_empty() {
        return Err(FitError::NoRuns);
    }
    let twice = |(i, u): (usize, &Unknown)| unknowns[..i].contains(u);
    if unknowns.is_empty() || unknowns.iter().enumerate().any(twice) {
        return Err(FitError::BadUnknowns);
    }
    let good = |s: f64| s > 0.0 && s.is_finite();
    match runs.iter().position(|r| !good(r.measured_s) || !good(r.error_s)) {
        Some(index) => {
            let TimedRun { measured_s, error_s, .. } = runs[index];
            Err(FitError::BadTime { index, measured_s, error_s })
        }
        None => Ok(()),
    }
}

/// Why an unknown is not determined.
fn effect(runs: &[TimedRun<'_>], fitted: &Limits, unknown: Unknown) -> Determination {
    let doubled = unknown.scaled(fitted, 2.0);
    let changes = runs.iter().map(|run| {
        let time = |limits: &Limits| plan(run.toolpath, limits, &run.options).total_s;
        ((time(fitted) - time(&doubled)).abs(), run.error_s)
    });
    let (mut largest_change_s, mut seen) = (0.0_f64, false);
    for (change_s, error_s) in changes {
        largest_change_s = largest_change_s.max(change_s);
        seen |= change_s > error_s;
    }
    if seen {
        Determination::NotSeparable
    } else {
        Determination::WithoutEffect { largest_change_s }
    }
}

fn report(runs: &[TimedRun<'_>], asked: &[Unknown], found: Found<'_>) -> Fit {
    let Found { open, held, base, solution } = found;
    let limits = Unknown::all_scaled(open, base, &solution.logs);
    let value = |&unknown: &Unknown| match open.iter().position(|o| *o == unknown) {
        Some(index) => FittedValue {
            unknown,
            factor: kw_base::math::exp(solution.logs[index]),
            standard_error: solution.standard_error(index),
            finding: Determination::Determined,
        },
        None => FittedValue {
            unknown,
            factor: held.iter().find(|h| h.0 == unknown).map_or(1.0, |h| h.1),
            standard_error: f64::INFINITY,
            finding: effect(runs, &limits, unknown),
        },
    };
    let values = asked.iter().map(value).collect();
    let outcome = |(run, &planned_s): (&TimedRun<'_>, &f64)| FittedRun {
        measured_s: run.measured_s,
        planned_s,
    };
    Fit {
        values,
        runs: runs.iter().zip(&solution.planned_s).map(outcome).collect(),
        limits,
        misfit: solution.misfit,
        rounds: solution.rounds,
        settled: solution.settled,
        covariance: solution.covariance,
    }
}

impl Fit {
    /// Standard error of the planned time of another program, s: what the errors of the fitted
    /// factors do to it (first order).
    pub fn standard_error_s(&self, toolpath: &Toolpath, options: &PlanOptions) -> f64 {
        const STEP: f64 = 0.02;
        let determined: Vec<Unknown> = self
            .values
            .iter()
            .filter(|v| v.finding == Determination::Determined)
            .map(|v| v.unknown)
            .collect();
        let slope = |unknown: &Unknown| {
            let at = |step: f64| {
                let limits = unknown.scaled(&self.limits, kw_base::math::exp(step));
                plan(toolpath, &limits, options).total_s
            };
            (at(STEP) - at(-STEP)) / (2.0 * STEP)
        };
        let slopes: Vec<f64> = determined.iter().map(slope).collect();
        let mut variance = 0.0;
        for (row, a) in self.covariance.iter().zip(&slopes) {
            for (c, b) in row.iter().zip(&slopes) {
                variance += a * c * b;
            }
        }
        variance.max(0.0).sqrt()
    }
}

impl FittedValue {
    /// What was found, in one sentence for people.
    pub fn sentence(&self) -> String {
        let name = self.unknown.name();
        let held = if self.factor == 1.0 {
            String::new()
        } else {
            format!(" (held at {:.3} times, for the stated value does not fit)", self.factor)
        };
        match self.finding {
            Determination::Determined => {
                let spread = kw_base::math::exp(self.standard_error);
                let (low, high) = (self.factor / spread, self.factor * spread);
                format!(
                    "{name}: {:.3} times what the machine's file states (likely {low:.3} to \
                     {high:.3})",
                    self.factor
                )
            }
            Determination::WithoutEffect { largest_change_s } => format!(
                "{name}: not determined{held}; doubling it changes no timed run by more than \
                 {largest_change_s:.2} s, which is within the error of measurement. Time a \
                 program in which it counts."
            ),
            Determination::NotSeparable => format!(
                "{name}: not determined{held}; its effect cannot be told from that of the other \
                 unknowns. Time more programs of other kinds, or fit fewer unknowns."
            ),
        }
    }
}
