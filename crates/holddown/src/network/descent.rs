//! Damped Newton descent of the network's convex function.

use super::cholesky::Symmetric;
use super::system::System;
use super::{Network, NetworkError};

/// Steps before giving up; valid networks need 5 to 15.
const MOST_STEPS: usize = 200;
/// Settled when no node is out of balance by more than this share of what the pumps draw at ambient: far
/// below any reading, far above rounding ...
const BALANCE: f64 = 1e-12;
/// ... and a full step moves no ψ by more than this share of itself; near a pump's end pressure flows are
/// small although pressures are still off.
const SMALL_STEP: f64 = 1e-9;
/// Share of ψ below which a step is hardly more than rounding ...
const TINY_STEP: f64 = 1e-13;
/// ... so that after this many in a row nothing better can come.
const TINY_STEPS: usize = 4;
/// Steps in balance after which a node still on the move is left where it is: it carries no flow that
/// could be told from rounding.
const BALANCED_STEPS: usize = 40;
/// Out of balance by this share of what the pumps draw is still no error after all steps: a thousandth of
/// what any gauge resolves.
const ACCEPTED_BALANCE: f64 = 1e-6;
/// Nor is this, kg/s: 3 litres an hour.
const NO_FLOW_KG_S: f64 = 1e-9;
/// Share of pa² that rounding leaves on a difference of two ψ.
const ROUNDING: f64 = 4.0 * f64::EPSILON;
/// Trial lengths along one step.
const MOST_TRIALS: usize = 60;
/// A step ends where the slope along it has fallen to this share.
const LEVEL: f64 = 0.1;
/// One run of the damped Newton method.
pub(super) struct Descent<'a> {
    system: &'a System<'a>,
    draw_kg_s: f64,
    balance_kg_s: f64,
    ambient_psi: f64,
    gradient: Vec<f64>,
    trial: Vec<f64>,
    trial_gradient: Vec<f64>,
}

impl<'a> Descent<'a> {
    pub(super) fn new(system: &'a System<'a>, network: &Network) -> Self {
        let air = &network.air;
        let draw_kg_s = network.draw_at_ambient_kg_s();
        let ambient_psi = air.ambient_pa * air.ambient_pa;
        let size = system.size();
        Self {
            system,
            draw_kg_s,
            balance_kg_s: BALANCE * draw_kg_s,
            ambient_psi,
            gradient: vec![0.0; size],
            trial: vec![0.0; size],
            trial_gradient: vec![0.0; size],
        }
    }

    /// Moves `psi` to the solution; gives steps taken and largest unbalanced flow.
    pub(super) fn run(mut self, psi: &mut [f64]) -> Result<(usize, f64), NetworkError> {
        let mut hessian = Symmetric::new(psi.len());
        let (mut tiny_steps, mut balanced_steps) = (0, 0);
        for iterations in 0..MOST_STEPS {
            self.system.evaluate(psi, &mut self.gradient, Some(&mut hessian));
            let residual_kg_s = largest(&self.gradient);
            let balanced = self.is_balanced(&hessian);
            let mut step: Vec<f64> = self.gradient.iter().map(|g| -g).collect();
            hessian.solve(&mut step);
            let small = self.within(SMALL_STEP, &step, psi);
            // Tiny steps are taken in full: rounding would mislead the search.
            let tiny = self.within(TINY_STEP, &step, psi);
            let length = if tiny { 1.0 } else { self.search(psi, &step) };
            step.iter_mut().for_each(|step| *step *= length);
            let stuck = tiny || self.within(TINY_STEP, &step, psi);
            tiny_steps = if stuck { tiny_steps + 1 } else { 0 };
            balanced_steps = if balanced { balanced_steps + 1 } else { 0 };
            let done =
                (balanced && small) || tiny_steps >= TINY_STEPS || balanced_steps >= BALANCED_STEPS;
            psi.iter_mut().zip(&step).for_each(|(psi, step)| *psi += step);
            if done {
                return Ok((iterations + 1, residual_kg_s));
            }
        }
        self.system.evaluate(psi, &mut self.gradient, None);
        let residual_kg_s = largest(&self.gradient);
        if residual_kg_s <= (ACCEPTED_BALANCE * self.draw_kg_s).max(NO_FLOW_KG_S) {
            return Ok((MOST_STEPS, residual_kg_s));
        }
        Err(NetworkError::NotSettled { residual_kg_s, iterations: MOST_STEPS })
    }

    /// Whether each node is in balance within tolerance and rounding of its steepest flows.
    fn is_balanced(&self, hessian: &Symmetric) -> bool {
        let rounding = |place| ROUNDING * self.ambient_psi * hessian.diagonal(place);
        let within = |(place, g): (usize, &f64)| g.abs() <= self.balance_kg_s + rounding(place);
        self.gradient.iter().enumerate().all(within)
    }

    /// Whether a step moves no ψ by more than a share of itself and rounding.
    fn within(&self, share: f64, step: &[f64], psi: &[f64]) -> bool {
        let rounding = ROUNDING * self.ambient_psi;
        step.iter().zip(psi).all(|(step, psi)| step.abs() <= share * psi.abs() + rounding)
    }

    /// Length of step at which the convex function is near its lowest along the line: its slope rises
    /// along the line, so two slopes of either sign bracket that point.
    fn search(&mut self, psi: &[f64], step: &[f64]) -> f64 {
        let start = dot(&self.gradient, step);
        let (mut low, mut low_slope) = (0.0, start);
        let mut high: Option<(f64, f64)> = None;
        let mut length = 1.0;
        for _ in 0..MOST_TRIALS {
            let slope = self.slope(psi, step, length);
            if slope.abs() <= LEVEL * start.abs() {
                return length;
            }
            if slope < 0.0 {
                (low, low_slope) = (length, slope);
            } else {
                high = Some((length, slope));
            }
            length = match high {
                None => 2.0 * length,
                Some((high, slope)) => {
                    let share = -low_slope / (slope - low_slope);
                    low + (high - low) * share.clamp(0.1, 0.9)
                }
            };
        }
        if low > 0.0 { low } else { length }
    }

    fn slope(&mut self, psi: &[f64], step: &[f64], length: f64) -> f64 {
        for ((trial, psi), step) in self.trial.iter_mut().zip(psi).zip(step) {
            *trial = psi + length * step;
        }
        self.system.evaluate(&self.trial, &mut self.trial_gradient, None);
        dot(&self.trial_gradient, step)
    }
}

fn largest(values: &[f64]) -> f64 {
    // A value that is no number must not pass for 0.
    values.iter().fold(0.0, |most, value| if value.abs() <= most { most } else { value.abs() })
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
