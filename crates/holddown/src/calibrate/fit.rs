//! Levenberg–Marquardt descent in the logarithm of permeability and the leak area.

use super::{Bench, Calibration, Determined, Reading};
use crate::flow::Orifice;
use crate::network::{NetworkError, Node, Solution, solve};
use kw_base::math;

const PERMEABILITY_RANGE_M2: (f64, f64) = (1e-17, 1e-9);
const LEAK_RANGE_M2: (f64, f64) = (0.0, 0.1);
/// Starting points looked at: per decade of permeability, and leak areas, m².
const STARTS_PER_DECADE: usize = 4;
const START_LEAKS_M2: [f64; 5] = [0.0, 1e-6, 1e-5, 1e-4, 1e-3];
const MOST_STEPS: usize = 100;
/// Logarithm of permeability and leak area.
type Point = [f64; 2];

pub(super) struct Fit<'a> {
    bench: &'a Bench,
    readings: &'a [Reading],
    with_leak: bool,
    warm: Vec<Option<Solution>>,
}

/// Residuals in standard deviations and their derivatives.
struct Linear {
    residuals: Vec<f64>,
    slopes: Vec<Point>,
}

impl<'a> Fit<'a> {
    pub(super) fn new(bench: &'a Bench, readings: &'a [Reading]) -> Self {
        Self { bench, readings, with_leak: readings.len() > 1, warm: vec![None; readings.len()] }
    }

    pub(super) fn run(mut self) -> Result<Calibration, NetworkError> {
        let start = self.best_start()?;
        let at = self.descend(start)?;
        self.report(at)
    }

    fn best_start(&mut self) -> Result<Point, NetworkError> {
        let decades =
            math::log10(PERMEABILITY_RANGE_M2.1 / PERMEABILITY_RANGE_M2.0).round() as usize;
        let leaks: &[f64] = if self.with_leak { &START_LEAKS_M2 } else { &START_LEAKS_M2[..1] };
        let mut best = (f64::INFINITY, [math::log(1e-13), 0.0]);
        for i in 0..=decades * STARTS_PER_DECADE {
            let share = i as f64 / STARTS_PER_DECADE as f64;
            let ln_k = math::log(PERMEABILITY_RANGE_M2.0) + share * core::f64::consts::LN_10;
            for &leak in leaks {
                let sum = squares(&self.residuals([ln_k, leak])?);
                if sum < best.0 {
                    best = (sum, [ln_k, leak]);
                }
            }
        }
        Ok(best.1)
    }

    /// Computed minus read, in standard deviations of the gauge.
    fn residuals(&mut self, [ln_k, leak_m2]: Point) -> Result<Vec<f64>, NetworkError> {
        let mut board = self.bench.board;
        board.layer.permeability_m2 = math::exp(ln_k);
        let mut residuals = Vec::with_capacity(self.readings.len());
        for (reading, warm) in self.readings.iter().zip(&mut self.warm) {
            let mut network = self.bench.network.clone();
            for (zone, openings) in reading.openings.iter().enumerate() {
                let opened = openings.leak(Some(&board), &network.air);
                network.zones[zone].leak = opened.joined(&self.bench.network.zones[zone].leak);
                network.set_zone_open(zone, reading.open[zone]);
            }
            let hole = Orifice::effective(leak_m2);
            match self.bench.leak_at {
                Node::Zone(zone) => network.zones[zone].leak.orifices.push(hole),
                Node::Manifold(manifold) => network.manifolds[manifold].leak.orifices.push(hole),
            }
            let solution = solve(&network, warm.as_ref())?;
            residuals.push(
                (solution.pressure_pa(reading.gauge) - reading.pressure_pa) / reading.error_pa,
            );
            *warm = Some(solution);
        }
        Ok(residuals)
    }

    /// Derivatives by differences: relative in permeability, by a small hole in the leak.
    fn linear(&mut self, at: Point) -> Result<Linear, NetworkError> {
        let residuals = self.residuals(at)?;
        let mut slopes = vec![[0.0; 2]; residuals.len()];
        for parameter in 0..if self.with_leak { 2 } else { 1 } {
            let step = if parameter == 0 { 1e-4 } else { 1e-4 * at[1] + 1e-10 };
            let mut moved = at;
            moved[parameter] += step;
            for (slope, (new, old)) in
                slopes.iter_mut().zip(self.residuals(moved)?.iter().zip(&residuals))
            {
                slope[parameter] = (new - old) / step;
            }
        }
        Ok(Linear { residuals, slopes })
    }

    fn descend(&mut self, mut at: Point) -> Result<Point, NetworkError> {
        let mut damping = 1e-3;
        let mut linear = self.linear(at)?;
        let mut sum = squares(&linear.residuals);
        for _ in 0..MOST_STEPS {
            let Some(step) = linear.step(damping) else { break };
            let next = clamped([at[0] + step[0], at[1] + step[1]]);
            let moved = (next[0] - at[0]).abs() + (next[1] - at[1]).abs() / (next[1] + 1e-9);
            let trial = squares(&self.residuals(next)?);
            if trial < sum {
                (at, sum) = (next, trial);
                linear = self.linear(at)?;
                damping = (damping * 0.2).max(1e-12);
            } else {
                damping *= 5.0;
            }
            if moved < 1e-10 || damping > 1e12 {
                break;
            }
        }
        Ok(at)
    }

    fn report(&mut self, at: Point) -> Result<Calibration, NetworkError> {
        let linear = self.linear(at)?;
        let errors = linear.errors(self.with_leak);
        let residuals_pa: Vec<f64> = linear
            .residuals
            .iter()
            .zip(self.readings)
            .map(|(r, reading)| r * reading.error_pa)
            .collect();
        let rms_pa = (squares(&residuals_pa) / residuals_pa.len() as f64).sqrt();
        Ok(Calibration {
            permeability_m2: math::exp(at[0]),
            permeability_error: errors[0],
            permeability_determined: Determined::by(errors[0]),
            leak_m2: at[1],
            leak_error_m2: self.with_leak.then_some(errors[1]),
            rms_pa,
            fits: linear.residuals.iter().all(|r| r.abs() <= 3.0),
            residuals_pa,
        })
    }
}

impl Linear {
    /// Sums of products of slopes: 11, 12, 22, and slopes times residuals.
    fn normal(&self) -> ([f64; 3], Point) {
        let mut matrix = [0.0; 3];
        let mut right = [0.0; 2];
        for (r, [a, b]) in self.residuals.iter().zip(&self.slopes) {
            matrix[0] += a * a;
            matrix[1] += a * b;
            matrix[2] += b * b;
            right[0] += a * r;
            right[1] += b * r;
        }
        (matrix, right)
    }

    /// Damped step; `None` if nothing depends on the parameters.
    fn step(&self, damping: f64) -> Option<Point> {
        let ([aa, ab, bb], [ar, br]) = self.normal();
        if aa <= 0.0 && bb <= 0.0 {
            return None;
        }
        let (aa, bb) =
            (aa * (1.0 + damping) + f64::MIN_POSITIVE, bb * (1.0 + damping) + f64::MIN_POSITIVE);
        let determinant = aa * bb - ab * ab;
        let step = [(ab * br - bb * ar) / determinant, (ab * ar - aa * br) / determinant];
        step.iter().all(|s| s.is_finite()).then_some(step)
    }

    /// Standard deviations of both parameters from the gauges' uncertainty, widened where the readings
    /// disagree by more; infinite where the readings cannot tell.
    fn errors(&self, with_leak: bool) -> Point {
        let ([aa, ab, bb], _) = self.normal();
        let parameters = if with_leak { 2 } else { 1 };
        let spare = self.residuals.len().saturating_sub(parameters);
        let widening =
            if spare > 0 { (squares(&self.residuals) / spare as f64).max(1.0) } else { 1.0 };
        let root = |variance: f64| {
            if variance.is_finite() { (variance * widening).sqrt() } else { f64::INFINITY }
        };
        if !with_leak {
            return [root(1.0 / aa), 0.0];
        }
        // Share of each parameter's information that the other does not explain.
        let own = 1.0 - ab * ab / (aa * bb);
        if own.is_nan() {
            return [root(1.0 / aa), root(1.0 / bb)];
        }
        if own < 1e-6 {
            return [f64::INFINITY; 2];
        }
        [root(1.0 / (aa * own)), root(1.0 / (bb * own))]
    }
}

fn clamped([ln_k, leak]: Point) -> Point {
    let (low, high) = PERMEABILITY_RANGE_M2;
    [ln_k.clamp(math::log(low), math::log(high)), leak.clamp(LEAK_RANGE_M2.0, LEAK_RANGE_M2.1)]
}

fn squares(values: &[f64]) -> f64 {
    values.iter().map(|v| v * v).sum()
}
