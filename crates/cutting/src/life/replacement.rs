//! When to change a tool so that changes and failures together cost least.

use super::Weibull;
use crate::numeric::rising_root;

/// Share above the least cost rate that counts as "as good": the range of change times within it
/// shows how much the choice matters. Our choice.
const FLAT_SHARE: f64 = 0.01;

/// Reliability below which a planned change hardly ever happens.
const HARDLY_EVER: f64 = 1e-9;

/// Costs of both ways in which a tool's life ends, money.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChangeCosts {
    /// Of a planned change, above 0.
    pub planned: f64,
    /// Of a failure in work: change, scrap, standstill.
    pub failure: f64,
}

/// The cheapest policy.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Replacement {
    /// Change at a time in work.
    ChangeAt {
        /// The time.
        time: f64,
        /// Cost per time then.
        cost_rate: f64,
        /// Earliest and latest time within 1 % of that cost; no latest if waiting for failure is
        /// as good.
        as_good: (f64, Option<f64>),
        /// Share of tools that fail before.
        failed_share: f64,
    },
    /// Use each tool until it fails.
    RunToFailure {
        /// Cost per time.
        cost_rate: f64,
    },
}

impl ChangeCosts {
    /// Cost per time of changing at `time`: [cp·R + cf·(1 − R)]/∫₀ᵗ R dt; `None` unless the time
    /// is above 0.
    pub fn cost_rate(&self, lives: &Weibull, time: f64) -> Option<f64> {
        let per_tool =
            self.planned * lives.reliability(time) + self.failure * lives.failed_share(time);
        let worked = lives.mean_up_to(time);
        (worked > 0.0).then(|| per_tool / worked)
    }

    /// Cost per time of waiting for failure: cf/mean.
    pub fn failure_cost_rate(&self, lives: &Weibull) -> f64 {
        self.failure / lives.mean()
    }

    /// The cheapest policy. Running to failure is cheapest unless tools wear (shape above 1) and a
    /// failure costs more than a planned change.
    ///
    /// The optimum is where h(t)·∫₀ᵗ R dt − F(t) = cp/(cf − cp); the left side rises from 0 for
    /// shapes above 1, so it is the only one.
    pub fn cheapest(&self, lives: &Weibull) -> Replacement {
        let to_failure = Replacement::RunToFailure { cost_rate: self.failure_cost_rate(lives) };
        let ratio = self.planned / (self.failure - self.planned);
        let worth_a_look = lives.shape() > 1.0 && ratio > 0.0 && ratio.is_finite();
        if !worth_a_look {
            return to_failure;
        }
        let excess = |time: f64| {
            lives.hazard(time) * lives.mean_up_to(time) - lives.failed_share(time) - ratio
        };
        let latest = lives.life_at_failed_share(1.0 - HARDLY_EVER);
        if excess(latest) < 0.0 {
            return to_failure;
        }
        let time = rising_root(excess, 0.0, latest);
        let Some(cost_rate) = self.cost_rate(lives, time) else { return to_failure };
        let as_good = self.as_good(lives, (time, cost_rate), latest);
        Replacement::ChangeAt { time, cost_rate, as_good, failed_share: lives.failed_share(time) }
    }

    fn as_good(
        &self,
        lives: &Weibull,
        (time, cost_rate): (f64, f64),
        latest: f64,
    ) -> (f64, Option<f64>) {
        let limit = cost_rate * (1.0 + FLAT_SHARE);
        let above = |time: f64| self.cost_rate(lives, time).unwrap_or(f64::INFINITY) - limit;
        let from = rising_root(|time| -above(time), 0.0, time);
        let has_end = self.failure_cost_rate(lives) > limit;
        (from, has_end.then(|| rising_root(above, time, latest)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COSTS: ChangeCosts = ChangeCosts { planned: 20.0, failure: 120.0 };

    #[test]
    fn the_optimum_beats_its_neighbours() {
        for shape in [1.2, 2.0, 3.7, 9.0] {
            let lives = Weibull::new(shape, 110.0).expect("in range");
            let Replacement::ChangeAt { time, cost_rate, as_good, .. } = COSTS.cheapest(&lives)
            else {
                panic!("a planned change pays at shape {shape}");
            };
            for other in [time * 0.97, time * 1.03] {
                assert!(COSTS.cost_rate(&lives, other).expect("above 0") > cost_rate);
            }
            assert!(as_good.0 < time && as_good.1.is_none_or(|latest| latest > time));
            assert!(cost_rate < COSTS.failure_cost_rate(&lives));
        }
    }

    #[test]
    fn without_wear_or_dear_failures_tools_run_to_failure() {
        let to_failure = |shape, costs: ChangeCosts| {
            let lives = Weibull::new(shape, 110.0).expect("in range");
            matches!(costs.cheapest(&lives), Replacement::RunToFailure { .. })
        };
        assert!(to_failure(1.0, COSTS));
        assert!(to_failure(0.5, COSTS));
        assert!(to_failure(4.0, ChangeCosts { planned: 20.0, failure: 20.0 }));
        assert!(to_failure(4.0, ChangeCosts { planned: 20.0, failure: 10.0 }));
        assert!(to_failure(1.01, ChangeCosts { planned: 20.0, failure: 20.5 }));
        assert!(to_failure(4.0, ChangeCosts { planned: f64::NAN, failure: 10.0 }));
    }

    #[test]
    fn at_no_time_there_is_no_rate() {
        let lives = Weibull::new(3.0, 110.0).expect("in range");
        assert_eq!(COSTS.cost_rate(&lives, 0.0), None);
    }
}
